package scenarios_test

import (
	"context"
	"syscall"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/futures"
)

// BenchmarkLarkfellYear plays a year of the shipped works as it is, from iron to
// dispatch, with its background of failures: keyed draws, records, measures and
// digest. One core's worth of CPU is reported beside the wall time.
func BenchmarkLarkfellYear(b *testing.B) {
	p := larkfell(b)
	cpu := func() float64 {
		var r syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
			b.Fatal(err)
		}
		return float64(r.Utime.Nano()+r.Stime.Nano()) * 1e-9
	}
	records, begun := uint64(0), cpu()
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		r, err := futures.RunOne(context.Background(), &futures.Case{Plant: p, SoldOut: true, Background: true, Length: 365 * calendar.Day, Seed: 1}, futures.Twin, uint64(i))
		if err != nil {
			b.Fatal(err)
		}
		records += r.Events
	}
	b.ReportMetric((cpu()-begun)/float64(b.N), "cpu-s/op")
	b.ReportMetric(float64(records)/float64(b.N), "records/op")
}
