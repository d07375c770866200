package sandbox

import (
	"strings"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/quantity"
)

// absent are names of the Lua language that are left out here, and what to
// say about them.
var absent = map[string]string{
	"coroutine":      "a plan waits by calling a function that waits; coroutines are not needed",
	"require":        "a script cannot load other files",
	"dofile":         "a script cannot load other files",
	"loadfile":       "a script cannot load other files",
	"module":         "a script cannot load other files",
	"package":        "a script cannot load other files",
	"load":           "a script cannot make code from text",
	"loadstring":     "a script cannot make code from text",
	"io":             "a script cannot read or write files",
	"os":             "a script cannot ask the computer it runs on",
	"debug":          "",
	"setmetatable":   "use plain tables and functions",
	"getmetatable":   "use plain tables and functions",
	"rawget":         "use plain tables and functions",
	"rawset":         "use plain tables and functions",
	"rawequal":       "compare with ==",
	"setfenv":        "",
	"getfenv":        "",
	"collectgarbage": "",
	"newproxy":       "",
	"_G":             "give the names you need one by one",
	"_VERSION":       "",
}

// unknownName is asked for a global name that does not exist.
func (s *State) unknownName(l *lua.LState) int {
	name, ok := l.Get(2).(lua.LString)
	if !ok {
		l.Push(lua.LNil)
		return 1
	}
	if _, known := absent[string(name)]; known {
		l.RaiseError("'%s' is not available in these scripts", string(name))
	}
	if near, ok := quantity.Nearest(string(name), s.names()); ok {
		l.RaiseError("unknown name '%s', did you mean '%s'?", string(name), near)
	}
	l.RaiseError("unknown name '%s'", string(name))
	return 0
}

// names are the global names a script can write, in the order they were made.
func (s *State) names() []string {
	var names []string
	g := s.globals()
	for k, _ := g.Next(lua.LNil); k != lua.LNil; k, _ = g.Next(k) {
		if name, ok := k.(lua.LString); ok && !strings.HasPrefix(string(name), "\x00") {
			names = append(names, string(name))
		}
	}
	return names
}
