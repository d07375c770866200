package decl

import (
	"strconv"

	"github.com/yuin/gopher-lua/ast"

	"millrace/scripting/sandbox"
)

// Script is a compiled file in two forms: one to read its blocks with the
// line of every key, one, cheaper to run, for its functions.
type Script struct {
	plain  *sandbox.Program
	marked *sandbox.Program
	tables []*ast.TableExpr
}

// tableName is the function that marks tables; no script can write it.
const tableName = "\x00table"

// Compile checks and compiles a file. Failures are [*sandbox.Error].
func Compile(file string, source []byte) (*Script, error) {
	plain, err := sandbox.Compile(file, source)
	if err != nil {
		return nil, err
	}
	s := &Script{plain: plain}
	s.marked, err = sandbox.CompileRewritten(file, source, s.mark)
	if err != nil {
		return nil, err
	}
	return s, nil
}

// mark wraps each table constructor in a call that tells which one it is. The
// tree of a constructor knows the line of each key, the table made from it
// does not.
func (s *Script) mark(tree []ast.Stmt) {
	sandbox.MapExprs(tree, func(e ast.Expr) ast.Expr {
		t, ok := e.(*ast.TableExpr)
		if !ok {
			return e
		}
		id := &ast.NumberExpr{Value: strconv.Itoa(len(s.tables))}
		id.SetLine(t.Line())
		s.tables = append(s.tables, t)
		return sandbox.CallTo(tableName, t, id, t)
	})
}

// File is the name the script was compiled under.
func (s *Script) File() string { return s.plain.File }

// Program is the script without the marks, for states made by the caller.
func (s *Script) Program() *sandbox.Program { return s.plain }
