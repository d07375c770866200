package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
	"millrace/sim/steel"
)

// placeOf turns a number of a kind into an offset of places.
func placeOf(i int) record.Place { return record.Place(i) }

// slabWaits is how long a descaled slab may wait for a train that stands before it
// is taken back to the yard (common practice, no source).
const slabWaits = 15 * calendar.Minute

// toRougher moves the slab that has been descaled into the rougher.
func (w *Works) toRougher() {
	n := &w.S.Net
	k := &w.P.u
	if !n.Units[k.rougher].Idle() || !n.Units[k.descaler].Finished() {
		return
	}
	if n.Units[k.train].Has(flow.CauseDown) {
		// Nothing is rolled towards a train that stands; the slab waits a while, then it
		// goes back to the yard.
		p := n.Units[k.descaler].Piece
		pc := &w.S.Pieces[p]
		if t := pc.At + slabWaits; t > w.Now() {
			n.Cal.Cancel(w.S.pacer)
			w.S.pacer = w.wakeAt(t, k.descaler)
		} else if n.Fits(storeYard, pc.Mass) {
			n.Release(k.descaler)
			w.slabBack(p, w.P.p.descaler)
		}
		return
	}
	i := n.Release(k.descaler)
	pc := &w.S.Pieces[i]
	pc.Stage = stRougher
	w.move(pc.Name, w.P.p.descaler, w.P.p.rougher, pc.Mass, stepRough)
	pc.TC = float32(w.P.radiate(float64(pc.TC), (w.Now() - pc.At).Seconds(), w.P.Spec.SlabThick, 0))
	sec, out, ok := w.P.products[pc.Prod].rough.at(float64(pc.TC))
	if !ok {
		// Colder than any schedule was computed for: the coldest that was.
		sec, out, _ = w.P.products[pc.Prod].rough.at(math.Max(float64(pc.TC), w.P.products[pc.Prod].rough.least))
	}
	sec *= w.drawLaw(w.P.Spec.Rougher.Scatter, luckRough, uint64(pc.Name), 0)
	if w.S.WeakWater > 0 && w.P.products[pc.Prod].Surface {
		w.note(WordDowngraded, k.descaler, pc.Name, pc.Mass, 0, 0) // scale is rolled in
	}
	pc.TC = float32(out)
	n.Start(k.rougher, i, calendar.Dur(sec))
	n.Wake(k.descaler)
}

func (w *Works) tryRougher() {
	n := &w.S.Net
	k := &w.P.u
	if n.Units[k.rougher].Finished() {
		w.roughed()
	}
	if n.Units[k.rougher].Idle() {
		w.toRougher()
		n.Wake(k.descaler)
	}
}

// roughed gives the bar to the delay table if that is free.
func (w *Works) roughed() {
	n := &w.S.Net
	k := &w.P.u
	u := &n.Units[k.rougher]
	if !u.Finished() || !u.Able() {
		return
	}
	i := u.Piece
	pc := &w.S.Pieces[i]
	if w.S.Delay.N >= 1 {
		// The bar lies in the rougher and cools; its limit is booked like that of
		// the bar on the table.
		w.bookReject()
		return
	}
	n.Release(k.rougher)
	pc.Stage = stDelay
	w.move(pc.Name, w.P.p.rougher, w.P.p.delay, pc.Mass, stepDelay)
	n.PushTail(&w.S.Delay, i)
	w.bookReject()
	n.Wake(k.shear)
	n.Wake(k.descaler)
}

// barC is the mean temperature of a bar that lies since pc.At.
func (w *Works) barC(pc *Piece) float64 {
	kept := w.P.Spec.Train.Train.CoverFactor
	return w.P.radiate(float64(pc.TC), (w.Now() - pc.At).Seconds(), w.P.products[pc.Prod].bar, kept)
}

// rejectAt is when a lying bar is too cold, or has waited too long, to be rolled:
// the closed form of radiation, solved for the time.
func (w *Works) rejectAt(pc *Piece) calendar.Time {
	s := &w.P.Spec.Train
	pr := &w.P.products[pc.Prod]
	e := w.P.Spec.Rougher.Mill.Thermal.Emissivity * (1 - s.Train.CoverFactor)
	wait := s.MaxWait
	a, b := 1/(float64(pc.TC)+steel.ZeroC), 1/(pr.finish.least+steel.ZeroC)
	if e > 0 {
		wait = math.Max(0, math.Min(wait, (b*b*b-a*a*a)*heatCapacity*pr.bar/(6*e*steel.StefanBoltzmann)))
	}
	return pc.At + calendar.Dur(wait)
}

// bookReject books the moment the first lying bar is lost.
func (w *Works) bookReject() {
	n := &w.S.Net
	n.Cal.Cancel(w.S.reject)
	w.S.reject = 0
	t := calendar.Never
	if i := w.S.Delay.Head; i >= 0 {
		t = w.rejectAt(&w.S.Pieces[i])
	}
	if u := &n.Units[w.P.u.rougher]; u.Finished() && u.Piece >= 0 {
		if x := w.rejectAt(&w.S.Pieces[u.Piece]); x < t {
			t = x
		}
	}
	if t != calendar.Never {
		w.S.reject = n.Cal.Book(t, calendar.Fail, calendar.Event{Kind: evReject})
	}
}

// rejectBar takes bars that are past their limit off the line: they are scrap.
func (w *Works) rejectBar() {
	n := &w.S.Net
	if i := w.S.Delay.Head; i >= 0 && w.rejectAt(&w.S.Pieces[i]) <= w.Now() {
		n.Remove(&w.S.Delay, i)
		w.scrapPiece(i, w.P.p.delay, w.P.p.scrap, WordRejected)
	}
	k := w.P.u.rougher
	if u := &n.Units[k]; u.Finished() && u.Piece >= 0 && w.rejectAt(&w.S.Pieces[u.Piece]) <= w.Now() {
		i := n.Release(k)
		w.scrapPiece(i, w.P.p.rougher, w.P.p.scrap, WordRejected)
	}
	w.bookReject()
	n.Wake(k)
	n.Wake(w.P.u.shear)
	n.Wake(w.P.u.descaler)
}

// scrapPiece takes a piece out of the works as a loss.
func (w *Works) scrapPiece(i int32, from, loss record.Place, word Word) {
	pc := &w.S.Pieces[i]
	w.move(pc.Name, from, loss, pc.Mass, stepLost)
	w.note(word, -1, pc.Name, pc.Mass, 0, 0)
	w.freePiece(i)
}

// slabBack takes a slab that cannot be rolled now back to the yard: it has lost
// its heat and some of its order of charging.
func (w *Works) slabBack(i int32, from record.Place) {
	pc := &w.S.Pieces[i]
	pc.Flag |= flagReturned
	w.S.Net.Put(storeYard, pc.Mass)
	w.move(pc.Name, from, w.P.p.yard, pc.Mass, stepBack)
	w.note(WordSlabBack, -1, pc.Name, pc.Mass, 0, 0)
	pc.Born = w.Now() - 30*calendar.Hour // it cools alone, off the pile
	w.intoYard(i)
}
