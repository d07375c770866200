package hotrolling_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
	"millrace/sim/steel"
	hr "millrace/sim/steel/hotrolling"
)

// The cheap form against the full one, within what [hr.MeanPressure] states.
func TestCheapForm(t *testing.T) {
	var force, torque [2]float64
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(0.0025, 0.25).Draw(t, "h1")
		g := hr.Gap{Entry: h, Width: 1, RollRadius: rapid.Float64Range(0.33, 0.6).Draw(t, "radius"), RollSpeed: rapid.Float64Range(0.5, 20).Draw(t, "speed")}
		x := min(rapid.Float64Range(0.1, 0.5).Draw(t, "reduction"), hr.MaxDraft(0.3, g.RollRadius)/h)
		if x < 0.1 {
			t.Skip("needs a draft of a tenth within the bite")
		}
		g.Exit = h * (1 - x)
		temp := rapid.Float64Range(800, 1250).Draw(t, "temp")
		gr := grade("x", rapid.Float64Range(0.04, 0.3).Draw(t, "carbon"), 1)
		full, err := hr.RollPass(g, temp, gr, hr.Shida, hr.Sims)
		cheap, err2 := hr.RollPass(g, temp, gr, hr.Shida, hr.MeanPressure)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		// The stated range; beyond it, thin strip under heavy drafts, the line falls
		// up to a fifth below.
		if full.Contact > 8*0.5*(g.Entry+g.Exit) || full.FlatRadius > 1.5*g.RollRadius {
			t.Skip("needs a gap within the range that the bound is stated for")
		}
		f, q := cheap.Force/full.Force-1, cheap.Torque/full.Torque-1
		force = [2]float64{min(force[0], f), max(force[1], f)}
		torque = [2]float64{min(torque[0], q), max(torque[1], q)}
		if math.Abs(f) > 0.06 || q < -0.04 || q > 0.09 {
			t.Fatalf("force %+.3f, torque %+.3f: %+v, %+v", f, q, g, full)
		}
	})
	t.Logf("force %+.3f to %+.3f, torque %+.3f to %+.3f", force[0], force[1], torque[0], torque[1])
}

// The closed form of radiation, which knows no profile, against conduction through
// the thickness: within what [hr.Radiated] states.
func TestRadiationAgainstConduction(t *testing.T) {
	for _, c := range []struct{ h, from, seconds, lo, hi, surfaceLo, surfaceHi float64 }{
		{0.230, 1235, 60, 1.15, 1.30, 90, 120},
		{0.150, 1180, 30, 1.10, 1.30, 60, 90},
		{0.100, 1150, 20, 1.08, 1.30, 40, 70},
		{0.060, 1130, 20, 1.05, 1.15, 30, 50},
		{0.034, 1100, 30, 1.03, 1.10, 15, 35},
		{0.034, 1100, 120, 1.03, 1.10, 15, 35},
		{0.034, 950, 60, 1.03, 1.10, 10, 25},
		{0.010, 950, 5, 1, 1.05, 2, 10},
		{0.0025, 900, 3, 1, 1.05, 0, 3},
	} {
		w, err := steel.NewWall(steel.Carbon{}, c.h/2, 20, c.from)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Advance(steel.Surroundings{GasC: 25, Emissivity: 0.8}, c.seconds); err != nil {
			t.Fatal(err)
		}
		x := (c.from - hr.Radiated(c.from, 0.8, c.seconds, steel.Density*650, c.h)) / (c.from - w.MeanC())
		if x < c.lo || x > c.hi {
			t.Errorf("%g mm: the closed form drops %.3f times as much", c.h*1e3, x)
		}
		if d := w.MeanC() - w.SurfaceC(); d < c.surfaceLo || d > c.surfaceHi {
			t.Errorf("%g mm: surface %.0f K below the mean", c.h*1e3, d)
		}
	}
}
