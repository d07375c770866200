package flow

import "millrace/sim/calendar"

// A plain unit has nothing but its work: no failures, stops, changeovers, needs
// or batches, one store to take from, and nobody displaces its piece. Whether it is
// plain is settled when the plant is linked. What it begins it finishes at the time
// that was booked, so nobody asks for its odometer, the work left or the handle of
// the event, and these are not kept up to date; and from one piece to the next it
// stays Running without its state being derived.

// turn is what happens when a plain unit has finished a piece: it gives the piece
// away, takes the next and begins. It does what finished and feed do, in their
// order.
func (p *Plant) turn(u *unit, nu *Unit, i int) {
	u.done++
	if u.has != 0 {
		p.finishedSlowly(i)
	}
	if u.to == Outside {
		p.leave(nu.Piece)
	} else if !p.offer(u.to, nu.Piece) {
		nu.working, nu.finished = false, true
		p.block(i)
		return
	}
	s := &p.stores[u.from]
	id := s.list.Head
	if id < 0 || s.special {
		nu.Piece, nu.working = -1, false
		p.feed(i)
		return
	}
	pc := &p.pieces[id]
	now := p.net.Cal.Now()
	p.net.PopHead(&s.list)
	s.out++
	s.sum += now
	s.waited += now - pc.Came
	pc.Works++
	d := u.work(pc)
	if _, ok := p.net.Cal.Again(d, calendar.Finish); !ok {
		p.net.Cal.Book(later(now, max(0, d)), calendar.Finish, calendar.Event{Kind: KindDone, Unit: uint16(i)})
	}
	nu.Piece = id
	if len(s.givers) > 0 {
		p.admit(u.from)
	}
}
