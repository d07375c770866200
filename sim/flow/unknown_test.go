package flow_test

import (
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestUnknown: numbers that name nothing are answered with nothing, a plant
// without NewPlant is one all the same, and words that flow does not know are
// refused, not taken for others.
func TestUnknown(t *testing.T) {
	var p flow.Plant
	q := p.AddStore(flow.StoreSpec{Room: 2})
	if q == flow.Outside {
		t.Fatal("the first store is the world")
	}
	u := p.AddUnit(flow.UnitSpec{Limit: 3, To: q, Work: minutes(1)})
	p.AddUnit(flow.UnitSpec{From: q, Work: minutes(1)})
	if err := p.Run(calendar.Hour); err != nil || p.Count().Left != 3 {
		t.Error(err, p.Count())
	}
	for _, id := range []int{-1, 99} {
		if p.Store(flow.StoreID(id)) != (flow.StoreCount{}) || p.Unit(flow.UnitID(id)) != (flow.UnitCount{}) || p.Shared(flow.SharedID(id)) != (flow.SharedCount{}) {
			t.Errorf("number %d has counted something", id)
		}
	}
	if p.Shared(0) != (flow.SharedCount{}) || p.Store(flow.Outside) != (flow.StoreCount{}) || p.State(u, 7) != flow.OffShift || p.State(u, 0) == flow.OffShift {
		t.Error("no equipment, the world, or a place that there is not have counted something")
	}
	var empty flow.Plant
	if err := empty.Run(calendar.Hour); err != nil {
		t.Error(err)
	}
	ten := func(int, int) calendar.Time { return 10 * minute }
	for says, build := range map[string]func(p *flow.Plant){
		"limit of -1 arrivals": func(p *flow.Plant) {
			p.AddSource(flow.SourceSpec{To: p.AddStore(flow.StoreSpec{}), Gap: every(1), Limit: -1})
		},
		"limit of -1 pieces": func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: minutes(1), Limit: -1}) },
		"no fate 3":          func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: minutes(1), Displaced: 3}) },
		"a clock 2": func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{Work: minutes(1), Fails: []flow.FailSpec{{Up: ten, Repair: ten, Clock: 2}}})
		},
		"a fate 9": func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{Work: minutes(1), Fails: []flow.FailSpec{{Up: ten, Repair: ten, Piece: 9}}})
		},
	} {
		p := flow.NewPlant()
		build(p)
		if err := p.Run(calendar.Hour); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want something with %q", err, says)
		}
	}
}

// TestStopWithoutEnd: a stop that lasts for ever does not end at once.
func TestStopWithoutEnd(t *testing.T) {
	p := flow.NewPlant()
	u := p.AddUnit(flow.UnitSpec{Work: minutes(1), Stops: []flow.StopSpec{{Cause: flow.CauseMaintenance, From: calendar.Hour, For: calendar.Never}}})
	p.AddUnit(flow.UnitSpec{Work: minutes(1)}) // something goes on
	if err := p.Run(3 * calendar.Hour); err != nil || p.Unit(u).Spent[flow.Maintenance] != 2*calendar.Hour {
		t.Error(err, p.Unit(u).Spent)
	}
}
