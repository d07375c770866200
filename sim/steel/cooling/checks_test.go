package cooling

import (
	_ "embed"
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/checktable"
)

//go:embed testdata/checks.csv
var published string

func TestPublished(t *testing.T) {
	type in = checktable.Inputs
	hour := 3600.0
	readCoil := func(r *in) Coil {
		return Coil{Width: r.Next(), OD: r.Next(), ID: 0.762, RadialK: r.Next(), ForcedH: r.Next(), AmbientC: 25}
	}
	checktable.Check(t, published, map[string]func(r *in) float64{
		"slab hours": func(r *in) float64 { // of the average of temperature
			n := r.Next()
			w, err := steel.NewWall(steel.Carbon{}, n*0.2286/2, 10, r.Next())
			if err != nil {
				t.Fatal(err)
			}
			to, s, last := r.Next(), 0.0, w.AverageC()
			for last > to {
				if _, err := w.Advance(steel.Surroundings{GasC: 25, Emissivity: 0.8, Convection: 8}, 30); err != nil {
					t.Fatal(err)
				}
				now := w.AverageC()
				s += 30 * min(1, (last-to)/(last-now))
				last = now
			}
			return s / hour
		},
		"slab table hours": func(r *in) float64 {
			c, err := NewPileCurve(int(r.Next()), 0.2286, r.Next(), 25, 0.8, 8)
			if err != nil {
				t.Fatal(err)
			}
			return c.AgeAt(r.Next()) / hour
		},
		"jet N":        func(r *in) float64 { return JetForce(r.Next()/60e3, r.Next()*1e5) },
		"jet m/s":      func(r *in) float64 { return JetVelocity(r.Next() * 1e5) },
		"surface drop": func(r *in) float64 { return SurfaceDrop(r.Next(), r.Next(), r.Next(), r.Next()) },
		"heat kJ/m2":   func(r *in) float64 { return HeatTaken(r.Next(), r.Next(), r.Next(), r.Next()) / 1e3 },
		"bulk drop": func(r *in) float64 {
			n, h, s, thickness, tC := int(r.Next()), r.Next(), r.Next(), r.Next(), r.Next()
			return BulkDrop(n, HeatTaken(h, s, tC, 25), thickness, tC)
		},
		"wet m": func(r *in) float64 {
			from, to, h, v := r.Next(), r.Next(), r.Next()/1e3, r.Next()
			return table(t, 20, 5, r.Next()).WetLength(h, v, from, to)
		},
		"wet m constant": func(r *in) float64 {
			from, to, h, v := r.Next(), r.Next(), r.Next()/1e3, r.Next()
			return WetLengthConstant(h, v, from, to, r.Next(), 25, 650)
		},
		"coil diameter": func(r *in) float64 { return OuterDiameter(r.Next(), r.Next()/1e3, r.Next(), r.Next()) },
		"coil hours": func(r *in) float64 {
			f, err := NewCoilField(readCoil(r), r.Next(), 16, 10)
			if err != nil {
				t.Fatal(err)
			}
			to, s := r.Next(), 0.0
			for f.MaxC() > to {
				s += f.Step()
			}
			return s / hour
		},
		"coil lumped hours": func(r *in) float64 {
			s, err := LumpedTime(readCoil(r), r.Next(), r.Next())
			if err != nil {
				t.Fatal(err)
			}
			return s / hour
		},
		"lb per inch": func(r *in) float64 { return r.Next() / r.Next() / (0.45359237 / 0.0254) },
	})
}
