package flow_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestOperatorByPiece is TestThreeRanks with the pieces on many places and the
// ranks in their claims on one operator.
func TestOperatorByPiece(t *testing.T) {
	t.Parallel()
	list := threeRanks()
	all := 0.0
	for _, r := range list {
		all += r.rate * r.sq / 2
	}
	for _, preempts := range []bool{false, true} {
		var want []known
		before, residual := 0.0, 0.0
		for i, r := range list {
			upTo := before + r.rate*r.mean
			residual += r.rate * r.sq / 2
			stay := r.mean + all/((1-before)*(1-upTo))
			if preempts {
				stay = r.mean/(1-before) + residual/((1-before)*(1-upTo))
			}
			want = append(want, known{"class " + string(rune('1'+i)), stay, []float64{0.04, 0.04, 0.08}[i]})
			before = upTo
		}
		name := map[bool]string{false: "finished first", true: "displaced"}[preempts]
		theory{name, want, func(k luck) []float64 {
			p := flow.NewPlant()
			man := p.AddShared(flow.SharedSpec{Preempts: preempts})
			q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
			for i, r := range list {
				p.AddSource(flow.SourceSpec{To: q,
					Gap:  func(n int) calendar.Time { return k.exp(1/r.rate, forGap, i, n) },
					Mark: func(pc *flow.Piece) { pc.Kind, pc.Priority = int32(i), int32(-i) }})
			}
			p.AddUnit(flow.UnitSpec{From: q, Places: 150, Needs: flow.Need{Shared: man, ByPiece: true},
				Work: func(pc *flow.Piece) calendar.Time {
					return hours(list[pc.Kind].work(k.uniform(forWork, 0, int(pc.Number))))
				}})
			stay, n := make([]float64, len(list)), make([]float64, len(list))
			p.OnLeave(func(pc *flow.Piece) {
				stay[pc.Kind] += (p.Now() - pc.Born).Hours()
				n[pc.Kind]++
			})
			playLine(t, p, 1, longer(4000))
			for i := range stay {
				stay[i] /= n[i]
			}
			return stay
		}}.hold(t)
	}
}

// TestTwoNeeds: A needs X, B needs Y, C needs X and then Y, and all always have
// work. First come, first served: a round is one work of A, what is left of one of
// B, and one of C (by hand).
func TestTwoNeeds(t *testing.T) {
	t.Parallel()
	const a, b, c = 1.0, 0.7, 1.5
	round := 1/a + 1/b + 1/c
	theory{"rounds", []known{{"C", 1 / round, 0.01}, {"B", (1 + b/a) / round, 0.01}}, func(k luck) []float64 {
		length := longer(5000)
		p := flow.NewPlant()
		x, y := p.AddShared(flow.SharedSpec{Name: "X"}), p.AddShared(flow.SharedSpec{Name: "Y"})
		unit := func(i int, rate float64, needs ...flow.Need) flow.UnitID {
			return p.AddUnit(flow.UnitSpec{Needs: needs[0], MoreNeeds: needs[1:],
				Work: func(pc *flow.Piece) calendar.Time { return k.exp(1/rate, forWork, i, int(pc.Number)) }})
		}
		unit(0, a, flow.Need{Shared: x})
		second := unit(1, b, flow.Need{Shared: y})
		both := unit(2, c, flow.Need{Shared: x}, flow.Need{Shared: y})
		playLine(t, p, 50, 50+length)
		return []float64{float64(p.Unit(both).Done) / length, float64(p.Unit(second).Done) / length}
	}}.hold(t)
}

// TestSameKindFirst: a unit stays with a kind while there are pieces of it, and
// pays a changeover when it goes over to the other. Markov chain.
func TestSameKindFirst(t *testing.T) {
	t.Parallel()
	const room = 8
	rate, setup := [2]float64{0.4, 0.3}, 1.5
	type state struct {
		n     [2]int // in the store
		set   int
		phase int // 0 nothing, 1 changeover, 2 work
	}
	next := func(s state) state {
		for _, kind := range []int{s.set, 1 - s.set} {
			if s.n[kind] > 0 {
				s.n[kind]--
				s.phase = 2
				if kind != s.set {
					s.phase = 1
				}
				s.set = kind
				return s
			}
		}
		s.phase = 0
		return s
	}
	ch := solve(state{}, func(s state, to func(state, float64)) {
		for kind, r := range rate {
			if s.n[0]+s.n[1] < room {
				a := s
				a.n[kind]++
				if s.phase == 0 {
					a = next(a)
				}
				to(a, r)
			}
		}
		switch s.phase {
		case 1:
			to(state{s.n, s.set, 2}, 1/setup)
		case 2:
			to(next(s), 1)
		}
	})
	theory{"two kinds", []known{
		{"kind 0", ch.mean(func(s state) float64 { return float64(s.n[0]) }), 0.05},
		{"kind 1", ch.mean(func(s state) float64 { return float64(s.n[1]) }), 0.05},
		{"changeover", ch.mean(func(s state) float64 { return indicator(s.phase == 1) }), 0.03},
		{"lost", ch.mean(func(s state) float64 { return indicator(s.n[0]+s.n[1] == room) }), 0.1},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: room})
		for i, r := range rate {
			p.AddSource(flow.SourceSpec{To: q, Mark: func(pc *flow.Piece) { pc.Kind = int32(i) },
				Gap: func(n int) calendar.Time { return k.exp(1/r, forGap, i, n) }})
		}
		var begun [2]int
		var wait [2]calendar.Time
		changes := 0
		u := p.AddUnit(flow.UnitSpec{From: q, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) },
			Setup: func(from, kind int32) calendar.Time {
				if from == kind {
					return 0
				}
				changes++
				return k.exp(setup, forUp, 0, changes)
			},
			Picks:  func(set int32, a, b *flow.Piece) bool { return a.Kind == set && b.Kind != set },
			Begins: func(pc *flow.Piece) { begun[pc.Kind]++; wait[pc.Kind] += p.Now() - pc.Came }})
		length := longer(8000)
		playLine(t, p, 1, 1+length)
		c := p.Count()
		return []float64{wait[0].Hours() / length, wait[1].Hours() / length, p.Unit(u).Share(flow.Changeover), float64(c.Lost) / float64(c.Entered)}
	}}.hold(t)
}

// TestBatchWork: a batch of n takes longer the more it holds. Markov chain.
func TestBatchWork(t *testing.T) {
	t.Parallel()
	const lambda, most, room = 1.5, 4, 8
	mean := func(n int) float64 { return 0.5 + 0.4*float64(n) }
	type state struct{ waiting, inHand int }
	take := func(s state) state {
		if s.inHand == 0 {
			n := min(s.waiting, most)
			return state{s.waiting - n, n}
		}
		return s
	}
	ch := solve(state{}, func(s state, to func(state, float64)) {
		if s.waiting < room {
			to(take(state{s.waiting + 1, s.inHand}), lambda)
		}
		if s.inHand > 0 {
			to(take(state{s.waiting, 0}), 1/mean(s.inHand))
		}
	})
	theory{"by number", []known{
		{"waiting", ch.mean(func(s state) float64 { return float64(s.waiting) }), 0.02},
		{"in hand", ch.mean(func(s state) float64 { return float64(s.inHand) }), 0.02},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: room})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) }})
		p.AddUnit(flow.UnitSpec{From: q, Batch: most, BatchMin: 1,
			BatchWork: func(first *flow.Piece, n int) calendar.Time { return k.exp(mean(n), forWork, 0, int(first.Number)) }})
		playLine(t, p, 100, 100+longer(6000))
		s := p.Store(q)
		return []float64{s.MeanLevel, p.Count().MeanInside - s.MeanLevel}
	}}.hold(t)
}

// TestTwoStoresDisplace: urgent and other pieces in stores of their own before one
// unit. A displaced piece needs room where it came from, or is scrapped. Markov
// chain.
func TestTwoStoresDisplace(t *testing.T) {
	t.Parallel()
	const l1, l2, m1, m2, room1, room2 = 0.5, 0.6, 1.0, 0.8, 2, 3
	for _, fate := range []flow.Fate{flow.Resumes, flow.Scrapped} {
		type state struct{ q1, q2, at int }
		next := func(s state) state {
			switch {
			case s.q1 > 0:
				return state{s.q1 - 1, s.q2, 1}
			case s.q2 > 0:
				return state{s.q1, s.q2 - 1, 2}
			}
			return state{s.q1, s.q2, 0}
		}
		ch := solve(state{}, func(s state, to func(state, float64)) {
			switch {
			case s.at == 0:
				to(state{0, 0, 1}, l1)
				to(state{0, 0, 2}, l2)
			case s.at == 2 && fate == flow.Scrapped:
				to(state{s.q1, s.q2, 1}, l1)
			case s.at == 2 && s.q2 < room2:
				to(state{s.q1, s.q2 + 1, 1}, l1)
			case s.q1 < room1:
				to(state{s.q1 + 1, s.q2, s.at}, l1)
			}
			if s.at > 0 && s.q2 < room2 {
				to(state{s.q1, s.q2 + 1, s.at}, l2)
			}
			switch s.at {
			case 1:
				to(next(s), m1)
			case 2:
				to(next(s), m2)
			}
		})
		name := map[flow.Fate]string{flow.Resumes: "goes on", flow.Scrapped: "scrapped"}[fate]
		theory{name, []known{
			{"urgent waiting", ch.mean(func(s state) float64 { return float64(s.q1) }), 0.05},
			{"other waiting", ch.mean(func(s state) float64 { return float64(s.q2) }), 0.03},
			{"through", ch.mean(func(s state) float64 { return m1*indicator(s.at == 1) + m2*indicator(s.at == 2) }), 0.01},
		}, func(k luck) []float64 {
			length := longer(8000)
			p := flow.NewPlant()
			urgent := p.AddStore(flow.StoreSpec{Room: room1, Before: flow.ByPriority})
			other := p.AddStore(flow.StoreSpec{Room: room2, Before: flow.ByPriority})
			p.AddSource(flow.SourceSpec{To: urgent, Mark: func(pc *flow.Piece) { pc.Priority = 1 },
				Gap: func(n int) calendar.Time { return k.exp(1/l1, forGap, 0, n) }})
			p.AddSource(flow.SourceSpec{To: other, Gap: func(n int) calendar.Time { return k.exp(1/l2, forGap, 1, n) }})
			p.AddUnit(flow.UnitSpec{From: urgent, Also: []flow.StoreID{other}, Preempts: true, Displaced: fate,
				Work: func(pc *flow.Piece) calendar.Time {
					return k.exp([]float64{1 / m2, 1 / m1}[pc.Priority], forWork, 0, int(pc.Number))
				}})
			playLine(t, p, 100, 100+length)
			return []float64{p.Store(urgent).MeanLevel, p.Store(other).MeanLevel, float64(p.Count().Left) / length}
		}}.hold(t)
	}
}

// TestUrgentPushesOut: an urgent piece that finds every place taken spoils one in
// work: with one store it is lost only where nothing can be spoilt. Markov chain.
func TestUrgentPushesOut(t *testing.T) {
	t.Parallel()
	const l1, l2, c, room = 0.8, 1.5, 2, 2
	type state struct{ s1, s2, q1, q2 int }
	ch := solve(state{}, func(s state, to func(state, float64)) {
		fill := func(s state) state {
			for s.s1+s.s2 < c && s.q1 > 0 {
				s.s1, s.q1 = s.s1+1, s.q1-1
			}
			for s.s1+s.s2 < c && s.q2 > 0 {
				s.s2, s.q2 = s.s2+1, s.q2-1
			}
			return s
		}
		switch {
		case s.s1+s.s2 < c:
			to(state{s.s1 + 1, s.s2, 0, 0}, l1)
			to(state{s.s1, s.s2 + 1, 0, 0}, l2)
		case s.s2 > 0:
			to(state{s.s1 + 1, s.s2 - 1, s.q1, s.q2}, l1)
		case s.q1+s.q2 < room:
			to(state{s.s1, s.s2, s.q1 + 1, s.q2}, l1)
		}
		if s.s1+s.s2 == c && s.q1+s.q2 < room {
			to(state{s.s1, s.s2, s.q1, s.q2 + 1}, l2)
		}
		to(fill(state{s.s1 - 1, s.s2, s.q1, s.q2}), float64(s.s1))
		to(fill(state{s.s1, s.s2 - 1, s.q1, s.q2}), float64(s.s2))
	})
	theory{"one store", []known{
		{"urgent through", ch.mean(func(s state) float64 { return float64(s.s1) }), 0.02},
		{"other through", ch.mean(func(s state) float64 { return float64(s.s2) }), 0.02},
		{"spoilt", ch.mean(func(s state) float64 { return l1 * indicator(s.s1+s.s2 == c && s.s2 > 0) }), 0.03},
		{"waiting", ch.mean(func(s state) float64 { return float64(s.q1 + s.q2) }), 0.03},
	}, func(k luck) []float64 {
		length := longer(6000)
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: room, Before: flow.ByPriority})
		for i, r := range []float64{l2, l1} {
			p.AddSource(flow.SourceSpec{To: q, Mark: func(pc *flow.Piece) { pc.Priority = int32(i) },
				Gap: func(n int) calendar.Time { return k.exp(1/r, forGap, i, n) }})
		}
		p.AddUnit(flow.UnitSpec{From: q, Places: c, Preempts: true, Displaced: flow.Scrapped,
			Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) }})
		var out [2]float64
		p.OnLeave(func(pc *flow.Piece) { out[pc.Priority]++ })
		playLine(t, p, 1, 1+length)
		if s := p.Store(q); s.Largest > room {
			t.Errorf("%d pieces in a store for %d", s.Largest, room)
		}
		return []float64{out[1] / length, out[0] / length, float64(p.Count().Scrapped) / length, p.Store(q).MeanLevel}
	}}.hold(t)
}

// TestOneFitter: three units that change over for every piece have one fitter for
// it. Each is like a machine that waits for its repair: a birth and death process.
func TestOneFitter(t *testing.T) {
	t.Parallel()
	const n, change, work = 3, 0.6, 1.0
	ch := solve(0, func(waiting int, to func(int, float64)) { // or being changed over
		if waiting > 0 {
			to(waiting-1, 1/change)
		}
		if waiting < n {
			to(waiting+1, float64(n-waiting)/work)
		}
	})
	busy := ch.mean(func(k int) float64 { return indicator(k > 0) })
	theory{"changeovers", []known{
		{"fitter busy", busy, 0.01}, {"pieces", busy / change, 0.01},
		{"waiting for him", ch.mean(func(k int) float64 { return float64(max(0, k-1)) }), 0.03},
	}, func(k luck) []float64 {
		length := longer(5000)
		p := flow.NewPlant()
		fitter := p.AddShared(flow.SharedSpec{})
		count := 0
		u := p.AddUnit(flow.UnitSpec{Places: n, SetupNeeds: flow.Need{Shared: fitter},
			Setup: func(int32, int32) calendar.Time { count++; return k.exp(change, forUp, 0, count) },
			Work:  func(pc *flow.Piece) calendar.Time { return k.exp(work, forWork, 0, int(pc.Number)) }})
		playLine(t, p, 50, 50+length)
		c := p.Unit(u)
		return []float64{p.Shared(fitter).MeanInUse, float64(p.Count().Left) / length, n * c.Share(flow.Blocked)}
	}}.hold(t)
}
