package works

import (
	"millrace/sim/calendar"
)

// tryConveyor moves the first coil off the conveyor: it has travelled its way,
// the exit takes one coil a cycle, and the coil yard must have room.
func (w *Works) tryConveyor() {
	n := &w.S.Net
	k := &w.P.u
	u := &n.Units[k.conveyor]
	if u.Finished() {
		i := u.Piece
		pc := &w.S.Pieces[i]
		if !n.Fits(storeCoils, pc.Mass) {
			return
		}
		n.Release(k.conveyor)
		w.intoCoilYard(i)
	}
	if !u.Idle() || w.S.Conveyor.N == 0 {
		return
	}
	i := w.S.Conveyor.Head
	pc := &w.S.Pieces[i]
	if due := pc.At + calendar.Dur(w.P.Spec.Conveyor.Transit); due > w.Now() {
		n.Cal.Cancel(w.S.convey)
		w.S.convey = w.wakeAt(due, k.conveyor)
		return
	}
	n.Remove(&w.S.Conveyor, i)
	n.Start(k.conveyor, i, calendar.Dur(w.P.Spec.Conveyor.Cycle))
	for c := range w.P.Spec.Coilers.Names {
		n.Wake(k.coil + c)
	}
	n.Wake(k.descaler)
}

// intoCoilYard sets a coil down; it is cool when physics says so.
func (w *Works) intoCoilYard(i int32) {
	n := &w.S.Net
	pc := &w.S.Pieces[i]
	pr := &w.P.products[pc.Prod]
	w.move(pc.Name, w.P.p.conveyor, w.P.p.coilYard, pc.Mass, stepYard)
	n.Put(storeCoils, pc.Mass)
	pc.Stage = stCooling
	w.S.Cooling += pc.Mass
	// pc.At is when it was stripped; it has cooled on the conveyor since.
	cool := w.coolFor(pr)
	if w.S.Cold.Forced {
		cool *= pr.forced
		pc.Flag |= flagForced
	}
	pc.CoolAt = pc.At + calendar.Dur(cool)
	pc.cool = n.Cal.Book(pc.CoolAt, calendar.Finish, calendar.Event{Kind: evCool, A: i})
}

// coolFor is how long a coil of the product cools before it may go on, s.
func (w *Works) coolFor(pr *product) float64 {
	if pr.Pickled {
		return pr.coolTime
	}
	return pr.dispTime
}

// conveyorSpare is how many places are kept free for strips that are already under
// way when the mill is stopped for want of room.
const conveyorSpare = 3
