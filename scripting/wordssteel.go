package scripting

import (
	"math"
	"strings"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

var (
	casterClass   = newClass("a caster")
	heatClass     = newClass("a heat")
	ironClass     = newClass("the iron side")
	overflowClass = newClass("the overflow yard")
	furnaceClass  = newClass("a furnace")
	furnacesClass = newClass("the furnaces")
)

// speedArg reads a casting speed: "0.66 m/min", or "60 %" of normal. m/s.
func speedArg(l *lua.LState, spec *works.CasterSpec) float64 {
	text := textArg(l, 1, "a casting speed", `"0.66 m/min"`)
	if strings.HasSuffix(text, "%") {
		share, err := quantity.Parse(text, quantity.Fraction)
		if err != nil {
			l.RaiseError("%s", sentence(err))
		}
		return share * spec.Normal
	}
	v, err := quantity.Parse(text, quantity.Speed)
	if err != nil {
		l.RaiseError("%s", sentence(err))
	}
	return v
}

func init() {
	c := casterClass
	spec := func(d *Director, h *handle) *works.CasterSpec { return &d.w.P.Spec.Casters[h.n] }
	look := func(get func(works.CasterView) lua.LValue) func(*Director, *lua.LState, *handle) lua.LValue {
		return func(d *Director, _ *lua.LState, h *handle) lua.LValue { return get(d.w.Caster(h.n)) }
	}
	c.field("name", "its name", func(d *Director, _ *lua.LState, h *handle) lua.LValue { return lua.LString(spec(d, h).Name) })
	c.field("speed", "m/min now", look(func(v works.CasterView) lua.LValue { return number(v.Speed * 60) }))
	c.field("ordered", "m/min ordered", look(func(v works.CasterView) lua.LValue { return number(v.Ordered * 60) }))
	c.field("normal", "m/min", func(d *Director, _ *lua.LState, h *handle) lua.LValue { return number(spec(d, h).Normal * 60) })
	c.field("slowest", "m/min", func(d *Director, _ *lua.LState, h *handle) lua.LValue { return number(spec(d, h).Slowest * 60) })
	c.field("casting", "steel is being fed", look(func(v works.CasterView) lua.LValue { return lua.LBool(v.Casting) }))
	c.field("closed", "it starts no new sequence", look(func(v works.CasterView) lua.LValue { return lua.LBool(v.Closed) }))
	c.field("phase", `"casting", "running out", "turnaround", "starved", "down", "maintenance"`, look(func(v works.CasterView) lua.LValue { return lua.LString(v.Phase) }))
	c.field("table", "slabs on the run-out table", look(func(v works.CasterView) lua.LValue { return number(float64(v.Table)) }))
	c.field("table_free", "places free on the run-out table", look(func(v works.CasterView) lua.LValue { return number(float64(v.Places - v.Table)) }))
	c.field("sequence_heats", "heats of this sequence, cast or on their way", look(func(v works.CasterView) lua.LValue { return number(float64(v.Heats)) }))
	speed := func(d *Director, l *lua.LState, h *handle, v float64) int {
		return d.order(l, works.Order{Lever: works.SetCasterSpeed, Unit: d.w.P.CasterUnit(h.n), Value: v})
	}
	c.lever("speed_to", `speed_to("1.2 m/min")`, func(d *Director, l *lua.LState, h *handle) int {
		return speed(d, l, h, speedArg(l, spec(d, h)))
	})
	c.lever("slow_to", `slow_to("0.66 m/min"): never faster than now ordered`, func(d *Director, l *lua.LState, h *handle) int {
		v := speedArg(l, spec(d, h))
		if v >= d.w.Caster(h.n).Ordered {
			l.Push(lua.LTrue) // it is as slow already
			return 1
		}
		return speed(d, l, h, v)
	})
	c.lever("normal_speed", "normal_speed()", func(d *Director, l *lua.LState, h *handle) int { return speed(d, l, h, spec(d, h).Normal) })
	c.lever("end_sequence", "end_sequence(): when the open ladle is empty", func(d *Director, l *lua.LState, h *handle) int {
		return d.order(l, works.Order{Lever: works.EndSequence, Unit: d.w.P.CasterUnit(h.n)})
	})
	c.lever("reopen", "reopen(): it may start sequences again", func(d *Director, l *lua.LState, h *handle) int {
		return d.order(l, works.Order{Lever: works.ReopenCaster, Unit: d.w.P.CasterUnit(h.n)})
	})

	heats()
	ironAndYard()
	furnaces()
}

func heats() {
	c := heatClass
	look := func(get func(d *Director, v works.HeatView) lua.LValue) func(*Director, *lua.LState, *handle) lua.LValue {
		return func(d *Director, _ *lua.LState, h *handle) lua.LValue {
			for _, v := range d.w.HeatViews() {
				if int(v.Number) == h.n {
					return get(d, v)
				}
			}
			return get(d, works.HeatView{Number: int32(h.n), Stage: "gone", OpenBy: calendar.Never})
		}
	}
	c.field("number", "its number", look(func(_ *Director, v works.HeatView) lua.LValue { return number(float64(v.Number)) }))
	c.field("caster", "the caster it is for", look(func(_ *Director, v works.HeatView) lua.LValue { return lua.LString(v.Caster) }))
	c.field("stage", `"in treatment", "waiting", "at the reheat stand", "open", "gone"`, look(func(_ *Director, v works.HeatView) lua.LValue { return lua.LString(v.Stage) }))
	c.field("above_liquidus", "C above liquidus now", look(func(_ *Director, v works.HeatView) lua.LValue { return number(v.AboveK) }))
	c.field("open_by", "hours since the start by which it must be opened", look(func(_ *Director, v works.HeatView) lua.LValue {
		if v.OpenBy == calendar.Never {
			return number(math.Inf(1))
		}
		return number(hoursOf(v.OpenBy))
	}))
	c.field("hours_left", "hours in which it must be opened", look(func(d *Director, v works.HeatView) lua.LValue {
		if v.OpenBy == calendar.Never {
			return number(math.Inf(1))
		}
		return number(math.Max(0, hoursOf(v.OpenBy-d.now)))
	}))
	c.lever("return_heat", "return_heat(): pour it back", func(d *Director, l *lua.LState, h *handle) int {
		return d.order(l, works.Order{Lever: works.ReturnHeat, Unit: -1, Heat: int32(h.n)})
	})
	c.lever("divert_to", `divert_to("C2")`, func(d *Director, l *lua.LState, h *handle) int {
		return d.order(l, works.Order{Lever: works.DivertHeat, Unit: d.w.P.CasterUnit(d.casterArg(l, 1)), Heat: int32(h.n)})
	})
	c.lever("hold", "hold(): at the reheat stand", func(d *Director, l *lua.LState, h *handle) int {
		return d.order(l, works.Order{Lever: works.HoldHeat, Unit: -1, Heat: int32(h.n)})
	})
}

func ironAndYard() {
	c := ironClass
	c.field("wind", "share of full wind ordered", func(d *Director, _ *lua.LState, _ *handle) lua.LValue { return number(d.w.Iron().Wind) })
	c.field("rate", "t/h of hot metal", func(d *Director, _ *lua.LState, _ *handle) lua.LValue { return number(d.w.Iron().Rate * 3.6) })
	c.field("torpedoes", "tonnes of hot metal", func(d *Director, _ *lua.LState, _ *handle) lua.LValue {
		v, _ := d.w.Stock("torpedoes")
		return number(v.Level / 1e3)
	})
	c.field("torpedoes_free", "tonnes of room", func(d *Director, _ *lua.LState, _ *handle) lua.LValue {
		v, _ := d.w.Stock("torpedoes")
		return number(v.Free / 1e3)
	})
	wind := func(d *Director, l *lua.LState, share float64) int {
		return d.order(l, works.Order{Lever: works.SetWind, Unit: d.w.P.UnitsNamed("iron supply")[0], Value: share})
	}
	c.lever("cut_wind_to", `cut_wind_to("70 %")`, func(d *Director, l *lua.LState, _ *handle) int {
		share := shareOf(l, l.Get(2), "wind")
		if share > 0.999 {
			share = -1 // nobody cuts to full wind: it follows the torpedoes again
		}
		return wind(d, l, share)
	})
	c.lever("full_wind", "full_wind()", func(d *Director, l *lua.LState, _ *handle) int { return wind(d, l, 1) })
	c.lever("as_usual", "as_usual(): the wind follows the torpedoes again", func(d *Director, l *lua.LState, _ *handle) int { return wind(d, l, -1) })

	o := overflowClass
	amount := func(get func(works.StockView) float64) func(*Director, *lua.LState, *handle) lua.LValue {
		return func(d *Director, _ *lua.LState, _ *handle) lua.LValue {
			v, _ := d.w.Stock("overflow yard")
			return number(get(v) / 1e3)
		}
	}
	o.field("level", "tonnes", amount(func(v works.StockView) float64 { return v.Level }))
	o.field("room", "tonnes", amount(func(v works.StockView) float64 { return v.Room }))
	o.field("free", "tonnes", amount(func(v works.StockView) float64 { return v.Free }))
	o.field("is_open", "slabs are being trucked there", func(d *Director, _ *lua.LState, _ *handle) lua.LValue { return lua.LBool(d.w.OverflowOpen()) })
	o.lever("open", "open(): truck slabs there while the yard is high", func(d *Director, l *lua.LState, _ *handle) int {
		return d.order(l, works.Order{Lever: works.OpenOverflow, Unit: -1})
	})
	o.lever("close", "close()", func(d *Director, l *lua.LState, _ *handle) int {
		return d.order(l, works.Order{Lever: works.CloseOverflow, Unit: -1})
	})
}

func furnaces() {
	back := func(unit func(d *Director, h *handle) int, steps func(d *Director, h *handle) int) (set, forward method) {
		order := func(d *Director, l *lua.LState, h *handle, step int) int {
			return d.order(l, works.Order{Lever: works.SetFurnacesBack, Unit: unit(d, h), Value: float64(step)})
		}
		set = func(d *Director, l *lua.LState, h *handle) int {
			switch v := l.Get(2).(type) {
			case lua.LNumber:
				if v != lua.LNumber(int(v)) || v < 0 || v > 100 {
					l.RaiseError("a set-back step is a whole number, such as 1")
				}
				return order(d, l, h, int(v))
			case lua.LString:
				if v == "deep" {
					return order(d, l, h, steps(d, h))
				}
				d.noSuch(l, "set-back", string(v), []string{"1", "2", "deep"})
			}
			l.RaiseError(`set_back needs a step: 1, 2 or "deep"`)
			return 0
		}
		forward = func(d *Director, l *lua.LState, h *handle) int { return order(d, l, h, 0) }
		return set, forward
	}
	all, allForward := back(func(*Director, *handle) int { return -1 }, func(d *Director, _ *handle) int {
		n := math.MaxInt
		for i := range d.w.P.Spec.Furnaces {
			n = min(n, len(d.w.P.Spec.Furnaces[i].SetBacks))
		}
		return n
	})
	const backNote, forwardNote = `set_back(1 | 2 | "deep")`, "forward(): back to the set-point"
	furnacesClass.lever("set_back", backNote, all)
	furnacesClass.lever("forward", forwardNote, allForward)

	c := furnaceClass
	one, oneForward := back(func(d *Director, h *handle) int { return d.w.P.FurnaceUnit(h.n) },
		func(d *Director, h *handle) int { return len(d.w.P.Spec.Furnaces[h.n].SetBacks) })
	c.lever("set_back", backNote, one)
	c.lever("forward", forwardNote, oneForward)
	look := func(get func(works.FurnaceView) lua.LValue) func(*Director, *lua.LState, *handle) lua.LValue {
		return func(d *Director, _ *lua.LState, h *handle) lua.LValue { return get(d.w.Furnace(h.n)) }
	}
	c.field("name", "its name", func(d *Director, _ *lua.LState, h *handle) lua.LValue {
		return lua.LString(d.w.P.Spec.Furnaces[h.n].Name)
	})
	c.field("step", "set-back step in force, 0 at the set-point", look(func(v works.FurnaceView) lua.LValue { return number(float64(v.Step)) }))
	c.field("below", "C below the set-point", look(func(v works.FurnaceView) lua.LValue { return number(v.Below) }))
	c.field("slabs", "slabs in it", look(func(v works.FurnaceView) lua.LValue { return number(float64(v.Slabs)) }))
	c.field("places", "slabs it holds", look(func(v works.FurnaceView) lua.LValue { return number(float64(v.Places)) }))
	c.field("waiting", "a slab at heat waits to be drawn", look(func(v works.FurnaceView) lua.LValue { return lua.LBool(v.Waiting) }))
}
