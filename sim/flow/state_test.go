package flow_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"
)

// TestStateOrder goes through all sets of causes with all things a unit can
// hold: off shift > maintenance > down > changeover > blocked > starved.
func TestStateOrder(t *testing.T) {
	for set := range 16 {
		for _, holds := range []string{"nothing", "work", "slow work", "finished piece"} {
			var n flow.Net
			u := n.AddUnit()
			want := flow.Starved
			if holds != "nothing" {
				want = flow.Running
				n.Start(u, n.NewPiece(), calendar.Hour)
			}
			switch holds {
			case "slow work":
				n.SetPace(u, 0.5)
				want = flow.Slowed
			case "finished piece":
				n.Next(calendar.Never)
				want = flow.Blocked
			}
			for _, c := range []struct {
				cause int
				state flow.State
			}{
				{flow.CauseChangeover, flow.Changeover},
				{flow.CauseDown, flow.Down},
				{flow.CauseMaintenance, flow.Maintenance},
				{flow.CauseOffShift, flow.OffShift},
			} {
				if set>>c.cause&1 != 0 {
					n.Set(u, c.cause)
					want = c.state
				}
			}
			if got := n.Units[u].State(); got != want {
				t.Errorf("causes %04b with %s: %s, want %s", set, holds, got, want)
			}
			if n.Units[u].Able() != (set == 0) || n.Units[u].Idle() != (set == 0 && holds == "nothing") {
				t.Errorf("causes %04b with %s: able %v, idle %v", set, holds, n.Units[u].Able(), n.Units[u].Idle())
			}
		}
	}
	seen := map[string]bool{}
	for s := range flow.NStates {
		seen[s.String()] = true
	}
	if len(seen) != int(flow.NStates) || flow.NStates.String() != "unknown" {
		t.Error("two states have one name")
	}
}

// TestComingBack: a unit that can work again gets a turn, so that it takes what
// waits for it, and its state is told once for each change.
func TestComingBack(t *testing.T) {
	var n flow.Net
	for range 3 {
		n.AddUnit()
	}
	turns := func() (mask uint64) {
		for u, ok := n.Ready(); ok; u, ok = n.Ready() {
			mask |= 1 << u
		}
		return mask
	}
	changed := func() (mask uint64) {
		for u, ok := n.Changed(); ok; u, ok = n.Changed() {
			mask |= 1 << u
		}
		return mask
	}
	turns()
	changed()
	for _, step := range []struct {
		name           string
		do             func()
		turns, changed uint64
	}{
		{"off shift", func() { n.Set(1, flow.CauseOffShift) }, 0, 2},
		{"off shift again", func() { n.Set(1, flow.CauseOffShift) }, 0, 0},
		{"down behind it", func() { n.Set(1, flow.CauseDown) }, 0, 0},
		{"two change", func() { n.Set(2, flow.CauseDown); n.Set(0, flow.CauseDown) }, 0, 5},
		{"on shift once", func() { n.Clear(1, flow.CauseOffShift) }, 2, 0},
		{"on shift, still down", func() { n.Clear(1, flow.CauseOffShift) }, 2, 2},
		{"back", func() { n.Clear(1, flow.CauseDown) }, 2, 2},
		{"nothing to clear", func() { n.Clear(1, flow.CauseDown) }, 0, 0},
		{"starts", func() { n.Start(1, n.NewPiece(), calendar.Hour) }, 0, 2},
		{"slower", func() { n.SetPace(1, 0.5) }, 0, 2},
		{"slower still", func() { n.SetPace(1, 0.25) }, 0, 0},
		{"finished", func() { n.Next(calendar.Day) }, 2, 2},
		{"given away", func() { n.Release(1) }, 2, 2},
		{"woken", func() { n.WakeAll(6); n.Wake(0) }, 7, 0},
	} {
		step.do()
		if got := turns(); got != step.turns {
			t.Errorf("%s: turns %03b, want %03b", step.name, got, step.turns)
		}
		if got := changed(); got != step.changed {
			t.Errorf("%s: changed %03b, want %03b", step.name, got, step.changed)
		}
	}
}

// TestPlacesAddUp moves the places of a furnace at random: place-time is
// calendar times places, and each state has what a plain sum gives.
func TestPlacesAddUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var n flow.Net
		places := int32(rapid.IntRange(1, 60).Draw(rt, "places"))
		f := n.AddPlaces(places)
		var count [flow.NStates]int32
		var spent [flow.NStates]calendar.Time
		count[flow.Starved] = places
		for range rapid.IntRange(0, 50).Draw(rt, "moves") {
			d := calendar.Time(rapid.IntRange(0, 9).Draw(rt, "later"))
			for s, c := range count {
				spent[s] += calendar.Time(c) * d
			}
			n.Next(n.Now() + d)
			from := flow.State(rapid.IntRange(0, int(flow.NStates)-1).Draw(rt, "from"))
			to := flow.State(rapid.IntRange(0, int(flow.NStates)-1).Draw(rt, "to"))
			k := int32(rapid.IntRange(0, int(count[from])).Draw(rt, "places"))
			n.Shift(f, from, to, k)
			count[from] -= k
			count[to] += k
		}
		n.Settle()
		if n.Units[f].Count != count || n.Units[f].Spent != spent {
			rt.Fatalf("tally %v %v, plain sums %v %v", n.Units[f].Count, n.Units[f].Spent, count, spent)
		}
		if msg := n.Check(); msg != "" {
			rt.Fatal(msg)
		}
		var sum calendar.Time
		for _, d := range n.Units[f].Spent {
			sum += d
		}
		if sum != n.Now()*calendar.Time(places) {
			rt.Fatalf("%d place-time in %d of calendar with %d places", sum, n.Now(), places)
		}
	})
}
