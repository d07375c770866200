package scenarios_test

import (
	"fmt"
	"os"
	"testing"
	"time"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/works"
)

// answer is a plan that acts when the train stops and when it runs again.
type answer struct {
	stop, run func(w *works.Works)
	stopped   bool
}

func (a *answer) Wants() (calendar.Time, uint32) { return calendar.Never, works.TopicStops }
func (a *answer) Ask(w *works.Works) {
	s := w.Standing(w.P.TrainUnit())
	if s == a.stopped {
		return
	}
	a.stopped = s
	if s && a.stop != nil {
		a.stop(w)
	}
	if !s && a.run != nil {
		a.run(w)
	}
}

func TestFlip(t *testing.T) {
	if os.Getenv("FLIP") == "" {
		t.Skip()
	}
	do := func(l works.Lever, v float64) func(*works.Works) {
		return func(w *works.Works) { _ = w.Do(works.Order{Lever: l, Unit: -1, Value: v}) }
	}
	casters := func(v float64) func(*works.Works) {
		return func(w *works.Works) {
			for c := range 2 {
				_ = w.Do(works.Order{Lever: works.SetCasterSpeed, Unit: w.P.CasterUnit(c), Value: v})
			}
		}
	}
	type pl struct {
		n string
		f func() works.Director
	}
	plans := []pl{{"overflow", func() works.Director { return &answer{stop: do(works.OpenOverflow, 0), run: do(works.CloseOverflow, 0)} }},
		{"wind", func() works.Director { return &answer{stop: do(works.SetWind, 0.62), run: do(works.SetWind, -1)} }},
		{"slow", func() works.Director { return &answer{stop: casters(0.7 / 60), run: casters(1.25 / 60)} }},
		{"heavy", func() works.Director { return &answer{stop: do(works.ChargeRule, float64(works.RuleHeavy))} }},
		{"pull", func() works.Director { return &answer{stop: do(works.PullPlanned, 0)} }},
	}
	base := func() *futures.Case {
		c := &futures.Case{Scenario: "x", Plant: plantWith(t, func(s *works.Spec) { s.Planned = s.Planned[:1]; s.Planned[0].First = 6 * 86400; s.Planned[0].Every = 60 * 86400 }), Script: wreck(10, 24), SoldOut: true, Length: 10 * calendar.Day, MaxLength: 10 * calendar.Day, Seed: 5, Futures: 16}
		c.Plans = append(c.Plans, futures.Plan{Name: "carry on"})
		for _, p := range plans {
			f := p.f
			c.Plans = append(c.Plans, futures.Plan{Name: p.n, New: func(chance.Luck) works.Director { return f() }})
		}
		return c
	}
	run := func(n string, change func(c *futures.Case)) {
		c := base()
		change(c)
		t0 := time.Now()
		show(n, compare(t, c))
		fmt.Println(time.Since(t0))
	}
	run("4 h", func(c *futures.Case) { c.Script = wreck(10, 4) })
	run("24 h", func(c *futures.Case) {})
	run("room 60000, 24 h", func(c *futures.Case) {
		c.Plant = plantWith(t, func(s *works.Spec) { s.Planned = nil; s.Yard.Room = 60e6 })
	})
	run("room 19500, 12 h", func(c *futures.Case) {
		c.Plant = plantWith(t, func(s *works.Spec) { s.Planned = nil; s.Yard.Room = 21e6; s.Yard.High=20e6 })
		c.Script = wreck(10, 12)
	})
	short := func(s *works.Spec) {
		s.Planned = s.Planned[:1]
		s.Planned[0].First = 6 * 86400
		s.Planned[0].Every = 60 * 86400
		s.Orders = nil
		for i := range s.Products {
			s.Orders = append(s.Orders, works.OrderLine{ID: s.Products[i].Name, Product: i, Mass: 90e6 * s.Products[i].Share, Due: 9 * 86400, Penalty: 0.01, Cap: 0.05})
		}
	}
	for _, sold := range []bool{true, false} {
		run(fmt.Sprint("sold out ", sold), func(c *futures.Case) { c.Plant = plantWith(t, short); c.SoldOut = sold })
	}
}
