package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// stage is a unit of an exponential line: rates of work, of failing and of repair,
// and the room before it. It fails while it works, or by the calendar.
type stage struct {
	work, fail, repair float64
	room               int
	byCalendar         bool
}

// lineState is what the chain knows of a line: pieces in the store before each
// unit, and the unit: without a piece, at work, blocked; up or down.
type lineState struct {
	store [8]int8
	unit  [8]int8
	down  [8]bool
}

const (
	hasNone = iota
	hasWork
	isBlocked
)

// solveLine balances a line whose first unit is never starved and whose last is
// never blocked, with blocking after service. A unit that is down takes nothing.
func solveLine(line []stage) chain[lineState] {
	n := len(line)
	// settle moves what can move, from the end of the line.
	settle := func(s lineState) lineState {
		for moved := true; moved; {
			moved = false
			for i := n - 1; i >= 0; i-- {
				if s.unit[i] == isBlocked && i+1 < n {
					switch {
					case s.store[i+1] == 0 && s.unit[i+1] == hasNone && !s.down[i+1]:
						s.unit[i+1], s.unit[i], moved = hasWork, hasNone, true
					case int(s.store[i+1]) < line[i+1].room:
						s.store[i+1]++
						s.unit[i], moved = hasNone, true
					}
				}
				if s.unit[i] == hasNone && !s.down[i] {
					switch {
					case i == 0:
						s.unit[i], moved = hasWork, true
					case s.store[i] > 0:
						s.store[i]--
						s.unit[i], moved = hasWork, true
					}
				}
			}
		}
		return s
	}
	return solve(settle(lineState{}), func(s lineState, to func(lineState, float64)) {
		for i, u := range line {
			if s.unit[i] == hasWork && !s.down[i] {
				next := s
				next.unit[i] = isBlocked
				if i == n-1 {
					next.unit[i] = hasNone
				}
				to(settle(next), u.work)
			}
			if u.fail > 0 && !s.down[i] && (u.byCalendar || s.unit[i] == hasWork) {
				next := s
				next.down[i] = true
				to(settle(next), u.fail)
			}
			if s.down[i] {
				next := s
				next.down[i] = false
				to(settle(next), u.repair)
			}
		}
	})
}

// TestExponentialLines solves lines as Markov chains and plays them: two unequal
// units with a store that fail by either clock, three that fail, five with unequal
// rooms and rates, eight without room.
func TestExponentialLines(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		line   []stage
		length float64
	}{
		{"two, operating", []stage{{1, 0.05, 0.3, 0, false}, {1.3, 0.15, 0.25, 3, false}}, 12000},
		{"two, calendar", []stage{{1, 0.05, 0.3, 0, true}, {1.3, 0.15, 0.25, 3, true}}, 12000},
		{"three, both clocks", []stage{{1.2, 0.02, 0.2, 0, false}, {1, 0.1, 0.5, 2, true}, {1.4, 0.05, 0.15, 1, false}}, 16000},
		{"five, unequal", []stage{{1.3, 0, 0, 0, false}, {1, 0, 0, 1, false}, {1.5, 0, 0, 0, false}, {0.9, 0, 0, 3, false}, {1.1, 0, 0, 1, false}}, 6000},
		{"eight, no room", []stage{{1, 0, 0, 0, false}, {1, 0, 0, 0, false}, {1.2, 0, 0, 0, false}, {1, 0, 0, 0, false}, {0.8, 0, 0, 0, false},
			{1, 0, 0, 0, false}, {1.2, 0, 0, 0, false}, {1, 0, 0, 0, false}}, 6000},
	} {
		n := len(c.line)
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			ch := solveLine(c.line)
			inside := func(s lineState) (sum float64) {
				for i := range n {
					sum += float64(s.store[i]) + indicator(s.unit[i] != hasNone)
				}
				return sum
			}
			busy := func(i int) func(s lineState) float64 {
				return func(s lineState) float64 { return indicator(s.unit[i] == hasWork && !s.down[i]) }
			}
			want := []known{{"throughput", c.line[n-1].work * ch.mean(busy(n-1)), 0.01}, {"inside", ch.mean(inside), 0.02}}
			for i := range n {
				want = append(want, known{"busy " + string(rune('1'+i)), ch.mean(busy(i)), 0.01})
			}
			blocked := ch.mean(func(s lineState) float64 { return indicator(s.unit[0] == isBlocked && !s.down[0]) })
			starved := ch.mean(func(s lineState) float64 { return indicator(s.unit[n-1] == hasNone && !s.down[n-1]) })
			want = append(want, known{"first blocked", blocked, 0.05}, known{"last starved", starved, 0.05})
			accept(t, want, func(k luck) []float64 {
				length := longer(c.length)
				p := flow.NewPlant()
				from := flow.Outside
				var units []flow.UnitID
				for i, s := range c.line {
					to := flow.Outside
					if i+1 < n {
						to = p.AddStore(flow.StoreSpec{Room: c.line[i+1].room})
					}
					u := flow.UnitSpec{From: from, To: to, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1/s.work, forWork, i, int(pc.Number)) }}
					if s.fail > 0 {
						f := flow.FailSpec{
							Up:     func(_, j int) calendar.Time { return k.exp(1/s.fail, forUp, i, j) },
							Repair: func(_, j int) calendar.Time { return k.exp(1/s.repair, forRepair, i, j) },
						}
						if s.byCalendar {
							f.Clock = flow.ByCalendar
						}
						u.Fails = []flow.FailSpec{f}
					}
					units = append(units, p.AddUnit(u))
					from = to
				}
				playLine(t, p, 200, 200+length)
				got := []float64{float64(p.Count().Left) / length, p.Count().MeanInside}
				for _, u := range units {
					got = append(got, p.Unit(u).Share(flow.Running))
				}
				return append(got, p.Unit(units[0]).Share(flow.Blocked), p.Unit(units[n-1]).Share(flow.Starved))
			})
		})
	}
}

// TestWorkBrokenOff: a constant work s under failures at rate d: begun again after
// each, a piece takes (exp(ds)-1)(1/d + r); scrapped, a share exp(-ds) of the
// pieces is good and each takes (1-exp(-ds))(1/d + r) (each attempt succeeds with
// chance exp(-ds); by hand).
func TestWorkBrokenOff(t *testing.T) {
	t.Parallel()
	const d, s, r = 0.4, 1.2, 0.7
	good := math.Exp(-d * s)
	for _, c := range []struct {
		name string
		fate flow.Fate
		rate float64
	}{
		{"resumes", flow.Resumes, 1 / (s * (1 + d*r))},
		{"restarts", flow.Restarts, 1 / ((1/good - 1) * (1/d + r))},
		{"scrapped", flow.Scrapped, good / ((1 - good) * (1/d + r))},
	} {
		theory{c.name, []known{{"throughput", c.rate, 0.01}}, func(k luck) []float64 {
			length := longer(6000)
			p := flow.NewPlant()
			p.AddUnit(flow.UnitSpec{Work: func(*flow.Piece) calendar.Time { return hours(s) }, Fails: []flow.FailSpec{{
				Piece:  c.fate,
				Up:     func(_, j int) calendar.Time { return k.exp(1/d, forUp, 0, j) },
				Repair: func(_, j int) calendar.Time { return k.exp(r, forRepair, 0, j) },
			}}})
			playLine(t, p, 50, 50+length)
			return []float64{float64(p.Count().Left) / length}
		}}.hold(t)
	}
}

// TestTwoKindsOfMachine: three quick and two slow machines before one repairman
// who may leave the quick ones for the slow, solved as a Markov chain.
func TestTwoKindsOfMachine(t *testing.T) {
	t.Parallel()
	const n1, n2 = 3, 2 // class 2 goes first
	fail, fix := [2]float64{0.2, 0.1}, [2]float64{1, 0.4}
	for _, preempts := range []bool{false, true} {
		type state struct{ d1, d2, on int }
		next := func(s state) state {
			if s.on == 0 || preempts {
				switch {
				case s.d2 > 0:
					s.on = 2
				case s.d1 > 0:
					s.on = 1
				}
			}
			return s
		}
		ch := solve(state{}, func(s state, to func(state, float64)) {
			to(next(state{s.d1 + 1, s.d2, s.on}), fail[0]*float64(n1-s.d1))
			to(next(state{s.d1, s.d2 + 1, s.on}), fail[1]*float64(n2-s.d2))
			switch s.on {
			case 1:
				to(next(state{s.d1 - 1, s.d2, 0}), fix[0])
			case 2:
				to(next(state{s.d1, s.d2 - 1, 0}), fix[1])
			}
		})
		name := map[bool]string{false: "finished first", true: "displaced"}[preempts]
		theory{name, []known{
			{"quick down", ch.mean(func(s state) float64 { return float64(s.d1) }), 0.03},
			{"slow down", ch.mean(func(s state) float64 { return float64(s.d2) }), 0.03},
			{"crew busy", ch.mean(func(s state) float64 { return indicator(s.on > 0) }), 0.02},
		}, func(k luck) []float64 {
			p := flow.NewPlant()
			crew := p.AddShared(flow.SharedSpec{Preempts: preempts})
			var units []flow.UnitID
			for i, n := range []int{n1, n2} {
				units = append(units, p.AddUnit(flow.UnitSpec{Places: n, Work: func(*flow.Piece) calendar.Time { return calendar.Never },
					Fails: []flow.FailSpec{{
						Crew:   flow.Need{Shared: crew, Priority: int32(i)},
						Up:     func(place, j int) calendar.Time { return k.exp(1/fail[i], forUp, 10*i+place, j) },
						Repair: func(place, j int) calendar.Time { return k.exp(1/fix[i], forRepair, 10*i+place, j) },
					}}}))
			}
			playLine(t, p, 200, 200+longer(8000))
			return []float64{n1 * p.Unit(units[0]).Share(flow.Down), n2 * p.Unit(units[1]).Share(flow.Down), p.Shared(crew).MeanInUse}
		}}.hold(t)
	}
}

// TestOneOperator: two units of a line with one operator, who goes to the second
// first, or to the first first; room for two between them. A unit that is blocked
// gives the operator away, or keeps him until its piece is gone. Markov chain.
func TestOneOperator(t *testing.T) {
	t.Parallel()
	const m1, m2, room = 1.0, 0.8, 2
	for _, c := range []struct {
		name   string
		second int32
	}{{"second first", 1}, {"first first", -1}} {
		// The operator is at unit 1 or 2; blocked: the first holds a finished piece.
		type state struct {
			there   int // pieces before and on the second
			blocked bool
			at      int
		}
		// The first unit always has work unless it is blocked. What is before the
		// second: one on it at most, the others in the store.
		go2 := func(s state) state {
			switch {
			case s.there == 0:
				s.at = 1
			case s.blocked || c.second > 0:
				s.at = 2
			default:
				s.at = 1
			}
			return s
		}
		ch := solve(state{0, false, 1}, func(s state, to func(state, float64)) {
			if s.at == 1 { // finishes a piece
				if s.there < room+1 {
					to(go2(state{s.there + 1, false, 0}), m1)
				} else {
					to(go2(state{s.there, true, 0}), m1)
				}
				return
			}
			if s.blocked { // its piece moves up
				to(go2(state{s.there, false, 0}), m2)
			} else {
				to(go2(state{s.there - 1, false, 0}), m2)
			}
		})
		theory{c.name, []known{
			{"throughput", m2 * ch.mean(func(s state) float64 { return indicator(s.at == 2) }), 0.01},
			{"second's", ch.mean(func(s state) float64 { return indicator(s.at == 2) }), 0.01},
		}, func(k luck) []float64 {
			length := longer(8000)
			p := flow.NewPlant()
			man := p.AddShared(flow.SharedSpec{})
			q := p.AddStore(flow.StoreSpec{Room: room})
			p.AddUnit(flow.UnitSpec{To: q, Needs: flow.Need{Shared: man},
				Work: func(pc *flow.Piece) calendar.Time { return k.exp(1/m1, forWork, 0, int(pc.Number)) }})
			u := p.AddUnit(flow.UnitSpec{From: q, Needs: flow.Need{Shared: man, Priority: c.second},
				Work: func(pc *flow.Piece) calendar.Time { return k.exp(1/m2, forWork, 1, int(pc.Number)) }})
			playLine(t, p, 50, 50+length)
			there := ch.mean(func(s state) float64 { return float64(s.there) })
			if got := behindFirst(p); math.Abs(got-there) > 0.05*there {
				t.Errorf("%.3f behind the first, the chain has %.3f", got, there)
			}
			return []float64{float64(p.Count().Left) / length, p.Unit(u).Share(flow.Running)}
		}}.hold(t)
	}
}

// TestClosedNetwork: eight pieces go round between a unit and two others that
// share them out, one of two places; J. P. Buzen, Communications of the ACM 16
// (1973) 527, from memory, here by the Markov chain of the numbers.
func TestClosedNetwork(t *testing.T) {
	t.Parallel()
	const n, toA = 8, 0.6
	rate := [3]float64{2, 1, 0.5} // central; A; B with two places
	type state struct{ c, a, b int }
	ch := solve(state{n, 0, 0}, func(s state, to func(state, float64)) {
		if s.c > 0 {
			to(state{s.c - 1, s.a + 1, s.b}, rate[0]*toA)
			to(state{s.c - 1, s.a, s.b + 1}, rate[0]*(1-toA))
		}
		if s.a > 0 {
			to(state{s.c + 1, s.a - 1, s.b}, rate[1])
		}
		to(state{s.c + 1, s.a, s.b - 1}, rate[2]*float64(min(s.b, 2)))
	})
	theory{"numbers", []known{
		{"central busy", ch.mean(func(s state) float64 { return indicator(s.c > 0) }), 0.01},
		{"at A", ch.mean(func(s state) float64 { return float64(s.a) }), 0.03},
		{"at B", ch.mean(func(s state) float64 { return float64(s.b) }), 0.03},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		var q [3]flow.StoreID
		for i := range q {
			q[i] = p.AddStore(flow.StoreSpec{Room: n})
		}
		p.AddSource(flow.SourceSpec{To: q[0], Limit: 1, Gap: func(int) calendar.Time { return 0 }, Group: func(int) int { return n }})
		var u [3]flow.UnitID
		for i := range u {
			count := 0
			spec := flow.UnitSpec{From: q[i], To: q[0], Work: func(*flow.Piece) calendar.Time { count++; return k.exp(1/rate[i], forWork, i, count) }}
			switch i {
			case 0:
				spec.Route = func(*flow.Piece) flow.StoreID {
					if k.uniform(forStart, 0, count) < toA {
						return q[1]
					}
					return q[2]
				}
			case 2:
				spec.Places = 2
			}
			u[i] = p.AddUnit(spec)
		}
		playLine(t, p, 200, 200+longer(8000))
		return []float64{p.Unit(u[0]).Share(flow.Running), p.Store(q[1]).MeanLevel + p.Unit(u[1]).Share(flow.Running),
			p.Store(q[2]).MeanLevel + 2*p.Unit(u[2]).Share(flow.Running)}
	}}.hold(t)
}

// TestManned: M/M/1 whose unit is manned 6 h of 10, and either breaks the work off
// or finishes the piece in hand. The number is carried through the two parts of the
// cycle by the chain's equations (Runge and Kutta) until it repeats.
func TestManned(t *testing.T) {
	t.Parallel()
	const lambda, on, cycle, most = 0.4, 6.0, 10.0, 120
	for _, finish := range []bool{false, true} {
		// p[n] without, h[n] with a piece in hand that is finished off shift.
		p, h := make([]float64, most), make([]float64, most)
		p[0] = 1
		rates := func(p, h, dp, dh []float64, manned bool) {
			clear(dp)
			clear(dh)
			for n := range most {
				if n+1 < most {
					dp[n] -= lambda * p[n]
					dp[n+1] += lambda * p[n]
					dh[n] -= lambda * h[n]
					dh[n+1] += lambda * h[n]
				}
				if n > 0 {
					dh[n] -= h[n]
					dp[n-1] += h[n]
					if manned {
						dp[n] -= p[n]
						dp[n-1] += p[n]
					}
				}
			}
		}
		const steps = 1000
		var last, mean float64
		d := [4][2][]float64{}
		for i := range d {
			d[i] = [2][]float64{make([]float64, most), make([]float64, most)}
		}
		q, g := make([]float64, most), make([]float64, most)
		for round := 0; round < 200; round++ {
			mean = 0
			for i := range steps {
				manned := float64(i) < steps*on/cycle
				if finish && i == int(steps*on/cycle) {
					copy(h[1:], p[1:])
					clear(p[1:])
				}
				if i == 0 {
					for n := range h {
						p[n] += h[n]
						h[n] = 0
					}
				}
				dt := cycle / steps
				for n := range most {
					mean += float64(n) * (p[n] + h[n]) / steps
				}
				for j, part := range []float64{0, 0.5, 0.5, 1} {
					copy(q, p)
					copy(g, h)
					if j > 0 {
						for n := range q {
							q[n] += part * dt * d[j-1][0][n]
							g[n] += part * dt * d[j-1][1][n]
						}
					}
					rates(q, g, d[j][0], d[j][1], manned)
				}
				for n := range p {
					p[n] += dt / 6 * (d[0][0][n] + 2*d[1][0][n] + 2*d[2][0][n] + d[3][0][n])
					h[n] += dt / 6 * (d[0][1][n] + 2*d[1][1][n] + 2*d[2][1][n] + d[3][1][n])
				}
			}
			if math.Abs(mean-last) < 1e-7 {
				break
			}
			last = mean
		}
		name := map[bool]string{false: "broken off", true: "finished first"}[finish]
		theory{name, []known{{"L", mean, 0.04}}, func(k luck) []float64 {
			p := flow.NewPlant()
			q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
			p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) }})
			stops := flow.Shifts(0, hours(on), hours(cycle))
			for i := range stops {
				stops[i].FinishFirst = finish
			}
			p.AddUnit(flow.UnitSpec{From: q, Stops: stops, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) }})
			playLine(t, p, 1000, 1000+longer(15000))
			return []float64{p.Count().MeanInside}
		}}.hold(t)
	}
}

// TestChangeoversInQueue: pieces of two kinds in the order in which they come,
// with a changeover (exponential, by direction) when the kind changes. Markov
// chain, cut at 150.
func TestChangeoversInQueue(t *testing.T) {
	t.Parallel()
	const lambda, share, most = 0.5, 0.3, 150 // share of kind 1
	setup := [2]float64{0.8, 0.4}             // mean, towards kind
	type state struct{ n, kind, phase int }   // 0 nothing, 1 changeover, 2 work
	ch := solve(state{}, func(s state, to func(state, float64)) {
		begin := func(n int, rate float64) {
			for kind, p := range []float64{1 - share, share} {
				phase := 2
				if kind != s.kind {
					phase = 1
				}
				to(state{n, kind, phase}, rate*p)
			}
		}
		switch {
		case s.phase == 0:
			begin(1, lambda)
		case s.n < most:
			to(state{s.n + 1, s.kind, s.phase}, lambda)
		}
		switch s.phase {
		case 1:
			to(state{s.n, s.kind, 2}, 1/setup[s.kind])
		case 2:
			if s.n == 1 {
				to(state{0, s.kind, 0}, 1)
			} else {
				begin(s.n-1, 1)
			}
		}
	})
	theory{"two kinds", []known{
		{"L", ch.mean(func(s state) float64 { return float64(s.n) }), 0.05},
		{"changeover", ch.mean(func(s state) float64 { return indicator(s.phase == 1) }), 0.03},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return k.exp(1/lambda, forGap, 0, n) },
			Mark: func(pc *flow.Piece) { pc.Kind = int32(indicator(k.uniform(forStart, 0, int(pc.Number)) < share)) }})
		changes := 0
		u := p.AddUnit(flow.UnitSpec{From: q, Work: func(pc *flow.Piece) calendar.Time { return k.exp(1, forWork, 0, int(pc.Number)) },
			Setup: func(from, kind int32) calendar.Time {
				if from == kind {
					return 0
				}
				changes++
				return k.exp(setup[kind], forUp, 0, changes)
			}})
		playLine(t, p, 500, 500+longer(15000))
		return []float64{p.Count().MeanInside, p.Unit(u).Share(flow.Changeover)}
	}}.hold(t)
}

// TestConveyorExactly follows pieces on a conveyor with room for four by the
// recursion: a piece is on when the one four before it is off, is at the end when
// it has travelled and all before it are off.
func TestConveyorExactly(t *testing.T) {
	t.Parallel()
	const pieces, room = 400, 4
	for f := range uint64(10) {
		k := luck{Seed: seed1, Future: f}
		load := func(n int) calendar.Time { return k.exp(1, forWork, 0, n) }
		travel := func(n int) calendar.Time { return k.exp(3, forWork, 1, n) }
		unload := func(n int) calendar.Time { return k.exp(1, forWork, 2, n) }
		p := flow.NewPlant()
		c := p.AddStore(flow.StoreSpec{Room: room, Travel: func(pc *flow.Piece) calendar.Time { return travel(int(pc.Number)) }})
		p.AddUnit(flow.UnitSpec{Limit: pieces, To: c, Work: func(pc *flow.Piece) calendar.Time { return load(int(pc.Number)) }})
		p.AddUnit(flow.UnitSpec{From: c, Work: func(pc *flow.Piece) calendar.Time { return unload(int(pc.Number)) }})
		var got []calendar.Time
		p.OnLeave(func(*flow.Piece) { got = append(got, p.Now()) })
		if err := p.Run(calendar.Never); err != nil {
			t.Fatal(err)
		}
		var off [pieces]calendar.Time
		var ready, begun, free calendar.Time
		for n := range pieces {
			ready = begun + load(n) // done at the first unit
			on := ready
			if n >= room {
				on = max(on, off[n-room])
			}
			begun = on
			off[n] = max(on+travel(n), free)
			if n > 0 {
				off[n] = max(off[n], off[n-1])
			}
			free = off[n] + unload(n)
			if got[n] != free {
				t.Fatalf("future %d: piece %d leaves at %v, recursion %v", f, n, got[n], free)
			}
		}
	}
}
