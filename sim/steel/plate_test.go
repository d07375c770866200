package steel_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
	"millrace/sim/steel"
)

// Settled profile under constant flux: surface - centre = q L/2k, surface - mean = q L/3k, as the series of the plane wall with constant flux leaves it.
func TestPlateParabola(t *testing.T) { // F20
	const q, half, k = 60e3, 0.1143, 27.3
	near(t, "surface - centre", q*half/(2*k), 125.6, 0.1)
	near(t, "surface - mean", q*half/(3*k), 83.7, 0.1)
	// The same differences from the model: at a mean of 1000 C, in gas hot enough to give just this flux.
	surface := 1000 + q*half/(3*k)
	gas := math.Pow(math.Pow(surface+steel.ZeroC, 4)+q/(0.55*steel.StefanBoltzmann), 0.25) - steel.ZeroC
	p := steel.Plate{HalfThickness: half, Around: steel.Surroundings{GasC: gas, Emissivity: 0.55}}
	s := p.State(steel.Enthalpy(1000))
	near(t, "flux", s.Flux, q, 10)
	near(t, "surface - centre", s.SurfaceC-s.CentreC, 125.6, 0.1)
	near(t, "surface - mean", s.SurfaceC-s.MeanC, 83.7, 0.1)
	near(t, "rate", p.Rate(steel.Enthalpy(1000)), q/(7850*half), 0.02)
}

func TestPlateBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := steel.Plate{HalfThickness: rapid.Float64Range(1e-4, 2).Draw(t, "half"), Around: steel.Surroundings{
			GasC: rapid.Float64Range(steel.MinC, steel.MaxC).Draw(t, "gas"), Emissivity: rapid.Float64Range(0.01, 1).Draw(t, "eps"), Convection: rapid.Float64Range(0, 2000).Draw(t, "h")}}
		if err := p.Validate(); err != nil {
			t.Fatal(err)
		}
		mean := rapid.Float64Range(steel.MinC, steel.MaxC).Draw(t, "mean")
		s := p.State(steel.Enthalpy(mean))
		lag := s.Flux * p.HalfThickness / (3 * steel.Conductivity(s.MeanC))
		if d := math.Abs(s.SurfaceC - s.MeanC - lag); !(d < 1e-6) {
			t.Fatalf("surface misses its balance by %g K", d)
		}
		if lo, hi := min(mean, p.Around.GasC), max(mean, p.Around.GasC); !(s.SurfaceC >= lo-0.01 && s.SurfaceC <= hi+0.01) {
			t.Fatalf("surface at %g, mean %g, gas %g", s.SurfaceC, mean, p.Around.GasC)
		}
	})
}

func TestPlateFinalRate(t *testing.T) {
	for _, gas := range []float64{25, 500, 1000, 1300} {
		p := steel.Plate{HalfThickness: 0.1143, Around: steel.Surroundings{GasC: gas, Emissivity: 0.55, Convection: 8}}
		end := steel.Enthalpy(gas)
		for _, y := range []float64{-50, 50} {
			near(t, "rate near the end", p.Rate(end+y)/-y, p.FinalRate(), 0.005*p.FinalRate())
		}
	}
}

func TestPlateRefuses(t *testing.T) {
	good := steel.Surroundings{GasC: 100, Emissivity: 0.8}
	for _, p := range []steel.Plate{
		{0, good}, {math.NaN(), good}, {6, good}, {0.1, steel.Surroundings{GasC: 100}}, {0.1, steel.Surroundings{GasC: 1500, Emissivity: 0.8}},
		{0.1, steel.Surroundings{GasC: 100, Emissivity: 0.8, Flux: 5}}, {0.1, steel.Surroundings{GasC: 100, Emissivity: 2}},
	} {
		if p.Validate() == nil {
			t.Errorf("%+v passes", p)
		}
	}
	if s := (steel.Plate{0.1, good}).State(1e7); !math.IsNaN(s.SurfaceC) || !math.IsNaN(s.Flux) {
		t.Errorf("state outside the range is %+v, want NaN", s)
	}
}
