package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// line12 is a line of twelve units with failures; durations are cheap to draw,
// so the net is what is measured.
func line12() *line {
	room := []int64{3, 0, 5, 2, 8, 1, 4, 0, 2, 6, 3}
	cheap := func(a, b int) calendar.Time {
		x := uint64(a+1)*0x9e3779b97f4a7c15 ^ uint64(b)*0xbf58476d1ce4e5b9
		x ^= x >> 31
		return calendar.Time(x % 1000)
	}
	return newLine(room, -1, func(unit, piece int) calendar.Time { return 500 + cheap(unit, piece) }).failing(
		func(unit, j int) calendar.Time { return 10000 + 20*cheap(unit+20, j) },
		func(unit, j int) calendar.Time { return 3 * cheap(unit+40, j) })
}

// BenchmarkSingleServer is M/M/1 at a load of 0.7; one operation is a customer,
// its two keyed draws included.
func BenchmarkSingleServer(b *testing.B) {
	q := newStation(luck{Seed: 1}, station{gap: exponential(1 / 0.7), work: exponential(1)})
	q.play(b, 100, 10000)
	b.ReportAllocs()
	b.ResetTimer()
	for target := q.p.Count().Entered + int64(b.N); q.p.Count().Entered < target; {
		if err := q.p.Run(q.p.Now() + 10*calendar.Hour); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLine12 is a line of twelve units; one operation is an event.
func BenchmarkLine12(b *testing.B) {
	l := line12()
	for range 100000 {
		l.step(calendar.Never)
	}
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		l.step(calendar.Never)
	}
}

// BenchmarkCopy copies the line of twelve units into memory that is there.
func BenchmarkCopy(b *testing.B) {
	l := line12()
	for range 100000 {
		l.step(calendar.Never)
	}
	c := line12()
	c.net.CopyFrom(&l.net)
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		c.net.CopyFrom(&l.net)
	}
}

// TestNoAllocation: once the slices have grown an event allocates nothing, nor
// does a copy into memory that is there.
func TestNoAllocation(t *testing.T) {
	l := line12()
	for range 100000 {
		l.step(calendar.Never)
	}
	if l.wrong != "" {
		t.Fatal(l.wrong)
	}
	if a := testing.AllocsPerRun(5, func() {
		for range 20000 {
			l.step(calendar.Never)
		}
	}); a != 0 {
		t.Errorf("%v allocations in 20,000 events of a line", a)
	}
	for name, p := range busyPlants() {
		run := func(h float64) {
			if err := p.Run(p.Now() + hours(h)); err != nil {
				t.Fatal(name, err)
			}
		}
		run(20000)
		before := p.Count().Events
		if a := testing.AllocsPerRun(5, func() { run(2000) }); a != 0 {
			t.Errorf("%s: %v allocations in 2,000 hours", name, a)
		}
		if n := p.Count().Events - before; n < 10000 {
			t.Errorf("%s: only %d events, too few to tell", name, n)
		}
	}
	c := line12()
	c.net.CopyFrom(&l.net)
	if a := testing.AllocsPerRun(5, func() { c.net.CopyFrom(&l.net) }); a != 0 {
		t.Errorf("%v allocations in a copy into memory that is there", a)
	}
}

// busyPlants are plants that between them use all that flow has.
func busyPlants() map[string]*flow.Plant {
	k := luck{Seed: 5}
	drawn := 0
	exp := func(mean float64) calendar.Time {
		drawn++
		return hours(-mean * math.Log(k.uniform(forWork, 1, drawn)))
	}
	work := func(mean float64) func(*flow.Piece) calendar.Time {
		return func(*flow.Piece) calendar.Time { return exp(mean) }
	}
	gap := func(mean float64) func(int) calendar.Time { return func(int) calendar.Time { return exp(mean) } }
	age := func(mean float64) func(int, int) calendar.Time {
		return func(int, int) calendar.Time { return exp(mean) }
	}
	out := map[string]*flow.Plant{}

	p := flow.NewPlant()
	q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
	p.AddSource(flow.SourceSpec{To: q, Gap: gap(1)})
	p.AddUnit(flow.UnitSpec{From: q, Work: work(0.7)})
	out["single server"] = p

	p = flow.NewPlant()
	crew := p.AddShared(flow.SharedSpec{Preempts: true})
	crane, man := p.AddShared(flow.SharedSpec{Count: 2}), p.AddShared(flow.SharedSpec{})
	a := p.AddStore(flow.StoreSpec{Room: 30, Before: flow.ByPriority})
	b := p.AddStore(flow.StoreSpec{Room: 5, Travel: work(0.2)})
	c := p.AddStore(flow.StoreSpec{Room: 9, Patience: work(20)})
	mark := func(pc *flow.Piece) { pc.Priority, pc.Kind = int32(pc.Number%3), int32(pc.Number%2) }
	p.AddSource(flow.SourceSpec{To: a, Gap: gap(1), Mark: mark, Group: func(n int) int { return 1 + n%2 }})
	fails := []flow.FailSpec{
		{Up: age(30), Repair: age(1), Crew: flow.Need{Shared: crew, Priority: 1}},
		{Clock: flow.ByCalendar, Up: age(80), Repair: age(2), Piece: flow.Restarts, Crew: flow.Need{Shared: crew}},
	}
	p.AddUnit(flow.UnitSpec{From: a, To: b, Work: work(0.4), Preempts: true, Fails: fails,
		SetupNeeds: flow.Need{Shared: man},
		Setup:      func(from, to int32) calendar.Time { return calendar.Time(from^to) * calendar.Minute }})
	p.AddUnit(flow.UnitSpec{From: b, To: c, Places: 2, Work: work(0.7), Needs: flow.Need{Shared: crane, UntilGone: true, ByPiece: true}, MoreNeeds: []flow.Need{{Shared: man}},
		Stops: flow.Shifts(6*calendar.Hour, 22*calendar.Hour, calendar.Day)})
	p.AddUnit(flow.UnitSpec{From: c, Batch: 4, BatchMin: 2, BatchWork: func(pc *flow.Piece, n int) calendar.Time { return exp(0.5 + 0.12*float64(n)) },
		Picks: func(set int32, a, b *flow.Piece) bool { return a.Kind == set && b.Kind != set },
		Needs: flow.Need{Shared: crane}, Fails: fails[:1]})
	out["everything"] = p
	return out
}
