package sandbox

import (
	"math/bits"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// openList makes the table library, with bounds where the host has none.
func (s *State) openList() *lua.LTable {
	lib := s.take(hostList, "getn")
	sort, _ := lib.RawGetString("sort").(*lua.LFunction)
	s.fill(lib, []function{
		{"insert", s.listInsert}, {"remove", s.listRemove}, {"concat", s.listConcat},
		{"sort", s.listSort(sort)},
	})
	return lib
}

func (s *State) listInsert(l *lua.LState) int {
	t := l.CheckTable(1)
	n := t.Len()
	s.meter.charge(n >> 8)
	if n >= maxList {
		l.RaiseError("a list may have at most %d items", maxList)
	}
	switch l.GetTop() {
	case 2:
		t.Append(l.Get(2))
	case 3:
		at := l.CheckInt(2)
		if at < 1 || at > n+1 {
			l.RaiseError("table.insert: place %d is outside the list, which has %d items", at, n)
		}
		if at == n+1 {
			t.Append(l.Get(3))
			return 0
		}
		t.Insert(at, l.Get(3))
	default:
		l.RaiseError("table.insert takes a list, perhaps a place, and a value")
	}
	return 0
}

func (s *State) listRemove(l *lua.LState) int {
	t := l.CheckTable(1)
	n := t.Len()
	s.meter.charge(n >> 8)
	at := l.OptInt(2, n)
	if n == 0 || at < 1 || at > n {
		l.Push(lua.LNil)
		return 1
	}
	l.Push(t.Remove(at))
	return 1
}

func (s *State) listConcat(l *lua.LState) int {
	t := l.CheckTable(1)
	sep := l.OptString(2, "")
	n := t.Len()
	from, to := l.OptInt(3, 1), l.OptInt(4, n)
	if from < 1 || to > n {
		if from <= to {
			l.RaiseError("table.concat: items %d to %d asked for, the list has %d", from, to, n)
		}
	}
	var b strings.Builder
	for i := from; i <= to; i++ {
		switch v := t.RawGetInt(i).(type) {
		case lua.LString, lua.LNumber:
			b.WriteString(textOf(v))
		default:
			l.RaiseError("table.concat: item %d is %s; only texts and numbers can be joined", i, typeName(v))
		}
		if i < to {
			b.WriteString(sep)
		}
		if b.Len() > maxText {
			break
		}
	}
	s.meter.charge(max(to-from, 0) / 4)
	s.room(l, b.Len())
	l.Push(lua.LString(b.String()))
	return 1
}

func (s *State) listSort(sort *lua.LFunction) lua.LGFunction {
	return func(l *lua.LState) int {
		n := l.CheckTable(1).Len()
		s.meter.charge(n * bits.Len(uint(n)))
		if s.meter.out() {
			s.stop(l)
		}
		defer s.forbidWait("inside the rule of table.sort")()
		args := l.GetTop()
		l.Insert(sort, 1)
		l.Call(args, 0)
		return 0
	}
}
