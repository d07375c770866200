package scenarios_test

import (
	"fmt"
	"os"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

func TestJam(t *testing.T) {
	if os.Getenv("JAM") == "" {
		t.Skip()
	}
	p := larkfell(t)
	start, _ := quantity.ParseClock("2031-11-07 06:00")
	for f := range 3 {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 31, Future: uint64(f)}, SoldOut: true, Script: furnaceJam(6, 24)})
		m := &mutated{sums: sums{p: p}}
		l := &trace{p: p, start: start, quiet: map[works.Word]bool{works.WordSpeed: true, works.WordRolls: true}}
		w.Sink = record.Both(m, l)
		last := 0.0
		for h := range 34 {
			w.Run(calendar.Time(h) * calendar.Hour)
			c := func(n string) string { return w.StateOf(p.UnitsNamed(n)[0]).String() }
			fmt.Printf("%d: rolled %.0f F1 %+v F2 %+v F1 %s F2 %s rougher %s train %s descaler %s yard %.0f\n", h, m.rolled-last, w.Furnace(0), w.Furnace(1), c("F1"), c("F2"), c("rougher"), c("finishing train"), c("descaler"), float64(w.S.Mass[placeNamed(p, "slab yard")])/1e6)
			last = m.rolled
		}
		if f == 0 {
			fmt.Println(l.b.String())
		}
	}
}
