package sandbox

import (
	"sort"

	lua "github.com/yuin/gopher-lua"
)

type function struct {
	name string
	fn   lua.LGFunction
}

type constant struct {
	name  string
	value lua.LValue
}

// library is what a state takes over from one of the host's libraries, in the
// order of names: the host fills its tables from Go maps, so their own order
// would differ from run to run and with it every loop over them.
type library struct {
	functions []function
	constants []constant
}

var hostText, hostList, hostMath = harvest(lua.OpenString, lua.StringLibName), harvest(lua.OpenTable, lua.TabLibName),
	harvest(lua.OpenMath, lua.MathLibName)

// harvest opens a library in a state of its own and lists it.
func harvest(open lua.LGFunction, name string) (lib library) {
	l := lua.NewState(lua.Options{SkipOpenLibs: true})
	defer l.Close()
	for _, o := range []struct {
		open lua.LGFunction
		name string
	}{{lua.OpenPackage, lua.LoadLibName}, {open, name}} {
		l.Push(l.NewFunction(o.open))
		l.Push(lua.LString(o.name))
		l.Call(1, 0)
	}
	t, ok := l.GetGlobal(name).(*lua.LTable)
	if !ok {
		return lib
	}
	for k, v := t.Next(lua.LNil); k != lua.LNil; k, v = t.Next(k) {
		switch v := v.(type) {
		case *lua.LFunction:
			if len(v.Upvalues) == 0 {
				lib.functions = append(lib.functions, function{k.String(), v.GFunction})
			}
		case lua.LNumber:
			lib.constants = append(lib.constants, constant{k.String(), v})
		}
	}
	sort.Slice(lib.functions, func(i, j int) bool { return lib.functions[i].name < lib.functions[j].name })
	sort.Slice(lib.constants, func(i, j int) bool { return lib.constants[i].name < lib.constants[j].name })
	return lib
}

// take copies a host library into a new table, leaving some names out.
func (s *State) take(lib library, without ...string) *lua.LTable {
	t := s.l.CreateTable(0, len(lib.functions)+len(lib.constants))
next:
	for _, f := range lib.functions {
		for _, w := range without {
			if f.name == w {
				continue next
			}
		}
		t.RawSetString(f.name, s.l.NewFunction(f.fn))
	}
	for _, c := range lib.constants {
		t.RawSetString(c.name, c.value)
	}
	return t
}

func (s *State) fill(t *lua.LTable, fns []function) {
	for _, f := range fns {
		t.RawSetString(f.name, s.l.NewFunction(f.fn))
	}
}

func (s *State) openLibraries() {
	g := s.globals()
	s.quiet = s.l.NewFunction(quietCall)
	s.fill(g, []function{
		{"type", baseType}, {"next", baseNext}, {"select", baseSelect},
		{"pairs", pairs(s.l.NewFunction(baseNext))}, {"ipairs", ipairs(s.l.NewFunction(ipairsNext))},
		{"print", s.basePrint}, {"error", s.baseError}, {"assert", s.baseAssert},
		{"pcall", s.basePCall}, {"xpcall", s.baseXPCall},
		{"tostring", baseToString}, {"tonumber", baseToNumber}, {"unpack", s.baseUnpack},
		{joinName, s.luaJoin}, {indexName, s.luaIndex},
	})
	g.RawSetString(lua.StringLibName, s.openText())
	g.RawSetString(lua.TabLibName, s.openList())
	math := s.take(hostMath, "random", "randomseed")
	s.fill(math, []function{{"random", s.mathRandom}, {"randomseed", s.mathRandomSeed}})
	g.RawSetString(lua.MathLibName, math)

	names := s.l.NewTable()
	names.RawSetString("__index", s.l.NewFunction(s.unknownName))
	g.Metatable = names
}
