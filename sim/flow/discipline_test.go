package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// rank is a class of pieces by its arrivals and the law of its work.
type rank struct {
	rate float64
	work law
	mean float64
	sq   float64 // mean square of the work
}

// ranks come in falling order of urgency.
func threeRanks() []rank {
	v := math.Log(1 + 0.6*0.6)
	return []rank{
		{0.25, exponential(0.6), 0.6, 2 * 0.6 * 0.6},
		{0.3, fixed(1), 1, 1},
		{0.2, lognormal(1.4, 0.6), 1.4, 1.4 * 1.4 * math.Exp(v)},
	}
}

// playRanks lets the classes come to one store and returns the mean stay of each.
func playRanks(t *testing.T, k luck, list []rank, u flow.UnitSpec, length float64) []float64 {
	p := flow.NewPlant()
	u.From = p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: flow.ByPriority})
	for i, r := range list {
		p.AddSource(flow.SourceSpec{To: u.From,
			Gap: func(n int) calendar.Time { return k.exp(1/r.rate, forGap, i, n) },
			Mark: func(pc *flow.Piece) {
				pc.Kind, pc.Priority = int32(i), int32(-i)
			}})
	}
	u.Work = func(pc *flow.Piece) calendar.Time {
		return hours(list[pc.Kind].work(k.uniform(forWork, 0, int(pc.Number))))
	}
	p.AddUnit(u)
	stay, n := make([]float64, len(list)), make([]float64, len(list))
	p.OnLeave(func(pc *flow.Piece) {
		if p.Now() > hours(500) {
			stay[pc.Kind] += (p.Now() - pc.Born).Hours()
			n[pc.Kind]++
		}
	})
	if err := p.Run(hours(500 + length)); err != nil {
		t.Fatal(err)
	}
	for i := range stay {
		stay[i] /= n[i]
	}
	return stay
}

// TestThreeRanks has three classes with laws of their own before one unit. Finished
// first: A. Cobham, Operations Research 2 (1954) 70. Displaced: L. Kleinrock,
// Queueing Systems vol. 2 (1976), section 3.4. Both from memory.
func TestThreeRanks(t *testing.T) {
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
			want = append(want, known{"class " + string(rune('1'+i)), stay, []float64{0.03, 0.03, 0.06}[i]})
			before = upTo
		}
		name := map[bool]string{false: "finished first", true: "displaced"}[preempts]
		theory{name, want, func(k luck) []float64 {
			return playRanks(t, k, list, flow.UnitSpec{Preempts: preempts}, longer(12000))
		}}.hold(t)
	}
}

// TestRanksBeforeServers has three classes before three servers, all works alike.
// Finished first: Cobham's formula for several servers. Displaced: the classes up
// to any one see an M/M/c of their own.
func TestRanksBeforeServers(t *testing.T) {
	t.Parallel()
	const c = 3
	rates := []float64{0.6, 0.9, 0.9}
	var list []rank
	for _, r := range rates {
		list = append(list, rank{r, exponential(1), 1, 2})
	}
	erlangC := func(a float64) float64 {
		b := 1.0
		for i := 1; i <= c; i++ {
			b = a * b / (float64(i) + a*b)
		}
		return b / (1 - a/c*(1-b))
	}
	for _, preempts := range []bool{false, true} {
		var want []known
		before, sum := 0.0, 0.0
		for i, r := range rates {
			upTo := before + r
			stay := 1 + erlangC(2.4)/c/((1-before/c)*(1-upTo/c))
			if preempts { // Little's law of the classes up to this one
				number := upTo + erlangC(upTo)*upTo/(c-upTo)
				stay = (number - sum) / r
				sum = number
			}
			want = append(want, known{"class " + string(rune('1'+i)), stay, 0.05})
			before = upTo
		}
		name := map[bool]string{false: "finished first", true: "displaced"}[preempts]
		theory{name, want, func(k luck) []float64 {
			return playRanks(t, k, list, flow.UnitSpec{Preempts: preempts, Places: c}, longer(8000))
		}}.hold(t)
	}
}

// TestOrders: the last first, and the shortest first, for any law of the work.
// Last first and displacing: E[S]/(1-rho), whatever the law; shortest first: Phipps,
// Operations Research 4 (1956) 76; displacing by whole work: L. E. Schrage, L. W.
// Miller, Operations Research 14 (1966) 670, section on preemption without
// remaining times. All from memory.
func TestOrders(t *testing.T) {
	t.Parallel()
	const lambda = 0.7
	// Load and second moment of exponential works (mean 1) no longer than x.
	load := func(x float64) float64 { return lambda * (1 - math.Exp(-x)*(1+x)) }
	square := func(x float64) float64 { return lambda * (2 - math.Exp(-x)*(x*x+2*x+2)) }
	over := func(f func(x float64) float64) (sum float64) { // mean of f over the works
		const step = 0.001
		for x := step / 2; x < 40; x += step {
			sum += step * f(x) * math.Exp(-x)
		}
		return sum
	}
	shorter := func(a, b *flow.Piece) bool { return a.Data < b.Data }
	for _, c := range []struct {
		name      string
		before    func(a, b *flow.Piece) bool
		preempts  bool
		work      law
		stay      float64
		precision float64
	}{
		{"last first, displaces", flow.LastIn, true, lognormal(1, 1.2), 1 / (1 - lambda), 0.05},
		{"last first", flow.LastIn, false, exponential(1), 1 / (1 - lambda), 0.05},
		{"shortest first", shorter, false, exponential(1), 1 + over(func(x float64) float64 { return lambda / math.Pow(1-load(x), 2) }), 0.05},
		{"shortest first, displaces", shorter, true, exponential(1), over(func(x float64) float64 {
			return x/(1-load(x)) + square(x)/2/math.Pow(1-load(x), 2)
		}), 0.05},
	} {
		theory{c.name, []known{{"stay", c.stay, c.precision}}, func(k luck) []float64 {
			p := flow.NewPlant()
			q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: c.before})
			p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) },
				Mark: func(pc *flow.Piece) { pc.Data = int64(hours(c.work(k.uniform(forWork, 0, int(pc.Number))))) }})
			p.AddUnit(flow.UnitSpec{From: q, Preempts: c.preempts, Work: func(pc *flow.Piece) calendar.Time { return calendar.Time(pc.Data) }})
			playLine(t, p, 300, 300+longer(15000))
			return []float64{p.Count().MeanStay / 3600}
		}}.hold(t)
	}
}

// TestDisplacedBeginsAgain: pieces that always wait and need a constant work are
// displaced by urgent ones and begin again. One is through after
// (exp(lambda s)-1)(1/lambda + b) on average, b the busy period of the urgent (each
// attempt succeeds with chance exp(-lambda s); by hand).
func TestDisplacedBeginsAgain(t *testing.T) {
	t.Parallel()
	const lambda, s = 0.3, 1.5
	theory{"throughput", []known{{"throughput", 1 / ((math.Exp(lambda*s) - 1) * (1/lambda + 1/(1-lambda))), 0.01}}, func(k luck) []float64 {
		length, n := longer(10000), 0
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: flow.ByPriority})
		p.AddSource(flow.SourceSpec{To: q, Limit: 1, Gap: func(int) calendar.Time { return 0 }, Group: func(int) int { return int(length) }})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) },
			Mark: func(pc *flow.Piece) { pc.Priority = 1 }})
		p.AddUnit(flow.UnitSpec{From: q, Preempts: true, Displaced: flow.Restarts, Work: func(pc *flow.Piece) calendar.Time {
			if pc.Priority == 0 {
				return hours(s)
			}
			return k.exp(1, forWork, 0, int(pc.Number))
		}})
		p.OnLeave(func(pc *flow.Piece) { n += int(1 - pc.Priority) })
		if err := p.Run(hours(length)); err != nil {
			t.Fatal(err)
		}
		return []float64{float64(n) / length}
	}}.hold(t)
}

// TestUnequalRanks: two servers, an urgent class that displaces the other, with
// works of unlike means; solved as a Markov chain (cut at 60 of each).
func TestUnequalRanks(t *testing.T) {
	t.Parallel()
	const l1, l2, m1, m2, c = 0.7, 0.6, 1.0, 0.7, 2
	for _, preempts := range []bool{true, false} {
		type state struct{ n1, n2, s1, s2 int } // there, and at work
		fill := func(s state) state {
			for s.s1+s.s2 < c && s.s1 < s.n1 {
				s.s1++
			}
			if preempts {
				s.s1 = min(s.n1, c)
				s.s2 = min(s.n2, c-s.s1)
			}
			for s.s1+s.s2 < c && s.s2 < s.n2 {
				s.s2++
			}
			return s
		}
		ch := solve(state{}, func(s state, to func(state, float64)) {
			if s.n1 < 40 {
				to(fill(state{s.n1 + 1, s.n2, s.s1, s.s2}), l1)
			}
			if s.n2 < 60 {
				to(fill(state{s.n1, s.n2 + 1, s.s1, s.s2}), l2)
			}
			to(fill(state{s.n1 - 1, s.n2, s.s1 - 1, s.s2}), m1*float64(s.s1))
			to(fill(state{s.n1, s.n2 - 1, s.s1, s.s2 - 1}), m2*float64(s.s2))
		})
		name := map[bool]string{false: "finished first", true: "displaced"}[preempts]
		theory{name, []known{
			{"urgent", ch.mean(func(s state) float64 { return float64(s.n1) }) / l1, 0.03},
			{"other", ch.mean(func(s state) float64 { return float64(s.n2) }) / l2, 0.05},
		}, func(k luck) []float64 {
			return playRanks(t, k, []rank{{l1, exponential(1 / m1), 0, 0}, {l2, exponential(1 / m2), 0, 0}}, flow.UnitSpec{Preempts: preempts, Places: c}, longer(8000))
		}}.hold(t)
	}
}
