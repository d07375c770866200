package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
)

// TestDiscouraged has a piece that finds n inside join with chance 1/(n+1): with
// exponential times the number inside is Poisson of mean a (D. Gross, C. M.
// Harris, Fundamentals of Queueing Theory, section on queues with impatience,
// from memory). Those turned away are lost and no part of the mean stay, which
// by Little's law is the number inside over the rate of those served.
func TestDiscouraged(t *testing.T) {
	t.Parallel()
	const a = 2.0
	served := 1 - math.Exp(-a)
	accept(t, []known{{"L", a, 0.02}, {"turned away", 1 - served/a, 0.02}, {"W", a / served, 0.02}}, func(l luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
		gap, work := l.of(exponential(1/a), forGap, 1), l.of(exponential(1), forWork, 1)
		p.AddSource(flow.SourceSpec{Gap: func(int) calendar.Time { return gap() }, Route: func(pc *flow.Piece) flow.StoreID {
			if chance.Luck(l).Happens(1/float64(p.Inside()), forStart, 0, uint64(pc.Number)) { // it is inside itself
				return q
			}
			return flow.Outside
		}})
		p.AddUnit(flow.UnitSpec{From: q, Work: func(*flow.Piece) calendar.Time { return work() }})
		playLine(t, p, 50, 4050)
		n := p.Count()
		return []float64{n.MeanInside, float64(n.Lost) / float64(n.Entered), n.MeanStay / 3600}
	})
}

// TestTwoMachinesByCalendar: two exponential machines that fail by the calendar,
// also while they stand, and a store for three, against the chain of its states.
// What tells it from failures by operating time is who may give and take: a
// machine that is down takes nothing, but what it has finished leaves it.
func TestTwoMachinesByCalendar(t *testing.T) {
	t.Parallel()
	const rate1, rate2, fail1, fail2, back1, back2, room = 1, 1.1, 0.05, 0.08, 0.2, 0.3, 3
	type state struct{ done, stored, loaded, up1, up2 int }
	settle := func(s state) state {
		for {
			switch {
			case s.loaded == 0 && s.up2 == 1 && s.stored > 0:
				s.stored--
				s.loaded = 1
			case s.done == 1 && s.stored < room:
				s.done = 0
				s.stored++
			default:
				return s
			}
		}
	}
	c := solve(state{up1: 1, up2: 1}, func(s state, to func(state, float64)) {
		go1 := func(s state, rate float64) { to(settle(s), rate) }
		n := s
		if s.up1 == 1 && s.done == 0 {
			n.done = 1
			go1(n, rate1)
		}
		if n = s; s.up2 == 1 && s.loaded == 1 {
			n.loaded = 0
			go1(n, rate2)
		}
		if n = s; s.up1 == 1 {
			n.up1 = 0
			go1(n, fail1)
		} else {
			n.up1 = 1
			go1(n, back1)
		}
		if n = s; s.up2 == 1 {
			n.up2 = 0
			go1(n, fail2)
		} else {
			n.up2 = 1
			go1(n, back2)
		}
	})
	accept(t, []known{
		{"throughput", c.mean(func(s state) float64 { return rate2 * float64(s.loaded*s.up2) }), 0.01},
		{"in the store", c.mean(func(s state) float64 { return float64(s.stored) }), 0.02},
	}, func(l luck) []float64 {
		const end = 6000
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: room})
		machine := func(i int, s flow.UnitSpec, rate, fail, back float64) {
			work, up, repair := l.of(exponential(1/rate), forWork, i), l.of(exponential(1/fail), forUp, i), l.of(exponential(1/back), forRepair, i)
			s.Work = func(*flow.Piece) calendar.Time { return work() }
			s.Fails = []flow.FailSpec{{Clock: flow.ByCalendar, Up: func(int, int) calendar.Time { return up() }, Repair: func(int, int) calendar.Time { return repair() }}}
			p.AddUnit(s)
		}
		machine(1, flow.UnitSpec{To: q}, rate1, fail1, back1)
		machine(2, flow.UnitSpec{From: q}, rate2, fail2, back2)
		playLine(t, p, 100, end+100)
		return []float64{float64(p.Count().Left) / end, p.Store(q).MeanLevel}
	})
}
