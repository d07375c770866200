package flow

import (
	"math"
	"math/bits"

	"millrace/sim/calendar"
)

// Kinds of event that belong to flow; a caller's own kinds start at KindCaller.
const (
	KindDone    uint16 = 1 // the unit's piece is finished; the unit now holds it
	KindFail    uint16 = 2 // the unit's operating time has run out; it has stopped
	KindChanged uint16 = 3 // the unit's changeover is done; it works on its piece
	KindCaller  uint16 = 16
)

// MaxUnits is the largest number of units of a net: ready units are one word of
// bits.
const MaxUnits = 64

// Net is a set of units and stores with the calendar that moves them.
type Net struct {
	Cal    calendar.Calendar
	Units  []Unit
	Stores []Store

	ready   uint64
	changed uint64 // units whose state may differ from what was last reported
	links   []link
	free    []int32
}

// AddUnit adds a unit with one place, starved, and returns its number, -1 when
// the net has MaxUnits units already.
func (n *Net) AddUnit() int {
	if len(n.Units) >= MaxUnits {
		return -1
	}
	n.addUnit()
	n.Wake(len(n.Units) - 1)
	return len(n.Units) - 1
}

// addUnit adds a unit that is not woken, in any number.
func (n *Net) addUnit() {
	u := Unit{Piece: -1, Pace: 1, FailAt: calendar.Never, state: Starved}
	u.Count[Starved] = 1
	n.Units = append(n.Units, u)
}

// AddPlaces adds a unit with many places whose states the caller moves with
// Shift; all places are starved at first.
func (n *Net) AddPlaces(places int32) int {
	i := n.AddUnit()
	if i < 0 {
		return i
	}
	n.Units[i].manual = true
	n.Units[i].Count[Starved] = places
	return i
}

// Now returns the time.
func (n *Net) Now() calendar.Time { return n.Cal.Now() }

// Wake gives the unit a turn before the net is settled.
func (n *Net) Wake(u int) { n.ready |= 1 << uint(u) }

// WakeAll gives every unit of the mask a turn.
func (n *Net) WakeAll(mask uint64) { n.ready |= mask }

// Ready takes the lowest unit that is to be tried; ok is false when the net is
// settled.
func (n *Net) Ready() (u int, ok bool) {
	if n.ready == 0 {
		return 0, false
	}
	u = bits.TrailingZeros64(n.ready)
	n.ready &= n.ready - 1
	return u, true
}

// Changed takes the lowest unit whose state has changed since it was last
// taken.
func (n *Net) Changed() (u int, ok bool) {
	if n.changed == 0 {
		return 0, false
	}
	u = bits.TrailingZeros64(n.changed)
	n.changed &= n.changed - 1
	return u, true
}

// Next takes the next event no later than until and does flow's own part of it.
func (n *Net) Next(until calendar.Time) (calendar.Event, bool) {
	e, ok := n.Cal.Next(until)
	if !ok {
		return e, false
	}
	switch i := int(e.Unit); e.Kind {
	case KindDone:
		n.Units[i].done(n.Cal.Now())
		n.refresh(i)
		n.Wake(i)
	case KindChanged:
		n.begun(i)
	case KindFail:
		n.failed(i)
	}
	return e, true
}

// done ends the work on the piece at its planned end. The unit's state is left
// as it was: who gives the piece away at once refreshes it once, afterwards.
func (u *Unit) done(now calendar.Time) {
	u.event = 0 // it has left the calendar
	u.Odometer += now - u.begun
	u.working, u.finished, u.left = false, true, 0
}

// begun goes on with the work after the changeover.
func (n *Net) begun(i int) {
	u := &n.Units[i]
	u.event = 0
	u.changing, u.left = false, u.then
	n.startClock(i)
	n.refresh(i)
}

// failed stops the unit by its own fault.
func (n *Net) failed(i int) {
	u := &n.Units[i]
	n.stopClock(u)
	u.paused = true
	u.cause[CauseDown]++
	u.stops++
	n.refresh(i)
}

// stopClock ends the present spell of work and books its operating time.
func (n *Net) stopClock(u *Unit) {
	if !u.working || u.paused {
		return
	}
	d := n.Now() - u.begun
	if !u.changing {
		u.Odometer += d
	}
	u.left = lessWork(u.left, d, u.Pace)
	n.Cal.Cancel(u.event)
	u.event = 0
}

// startClock begins or goes on with the unit's work.
func (n *Net) startClock(i int) {
	u := &n.Units[i]
	u.begun = n.Now()
	d := u.left
	if u.Pace != 1 {
		d = atPace(d, u.Pace)
	}
	e := calendar.Event{Kind: KindDone, Unit: uint16(i)}
	if u.changing {
		e.Kind = KindChanged
	} else if u.FailAt != calendar.Never && u.FailAt-u.Odometer < d {
		e.Kind = KindFail
		u.event = n.Cal.Book(u.begun+max(u.FailAt-u.Odometer, 0), calendar.Fail, e)
		return
	}
	u.event = n.Cal.Book(later(u.begun, d), calendar.Finish, e)
}

// refresh derives the unit's state and moves the tally where it changed.
func (n *Net) refresh(i int) {
	u := &n.Units[i]
	s := u.derive()
	if s == u.state {
		return
	}
	if !u.manual {
		u.toState(n.Cal.Now(), s)
	}
	u.state = s
	n.changed |= 1 << uint(i)
}

// toState moves the tally of a unit with one place: one state, whose time is
// booked without a look at the others.
func (u *Unit) toState(now calendar.Time, s State) {
	u.Spent[u.state] += now - u.Since
	u.Since = now
	u.Count[u.state], u.Count[s] = 0, 1
	u.state = s
}

// Start gives a piece with d of work (at pace one) to an idle unit. It reports
// false, and does nothing, when the unit holds a piece or cannot work.
func (n *Net) Start(i int, piece int32, d calendar.Time) bool {
	u := &n.Units[i]
	if !u.Idle() || piece < 0 {
		return false
	}
	n.begin(i, piece, d)
	n.refresh(i)
	return true
}

// begin puts the piece on the unit and starts its clock.
func (n *Net) begin(i int, piece int32, d calendar.Time) {
	u := &n.Units[i]
	u.Piece, u.working, u.finished, u.paused, u.left = piece, true, false, false, d
	n.startClock(i)
}

// StartAfter is Start with a changeover before the work: the unit holds the
// piece and is in changeover, which does not count as operating time, until the
// event KindChanged. Both are interrupted and slowed in the same way.
func (n *Net) StartAfter(i int, piece int32, changeover, d calendar.Time) bool {
	u := &n.Units[i]
	if !u.Idle() || piece < 0 {
		return false
	}
	u.changing, u.then = true, d
	n.begin(i, piece, changeover)
	n.refresh(i)
	return true
}

// Extend adds work to the piece on the unit; a negative d takes work away. A
// piece whose work is done is not touched.
func (n *Net) Extend(i int, d calendar.Time) {
	u := &n.Units[i]
	if !u.working {
		return
	}
	running := !u.paused
	n.stopClock(u)
	u.left = later(u.left, d)
	if running {
		n.startClock(i)
	}
}

// Release takes the piece off the unit, finished or not, and wakes it. It
// returns -1 when there is none.
func (n *Net) Release(i int) int32 {
	u := &n.Units[i]
	p := u.Piece
	if p < 0 {
		return -1
	}
	n.stopClock(u)
	u.Piece, u.working, u.finished, u.paused, u.changing, u.left = -1, false, false, false, false, 0
	n.refresh(i)
	n.Wake(i)
	return p
}

// Set adds a cause that keeps the unit from working; work in hand is
// interrupted and keeps its remaining time.
func (n *Net) Set(i, cause int) {
	u := &n.Units[i]
	if u.Able() && u.working {
		n.stopClock(u)
		u.paused = true
	}
	u.cause[cause]++
	u.stops++
	n.refresh(i)
}

// Clear removes a cause once; when none is left interrupted work goes on.
func (n *Net) Clear(i, cause int) {
	u := &n.Units[i]
	if u.cause[cause] == 0 {
		return
	}
	u.cause[cause]--
	u.stops--
	if u.Able() && u.working && u.paused {
		u.paused = false
		n.startClock(i)
	}
	n.refresh(i)
	n.Wake(i)
}

// SetPace changes how fast the unit works from now on; pace is above zero and
// finite, anything else is ignored.
func (n *Net) SetPace(i int, pace float64) {
	u := &n.Units[i]
	if !(pace > 0) || math.IsInf(pace, 1) || pace == u.Pace {
		return
	}
	running := u.working && !u.paused
	if running {
		n.stopClock(u)
	}
	u.Pace = pace
	if running {
		n.startClock(i)
	}
	n.refresh(i)
}

// SetFailAt gives the odometer reading at which the unit fails next. After a
// failure it is called before Clear: a unit whose reading has been reached fails
// again as soon as it works.
func (n *Net) SetFailAt(i int, reading calendar.Time) {
	u := &n.Units[i]
	running := u.working && !u.paused
	if running {
		n.stopClock(u)
	}
	u.FailAt = reading
	if running {
		n.startClock(i)
	}
}

// Reading returns the unit's odometer at this moment.
func (n *Net) Reading(i int) calendar.Time {
	u := &n.Units[i]
	if u.working && !u.paused && !u.changing {
		return u.Odometer + n.Now() - u.begun
	}
	return u.Odometer
}

// Left returns the time until the unit's piece, or the changeover before it, is
// finished at the present pace, if nothing stops it.
func (n *Net) Left(i int) calendar.Time {
	u := &n.Units[i]
	if !u.working {
		return 0
	}
	left := u.left
	if !u.paused {
		left = lessWork(left, n.Now()-u.begun, u.Pace)
	}
	return atPace(left, u.Pace)
}

// Shift moves k places of a unit with many places between states.
func (n *Net) Shift(i int, from, to State, k int32) {
	if k == 0 || from == to {
		return
	}
	n.Units[i].Move(n.Now(), from, to, k)
	n.changed |= 1 << uint(i)
}

// Settle books the time of every tally up to now, for reading the hours.
func (n *Net) Settle() {
	for i := range n.Units {
		n.Units[i].Advance(n.Now())
	}
}

// CopyFrom makes n an independent copy of o, reusing n's memory.
func (n *Net) CopyFrom(o *Net) {
	n.Cal.CopyFrom(&o.Cal)
	n.Units = append(n.Units[:0], o.Units...)
	n.Stores = append(n.Stores[:0], o.Stores...)
	n.links = append(n.links[:0], o.links...)
	n.free = append(n.free[:0], o.free...)
	n.ready, n.changed = o.ready, o.changed
}
