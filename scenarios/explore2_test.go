package scenarios_test

import (
	"fmt"
	"os"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/works"
)

func TestCob(t *testing.T) {
	if os.Getenv("COB") == "" {
		t.Skip()
	}
	c := scenarioCase(t, "simple-cobble.lua", 1)
	p := c.Plant
	yard, _ := p.StoreNamed("slab yard")
	fmt.Println(p.MeanSlab(), p.Spec.Casters[0].Normal)
	for i := range p.Route.Places {
		fmt.Print(p.Route.Places[i].Name, "; ")
	}
	fmt.Println()
	offs := []float64{0, 0.0667, 0.1333, 0.3, 0.5, 0.8, 1.1333, 1.5, 2, 3, 4, 6}
	const N = 60
	sum := make([]float64, len(offs))
	sq := make([]float64, len(offs))
	all := make([]map[string]float64, len(offs))
	ret := 0.0
	for f := range N {
		var w [2]*works.Works
		for k := range w {
			s := works.Start{Luck: chance.Luck{Seed: 1, Future: uint64(f)}, SoldOut: true}
			if k == 1 {
				s.Script = c.Script
			}
			w[k] = works.Begin(p, s)
		}
		for i, o := range offs {
			for k := range w {
				if err := w[k].Run(calendar.Dur((3.25 + o) * 3600)); err != nil {
					t.Fatal(err)
				}
			}
			d := float64(w[1].S.Mass[yard]-w[0].S.Mass[yard]) / 1e3 / p.MeanSlab()
			sum[i] += d / N
			sq[i] += d * d / N
			if all[i] == nil {
				all[i] = map[string]float64{}
			}
			for q := range p.Route.Places {
				all[i][p.Route.Places[q].Name] += float64(w[1].S.Mass[q]-w[0].S.Mass[q]) / 1e3 / p.MeanSlab() / N
			}
		}
		ret += float64(w[1].S.Mass[placeNamed(p, "returned")]-w[0].S.Mass[placeNamed(p, "returned")]) / 1e6
	}
	fmt.Println("returned", ret)
	for i, o := range offs {
		fmt.Printf("%.2f: %.2f sd %.2f :", o, sum[i], sq[i]-sum[i]*sum[i])
		for q := range p.Route.Places {
			if x := all[i][p.Route.Places[q].Name]; x > 0.1 || x < -0.1 {
				fmt.Printf(" %s %.2f", p.Route.Places[q].Name, x)
			}
		}
		fmt.Println()
	}
}
