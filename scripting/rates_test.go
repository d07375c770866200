package scripting

import (
	"math"
	"testing"

	"millrace/scenarios"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// A works described by rates, rooms and stops runs, keeps its mass, and rolls what
// the slowest of its rates allows.
func TestWorksByRates(t *testing.T) {
	w, err := LoadWorks("testdata/rates/works.lua", DiskThen(scenarios.FS), 0)
	if err != nil {
		t.Fatal(err)
	}
	run := works.Begin(w.Plant, works.Start{Luck: chance.Luck{Seed: 5}, SoldOut: true})
	var m record.Memory
	run.Sink = &m
	const days = 5
	if err := run.Run(days * calendar.Day); err != nil {
		t.Fatal(err)
	}
	for _, e := range run.Check() {
		t.Error(e)
	}
	rolled, cast := 0.0, 0.0
	conveyor, _ := w.Plant.StoreNamed("conveyor")
	yard, _ := w.Plant.StoreNamed("slab yard")
	for _, e := range m.Events {
		if e.Kind == record.Move && e.To == conveyor {
			rolled += float64(e.Mass)
		}
		if e.Kind == record.Move && e.To == yard && e.From >= 0 && e.A != works.StepOpening {
			cast += float64(e.Mass)
		}
	}
	perHour := func(g float64) float64 { return g / 1e6 / (days * 24) }
	t.Logf("cast %.0f t/h, rolled %.0f t/h", perHour(cast), perHour(rolled))
	// The iron sets it: 440 t/h of hot metal, 86 % of the charge, 92 % yield, is
	// 471 t/h of liquid steel; the yard may give or take some 20 t/h over five days.
	if got := perHour(rolled); math.Abs(got-460) > 45 {
		t.Errorf("rolled %.0f t/h", got)
	}
	for _, u := range w.Plant.Route.Units {
		switch u.Name {
		case "steel shop", "C1", "C2", "F1", "F2", "rougher", "finishing train":
			if !u.RateGiven {
				t.Errorf("%s: the output does not say that its rate was given", u.Name)
			}
		}
	}
}
