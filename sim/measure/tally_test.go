package measure

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// The records carry the numbers of sim/flow's states.
func TestStatesAreThoseOfFlow(tb *testing.T) {
	if NStates != int(flow.NStates) {
		tb.Fatalf("%d states, flow has %d", NStates, flow.NStates)
	}
	for s := range States {
		if States[s] != flow.State(s).String() {
			tb.Errorf("state %d is %q, in flow %q", s, States[s], flow.State(s))
		}
	}
	if running != int(flow.Running) || down != int(flow.Down) || starved != int(flow.Starved) || blocked != int(flow.Blocked) {
		tb.Error("the states have other numbers in flow")
	}
}

func TestHoursByHand(tb *testing.T) {
	x := newTally(tb, testSheet())
	x.Put([]record.Event{
		state(1, caster, running, 1, 0, 0),
		state(4, caster, slowed, 1, 0, 0),
		state(6, caster, changeover, 0, 0, 0),
		// four places: 3 run and 1 is starved from 2 h; 2 run, 1 blocked, 1 starved from 5 h; all down from 7 h
		state(2, furnace, running, 3, 0, 1),
		state(5, furnace, running, 2, 0, 1),
		state(7, furnace, down, 0, 4, 0),
	})
	x.Settle(hour(10))
	want := [][NStates]float64{
		caster:  {starved: 1, running: 3, slowed: 2, changeover: 4},
		furnace: {starved: 4*2 + 3 + 2, running: 9 + 4, blocked: 2, down: 12},
		stand:   {starved: 10},
	}
	for u := range want {
		if got := x.Hours(u); got != want[u] {
			tb.Errorf("unit %d: %v h, by hand %v h", u, got, want[u])
		}
	}
	spent := make([]calendar.Time, NStates)
	for s, h := range want[furnace] {
		spent[s] = hour(h)
	}
	if err := x.CheckHours(furnace, spent); err != nil {
		tb.Error(err)
	}
	spent[down]--
	if x.CheckHours(furnace, spent) == nil {
		tb.Error("a microsecond of stop that the records do not know is not found")
	}
}

func TestLevelsByTheHour(tb *testing.T) {
	x := newTally(tb, testSheet())
	x.Put([]record.Event{
		move(0, opening, yard, 1500, stepOpening),
		move(1, c1, yard, 100, stepOther),     // on the full hour: counts at 1 h
		move(2.5, c1, yard, 200, stepOther),   // counts from 3 h
		move(4, yard, coilers, 50, stepOther), // at 4 h
	})
	x.Settle(hour(5))
	for _, l := range x.Levels() {
		if l.Store != "slab yard" {
			continue
		}
		want := []float64{1500, 1600, 1600, 1800, 1750, 1750}
		if len(l.Level) != len(want) {
			tb.Fatalf("%d hours, want %d", len(l.Level), len(want))
		}
		for h := range want {
			close(tb, "level", l.Level[h], want[h])
		}
		close(tb, "high", l.High, 3000)
		return
	}
	tb.Error("the slab yard has no levels")
}

func TestFullAndDry(tb *testing.T) {
	x := newTally(tb, testSheet())
	x.Put([]record.Event{
		move(0, opening, torpedoes, 600, stepOpening),
		move(1, blast, torpedoes, 150, stepOther), // 750: one more 150 fits
		move(2, blast, torpedoes, 150, stepOther), // 900: another does not
		move(3, torpedoes, shop, 350, stepOther),  // 550: another 350 can be had
		move(4, torpedoes, shop, 350, stepOther),  // 200: no more
		move(5, torpedoes, shop, 200, stepOther),
	})
	x.Settle(hour(6))
	close(tb, "full after", value(tb, x, "torpedoes full after"), 2)
	close(tb, "dry after", value(tb, x, "torpedoes dry after"), 4)
	close(tb, "yard dry after", value(tb, x, "slab yard dry after"), math.NaN())
	f := x.Firsts()
	if len(f) != 2 || f[0].Store != "torpedoes" || !f[0].Full || f[0].At != hour(2) || f[1].Full || f[1].At != hour(4) {
		tb.Errorf("firsts are %v", f)
	}
}

func TestRefusals(tb *testing.T) {
	c := testCodes
	c.Cool = c.Charged
	s := testSheet()
	s.Scrap = math.NaN()
	o := testSheet()
	o.Orders = []Line{{Product: 7}}
	for name, set := range map[string]Setup{
		"no route":        {},
		"two of one code": {Route: route(), Codes: c},
		"price not given": {Route: route(), Codes: testCodes, Sheet: s},
		"no such product": {Route: route(), Codes: testCodes, Sheet: o},
	} {
		if _, err := New(set); err == nil {
			tb.Errorf("%s is not refused", name)
		}
	}
	for name, e := range map[string]record.Event{
		"place": move(1, yard, nPlaces, 1, stepOther), "source": move(1, record.Nowhere, yard, 1, stepOther),
		"unit": state(1, 9, running, 1, 0, 0), "state": state(1, caster, 99, 1, 0, 0), "product": gone(1, hotBand, 5, 1),
		"caster": note(1, testCodes.Tundish, record.Nowhere, 0, 0, 0),
	} {
		x := newTally(tb, testSheet())
		x.Put([]record.Event{e})
		mass := make([]int64, nPlaces)
		for i := range mass {
			mass[i] = x.Level(record.Place(i))
		}
		if x.CheckMass(mass) == nil {
			tb.Errorf("a record of a %s that does not exist goes unseen", name)
		}
	}
}

// A run that goes on keeps its tally: reading in between changes nothing, nor
// does the cut of the batches, nor a copy that goes its own way.
func TestReadingChangesNothing(tb *testing.T) {
	events := ordered()
	rapid.Check(tb, func(r *rapid.T) {
		a, b := newTally(tb, testSheet()), newTally(tb, testSheet())
		a.Put(events)
		a.Settle(hour(30))
		for i := 0; i < len(events); {
			n := rapid.IntRange(1, 9).Draw(r, "batch")
			n = min(n, len(events)-i)
			b.Put(events[i : i+n])
			i += n
			// Until the next record, time may be told.
			if i < len(events) && events[i].T > events[i-1].T && rapid.Bool().Draw(r, "settle") {
				b.Settle(events[i-1].T + (events[i].T-events[i-1].T)/2)
				_ = b.Values()
				_ = b.Account()
			}
			if rapid.Bool().Draw(r, "copy") {
				c := newTally(tb, testSheet())
				c.CopyFrom(b)
				b.Put([]record.Event{move(40, blast, torpedoes, 5, stepOther), state(40, caster, down, 0, 1, 0)})
				b = c
			}
		}
		b.Settle(hour(30))
		if x, y := a.Account(), b.Account(); x != y {
			r.Fatalf("accounts differ: %v, %v", x, y)
		}
		x, y := a.Values(), b.Values()
		for i := range x {
			if x[i].Value != y[i].Value && !(math.IsNaN(x[i].Value) && math.IsNaN(y[i].Value)) {
				r.Fatalf("%s differs: %v, %v", x[i].Name, x[i].Value, y[i].Value)
			}
		}
		p, q := a.Levels(), b.Levels()
		for i := range p {
			for h := range p[i].Level {
				if p[i].Level[h] != q[i].Level[h] {
					r.Fatalf("%s at %d h differs", p[i].Store, h)
				}
			}
		}
	})
}

// Whatever moves, no gram and no second is lost.
func TestNothingIsLost(tb *testing.T) {
	rapid.Check(tb, func(r *rapid.T) {
		x := newTally(tb, testSheet())
		now := 0.0
		var mass [nPlaces]int64
		for range rapid.IntRange(1, 60).Draw(r, "records") {
			now += float64(rapid.IntRange(0, 300).Draw(r, "wait")) / 100
			if rapid.Bool().Draw(r, "state") {
				dn := rapid.IntRange(0, 4).Draw(r, "down")
				st := rapid.IntRange(0, 4-dn).Draw(r, "starved")
				run := rapid.IntRange(0, 4-dn-st).Draw(r, "running")
				x.Put([]record.Event{state(now, furnace, rapid.IntRange(0, NStates-1).Draw(r, "state"), run, dn, st)})
				continue
			}
			e := move(now, record.Place(rapid.IntRange(0, int(nPlaces)-1).Draw(r, "from")), record.Place(rapid.IntRange(0, int(nPlaces)-1).Draw(r, "to")), 1, stepGone)
			e.Mass = rapid.Int64Range(0, 1e12).Draw(r, "g")
			mass[e.From] -= e.Mass
			mass[e.To] += e.Mass
			x.Put([]record.Event{e})
		}
		x.Settle(hour(now + 1))
		if b := x.Balance(); b.Difference != 0 {
			r.Fatalf("%g t are lost", b.Difference)
		}
		for i := range mass {
			if x.Level(record.Place(i)) != mass[i] {
				r.Fatalf("place %d holds %d g, moved there %d", i, x.Level(record.Place(i)), mass[i])
			}
		}
		var sum calendar.Time
		for _, d := range x.units[furnace].spent {
			sum += d
		}
		if want := 4 * x.now; sum != want {
			r.Fatalf("the states add up to %d us of %d", sum, want)
		}
	})
}

func BenchmarkPut(b *testing.B) {
	x := newTally(b, testSheet())
	events := ordered()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		for k := range events {
			events[k].T = hour(float64(i))
		}
		x.Put(events)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(events)), "ns/record")
}
