package flow_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestRunEndsAtRest plays to the end of all events where planned stops and
// failures by the calendar would come for ever: the run ends with the last piece,
// or says who waits.
func TestRunEndsAtRest(t *testing.T) {
	const h = calendar.Hour
	day, night := flow.Shifts(6*h, 18*h, 24*h), []flow.StopSpec{{Cause: flow.CauseOffShift, From: 6 * h, For: 12 * h, Every: 24 * h}}
	breaks := []flow.FailSpec{{Clock: flow.ByCalendar, Up: func(int, int) calendar.Time { return 10 * h }, Repair: func(int, int) calendar.Time { return h }}}
	for _, tc := range []struct {
		name  string
		at    calendar.Time
		left  int64
		stall bool
		build func(p *flow.Plant)
	}{
		// Four pieces of five hours from six o'clock: two and two hours on the first
		// day, so the last is done at 6+8 h of the second.
		{"a day shift", 38 * h, 4, false, func(p *flow.Plant) {
			q := p.AddStore(flow.StoreSpec{Room: 9})
			p.AddSource(flow.SourceSpec{To: q, Limit: 4, Gap: every(1)})
			p.AddUnit(flow.UnitSpec{From: q, Work: minutes(300), Stops: day})
		}},
		{"day and night", 24*h + 6*h, 3, false, func(p *flow.Plant) {
			q := p.AddStore(flow.StoreSpec{Room: 9})
			p.AddUnit(flow.UnitSpec{Limit: 3, Work: minutes(240), To: q, Stops: day}) // 10, 14 and 18 h
			p.AddUnit(flow.UnitSpec{From: q, Work: minutes(240), Stops: night})       // 18 to 30 h
		}},
		{"failures by the calendar", 13 * h, 3, false, func(p *flow.Plant) {
			q := p.AddStore(flow.StoreSpec{Room: 9})
			p.AddSource(flow.SourceSpec{To: q, Limit: 3, Gap: every(0)})
			p.AddUnit(flow.UnitSpec{From: q, Work: minutes(240), Fails: breaks})
		}},
		{"a batch that is never full", 60 * minute, 0, true, func(p *flow.Plant) {
			q := p.AddStore(flow.StoreSpec{Room: 9})
			p.AddSource(flow.SourceSpec{To: q, Limit: 1, Gap: every(60)})
			p.AddUnit(flow.UnitSpec{From: q, Batch: 2, Work: minutes(10), Stops: night})
		}},
	} {
		p := flow.NewPlant()
		tc.build(p)
		err := p.Run(calendar.Never)
		if (err != nil) != tc.stall || p.Now() != tc.at || p.Count().Left != tc.left {
			t.Errorf("%s: ends at %g h with %d left and %v, want %g h and %d", tc.name, p.Now().Hours(), p.Count().Left, err, tc.at.Hours(), tc.left)
		}
		if tc.stall {
			stallOf(t, err)
		}
	}
}
