package annealing

import (
	"math"
	"testing"
)

// FuzzAnnealing: an error, or finite times above zero, by the table and by the
// field.
func FuzzAnnealing(f *testing.F) {
	r := CommonRecipe(HN())
	tb, err := NewTable(r, 0.508, []float64{2, 10}, []float64{1.3, 1.8}, []float64{1, 1.3})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(1.2, 1.7, 0.508, 0.8e-3, 20e-6, 0.052, 40.0, 680.0, 700.0)
	f.Add(math.NaN(), 0.0, -1.0, 1e300, 0.0, math.Inf(1), 1e-300, 699.99, 900.0)
	f.Fuzz(func(t *testing.T, width, od, id, strip, gap, gas, film, cold, hot float64) {
		k, err := RadialConductivity(Wrap{Strip: strip, Gap: gap}, Atmosphere{Conductivity: gas})
		if err == nil && !(k > 0 && k < 300) {
			t.Fatalf("%g W/mK", k)
		}
		c := Coil{Width: width, OD: od, ID: id, RadialK: k}
		if x, err := tb.Times(c); err == nil && !(x.Heat > 0 && x.Cool >= 0 && x.Heat < mostTime && x.Cool < mostTime) {
			t.Fatalf("%+v: %+v", c, x)
		}
		q := r
		q.Film, q.ColdC, q.GasC = film, cold, hot
		if q.Validate() != nil || film < 5 || hot-cold < 5 { // the rest takes too long for fuzzing
			return
		}
		fd, err := NewCoilField(c, q.StartC, 3, 2)
		if err != nil {
			return
		}
		if h, err := fd.Heat(q, cold); err == nil && !(h > 0 && h <= mostTime) {
			t.Fatalf("%+v: %g s", c, h)
		}
		if h, err := fd.Cool(q.CoolGasC, film, q.OffC); err == nil && !(h >= 0 && h <= mostTime) {
			t.Fatalf("%+v: %g s", c, h)
		}
		if lo, up := fd.Extremes(); !(lo >= 19 && up <= hot+1) {
			t.Fatalf("%+v: %g to %g C", c, lo, up)
		}
	})
}
