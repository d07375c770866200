package coldrolling

import (
	_ "embed"
	"testing"

	"millrace/sim/steel/checktable"
)

//go:embed testdata/checks.csv
var checks string

func TestChecks(t *testing.T) {
	const mpa, mm = 1e6, 1e-3
	s := strip(2.5, 0.7, 1.2)
	h := []float64{2.5e-3, 1.8e-3, 1.3e-3, .98e-3, .78e-3, .7e-3}
	m := mill()
	m.Stands[4].Friction = .06
	stand := func(in *checktable.Inputs) (Pass, float64) {
		i := int(in.Next()) - 1
		p := Pass{Entry: h[i], Exit: h[i+1], Radius: .25, Friction: m.Stands[i].Friction, Back: m.Tensions[i], Front: m.Tensions[i+1], Stress: LowCarbon().PassStress(h[0], h[i], h[i+1])}
		return p, s.Width
	}
	share := func(in *checktable.Inputs, model Model) float64 {
		p := Pass{Entry: 2.5e-3, Exit: 1.8e-3, Radius: .25, Friction: .06, Stress: 550e6}
		q := p
		q.Back, q.Front = in.Next()*mpa, in.Next()*mpa
		return q.Solve(model).Force / p.Solve(model).Force
	}
	temper := func(in *checktable.Inputs) TemperResult {
		x := TemperStrip{Thickness: 0.7e-3, Width: 1.2, Length: in.Next(), Elongation: in.Next(), TempC: 35}
		tm := temperMill()
		tm.MaxSpeed = in.Next()
		r, err := tm.Coil(x)
		if err != nil {
			t.Error(err)
		}
		return r
	}
	checktable.Check(t, checks, map[string]func(in *checktable.Inputs) float64{
		"low carbon MPa":     func(in *checktable.Inputs) float64 { return LowCarbon().Stress(in.Next()) / mpa },
		"hollomon MPa":       func(in *checktable.Inputs) float64 { return Hollomon(in.Next()*mpa, in.Next()).Stress(in.Next()) / mpa },
		"warming K":          func(in *checktable.Inputs) float64 { return WorkHeat(in.Next()*mpa, in.Next()*mm, in.Next()*mm) },
		"tension share":      func(in *checktable.Inputs) float64 { return share(in, BlandFord) },
		"hill tension share": func(in *checktable.Inputs) float64 { return share(in, Hill) },
		"stand k MPa":        func(in *checktable.Inputs) float64 { p, _ := stand(in); return p.Stress / mpa },
		"stand MN":           func(in *checktable.Inputs) float64 { p, w := stand(in); return p.Solve(BlandFord).Force * w / 1e6 },
		"stand hill MN":      func(in *checktable.Inputs) float64 { p, w := stand(in); return p.Solve(Hill).Force * w / 1e6 },
		"stand MW": func(in *checktable.Inputs) float64 {
			p, w := stand(in)
			l := p.Solve(BlandFord)
			// Speed of the rolls: mass flow at 20 m/s behind the last stand, less the slip.
			v := 20 * h[5] / p.Exit / (1 + l.Slip)
			return 2 * l.Torque * w * v / p.Radius / 1e6
		},
		"coil s": func(in *checktable.Inputs) float64 {
			welds := int(in.Next())
			c := m
			c.TailLength = 0
			if welds == 0 {
				c.ThreadLength = 0
			}
			x, err := c.CoilTime(s.Length(20e3, s.ExitThickness), 20, welds)
			if err != nil {
				t.Error(err)
			}
			return x.Total()
		},
		"temper m": func(in *checktable.Inputs) float64 { return temper(in).Length },
		"temper s": func(in *checktable.Inputs) float64 { return temper(in).Rolling },
		"least mm": func(in *checktable.Inputs) float64 {
			return LeastThickness(in.Next(), in.Next(), in.Next()*mpa, 0) / mm
		},
	})
}
