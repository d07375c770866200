package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// What is taken behind the coil floor, as rates: the pickle line draws cool
// coils of pickled products, dispatch draws cool hot band.

// feedFactor follows the cool stock: the feed slows as the stock falls below its
// normal level and rises above it, by at most the swing people allow.
func feedFactor(level int64, b Band, swing float64) float64 {
	x := float64(level) / grams
	if x >= b.Normal {
		return 1 + swing*math.Min(1, (x-b.Normal)/math.Max(1, b.High-b.Normal))
	}
	return 1 - swing*math.Min(1, (b.Normal-x)/math.Max(1, b.Normal-b.Low))
}

func (w *Works) tryPickle() {
	w.takeCoil(w.P.u.pickle, &w.S.CoolPick, &w.S.CoolPickG, w.P.Spec.Demand.Pickle, w.P.Spec.CoilYard.Cool, w.P.p.pickle)
}

func (w *Works) tryDispatch() {
	w.takeCoil(w.P.u.dispatch, &w.S.CoolHot, &w.S.CoolHotG, w.P.Spec.Demand.Dispatch, w.P.Spec.CoilYard.CoolHot, w.P.p.dispatch)
}

func (w *Works) takeCoil(u int, l *flow.List, stock *int64, rate float64, b Band, to record.Place) {
	n := &w.S.Net
	if n.Units[u].Finished() {
		if u == w.P.u.pickle {
			w.pickled()
		} else {
			w.dispatched()
		}
	}
	if !n.Units[u].Idle() || l.N == 0 || rate <= 0 {
		return
	}
	f := feedFactor(*stock, b, w.P.Spec.Standing.PickleSwing)
	i := n.PopHead(l)
	pc := &w.S.Pieces[i]
	*stock -= pc.Mass
	w.standingFans()
	n.Take(storeCoils, pc.Mass)
	pc.Stage = stTaken
	w.move(pc.Name, w.P.p.coilYard, to, pc.Mass, stepTaken)
	n.Start(u, i, calendar.Dur(float64(pc.Mass)/grams/(rate*f)))
	n.Wake(w.P.u.conveyor)
}

func (w *Works) pickled() { w.leave(w.P.u.pickle, w.P.p.pickle, w.P.p.toPickle) }

func (w *Works) dispatched() { w.leave(w.P.u.dispatch, w.P.p.dispatch, w.P.p.hotBand) }

// leave counts a coil as delivered and books it on the oldest open order line of
// its product.
func (w *Works) leave(u int, from, to record.Place) {
	n := &w.S.Net
	if !n.Units[u].Finished() {
		return
	}
	i := n.Release(u)
	pc := &w.S.Pieces[i]
	w.emit(record.Event{Kind: record.Move, From: from, To: to, Mass: pc.Mass, Piece: pc.Name, A: stepGone, B: int32(pc.Prod), X: int64(pc.Flag & flagSecondary)})
	w.S.Mass[from] -= pc.Mass
	w.S.Mass[to] += pc.Mass
	w.credit(int(pc.Prod), pc.Mass)
	w.freePiece(i)
}
