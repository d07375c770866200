package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestFixedPatience: M/M/1 whose pieces wait exactly d and go. The work in the
// queue before an arrival has density lambda P0 exp(-(mu-lambda)x) up to d and falls
// with mu beyond; a piece stays when it finds no more than d (F. Baccelli, P.
// Boyer, G. Hebuterne, Advances in Applied Probability 16 (1984) 887, from memory;
// the balance is worked out here).
func TestFixedPatience(t *testing.T) {
	t.Parallel()
	const lambda, d = 0.9, 1.5 // mu = 1
	below := func(x float64) float64 { return lambda * (1 - math.Exp(-(1-lambda)*x)) / (1 - lambda) }
	edge := lambda * math.Exp(-(1-lambda)*d)
	p0 := 1 / (1 + below(d) + edge)
	// Mean of min(V, d).
	wait := d * edge
	const step = 1e-4
	for x := step / 2; x < d; x += step {
		wait += x * lambda * math.Exp(-(1-lambda)*x) * step
	}
	theory{"one server", []known{
		{"gives up", p0 * edge, 0.03}, {"waits", p0 * wait, 0.03}, {"busy", 1 - p0, 0.01},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Patience: func(*flow.Piece) calendar.Time { return hours(d) }})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) }})
		u := p.AddUnit(flow.UnitSpec{From: q, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) }})
		playLine(t, p, 300, 300+longer(10000))
		c := p.Count()
		return []float64{float64(c.GaveUp) / float64(c.Entered), p.Store(q).MeanWait / 3600, p.Unit(u).Share(flow.Running)}
	}}.hold(t)
}

// TestImpatientInRoom: three servers, five places to wait, two kinds of patience
// one after the other: who gives up at the first desk goes to a second one.
// Solved as a Markov chain.
func TestImpatientInRoom(t *testing.T) {
	t.Parallel()
	const lambda, theta, c, room, slow, room2 = 4, 0.8, 3, 5, 0.5, 2
	type state struct{ n, m int }
	ch := solve(state{}, func(s state, to func(state, float64)) {
		if s.n < c+room {
			to(state{s.n + 1, s.m}, lambda)
		}
		to(state{s.n - 1, s.m}, float64(min(s.n, c)))
		to(state{s.n - 1, min(s.m+1, 1+room2)}, theta*float64(max(0, s.n-c)))
		if s.m > 0 {
			to(state{s.n, s.m - 1}, slow)
		}
	})
	theory{"two desks", []known{
		{"first", ch.mean(func(s state) float64 { return float64(s.n) }), 0.02},
		{"second", ch.mean(func(s state) float64 { return float64(s.m) }), 0.03},
		{"lost at first", ch.mean(func(s state) float64 { return indicator(s.n == c+room) }), 0.04},
		{"lost at second", ch.mean(func(s state) float64 { return indicator(s.m == 1+room2) * theta * float64(max(0, s.n-c)) }), 0.08},
	}, func(k luck) []float64 {
		length := longer(4000)
		p := flow.NewPlant()
		second := p.AddStore(flow.StoreSpec{Room: room2})
		q := p.AddStore(flow.StoreSpec{Room: room, GivesUp: second,
			Patience: func(pc *flow.Piece) calendar.Time { return k.exp(1/theta, forUp, 0, int(pc.Number)) }})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1.0/lambda, forGap, 0, n) }})
		u := p.AddUnit(flow.UnitSpec{From: q, Places: c, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) }})
		v := p.AddUnit(flow.UnitSpec{From: second, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1/slow, forWork, 1, int(pc.Number)) }})
		playLine(t, p, 100, 100+length)
		a, b := p.Store(q), p.Store(second)
		return []float64{a.MeanLevel + c*p.Unit(u).Share(flow.Running), b.MeanLevel + p.Unit(v).Share(flow.Running),
			float64(a.Lost) / float64(p.Count().Entered), float64(b.Lost) / length}
	}}.hold(t)
}

// TestManyServersLose: fifty servers and no place to wait lose Erlang's share
// whatever the law of the work (B. A. Sevastyanov 1957, from memory).
func TestManyServersLose(t *testing.T) {
	t.Parallel()
	const load, c = 45.0, 50
	b := 1.0
	for i := 1; i <= c; i++ {
		b = load * b / (float64(i) + load*b)
	}
	for _, w := range []struct {
		name string
		work law
	}{{"constant", fixed(1)}, {"lognormal", lognormal(1, 1.5)}} {
		theory{w.name, []known{{"lost", b, 0.05}, {"busy", load * (1 - b) / c, 0.01}}, func(k luck) []float64 {
			q := newStation(k, station{servers: c, room: -1, gap: exponential(1 / load), work: w.work})
			q.play(t, 30, 30+longer(250))
			return []float64{q.lost(), q.share(flow.Running)}
		}}.hold(t)
	}
}

// TestTwoServersConstantWork is M/D/2: what is there at t+d follows from what was
// there at t (C. D. Crommelin, P.O. Electrical Engineers' Journal 25 (1932) 41,
// from memory); solved here by repeating that step.
func TestTwoServersConstantWork(t *testing.T) {
	t.Parallel()
	const lambda, c, most = 1.6, 2, 200
	came := make([]float64, most) // Poisson in one service
	came[0] = math.Exp(-lambda)
	for j := 1; j < most; j++ {
		came[j] = came[j-1] * lambda / float64(j)
	}
	p := make([]float64, most)
	p[0] = 1
	for range 3000 {
		next := make([]float64, most)
		for i, x := range p {
			for j := 0; j+max(0, i-c) < most; j++ {
				next[j+max(0, i-c)] += x * came[j]
			}
		}
		p = next
	}
	number := 0.0
	for n, x := range p {
		number += float64(n) * x
	}
	theory{"M/D/2", []known{{"L", number, 0.02}, {"Wq", number/lambda - 1, 0.04}, {"waits", 1 - p[0] - p[1], 0.02}}, func(k luck) []float64 {
		q := newStation(k, station{servers: c, gap: exponential(1 / lambda), work: fixed(1), waitsUpTo: []float64{0}})
		q.play(t, 200, 200+longer(6000))
		return []float64{q.number(), q.wait(), 1 - q.waitedUpTo(0)}
	}}.hold(t)
}

// TestPhases: arrivals in two phases, works in a mixture, two servers, six places
// to wait; a Markov chain of phases.
func TestPhases(t *testing.T) {
	t.Parallel()
	const rate, share, quick, slow, c, room = 1.5, 0.7, 2.0, 0.5, 2, 6
	type state struct{ phase, n, fast int } // fast of those at work
	ch := solve(state{}, func(s state, to func(state, float64)) {
		work := min(s.n, c)
		if s.phase == 0 {
			to(state{1, s.n, s.fast}, 2*rate)
		} else {
			switch {
			case s.n < c:
				to(state{0, s.n + 1, s.fast + 1}, 2*rate*share)
				to(state{0, s.n + 1, s.fast}, 2*rate*(1-share))
			case s.n < c+room:
				to(state{0, s.n + 1, s.fast}, 2*rate)
			default:
				to(state{0, s.n, s.fast}, 2*rate)
			}
		}
		for fast, r := range []float64{float64(work-s.fast) * slow, float64(s.fast) * quick} {
			left := state{s.phase, s.n - 1, s.fast - fast}
			if s.n > c { // the next begins
				to(state{left.phase, left.n, left.fast + 1}, r*share)
				to(left, r*(1-share))
			} else {
				to(left, r)
			}
		}
	})
	lost := ch.mean(func(s state) float64 { return indicator(s.phase == 1 && s.n == c+room) }) * 2
	theory{"E2/H2/2/8", []known{
		{"L", ch.mean(func(s state) float64 { return float64(s.n) }), 0.02}, {"lost", lost, 0.08},
		{"busy", ch.mean(func(s state) float64 { return float64(min(s.n, c)) / c }), 0.01},
	}, func(k luck) []float64 {
		q := newStation(k, station{servers: c, room: room, gap: erlang2(1 / rate), work: func(u float64) float64 {
			if u < share {
				return -math.Log(u/share) / quick
			}
			return -math.Log((1-u)/(1-share)) / slow
		}})
		q.play(t, 200, 200+longer(6000))
		return []float64{q.number(), q.lost(), q.share(flow.Running)}
	}}.hold(t)
}

// erlang2 inverts 1-(1+y)exp(-y) by Newton's steps, y = 2x/mean.
func erlang2(mean float64) law {
	return func(u float64) float64 {
		y := math.Sqrt(2 * u)
		for range 60 {
			step := (1 - (1+y)*math.Exp(-y) - u) / (y * math.Exp(-y))
			y = math.Max(y-step, y/10)
			if math.Abs(step) < 1e-12*y {
				break
			}
		}
		return y * mean / 2
	}
}

// TestManyServersExactly follows every piece of a queue before four servers, with
// laws of any kind, by the recursion of J. Kiefer and J. Wolfowitz (Transactions
// of the American Mathematical Society 78 (1955) 1): equal to the tick.
func TestManyServersExactly(t *testing.T) {
	t.Parallel()
	const c, pieces = 4, 3000
	for f := range uint64(5) {
		k := luck{Seed: seed1, Future: f}
		gap := func(n int) calendar.Time { return hours(lognormal(0.3, 2)(k.uniform(forGap, 0, n))) }
		work := func(n int) calendar.Time { return hours(lognormal(1, 1.5)(k.uniform(forWork, 0, n))) }
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
		p.AddSource(flow.SourceSpec{To: q, Limit: pieces, Gap: gap})
		var begun [pieces]calendar.Time
		p.AddUnit(flow.UnitSpec{From: q, Places: c, Work: func(pc *flow.Piece) calendar.Time { return work(int(pc.Number)) },
			Begins: func(pc *flow.Piece) { begun[pc.Number] = p.Now() }})
		if err := p.Run(calendar.Never); err != nil {
			t.Fatal(err)
		}
		var free [c]calendar.Time
		now := calendar.Time(0)
		for n := range pieces {
			now += gap(n)
			first := 0
			for i := range free {
				if free[i] < free[first] {
					first = i
				}
			}
			start := max(now, free[first])
			free[first] = start + work(n)
			if begun[n] != start {
				t.Fatalf("future %d: piece %d begins at %v, recursion %v", f, n, begun[n], start)
			}
		}
	}
}

// TestGroupsOfAnySize: M[X]/M/1 with geometric groups: L = rho(1+E[X^2]/E[X])/
// (2(1-rho)) (Gross & Harris, bulk input; from memory).
func TestGroupsOfAnySize(t *testing.T) {
	t.Parallel()
	const lambda, stop = 0.3, 0.4 // mean group 2.5
	mean, square := 1/stop, (2-stop)/(stop*stop)
	rho := lambda * mean
	theory{"geometric groups", []known{{"L", rho * (1 + square/mean) / (2 * (1 - rho)), 0.06}}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) },
			Group: func(n int) int { return int(geometric(stop)(k.uniform(forStart, 0, n))) }})
		p.AddUnit(flow.UnitSpec{From: q, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) }})
		playLine(t, p, 500, 500+longer(20000))
		return []float64{p.Count().MeanInside}
	}}.hold(t)
}

// TestBatchesOfSome: a unit that takes up to five pieces together and begins with
// two (M. F. Neuts's general bulk service, solved here as a Markov chain).
func TestBatchesOfSome(t *testing.T) {
	t.Parallel()
	const lambda, mu, least, most, room = 2.0, 0.6, 2, 5, 12
	type state struct{ waiting, inHand int }
	take := func(s state) state {
		if s.inHand == 0 && s.waiting >= least {
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
			to(take(state{s.waiting, 0}), mu)
		}
	})
	theory{"M/M(2,5)/1", []known{
		{"waiting", ch.mean(func(s state) float64 { return float64(s.waiting) }), 0.02},
		{"in hand", ch.mean(func(s state) float64 { return float64(s.inHand) }), 0.02},
		{"busy", ch.mean(func(s state) float64 { return indicator(s.inHand > 0) }), 0.01},
		{"lost", ch.mean(func(s state) float64 { return indicator(s.waiting == room) }), 0.08},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: room})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) }})
		u := p.AddUnit(flow.UnitSpec{From: q, Batch: most, BatchMin: least,
			Work: func(pc *flow.Piece) calendar.Time { return k.exp(1/mu, forWork, 0, int(pc.Number)) }})
		playLine(t, p, 200, 200+longer(8000))
		c, s := p.Count(), p.Store(q)
		return []float64{s.MeanLevel, c.MeanInside - s.MeanLevel, p.Unit(u).Share(flow.Running), float64(c.Lost) / float64(c.Entered)}
	}}.hold(t)
}
