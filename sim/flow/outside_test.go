package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// drawn is a time for every piece, of a law.
func (l luck) drawn(x law, entity int) func(*flow.Piece) calendar.Time {
	next := l.of(x, forWork, entity)
	return func(*flow.Piece) calendar.Time { return next() }
}

// apart is the gaps between arrivals of a Poisson stream.
func (l luck) apart(rate float64, entity int) func(int) calendar.Time {
	next := l.of(exponential(1/rate), forGap, entity)
	return func(int) calendar.Time { return next() }
}

// TestCraneKeptUntilGone has a unit that keeps the crane until its piece has found
// room, and another that is always after the crane; against the chain.
func TestCraneKeptUntilGone(t *testing.T) {
	t.Parallel()
	const first, second, other = 1.0, 0.9, 0.7
	// who has the crane: 0 the first at work, 1 the first with a piece that finds
	// no room, 2 the other.
	type state struct{ stored, busy, crane int }
	settle := func(s state) state {
		if s.busy == 0 && s.stored > 0 {
			s.stored, s.busy = s.stored-1, 1
		}
		if s.crane == 1 {
			switch {
			case s.busy == 0:
				s.busy, s.crane = 1, 2
			case s.stored < 1:
				s.stored, s.crane = s.stored+1, 2
			}
		}
		return s
	}
	c := solve(state{}, func(s state, to func(state, float64)) {
		switch s.crane {
		case 0:
			to(settle(state{s.stored, s.busy, 1}), first)
		case 2:
			to(state{s.stored, s.busy, 0}, other)
		}
		if s.busy == 1 {
			to(settle(state{s.stored, 0, s.crane}), second)
		}
	})
	accept(t, []known{
		{"second busy", c.mean(func(s state) float64 { return float64(s.busy) }), 0.01},
		{"first keeps it", c.mean(func(s state) float64 { return indicator(s.crane == 1) }), 0.05},
	}, func(l luck) []float64 {
		p := flow.NewPlant()
		crane := p.AddShared(flow.SharedSpec{})
		q := p.AddStore(flow.StoreSpec{Room: 1})
		u := p.AddUnit(flow.UnitSpec{To: q, Work: l.drawn(exponential(1/first), 1), Needs: flow.Need{Shared: crane, UntilGone: true}})
		v := p.AddUnit(flow.UnitSpec{From: q, Work: l.drawn(exponential(1/second), 2)})
		w := p.AddUnit(flow.UnitSpec{Work: l.drawn(exponential(1/other), 3), Needs: flow.Need{Shared: crane}})
		playLine(t, p, 100, 6100)
		return []float64{p.Unit(v).Share(flow.Running), 1 - p.Unit(u).Share(flow.Running) - p.Unit(w).Share(flow.Running)}
	})
}

// TestTwoWaysOneBlocks sends pieces two ways; one that finds its way full keeps
// the other from being served; against the chain.
func TestTwoWaysOneBlocks(t *testing.T) {
	t.Parallel()
	const first, left, right, share = 1.0, 0.8, 0.5, 0.6
	type state struct{ waits, stored, l, r int } // waits for the left 1, the right 2
	settle := func(s state) state {
		if s.l == 0 && s.stored > 0 {
			s.stored, s.l = s.stored-1, 1
		}
		switch {
		case s.waits == 1 && s.l == 0:
			s.waits, s.l = 0, 1
		case s.waits == 1 && s.stored < 1:
			s.waits, s.stored = 0, 1
		case s.waits == 2 && s.r == 0:
			s.waits, s.r = 0, 1
		}
		return s
	}
	c := solve(state{}, func(s state, to func(state, float64)) {
		if s.waits == 0 {
			to(settle(state{1, s.stored, s.l, s.r}), first*share)
			to(settle(state{2, s.stored, s.l, s.r}), first*(1-share))
		}
		if s.l == 1 {
			to(settle(state{s.waits, s.stored, 0, s.r}), left)
		}
		if s.r == 1 {
			to(settle(state{s.waits, s.stored, s.l, 0}), right)
		}
	})
	accept(t, []known{
		{"first at work", c.mean(func(s state) float64 { return indicator(s.waits == 0) }), 0.01},
		{"left at work", c.mean(func(s state) float64 { return float64(s.l) }), 0.02},
	}, func(l luck) []float64 {
		p := flow.NewPlant()
		a, b := p.AddStore(flow.StoreSpec{Room: 1}), p.AddStore(flow.StoreSpec{})
		u := p.AddUnit(flow.UnitSpec{Work: l.drawn(exponential(1/first), 1), Route: func(pc *flow.Piece) flow.StoreID {
			if l.uniform(forStart, 0, int(pc.Number)) < share {
				return a
			}
			return b
		}})
		v := p.AddUnit(flow.UnitSpec{From: a, Work: l.drawn(exponential(1/left), 2)})
		p.AddUnit(flow.UnitSpec{From: b, Work: l.drawn(exponential(1/right), 3)})
		playLine(t, p, 100, 4100)
		return []float64{p.Unit(u).Share(flow.Running), p.Unit(v).Share(flow.Running)}
	})
}

// TestRanksWithPatience: two servers, two ranks, each with a patience of its own;
// against the chain, cut where it hardly ever is.
func TestRanksWithPatience(t *testing.T) {
	t.Parallel()
	const high, low, most = 1.0, 1.6, 25
	patience := []float64{5, 1 / 0.7}
	type state struct{ busy, a, b int }
	c := solve(state{}, func(s state, to func(state, float64)) {
		switch {
		case s.busy < 2:
			to(state{s.busy + 1, 0, 0}, high+low)
		default:
			if s.a < most {
				to(state{2, s.a + 1, s.b}, high)
			}
			if s.b < most {
				to(state{2, s.a, s.b + 1}, low)
			}
		}
		if s.a > 0 {
			to(state{2, s.a - 1, s.b}, 2+float64(s.a)/patience[0])
		}
		if s.b > 0 {
			to(state{2, s.a, s.b - 1}, float64(s.b)/patience[1]+2*indicator(s.a == 0))
		}
		if s.a == 0 && s.b == 0 && s.busy > 0 {
			to(state{s.busy - 1, 0, 0}, float64(s.busy))
		}
	})
	accept(t, []known{
		{"of the high give up", c.mean(func(s state) float64 { return float64(s.a) }) / patience[0] / high, 0.03},
		{"of the low give up", c.mean(func(s state) float64 { return float64(s.b) }) / patience[1] / low, 0.02},
	}, func(l luck) []float64 {
		p := flow.NewPlant()
		wait := []func() calendar.Time{l.of(exponential(patience[0]), forUp, 0), l.of(exponential(patience[1]), forUp, 1)}
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: flow.ByPriority, Patience: func(pc *flow.Piece) calendar.Time { return wait[pc.Kind]() }})
		var came, served [2]float64
		for i, rate := range []float64{high, low} {
			p.AddSource(flow.SourceSpec{To: q, Gap: l.apart(rate, i), Mark: func(pc *flow.Piece) {
				pc.Kind, pc.Priority = int32(i), int32(-i)
				came[i]++
			}})
		}
		p.AddUnit(flow.UnitSpec{From: q, Places: 2, Work: l.drawn(exponential(1), 1), Begins: func(pc *flow.Piece) { served[pc.Kind]++ }})
		playLine(t, p, 1, 6000)
		return []float64{1 - served[0]/came[0], 1 - served[1]/came[1]}
	})
}

// TestWeibullPatience: M/M/2 whose pieces wait a Weibull time of shape 2. With
// H(x) the mean of the patience cut at x, J the integral of exp(rate H(x)-2x) and
// E the ratio of the sum of a^j/j! up to one server less to its last term, the
// share that gives up is (1+(rate-2)J)/(E+rate J) (F. Baccelli, G. Hebuterne 1981;
// S. Zeltyn, A. Mandelbaum, Queueing Systems 51 (2005) 361; from memory).
func TestWeibullPatience(t *testing.T) {
	t.Parallel()
	const rate, scale = 2.2, 2.0
	cut := func(x float64) float64 { return scale * math.Sqrt(math.Pi) / 2 * math.Erf(x/scale) }
	j, jh := 0.0, 0.0
	const step = 1e-3
	for k := range 40000 {
		x := (float64(k) + 0.5) * step
		f := math.Exp(rate*cut(x)-2*x) * step
		j += f
		jh += cut(x) * f
	}
	e := (1 + rate) / rate
	accept(t, []known{
		{"give up", (1 + (rate-2)*j) / (e + rate*j), 0.02}, {"wait", rate * rate * jh / (e + rate*j), 0.02},
	}, func(l luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Patience: l.drawn(func(u float64) float64 { return scale * math.Sqrt(-math.Log(u)) }, 2)})
		p.AddSource(flow.SourceSpec{To: q, Gap: l.apart(rate, 1)})
		p.AddUnit(flow.UnitSpec{From: q, Places: 2, Work: l.drawn(exponential(1), 1)})
		playLine(t, p, 100, 6100)
		n := p.Count()
		return []float64{float64(n.GaveUp) / float64(n.Entered), p.Store(q).MeanLevel}
	})
}

// TestWindowBegunLate: an exponential piece of mean one is in work when a window
// of length one is due; what it still needs is exponential again, so of the
// window 1-exp(-1) is worked, and a piece that outlasts it swallows it.
func TestWindowBegunLate(t *testing.T) {
	t.Parallel()
	accept(t, []known{{"at work", (9 + 1 - math.Exp(-1)) / 10, 0.001}}, func(l luck) []float64 {
		p := flow.NewPlant()
		u := p.AddUnit(flow.UnitSpec{Work: l.drawn(exponential(1), 1), Stops: []flow.StopSpec{{
			Cause: flow.CauseMaintenance, From: hours(9), For: hours(1), Every: hours(10), FinishFirst: true}}})
		playLine(t, p, 100, 10100)
		return []float64{p.Unit(u).Share(flow.Running)}
	})
}
