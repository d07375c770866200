package sandbox

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
	"github.com/yuin/gopher-lua/parse"
)

// Program is a checked and compiled script. It is never written after
// Compile returns, so states on several goroutines may share it.
type Program struct {
	File   string
	Source []byte
	// Lines are the lines of the source; line n of the file is Lines[n-1].
	Lines []string
	// AST is the syntax tree as written, for looking things up by line. Do
	// not change it.
	AST   []ast.Stmt
	proto *lua.FunctionProto
}

// Compile checks the source of a script and compiles it. Failures are
// [*Error]. The file name is only used in messages.
func Compile(file string, source []byte) (*Program, error) {
	return CompileRewritten(file, source, nil)
}

// CompileRewritten is Compile with a change made to the syntax tree before
// it is compiled. The tree in the Program stays as written. rewrite is not
// checked again and must not deepen the tree by more than a level per node.
func CompileRewritten(file string, source []byte, rewrite func([]ast.Stmt)) (*Program, error) {
	p := &Program{File: file, Source: source}
	if len(source) > MaxSource {
		return nil, &Error{File: file, Line: 1,
			Msg:  fmt.Sprintf("the file has %d bytes; at most %d are allowed", len(source), MaxSource),
			Hint: "keep large tables in CSV files and name them from the script"}
	}
	if i := bytes.IndexByte(source, 0); i >= 0 {
		return nil, &Error{File: file, Line: 1 + bytes.Count(source[:i], []byte("\n")),
			Msg: "the file holds a zero byte", Hint: "save it as plain UTF-8 text"}
	}
	source = bytes.TrimPrefix(source, []byte("\xef\xbb\xbf"))
	p.Lines = strings.Split(strings.ReplaceAll(string(source), "\r\n", "\n"), "\n")
	var err error
	if p.AST, err = p.parse(source); err != nil {
		return nil, err
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	tree, err := p.parse(source) // a second tree, to be rewritten
	if err != nil {
		return nil, err
	}
	if rewrite != nil {
		rewrite(tree)
	}
	guard(tree)
	if err := p.compile(tree); err != nil {
		return nil, err
	}
	return p, nil
}

func (p *Program) parse(source []byte) (tree []ast.Stmt, err error) {
	defer func() {
		if r := recover(); r != nil {
			tree, err = nil, &Error{File: p.File, Line: 1, Msg: fmt.Sprintf("the file cannot be read as Lua: %v", r)}
		}
	}()
	tree, perr := parse.Parse(bytes.NewReader(source), p.File)
	if perr == nil {
		return tree, nil
	}
	var syntax *parse.Error
	if !errors.As(perr, &syntax) {
		return nil, &Error{File: p.File, Line: 1, Msg: perr.Error()}
	}
	return nil, p.syntaxError(syntax)
}

func (p *Program) compile(tree []ast.Stmt) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = &Error{File: p.File, Line: 1, Msg: fmt.Sprintf("the file cannot be compiled: %v", r)}
		}
	}()
	proto, cerr := lua.Compile(tree, p.File)
	if cerr == nil {
		p.proto = proto
		return nil
	}
	var ce *lua.CompileError
	if !errors.As(cerr, &ce) {
		return &Error{File: p.File, Line: 1, Msg: cerr.Error()}
	}
	e := &Error{File: p.File, Line: ce.Line, Msg: ce.Message}
	if m := reGoto.FindStringSubmatch(e.Msg); m != nil {
		e.Line, _ = strconv.Atoi(m[1])
		e.Msg, _, _ = strings.Cut(e.Msg, " for ")
	}
	if strings.Contains(e.Msg, "register overflow") || strings.Contains(e.Msg, "too many local") {
		e.Msg = "too many local names in one function (about 200 are allowed)"
		e.Hint = "split the function, or keep the values in one table"
	}
	return e
}

func (p *Program) line(n int) string {
	if n < 1 || n > len(p.Lines) {
		return ""
	}
	return p.Lines[n-1]
}
