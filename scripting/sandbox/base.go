package sandbox

import (
	"errors"
	"math"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

func baseType(l *lua.LState) int {
	l.Push(lua.LString(l.CheckAny(1).Type().String()))
	return 1
}

func baseNext(l *lua.LState) int {
	t := l.CheckTable(1)
	k, v := t.Next(l.Get(2))
	if k == lua.LNil {
		l.Push(lua.LNil)
		return 1
	}
	l.Push(k)
	l.Push(v)
	return 2
}

// pairs visits the list part first, then the keys in the order they were
// first set; the host's tables keep that order.
func pairs(next *lua.LFunction) lua.LGFunction {
	return func(l *lua.LState) int {
		t := l.CheckTable(1)
		l.Push(next)
		l.Push(t)
		l.Push(lua.LNil)
		return 3
	}
}

func ipairsNext(l *lua.LState) int {
	i := l.CheckInt(2) + 1
	v := l.CheckTable(1).RawGetInt(i)
	if v == lua.LNil {
		l.Push(lua.LNil)
		return 1
	}
	l.Push(lua.LNumber(i))
	l.Push(v)
	return 2
}

func ipairs(next *lua.LFunction) lua.LGFunction {
	return func(l *lua.LState) int {
		t := l.CheckTable(1)
		l.Push(next)
		l.Push(t)
		l.Push(lua.LNumber(0))
		return 3
	}
}

func baseSelect(l *lua.LState) int {
	n := l.GetTop() - 1
	if text, ok := l.Get(1).(lua.LString); ok && text == "#" {
		l.Push(lua.LNumber(n))
		return 1
	}
	i := l.CheckInt(1)
	switch {
	case i < 0 && -i <= n:
		return -i
	case i < 1:
		l.ArgError(1, "the place counts from 1, or from -1 at the end")
	case i > n:
		return 0
	}
	return n - i + 1
}

func (s *State) basePrint(l *lua.LState) int {
	if s.printed++; s.printed > s.limits.PrintLines {
		l.RaiseError("more than %d lines printed", s.limits.PrintLines)
	}
	parts := make([]string, l.GetTop())
	size := 0
	for i := range parts {
		parts[i] = describe(l.Get(i + 1))
		size += len(parts[i])
	}
	s.room(l, size)
	if s.print != nil {
		s.print(strings.Join(parts, "\t"))
	}
	return 0
}

func (s *State) baseError(l *lua.LState) int {
	v := l.Get(1)
	level := l.OptInt(2, 1)
	switch v := v.(type) {
	case lua.LString, lua.LNumber:
		if level > 1 {
			level++ // the host counts its own function as a level
		}
		l.Error(lua.LString(textOf(v)), max(level, 0))
	default:
		s.thrown = thrown{v, whereText(l)}
		l.Error(v, 0)
	}
	return 0
}

func (s *State) baseAssert(l *lua.LState) int {
	l.CheckAny(1)
	if l.ToBool(1) {
		return l.GetTop()
	}
	if l.GetTop() < 2 || l.Get(2) == lua.LNil {
		l.RaiseError("assertion failed")
	}
	l.Remove(1)
	l.SetTop(1)
	return s.baseError(l)
}

// basePCall forbids waiting inside: a wait cannot cross the call that
// catches errors. A spent budget is not caught.
func (s *State) basePCall(l *lua.LState) int {
	l.CheckAny(1)
	err := s.protect(l, l.GetTop()-1)
	if err != nil {
		l.Push(lua.LFalse)
		l.Push(s.caught(l, err))
		return 2
	}
	l.Insert(lua.LTrue, 1)
	return l.GetTop()
}

func (s *State) baseXPCall(l *lua.LState) int {
	l.CheckAny(1)
	handler := l.CheckFunction(2)
	l.SetTop(1)
	err := s.protect(l, 0)
	if err == nil {
		l.Insert(lua.LTrue, 1)
		return l.GetTop()
	}
	l.SetTop(0)
	l.Push(handler)
	l.Push(s.caught(l, err))
	if err := s.protect(l, 1); err != nil {
		l.SetTop(0)
		l.Push(lua.LFalse)
		l.Push(s.caught(l, err))
		return 2
	}
	l.Insert(lua.LFalse, 1)
	return l.GetTop()
}

// caught is the value a script gets for an error it caught; a spent budget
// goes on upwards.
func (s *State) caught(l *lua.LState, err error) lua.LValue {
	v := apiMessage(err)
	if s.meter.out() {
		l.Error(v, 0)
	}
	return v
}

// protect calls the function and n arguments on top of the stack and catches
// its error.
func (s *State) protect(l *lua.LState, n int) error {
	defer s.forbidWait("inside pcall; put the pcall around the part that does not wait")()
	return s.quietly(l, n)
}

// quietly is the host's PCall without its traceback, which has a line for
// each tail call ever made and so may be as long as the budget. The extra
// call in between is there to switch it off.
func (s *State) quietly(l *lua.LState, n int) error {
	l.Insert(s.quiet, l.GetTop()-n)
	err := l.PCall(n+1, lua.MultRet, nil)
	var api *lua.ApiError
	if errors.As(err, &api) && api.StackTrace != "-" {
		// The stack was full already at quiet, and a traceback was written.
		s.meter.charge(tracebackSteps)
	}
	return err
}

func quietCall(l *lua.LState) int {
	l.Panic = func(l *lua.LState) {
		panic(&lua.ApiError{Type: lua.ApiErrorRun, Object: l.Get(-1), StackTrace: "-"})
	}
	l.Call(l.GetTop()-1, lua.MultRet)
	return l.GetTop()
}

// tracebackSteps is about what writing a traceback of a full stack costs, in
// instructions.
const tracebackSteps = 2000

func baseToString(l *lua.LState) int {
	l.Push(lua.LString(textOf(l.CheckAny(1))))
	return 1
}

// baseToNumber reads decimal numbers, with exponent or without, and 0x
// numbers; "010" is ten. With a base it reads whole numbers of that base.
func baseToNumber(l *lua.LState) int {
	v := l.CheckAny(1)
	if x, ok := v.(lua.LNumber); ok {
		l.Push(x)
		return 1
	}
	text, ok := v.(lua.LString)
	if !ok {
		l.Push(lua.LNil)
		return 1
	}
	trimmed := strings.TrimSpace(string(text))
	if base := l.OptInt(2, 10); base != 10 {
		if base < 2 || base > 36 {
			l.ArgError(2, "the base is 2 to 36")
		}
		n, err := strconv.ParseInt(strings.TrimPrefix(strings.ToLower(trimmed), "0x"), base, 64)
		if err != nil {
			l.Push(lua.LNil)
			return 1
		}
		l.Push(lua.LNumber(n))
		return 1
	}
	l.Push(parseNumber(trimmed))
	return 1
}

func parseNumber(text string) lua.LValue {
	if strings.Contains(text, "_") {
		return lua.LNil
	}
	digits := strings.TrimLeft(text, "+-")
	if len(digits) > 2 && digits[0] == '0' && digits[1]|0x20 == 'x' {
		n, err := strconv.ParseInt(text[:len(text)-len(digits)]+digits[2:], 16, 64)
		if err != nil {
			return lua.LNil
		}
		return lua.LNumber(n)
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return lua.LNil
	}
	return lua.LNumber(x)
}

func (s *State) baseUnpack(l *lua.LState) int {
	t := l.CheckTable(1)
	from, to := l.OptInt(2, 1), 0
	if l.GetTop() >= 3 && l.Get(3) != lua.LNil {
		to = l.CheckInt(3)
	} else {
		to = t.Len()
	}
	if to < from {
		return 0
	}
	if n := uint64(to) - uint64(from); n >= maxUnpack {
		l.RaiseError("unpack gives at most %d values", maxUnpack)
	}
	for i := from; i <= to; i++ {
		l.Push(t.RawGetInt(i))
	}
	return to - from + 1
}
