package scripting

import (
	"strings"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

var (
	coilYardClass   = newClass("the coil yard")
	pickleLineClass = newClass("the pickle line")
	coldMillClass   = newClass("the cold mill")
	annealClass     = newClass("the annealing shop")
	temperMillClass = newClass("the temper mill")
	dispatchClass   = newClass("the dispatch")
	overtimeClass   = newClass("the overtime")
)

// paceArg reads a process speed as a share of what the line runs by itself: "60 %".
func paceArg(l *lua.LState) float64 {
	text := textArg(l, 1, "a share of the usual process speed", `"60 %"`)
	if !strings.HasSuffix(strings.TrimSpace(text), "%") {
		l.RaiseError("%s", `the usual process speed changes with the coil: write a share of it, such as "60 %"`)
	}
	share, err := quantity.Parse(text, quantity.Fraction)
	if err != nil {
		l.RaiseError("%s", sentence(err))
	}
	return share
}

// coldWords are the words of the cold side.
func coldWords() {
	for _, k := range []struct {
		word, note string
		c          *class
	}{
		{"coil_yard", "coil_yard(): the coil floor, where coils cool", coilYardClass},
		{"pickle_line", "pickle_line()", pickleLineClass},
		{"cold_mill", "cold_mill(): the tandem mill", coldMillClass},
		{"annealing", "annealing(): bases, bells and coolers", annealClass},
		{"temper_mill", "temper_mill()", temperMillClass},
		{"dispatch", "dispatch(): what is rolled cold and shipped first", dispatchClass},
		{"overtime", "overtime(): on pickle line, temper mill and dispatch", overtimeClass},
	} {
		worksClass.method(k.word, k.note, func(d *Director, l *lua.LState, _ *handle) int {
			l.Push(d.handle(l, handle{c: k.c}))
			return 1
		})
	}
	coldLooks()
	// A lever that is on or off, with the word for either.
	either := func(c *class, lever works.Lever, unit, on, onNote, off, offNote string) {
		set := func(value float64) method {
			return func(d *Director, l *lua.LState, _ *handle) int {
				return d.order(l, works.Order{Lever: lever, Unit: d.unitOr(unit), Value: value})
			}
		}
		c.lever(on, onNote, set(1))
		c.lever(off, offNote, set(0))
	}
	either(coilYardClass, works.ForceCooling, "",
		"force_cooling", "force_cooling(): fans or water on the coils that lie to cool", "natural_cooling", "natural_cooling(): in still air again")

	p := pickleLineClass
	pace := func(d *Director, l *lua.LState, v float64) int {
		return d.order(l, works.Order{Lever: works.ProcessSpeed, Unit: d.unitOr("pickle line"), Value: v})
	}
	p.lever("speed_to", `speed_to("60 %"): of the process speed that the coil would be given, 30 % to 125 %; above 100 % scale is left`, func(d *Director, l *lua.LState, _ *handle) int {
		return pace(d, l, paceArg(l))
	})
	p.lever("normal_speed", "normal_speed()", func(d *Director, l *lua.LState, _ *handle) int { return pace(d, l, 1) })
	either(p, works.OutsidePickling, "outside pickling",
		"send_outside", "send_outside(): coils go to be pickled outside, as many as the works file says", "keep_inside", "keep_inside(): no more coils go outside")

	either(temperMillClass, works.SkipTemper, "temper mill",
		"skip", "skip(): annealed coils are sold untempered", "as_usual", "as_usual(): annealed coils are tempered again")
	either(dispatchClass, works.ByDueDate, "",
		"by_due_date", "by_due_date(): the cold mill rolls and the slots take what is due first", "as_they_lie", "as_they_lie(): the usual campaigns, oldest first")
	either(overtimeClass, works.WorkOvertime, "",
		"begin", "begin(): every line with an overtime in the works file works it", "finish", "finish(): no more overtime")
}

// unitOr is the number of a unit, -1 for none or where the works has none such.
func (d *Director) unitOr(name string) int {
	if us := d.w.P.UnitsNamed(name); len(us) > 0 {
		return us[0]
	}
	return -1
}
