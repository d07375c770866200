package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// BenchmarkTenDays plays ten quiet days of one future, records and digest included.
func BenchmarkTenDays(b *testing.B) {
	b.Run("hot side", func(b *testing.B) { tenDays(b, mustBuild(b)) })
	b.Run("whole route", func(b *testing.B) {
		p, err := Build(testColdSpec())
		if err != nil {
			b.Fatal(err)
		}
		tenDays(b, p)
	})
}

func tenDays(b *testing.B, p *Plant) {
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

// BenchmarkJourney is one slab from the mould to dispatch with the full forms.
func BenchmarkJourney(b *testing.B) {
	p, err := Build(testColdSpec())
	if err != nil {
		b.Fatal(err)
	}
	i, _ := p.ProductNumber("P10")
	for b.Loop() {
		if _, err := p.Journey(i, math.NaN()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCapacity is the capacity table.
func BenchmarkCapacity(b *testing.B) {
	p, err := Build(testColdSpec())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		p.Capacity()
	}
}
