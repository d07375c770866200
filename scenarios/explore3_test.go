package scenarios_test

import (
	"fmt"
	"os"
	"testing"

	"millrace/sim/works"
)

func TestViews(t *testing.T) {
	if os.Getenv("VIEWS") == "" {
		t.Skip()
	}
	base := plantWith(t, nil).ProductViews()
	for _, m := range []struct {
		n string
		f func(s *works.Spec, x float64)
	}{
		{"none", func(s *works.Spec, x float64) {}},
		{"flow", func(s *works.Spec, x float64) {
			g := append(s.Grades[:0:0], s.Grades...)
			for i := range g {
				g[i].FlowFactor *= x
			}
			s.Grades = g
		}},
		{"H", func(s *works.Spec, x float64) { s.RunOut.H *= x }},
		{"radialK", func(s *works.Spec, x float64) { s.CoilYard.RadialK *= x }},
		{"emis", func(s *works.Spec, x float64) {
			for i := range s.Furnaces {
				s.Furnaces[i].Emissivity *= x
			}
		}},
	} {
		for _, x := range []float64{0.85, 1, 1.15} {
			func() {
				defer func() {
					if e := recover(); e != nil {
						fmt.Println("panic", e)
					}
				}()
				w := larkfell(t).Spec
				m.f(&w, x)
				p, err := works.Build(w)
				if err != nil {
					fmt.Println("--", m.n, x, err)
					return
				}
				fmt.Println("--", m.n, x)
				for i, v := range p.ProductViews() {
					fmt.Printf("  %s rough %.1f (%+.1f) %s roll %.1f (%+.1f) %s cool %.1f (%+.1f) rate %.0f\n", v.Name, v.RoughS, v.RoughS-base[i].RoughS, v.RoughLimit, v.RollS, v.RollS-base[i].RollS, v.RollLimit, v.CoolH, v.CoolH-base[i].CoolH, v.RatePerHour)
				}
			}()
		}
	}
}
