package flow_test

import (
	"testing"

	"millrace/sim/calendar"
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
// its two draws included.
func BenchmarkSingleServer(b *testing.B) {
	q := singleServer(luck{Seed: 1}, 0.7, exponential(1))
	q.play(hours(100), hours(10000))
	b.ReportAllocs()
	b.ResetTimer()
	for target := q.coming + b.N; q.coming < target; {
		q.run(q.net.Now() + 10*calendar.Hour)
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
	q := singleServer(luck{Seed: 1}, 0.5, exponential(1)).failing(exponential(8), exponential(1))
	q.play(hours(1000), hours(100000))
	if a := testing.AllocsPerRun(5, func() { q.run(q.net.Now() + hours(5000)) }); a != 0 {
		t.Errorf("%v allocations in 5,000 hours of a single server", a)
	}
	c := line12()
	c.net.CopyFrom(&l.net)
	if a := testing.AllocsPerRun(5, func() { c.net.CopyFrom(&l.net) }); a != 0 {
		t.Errorf("%v allocations in a copy into memory that is there", a)
	}
}
