package scenarios_test

import (
	"errors"
	"testing"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

// once is a plan in Go: at some times it does something.
type once struct {
	at []calendar.Time
	do []func(w *works.Works)
}

func (o *once) Wants() (calendar.Time, uint32) {
	if len(o.at) == 0 {
		return calendar.Never, 0
	}
	return o.at[0], 0
}

func (o *once) Ask(w *works.Works) {
	for len(o.at) > 0 && w.Now() >= o.at[0] {
		do := o.do[0]
		o.at, o.do = o.at[1:], o.do[1:]
		do(w)
	}
}

func plan(steps ...any) func() works.Director {
	return func() works.Director {
		o := &once{}
		for i := 0; i+1 < len(steps); i += 2 {
			o.at = append(o.at, calendar.Dur(steps[i].(float64)*3600))
			o.do = append(o.do, steps[i+1].(func(w *works.Works)))
		}
		return o
	}
}

// order is a step that must be obeyed in at least one future.
func order(o works.Order) func(w *works.Works) {
	return func(w *works.Works) { _ = w.Do(o) }
}

// sums adds up what the tests of levers look at, from the records.
type sums struct {
	p                                *works.Plant
	returned, pooled, rolled, hauled float64 // t
	cast, iron, cobbled, out         float64
	fuel                             float64 // GJ
	changes, reheats, sequences      float64
	yard, yardMost, rolledSoon       float64
	soonFrom, soonTo                 calendar.Time
	reheatTime, coils, skulled       float64
	opened, broken, changeover       float64
	pickled, hard, annealed          float64 // t
}

func (s *sums) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		t := float64(e.Mass) / 1e6
		switch e.Kind {
		case record.Move:
			from, to := s.p.Route.Places[max(0, e.From)].Name, s.p.Route.Places[max(0, e.To)].Name
			switch to {
			case "returned":
				s.returned += t
			case "iron pooled":
				s.pooled += t
			case "finishing train":
				s.coils++
			case "coilers":
				s.rolled += t
				if e.T >= s.soonFrom && e.T < s.soonTo {
					s.rolledSoon += t
				}
			case "pickled coils":
				s.pickled += t
			case "hard coils":
				s.hard += t
			case "annealed coils":
				s.annealed += t
			case "overflow yard":
				s.hauled += t
			case "cobble":
				s.cobbled++
			case "C1 run-out", "C2 run-out":
				s.cast += t
			case "cold and pickled dispatched", "hot band dispatched":
				s.out += t
			case "skull":
				s.skulled += t
			}
			if from == "blast furnace" {
				s.iron += t
			}
			if to == "slab yard" {
				s.yard += t
			}
			if from == "slab yard" {
				s.yard -= t
			}
			s.yardMost = max(s.yardMost, s.yard)
		case record.Note:
			switch works.Word(e.A) {
			case works.WordGas:
				s.fuel += float64(e.X) / 1e6
			case works.WordRolls:
				s.changes++
			case works.WordReheat:
				s.reheats++
			case works.WordReheated:
				s.reheatTime += float64(e.Y) / 3.6e9
			case works.WordSequence:
				s.sequences++
			case works.WordSequenceEnds:
				s.broken += float64(e.Y)
			case works.WordOpened:
				s.opened += float64(e.X) / 10
			}
		}
	}
}

func plantWith(t testing.TB, change func(s *works.Spec)) *works.Plant {
	t.Helper()
	from, _ := quantity.ParseClock("2031-11-07 06:00")
	w, err := scripting.LoadWorks("scenarios/larkfell/works.lua", scripting.DiskThen(scenarios.FS), from)
	if err != nil {
		t.Fatal(err)
	}
	if change == nil {
		return w.Plant
	}
	spec := w.Spec
	change(&spec)
	p, err := works.Build(spec)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// mean plays the futures and adds up what happened.
func mean(t testing.TB, p *works.Plant, script []works.UpsetSpec, hours float64, background bool, d func() works.Director, soonFrom, soonTo float64) sums {
	t.Helper()
	const futures = 8
	all := sums{p: p, soonFrom: calendar.Dur(soonFrom * 3600), soonTo: calendar.Dur(soonTo * 3600)}
	for f := range futures {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 21, Future: uint64(f)}, SoldOut: true, Script: script, Background: background})
		one := sums{p: p, soonFrom: all.soonFrom, soonTo: all.soonTo}
		w.Sink = &one
		if d != nil {
			w.Director = d()
		}
		if err := w.Run(calendar.Dur(hours * 3600)); err != nil {
			t.Fatal(err)
		}
		if errs := w.Check(); len(errs) > 0 {
			t.Fatal(errs)
		}
		one.changeover = w.States(p.UnitsNamed("finishing train")[0])[flow.Changeover]
		all.add(&one)
	}
	return all
}

func (s *sums) add(o *sums) {
	s.returned += o.returned
	s.pooled += o.pooled
	s.rolled += o.rolled
	s.hauled += o.hauled
	s.cast += o.cast
	s.iron += o.iron
	s.cobbled += o.cobbled
	s.out += o.out
	s.fuel += o.fuel
	s.changes += o.changes
	s.reheats += o.reheats
	s.sequences += o.sequences
	s.yardMost += o.yardMost
	s.rolledSoon += o.rolledSoon
	s.reheatTime += o.reheatTime
	s.coils += o.coils
	s.skulled += o.skulled
	s.opened += o.opened
	s.broken += o.broken
	s.changeover += o.changeover
}

func (s *sums) coilsASet() float64 { return s.coils / max(1, s.changes) }

func breakout(at, lasts float64) []works.UpsetSpec {
	return []works.UpsetSpec{{Kind: works.CasterBreakout, Name: "caster breakout", Unit: "C1", Scripted: true, At: at * 3600, Lasts: fixed(lasts * 3600),
		Told: works.ToldSpec{Given: true, After: 1200, Low: 4 * 3600, Likely: 10 * 3600, Bad: 30 * 3600, NextWord: 4 * 3600}}}
}

// TestLevers: every lever improves what it is for, costs something else, and is
// refused with a reason where it cannot be pulled. The same futures with and
// without it.
func TestLevers(t *testing.T) {
	p := plantWith(t, nil)
	c1, c2 := p.UnitsNamed("C1")[0], p.UnitsNamed("C2")[0]
	mill := p.UnitsNamed("finishing train")[0]
	slowest := p.Spec.Casters[0].Slowest
	both := func(v float64) func(w *works.Works) {
		return func(w *works.Works) {
			_ = w.Do(works.Order{Lever: works.SetCasterSpeed, Unit: c1, Value: v})
			_ = w.Do(works.Order{Lever: works.SetCasterSpeed, Unit: c2, Value: v})
		}
	}
	returned := func(s *sums) float64 { return s.returned }
	pooled := func(s *sums) float64 { return s.pooled }
	cast := func(s *sums) float64 { return s.cast }
	cold := plantWith(t, func(s *works.Spec) { s.Standing.Reheat = false })
	noSpace := func(s *works.Spec) { s.Standing.YardHigh = s.Yard.Room }
	fullIn := plantWith(t, noSpace)
	soon := plantWith(t, func(s *works.Spec) {
		for i := range s.Planned {
			if s.Planned[i].Unit == "hot mill" {
				s.Planned[i].First = 4 * 86400
				s.Planned[i].Every = 30 * 86400
			}
		}
	})
	for _, c := range []struct {
		name           string
		lever          works.Lever
		p              *works.Plant
		script         []works.UpsetSpec
		hours          float64
		background     bool
		from, to       float64
		with, without  func() works.Director
		better, worse  func(*sums) float64
		moreIsBetter   bool // of better
		moreIsWorse    bool // of worse
		refused        works.Order
		refusedAt      float64
		why            works.Reason
		before         func(w *works.Works) // before the refused order
		refusedNothing bool                 // refuse in a run without the upset
	}{
		{name: "slow", lever: works.SetCasterSpeed, p: fullIn, script: wreck(10, 26), hours: 40, with: plan(11.0, both(slowest)),
			better: returned, worse: cast, moreIsWorse: false, refused: works.Order{Lever: works.SetCasterSpeed, Unit: c1, Value: slowest / 2}, refusedAt: 11, why: works.ReasonTooSlow},
		{name: "fast", lever: works.SetCasterSpeed, p: p, script: breakout(10, 24), hours: 34, with: plan(10.5, order(works.Order{Lever: works.SetCasterSpeed, Unit: c2, Value: 1.4 / 60})),
			better: cast, moreIsBetter: true, worse: func(s *sums) float64 { return s.skulled/s.sequences*0 + s.sequences }, moreIsWorse: true, refused: works.Order{Lever: works.SetCasterSpeed, Unit: c2, Value: 2.5 / 60}, refusedAt: 11, why: works.ReasonTooFast},
		{name: "end sequence", lever: works.EndSequence, p: fullIn, script: wreck(10, 26), hours: 40, with: plan(14.0, order(works.Order{Lever: works.EndSequence, Unit: c1})),
			better: returned, worse: cast, moreIsWorse: false, refused: works.Order{Lever: works.EndSequence, Unit: mill}, refusedAt: 14, why: works.ReasonNotCasting},
		{name: "reopen", lever: works.ReopenCaster, p: p, script: wreck(10, 12), hours: 60, without: plan(14.0, order(works.Order{Lever: works.EndSequence, Unit: c1})),
			with:   plan(14.0, order(works.Order{Lever: works.EndSequence, Unit: c1}), 22.0, order(works.Order{Lever: works.ReopenCaster, Unit: c1})),
			better: cast, moreIsBetter: true, worse: func(s *sums) float64 { return s.sequences }, moreIsWorse: true, refused: works.Order{Lever: works.ReopenCaster, Unit: c1}, refusedAt: 14, why: works.ReasonAlready},
		{name: "return", lever: works.ReturnHeat, p: p, script: breakout(10, 8), hours: 20, with: plan(10.05, func(w *works.Works) {
			for _, h := range w.HeatViews() {
				if h.Stage != "open" {
					_ = w.Do(works.Order{Lever: works.ReturnHeat, Unit: -1, Heat: h.Number})
				}
			}
		}), better: func(s *sums) float64 { return s.reheatTime }, worse: returned, moreIsWorse: true, refused: works.Order{Lever: works.ReturnHeat, Unit: -1, Heat: 1}, refusedAt: 10, why: works.ReasonNoHeat},
		{name: "divert", lever: works.DivertHeat, p: plantWith(t, func(s *works.Spec) { s.Standing.KeepHeats = true }), script: breakout(10, 10), hours: 20, with: plan(10.1, divertAll, 10.3, divertAll, 10.6, divertAll, 11.0, divertAll),
			better: returned, worse: func(s *sums) float64 { return s.iron }, moreIsWorse: false,
			refused: works.Order{Lever: works.DivertHeat, Unit: c2, Heat: 7}, refusedAt: 6, why: works.ReasonNoHeat},
		{name: "hold", lever: works.HoldHeat, p: cold, script: breakout(10, 1), hours: 20, with: plan(10.3, holdAny, 10.6, holdAny, 10.9, holdAny, 11.2, holdAny),
			better: returned, worse: func(s *sums) float64 { return s.reheatTime }, moreIsWorse: true, refused: works.Order{Lever: works.HoldHeat, Unit: -1, Heat: 5}, refusedAt: 10, why: works.ReasonNoHeat},
		{name: "wind", lever: works.SetWind, p: p, script: wreck(10, 40), hours: 60, with: plan(10.5, order(works.Order{Lever: works.SetWind, Unit: -1, Value: p.Spec.Iron.LowWind})),
			better: pooled, worse: func(s *sums) float64 { return s.iron }, moreIsWorse: false, refused: works.Order{Lever: works.SetWind, Unit: -1, Value: 0.1}, refusedAt: 11, why: works.ReasonWindRange},
		{name: "open overflow", lever: works.OpenOverflow, p: fullIn, script: wreck(10, 26), hours: 40, with: plan(12.0, order(works.Order{Lever: works.OpenOverflow, Unit: -1})),
			better: returned, worse: func(s *sums) float64 { return s.hauled }, moreIsWorse: true, refused: works.Order{Lever: works.OpenOverflow, Unit: -1}, refusedAt: 12, why: works.ReasonAlready,
			before: order(works.Order{Lever: works.OpenOverflow, Unit: -1})},
		{name: "close overflow", lever: works.CloseOverflow, p: fullIn, script: wreck(10, 26), hours: 40, without: plan(12.0, order(works.Order{Lever: works.OpenOverflow, Unit: -1})),
			with:   plan(12.0, order(works.Order{Lever: works.OpenOverflow, Unit: -1}), 20.0, order(works.Order{Lever: works.CloseOverflow, Unit: -1})),
			better: func(s *sums) float64 { return s.hauled }, worse: func(s *sums) float64 { return s.yardMost }, moreIsWorse: true,
			refused: works.Order{Lever: works.CloseOverflow, Unit: -1}, refusedAt: 12, why: works.ReasonNotOpen},
		{name: "set back", lever: works.SetFurnacesBack, p: p, script: wreck(10, 6), hours: 40, from: 16, to: 22, with: plan(10.1, order(works.Order{Lever: works.SetFurnacesBack, Unit: -1, Value: 3})),
			better: func(s *sums) float64 { return s.fuel }, worse: func(s *sums) float64 { return s.rolledSoon }, moreIsWorse: false,
			refused: works.Order{Lever: works.SetFurnacesBack, Unit: -1, Value: 9}, refusedAt: 11, why: works.ReasonStep},
		{name: "heavy first", lever: works.ChargeRule, p: p, script: wreck(10, 12), hours: 72, with: plan(10.5, order(works.Order{Lever: works.ChargeRule, Unit: -1, Value: float64(works.RuleHeavy)})),
			better: func(s *sums) float64 { return s.rolled }, moreIsBetter: true, worse: func(s *sums) float64 { return s.coils / s.rolled }, moreIsWorse: false,
			refused: works.Order{Lever: works.ChargeRule, Unit: -1, Value: 77}, refusedAt: 11, why: works.ReasonRule},
		{name: "hottest first", lever: works.ChargeRule, p: p, hours: 72, with: plan(2.0, order(works.Order{Lever: works.ChargeRule, Unit: -1, Value: float64(works.RuleHottest)})),
			better: func(s *sums) float64 { return s.fuel }, worse: func(s *sums) float64 { return s.fuel * 0 }, moreIsWorse: true,
			refused: works.Order{Lever: works.ChargeRule, Unit: -1, Value: float64(works.RuleOldest)}, refusedAt: 2, why: works.ReasonAlready},
		{name: "change rolls", lever: works.ChangeRolls, p: p, script: wreckKeepsRolls(10, 3), hours: 30, from: 13, to: 20, with: plan(11.0, order(works.Order{Lever: works.ChangeRolls, Unit: -1})),
			better: func(s *sums) float64 { return s.changeover }, worse: (*sums).coilsASet, moreIsWorse: false,
			refused: works.Order{Lever: works.ChangeRolls, Unit: -1}, refusedAt: 5, why: works.ReasonRunning},
		{name: "pull planned", lever: works.PullPlanned, p: soon, script: wreck(10, 16), hours: 14 * 24, from: 26, to: 40, with: plan(10.5, order(works.Order{Lever: works.PullPlanned, Unit: -1})),
			better: func(s *sums) float64 { return s.rolled }, moreIsBetter: true, worse: nil,
			refused: works.Order{Lever: works.PullPlanned, Unit: -1}, refusedAt: 5, why: works.ReasonRunning},
		{name: "pull planned into a short stop", lever: works.PullPlanned, p: soon, script: wreck(10, 4), hours: 40, from: 14, to: 22, with: plan(10.5, order(works.Order{Lever: works.PullPlanned, Unit: -1})),
			better: nil, worse: func(s *sums) float64 { return s.rolledSoon }, moreIsWorse: false,
			refused: works.Order{Lever: works.PullPlanned, Unit: -1}, refusedAt: 5, why: works.ReasonRunning},
		{name: "restart ramp", lever: works.RestartRamp, p: hardStarts(t), script: fast(10, 6), hours: 24, background: true, from: 16, to: 20, with: plan(11.0, order(works.Order{Lever: works.RestartRamp, Unit: -1, Value: 0.6, N: 6})),
			better: func(s *sums) float64 { return s.cobbled }, worse: nil, moreIsWorse: false,
			refused: works.Order{Lever: works.RestartRamp, Unit: -1, Value: 0.1}, refusedAt: 11, why: works.ReasonPace},
		{name: "restart ramp costs pace", lever: works.RestartRamp, p: p, script: fast(10, 6), hours: 24, from: 16, to: 19, with: plan(11.0, order(works.Order{Lever: works.RestartRamp, Unit: -1, Value: 0.4, N: 6})),
			better: nil, worse: func(s *sums) float64 { return s.rolledSoon }, moreIsWorse: false,
			refused: works.Order{Lever: works.RestartRamp, Unit: -1, Value: 2}, refusedAt: 11, why: works.ReasonPace},
		{name: "stop tapping", lever: works.StopTapping, p: fullIn, script: wreck(10, 26), hours: 40, with: plan(20.0, order(works.Order{Lever: works.StopTapping, Unit: -1})),
			better: returned, worse: pooled, moreIsWorse: true, refused: works.Order{Lever: works.StopTapping, Unit: -1}, refusedAt: 20, why: works.ReasonAlready,
			before: order(works.Order{Lever: works.StopTapping, Unit: -1})},
		{name: "resume tapping", lever: works.ResumeTapping, p: fullIn, script: wreck(10, 26), hours: 60, without: plan(20.0, order(works.Order{Lever: works.StopTapping, Unit: -1})),
			with:   plan(20.0, order(works.Order{Lever: works.StopTapping, Unit: -1}), 37.0, order(works.Order{Lever: works.ResumeTapping, Unit: -1})),
			better: cast, moreIsBetter: true, worse: func(s *sums) float64 { return s.yardMost + s.yard }, moreIsWorse: true,
			refused: works.Order{Lever: works.ResumeTapping, Unit: -1}, refusedAt: 20, why: works.ReasonNotStopped},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := mean(t, c.p, c.script, c.hours, c.background, c.without, c.from, c.to)
			b := mean(t, c.p, c.script, c.hours, c.background, c.with, c.from, c.to)
			if c.better != nil {
				x, y := c.better(&a), c.better(&b)
				t.Logf("%s: without %.4g, with %.4g", works.Levers[c.lever].Name, x, y)
				if c.moreIsBetter && !(y > x) || !c.moreIsBetter && !(y < x) {
					t.Errorf("its measure did not improve: without %.6g, with %.6g", x, y)
				}
			}
			if c.worse != nil {
				x, y := c.worse(&a), c.worse(&b)
				t.Logf("at the cost of: without %.4g, with %.4g", x, y)
				if c.moreIsWorse && y < x || !c.moreIsWorse && y > x || x == y && c.name != "hottest first" {
					t.Errorf("it costs nothing: without %.6g, with %.6g", x, y)
				}
			}
			w := works.Begin(c.p, works.Start{Luck: chance.Luck{Seed: 21}, SoldOut: true, Script: c.script})
			w.Sink = record.Discard
			if err := w.Run(calendar.Dur(c.refusedAt * 3600)); err != nil {
				t.Fatal(err)
			}
			if c.before != nil {
				c.before(w)
			}
			err := w.Do(c.refused)
			var r *works.Refusal
			if !errors.As(err, &r) || r.Why != c.why {
				t.Errorf("refused with %v, want %q", err, c.why)
			}
		})
	}
}

func holdAny(w *works.Works) {
	for _, h := range w.HeatViews() {
		if h.Stage == "waiting" {
			_ = w.Do(works.Order{Lever: works.HoldHeat, Unit: -1, Heat: h.Number})
		}
	}
}

func wreckKeepsRolls(at, lasts float64) []works.UpsetSpec {
	s := wreck(at, lasts)
	s[0].Ruins = works.RuinPiece
	s[0].ComesBack = 0
	return s
}

// fast is a stop after which the mill comes back at full pace at once.
func fast(at, lasts float64) []works.UpsetSpec {
	s := wreck(at, lasts)
	s[0].ComesBack = 0
	return s
}

// hardStarts is a works whose strips cobble often after a long stop.
func hardStarts(t testing.TB) *works.Plant {
	return plantWith(t, func(s *works.Spec) {
		var keep []works.UpsetSpec
		for _, u := range s.Upsets {
			if u.Kind == works.SimpleCobble {
				u.Every = 40
				keep = append(keep, u)
			}
		}
		s.Upsets = keep
	})
}

// divertAll offers every heat of C1 to C2.
func divertAll(w *works.Works) {
	for _, h := range w.HeatViews() {
		if h.Caster == "C1" && h.Stage != "open" {
			_ = w.Do(works.Order{Lever: works.DivertHeat, Unit: w.P.UnitsNamed("C2")[0], Heat: h.Number})
		}
	}
}
