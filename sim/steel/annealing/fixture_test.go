package annealing

import (
	"testing"

	"millrace/sim/reftable"
)

var near, nearRel, table = reftable.Near, reftable.NearRel, reftable.Numbers

func coil(k float64) Coil { return Coil{Width: 1.2, OD: 1.7, ID: 0.508, RadialK: k} }

// strip is the winding of cold strip, gaps of 20 um (assumption).
func strip(mm float64) Wrap { return Wrap{Strip: mm / 1e3, Gap: 20e-6} }

func radialK(t testing.TB, w Wrap, gas Atmosphere) float64 {
	t.Helper()
	k, err := RadialConductivity(w, gas)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// solved is CoilTimes as a TimesFunc.
func solved(r Recipe) TimesFunc { return func(c Coil) (Times, error) { return CoilTimes(c, r) } }

// base takes four coils of 1.25 m (an invented but ordinary base; common
// practice, no source).
func base() Base {
	return Base{Handling: CommonHandling(), MaxHeight: 5.4, MaxOD: 2.0, MaxMass: 100e3, Convector: 0.07}
}
