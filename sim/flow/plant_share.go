package flow

import "millrace/sim/calendar"

// shared is equipment of which several units need one.
type shared struct {
	spec    *SharedSpec
	free    int
	back    bool    // some came back in this event: who claims now is served with the others at its end
	waiting []int32 // claims, first to be served first
	held    []int32 // claims, in the order in which they were granted
	sum     calendar.Time
	waits   int64
}

type claimState uint8

const (
	claimNone claimState = iota
	claimWaits
	claimHolds
)

// claim is that of one unit on one kind of shared equipment: for its work, or
// for one of its repairs.
type claim struct {
	need     Need
	unit     int32
	priority int32 // of the need, and of the piece where it counts
	state    claimState
	asked    bool            // in this event, and not granted at once
	left     calendar.Time   // repair: time left
	begun    calendar.Time   // repair: when it began or went on
	event    calendar.Handle // repair: its end
}

// isRepair tells what the claim is for, and for which way of failing.
func (p *Plant) isRepair(c int32) (j int, ok bool) {
	u := &p.units[p.claims[c].unit]
	j = int(c - u.claim - u.needs)
	return j, j >= 0
}

// claimAll asks for what unit i needs to work on a piece.
func (p *Plant) claimAll(i int, pc *Piece) {
	u := &p.units[i]
	for c := u.claim; c < u.claim+u.needs; c++ {
		cl := &p.claims[c]
		cl.priority = cl.need.Priority
		if cl.need.ByPiece {
			cl.priority += pc.Priority
		}
	}
	p.claimOn(i, u.claim)
}

// claimOn asks for one need after the other, from claim c on, until one has to
// wait: units that need the same things in the same order do not lock each other.
func (p *Plant) claimOn(i int, c int32) {
	u := &p.units[i]
	for ; c < u.claim+u.needs; c++ {
		cl := &p.claims[c]
		if cl.need.Shared == 0 || u.changes && !u.setting && c == u.claim+u.needs-1 {
			continue
		}
		if cl.state == claimNone {
			p.claim(c)
		}
		if cl.state != claimHolds {
			return
		}
	}
}

// releaseAll gives back what unit i has for its work: what it keeps until the
// piece is gone, or the rest.
func (p *Plant) releaseAll(i int, untilGone bool) {
	u := &p.units[i]
	for c := u.claim; c < u.claim+u.needs; c++ {
		if p.claims[c].need.UntilGone == untilGone {
			p.release(c)
		}
	}
}

// claim asks for the equipment; it is granted at once, or taken from a claim of
// lower priority, or waits in line.
func (p *Plant) claim(c int32) {
	cl := &p.claims[c]
	s := &p.shared[cl.need.Shared]
	if s.back {
		cl.asked = true
		p.line(c, false)
		return
	}
	if s.free == 0 && s.spec.Preempts {
		p.seize(c)
	}
	if s.free > 0 {
		p.grant(c)
		return
	}
	s.waits++
	p.line(c, false)
}

// grant gives a free piece of equipment to a claim.
func (p *Plant) grant(c int32) {
	cl := &p.claims[c]
	s := &p.shared[cl.need.Shared]
	s.free--
	s.sum -= p.net.Now()
	s.held = append(s.held, c)
	waited := cl.state == claimWaits
	cl.state = claimHolds
	if j, ok := p.isRepair(c); ok {
		cl.begun = p.net.Now()
		cl.event = p.net.Cal.Book(later(cl.begun, cl.left), calendar.Restore, calendar.Event{Kind: kindRestored, Unit: uint16(cl.unit), A: int32(j)})
	} else if waited {
		p.claimOn(int(cl.unit), c+1)
		p.net.Clear(int(cl.unit), CauseShared)
	}
}

// line puts a claim in line: behind its equals, or before them when the
// equipment was taken from it.
func (p *Plant) line(c int32, ahead bool) {
	cl := &p.claims[c]
	s := &p.shared[cl.need.Shared]
	cl.state = claimWaits
	k := len(s.waiting)
	for k > 0 {
		q := p.claims[s.waiting[k-1]].priority
		if q > cl.priority || q == cl.priority && !ahead {
			break
		}
		k--
	}
	s.waiting = append(s.waiting, 0)
	copy(s.waiting[k+1:], s.waiting[k:])
	s.waiting[k] = c
	if _, ok := p.isRepair(c); !ok {
		p.net.Set(int(cl.unit), CauseShared)
	}
	p.suspect(int(cl.unit))
}

// yields reports whether claim h, which holds the equipment, can be made to give
// it to claim c: a repair can, and work on a piece that is not finished, but not to
// another need of the same work.
func (p *Plant) yields(h, c int32) bool {
	if _, ok := p.isRepair(h); ok {
		return true
	}
	i := p.claims[h].unit
	_, repair := p.isRepair(c)
	return p.net.Units[i].working && (repair || p.claims[c].unit != i)
}

// seize takes the equipment from the claim of lowest priority, of equals the one
// granted last, if it is lower than that of c. A unit that holds a finished
// piece keeps its equipment.
func (p *Plant) seize(c int32) {
	s := &p.shared[p.claims[c].need.Shared]
	best := -1
	for k, h := range s.held {
		cl := &p.claims[h]
		if cl.priority >= p.claims[c].priority {
			continue
		}
		if !p.yields(h, c) {
			continue
		}
		if best < 0 || cl.priority <= p.claims[s.held[best]].priority {
			best = k
		}
	}
	if best < 0 {
		return
	}
	h := s.held[best]
	cl := &p.claims[h]
	s.held = append(s.held[:best], s.held[best+1:]...)
	s.free++
	s.sum += p.net.Now()
	if _, ok := p.isRepair(h); ok {
		p.net.Cal.Cancel(cl.event)
		cl.event = 0
		if cl.left != calendar.Never {
			cl.left -= p.net.Now() - cl.begun
		}
	}
	p.line(h, true)
}

// release gives the equipment back, or leaves the line. Who is next is served at
// the end of the event, so that a unit that has finished one piece and begins
// another claims with the others, by priority.
func (p *Plant) release(c int32) {
	cl := &p.claims[c]
	s := &p.shared[cl.need.Shared]
	switch cl.state {
	case claimHolds:
		s.held = without(s.held, c)
		s.free++
		s.back = true
		s.sum += p.net.Now()
		p.loose = true
	case claimWaits:
		s.waiting = without(s.waiting, c)
		if _, ok := p.isRepair(c); !ok {
			p.net.Clear(int(cl.unit), CauseShared)
		}
	}
	cl.state, cl.asked = claimNone, false
}

// serve grants what is free to those in line.
func (p *Plant) serve() {
	for i := range p.shared {
		s := &p.shared[i]
		if !s.back {
			continue
		}
		s.back = false
		for len(s.waiting) > 0 {
			next := s.waiting[0]
			if s.free == 0 && s.spec.Preempts && p.claims[next].asked {
				p.seize(next)
			}
			if s.free == 0 {
				break
			}
			s.waiting = popFront(s.waiting)
			p.claims[next].asked = false
			p.grant(next)
		}
		for _, c := range s.waiting {
			if p.claims[c].asked {
				p.claims[c].asked = false
				s.waits++
			}
		}
	}
}

func without(a []int32, x int32) []int32 {
	for k := range a {
		if a[k] == x {
			return append(a[:k], a[k+1:]...)
		}
	}
	return a
}
