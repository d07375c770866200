package scenarios_test

import (
	"os"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/works"
)

func TestTune(t *testing.T) {
	if os.Getenv("TUNE") == "" {
		t.Skip("prints the balance of Larkfell and checks nothing; set TUNE=1")
	}
	p := larkfell(t)
	for _, bg := range []bool{false, true} {
		const futures, days = 12, 28
		sum := make([][flow.NStates]float64, len(p.Route.Units))
		g := make([]float64, len(p.Route.Places))
		for f := range futures {
			w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 5, Future: uint64(f)}, SoldOut: true, Background: bg})
			w.Run(days * calendar.Day)
			for u := range sum {
				s := w.States(u)
				for i := range s {
					sum[u][i] += s[i] / futures / (days * 24) / float64(p.Route.Units[u].Places) * 100
				}
			}
			for i := range g {
				g[i] += float64(w.S.Mass[i]) / 1e6 / futures
			}
			if e := w.Check(); len(e) > 0 {
				t.Fatal(e)
			}
		}
		t.Log("background", bg)
		for u := range sum {
			t.Logf("%-18s maint %4.1f down %4.1f change %4.1f blocked %4.1f starved %4.1f run %4.1f slow %4.1f", p.Route.Units[u].Name, sum[u][1], sum[u][2], sum[u][3], sum[u][4], sum[u][5], sum[u][6], sum[u][7])
		}
		for i := range g {
			t.Logf("%-22s %9.0f t %7.1f t/h", p.Route.Places[i].Name, g[i], g[i]/days/24)
		}
	}
}
