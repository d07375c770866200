package sandbox

import (
	"strings"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
)

// Names no script can write, for the functions that guarded operators call.
const (
	joinName  = "\x00join"
	indexName = "\x00index"
)

// guard replaces two operators the interpreter does not bound: joining texts
// with .. (doubling a text forty times asks for a terabyte) and assigning to
// a computed index (one instruction may take 16 MB).
func guard(tree []ast.Stmt) {
	MapExprs(tree, func(e ast.Expr) ast.Expr {
		if cat, ok := e.(*ast.StringConcatOpExpr); ok {
			return CallTo(joinName, cat, flatten(cat)...)
		}
		return e
	})
	Walk(tree, func(n ast.PositionHolder, _ int) bool {
		as, ok := n.(*ast.AssignStmt)
		if !ok {
			return true
		}
		for _, l := range as.Lhs {
			at, ok := l.(*ast.AttrGetExpr)
			if !ok {
				continue
			}
			if _, constant := at.Key.(ast.ConstExpr); constant {
				if _, isNumber := at.Key.(*ast.NumberExpr); !isNumber {
					continue
				}
			}
			at.Key = CallTo(indexName, at.Key, at.Key)
		}
		return true
	})
}

// flatten makes one call of a .. b .. c. Inner joins are already calls by
// now, so their arguments are taken over.
func flatten(cat *ast.StringConcatOpExpr) []ast.Expr {
	args := []ast.Expr{cat.Lhs}
	if call, ok := cat.Rhs.(*ast.FuncCallExpr); ok {
		if id, ok := call.Func.(*ast.IdentExpr); ok && id.Value == joinName && len(call.Args) < 50 {
			return append(args, call.Args...)
		}
	}
	return append(args, cat.Rhs)
}

func (s *State) luaJoin(l *lua.LState) int {
	n := l.GetTop()
	size := 0
	parts := make([]string, n)
	for i := 1; i <= n; i++ {
		switch v := l.Get(i).(type) {
		case lua.LString:
			parts[i-1] = string(v)
		case lua.LNumber:
			parts[i-1] = numberText(float64(v))
		default:
			l.RaiseError("cannot join %s to a text with '..'; use tostring() for values that are not texts or numbers", typeName(v))
		}
		size += len(parts[i-1])
	}
	s.room(l, size)
	l.Push(lua.LString(strings.Join(parts, "")))
	return 1
}

func (s *State) luaIndex(l *lua.LState) int {
	if n, ok := l.Get(1).(lua.LNumber); ok && n > 4096 && n <= maxList {
		s.meter.charge(int(n) >> 8)
		if n > 65536 {
			s.meter.next = s.meter.left // look at the memory at the next instruction
		}
	}
	l.SetTop(1)
	return 1
}

// room refuses a text that is too long, and charges for making it.
func (s *State) room(l *lua.LState, size int) {
	if size > maxText || size < 0 {
		l.RaiseError("a text may have at most %d bytes", maxText)
	}
	s.meter.charge(size / 64)
}
