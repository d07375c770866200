package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// The tandem mill rolls pickled coils one by one.

func (w *Works) tryColdMill() {
	n := &w.S.Net
	u := w.P.u.coldMill
	c := w.P.Spec.Cold
	if n.Units[u].Finished() {
		w.coldDone()
	}
	if !n.Units[u].Idle() {
		return
	}
	if c.Mill.RollCoils > 0 && int(w.S.Cold.MillSince) >= c.Mill.RollCoils {
		w.coldRolls()
		return
	}
	prod := w.coldNext()
	if prod < 0 {
		return
	}
	i := n.PopHead(&w.S.Cold.Pickled[prod])
	pc := &w.S.Pieces[i]
	f := feedFactor(w.S.Cold.PickledG, c.Pickled, w.P.Spec.Standing.PickleSwing)
	w.S.Cold.PickledG -= pc.Mass
	pc.Stage = stColdMill
	w.move(pc.Name, w.P.p.pickled, w.P.p.coldMill, pc.Mass, stepCold)
	t := w.P.products[pc.Prod].millS * w.drawLaw(c.Mill.Scatter, luckColdMill, uint64(pc.Name), 0)
	t = math.Max(t, float64(pc.Mass)/grams/(w.P.coldFeed*f))
	w.S.Cold.MillSince++
	w.S.Cold.MillProd = int16(prod)
	n.Start(u, i, calendar.Dur(t))
	n.Wake(w.P.u.pickle)
	n.Wake(w.P.u.outside)
}

// coldNext is the product to roll next: the one in hand while it lasts, then the
// one with the most in store. By due date, what is due first and not yet behind the
// mill goes before all of that.
func (w *Works) coldNext() int {
	best, most, due := -1, -1.0, math.Inf(1)
	behind := w.behindColdMill()
	for p := range w.P.products {
		if w.S.Cold.Pickled[p].N == 0 {
			continue
		}
		x, d := float64(w.S.Cold.Pickled[p].N), math.Inf(1)
		if w.S.Cold.ByDue {
			d = w.dueFirst(p, behind[p])
		}
		if int16(p) == w.S.Cold.MillProd {
			x *= 1.5 // a change of width costs more than a coil
		}
		if d < due || d == due && x > most {
			best, most, due = p, x, d
		}
	}
	return best
}

// behindColdMill is what has been cold rolled and not left, g by product; nothing
// where nobody asks for it.
func (w *Works) behindColdMill() (g [maxProducts]int64) {
	if !w.S.Cold.ByDue {
		return g
	}
	for i := range w.S.Pieces {
		switch pc := &w.S.Pieces[i]; pc.Stage {
		case stHard, stBase, stFloor, stReady, stTemper, stFinished:
			g[pc.Prod] += pc.Mass
		}
	}
	return g
}

func (w *Works) coldDone() {
	n := &w.S.Net
	u := w.P.u.coldMill
	if !n.Units[u].Finished() {
		return
	}
	i := n.Units[u].Piece
	pc := &w.S.Pieces[i]
	sold := w.P.way(int(pc.Prod)) == WayHard
	if sold && !w.finishedFits(pc.Mass) || !sold && w.S.Cold.HardG+pc.Mass > int64(w.P.Spec.Cold.Hard.Room*grams) {
		return
	}
	n.Release(u)
	w.scrapMass(i, w.P.p.coldMill, w.P.p.coldEnds, int64(float64(pc.Mass)*w.P.Spec.Cold.Mill.Crop))
	if sold {
		w.finish(i, w.P.p.coldMill)
		return
	}
	pc.Stage = stHard
	pc.At = w.Now()
	w.move(pc.Name, w.P.p.coldMill, w.P.p.hard, pc.Mass, stepCold)
	w.S.Cold.HardG += pc.Mass
	n.PushTail(&w.S.Cold.Hard[pc.Prod], i)
	w.wakeBellCranes()
}

// coldRolls changes the work rolls.
func (w *Works) coldRolls() {
	n := &w.S.Net
	u := w.P.u.coldMill
	n.Set(u, flow.CauseChangeover)
	w.S.Cold.MillSince = 0
	n.Cal.Book(w.Now()+calendar.Dur(w.P.Spec.Cold.Mill.RollChange), calendar.Restore, calendar.Event{Kind: evColdRolls})
}

func (w *Works) coldRollsChanged() { w.S.Net.Clear(w.P.u.coldMill, flow.CauseChangeover) }
