package annealing

import (
	_ "embed"
	"testing"

	"millrace/sim/steel/checktable"
)

//go:embed testdata/checks.csv
var checks string

func TestChecks(t *testing.T) {
	wrapped := func(in *checktable.Inputs, gas Atmosphere) float64 {
		return radialK(t, Wrap{Strip: in.Next() / 1e3, Gap: in.Next() / 1e6}, gas)
	}
	need := func(in *checktable.Inputs) Need {
		n, err := NeedFor(in.Next()*1e3/h, in.Next()*1e3, in.Next()*h, 0, 0)
		if err != nil {
			t.Error(err)
		}
		return n
	}
	checktable.Check(t, checks, map[string]func(in *checktable.Inputs) float64{
		"HN W/mK":       func(in *checktable.Inputs) float64 { return wrapped(in, HN()) },
		"hydrogen W/mK": func(in *checktable.Inputs) float64 { return wrapped(in, Hydrogen()) },
		"heat h": func(in *checktable.Inputs) float64 {
			k := in.Next()
			return heatTo(t, coil(k), gridRadial, gridAxial, in.Next())
		},
		"cool h": func(in *checktable.Inputs) float64 {
			f, err := NewCoilField(coil(in.Next()), 700, gridRadial, gridAxial)
			if err != nil {
				t.Fatal(err)
			}
			x, err := f.Cool(40, 40, in.Next())
			if err != nil {
				t.Error(err)
			}
			return x / h
		},
		"bases": func(in *checktable.Inputs) float64 { b, _, _ := need(in).Whole(); return float64(b) },
		"bells": func(in *checktable.Inputs) float64 { b, _, _ := need(in).Whole(); return float64(b) },
	})
}
