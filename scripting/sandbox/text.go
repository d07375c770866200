package sandbox

import (
	"errors"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// openText makes the string library. Every function that can make a long
// text or take long is bounded.
func (s *State) openText() *lua.LTable {
	lib := s.take(hostText, "dump", "gfind")
	s.fill(lib, []function{
		{"rep", s.textRep}, {"format", s.textFormat},
		{"find", s.textFind}, {"match", s.textMatch},
		{"gmatch", s.textGmatch}, {"gsub", s.textGsub},
		{"byte", s.textByte}, {"char", s.textChar},
		{"upper", s.textMapped(strings.ToUpper)}, {"lower", s.textMapped(strings.ToLower)},
	})
	// The methods of texts have a table of their own, which no script can
	// reach, so ("x"):rep stays what it is whatever a script does.
	methods := s.l.CreateTable(0, len(hostText.functions))
	for k, v := lib.Next(lua.LNil); k != lua.LNil; k, v = lib.Next(k) {
		methods.RawSet(k, v)
	}
	meta := s.l.NewTable()
	meta.RawSetString("__index", methods)
	s.l.SetMetatable(lua.LString(""), meta)
	return lib
}

func (s *State) textRep(l *lua.LState) int {
	text, n := l.CheckString(1), float64(l.CheckNumber(2))
	switch {
	case !(n >= 1) || text == "":
		l.Push(lua.LString(""))
		return 1
	case n*float64(len(text)) > maxText:
		s.room(l, maxText+1)
	}
	s.room(l, int(n)*len(text))
	l.Push(lua.LString(strings.Repeat(text, int(n))))
	return 1
}

func (s *State) textMapped(f func(string) string) lua.LGFunction {
	return func(l *lua.LState) int {
		text := l.CheckString(1)
		s.room(l, len(text))
		l.Push(lua.LString(f(text)))
		return 1
	}
}

func (s *State) textByte(l *lua.LState) int {
	text := l.CheckString(1)
	from := l.OptInt(2, 1)
	first, last := position(from, len(text)), position(l.OptInt(3, from), len(text))
	first, last = max(first, 1), min(last, len(text))
	if last < first {
		return 0
	}
	if last-first >= maxUnpack {
		l.RaiseError("string.byte gives at most %d values", maxUnpack)
	}
	for i := first; i <= last; i++ {
		l.Push(lua.LNumber(text[i-1]))
	}
	return last - first + 1
}

func (s *State) textChar(l *lua.LState) int {
	b := make([]byte, l.GetTop())
	for i := range b {
		c := l.CheckInt(i + 1)
		if c < 0 || c > 255 {
			l.ArgError(i+1, "a character number is 0 to 255")
		}
		b[i] = byte(c)
	}
	l.Push(lua.LString(b))
	return 1
}

// position turns an index that may count from the end into one from the start.
func position(i, size int) int {
	if i < 0 {
		return size + i + 1
	}
	return i
}

// matcher checks the sizes and makes a matcher on the script's budget.
func (s *State) matcher(l *lua.LState, text, pattern string) *matcher {
	if len(text) > maxSubject {
		l.RaiseError("a text searched with a pattern may have at most %d bytes", maxSubject)
	}
	if len(pattern) > maxPattern {
		l.RaiseError("a pattern may have at most %d bytes", maxPattern)
	}
	tries := 0
	return &matcher{src: text, pat: pattern, try: func() bool {
		if tries++; tries%4 == 0 { // a try is cheaper than an instruction
			s.meter.charge(1)
		}
		return s.meter.left >= 0
	}}
}

// find runs a matcher and turns its failures into errors of the script.
func (s *State) find(l *lua.LState, m *matcher, at int) (start, end int, found bool) {
	start, end, found, err := m.findFrom(at)
	if errors.Is(err, errOutOfSteps) {
		s.stop(l)
	}
	if err != nil {
		l.RaiseError("%s", err.Error())
	}
	return start, end, found
}

// stop raises the error of a spent budget from inside a library call.
func (s *State) stop(l *lua.LState) {
	s.meter.slow()
	l.RaiseError("%s", s.meter.why.Error())
}

// pushCaptures pushes the captures, or the whole match when there are none.
func (m *matcher) pushCaptures(l *lua.LState, start, end int) int {
	if len(m.captures) == 0 {
		l.Push(lua.LString(m.src[start:end]))
		return 1
	}
	for i := range m.captures {
		l.Push(m.value(l, i))
	}
	return len(m.captures)
}

func (m *matcher) value(l *lua.LState, i int) lua.LValue {
	switch c := m.captures[i]; c.size {
	case capturePosition:
		return lua.LNumber(c.start + 1)
	case captureOpen:
		l.RaiseError("a '(' without its ')' in pattern")
	}
	return lua.LString(m.text(i))
}

func (s *State) textFind(l *lua.LState) int {
	text, pattern := l.CheckString(1), l.CheckString(2)
	at := max(position(l.OptInt(3, 1), len(text))-1, 0)
	if at > len(text) {
		l.Push(lua.LNil)
		return 1
	}
	if lua.LVAsBool(l.Get(4)) || !strings.ContainsAny(pattern, "^$*+?.([%-") {
		s.meter.charge(len(text) / 64)
		i := strings.Index(text[at:], pattern)
		if i < 0 {
			l.Push(lua.LNil)
			return 1
		}
		l.Push(lua.LNumber(at + i + 1))
		l.Push(lua.LNumber(at + i + len(pattern)))
		return 2
	}
	m := s.matcher(l, text, pattern)
	start, end, found := s.find(l, m, at)
	if !found {
		l.Push(lua.LNil)
		return 1
	}
	l.Push(lua.LNumber(start + 1))
	l.Push(lua.LNumber(end))
	if len(m.captures) == 0 {
		return 2
	}
	return 2 + m.pushCaptures(l, start, end)
}

func (s *State) textMatch(l *lua.LState) int {
	text, pattern := l.CheckString(1), l.CheckString(2)
	at := max(position(l.OptInt(3, 1), len(text))-1, 0)
	m := s.matcher(l, text, pattern)
	start, end, found := s.find(l, m, at)
	if !found {
		l.Push(lua.LNil)
		return 1
	}
	return m.pushCaptures(l, start, end)
}

func (s *State) textGmatch(l *lua.LState) int {
	m := s.matcher(l, l.CheckString(1), l.CheckString(2))
	at := 0
	l.Push(l.NewFunction(func(l *lua.LState) int {
		if at > len(m.src) {
			return 0
		}
		start, end, found := s.find(l, m, at)
		if !found {
			at = len(m.src) + 1
			return 0
		}
		at = end
		if end == start {
			at++
		}
		return m.pushCaptures(l, start, end)
	}))
	return 1
}

func (s *State) textGsub(l *lua.LState) int {
	m := s.matcher(l, l.CheckString(1), l.CheckString(2))
	l.CheckTypes(3, lua.LTString, lua.LTNumber, lua.LTTable, lua.LTFunction)
	repl := l.Get(3)
	limit := len(m.src) + 1
	if l.GetTop() >= 4 {
		limit = l.CheckInt(4)
	}
	var out strings.Builder
	at, count := 0, 0
	for count < limit && at <= len(m.src) {
		start, end, found := s.find(l, m, at)
		if !found {
			break
		}
		count++
		out.WriteString(m.src[at:start])
		out.WriteString(s.replacement(l, m, repl, start, end))
		if at = end; end == start {
			if at < len(m.src) {
				out.WriteByte(m.src[at])
			}
			at++
		}
		if out.Len() > maxText {
			s.room(l, out.Len())
		}
		if strings.HasPrefix(m.pat, "^") {
			break
		}
	}
	if at < len(m.src) {
		out.WriteString(m.src[at:])
	}
	s.room(l, out.Len())
	l.Push(lua.LString(out.String()))
	l.Push(lua.LNumber(count))
	return 2
}

func (s *State) replacement(l *lua.LState, m *matcher, repl lua.LValue, start, end int) string {
	whole := m.src[start:end]
	var v lua.LValue
	switch r := repl.(type) {
	case *lua.LTable:
		key := lua.LValue(lua.LString(whole))
		if len(m.captures) > 0 {
			key = m.value(l, 0)
		}
		v = r.RawGet(key)
	case *lua.LFunction:
		l.Push(r)
		n := m.pushCaptures(l, start, end)
		s.callBack(l, n, "inside the function of string.gsub")
		v = l.Get(-1)
		l.Pop(1)
	default:
		return s.template(l, m, textOf(repl), whole)
	}
	switch v := v.(type) {
	case lua.LString:
		return string(v)
	case lua.LNumber:
		return numberText(float64(v))
	}
	if lua.LVIsFalse(v) {
		return whole
	}
	l.RaiseError("string.gsub cannot put %s into a text", typeName(v))
	return ""
}

func (s *State) template(l *lua.LState, m *matcher, text, whole string) string {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] != '%' || i+1 == len(text) {
			b.WriteByte(text[i])
			continue
		}
		i++
		switch c := text[i]; {
		case c == '0' || c == '1' && len(m.captures) == 0:
			b.WriteString(whole)
		case isDigit(c):
			n := int(c - '1')
			if n >= len(m.captures) {
				l.RaiseError("no capture %%%c in pattern", c)
			}
			b.WriteString(textOf(m.value(l, n)))
		default:
			b.WriteByte(c)
		}
		if b.Len() > maxText {
			break
		}
	}
	return b.String()
}

// callBack calls the function and n arguments on the stack for one result;
// the function must not wait.
func (s *State) callBack(l *lua.LState, n int, where string) {
	defer s.forbidWait(where)()
	l.Call(n, 1)
}
