package scenarios_test

import (
	"errors"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// coldSums is what the levers of the cold side move, t.
type coldSums struct {
	p                                      *works.Plant
	pickled, finished, downgraded, outside float64
}

func (s *coldSums) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		switch {
		case e.Kind == record.Move && e.A != works.StepOpening:
			switch s.p.Route.Places[e.To].Name {
			case "pickle line":
				s.pickled += float64(e.Mass) / 1e6
			case "finished coils":
				s.finished += float64(e.Mass) / 1e6
			case "outside pickling":
				s.outside += float64(e.Mass) / 1e6
				s.pickled += float64(e.Mass) / 1e6
			}
		case e.Kind == record.Note && works.Word(e.A) == works.WordDowngraded:
			s.downgraded += float64(e.X) / 1e6
		}
	}
}

func coldStop(kind works.UpsetKind, unit string, at, lasts float64) []works.UpsetSpec {
	return []works.UpsetSpec{{Kind: kind, Name: works.Kinds[kind].Name, Unit: unit, Scripted: true, At: at * 3600, Lasts: fixed(lasts * 3600), Slow: 0.4,
		Told: works.ToldSpec{Given: true, After: 1800, Low: 4 * 3600, Likely: lasts * 3600, Bad: 3 * lasts * 3600, NextWord: 4 * 3600}}}
}

// TestColdLevers: every lever of the cold side improves what it is for, costs
// something else, and is refused with a reason where it cannot be pulled.
func TestColdLevers(t *testing.T) {
	p := plantWith(t, nil)
	do := func(l works.Lever, v float64) func(*works.Works) {
		return order(works.Order{Lever: l, Unit: -1, Value: v})
	}
	pickled := func(s *coldSums) float64 { return s.pickled }
	finished := func(s *coldSums) float64 { return s.finished }
	downgraded := func(s *coldSums) float64 { return s.downgraded }
	narrow := plantWith(t, func(s *works.Spec) {
		unpaced(s)
		s.Cold.Pickle.Line.Tanks = []float64{15, 15}
	})
	noFans := plantWith(t, func(s *works.Spec) { s.CoilYard.ForcedH = 0 })
	noneOutside := plantWith(t, func(s *works.Spec) { s.Cold.Pickle.Outside = 0 })
	endsHot := plantWith(t, func(s *works.Spec) {
		s.Cold = nil
		for i := range s.Products {
			s.Products[i].Cold, s.Products[i].Annealed = 0, false
		}
	})
	for _, c := range []struct {
		lever         works.Lever
		p             *works.Plant
		script        []works.UpsetSpec
		hours         float64
		with          func() works.Director
		better, worse func(*coldSums) float64
		in            *works.Plant // refused here
		refused       works.Order
		before        func(*works.Works)
		why           works.Reason
	}{
		// What the fans cost by the hour is a line of money (TestForcedCoolingCosts).
		{works.ForceCooling, p, wreck(6, 60), 160, plan(7.0, do(works.ForceCooling, 1)), pickled, downgraded,
			noFans, works.Order{Lever: works.ForceCooling, Unit: -1, Value: 1}, nil, works.ReasonNoFans},
		{works.ProcessSpeed, narrow, nil, 120, plan(1.0, do(works.ProcessSpeed, 1.15)), pickled, downgraded,
			p, works.Order{Lever: works.ProcessSpeed, Unit: -1, Value: 2}, nil, works.ReasonPicklePace},
		{works.OutsidePickling, p, coldStop(works.AcidOut, "pickle line", 6, 40), 60, plan(7.0, do(works.OutsidePickling, 1)), pickled, func(s *coldSums) float64 { return s.outside },
			noneOutside, works.Order{Lever: works.OutsidePickling, Unit: -1, Value: 1}, nil, works.ReasonNoOutside},
		{works.SkipTemper, p, coldStop(works.ShortStop, "temper mill", 6, 40), 44, plan(7.0, do(works.SkipTemper, 1)), finished, downgraded,
			p, works.Order{Lever: works.SkipTemper, Unit: -1, Value: 1}, do(works.SkipTemper, 1), works.ReasonAlready},
		// What it wins is in days and money (TestByDueDate).
		{works.ByDueDate, p, nil, 24, plan(1.0, do(works.ByDueDate, 1)), nil, nil,
			endsHot, works.Order{Lever: works.ByDueDate, Unit: -1, Value: 1}, nil, works.ReasonNoColdSide},
		{works.WorkOvertime, narrow, nil, 120, plan(1.0, do(works.WorkOvertime, 1)), pickled, nil, // its crew is a line of money, tested in sim/measure
			p, works.Order{Lever: works.WorkOvertime, Unit: -1, Value: 0}, nil, works.ReasonAlready},
	} {
		t.Run(works.Levers[c.lever].Name, func(t *testing.T) {
			var sums [2]coldSums
			for k := range sums {
				sums[k].p = c.p
				for f := range uint64(4) {
					w := works.Begin(c.p, works.Start{Luck: chance.Luck{Seed: 22, Future: f}, SoldOut: true, Script: c.script})
					w.Sink = &sums[k]
					if k == 1 {
						w.Director = c.with()
					}
					if err := w.Run(calendar.Dur(c.hours * 3600)); err != nil {
						t.Fatal(err)
					}
					if errs := w.Check(); len(errs) > 0 {
						t.Fatal(errs)
					}
				}
			}
			if c.better != nil {
				x, y := c.better(&sums[0]), c.better(&sums[1])
				t.Logf("without %.5g t, with %.5g t", x, y)
				if !(y > x*1.005) {
					t.Errorf("its measure did not improve: without %.6g, with %.6g", x, y)
				}
			}
			if c.worse != nil {
				x, y := c.worse(&sums[0]), c.worse(&sums[1])
				t.Logf("at the cost of: without %.5g t, with %.5g t", x, y)
				if !(y > x) {
					t.Errorf("it costs nothing: without %.6g, with %.6g", x, y)
				}
			}
			w := works.Begin(c.in, works.Start{Luck: chance.Luck{Seed: 22}, SoldOut: true})
			w.Sink = record.Discard
			if err := w.Run(calendar.Hour); err != nil {
				t.Fatal(err)
			}
			if c.before != nil {
				c.before(w)
			}
			var r *works.Refusal
			if err := w.Do(c.refused); !errors.As(err, &r) || r.Why != c.why {
				t.Errorf("refused with %v, want %q", err, c.why)
			}
		})
	}
}
