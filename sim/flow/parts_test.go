package flow_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
)

// of draws the n-th time of a law for an entity.
func (l luck) of(x law, purpose chance.Purpose, entity int) func() calendar.Time {
	n := -1
	return func() calendar.Time {
		n++
		return hours(x(l.uniform(purpose, entity, n)))
	}
}

// TestDoubleEnded has two machines that are never starved feed a store each, and
// an assembly that needs no time: never are there pieces on both sides, so the
// difference is a birth and death process between the two feeders' being blocked
// (the double-ended queue of D. G. Kendall, J. Royal Statistical Society B 13
// (1951) 151, with finite rooms; from memory).
func TestDoubleEnded(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		a, b         float64 // rates
		roomA, roomB int
	}{{1, 1, 2, 2}, {1, 0.8, 1, 4}, {0.9, 1, 3, 1}} {
		// The difference runs from -(roomB+1) to roomA+1.
		k, rho := float64(tc.roomA+tc.roomB+3), tc.a/tc.b
		top := 1 / k
		if rho != 1 {
			top = math.Pow(rho, k-1) * (1 - rho) / (1 - math.Pow(rho, k))
		}
		out := tc.a * (1 - top)
		accept(t, []known{
			{fmt.Sprint(tc, " throughput"), out, 0.01}, {fmt.Sprint(tc, " first blocked"), top, 0.06}, {fmt.Sprint(tc, " built in"), out, 0.01},
		}, func(l luck) []float64 {
			const end = 4000
			p := flow.NewPlant()
			a, b := p.AddStore(flow.StoreSpec{Room: tc.roomA}), p.AddStore(flow.StoreSpec{Room: tc.roomB})
			feed := func(i int, rate float64, to flow.StoreID) flow.UnitID {
				draw := l.of(exponential(1/rate), forWork, i)
				return p.AddUnit(flow.UnitSpec{To: to, Work: func(*flow.Piece) calendar.Time { return draw() }})
			}
			first := feed(1, tc.a, a)
			feed(2, tc.b, b)
			p.AddUnit(flow.UnitSpec{From: a, Parts: []flow.StoreID{b}, Work: minutes(0)})
			playLine(t, p, 100, end+100)
			return []float64{float64(p.Count().Left) / end, p.Unit(first).Share(flow.Blocked), float64(p.Count().BuiltIn) / end}
		})
	}
}

// TestAssembly has one frame and two wheels come by Poisson streams to stores of
// four and five, whatever finds them full is lost, and an exponential assembly;
// held against the chain of its states.
func TestAssembly(t *testing.T) {
	t.Parallel()
	const frames, wheels, rate = 0.9, 2.0, 1.0
	type state struct{ f, w, busy int }
	settle := func(s state) state {
		if s.busy == 0 && s.f >= 1 && s.w >= 2 {
			return state{s.f - 1, s.w - 2, 1}
		}
		return s
	}
	c := solve(state{}, func(s state, to func(state, float64)) {
		if s.f < 4 {
			to(settle(state{s.f + 1, s.w, s.busy}), frames)
		}
		if s.w < 5 {
			to(settle(state{s.f, s.w + 1, s.busy}), wheels)
		}
		if s.busy == 1 {
			to(settle(state{s.f, s.w, 0}), rate)
		}
	})
	accept(t, []known{
		{"busy", c.mean(func(s state) float64 { return float64(s.busy) }), 0.01},
		{"frames", c.mean(func(s state) float64 { return float64(s.f) }), 0.02},
		{"wheels", c.mean(func(s state) float64 { return float64(s.w) }), 0.02},
		{"frames lost", c.mean(func(s state) float64 { return indicator(s.f == 4) }), 0.06},
	}, func(l luck) []float64 {
		p := flow.NewPlant()
		f, w := p.AddStore(flow.StoreSpec{Room: 4}), p.AddStore(flow.StoreSpec{Room: 5})
		source := func(i int, rate float64, to flow.StoreID) {
			draw := l.of(exponential(1/rate), forGap, i)
			p.AddSource(flow.SourceSpec{To: to, Gap: func(int) calendar.Time { return draw() }, Mark: func(pc *flow.Piece) { pc.Kind = int32(i) }})
		}
		source(1, frames, f)
		source(2, wheels, w)
		draw := l.of(exponential(1/rate), forWork, 1)
		u := p.AddUnit(flow.UnitSpec{From: f, Parts: []flow.StoreID{w, w}, Work: func(*flow.Piece) calendar.Time { return draw() },
			Builds: func(piece, part *flow.Piece) {
				if piece.Kind != 1 || part.Kind != 2 {
					t.Errorf("a piece of kind %d is built into one of kind %d", part.Kind, piece.Kind)
				}
			}})
		playLine(t, p, 100, 4100)
		n := p.Store(f)
		return []float64{p.Unit(u).Share(flow.Running), n.MeanLevel, p.Store(w).MeanLevel, float64(n.Lost) / float64(n.Lost+n.In)}
	})
}

// TestPartsByHand: a frame comes at minute 1, 2 and 3, a wheel each two minutes
// and on a conveyor of three, an assembly takes a minute and two places do it.
// The frames that are there when the wheels are at an end are named.
func TestPartsByHand(t *testing.T) {
	p := flow.NewPlant()
	f := p.AddStore(flow.StoreSpec{Name: "frames", Room: 2})
	w := p.AddStore(flow.StoreSpec{Name: "wheels", Room: 4, Travel: minutes(3)})
	p.AddSource(flow.SourceSpec{To: f, Limit: 3, Gap: every(1)})
	p.AddSource(flow.SourceSpec{To: w, Limit: 5, Gap: every(2)})
	p.AddUnit(flow.UnitSpec{Name: "assembly", Places: 2, From: f, Parts: []flow.StoreID{w, w}, Work: minutes(1)})
	var left []int
	p.OnLeave(func(*flow.Piece) { left = append(left, int(p.Now()/minute)) })
	err := p.Run(calendar.Never)
	// Wheels at minutes 2, 4, 6, 8, 10 are at the end at 5, 7, 9, 11, 13; the third
	// frame finds two before it.
	if got := fmt.Sprint(left); got != "[8 12]" {
		t.Errorf("frames leave at %s, want [8 12]", got)
	}
	if n := p.Count(); n.BuiltIn != 4 || n.Lost != 1 || n.Left != 2 || n.Inside != 1 {
		t.Errorf("%+v", n)
	}
	if msg := p.Check(); msg != "" {
		t.Error(msg)
	}
	if s := stallOf(t, err); s.Circle || !strings.Contains(s.Error(), "wheels has 1") {
		t.Error(err)
	}
}

// TestPartsAreNoCircle: frames fill their store while the wheels take a day, in a
// plant whose pieces could go in a circle. That is waiting, not a deadlock.
func TestPartsAreNoCircle(t *testing.T) {
	p := flow.NewPlant()
	f, w := p.AddStore(flow.StoreSpec{Room: 1}), p.AddStore(flow.StoreSpec{Room: 1})
	p.AddUnit(flow.UnitSpec{Limit: 5, Route: func(*flow.Piece) flow.StoreID { return f }, Work: minutes(1)})
	p.AddSource(flow.SourceSpec{To: w, Limit: 5, Gap: every(24 * 60)})
	p.AddUnit(flow.UnitSpec{From: f, Parts: []flow.StoreID{w}, Work: minutes(1)})
	if err := p.Run(calendar.Never); err != nil || p.Count().Left != 5 {
		t.Error(err, p.Count())
	}
}

// TestPartsRefused says no to what no assembly could do.
func TestPartsRefused(t *testing.T) {
	for _, tc := range []struct {
		says string
		spec func(f, w flow.StoreID) flow.UnitSpec
	}{
		{"builds parts in", func(f, w flow.StoreID) flow.UnitSpec { return flow.UnitSpec{Parts: []flow.StoreID{w}} }},
		{"builds parts in", func(f, w flow.StoreID) flow.UnitSpec {
			return flow.UnitSpec{From: f, Batch: 2, Parts: []flow.StoreID{w}}
		}},
		{"builds parts in", func(f, w flow.StoreID) flow.UnitSpec {
			return flow.UnitSpec{From: f, Preempts: true, Parts: []flow.StoreID{w}}
		}},
		{"builds parts in", func(f, w flow.StoreID) flow.UnitSpec {
			return flow.UnitSpec{From: f, Also: []flow.StoreID{w}, Parts: []flow.StoreID{w}}
		}},
		{"does not exist", func(f, w flow.StoreID) flow.UnitSpec {
			return flow.UnitSpec{From: f, Parts: []flow.StoreID{flow.Outside}}
		}},
		{"does not exist", func(f, w flow.StoreID) flow.UnitSpec { return flow.UnitSpec{From: f, Parts: []flow.StoreID{9}} }},
		{"never holds more than 2", func(f, w flow.StoreID) flow.UnitSpec {
			return flow.UnitSpec{From: f, Parts: []flow.StoreID{f, f}}
		}},
	} {
		p := flow.NewPlant()
		f, w := p.AddStore(flow.StoreSpec{Room: 2, Before: flow.ByPriority}), p.AddStore(flow.StoreSpec{Room: 2})
		s := tc.spec(f, w)
		s.Work = minutes(1)
		p.AddUnit(s)
		if err := p.Run(calendar.Hour); err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%+v: %v, want something with %q", s.Parts, err, tc.says)
		}
	}
}
