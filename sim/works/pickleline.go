package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// The pickle line welds coils end to end, draws them through acid and cuts them
// again. Its entry stands for every weld; the entry looper feeds the acid meanwhile.

// way is the way a product takes behind the coil floor.
func (p *Plant) way(prod int) int {
	pr := &p.products[prod]
	switch {
	case !pr.Pickled:
		return WayHot
	case pr.Cold <= 0:
		return WayPickled
	case !pr.Annealed:
		return WayHard
	}
	return WayAnnealed
}

func (w *Works) tryPickleLine() {
	n := &w.S.Net
	u := w.P.u.pickle
	if n.Units[u].Finished() {
		w.pickleDone()
	}
	if !n.Units[u].Idle() || w.S.CoolPick.N == 0 {
		return
	}
	c := w.P.Spec.Cold
	i := n.PopHead(&w.S.CoolPick)
	pc := &w.S.Pieces[i]
	w.S.CoolPickG -= pc.Mass
	w.standingFans()
	n.Take(storeCoils, pc.Mass)
	pc.Stage = stPickle
	w.move(pc.Name, w.P.p.coilYard, w.P.p.pickle, pc.Mass, stepTaken)
	over := w.overtime(c.Pickle.Overtime)
	t := w.P.products[pc.Prod].pickleS / w.S.Cold.Pace / over
	// Standing orders pace the feed by the cool stock.
	f := w.paced(w.S.CoolPickG, w.P.Spec.CoilYard.Cool, over)
	if w.P.Spec.Demand.Pickle > 0 {
		t = math.Max(t, float64(pc.Mass)/grams/(w.P.Spec.Demand.Pickle*f))
	}
	n.Start(u, i, calendar.Dur(t))
	n.Wake(w.P.u.conveyor)
}

// pickleDone takes the coil off the exit end, if there is room for it.
func (w *Works) pickleDone() {
	n := &w.S.Net
	u := w.P.u.pickle
	if !n.Units[u].Finished() {
		return
	}
	i := n.Units[u].Piece
	pc := &w.S.Pieces[i]
	pr := &w.P.products[pc.Prod]
	sold := w.P.way(int(pc.Prod)) == WayPickled
	if sold && !w.finishedFits(pc.Mass) || !sold && w.S.Cold.PickledG+pc.Mass > int64(w.P.Spec.Cold.Pickled.Room*grams) {
		return
	}
	n.Release(u)
	w.pickleLoss(i, pr, w.P.p.pickle)
	// Faster than the acid allows scale is left on 4 % of the coils for every per cent
	// above, on all from 125 % on (assumption).
	if p := w.S.Cold.Pace; p > 1 && w.happens(math.Min(1, 4*(p-1)), luckPickle, uint64(pc.Name), 0) {
		w.note(WordDowngraded, u, pc.Name, pc.Mass, 0, 0)
	}
	if sold {
		w.finish(i, w.P.p.pickle)
		return
	}
	w.toPickled(i, w.P.p.pickle)
}

// pickleLoss books scale dissolved in the acid and edges trimmed.
func (w *Works) pickleLoss(i int32, pr *product, at recordPlace) {
	pc := &w.S.Pieces[i]
	acid := int64(float64(pc.Mass) * pr.acidLoss)
	trim := int64(float64(pc.Mass) * w.P.Spec.Cold.Pickle.Trim / pr.Width)
	w.move(pc.Name, at, w.P.p.acid, acid, stepLost)
	w.move(pc.Name, at, w.P.p.sideTrim, trim, stepLost)
	pc.Mass -= acid + trim
	w.S.InWorks[pc.Prod] -= acid + trim
}

// scrapMass takes part of a piece out as a loss.
func (w *Works) scrapMass(i int32, from, loss recordPlace, g int64) {
	pc := &w.S.Pieces[i]
	if g <= 0 || g >= pc.Mass {
		return
	}
	w.move(pc.Name, from, loss, g, stepLost)
	pc.Mass -= g
	w.S.InWorks[pc.Prod] -= g
}

// looperOut: the entry has stood longer than its looper lasts; the strip stands in
// acid from now on.
func (w *Works) looperOut() {
	c := &w.S.Cold
	c.looper = 0
	if c.LooperDown {
		return
	}
	c.LooperDown = true
	w.S.Net.Set(w.P.u.pickle, flow.CauseDown)
	w.note(WordLooperOut, w.P.u.pickle, -1, 0, 0, 0)
	c.over = w.S.Net.Cal.Book(w.Now()+calendar.Dur(w.P.patience()), calendar.Fail, calendar.Event{Kind: evOverpickled})
}

// patience is how long strip may stand in the acid, s.
func (p *Plant) patience() float64 {
	need := 20.0
	for i := range p.products {
		if p.products[i].Pickled {
			need = math.Max(need, p.products[i].acidNeed)
		}
	}
	return 15 * need // fifteen times the pickling time (assumption)
}

// overpickled: the strip in the tanks has stood too long and is lost.
func (w *Works) overpickled() {
	c := &w.S.Cold
	c.over = 0
	i := w.S.Net.Units[w.P.u.pickle].Piece
	if !c.LooperDown || i < 0 {
		return
	}
	pc := &w.S.Pieces[i]
	// What is in the tanks, not the whole coil.
	l := 0.0
	for _, t := range w.P.Spec.Cold.Pickle.Line.Tanks {
		l += t
	}
	g := int64(l / w.P.products[pc.Prod].strip * float64(pc.Mass))
	if g >= pc.Mass {
		g = pc.Mass / 2
	}
	w.scrapMass(i, w.P.p.pickle, w.P.p.scrap, g)
	w.note(WordScrapped, w.P.u.pickle, pc.Name, g, 0, 0)
}

// pickleBack: the entry works again.
func (w *Works) pickleBack() {
	c := &w.S.Cold
	n := &w.S.Net
	n.Cal.Cancel(c.looper)
	n.Cal.Cancel(c.over)
	c.looper, c.over = 0, 0
	if c.LooperDown {
		c.LooperDown = false
		n.Clear(w.P.u.pickle, flow.CauseDown)
	}
}

// toPickled puts a pickled coil into store.
func (w *Works) toPickled(i int32, from recordPlace) {
	pc := &w.S.Pieces[i]
	pc.Stage = stPickled
	pc.At = w.Now()
	w.move(pc.Name, from, w.P.p.pickled, pc.Mass, stepCold)
	w.S.Cold.PickledG += pc.Mass
	w.S.Net.PushTail(&w.S.Cold.Pickled[pc.Prod], i)
	w.S.Net.Wake(w.P.u.coldMill)
}
