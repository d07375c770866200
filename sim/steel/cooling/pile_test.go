package cooling_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/steel"
	"millrace/sim/steel/cooling"
)

// Heat given to the air is heat lost, to rounding; the pile cools from outside and never warms.
func TestFullPile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, thickness := rapid.IntRange(1, 8).Draw(t, "n"), rapid.Float64Range(0.1, 0.305).Draw(t, "thickness")
		start, air := rapid.Float64Range(200, 1200).Draw(t, "start"), rapid.Float64Range(-20, 40).Draw(t, "air")
		r, err := cooling.FullPile(n, thickness, start, air, 0.8, 8, rapid.Float64Range(60, 30000).Draw(t, "seconds"), 600, 5)
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range r {
			stored := (r[0].Enthalpy - x.Enthalpy) * steel.Density * float64(n) * thickness / 2
			if d := stored - x.LossJ; !(math.Abs(d) <= 1e-9*(x.LossJ+r[0].Enthalpy*steel.Density*float64(n)*thickness)) {
				t.Fatalf("lost %g J, given %g", stored, x.LossJ)
			}
			if !(x.SurfaceC <= x.MeanC+1e-3 && x.MeanC <= x.CentreC+0.5 && x.SurfaceC >= air && x.CentreC <= start+1) {
				t.Fatalf("%+v", x)
			}
			if i > 0 && !(x.MeanC <= r[i-1].MeanC && x.SurfaceC <= r[i-1].SurfaceC+1e-6) {
				t.Fatalf("%+v after %+v", x, r[i-1])
			}
		}
	})
}

// Stated with SlabCurve and FullPile: how far the table is from conduction, and ten cells a slab from twenty.
func TestPileTableAgainstConduction(t *testing.T) {
	for _, c := range []struct {
		n           int
		thickness   float64
		startC, tol float64 // C, on the way
		late        float64 // C, below 500 C
	}{{1, 0.15, 1000, 4, 1}, {1, 0.2286, 900, 4, 1}, {1, 0.305, 750, 4, 1}, {5, 0.2286, 900, 25, 12}, {10, 0.2286, 700, 25, 12}} {
		seconds := 40000 * float64(c.n) * c.thickness / 0.2286
		full, err := cooling.FullPile(c.n, c.thickness, c.startC, 25, 0.8, 8, seconds, seconds/60, 0)
		if err != nil {
			t.Fatal(err)
		}
		fine := full
		if c.n == 1 { // a pile of five with 100 cells takes a second and differs by 0.1 C
			if fine, err = cooling.FullPile(c.n, c.thickness, c.startC, 25, 0.8, 8, seconds, seconds/60, 20); err != nil {
				t.Fatal(err)
			}
		}
		curve, err := cooling.NewPileCurve(c.n, c.thickness, c.startC, 25, 0.8, 8)
		if err != nil {
			t.Fatal(err)
		}
		worst, off := 0.0, 0.0
		for i, x := range full {
			slabNear(t, "ten cells a slab", x.MeanC, fine[i].MeanC, 0.5)
			d := curve.Temp(x.Seconds) - x.MeanC
			worst = math.Max(worst, math.Abs(d))
			if x.MeanC < 500 {
				off = math.Max(off, math.Abs(d))
			}
		}
		if worst > c.tol || off > c.late {
			t.Errorf("%d of %g mm from %g C: %.1f C off on the way, %.1f C below 500 C", c.n, c.thickness*1e3, c.startC, worst, off)
		}
		t.Logf("%d of %g mm from %g C: %.1f C off on the way, %.1f C below 500 C", c.n, c.thickness*1e3, c.startC, worst, off)
	}
}

func TestFullPileRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][8]float64{{0, 0.2, 900, 25, 0.8, 8, 100, 10}, {51, 0.2, 900, 25, 0.8, 8, 100, 10}, {1, nan, 900, 25, 0.8, 8, 100, 10}, {1, 0.2, nan, 25, 0.8, 8, 100, 10}, {1, 0.2, 30, 25, 0.8, 8, 100, 10},
		{1, 0.2, 900, nan, 0.8, 8, 100, 10}, {1, 0.2, 900, 25, nan, 8, 100, 10}, {1, 0.2, 900, 25, 0, 0, 100, 10}, {1, 0.2, 900, 25, 0.8, 8, nan, 10}, {1, 0.2, 900, 25, 0.8, 8, 100, 0}, {1, 0.2, 900, 25, 0.8, 8, 1e8, 1}} {
		if _, err := cooling.FullPile(int(c[0]), c[1], c[2], c[3], c[4], c[5], c[6], c[7], 5); err == nil {
			t.Errorf("%v passes", c)
		}
	}
}
