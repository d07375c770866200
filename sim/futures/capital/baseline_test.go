package capital

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/record"
	"millrace/sim/works"
)

// route3 is a line of three units, of which the second has a place of its own.
func route3() *record.Route {
	return &record.Route{
		Units:  []record.UnitInfo{{Name: "furnace", Places: 1}, {Name: "mill", Places: 1}, {Name: "coiler", Places: 1}},
		Places: []record.PlaceInfo{{Name: "yard", Role: record.Store}, {Name: "mill", Role: record.OnUnit}},
		Upsets: []string{"trip", "wreck"},
	}
}

// TestDelayLog is a day by hand. The mill runs 10 h; is down 4 h, of which 3 h under a
// wreck; waits for work 6 h, of which 2 h while the furnace trips and 1 h more while
// furnace and coiler both stand (only the furnace is before it); cannot give away 3 h,
// of which 1 h while the coiler stands; 1 h of change of rolls.
func TestDelayLog(t *testing.T) {
	h := func(v float64) calendar.Time { return calendar.Time(v * float64(calendar.Hour)) }
	state := func(at float64, word string) record.Event {
		return record.Event{T: h(at), Kind: record.State, From: 1, A: int32(stateOf(word))}
	}
	upset := func(at float64, k record.Kind, kind, unit, number int32) record.Event {
		return record.Event{T: h(at), Kind: k, A: kind, B: number, From: record.Place(unit)}
	}
	l := newLedger(route3(), nil, nil, nil, false)
	l.Put([]record.Event{
		state(0, "running"), {T: h(5), Kind: record.Move, From: 1, To: 0, Mass: 300e6},
		state(10, "down"), upset(10, record.Upset, 1, 1, 7), upset(13, record.Over, 1, 1, 7),
		state(14, "starved"), upset(15, record.Upset, 0, 0, 8), upset(17, record.Upset, 0, 2, 9),
	})
	l.Put([]record.Event{
		upset(18, record.Over, 0, 0, 8), state(20, "blocked"), upset(21, record.Over, 0, 2, 9), state(23, "changeover"),
	})
	day := Year / 86400. // one day weighs so many in a year
	day1 := l.result(24 * calendar.Hour)
	b := baseline(route3(), []*log{day1, day1}, 1234, "mill", []int{1})
	if alone := baseline(route3(), []*log{nil, day1}, 300*day, "", nil); alone.Limit != "mill" {
		t.Errorf("with nobody named the works is limited by %s; the mill alone is known to pass what leaves", alone.Limit)
	}
	want := []Loss{
		{"wreck", OwnStops, 3, 0}, {"down without an upset of its own", OwnStops, 1, 0}, {"trip, furnace", OtherStops, 3, 0}, {"trip, coiler", OtherStops, 1, 0},
		{"nothing in work before it", Rhythm, 3, 0}, {"nothing in work behind it", Rhythm, 2, 0}, {"changeover", PlannedOff, 1, 0},
	}
	if len(b.Lost) != len(want) {
		t.Errorf("%d causes, want %d: %v", len(b.Lost), len(want), b.Lost)
	}
	for _, w := range want {
		found := false
		for _, g := range b.Lost {
			if g.Cause == w.Cause && g.Group == w.Group {
				found = true
				// 300 t in 10 h at work: 30 t an hour
				if math.Abs(g.Hours-w.Hours*day) > 1e-6 || math.Abs(g.Tonnes-30*g.Hours) > 1e-6 {
					t.Errorf("%s: %v h and %v t a year, want %v h and 30 t an hour", g.Cause, g.Hours, g.Tonnes, w.Hours*day)
				}
			}
		}
		if !found {
			t.Errorf("%s (%s) is missing", w.Cause, w.Group)
		}
	}
	if u := b.Units[1]; math.Abs(u.AtWork()-10*day) > 1e-6 || math.Abs(u.Waiting()-9./24) > 1e-9 || math.Abs(u.Passed-300*day) > 1e-6 {
		t.Errorf("the mill: %v h at work, %v waiting, %v t passed", u.AtWork(), u.Waiting(), u.Passed)
	}
	lasted := map[string]float64{"wreck mill": 3, "trip furnace": 3, "trip coiler": 4}
	for _, u := range b.Upsets {
		if w := lasted[u.Name+" "+u.Unit]; math.Abs(u.Hours-w*day) > 1e-6 || math.Abs(u.Count-day) > 1e-9 {
			t.Errorf("%s on %s: %v times, %v h a year, want %v h", u.Name, u.Unit, u.Count, u.Hours, w*day)
		}
	}
	// Mill and coiler as one: while the coiler stands too, the wait for work is half
	// its doing, and all of it when the furnace is back.
	one := newLedger(route3(), []works.Limiter{{Name: "hot mill", Units: []int{1, 2}}}, nil, nil, false)
	one.Put([]record.Event{state(0, "starved"), upset(1, record.Upset, 0, 0, 8), upset(2, record.Upset, 0, 2, 9), upset(4, record.Over, 0, 0, 8), state(5, "running"),
		{T: h(6), Kind: record.Move, From: 1, To: 0, Mass: 1e6}})
	as := baseline(route3(), []*log{one.result(24 * calendar.Hour)}, 1, "hot mill", []int{1, 2})
	for _, g := range as.Lost {
		if w := map[string]float64{"trip, coiler": 2, "trip, furnace": 2, "nothing in work before it": 1}[g.Cause]; math.Abs(g.Hours-w*day) > 1e-6 {
			t.Errorf("as one: %s %v h a year, want %v", g.Cause, g.Hours, w*day)
		}
	}
	if as.Limit != "mill" || len(as.Lost) != 3 {
		t.Errorf("as one: %s, %v", as.Limit, as.Lost)
	}
	all := 0.0
	for _, g := range b.Lost {
		all += g.Hours
	}
	if math.Abs(all+b.Units[1].AtWork()-8760) > 1e-6 {
		t.Errorf("lost and worked hours are %v, a year has 8760", all+b.Units[1].AtWork())
	}
}

// TestWaiting is what a mill of two stands, as one, waits for, by hand. The first stand
// is starved all the time: 1 h while the furnace is at work, 2 h while it has a piece
// ready, 3 h while it is maintained, 4 h while it is at work and the second stand is
// changed, 5 h while it is empty and the caster idle.
func TestWaiting(t *testing.T) {
	route := &record.Route{
		Units:  []record.UnitInfo{{Name: "C1", Area: "steel", Places: 1}, {Name: "furnace", Area: "hot", Places: 1}, {Name: "first", Area: "hot", Places: 1}, {Name: "second", Area: "hot", Places: 1}, {Name: "crane", Area: "hot", Places: 1}},
		Places: []record.PlaceInfo{{Name: "C1", Role: record.OnUnit}, {Name: "furnace", Role: record.OnUnit}, {Name: "first", Role: record.OnUnit}, {Name: "second", Role: record.OnUnit}},
		Upsets: []string{"trip"},
	}
	h := func(v float64) calendar.Time { return calendar.Time(v * float64(calendar.Hour)) }
	state := func(at float64, unit int, word string) record.Event {
		return record.Event{T: h(at), Kind: record.State, From: record.Place(unit), A: int32(stateOf(word))}
	}
	for _, books := range []bool{false, true} {
		l := newLedger(route, []works.Limiter{{Name: "C1", Units: []int{0}}, {Name: "mill", Units: []int{2, 3}}}, nil, nil, books)
		l.Put([]record.Event{
			state(0, 1, "running"), state(0, 4, "maintenance"), state(1, 1, "blocked"), state(3, 1, "maintenance"), state(6, 1, "running"),
			state(6, 3, "changeover"), state(10, 3, "starved"), state(10, 1, "starved"), {T: h(11), Kind: record.Move, From: 2, To: 3, Mass: 1e6},
		})
		b := baseline(route, []*log{l.result(h(15))}, 1, "mill", []int{2, 3})
		part := Year / 3600. / 15
		last, group := "nothing in work before it", Rhythm
		if books {
			last, group = "nothing more ordered", NotOrdered
		}
		for _, w := range []Loss{{"not ready yet at furnace", Rhythm, 1, 0}, {"own rhythm, piece ready before it", Rhythm, 2, 0}, {"maintenance, furnace", OthersPlanned, 3, 0},
			{"changeover, second", OthersPlanned, 4, 0}, {last, group, 5, 0}} {
			found := false
			for _, g := range b.Lost {
				if g.Cause == w.Cause && g.Group == w.Group {
					found = true
					if math.Abs(g.Hours-w.Hours*part) > 1e-6 {
						t.Errorf("books %v: %s %v h, want %v", books, g.Cause, g.Hours/part, w.Hours)
					}
				}
			}
			if !found || len(b.Lost) != 5 {
				t.Errorf("books %v: %s is not among %v", books, w.Cause, b.Lost)
			}
		}
	}
}
