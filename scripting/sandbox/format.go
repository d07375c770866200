package sandbox

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// numberText writes a number as Lua does: "%.14g", so 0.1+0.2 prints 0.3.
func numberText(x float64) string {
	switch {
	case math.IsNaN(x):
		return "nan"
	case math.IsInf(x, 1):
		return "inf"
	case math.IsInf(x, -1):
		return "-inf"
	case x == math.Trunc(x) && math.Abs(x) < 1e15:
		return strconv.FormatInt(int64(x), 10)
	}
	return trimExponent(strconv.FormatFloat(x, 'g', 14, 64))
}

// trimExponent drops the zeros the 'g' form of C does not write either.
func trimExponent(text string) string {
	mantissa, exponent, has := strings.Cut(text, "e")
	if strings.Contains(mantissa, ".") {
		mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
	}
	if has {
		return mantissa + "e" + exponent
	}
	return mantissa
}

// textOf writes a value without asking the script anything. Tables and
// functions print without an address: it would differ from run to run.
func textOf(v lua.LValue) string {
	switch v := v.(type) {
	case lua.LString:
		return string(v)
	case lua.LNumber:
		return numberText(float64(v))
	case *lua.LTable, *lua.LFunction, *lua.LState:
		return v.Type().String()
	case *lua.LUserData:
		if named, ok := v.Value.(fmt.Stringer); ok {
			return named.String()
		}
		return "value"
	}
	return v.String()
}

// typeName names a kind of value in a message.
func typeName(v lua.LValue) string {
	switch v.Type() {
	case lua.LTNil:
		return "nil (nothing)"
	case lua.LTString:
		return "a text"
	case lua.LTNumber:
		return "a number"
	case lua.LTTable:
		return "a table"
	case lua.LTFunction:
		return "a function"
	case lua.LTBool:
		return "a yes/no value"
	}
	return "a " + v.Type().String()
}

// describe writes a value for a message; tables with their fields, a level
// deep and not too many.
func describe(v lua.LValue) string {
	t, ok := v.(*lua.LTable)
	if !ok {
		return textOf(v)
	}
	var parts []string
	n := t.Len()
	for k, v := t.Next(lua.LNil); k != lua.LNil; k, v = t.Next(k) {
		if len(parts) == 8 {
			parts = append(parts, "...")
			break
		}
		text := textOf(v)
		if _, isText := v.(lua.LString); isText {
			if len(text) > 80 {
				text = text[:77] + "..."
			}
			text = strconv.Quote(text)
		}
		if i, isNumber := k.(lua.LNumber); !isNumber || int(i) > n {
			text = textOf(k) + " = " + text
		}
		parts = append(parts, text)
	}
	if len(parts) == 0 {
		return "{}"
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

// textFormat is string.format. Width and precision have at most two digits.
func (s *State) textFormat(l *lua.LState) int {
	form := l.CheckString(1)
	var b strings.Builder
	arg := 1
	for i := 0; i < len(form); i++ {
		if form[i] != '%' {
			b.WriteByte(form[i])
			continue
		}
		i++
		if i < len(form) && form[i] == '%' {
			b.WriteByte('%')
			continue
		}
		from := i
		for i < len(form) && strings.IndexByte("-+ #0", form[i]) >= 0 {
			i++
		}
		digits := func() {
			first := i
			for i < len(form) && isDigit(form[i]) {
				i++
			}
			if i-first > 2 {
				l.RaiseError("string.format: a width or precision has at most two digits")
			}
		}
		digits()
		if i < len(form) && form[i] == '.' {
			i++
			digits()
		}
		if i >= len(form) || i-from > 10 {
			l.RaiseError("string.format: '%%' without its letter at the end of %q", form)
		}
		arg++
		if arg > l.GetTop() {
			l.RaiseError("string.format: no value for '%%%s'", form[from:i+1])
		}
		b.WriteString(formatOne(l, "%"+form[from:i], form[i], arg))
		if b.Len() > maxText {
			break
		}
	}
	s.room(l, b.Len())
	l.Push(lua.LString(b.String()))
	return 1
}

func formatOne(l *lua.LState, spec string, verb byte, arg int) string {
	switch verb {
	case 'd', 'i', 'u', 'x', 'X', 'o', 'c':
		x := float64(l.CheckNumber(arg))
		if !(math.Abs(x) < 1<<63) {
			l.ArgError(arg, "not a whole number that can be written")
		}
		switch verb {
		case 'i', 'u':
			verb = 'd'
		case 'c':
			return string([]byte{byte(int64(x))})
		}
		return fmt.Sprintf(spec+string(verb), int64(x))
	case 'e', 'E', 'f', 'g', 'G':
		x := float64(l.CheckNumber(arg))
		if verb|0x20 == 'g' && !strings.Contains(spec, ".") {
			spec += ".6" // as in C; Go's own default is "as many as needed"
		}
		return fmt.Sprintf(spec+string(verb), x)
	case 's':
		return fmt.Sprintf(spec+"s", textOf(l.Get(arg)))
	case 'q':
		return strconv.Quote(l.CheckString(arg))
	}
	l.RaiseError("string.format does not know '%%%c'", verb)
	return ""
}
