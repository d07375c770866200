package scenarios_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// TestLedger: the losses by cause over a month with everything that goes wrong on
// its own, each inside the range that the trade knows. Each cause is counted where
// it happens; nothing is what is left over, and the sum closes to the gram.
func TestLedger(t *testing.T) {
	p := larkfell(t)
	sum := map[string]float64{}
	const futures = 6
	for f := range futures {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 31, Future: uint64(f)}, SoldOut: true, Background: true})
		w.Sink = sinkFunc(func(events []record.Event) {
			for i := range events {
				if e := &events[i]; e.Kind == record.Move && e.A != works.StepOpening {
					to, from := p.Route.Places[e.To].Name, p.Route.Places[e.From].Name
					sum[to] += float64(e.Mass) / 1e6
					sum["from "+from] += float64(e.Mass) / 1e6
				}
			}
		})
		if err := w.Run(28 * calendar.Day); err != nil {
			t.Fatal(err)
		}
		if errs := w.Check(); len(errs) > 0 {
			t.Fatal(errs)
		}
	}
	tapped := sum["ladles"]
	drawn := sum["F1"] + sum["F2"]
	for _, r := range []struct {
		cause     string
		got, base float64
		low, high float64 // per cent of base
		source    string
	}{
		{"scale", sum["scale"], drawn, 0.5, 1.5, "common practice, no source; 0.85 to 1.0 % computed for 2.3 to 3 h, Chen & Yuen, Oxid. Met. 59 (2003) 433, from memory"},
		{"crop at the shear", sum["crop"], drawn, 0.2, 0.5, "100 to 300 mm off each end: from memory"},
		{"cobbles and rejected bars", sum["cobble"] + sum["scrap"], drawn, 0.05, 1.5, "slab to hot coil about 3.5 % in all, web article on yield loss; the share of cobbles from memory"},
		{"slab to hot coil", sum["scale"] + sum["crop"] + sum["cobble"] + sum["scrap"], drawn, 1.2, 4.0, "about 3.5 %, web article on yield loss; well run mills less, from memory"},
		{"skull, casting crop and trim", sum["skull"] + sum["casting crop"] + sum["trim"], tapped, 0.5, 7, "near 0 in sequence, 7 % when turned round after every ladle: encyclopaedia article on steel casting"},
		{"trim", sum["trim"], tapped, 0, 0.5, "common practice, no source"},
		{"pickling", sum["dissolved in acid"] + sum["side trim"], sum["pickle line"], 1.0, 4, "2 to 4 % with side trim: from memory"},
		{"cold mill", sum["cold mill ends"], sum["cold mill"], 0.5, 2, "1 to 2 %: from memory"},
		{"temper mill", sum["temper mill ends"], sum["temper mill"], 0.2, 1, "0.5 to 1 %: from memory"},
		{"returned", sum["returned"], tapped, 0, 2, "common practice, no source"},
		{"blown off", sum["blown off"], sum["from scrap charged"] + sum["from blast furnace"] - sum["iron pooled"], 5, 12, "common practice, no source"},
	} {
		share := r.got / r.base * 100
		t.Logf("%-30s %8.0f t, %.2f %% (range %.2f to %.2f %%; %s)", r.cause, r.got/futures, share, r.low, r.high, r.source)
		if share < r.low || share > r.high {
			t.Errorf("%s: %.2f %%, range %.2f to %.2f %%", r.cause, share, r.low, r.high)
		}
	}
}
