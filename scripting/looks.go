package scripting

import (
	"math"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/calendar"
	"millrace/sim/works"
)

// What a plan may look at on the cold side: masses in tonnes, times in hours.

// looks adds fields that read one view of the works.
type looks[V any] struct {
	c    *class
	view func(w *works.Works) V
}

func (k looks[V]) number(name, note string, get func(v V) float64) {
	k.c.field(name, note, func(d *Director, _ *lua.LState, _ *handle) lua.LValue { return number(get(k.view(d.w))) })
}

func (k looks[V]) truth(name, note string, get func(v V) bool) {
	k.c.field(name, note, func(d *Director, _ *lua.LState, _ *handle) lua.LValue { return lua.LBool(get(k.view(d.w))) })
}

func (k looks[V]) count(name, note string, get func(v V) int) {
	k.number(name, note, func(v V) float64 { return float64(get(v)) })
}

func coldLooks() {
	storeClass.field("oldest", "hours that the oldest coil has lain there; 0 when empty and for stores before the coil yard", func(d *Director, _ *lua.LState, h *handle) lua.LValue {
		return number(d.w.Oldest(h.name) / 3600)
	})

	y := looks[works.CoilYardView]{coilYardClass, (*works.Works).CoilYard}
	y.number("cooling", "tonnes too hot to go on", func(v works.CoilYardView) float64 { return v.Cooling / 1e3 })
	y.number("cool", "tonnes that may be pickled or dispatched", func(v works.CoilYardView) float64 { return v.Cool / 1e3 })
	coilYardClass.field("next_cool", "hours until the next coil is cool", func(d *Director, _ *lua.LState, _ *handle) lua.LValue {
		if next := d.w.CoilYard().Next; next != calendar.Never {
			return number(math.Max(0, hoursOf(next-d.now)))
		}
		return number(math.Inf(1))
	})
	y.truth("forced", "fans or water are on", func(v works.CoilYardView) bool { return v.Forced })
	coilYardClass.method("cool_within", `cool_within("24 h"): tonnes that will be cool enough to be pickled by then, of those that cool now`, func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(number(d.w.CoolWithin(timeArg(l, 1)) / 1e3))
		return 1
	})

	p := looks[works.PickleView]{pickleLineClass, (*works.Works).PickleLine}
	p.number("ordered", "share of the usual process speed that is ordered, 1 for all of it", func(v works.PickleView) float64 { return v.Speed })
	p.number("acid", "share of that which the acid allows, 1 with fresh acid", func(v works.PickleView) float64 { return v.Acid })
	p.number("looper", "seconds of strip left in the entry looper", func(v works.PickleView) float64 { return v.Looper })
	p.truth("in_acid", "the strip stands in the acid", func(v works.PickleView) bool { return v.InAcid })
	p.truth("sends_outside", "coils are being sent outside", func(v works.PickleView) bool { return v.Outside })
	p.number("away", "tonnes outside, to be pickled or on the road", func(v works.PickleView) float64 { return v.Away / 1e3 })

	m := looks[works.ColdMillView]{coldMillClass, (*works.Works).ColdMill}
	coldMillClass.field("product", "the product rolled last", func(d *Director, _ *lua.LState, _ *handle) lua.LValue { return lua.LString(d.w.ColdMill().Product) })
	m.count("coils_on_rolls", "coils since the rolls were changed", func(v works.ColdMillView) int { return v.Coils })
	m.count("roll_set", "coils that a set of rolls lasts", func(v works.ColdMillView) int { return v.RollSet })

	a := looks[works.AnnealView]{annealClass, (*works.Works).Annealing}
	for _, k := range []struct {
		word, note string
		get        func(v works.AnnealView) int
	}{
		{"bases", "how many there are", func(v works.AnnealView) int { return v.Bases }},
		{"empty", "bases without a stack", func(v works.AnnealView) int { return v.Empty }},
		{"heating", "bases under a bell", func(v works.AnnealView) int { return v.Heating }},
		{"cooling", "bases under a cooler", func(v works.AnnealView) int { return v.Cooling }},
		{"standing", "bases that wait: for a bell, a cooler, a crane or room on the floor", func(v works.AnnealView) int { return v.Waiting }},
		{"bells", "heating bells", func(v works.AnnealView) int { return v.Bells }},
		{"bells_free", "heating bells on no base", func(v works.AnnealView) int { return v.BellsFree }},
		{"coolers", "cooling covers", func(v works.AnnealView) int { return v.Coolers }},
		{"coolers_free", "cooling covers on no base", func(v works.AnnealView) int { return v.CoolersFree }},
	} {
		a.count(k.word, k.note, k.get)
	}
	a.truth("gas", "there is protective gas", func(v works.AnnealView) bool { return v.Gas })

	t := looks[works.TemperView]{temperMillClass, (*works.Works).TemperMill}
	t.number("ready", "tonnes of annealed coils cool enough for it", func(v works.TemperView) float64 { return v.Ready / 1e3 })
	t.number("on_floor", "tonnes of annealed coils that are not", func(v works.TemperView) float64 { return v.OnFloor / 1e3 })
	t.truth("skipped", "coils are sold untempered", func(v works.TemperView) bool { return v.Skipped })

	s := looks[works.DispatchView]{dispatchClass, (*works.Works).Dispatch}
	s.truth("blocked", "nothing leaves", func(v works.DispatchView) bool { return v.Blocked })
	s.truth("due_first", "what is due first goes first", func(v works.DispatchView) bool { return v.ByDueDate })
	s.number("late", "tonnes of the order book that are due and have not left", func(v works.DispatchView) float64 { return v.Late / 1e3 })

	o := looks[bool]{overtimeClass, (*works.Works).OnOvertime}
	o.truth("worked", "it is being worked", func(v bool) bool { return v })
}
