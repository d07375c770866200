package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// Two classes with rates and mean works of their own; class 1 is the more urgent.
type classes struct{ rate, work [2]float64 }

var twoClasses = classes{rate: [2]float64{0.5, 0.3}, work: [2]float64{0.8, 1}}

func (c classes) load(i int) float64 { return c.rate[i] * c.work[i] }

// residual is the mean work left of the piece in hand that an arrival finds, for
// exponential works.
func (c classes) residual(which ...int) (r float64) {
	for _, i := range which {
		r += c.rate[i] * c.work[i] * c.work[i]
	}
	return r
}

// cobham are the mean waits when the piece in work is finished first (Cobham,
// Priority assignment in waiting line problems, Operations Research 2 (1954),
// from memory).
func (c classes) cobham() (urgent, other float64) {
	r, s := c.residual(0, 1), 1-c.load(1)
	return r / s, r / (s * (s - c.load(0)))
}

// resumed are the mean times in the system when an urgent piece displaces the
// other, whose work goes on afterwards (Kleinrock, Queueing Systems vol. 2, 1976,
// from memory).
func (c classes) resumed() (urgent, other float64) {
	s := 1 - c.load(1)
	return c.residual(1)/s + c.work[1], c.work[0]/s + c.residual(0, 1)/(s*(s-c.load(0)))
}

// arrivals adds a stream of each class that goes to the store of its class.
func (c classes) arrivals(p *flow.Plant, k luck, to [2]flow.StoreID) {
	for i := range to {
		p.AddSource(flow.SourceSpec{To: to[i],
			Mark: func(pc *flow.Piece) { pc.Priority, pc.Kind = int32(i), int32(i) },
			Gap:  func(n int) calendar.Time { return hours(-math.Log(k.uniform(forGap, i, n)) / c.rate[i]) }})
	}
}

func (c classes) duration(k luck) func(*flow.Piece) calendar.Time {
	return func(pc *flow.Piece) calendar.Time {
		return hours(-math.Log(k.uniform(forWork, 0, int(pc.Number))) * c.work[pc.Kind])
	}
}

// stays counts by class.
type stays struct {
	n    [2]int
	time [2]calendar.Time
}

func (s *stays) add(pc *flow.Piece, d calendar.Time) { s.n[pc.Kind]++; s.time[pc.Kind] += d }
func (s *stays) mean(i int) float64                  { return s.time[i].Hours() / float64(s.n[i]) }

// TestPriorities compares both rules, each built in two ways: as an order in the
// store, and as a claim on one operator whom two units share.
func TestPriorities(t *testing.T) {
	t.Parallel()
	c := twoClasses
	length := longer(15000)
	play := func(p *flow.Plant, s *stays) []float64 {
		for _, h := range []float64{500, 500 + length} {
			*s = stays{}
			if err := p.Run(hours(h)); err != nil {
				t.Fatal(err)
			}
		}
		return []float64{s.mean(1), s.mean(0)}
	}
	for _, preempts := range []bool{false, true} {
		urgent, other := c.cobham()
		name := "finished first"
		if preempts {
			urgent, other = c.resumed()
			name = "displaced"
		} else {
			urgent, other = urgent+c.work[1], other+c.work[0]
		}
		want := []known{{"urgent " + name, urgent, 0.03}, {"other " + name, other, 0.05}}
		t.Run(name+"/store", func(t *testing.T) {
			accept(t, want, func(k luck) []float64 {
				var s stays
				p := flow.NewPlant()
				q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: flow.ByPriority})
				c.arrivals(p, k, [2]flow.StoreID{q, q})
				p.AddUnit(flow.UnitSpec{From: q, Work: c.duration(k), Preempts: preempts})
				p.OnLeave(func(pc *flow.Piece) { s.add(pc, p.Now()-pc.Born) })
				return play(p, &s)
			})
		})
		t.Run(name+"/operator", func(t *testing.T) {
			accept(t, want, func(k luck) []float64 {
				var s stays
				p := flow.NewPlant()
				operator := p.AddShared(flow.SharedSpec{Preempts: preempts})
				var to [2]flow.StoreID
				for i := range to {
					to[i] = p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
					p.AddUnit(flow.UnitSpec{From: to[i], Work: c.duration(k), Needs: flow.Need{Shared: operator, Priority: int32(i)}})
				}
				c.arrivals(p, k, to)
				p.OnLeave(func(pc *flow.Piece) { s.add(pc, p.Now()-pc.Born) })
				return play(p, &s)
			})
		})
	}
}

// TestImpatience compares two servers before pieces with exponential patience
// with the birth and death process: rate lambda up, min(n,c) + theta max(0,n-c)
// down (Palm's model with abandonment; the balance is solved here).
func TestImpatience(t *testing.T) {
	t.Parallel()
	const lambda, servers, theta = 2.2, 2, 0.5
	weight, sum, queue, busy := 1.0, 0.0, 0.0, 0.0
	for n := range 200 {
		sum += weight
		queue += weight * math.Max(0, float64(n-servers))
		busy += weight * math.Min(float64(n), servers)
		next := float64(n + 1)
		weight *= lambda / (math.Min(next, servers) + theta*math.Max(0, next-servers))
	}
	queue, busy = queue/sum, busy/sum
	accept(t, []known{
		{"in the store", queue, 0.04}, {"busy", busy / servers, 0.01}, {"give up", theta * queue / lambda, 0.04},
	}, func(k luck) []float64 {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Patience: func(pc *flow.Piece) calendar.Time {
			return hours(-math.Log(k.uniform(forUp, 0, int(pc.Number))) / theta)
		}})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time { return hours(-math.Log(k.uniform(forGap, 0, n)) / lambda) }})
		u := p.AddUnit(flow.UnitSpec{From: q, Places: servers, Work: func(pc *flow.Piece) calendar.Time {
			return hours(-math.Log(k.uniform(forWork, 0, int(pc.Number))))
		}})
		if err := p.Run(hours(200)); err != nil {
			t.Fatal(err)
		}
		p.Reset()
		if err := p.Run(hours(200 + longer(8000))); err != nil {
			t.Fatal(err)
		}
		n := p.Count()
		return []float64{p.Store(q).MeanLevel, p.Unit(u).Share(flow.Running), float64(n.GaveUp) / float64(n.Entered)}
	})
}
