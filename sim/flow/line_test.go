package flow_test

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// line is a serial line built on a Net: the first unit is never starved, the
// last never blocked, a unit that finds no room after its work keeps the piece
// (blocking after service). Between two units without places a finished piece
// goes over when the next unit is idle.
type line struct {
	net   flow.Net
	store []int       // between unit i and i+1
	queue []flow.List // the same
	room  []int64
	name  []int // piece number by slot

	work   func(unit, piece int) calendar.Time
	up     func(unit, j int) calendar.Time // nil: no failures
	repair func(unit, j int) calendar.Time

	pieces   int // how many enter, below zero for no end
	entered  int
	out      int
	failures []int
	drawnUp  []calendar.Time // sum of the up times that have run out, by unit
	wrong    string          // first broken rule

	left  func(unit, piece int, t calendar.Time) // a piece leaves a unit; may be nil
	event func(e calendar.Event)                 // after each event; may be nil

	// Pieces behind the first unit: counted for the mean over time.
	last calendar.Time
	area float64
}

func newLine(room []int64, pieces int, work func(unit, piece int) calendar.Time) *line {
	l := &line{room: room, pieces: pieces, work: work}
	for i := range len(room) + 1 {
		l.net.AddUnit()
		if i > 0 {
			s := l.net.AddStore(room[i-1])
			l.net.Link(s, i-1, true)
			l.net.Link(s, i, false)
			l.store = append(l.store, s)
			l.queue = append(l.queue, flow.Empty)
		}
	}
	l.failures = make([]int, len(l.net.Units))
	l.drawnUp = make([]calendar.Time, len(l.net.Units))
	return l
}

func (l *line) failing(up, repair func(unit, j int) calendar.Time) *line {
	l.up, l.repair = up, repair
	for i := range l.net.Units {
		l.net.SetFailAt(i, up(i, 0))
	}
	return l
}

// tail is the last unit.
func (l *line) tail() int { return len(l.net.Units) - 1 }

// release takes the finished piece off unit i.
func (l *line) release(i int) int32 {
	p := l.net.Release(i)
	if l.left != nil {
		l.left(i, l.name[p], l.net.Now())
	}
	return p
}

func (l *line) start(i int, p int32) {
	if !l.net.Start(i, p, l.work(i, l.name[p])) && l.wrong == "" {
		l.wrong = "an idle unit refused a piece"
	}
}

// try lets unit i give away what it has finished and take the next piece.
func (l *line) try(i int) {
	n := &l.net
	u := &n.Units[i]
	if u.Finished() {
		switch {
		case i == l.tail():
			n.FreePiece(l.release(i))
			l.out++
		case l.room[i] > 0:
			if n.Fits(l.store[i], 1) {
				p := l.release(i)
				n.PushTail(&l.queue[i], p)
				n.Put(l.store[i], 1)
			}
		case n.Units[i+1].Idle():
			l.start(i+1, l.release(i))
		}
	}
	if !u.Idle() {
		return
	}
	switch {
	case i == 0:
		if l.entered == l.pieces {
			return
		}
		p := n.NewPiece()
		for int(p) >= len(l.name) {
			l.name = append(l.name, 0)
		}
		l.name[p] = l.entered
		l.entered++
		l.start(0, p)
	case l.queue[i-1].N > 0:
		p := n.PopHead(&l.queue[i-1])
		n.Take(l.store[i-1], 1)
		l.start(i, p)
	case l.room[i-1] == 0 && n.Units[i-1].Finished():
		l.start(i, l.release(i-1))
	}
}

// settle tries the units until none has anything to do.
func (l *line) settle() {
	for i, ok := l.net.Ready(); ok; i, ok = l.net.Ready() {
		l.try(i)
	}
}

// step settles the line and plays the next event no later than until.
func (l *line) step(until calendar.Time) bool {
	n := &l.net
	l.settle()
	e, ok := n.Next(until)
	behind := n.Slots() - n.FreeSlots()
	if n.Units[0].Piece >= 0 {
		behind--
	}
	l.area += float64(behind) * (n.Now() - l.last).Hours()
	l.last = n.Now()
	if !ok {
		return false
	}
	i := int(e.Unit)
	switch e.Kind {
	case flow.KindFail:
		l.drawnUp[i] += l.up(i, l.failures[i])
		if n.Units[i].Odometer != l.drawnUp[i] && l.wrong == "" {
			l.wrong = "a unit failed at another reading than drawn"
		}
		d := l.repair(i, l.failures[i])
		l.failures[i]++
		n.Cal.Book(n.Now()+d, calendar.Restore, calendar.Event{Kind: kindRestore, Unit: e.Unit})
	case kindRestore:
		n.SetFailAt(i, n.Units[i].Odometer+l.up(i, l.failures[i]))
		n.Clear(i, flow.CauseDown)
	}
	if l.event != nil {
		l.settle()
		l.event(e)
	}
	return true
}

// run plays all events up to until.
func (l *line) run(until calendar.Time) {
	for l.step(until) {
	}
}

// finish plays until all pieces are out.
func (l *line) finish() { l.run(calendar.Never) }

// copyFrom makes l an independent copy of o; hooks are not copied.
func (l *line) copyFrom(o *line) {
	net := l.net
	*l = *o
	l.net = net
	l.net.CopyFrom(&o.net)
	l.queue = append([]flow.List(nil), o.queue...)
	l.name = append([]int(nil), o.name...)
	l.failures = append([]int(nil), o.failures...)
	l.drawnUp = append([]calendar.Time(nil), o.drawnUp...)
	l.left, l.event = nil, nil
}

// lawful returns the first broken rule of the line as it stands, or "".
func (l *line) lawful() string {
	if l.wrong != "" {
		return l.wrong
	}
	if msg := l.net.Check(l.queue...); msg != "" {
		return msg
	}
	for i, s := range l.store {
		st := &l.net.Stores[s]
		switch {
		case st.Level < 0 || st.Level > st.Room:
			return "a store is below empty or above full"
		case int64(st.Count) != st.Level || l.queue[i].N != st.Count:
			return "store and queue disagree"
		}
	}
	held := 0
	for i := range l.net.Units {
		if l.net.Units[i].Piece >= 0 {
			held++
		}
	}
	for i := range l.queue {
		held += int(l.queue[i].N)
	}
	if l.entered != l.out+held {
		return "entered pieces are not those out and those in the line"
	}
	return ""
}
