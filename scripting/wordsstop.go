package scripting

import (
	"math"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/calendar"
	"millrace/sim/works"
)

var (
	stopClass  = newClass("a stop")
	tokenClass = newClass("the word on a stop")
	storeClass = newClass("a store")
	unitClass  = newClass("a unit")
)

// stop is what people know of the upset behind a handle.
func (d *Director) stop(l *lua.LState, h *handle) works.StopView {
	v, ok := d.w.Stop(h.n)
	if !ok {
		l.RaiseError("that stop is not known any more")
	}
	return v
}

// toldStop is stop where somebody has said how long it will last.
func (d *Director) toldStop(l *lua.LState, h *handle) works.StopView {
	v := d.stop(l, h)
	if !v.Told {
		l.RaiseError("nobody has said yet how long it will last; wait for it with works:await(stop.first_word)")
	}
	return v
}

func init() {
	c := stopClass
	c.field("unit", "name of the unit", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return lua.LString(d.w.P.Route.Units[d.stop(l, h).Unit].Name)
	})
	c.field("kind", "kind of upset", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return lua.LString(works.Kinds[d.stop(l, h).Kind].Name)
	})
	c.field("began", "hours since the start of the run", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return number(hoursOf(d.stop(l, h).Began))
	})
	c.field("over", "the unit works again", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return lua.LBool(d.stop(l, h).Over)
	})
	c.field("heard", "somebody has said how long it will last", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return lua.LBool(d.stop(l, h).Told)
	})
	c.field("lasted", "hours since it began", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return number(hoursOf(d.now - d.stop(l, h).Began))
	})
	c.field("told", "told.low, told.likely, told.bad: hours from the start of the stop", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		v := d.toldStop(l, h)
		t := l.CreateTable(0, 3)
		t.RawSetString("low", number(hoursOf(v.Low-v.Began)))
		t.RawSetString("likely", number(hoursOf(v.Likely-v.Began)))
		t.RawSetString("bad", number(hoursOf(v.Bad-v.Began)))
		return t
	})
	remaining := func(end func(works.StopView) calendar.Time) func(*Director, *lua.LState, *handle) lua.LValue {
		return func(d *Director, l *lua.LState, h *handle) lua.LValue {
			return number(math.Max(0, hoursOf(end(d.toldStop(l, h))-d.now)))
		}
	}
	c.field("remaining_low", "hours from now, at best", remaining(func(v works.StopView) calendar.Time { return v.Low }))
	c.field("remaining_likely", "hours from now, likely", remaining(func(v works.StopView) calendar.Time { return v.Likely }))
	c.field("remaining_bad", "hours from now, at worst", remaining(func(v works.StopView) calendar.Time { return v.Bad }))
	c.field("first_word", "to be awaited: somebody says how long", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return d.handle(l, handle{c: tokenClass, n: h.n})
	})
	c.field("next_word", "to be awaited: somebody says more", func(d *Director, l *lua.LState, h *handle) lua.LValue {
		return d.handle(l, handle{c: tokenClass, n: h.n, due: true, at: d.stop(l, h).LastWord})
	})

	s := storeClass
	stock := func(get func(works.StockView) float64, share bool) func(*Director, *lua.LState, *handle) lua.LValue {
		return func(d *Director, l *lua.LState, h *handle) lua.LValue {
			v, _ := d.w.Stock(h.name)
			x := get(v)
			switch {
			case share:
			case v.Energy:
				x /= 1e9
			default:
				x /= 1e3
			}
			return number(x)
		}
	}
	s.field("level", "tonnes (GJ of fuel gas)", stock(func(v works.StockView) float64 { return v.Level }, false))
	s.field("room", "tonnes (GJ of fuel gas)", stock(func(v works.StockView) float64 { return v.Room }, false))
	s.field("free", "tonnes (GJ of fuel gas)", stock(func(v works.StockView) float64 { return v.Free }, false))
	s.field("low", "lower end of the normal band", stock(func(v works.StockView) float64 { return v.Low }, false))
	s.field("normal", "normal level", stock(func(v works.StockView) float64 { return v.Normal }, false))
	s.field("high", "upper end of the normal band", stock(func(v works.StockView) float64 { return v.High }, false))
	s.field("full", "level over room, 0 to 1", stock(func(v works.StockView) float64 {
		if v.Room <= 0 {
			return 0
		}
		return v.Level / v.Room
	}, true))

	u := unitClass
	u.field("name", "its name", func(d *Director, _ *lua.LState, h *handle) lua.LValue {
		return lua.LString(d.w.P.Route.Units[h.n].Name)
	})
	u.field("state", `"running", "starved", "blocked", "down", ...`, func(d *Director, _ *lua.LState, h *handle) lua.LValue {
		return lua.LString(d.w.StateOf(h.n).String())
	})
	u.field("stands", "it is down or being maintained", func(d *Director, _ *lua.LState, h *handle) lua.LValue {
		return lua.LBool(d.w.Standing(h.n))
	})
}
