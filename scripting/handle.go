package scripting

import (
	lua "github.com/yuin/gopher-lua"

	"millrace/sim/calendar"
	"millrace/sim/quantity"
)

// handle is what a plan holds of the works: the number of a thing, never the thing.
type handle struct {
	c    *class
	n    int           // caster, furnace, upset, unit, or heat number
	name string        // of a store
	at   calendar.Time // of a word that is awaited
	due  bool          // the word may still come
}

// class is a kind of handle with the words that may follow it.
type class struct {
	name  string // with its article
	words map[string]*word
	order []string
}

// word is a field or a method of a class. A lever orders something and may not
// stand in a condition.
type word struct {
	get   func(d *Director, l *lua.LState, h *handle) lua.LValue
	call  method
	lever bool
	// note is for the editor's file: how the word is written and what it does.
	note string
}

// method is called with a colon: its arguments begin at 2.
type method func(d *Director, l *lua.LState, h *handle) int

func newClass(name string) *class { return &class{name: name, words: map[string]*word{}} }

func (c *class) add(name string, w *word) {
	c.words[name] = w
	c.order = append(c.order, name)
}

func (c *class) field(name, note string, get func(d *Director, l *lua.LState, h *handle) lua.LValue) {
	c.add(name, &word{get: get, note: note})
}

func (c *class) method(name, note string, call method) { c.add(name, &word{call: call, note: note}) }

func (c *class) lever(name, note string, call method) {
	c.add(name, &word{call: call, lever: true, note: note})
}

// handle makes a handle for the script.
func (d *Director) handle(l *lua.LState, h handle) *lua.LUserData {
	u := l.NewUserData()
	u.Value = &h
	u.Metatable = d.metatable(h.c)
	return u
}

// metatable is what makes the words of a class known to the script.
func (d *Director) metatable(c *class) *lua.LTable {
	if t, ok := d.metas[c]; ok {
		return t
	}
	l := d.state.L()
	t := l.NewTable()
	t.RawSetString("__index", l.NewFunction(func(l *lua.LState) int {
		u, _ := l.Get(1).(*lua.LUserData)
		key, isText := l.Get(2).(lua.LString)
		if u == nil || !isText {
			l.RaiseError("%s has named words only, not numbers", c.name)
		}
		h, _ := u.Value.(*handle)
		w := c.words[string(key)]
		switch {
		case w == nil:
			if near, ok := quantity.Nearest(string(key), c.order); ok {
				l.RaiseError("unknown word '%s' of %s, did you mean '%s'?", string(key), c.name, near)
			}
			l.RaiseError("unknown word '%s' of %s; its words are %s", string(key), c.name, plainList(c.order))
		case w.get != nil:
			l.Push(w.get(d, l, h))
		default:
			l.Push(d.function(c, string(key), w))
		}
		return 1
	}))
	t.RawSetString("__newindex", l.NewFunction(func(l *lua.LState) int {
		l.RaiseError("%s can be looked at but not set; pull a lever instead", c.name)
		return 0
	}))
	d.metas[c] = t
	return t
}

// function is the Lua function of a method.
func (d *Director) function(c *class, name string, w *word) *lua.LFunction {
	if f, ok := d.funcs[w]; ok {
		return f
	}
	f := d.state.L().NewFunction(func(l *lua.LState) int {
		u, _ := l.Get(1).(*lua.LUserData)
		var h *handle
		if u != nil {
			h, _ = u.Value.(*handle)
		}
		if h == nil || h.c != c {
			l.RaiseError("write a colon before '%s', not a dot", name)
		}
		if w.lever && d.looking {
			l.RaiseError("a condition may look but not pull levers, and '%s' is a lever; pull it after the wait", name)
		}
		if d.w == nil {
			l.RaiseError("'%s' may only stand inside a plan", name)
		}
		return w.call(d, l, h)
	})
	d.funcs[w] = f
	return f
}

func plainList(words []string) string {
	out := ""
	for i, w := range words {
		if i > 0 {
			out += ", "
		}
		out += w
	}
	return out
}

// number makes a Lua number.
func number(x float64) lua.LValue { return lua.LNumber(x) }

func hoursOf(t calendar.Time) float64 { return t.Hours() }

// textArg is argument i of a method, counted from 1.
func textArg(l *lua.LState, i int, what, example string) string {
	t, ok := l.Get(i + 1).(lua.LString)
	if !ok {
		l.RaiseError("%s is needed here, for example %s", what, example)
	}
	return string(t)
}
