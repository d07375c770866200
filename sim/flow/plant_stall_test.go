package flow_test

import (
	"errors"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

func stallOf(t *testing.T, err error) *flow.Stall {
	t.Helper()
	var s *flow.Stall
	if !errors.As(err, &s) {
		t.Fatalf("no stall: %v", err)
	}
	return s
}

// TestDeadlocks names circles of several kinds, while a source goes on for ever,
// so that only the circle can end the run.
func TestDeadlocks(t *testing.T) {
	ever := func(p *flow.Plant) {
		q := p.AddStore(flow.StoreSpec{Name: "elsewhere", Room: flow.Unlimited})
		p.AddSource(flow.SourceSpec{To: q, Gap: every(1)})
		p.AddUnit(flow.UnitSpec{Name: "bystander", From: q, Work: minutes(1)})
	}
	for _, tc := range []struct {
		name  string
		at    int // minute
		build func(p *flow.Plant)
		says  []string
	}{
		{"a ring of three", 3, func(p *flow.Plant) {
			s := []flow.StoreID{p.AddStore(flow.StoreSpec{Name: "ab"}), p.AddStore(flow.StoreSpec{Name: "bc"}), p.AddStore(flow.StoreSpec{Name: "ca"})}
			start := p.AddStore(flow.StoreSpec{Name: "start", Room: 9})
			p.AddSource(flow.SourceSpec{To: start, Limit: 1, Gap: every(0), Group: func(int) int { return 9 }})
			p.AddUnit(flow.UnitSpec{Name: "A", From: s[2], Also: []flow.StoreID{start}, To: s[0], Work: minutes(1)})
			p.AddUnit(flow.UnitSpec{Name: "B", From: s[0], To: s[1], Work: minutes(1)})
			p.AddUnit(flow.UnitSpec{Name: "C", From: s[1], To: s[2], Work: minutes(1)})
		}, []string{
			"A holds piece 2 and waits for room in ab, which has 0 of 0 (emptied by B)",
			"B holds piece 1 and waits for room in bc, which has 0 of 0 (emptied by C)",
			"C holds piece 0 and waits for room in ca, which has 0 of 0 (emptied by A)",
		}},
		{"a crane that is kept", 2, func(p *flow.Plant) {
			crane := p.AddShared(flow.SharedSpec{Name: "crane"})
			s := p.AddStore(flow.StoreSpec{Name: "table"})
			p.AddUnit(flow.UnitSpec{Name: "A", To: s, Work: minutes(1), Needs: flow.Need{Shared: crane, Priority: 1, UntilGone: true}})
			p.AddUnit(flow.UnitSpec{Name: "B", From: s, Work: minutes(5), Needs: flow.Need{Shared: crane}})
		}, []string{
			"A holds piece 1 and waits for room in table, which has 0 of 0 (emptied by B)",
			"B holds piece 0 and waits for crane (held by A)",
		}},
		{"the operator is the fitter", 3, func(p *flow.Plant) {
			man := p.AddShared(flow.SharedSpec{Name: "operator"})
			p.AddUnit(flow.UnitSpec{Name: "A", Work: minutes(5), Needs: flow.Need{Shared: man}, Fails: []flow.FailSpec{{
				Up:     func(int, int) calendar.Time { return 3 * minute },
				Repair: func(int, int) calendar.Time { return minute },
				Crew:   flow.Need{Shared: man},
			}}})
		}, []string{"A holds piece 0 and waits for operator to repair failure 0 (held by A)"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := flow.NewPlant()
			tc.build(p)
			ever(p)
			s := stallOf(t, p.Run(calendar.Day))
			if !s.Circle || s.At != calendar.Time(tc.at)*minute {
				t.Errorf("circle %v at minute %v, by hand %d", s.Circle, s.At.Seconds()/60, tc.at)
			}
			text := s.Error()
			for _, w := range tc.says {
				if !strings.Contains(text, w) {
					t.Errorf("%q\ndoes not say %q", text, w)
				}
			}
			if strings.Contains(text, "bystander") {
				t.Errorf("%q names a unit that has nothing to do with it", text)
			}
			if again := p.Run(2 * calendar.Day); again != error(s) || p.Now() != s.At {
				t.Errorf("a plant in deadlock went on to %v", p.Now())
			}
		})
	}
}

// TestNoFalseAlarm has the same rings, but with a way out.
func TestNoFalseAlarm(t *testing.T) {
	for name, build := range map[string]func(p *flow.Plant){
		"more room than pieces": func(p *flow.Plant) {
			there, back := p.AddStore(flow.StoreSpec{Room: 3}), p.AddStore(flow.StoreSpec{Room: 3})
			p.AddSource(flow.SourceSpec{To: there, Limit: 4, Gap: every(1)})
			p.AddUnit(flow.UnitSpec{Name: "A", From: there, To: back, Work: minutes(1)})
			p.AddUnit(flow.UnitSpec{Name: "B", From: back, To: there, Work: minutes(2)})
		},
		"pieces give up": func(p *flow.Plant) {
			there, back := p.AddStore(flow.StoreSpec{Room: 1, Patience: minutes(30)}), p.AddStore(flow.StoreSpec{Room: 1})
			p.AddSource(flow.SourceSpec{To: there, Gap: every(1)})
			p.AddUnit(flow.UnitSpec{Name: "A", From: there, To: back, Work: minutes(1)})
			p.AddUnit(flow.UnitSpec{Name: "B", From: back, To: there, Work: minutes(2)})
		},
		"a repair ends": func(p *flow.Plant) {
			back := p.AddStore(flow.StoreSpec{})
			p.AddUnit(flow.UnitSpec{Name: "A", To: back, Work: minutes(1)})
			p.AddUnit(flow.UnitSpec{Name: "B", From: back, Work: minutes(2), Route: func(*flow.Piece) flow.StoreID { return flow.Outside },
				Fails: []flow.FailSpec{{Up: func(int, int) calendar.Time { return minute }, Repair: func(int, int) calendar.Time { return calendar.Hour }}}})
		},
		"a conveyor moves": func(p *flow.Plant) {
			belt := p.AddStore(flow.StoreSpec{Room: 1, Travel: minutes(20)})
			p.AddUnit(flow.UnitSpec{Name: "A", To: belt, Work: minutes(1)})
			p.AddUnit(flow.UnitSpec{Name: "B", From: belt, Work: minutes(1), Route: func(*flow.Piece) flow.StoreID { return flow.Outside }})
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := flow.NewPlant()
			build(p)
			if err := p.Run(calendar.Day); err != nil {
				t.Error(err)
			}
			if p.Now() != calendar.Day {
				t.Errorf("played until %v", p.Now())
			}
		})
	}
}

// TestStalls says what a run waits for that can go no further.
func TestStalls(t *testing.T) {
	for _, tc := range []struct {
		name  string
		build func(p *flow.Plant)
		says  string
	}{
		{"nobody empties the store", func(p *flow.Plant) {
			s := p.AddStore(flow.StoreSpec{Name: "yard", Room: 2})
			p.AddUnit(flow.UnitSpec{Name: "A", To: s, Work: minutes(1)})
		}, "nothing can happen any more, pieces are still inside at 0.05 h: A holds piece 2 and waits for room in yard, which has 2 of 2"},
		{"work without end", func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{Name: "A", Places: 2, Work: func(*flow.Piece) calendar.Time { return calendar.Never }})
		}, "A 1 holds piece 0 and waits for the end of work that never ends; A 2 holds piece 1"},
		{"a stop without end", func(p *flow.Plant) {
			s := p.AddStore(flow.StoreSpec{Name: "yard", Room: 2})
			p.AddSource(flow.SourceSpec{To: s, Limit: 1, Gap: every(3)})
			p.AddUnit(flow.UnitSpec{Name: "A", From: s, Work: minutes(1), Fails: []flow.FailSpec{{Clock: flow.ByCalendar,
				Up: func(int, int) calendar.Time { return minute }, Repair: func(int, int) calendar.Time { return calendar.Never }}}})
		}, "A waits for the end of its stop, yard has 1 pieces"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := flow.NewPlant()
			tc.build(p)
			s := stallOf(t, p.Run(calendar.Never))
			if s.Circle || !strings.Contains(s.Error(), tc.says) {
				t.Errorf("%q\ndoes not say %q", s.Error(), tc.says)
			}
		})
	}
	p := flow.NewPlant()
	last := p.AddStore(flow.StoreSpec{Room: 9})
	p.AddUnit(flow.UnitSpec{Limit: 3, To: last, Work: minutes(1)})
	if err := p.Run(calendar.Never); err != nil || p.Store(last).Level != 3 {
		t.Errorf("pieces in a last store that nobody empties are no stall: %v", err)
	}
}

// TestTimeStandsStill has pieces that go round without time.
func TestTimeStandsStill(t *testing.T) {
	p := flow.NewPlant()
	a, b := p.AddStore(flow.StoreSpec{Room: 2}), p.AddStore(flow.StoreSpec{Room: 2})
	p.AddSource(flow.SourceSpec{To: a, Limit: 1, Gap: every(1)})
	p.AddUnit(flow.UnitSpec{From: a, To: b, Work: minutes(0)})
	p.AddUnit(flow.UnitSpec{From: b, To: a, Work: minutes(0)})
	if err := p.Run(calendar.Hour); err != flow.ErrTimeStands {
		t.Errorf("got %v", err)
	}
}

// TestPlantRefusals declares what cannot be.
func TestPlantRefusals(t *testing.T) {
	work := minutes(1)
	for says, build := range map[string]func(p *flow.Plant){
		"saw has no Work":              func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Name: "saw"}) },
		"source 1 has no Gap":          func(p *flow.Plant) { p.AddSource(flow.SourceSpec{To: p.AddStore(flow.StoreSpec{})}) },
		"source 1 leads to no store":   func(p *flow.Plant) { p.AddSource(flow.SourceSpec{Gap: every(1)}) },
		"room for -1 pieces":           func(p *flow.Plant) { p.AddStore(flow.StoreSpec{Room: -1}) },
		"a conveyor without room":      func(p *flow.Plant) { p.AddStore(flow.StoreSpec{Travel: work}) },
		"neither Before nor Patience":  func(p *flow.Plant) { p.AddStore(flow.StoreSpec{Room: 1, Travel: work, Patience: work}) },
		"takes from a store that does": func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{From: 7, Work: work}) },
		"leads to a store that does":   func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{To: 7, Work: work}) },
		"shared equipment that does":   func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: work, Needs: flow.Need{Shared: 3}}) },
		"has -2 places":                func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: work, Places: -2}) },
		"works on 5 to 3 pieces":       func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: work, Batch: 3, BatchMin: 5}) },
		"never holds more than 2": func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{From: p.AddStore(flow.StoreSpec{Room: 2}), Work: work, Batch: 3})
		},
		"has no Before": func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{From: p.AddStore(flow.StoreSpec{Room: 2}), Work: work, Preempts: true})
		},
		"takes twice": func(p *flow.Plant) {
			s := p.AddStore(flow.StoreSpec{Room: 2})
			p.AddUnit(flow.UnitSpec{From: s, Also: []flow.StoreID{s}, Work: work})
		},
		"has no Up or no Repair":     func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: work, Fails: make([]flow.FailSpec, 1)}) },
		"ends before it comes again": func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: work, Stops: []flow.StopSpec{{For: 5, Every: 5}}}) },
		"a Route leads to store 9": func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{Work: work, Route: func(*flow.Piece) flow.StoreID { return 9 }})
		},
		"there are -1 of crane": func(p *flow.Plant) { p.AddShared(flow.SharedSpec{Name: "crane", Count: -1}) },
		"a piece cannot displace": func(p *flow.Plant) {
			s := p.AddStore(flow.StoreSpec{Room: 9, Before: flow.ByPriority})
			p.AddUnit(flow.UnitSpec{From: s, Work: work, Preempts: true, Batch: 2})
		},
		"one cannot displace another": func(p *flow.Plant) {
			s := p.AddStore(flow.StoreSpec{Room: 9, Before: flow.ByPriority})
			p.AddUnit(flow.UnitSpec{From: s, Work: work, Preempts: true, Picks: func(int32, *flow.Piece, *flow.Piece) bool { return false }})
		},
		"from the conveyor store 1": func(p *flow.Plant) {
			s := p.AddStore(flow.StoreSpec{Room: 9, Travel: work})
			p.AddUnit(flow.UnitSpec{From: s, Work: work, Picks: func(int32, *flow.Piece, *flow.Piece) bool { return false }})
		},
		"a further need is of nothing": func(p *flow.Plant) { p.AddUnit(flow.UnitSpec{Work: work, MoreNeeds: make([]flow.Need, 1)}) },
		"needs more of crane than there are": func(p *flow.Plant) {
			n := flow.Need{Shared: p.AddShared(flow.SharedSpec{Name: "crane"})}
			p.AddUnit(flow.UnitSpec{Work: work, Needs: n, MoreNeeds: []flow.Need{n}})
		},
		"needs crane twice, but not alike": func(p *flow.Plant) {
			n := flow.Need{Shared: p.AddShared(flow.SharedSpec{Name: "crane", Count: 2})}
			p.AddUnit(flow.UnitSpec{Work: work, Needs: n, MoreNeeds: []flow.Need{{Shared: n.Shared, Priority: 1}}})
		},
		"need for changeovers and no Setup": func(p *flow.Plant) {
			p.AddUnit(flow.UnitSpec{Work: work, SetupNeeds: flow.Need{Shared: p.AddShared(flow.SharedSpec{})}})
		},
		"has no piece to go by": func(p *flow.Plant) {
			man := p.AddShared(flow.SharedSpec{})
			life := func(int, int) calendar.Time { return minute }
			p.AddUnit(flow.UnitSpec{Work: work, Fails: []flow.FailSpec{{Up: life, Repair: life, Crew: flow.Need{Shared: man, ByPiece: true}}}})
		},
		"give up in store 1 go to a sto": func(p *flow.Plant) { p.AddStore(flow.StoreSpec{Room: 1, Patience: work, GivesUp: 5}) },
	} {
		p := flow.NewPlant()
		build(p)
		if err := p.Run(calendar.Hour); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q does not say %q", err, says)
		}
	}
}

// TestPlantIsClosed adds to a plant that runs.
func TestPlantIsClosed(t *testing.T) {
	p := flow.NewPlant()
	p.AddUnit(flow.UnitSpec{Work: minutes(1)})
	if err := p.Run(calendar.Hour); err != nil {
		t.Fatal(err)
	}
	p.AddUnit(flow.UnitSpec{Work: minutes(1)})
	if err := p.Run(calendar.Day); err == nil || !strings.Contains(err.Error(), "cannot be added to") {
		t.Errorf("got %v", err)
	}
}

// TestArrivalsComeLast: a piece that comes in the moment in which another is
// finished finds what that leaves, so that nothing is lost or waits here.
func TestArrivalsComeLast(t *testing.T) {
	p := flow.NewPlant()
	gate := p.AddStore(flow.StoreSpec{})
	p.AddSource(flow.SourceSpec{To: gate, Gap: every(2), Limit: 20})
	p.AddUnit(flow.UnitSpec{From: gate, Work: minutes(2)})
	if err := p.Run(calendar.Never); err != nil {
		t.Fatal(err)
	}
	if c := p.Count(); c.Lost != 0 || c.Left != 20 {
		t.Errorf("%d lost, %d through", c.Lost, c.Left)
	}
}
