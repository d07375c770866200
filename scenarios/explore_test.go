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
	plans = append(plans, pl{"end one", func() works.Director { return &answer{stop: func(w *works.Works) { _ = w.Do(works.Order{Lever: works.EndSequence, Unit: w.P.CasterUnit(1)}) }, run: func(w *works.Works) { _ = w.Do(works.Order{Lever: works.ReopenCaster, Unit: w.P.CasterUnit(1)}) }} }})
	noSpace := func(s *works.Spec) { s.Planned = nil; s.Standing.YardHigh = s.Yard.Room }
	base := func() *futures.Case {
		c := &futures.Case{Scenario: "x", Plant: plantWith(t, noSpace), Script: wreck(10, 24), SoldOut: true, Length: 10 * calendar.Day, MaxLength: 10 * calendar.Day, Seed: 5, Futures: 16}
		c.Plans = append(c.Plans, futures.Plan{Name: "carry on"})
		for _, p := range plans {
			if p.n == "pull" || p.n == "heavy" { continue }
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
	for _, days := range []int{4, 5, 7} {
		for _, h := range []float64{4, 24} {
			run(fmt.Sprint(days, " d, hours ", h), func(c *futures.Case) {
				c.Script = wreck(10, h)
				c.Length = calendar.Time(days) * calendar.Day
				c.MaxLength = c.Length
				c.Plans = []futures.Plan{c.Plans[0], c.Plans[3]}
			})
		}
	}
	short := func(s *works.Spec) {
		noSpace(s)
		s.Orders = nil
		for i := range s.Products {
			s.Orders = append(s.Orders, works.OrderLine{ID: s.Products[i].Name, Product: i, Mass: 90e6 * s.Products[i].Share, Due: 9 * 86400, Penalty: 0.01, Cap: 0.05})
		}
	}
	for _, sold := range []bool{true, false} {
		run(fmt.Sprint("sold out ", sold), func(c *futures.Case) {
			c.Plant = plantWith(t, short)
			c.SoldOut = sold
			c.Plans = c.Plans[:4]
		})
	}
	for _, n := range []int{16, 40} {
		run("unsure", func(c *futures.Case) {
			c.Script[0].Lasts, _ = chance.Lognormal(8*3600, 20*3600)
			c.Futures = n
			c.Length = 5 * calendar.Day
			c.MaxLength = c.Length
			c.Plans = []futures.Plan{c.Plans[0], c.Plans[3]}
		})
	}
}
