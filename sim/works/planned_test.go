package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// The rolling line is rolled empty before its planned stop, whenever that is due; a line
// that stands anyhow is given over at once.
func TestPlannedStopOfTheLine(t *testing.T) {
	for minute := range 8 {
		at := 12*3600 + 61*float64(minute)
		s := testSpec()
		s.Planned = []PlannedSpec{{Unit: "hot mill", First: at, Every: 300 * 86400, Lasts: 6 * 3600}}
		p, err := Build(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, wrecked := range []bool{false, true} {
			w := Begin(p, Start{Luck: chance.Luck{Seed: 5}, SoldOut: true})
			m := &record.Memory{}
			w.Sink = m
			if err := w.Run(calendar.Dur(at) - 30*calendar.Minute); err != nil {
				t.Fatal(err)
			}
			if wrecked {
				if _, err := w.Inject(UpsetSpec{Kind: StandWreck, Unit: "finishing train", Lasts: lawOf(t, 3*3600, 4*3600)}, 0); err != nil {
					t.Fatal(err)
				}
			}
			if err := w.Run(calendar.Dur(at) + 15*calendar.Minute); err != nil {
				t.Fatal(err)
			}
			w.Flush()
			begun := calendar.Never
			for _, e := range m.Events {
				if e.Kind == record.Note && Word(e.A) == WordPlanned {
					begun = e.T
				}
			}
			late := begun - calendar.Dur(at)
			switch {
			case wrecked && late != 0:
				t.Errorf("beside a wreck the stop begins %v after it is due", late)
			case !wrecked && (late < 0 || late > 10*calendar.Minute):
				t.Errorf("due at %.2f h, begun %v later; a bar takes minutes through the line", at/3600, late)
			}
			if !wrecked {
				if w.S.Delay.N > 0 {
					t.Error("a bar lies on the delay table")
				}
				for _, u := range w.P.Route.Units {
					for _, n := range p.UnitsNamed(u.Name) {
						x := &w.S.Net.Units[n]
						if x.Has(flow.CauseMaintenance) && x.Piece >= 0 {
							t.Errorf("%s stands with a piece in it", u.Name)
						}
					}
				}
			}
			if err := w.Run(calendar.Dur(at) + 8*calendar.Hour); err != nil {
				t.Fatal(err)
			}
			if errs := w.Check(); len(errs) > 0 {
				t.Fatal(errs)
			}
			w.S.Net.Settle()
			for c := range p.Spec.Coilers.Names {
				if h := w.States(p.u.coil + c)[flow.Blocked]; h > 1 {
					t.Errorf("wrecked %v, minute %d: coiler %d is blocked for %.1f h", wrecked, minute, c, h)
				}
			}
		}
	}
}

// A planned stop of a caster that falls due while both stand, and had to be put off, is
// begun when they are back: the caster neither casts nor is maintained for days otherwise.
func TestPlannedStopAfterBothCastersStood(t *testing.T) {
	s := testSpec()
	s.Planned = []PlannedSpec{{Unit: "C1", First: 14 * 3600, Every: 300 * 86400, Lasts: 6 * 3600}}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, order := range [][2]string{{"C1", "C2"}, {"C2", "C1"}} {
		w := Begin(p, Start{Luck: chance.Luck{Seed: 5}, SoldOut: true})
		w.Sink = record.Discard
		if err := w.Run(12 * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		u := UpsetSpec{Kind: ShortStop, Unit: order[0], With: []string{order[1]}, Lasts: fixed(t, 8*3600), Ruins: RuinHeat}
		if _, err := w.Inject(u, 0); err != nil {
			t.Fatal(err)
		}
		if err := w.Run(44 * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		w.S.Net.Settle()
		k := w.States(p.u.caster)
		if h := k[flow.Maintenance]; h < 5.9 || h > 6.1 {
			t.Errorf("%v: C1 is maintained for %.1f h, want 6", order, h)
		}
		if h := k[flow.Starved]; h > 6 {
			t.Errorf("%v: C1 waits for %.1f h", order, h)
		}
		if errs := w.Check(); len(errs) > 0 {
			t.Fatal(errs)
		}
	}
}
