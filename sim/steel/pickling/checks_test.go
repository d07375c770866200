package pickling

import (
	_ "embed"
	"testing"

	"millrace/sim/steel/checktable"
)

//go:embed testdata/checks.csv
var checks string

func TestChecks(t *testing.T) {
	checktable.Check(t, checks, map[string]func(in *checktable.Inputs) float64{
		"tank s": func(in *checktable.Inputs) float64 {
			l := Line{Tanks: []float64{in.Next()}}
			return l.AcidLength() / (in.Next() / 60)
		},
		"acid s":          func(in *checktable.Inputs) float64 { return CommonKinetics().Time(in.Next(), in.Next()) },
		"looper s":        func(in *checktable.Inputs) float64 { return Stored{Strip: in.Next(), Room: 400}.EntryStop(in.Next()) },
		"drawn m":         func(in *checktable.Inputs) float64 { return Drawn(in.Next(), in.Next()) },
		"refill s":        func(in *checktable.Inputs) float64 { return Recovery(in.Next(), in.Next(), in.Next()) },
		"sustainable m/s": func(in *checktable.Inputs) float64 { return SustainableSpeed(in.Next(), in.Next(), in.Next()) },
	})
}
