package futures

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/record"
)

// Level, rates and hours of every store belong together: what comes less what goes,
// over the hours, is the room that was free; and what the casters bring lies between
// nothing and what they bring without a gap.
func TestRatesByHand(t *testing.T) {
	p := mustBuild(t)
	yard, _ := p.StoreNamed("slab yard")
	now := quantity.Clock(p.Route.Start)
	q := &Question{Plant: p, Now: now, Futures: 4, Horizon: 24 * calendar.Hour, SoldOut: true, Quiet: true,
		Stops:  []Stop{{Unit: p.TrainUnit(), Since: now, Back: quantity.Estimate{Low: 4 * 3600, Likely: 8 * 3600, Bad: 26 * 3600}}},
		Levels: map[record.Place]int64{yard: int64(0.8 * p.Usable() * 1000)}}
	a, err := AskHowLong(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	slab := p.MeanSlab() / 1e3
	found := 0
	for i := range a.Stores {
		s := &a.Stores[i]
		r := &s.Rates
		if (r.In == nil) != (r.Out == nil) {
			t.Errorf("%s: in %v, out %v", s.Name, r.In, r.Out)
		}
		if r.In != nil && *r.Out > 0 && math.Abs(*r.In-*r.Out-r.Net) > 1e-9*math.Max(1, *r.In) {
			t.Errorf("%s: in %g less out %g is not %g", s.Name, *r.In, *r.Out, r.Net)
		}
		if s.FullAt == nil || r.Hours <= 0 {
			continue
		}
		found++
		spare := 25 * slab // a slab more does not fit; those on the run-out tables have their place
		switch s.Unit {
		case "GJ":
			spare = 0.01 * s.Room
		case "coils", "heats":
			spare = 4
		}
		if at := s.Level + r.Net*r.Hours; at > s.Room+1e-6 || at < s.Room-spare {
			t.Errorf("%s: %g and %g an hour for %g h give %g, its room is %g", s.Name, s.Level, r.Net, r.Hours, at, s.Room)
		}
		if s.Name == "slab yard" && !(r.Unspaced > 0 && *r.In > 0 && *r.In < r.Unspaced*1.25) {
			t.Errorf("the casters bring %g t/h, %g without a gap", *r.In, r.Unspaced)
		}
	}
	if found == 0 {
		t.Error("nothing fills in a day")
	}
}
