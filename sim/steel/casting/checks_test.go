package casting_test

import (
	_ "embed"
	"testing"

	"millrace/sim/steel/casting"
	"millrace/sim/steel/checktable"
)

//go:embed testdata/checks.csv
var published string

func TestPublished(t *testing.T) {
	type in = checktable.Inputs
	checktable.Check(t, published, map[string]func(r *in) float64{
		"strand t/h": func(r *in) float64 { return casting.StrandRate(r.Next(), r.Next(), r.Next()/minute) * 3.6 },
		"heat min": func(r *in) float64 {
			return casting.HeatTime(r.Next()*1e3, casting.StrandRate(r.Next(), r.Next(), r.Next()/minute)) / minute
		},
		"solid min":            func(r *in) float64 { return casting.SolidTime(r.Next(), r.Next()) / minute },
		"metallurgical length": func(r *in) float64 { return casting.MetallurgicalLength(r.Next(), r.Next(), r.Next()/minute) },
		"speed by solidification": func(r *in) float64 {
			v, _, _ := casting.MaxSpeed(casting.Limits{Thickness: r.Next(), K: r.Next(), SupportedLength: r.Next()})
			return v * minute
		},
		"mould shell mm": func(r *in) float64 { return casting.MouldShell(r.Next(), r.Next(), r.Next()/minute) * 1e3 },
		"shell mm":       func(r *in) float64 { return casting.Shell(r.Next(), r.Next()*minute) * 1e3 },
		"Stefan root":    func(r *in) float64 { return casting.StefanRoot(r.Next()) },
		"Stefan K":       func(r *in) float64 { return casting.StefanK(r.Next(), r.Next(), r.Next(), r.Next(), r.Next()) },
		"wait min": func(r *in) float64 {
			return casting.WaitWindow(r.Next(), r.Next(), r.Next(), r.Next(), r.Next()/minute) / minute
		},
		"tundish min": func(r *in) float64 {
			return casting.TundishSurvival(r.Next()*1e3, r.Next()*1e3, r.Next()*1e3/minute) / minute
		},
		"taper min": func(r *in) float64 {
			return casting.WidthChange(r.Next()/1e3, r.Next()/1e3/minute, r.Next()/minute).Time / minute
		},
		"taper m": func(r *in) float64 {
			return casting.WidthChange(r.Next()/1e3, r.Next()/1e3/minute, r.Next()/minute).Length
		},
	})
}
