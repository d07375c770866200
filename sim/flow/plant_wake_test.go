package flow_test

import (
	"slices"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestNobodyIsForgotten plays by hand what needs a unit to be called that nothing
// happened to: minutes at which the pieces leave, by their numbers.
func TestNobodyIsForgotten(t *testing.T) {
	quickAfterSlow := func(slow, quick int) func(pc *flow.Piece) calendar.Time {
		return func(pc *flow.Piece) calendar.Time {
			if pc.Number == 0 {
				return calendar.Time(slow) * minute
			}
			return calendar.Time(quick) * minute
		}
	}
	urgentAt := func(n int64) func(pc *flow.Piece) {
		return func(pc *flow.Piece) {
			if pc.Number == n {
				pc.Priority = 1
			}
		}
	}
	for name, tc := range map[string]struct {
		build func(p *flow.Plant)
		want  []int // number, minute
	}{
		// The first unit is free at 9, the moment in which piece 0 arrives and before its
		// arrival is noticed; the second must take the one that has run up behind it.
		"conveyor, in the moment of arrival": {func(p *flow.Plant) {
			belt := p.AddStore(flow.StoreSpec{Room: 5, Travel: quickAfterSlow(8, 1)})
			side := p.AddStore(flow.StoreSpec{Room: 5})
			p.AddSource(flow.SourceSpec{To: side, Limit: 1, Gap: every(0), Mark: func(pc *flow.Piece) { pc.Kind = 1 }})
			p.AddUnit(flow.UnitSpec{Limit: 3, Work: minutes(1), To: belt})
			p.AddUnit(flow.UnitSpec{From: side, Also: []flow.StoreID{belt}, Work: func(pc *flow.Piece) calendar.Time { return calendar.Time(3+6*pc.Kind) * minute }})
			p.AddUnit(flow.UnitSpec{From: belt, Work: minutes(4)})
		}, []int{1, 9, 0, 12, 2, 13, 3, 15}},
		"conveyor before a batch": {func(p *flow.Plant) {
			belt := p.AddStore(flow.StoreSpec{Room: 5, Travel: minutes(4)})
			p.AddUnit(flow.UnitSpec{Limit: 4, Work: minutes(2), To: belt})
			p.AddUnit(flow.UnitSpec{From: belt, Work: minutes(3), Batch: 2})
		}, []int{0, 11, 1, 11, 2, 15, 3, 15}},
		// The urgent piece comes while the unit is down from 4 to 10 with 2 min done.
		"urgent while down": {func(p *flow.Plant) {
			q := p.AddStore(flow.StoreSpec{Room: 5, Before: flow.ByPriority})
			p.AddSource(flow.SourceSpec{To: q, Gap: every(2), Limit: 3, Mark: urgentAt(2)})
			first := 2 * minute
			p.AddUnit(flow.UnitSpec{From: q, Work: minutes(5), Preempts: true, Fails: []flow.FailSpec{{
				Up:     func(_, j int) calendar.Time { return first + calendar.Time(j)*calendar.Day },
				Repair: func(int, int) calendar.Time { return 6 * minute },
			}}})
		}, []int{2, 15, 0, 18, 1, 23}},
		// Manned from 10 to 40 of 45: nothing begins at 0, and the third piece, which
		// would begin in the moment of the end, waits for the next shift.
		"shift that finishes the piece": {func(p *flow.Plant) {
			stops := flow.Shifts(10*minute, 40*minute, 45*minute)
			for i := range stops {
				stops[i].FinishFirst = true
			}
			p.AddUnit(flow.UnitSpec{Limit: 3, Work: minutes(15), Stops: stops})
		}, []int{0, 25, 1, 40, 2, 70}},
		// Both lines are the operator's at minute 3; the second unit goes first.
		"equipment given back": {func(p *flow.Plant) {
			man := p.AddShared(flow.SharedSpec{})
			q := p.AddStore(flow.StoreSpec{Room: 5})
			p.AddUnit(flow.UnitSpec{Limit: 2, Work: minutes(3), To: q, Needs: flow.Need{Shared: man, Priority: 1}})
			p.AddUnit(flow.UnitSpec{From: q, Work: minutes(3), Needs: flow.Need{Shared: man}})
		}, []int{0, 9, 1, 12}},
	} {
		p := flow.NewPlant()
		tc.build(p)
		var got []int
		p.OnLeave(func(pc *flow.Piece) { got = append(got, int(pc.Number), int(p.Now()/minute)) })
		for m := range 80 {
			if err := p.Run(calendar.Time(m) * minute); err != nil {
				t.Fatal(name, err)
			}
			if msg := p.Check(); msg != "" {
				t.Errorf("%s, minute %d: %s", name, m, msg)
			}
		}
		if !slices.Equal(got, tc.want) {
			t.Errorf("%s: number and minute %v, by hand %v", name, got, tc.want)
		}
	}
}
