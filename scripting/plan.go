package scripting

import (
	lua "github.com/yuin/gopher-lua"

	"millrace/scripting/decl"
	"millrace/scripting/sandbox"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// Plan is what people do about an upset.
type Plan struct {
	Name  string
	Line  int
	Empty bool // standing orders alone

	index int // of the plans of the file
	of    *planSource
}

// planSource is where plans come from; it is never written and shared by all.
type planSource struct {
	script *decl.Script
	lang   *decl.Language
	slab   float64 // kg
}

// planLuck is the purpose of luck that plans ask for with math.random.
const planLuck chance.Purpose = 1 << 16

// Director makes the director that carries the plan out in one future, nil for an
// empty plan. It is cheap, may be called from many goroutines, and what it gives
// belongs to one run. After the run ask a director of this package for its Err.
func (p *Plan) Director(luck chance.Luck) works.Director {
	if p.Empty {
		return nil
	}
	return newDirector(p, luck)
}

// addAmounts registers the words for amounts: hours(6), tonnes(500), slabs(120).
// They give plain numbers, in the units that plans compare: hours and tonnes.
func addAmounts(l *decl.Language, slab float64) {
	amount := func(name string, d quantity.Dimension, si float64) {
		l.RegisterFunc(name, func(ls *lua.LState) int {
			switch v := ls.Get(1).(type) {
			case lua.LNumber:
				ls.Push(v)
			case lua.LString:
				x, err := quantity.Parse(string(v), d)
				if err != nil {
					ls.RaiseError("%s: %s", name, sentence(err))
				}
				ls.Push(lua.LNumber(x / si))
			default:
				ls.RaiseError("%s needs a number, such as %s(6)", name, name)
			}
			return 1
		})
	}
	amount("hours", quantity.Time, 3600)
	amount("tonnes", quantity.Mass, 1000)
	l.RegisterFunc("slabs", func(ls *lua.LState) int {
		n, ok := ls.Get(1).(lua.LNumber)
		if !ok {
			ls.RaiseError("slabs needs a number, such as slabs(120)")
		}
		if slab <= 0 {
			ls.RaiseError("slabs(...) may only stand inside a plan, where the works is known")
		}
		ls.Push(n * lua.LNumber(slab/1000))
		return 1
	})
}

// recall makes a Lua state of its own and finds the plan's function in it.
func (p *Plan) recall(o sandbox.Options) (*sandbox.State, *lua.LFunction, error) {
	state, calls, err := p.of.lang.Recall(p.of.script, o)
	if err != nil {
		return nil, nil, err
	}
	n := 0
	for _, c := range calls {
		if c.Kind != "plan" {
			continue
		}
		if n == p.index {
			if fn, ok := c.Value.(*lua.LFunction); ok {
				return state, fn, nil
			}
			break
		}
		n++
	}
	state.Close()
	return nil, nil, &sandbox.Error{File: p.of.script.File(), Line: p.Line, Msg: "plan \"" + p.Name + "\" is not there any more when the file runs again"}
}
