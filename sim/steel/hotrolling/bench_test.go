package hotrolling_test

import (
	"testing"

	"millrace/sim/steel/hotrolling"
)

func BenchmarkRough(b *testing.B) {
	m, p := rougher(), products[4]
	s := hotrolling.Slab{Width: p.width, Thickness: 0.23, Length: 10, TempC: 1240, Grade: p.grade}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := hotrolling.Rough(m, s, p.bar()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFinish(b *testing.B) {
	tr := train()
	for _, p := range []product{products[1], products[4], products[9]} {
		r, err := hotrolling.Rough(rougher(), hotrolling.Slab{Width: p.width, Thickness: 0.23, Length: 10, TempC: 1240, Grade: p.grade}, p.bar())
		if err != nil {
			b.Fatal(err)
		}
		bar := r.Bar(p.grade)
		bar.Wait = 30
		b.Run(p.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := hotrolling.Finish(tr, bar, p.target()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
