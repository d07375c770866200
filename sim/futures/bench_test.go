package futures

import (
	"context"
	"testing"
)

// BenchmarkYear plays a year of one future with records, digest and measures.
func BenchmarkYear(b *testing.B) {
	p := mustBuild(b)
	records := uint64(0)
	for i := range b.N {
		r, err := RunOne(context.Background(), &Case{Plant: p, SoldOut: true, Background: true, Length: 365 * day, Seed: 1}, Twin, uint64(i))
		if err != nil {
			b.Fatal(err)
		}
		records += r.Events
	}
	b.ReportMetric(float64(records)/float64(b.N), "records/op")
}
