package coilheat_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
	"millrace/sim/steel"
	"millrace/sim/steel/coilheat"
)

// The heat in the coil is what came through its faces, to 1e-9; temperatures stay
// between the start and the surroundings.
func TestConservation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := rapid.Float64Range(0.4, 0.8).Draw(t, "bore")
		s := coilheat.Shape{ID: id, OD: id + rapid.Float64Range(0.1, 1.5).Draw(t, "wraps"), Width: rapid.Float64Range(0.5, 1.8).Draw(t, "width"), RadialK: rapid.Float64Range(0.5, 30).Draw(t, "k")}
		start, around := rapid.Float64Range(20, 850).Draw(t, "start"), rapid.Float64Range(20, 850).Draw(t, "around")
		f, err := coilheat.New(s, start, rapid.IntRange(2, 10).Draw(t, "nr"), rapid.IntRange(2, 8).Draw(t, "nz"))
		if err != nil {
			t.Fatal(err)
		}
		a, b := rapid.Float64Range(1, 200).Draw(t, "film"), rapid.Float64Range(0, 0.2).Draw(t, "slope")
		film := func(c float64) float64 { return a + b*c }
		before := f.MeanEnthalpy()
		dt := f.StableStep(a + b*900)
		for range 60 {
			f.Step(dt, around, film, coilheat.Even(a), film)
		}
		if d := f.MeanEnthalpy() - before - f.Taken(); math.Abs(d) > 1e-9*math.Max(1e5, before) {
			t.Fatalf("%g J/kg came from nowhere", d)
		}
		cold, hot := f.Extremes()
		if lo, hi := min(start, around), max(start, around); cold < lo-1e-3 || hot > hi+1e-3 {
			t.Fatalf("%g to %g C from %g in %g C", cold, hot, start, around)
		}
	})
}

// A wide coil of thin wraps is a plane wall along its radius: from the surface to
// the middle the quasi-steady difference under a constant flow is q L/2k.
func TestPlaneWall(t *testing.T) {
	s := coilheat.Shape{ID: 4.5, OD: 4.7, Width: 4.9, RadialK: 5}
	f, err := coilheat.New(s, 20, 40, 2)
	if err != nil {
		t.Fatal(err)
	}
	// A weak film to hot gas is nearly a constant flow; only the round faces heat.
	const film, gas = 2.0, 820.0
	none := coilheat.Even(1e-12)
	for range 4000 {
		f.Step(f.StableStep(film), gas, coilheat.Even(film), coilheat.Even(film), none)
	}
	cold, hot := f.Extremes()
	// The outermost cells are half a cell below the surface; L is half the wraps.
	const l, d = 0.05, 0.05 / 20
	mean := steel.TempFromEnthalpy(f.MeanEnthalpy())
	want := film * (gas - mean) * (l - d/2) * (l - d/2) / (2 * s.RadialK * l)
	if math.Abs((hot-cold)/want-1) > 0.08 {
		t.Errorf("%g K through the wraps, the wall has %g", hot-cold, want)
	}
}

func TestRefusals(t *testing.T) {
	ok := coilheat.Shape{Width: 1.2, OD: 1.7, ID: 0.508, RadialK: 5}
	nan := math.NaN()
	for i, x := range []struct {
		s      coilheat.Shape
		c      float64
		nr, nz int
	}{
		{coilheat.Shape{}, 20, 5, 5}, {coilheat.Shape{Width: nan, OD: 1.7, ID: 0.5, RadialK: 5}, 20, 5, 5}, {coilheat.Shape{Width: 1, OD: 1.7, ID: 0.5, RadialK: nan}, 20, 5, 5},
		{coilheat.Shape{Width: 1, OD: 0.5, ID: 0.5, RadialK: 5}, 20, 5, 5}, {ok, nan, 5, 5}, {ok, 1000, 5, 5}, {ok, 20, 1, 5}, {ok, 20, 5, 1e6},
	} {
		if _, err := coilheat.New(x.s, x.c, x.nr, x.nz); err == nil {
			t.Errorf("accepted %d", i)
		}
	}
}

func BenchmarkStep(b *testing.B) {
	f, err := coilheat.New(coilheat.Shape{Width: 1.2, OD: 1.7, ID: 0.508, RadialK: 5}, 20, 12, 7)
	if err != nil {
		b.Fatal(err)
	}
	film := coilheat.Even(40)
	b.ReportAllocs()
	for b.Loop() {
		f.Step(60, 700, film, film, film)
	}
}
