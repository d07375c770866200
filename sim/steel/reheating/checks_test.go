package reheating_test

import (
	_ "embed"
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/checktable"
	"millrace/sim/steel/reheating"
)

//go:embed testdata/checks.csv
var published string

const mmbtuPerNetTon = 1055.05585262e6 / (2000 * 0.45359237) // J/kg

func TestPublished(t *testing.T) {
	type in = checktable.Inputs
	discharged := func(r *in) (float64, reheating.Reading) {
		h, c := r.Next(), r.Next()
		hours := hoursTo(t, h, c)
		return hours, walk(t, h, c, hours, 10)
	}
	table := func(r *in) steel.PlateState {
		baths, err := reference.Baths(r.Next(), emissivity)
		if err != nil {
			t.Fatal(err)
		}
		h, _ := reference.Walk(baths, steel.Enthalpy(r.Next()), r.Next()*3600)
		return baths[3].State(h)
	}
	fuel := func(r *in) float64 {
		return reheating.Fuel(1000, steel.Enthalpy(r.Next()), steel.Enthalpy(r.Next()), 0, 0, r.Next())
	}
	checktable.Check(t, published, map[string]func(r *in) float64{
		"programme um": func(r *in) float64 { // from, to C, K/min, hold s
			from, to, rate, hold := r.Next(), r.Next(), r.Next()/60, r.Next()
			const dt = 0.5
			sum := hold * reheating.ScaleConstant(to)
			for s := dt / 2; s < (to-from)/rate; s += dt {
				sum += 2 * dt * reheating.ScaleConstant(from+s*rate)
			}
			return reheating.ScaleThickness(sum) * 1e6
		},
		"kp cm2/s": func(r *in) float64 { return reheating.ScaleConstant(r.Next()) * 1e4 },
		"scale mm": func(r *in) float64 { return reheating.ScaleThickness(reheating.ScaleConstant(r.Next())*r.Next()) * 1e3 },
		"steel mm": func(r *in) float64 {
			return reheating.SteelLoss(reheating.ScaleConstant(r.Next())*r.Next()) / steel.Density * 1e3
		},
		"reference hours":   func(r *in) float64 { h, _ := discharged(r); return h },
		"reference centre":  func(r *in) float64 { _, s := discharged(r); return s.CentreC },
		"reference surface": func(r *in) float64 { _, s := discharged(r); return s.SurfaceC },
		"table mean":        func(r *in) float64 { return table(r).MeanC },
		"table surface":     func(r *in) float64 { return table(r).SurfaceC },
		"places":            func(r *in) float64 { return float64(reheating.Places(r.Next(), r.Next(), r.Next())) },
		"cycle min":         func(r *in) float64 { return reheating.Cycle(r.Next()*3600, int(r.Next())) / 60 },
		"throughput t/h": func(r *in) float64 {
			mass := steel.Density * r.Next() * r.Next() * r.Next()
			return reheating.Throughput(mass, reheating.Cycle(r.Next()*3600, int(r.Next()))) * 3.6
		},
		"fuel GJ/t of a figure": func(r *in) float64 {
			figure := r.Next()
			return reheating.Fuel(1000, 0, 0.68*mmbtuPerNetTon, 0, 0, 0.68/figure) / 1e9
		},
		"efficiency": func(r *in) float64 { return r.Next() / r.Next() },
		"fuel GJ/t":  func(r *in) float64 { return fuel(r) / 1e9 },
		"CO2 kg/t":   func(r *in) float64 { return reheating.CO2(fuel(r)) },
		"saving %": func(r *in) float64 {
			c, to := steel.Enthalpy(r.Next()), steel.Enthalpy(r.Next())
			return 100 * (1 - reheating.Fuel(1, c, to, 0, 0, 1)/reheating.Fuel(1, 0, to, 0, 0, 1))
		},
		"factor kg/GJ": func(r *in) float64 { return r.Next() / 3.6e6 * 1e9 },
		"wall MW":      func(r *in) float64 { return reheating.HoldPower(r.Next()*1e3/3600, 1) / 1e6 },
		"hold MW":      func(r *in) float64 { return reheating.HoldPower(r.Next()*1e3/3600, r.Next()) / 1e6 },
	})
}
