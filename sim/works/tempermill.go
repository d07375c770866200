package works

import "millrace/sim/calendar"

// tryTemper rolls cool annealed coils by a per cent or so.
func (w *Works) tryTemper() {
	n := &w.S.Net
	u := w.P.u.temper
	if n.Units[u].Finished() {
		i := n.Units[u].Piece
		if !w.finishedFits(w.S.Pieces[i].Mass) {
			return
		}
		n.Release(u)
		pc := &w.S.Pieces[i]
		w.scrapMass(i, w.P.p.temper, w.P.p.temperEnds, int64(float64(pc.Mass)*w.P.products[pc.Prod].temperLoss))
		w.finish(i, w.P.p.temper)
	}
	for w.S.Cold.SkipTemper && w.S.Cold.Ready.N > 0 && w.finishedFits(w.S.Pieces[w.S.Cold.Ready.Head].Mass) {
		i := n.PopHead(&w.S.Cold.Ready)
		pc := &w.S.Pieces[i]
		w.S.Cold.AnnealG -= pc.Mass
		// Sold untempered, at a lower price.
		w.note(WordDowngraded, u, pc.Name, pc.Mass, 0, 0)
		w.finish(i, w.P.p.annealed)
		w.wakeBellCranes()
	}
	if !n.Units[u].Idle() || w.S.Cold.Ready.N == 0 {
		return
	}
	i := n.PopHead(&w.S.Cold.Ready)
	pc := &w.S.Pieces[i]
	w.S.Cold.AnnealG -= pc.Mass
	pc.Stage = stTemper
	w.move(pc.Name, w.P.p.annealed, w.P.p.temper, pc.Mass, stepCold)
	n.Start(u, i, calendar.Dur(w.P.products[pc.Prod].temperS/w.overtime(w.P.Spec.Cold.Temper.Overtime)))
	w.wakeBellCranes()
}
