package scripting

import (
	"errors"
	"slices"

	lua "github.com/yuin/gopher-lua"

	"millrace/scripting/sandbox"
	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// worksClass is the works as a plan meets it.
var worksClass = newClass("the works")

// order pulls a lever. It gives true, or false and the reason in words; the
// refusal is on record.
func (d *Director) order(l *lua.LState, o works.Order) int {
	if o.Heat == 0 {
		o.Heat = -1
	}
	err := d.w.Do(o)
	if err == nil {
		l.Push(lua.LTrue)
		return 1
	}
	var no *works.Refusal
	why := err.Error()
	if errors.As(err, &no) {
		why = no.Reason()
	}
	l.Push(lua.LFalse)
	l.Push(lua.LString(why))
	return 2
}

func init() {
	c := worksClass

	// Waiting.
	c.method("await", `await("2 h" | condition | stop.first_word [, "for at most 10 h"])`, func(d *Director, l *lua.LState, _ *handle) int {
		switch v := l.Get(2).(type) {
		case *lua.LFunction:
			d.wait = wait{what: forCondition, fn: v, until: d.limitArg(l, 2)}
		case *lua.LUserData:
			h, ok := v.Value.(*handle)
			if !ok || h.c != tokenClass {
				l.RaiseError(`this cannot be awaited; wait for a length of time, a condition, or the word on a stop`)
			}
			d.wait = wait{what: forWord, stop: h.n, heard: h.at, first: !h.due, until: d.limitArg(l, 2)}
		default:
			d.wait = wait{what: forTime, until: d.now + timeArg(l, 1)}
		}
		return sandbox.Yield(l)
	})
	c.method("await_until", `await_until("2031-11-08 06:00" | "06:00")`, func(d *Director, l *lua.LState, _ *handle) int {
		text := textArg(l, 1, "a date and time", `"2031-11-08 06:00"`)
		at, err := quantity.ParseClock(text)
		if err != nil {
			var err2 error
			if at, err2 = quantity.ParseClockNext(text, d.clock(d.now)); err2 != nil {
				l.RaiseError("%s", sentence(err))
			}
		}
		d.wait = wait{what: forTime, until: max(d.now, calendar.Dur(at.Sub(d.clock(0))))}
		return sandbox.Yield(l)
	})
	c.method("await_stop", `await_stop("finishing train" [, "4 h"]): the next stop, if given the next whose told length is likely that long or longer`, func(d *Director, l *lua.LState, _ *handle) int {
		k := wait{what: forStop, units: d.unitsArg(l, 1), until: calendar.Never}
		if l.Get(3) != lua.LNil {
			k.least = timeArg(l, 2)
		}
		d.wait = k
		return sandbox.Yield(l)
	})
	c.method("await_restart", `await_restart("finishing train" [, "for at most 10 h"]): gives the works again`, func(d *Director, l *lua.LState, _ *handle) int {
		d.wait = wait{what: forRestart, units: d.unitsArg(l, 1), until: d.limitArg(l, 2)}
		return sandbox.Yield(l)
	})

	// Looking.
	c.method("now", "now(): hours since the start", func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(number(hoursOf(d.now)))
		return 1
	})
	c.method("clock", "clock(): date and time as a text", func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(lua.LString(d.clock(d.now).String()))
		return 1
	})
	c.method("store", `store("slab yard")`, func(d *Director, l *lua.LState, _ *handle) int {
		name := textArg(l, 1, "the name of a store", `"slab yard"`)
		if _, ok := d.w.Stock(name); !ok {
			d.noSuch(l, "store", name, d.w.P.StockNames())
		}
		l.Push(d.handle(l, handle{c: storeClass, name: name}))
		return 1
	})
	c.method("unit", `unit("rougher")`, func(d *Director, l *lua.LState, _ *handle) int {
		us := d.unitsArg(l, 1)
		l.Push(d.handle(l, handle{c: unitClass, n: us[0]}))
		return 1
	})
	c.method("caster", `caster("C1")`, func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(d.handle(l, handle{c: casterClass, n: d.casterArg(l, 1)}))
		return 1
	})
	c.method("furnace", `furnace("F1")`, func(d *Director, l *lua.LState, _ *handle) int {
		name := textArg(l, 1, "the name of a furnace", `"F1"`)
		var names []string
		for i := range d.w.P.Spec.Furnaces {
			names = append(names, d.w.P.Spec.Furnaces[i].Name)
		}
		i := slices.Index(names, name)
		if i < 0 {
			d.noSuch(l, "furnace", name, names)
		}
		l.Push(d.handle(l, handle{c: furnaceClass, n: i}))
		return 1
	})
	c.method("furnaces", "furnaces(): all of them together", func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(d.handle(l, handle{c: furnacesClass}))
		return 1
	})
	c.method("heats", "heats(): the heats that are tapped, by number", func(d *Director, l *lua.LState, _ *handle) int {
		t := l.NewTable()
		for _, h := range d.w.HeatViews() {
			t.Append(d.handle(l, handle{c: heatClass, n: int(h.Number)}))
		}
		l.Push(t)
		return 1
	})
	c.method("iron", "iron(): blast furnace and torpedoes", func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(d.handle(l, handle{c: ironClass}))
		return 1
	})
	c.method("overflow", "overflow(): the overflow yard", func(d *Director, l *lua.LState, _ *handle) int {
		l.Push(d.handle(l, handle{c: overflowClass}))
		return 1
	})
	c.method("note", `note("text"): write something down`, func(d *Director, l *lua.LState, _ *handle) int {
		const most = 1000
		if len(d.notes) < most {
			d.notes = append(d.notes, Note{d.now, textArg(l, 1, "a text", `"told the roll shop"`)})
		}
		return 0
	})

	// Levers.
	c.lever("charge", `charge("heavy gauges first"): which slabs are charged first`, func(d *Director, l *lua.LState, _ *handle) int {
		rule := textArg(l, 1, "a charging rule", `"`+works.Rules()[0]+`"`)
		i := slices.Index(works.Rules(), rule)
		if i < 0 {
			d.noSuch(l, "charging rule", rule, works.Rules())
		}
		return d.order(l, works.Order{Lever: works.ChargeRule, Unit: -1, Value: float64(i)})
	})
	c.lever("change_rolls", "change_rolls(): while the mill stands", func(d *Director, l *lua.LState, _ *handle) int {
		return d.order(l, works.Order{Lever: works.ChangeRolls, Unit: d.w.P.TrainUnit()})
	})
	c.lever("pull_planned_stop", `pull_planned_stop("hot mill"): do the planned stop now`, func(d *Director, l *lua.LState, _ *handle) int {
		name := textArg(l, 1, "the unit of a planned stop", `"hot mill"`)
		u := d.w.P.TrainUnit()
		switch name {
		case "hot mill", "finishing train":
		default:
			u = d.w.P.CasterUnit(d.casterArg(l, 1, "hot mill"))
		}
		return d.order(l, works.Order{Lever: works.PullPlanned, Unit: u})
	})
	c.lever("restart_ramp", `restart_ramp{ pace = "70 %", slabs = 6 }: restart slowly, with easy slabs`, func(d *Director, l *lua.LState, _ *handle) int {
		t, ok := l.Get(2).(*lua.LTable)
		if !ok {
			l.RaiseError("%s", `restart_ramp needs { pace = "70 %", slabs = 6 }`)
		}
		o := works.Order{Lever: works.RestartRamp, Unit: d.w.P.TrainUnit(), Value: -1}
		t.ForEach(func(k, v lua.LValue) {
			switch k.String() {
			case "pace":
				o.Value = shareOf(l, v, "pace")
			case "slabs":
				n, ok := v.(lua.LNumber)
				if !ok || n < 0 || n != lua.LNumber(int(n)) || n > 1000 {
					l.RaiseError("slabs must be a whole number, such as 6")
				}
				o.N = int(n)
			default:
				l.RaiseError("unknown key '%s' of restart_ramp; its keys are pace, slabs", k.String())
			}
		})
		if o.Value < 0 {
			l.RaiseError("%s", `restart_ramp needs a pace, such as "70 %"`)
		}
		return d.order(l, o)
	})
	c.lever("stop_tapping", "stop_tapping(): begin no more heats", func(d *Director, l *lua.LState, _ *handle) int {
		return d.order(l, works.Order{Lever: works.StopTapping, Unit: -1})
	})
	c.lever("resume_tapping", "resume_tapping(): begin heats again", func(d *Director, l *lua.LState, _ *handle) int {
		return d.order(l, works.Order{Lever: works.ResumeTapping, Unit: -1})
	})

	coldWords()
}

// noSuch raises that a thing is not there, with the nearest that is.
func (d *Director) noSuch(l *lua.LState, what, name string, names []string) {
	if near, ok := quantity.Nearest(name, names); ok {
		l.RaiseError("there is no %s '%s', did you mean '%s'?", what, name, near)
	}
	l.RaiseError("there is no %s '%s'; there are %s", what, name, plainList(names))
}

// unitsArg is the unit or units a name means.
func (d *Director) unitsArg(l *lua.LState, i int) []int {
	name := textArg(l, i, "the name of a unit", `"finishing train"`)
	us := d.w.P.UnitsMeant(name)
	if len(us) == 0 {
		d.noSuch(l, "unit", name, stopNames(&d.w.P.Spec))
	}
	return us
}

// casterArg is the number of a caster; others are names that would be right too.
func (d *Director) casterArg(l *lua.LState, i int, others ...string) int {
	name := textArg(l, i, "the name of a caster", `"C1"`)
	var names []string
	for c := range d.w.P.Spec.Casters {
		names = append(names, d.w.P.Spec.Casters[c].Name)
	}
	c := slices.Index(names, name)
	if c < 0 {
		d.noSuch(l, "caster", name, append(others, names...))
	}
	return c
}

// shareOf reads "70 %" or 0.7.
func shareOf(l *lua.LState, v lua.LValue, what string) float64 {
	switch v := v.(type) {
	case lua.LNumber:
		return float64(v)
	case lua.LString:
		x, err := quantity.ParseShare(string(v))
		if err != nil {
			l.RaiseError("%s: %s", what, sentence(err))
		}
		return x
	}
	l.RaiseError(`%s: a share is needed, such as "70 %%"`, what)
	return 0
}
