package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// BenchmarkTenDays plays ten quiet days of one future, records and digest included.
func BenchmarkTenDays(b *testing.B) {
	p := mustBuild(b)
	var d record.Digest
	b.ReportAllocs()
	events := uint64(0)
	for i := range b.N {
		w := Begin(p, Start{Luck: chance.Luck{Seed: 1, Future: uint64(i)}, SoldOut: true})
		w.Sink = &d
		if err := w.Run(10 * calendar.Day); err != nil {
			b.Fatal(err)
		}
		events += w.S.NEvents
	}
	b.ReportMetric(float64(events)/float64(b.N), "events/op")
}

func BenchmarkBuild(b *testing.B) {
	s := testSpec()
	for range b.N {
		if _, err := Build(s); err != nil {
			b.Fatal(err)
		}
	}
}
