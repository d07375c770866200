package steel_test

import (
	_ "embed"
	"math"
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/checktable"
)

//go:embed testdata/checks.csv
var published string

func TestPublished(t *testing.T) {
	plate := func(in *checktable.Inputs) steel.PlateState {
		q, half, k := in.Next(), in.Next(), in.Next()
		// Gas hot enough to give just this flux to a mean of 1000 C, where the conductivity is k.
		surface := 1000 + q*half/(3*k)
		gas := math.Pow(math.Pow(surface+steel.ZeroC, 4)+q/(0.55*steel.StefanBoltzmann), 0.25) - steel.ZeroC
		return steel.Plate{HalfThickness: half, Around: steel.Surroundings{GasC: gas, Emissivity: 0.55}}.State(steel.Enthalpy(1000))
	}
	checktable.Check(t, published, map[string]func(in *checktable.Inputs) float64{
		"specific heat":       func(in *checktable.Inputs) float64 { return steel.SpecificHeat(in.Next()) },
		"specific heat below": func(in *checktable.Inputs) float64 { return steel.SpecificHeat(math.Nextafter(in.Next(), 0)) },
		"conductivity":        func(in *checktable.Inputs) float64 { return steel.Conductivity(in.Next()) },
		"enthalpy kJ":         func(in *checktable.Inputs) float64 { return steel.Enthalpy(in.Next()) / 1e3 },
		"hot density":         func(in *checktable.Inputs) float64 { return steel.HotDensity(in.Next()) },
		"transformation kJ":   func(*checktable.Inputs) float64 { return (steel.Enthalpy(900)-steel.Enthalpy(600))/1e3 - 195 },
		"liquidus": func(in *checktable.Inputs) float64 {
			return steel.Liquidus(steel.Composition{C: in.Next(), Si: in.Next(), Mn: in.Next(), P: in.Next(), S: in.Next()})
		},
		"settled surface over centre": func(in *checktable.Inputs) float64 { s := plate(in); return s.SurfaceC - s.CentreC },
		"settled surface over mean":   func(in *checktable.Inputs) float64 { s := plate(in); return s.SurfaceC - s.MeanC },
		"heat between kJ": func(in *checktable.Inputs) float64 {
			from := in.Next()
			return (steel.Enthalpy(in.Next()) - steel.Enthalpy(from)) / 1e3
		},
		"industry kJ": func(in *checktable.Inputs) float64 { return in.Next() * 1055.05585262e6 / (2000 * 0.45359237) / 1e3 },
	})
}
