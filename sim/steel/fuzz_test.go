package steel_test

import (
	"math"
	"testing"

	"millrace/sim/steel"
)

// Inside the documented range there is no NaN, outside nothing else.
func FuzzProperties(f *testing.F) {
	for _, tC := range []float64{-40, 20, 599.999, 600, 735, 899.9, 1450, 1450.1, -41, math.Inf(1), math.NaN()} {
		f.Add(tC)
	}
	laws := []func(float64) float64{steel.SpecificHeat, steel.Conductivity, steel.ThermalStrain, steel.HotDensity, steel.Enthalpy}
	f.Fuzz(func(t *testing.T, tC float64) {
		in := tC >= steel.MinC && tC <= steel.MaxC
		for i, law := range laws {
			if v := law(tC); math.IsNaN(v) == in || math.IsInf(v, 0) {
				t.Fatalf("law %d at %g C is %g", i, tC, v)
			}
		}
		if back := steel.TempFromEnthalpy(steel.Enthalpy(tC)); in && !(math.Abs(back-tC) < 0.001) {
			t.Fatalf("%g C comes back as %g", tC, back)
		}
		if in != steel.InRange(tC) {
			t.Fatalf("InRange(%g)", tC)
		}
	})
}

// Any analysis is refused or freezes at a temperature below pure iron's.
func FuzzComposition(f *testing.F) {
	f.Add(0.1, 0.1, 0.5, 0.01, 0.01)
	f.Add(0.5, 0.0, 0.0, 0.0, 0.0)
	f.Add(math.NaN(), -1.0, math.Inf(1), 0.0, 0.0)
	f.Fuzz(func(t *testing.T, c, si, mn, p, s float64) {
		comp := steel.Composition{C: c, Si: si, Mn: mn, P: p, S: s}
		ok := comp.Validate() == nil
		liquidus, solidus := steel.Liquidus(comp), steel.Solidus(comp)
		if ok != (liquidus <= 1536 && liquidus > 1400) || ok != (solidus <= liquidus) || ok == math.IsNaN(steel.FerritePotential(comp)) || ok == math.IsNaN(steel.FerriteStart(comp, 0.01)) {
			t.Fatalf("%+v: liquidus %g, solidus %g, valid %v", comp, liquidus, solidus, ok)
		}
	})
}

// Whatever stands in whatever: an error, or temperatures between start and surroundings and heat that adds up.
func FuzzWall(f *testing.F) {
	f.Add(0.1143, 20.0, 1250.0, 0.55, 0.0, 600.0)
	f.Add(0.001, 1400.0, -40.0, 1.0, 1e5, 1.0)
	f.Add(1e-9, 20.0, 100.0, 0.5, 0.0, 1e6)
	f.Add(math.NaN(), 20.0, 100.0, 0.5, 0.0, 10.0)
	f.Fuzz(func(t *testing.T, half, startC, gasC, eps, film, seconds float64) {
		if half > 0 && seconds/(half*half) > 1e9 && half > 1e-7 {
			return // slow, not wrong
		}
		w, err := steel.NewWall(steel.Carbon{}, half, 4, startC)
		if err != nil {
			return
		}
		before := w.MeanEnthalpy()
		q, err := w.Advance(steel.Surroundings{GasC: gasC, Emissivity: eps, Convection: film}, seconds)
		if err != nil {
			return
		}
		lo, hi := min(startC, gasC)-0.01, max(startC, gasC)+0.01
		if !(w.MeanC() >= lo && w.MeanC() <= hi && w.SurfaceC() >= lo && w.SurfaceC() <= hi) {
			t.Fatalf("mean %g, surface %g outside %g to %g", w.MeanC(), w.SurfaceC(), lo, hi)
		}
		stored := (w.MeanEnthalpy() - before) * steel.Density * half
		if !(math.Abs(stored-q) <= 1e-9*(math.Abs(q)+1e6*steel.Density*half)) {
			t.Fatalf("stored %g, taken in %g", stored, q)
		}
	})
}
