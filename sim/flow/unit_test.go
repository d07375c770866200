package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"
)

// TestPauseAndPace follows one piece with ten minutes of work through orders
// at given minutes, by hand.
func TestPauseAndPace(t *testing.T) {
	const min = calendar.Minute
	type order struct {
		at    int
		stops bool // sets or clears a cause: the work left must stay
		do    func(n *flow.Net)
	}
	set := func(at, c int) order { return order{at, true, func(n *flow.Net) { n.Set(0, c) }} }
	clear := func(at, c int) order { return order{at, true, func(n *flow.Net) { n.Clear(0, c) }} }
	pace := func(at int, p float64) order { return order{at, false, func(n *flow.Net) { n.SetPace(0, p) }} }
	more := func(at int, d calendar.Time) order {
		if d != calendar.Never {
			d *= min
		}
		return order{at, false, func(n *flow.Net) { n.Extend(0, d) }}
	}
	for _, tc := range []struct {
		name     string
		orders   []order
		done     int // minute; -1 never
		odometer int
	}{
		{"nothing", nil, 10, 10},
		{"a pause of 5", []order{set(4, flow.CauseDown), clear(9, flow.CauseDown)}, 15, 10},
		{"a pause from the start", []order{set(0, flow.CauseOffShift), clear(7, flow.CauseOffShift)}, 17, 10},
		{"two causes overlap", []order{set(4, flow.CauseDown), set(6, flow.CauseOffShift), clear(9, flow.CauseDown), clear(12, flow.CauseOffShift)}, 18, 10},
		{"one cause twice", []order{set(4, flow.CauseMaintenance), set(5, flow.CauseMaintenance), clear(6, flow.CauseMaintenance), clear(8, flow.CauseMaintenance)}, 14, 10},
		{"cleared what was not set", []order{clear(4, flow.CauseDown)}, 10, 10},
		{"half pace from the start", []order{pace(0, 0.5)}, 20, 20},
		{"half pace for the second half", []order{pace(5, 0.5)}, 15, 15},
		{"half pace for four minutes", []order{pace(2, 0.5), pace(6, 1)}, 12, 12},
		{"double pace", []order{pace(4, 2)}, 7, 7},
		{"pace set during a pause", []order{set(4, flow.CauseDown), pace(5, 0.25), clear(6, flow.CauseDown)}, 30, 28},
		{"no pace at all is refused", []order{pace(4, 0), pace(5, -1), pace(6, math.NaN()), pace(7, math.Inf(1))}, 10, 10},
		{"two more", []order{more(9, 2)}, 12, 12},
		{"two more at half pace", []order{pace(4, 0.5), more(6, 2)}, 20, 20},
		{"two more during a pause", []order{set(4, flow.CauseDown), more(5, 2), clear(6, flow.CauseDown)}, 14, 12},
		{"three less", []order{more(4, -3)}, 7, 7},
		{"less than is left", []order{more(4, -30)}, 4, 4},
		{"never stopped again", []order{set(4, flow.CauseDown)}, -1, 4},
		{"work without end", []order{more(4, calendar.Never), pace(5, 0.5), set(6, flow.CauseDown), clear(7, flow.CauseDown)}, -1, 999},
		{"hardly any pace", []order{pace(4, 1e-15)}, -1, 1000},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var n flow.Net
			n.AddUnit()
			n.Start(0, n.NewPiece(), 10*min)
			done := -1
			play := func(until calendar.Time) {
				for {
					left := n.Left(0)
					free := n.Units[0].Working() && n.Units[0].Able()
					e, ok := n.Next(until)
					if !ok {
						return
					}
					if e.Kind != flow.KindDone {
						t.Fatalf("event of kind %d", e.Kind)
					}
					if !free || n.Left(0) != 0 || left < 0 {
						t.Errorf("finished without working, %d left before", left)
					}
					done = int(n.Now() / min)
					if n.Now()%min != 0 {
						t.Errorf("done at %d us", n.Now())
					}
				}
			}
			for _, o := range tc.orders {
				play(calendar.Time(o.at) * min)
				before := n.Left(0)
				o.do(&n)
				if o.stops && n.Left(0) != before {
					t.Errorf("minute %d: a stop changed the time left from %d to %d", o.at, before, n.Left(0))
				}
			}
			if tc.done >= 0 && done < 0 && n.Units[0].Able() {
				if at := n.Now() + n.Left(0); at != calendar.Time(tc.done)*min {
					t.Errorf("foretold for %d us, by hand minute %d", at, tc.done)
				}
			}
			play(1000 * min)
			if done != tc.done {
				t.Errorf("done at minute %d, by hand %d", done, tc.done)
			}
			if got := n.Reading(0); got != calendar.Time(tc.odometer)*min {
				t.Errorf("operating time %d us, by hand %d min", got, tc.odometer)
			}
			n.Settle()
			if msg := n.Check(); msg != "" {
				t.Error(msg)
			}
		})
	}
}

// TestUnevenPace interrupts a piece often at a pace that is no binary fraction:
// each interruption may cost a microsecond of rounding, not more.
func TestUnevenPace(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var n flow.Net
		n.AddUnit()
		pace := rapid.Float64Range(0.05, 3).Draw(rt, "pace")
		work := calendar.Time(rapid.Int64Range(1, 1e10).Draw(rt, "work"))
		n.SetPace(0, pace)
		n.Start(0, n.NewPiece(), work)
		stops := rapid.IntRange(0, 20).Draw(rt, "stops")
		var paused calendar.Time
		made := 0
		for range stops {
			if _, ok := n.Next(n.Now() + calendar.Time(rapid.Int64Range(0, 1e9).Draw(rt, "on"))); ok {
				break
			}
			n.Set(0, flow.CauseDown)
			d := calendar.Time(rapid.Int64Range(0, 1e9).Draw(rt, "off"))
			n.Next(n.Now() + d)
			paused += d
			n.Clear(0, flow.CauseDown)
			made++
		}
		n.Next(calendar.Never)
		if !n.Units[0].Finished() {
			rt.Fatal("not finished")
		}
		off := math.Abs((n.Now() - paused - calendar.Time(float64(work)/pace)).Seconds() * 1e6)
		if limit := 1 + float64(made)*(1+1/pace); off > limit {
			rt.Fatalf("%g us off after %d stops at pace %g", off, made, pace)
		}
	})
}

// grain makes all times of the reference unit exact: paces are powers of two,
// and a spell is halved less often than grain can be.
const grain = 1 << 30

// byHand is one unit reckoned from scratch, without a calendar: the plainest
// code that can be right.
type byHand struct {
	now, odometer, failAt float64
	has, done             bool
	need                  float64 // work left
	pace                  float64
	causes                [4]int
	log                   []float64 // time, and kind, of each event
}

func (b *byHand) able() bool { return b.causes == [4]int{} }

func (b *byHand) advance(until float64) {
	for b.has && !b.done && b.able() {
		finish, fail := b.need/b.pace, math.Max(0, b.failAt-b.odometer)
		step := math.Min(finish, fail)
		if b.now+step > until {
			b.need -= (until - b.now) * b.pace
			b.odometer += until - b.now
			break
		}
		b.now += step
		b.odometer += step
		b.need -= step * b.pace
		if finish <= fail { // on a tie the piece is finished
			b.done, b.need = true, 0
			b.log = append(b.log, b.now, float64(flow.KindDone))
		} else {
			b.causes[flow.CauseDown]++
			b.log = append(b.log, b.now, float64(flow.KindFail))
		}
	}
	b.now = until
}

// TestUnitAgainstHand gives a unit and its reckoning the same random orders.
func TestUnitAgainstHand(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var n flow.Net
		n.AddUnit()
		b := byHand{pace: 1, failAt: math.Inf(1)}
		span := func(name string, hi int) calendar.Time {
			return calendar.Time(rapid.IntRange(0, hi).Draw(rt, name)) * grain
		}
		var log []float64
		for range rapid.IntRange(1, 14).Draw(rt, "orders") {
			until := n.Now() + span("later", 6)
			for {
				e, ok := n.Next(until)
				if !ok {
					break
				}
				log = append(log, float64(n.Now()), float64(e.Kind))
			}
			b.advance(float64(until))
			switch rapid.IntRange(0, 7).Draw(rt, "order") {
			case 0, 1:
				p, d := n.NewPiece(), span("work", 20)
				free := !b.has && b.able()
				if n.Start(0, p, d) != free {
					rt.Fatalf("start taken: %v", !free)
				}
				if free {
					b.has, b.done, b.need = true, false, float64(d)
				} else {
					n.FreePiece(p)
				}
			case 2:
				if p := n.Release(0); (p >= 0) != b.has {
					rt.Fatalf("released %d", p)
				} else if p >= 0 {
					n.FreePiece(p)
				}
				b.has, b.done, b.need = false, false, 0
			case 3:
				c := rapid.IntRange(0, 3).Draw(rt, "cause")
				n.Set(0, c)
				b.causes[c]++
			case 4:
				c := rapid.IntRange(0, 3).Draw(rt, "cause")
				n.Clear(0, c)
				b.causes[c] = max(0, b.causes[c]-1)
			case 5:
				b.pace = rapid.SampledFrom([]float64{0.5, 1, 2}).Draw(rt, "pace")
				n.SetPace(0, b.pace)
			case 6:
				r := n.Reading(0) + span("fails after", 12)
				n.SetFailAt(0, r)
				b.failAt = float64(r)
			case 7:
				d := span("more", 4)
				n.Extend(0, d)
				if b.has && !b.done {
					b.need += float64(d)
				}
			}
			u := &n.Units[0]
			if u.Working() != (b.has && !b.done) || u.Finished() != (b.has && b.done) || u.Able() != b.able() {
				rt.Fatalf("working %v finished %v able %v, by hand %+v", u.Working(), u.Finished(), u.Able(), b)
			}
			if float64(n.Reading(0)) != b.odometer || float64(n.Left(0)) != b.need/b.pace {
				rt.Fatalf("reading %d left %d, by hand %v %v", n.Reading(0), n.Left(0), b.odometer, b.need/b.pace)
			}
			n.Settle()
			if msg := n.Check(); msg != "" {
				rt.Fatal(msg)
			}
		}
		if len(log) != len(b.log) {
			rt.Fatalf("events %v, by hand %v", log, b.log)
		}
		for i := range log {
			if log[i] != b.log[i] {
				rt.Fatalf("events %v, by hand %v", log, b.log)
			}
		}
	})
}

// TestOdometerIsDrawnUpTime interrupts and slows a failing unit at random: it
// fails when, and only when, the sum of the drawn up times is reached.
func TestOdometerIsDrawnUpTime(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var n flow.Net
		n.AddUnit()
		k := luck{Seed: rapid.Uint64().Draw(rt, "seed")}
		up := func(j int) calendar.Time { return calendar.Time(1 + k.upTo(1e6, forUp, 0, j)) }
		sum, fails, shift := up(0), 0, 0
		n.SetFailAt(0, sum)
		const kindShift = kindRestore + 1
		book := func(kind uint16, max int) {
			shift++
			n.Cal.Book(n.Now()+calendar.Time(k.upTo(max, forGap, int(kind), shift)), calendar.Order, calendar.Event{Kind: kind})
		}
		book(kindShift, 1e6)
		off := false
		for range 300 {
			if n.Units[0].Finished() {
				n.FreePiece(n.Release(0))
			}
			if n.Units[0].Idle() {
				n.Start(0, n.NewPiece(), calendar.Time(k.upTo(2e6, forWork, 0, int(n.Now()%1e6))))
			}
			e, _ := n.Next(calendar.Never)
			switch e.Kind {
			case flow.KindFail:
				if n.Units[0].Odometer != sum {
					rt.Fatalf("failure %d at reading %d, drawn %d", fails, n.Units[0].Odometer, sum)
				}
				fails++
				book(kindRestore, 1e6)
			case kindRestore:
				sum += up(fails)
				n.SetFailAt(0, sum)
				n.Clear(0, flow.CauseDown)
			case kindShift:
				if off = !off; off {
					n.Set(0, flow.CauseOffShift)
				} else {
					n.Clear(0, flow.CauseOffShift)
					n.SetPace(0, []float64{0.37, 0.8, 1, 1.7}[k.upTo(3, forGap, 0, shift)])
				}
				book(kindShift, 3e6)
			}
			if n.Units[0].Odometer > sum {
				rt.Fatalf("reading %d beyond the drawn %d without a failure", n.Units[0].Odometer, sum)
			}
		}
		n.Settle()
		u := &n.Units[0]
		if u.Spent[flow.Running]+u.Spent[flow.Slowed] != n.Reading(0) {
			rt.Fatalf("running %d and slowed %d, operating time %d", u.Spent[flow.Running], u.Spent[flow.Slowed], n.Reading(0))
		}
	})
}

// TestRefusals asks units for what they cannot do.
func TestRefusals(t *testing.T) {
	var n flow.Net
	for range flow.MaxUnits {
		n.AddUnit()
	}
	if n.AddUnit() >= 0 || n.AddPlaces(3) >= 0 || len(n.Units) != flow.MaxUnits {
		t.Error("more units than ready bits were added")
	}
	for i := range flow.MaxUnits {
		if u, ok := n.Ready(); !ok || u != i {
			t.Fatalf("turn %d went to unit %d", i, u)
		}
	}
	if _, ok := n.Ready(); ok {
		t.Error("a turn is left when all have had theirs")
	}
	p, q := n.NewPiece(), n.NewPiece()
	switch {
	case n.Start(0, -1, 5):
		t.Error("no piece was started")
	case !n.Start(0, p, 5):
		t.Error("a piece was refused")
	case n.Start(0, q, 5):
		t.Error("a second piece was started")
	case n.Release(1) != -1:
		t.Error("an empty unit gave a piece")
	}
	n.Next(100)
	n.Extend(0, 50)
	if !n.Units[0].Finished() || n.Left(0) != 0 {
		t.Error("work was added to a finished piece")
	}
	n.Start(1, q, 5)
	n.Extend(1, calendar.Never)
	n.Next(n.Now() + calendar.Day)
	n.SetPace(1, 2)
	if n.Left(1) != calendar.Never {
		t.Errorf("of work without end %d are left after a day", n.Left(1))
	}
	if n.Release(0) != p || n.Units[0].State() != flow.Starved {
		t.Error("the unit did not give its piece away")
	}
}
