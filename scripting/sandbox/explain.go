package sandbox

import (
	"fmt"
	"regexp"
	"strings"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
	"github.com/yuin/gopher-lua/parse"
)

// explain turns what the interpreter reports into an Error: the place taken
// out of the text, the host's terse messages put into words with the names
// that stand on the line.
func (s *State) explain(thread *lua.LState, err error) *Error {
	v := apiMessage(err)
	e := &Error{File: s.prog.File}
	switch v := v.(type) {
	case lua.LString:
		e.Line, e.Msg = splitPlace(s.prog.File, string(v))
	default:
		place := ""
		if s.thrown.value == v {
			place = s.thrown.place
		}
		e.Line, _ = splitPlace(s.prog.File, place)
		e.Msg = "error " + describe(v)
		if v == lua.LNil {
			e.Msg = "error called without a message"
		}
	}
	if e.Line == 0 {
		e.Line = s.nearestLine(thread)
	}
	e.Msg = strings.TrimSpace(e.Msg)
	s.prog.reword(e)
	return e
}

// nearestLine is the line of the innermost script function still on the
// thread's stack after an error.
func (s *State) nearestLine(thread *lua.LState) (line int) {
	defer func() {
		if recover() != nil {
			line = 0
		}
	}()
	line, _ = splitPlace(s.prog.File, whereText(thread))
	return line
}

var (
	reIndex   = regexp.MustCompile(`^attempt to index a non-table object\((\w+)\)(?: with key '(.*)')?`)
	reArith   = regexp.MustCompile(`^cannot perform (\w+) operation between (\w+) and (\w+)`)
	reCompare = regexp.MustCompile(`^attempt to compare (\w+) with (\w+)`)
	reArg     = regexp.MustCompile(`^bad argument #(\d+) to (\S+) \((.*)\)$`)
	reGoto    = regexp.MustCompile(`^no visible label '.*' for .* at line (\d+)`)
	reUnknown = regexp.MustCompile(`^(?:unknown name '([^']*)'|'([^']*)' is not available)`)
)

var arithmetic = map[string]string{"add": "+", "sub": "-", "mul": "*", "div": "/", "mod": "%", "pow": "^", "unm": "-"}

// reword puts a message of the interpreter into words. Messages it does not
// know stay as they are.
func (p *Program) reword(e *Error) {
	switch {
	case strings.HasPrefix(e.Msg, "attempt to call a non-function object"):
		if name := p.only(e.Line, calledName); name != "" {
			e.Msg = fmt.Sprintf("'%s' is not a function and cannot be called", name)
		} else {
			e.Msg = "something on this line is called but is not a function"
		}
		e.Hint = "check the spelling of the name before the brackets"
	case reIndex.MatchString(e.Msg):
		m := reIndex.FindStringSubmatch(e.Msg)
		kind, key := m[1], m[2]
		name := p.only(e.Line, func(n ast.PositionHolder) string { return ownerOf(n, key) })
		if name == "" {
			name = "the value before it"
		} else {
			name = "'" + name + "'"
		}
		if kind == "nil" {
			e.Msg = fmt.Sprintf("'%s' asked of %s, which is nil (nothing)", key, name)
		} else {
			e.Msg = fmt.Sprintf("'%s' asked of %s, which is a %s", key, name, kind)
		}
		e.Hint = "check that the value was set before this line and that its name is spelt right"
	case reArith.MatchString(e.Msg):
		m := reArith.FindStringSubmatch(e.Msg)
		op := m[1]
		if sign, ok := arithmetic[op]; ok {
			op = sign
		}
		e.Msg = fmt.Sprintf("'%s' needs two numbers, not %s and %s", op, m[2], m[3])
		e.Hint = "nil means a value that is missing; a text such as \"3 h\" is not a number"
	case reCompare.MatchString(e.Msg):
		m := reCompare.FindStringSubmatch(e.Msg)
		e.Msg = fmt.Sprintf("a %s cannot be compared with a %s", m[1], m[2])
		e.Hint = "compare numbers with numbers; nil means a value that is missing"
	case reArg.MatchString(e.Msg):
		m := reArg.FindStringSubmatch(e.Msg)
		name, why := m[2], m[3]
		if name == "?" {
			if name = p.only(e.Line, calledName); name == "" {
				name = "a function on this line"
			}
		}
		if wanted, got, ok := strings.Cut(why, " expected, got "); ok {
			why = fmt.Sprintf("a %s is needed, not %s", wanted, got)
		}
		e.Msg = fmt.Sprintf("value %s given to '%s': %s", m[1], name, why)
		if strings.HasSuffix(why, "nil") {
			e.Hint = "nil means a value that is missing; check that it was set before this line"
		}
	case strings.HasPrefix(e.Msg, "stack overflow"), strings.HasPrefix(e.Msg, "lua callstack overflow"):
		e.Msg = "functions call each other too deeply"
		e.Hint = "does a function call itself without an end?"
	case strings.HasPrefix(e.Msg, "registry overflow"):
		e.Msg = "too many values in use at once"
		e.Hint = "does a function call itself without an end?"
	case strings.HasPrefix(e.Msg, "runtime error:"):
		// The interpreter itself gave way, as it does for a call with
		// thousands of values.
		e.Msg = "too many values in use at once, or a call the interpreter cannot make"
		e.Hint = "write the line in a simpler way"
	case reUnknown.MatchString(e.Msg):
		m := reUnknown.FindStringSubmatch(e.Msg)
		if m[2] != "" {
			e.Hint = absent[m[2]]
		} else if !strings.Contains(e.Msg, "did you mean") {
			e.Hint = fmt.Sprintf("if it is meant as text, put it in quotation marks: %q", m[1])
		}
	}
}

// only is the one name found on a line, "" when there are none or several.
func (p *Program) only(line int, find func(ast.PositionHolder) string) string {
	found := ""
	several := false
	Walk(p.AST, func(n ast.PositionHolder, _ int) bool {
		if n.Line() == line {
			if name := find(n); name != "" && name != found {
				several = several || found != ""
				found = name
			}
		}
		return true
	})
	if several {
		return ""
	}
	return found
}

func calledName(n ast.PositionHolder) string {
	call, ok := n.(*ast.FuncCallExpr)
	if !ok {
		return ""
	}
	if call.Method != "" {
		if r := written(call.Receiver); r != "" {
			return r + ":" + call.Method
		}
		return call.Method
	}
	return written(call.Func)
}

// ownerOf is the expression a key is asked of.
func ownerOf(n ast.PositionHolder, key string) string {
	switch n := n.(type) {
	case *ast.AttrGetExpr:
		if k, ok := n.Key.(*ast.StringExpr); ok && k.Value == key {
			return written(n.Object)
		}
	case *ast.FuncCallExpr:
		if n.Method == key {
			return written(n.Receiver)
		}
	}
	return ""
}

// written gives a short expression as the script has it.
func written(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.IdentExpr:
		return e.Value
	case *ast.AttrGetExpr:
		k, ok := e.Key.(*ast.StringExpr)
		if o := written(e.Object); ok && o != "" {
			return o + "." + k.Value
		}
	case *ast.FuncCallExpr:
		if name := calledName(e); name != "" {
			return name + "(...)"
		}
	}
	return ""
}

var (
	reserved = `and|break|do|else|elseif|end|false|for|function|goto|if|in|local|nil|not|or|repeat|return|then|true|until|while`
	reKey    = regexp.MustCompile(`\b(` + reserved + `)\s*=([^=]|$)`)
)

// syntaxError puts a failure to parse into words.
func (p *Program) syntaxError(err *parse.Error) *Error {
	e := &Error{File: p.File, Line: err.Pos.Line}
	if err.Pos.Line == parse.EOF {
		e.Line = max(len(p.Lines), 1)
		for e.Line > 1 && strings.TrimSpace(p.line(e.Line)) == "" {
			e.Line--
		}
		e.Msg = "the file ends too early"
		e.Hint = "an 'end', '}', ')' or quotation mark is missing somewhere above"
		return e
	}
	if err.Message == "unterminated string" && e.Line > 1 {
		e.Line-- // the line end it ran into is read already
	}
	line := p.line(e.Line)
	e.Msg = fmt.Sprintf("not understood at '%s'", err.Token)
	if err.Message != "syntax error" && err.Message != "Invalid token" && err.Message != "" {
		e.Msg = err.Message
		if err.Token != "" {
			e.Msg += " at '" + strings.TrimSpace(strings.SplitN(err.Token, "\n", 2)[0]) + "'"
		}
	}
	switch m := reKey.FindStringSubmatch(line); {
	case m != nil && (err.Token == m[1] || err.Token == "="):
		e.Hint = fmt.Sprintf("'%s' is a word of the language; as a key write it '%s_'", m[1], m[1])
	case strings.Contains(line, "!="):
		e.Hint = "'not equal' is written ~="
	case strings.Contains(line, "+=") || strings.Contains(line, "-="):
		e.Hint = "write x = x + 1"
	case strings.Contains(line, "&&") || strings.Contains(line, "||"):
		e.Hint = "write 'and' and 'or'"
	case p.commaMissing(e.Line, err.Token):
		e.Hint = "a comma may be missing before it"
	case err.Message == "unterminated string":
		e.Hint = "close the quotation mark on the same line"
	default:
		e.Hint = p.openBracket(e.Line)
	}
	return e
}

// openBracket names the bracket that the line above leaves open, or says where to
// look.
func (p *Program) openBracket(n int) string {
	for n--; n > 0 && strings.TrimSpace(p.line(n)) == ""; n-- {
	}
	if n > 0 {
		line := p.line(n)
		if strings.Count(line, "(") > strings.Count(line, ")") && !strings.Contains(line, "function") {
			return fmt.Sprintf("line %d leaves a '(' open", n)
		}
	}
	return "look there and in the lines above for a missing comma, bracket, 'do', 'then' or 'end'"
}

// commaMissing guesses: the token begins its line and the line before ends a
// value, or it follows a value on its own line and an '=' comes after it.
func (p *Program) commaMissing(n int, token string) bool {
	line := strings.TrimSpace(p.line(n))
	if token == "" || !strings.Contains(line, token) {
		return false
	}
	before, after, _ := strings.Cut(line, token)
	before = strings.TrimSpace(before)
	if token == "=" && before != "" {
		after = "="
		before = strings.TrimSpace(strings.TrimRight(before, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_0123456789"))
	}
	for before == "" && n > 1 {
		n--
		before = strings.TrimSpace(p.line(n))
		if i := strings.Index(before, "--"); i >= 0 {
			before = strings.TrimSpace(before[:i])
		}
	}
	if before == "" || strings.HasSuffix(before, ",") || strings.HasSuffix(before, "{") || strings.HasSuffix(before, ";") {
		return false
	}
	return strings.HasPrefix(strings.TrimSpace(after), "=")
}
