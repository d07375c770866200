package works

import "millrace/sim/calendar"

// tryShear crops the bar on the delay table when the train can take it.
func (w *Works) tryShear() {
	n := &w.S.Net
	k := &w.P.u
	sh := &n.Units[k.shear]
	if sh.Finished() {
		w.toTrain()
		return
	}
	if !sh.Idle() || w.S.Delay.N == 0 || !n.Units[k.train].Idle() || !n.Units[k.runOut].Able() {
		return
	}
	i := w.S.Delay.Head
	pc := &w.S.Pieces[i]
	if pc.Run > w.S.TrainProg && w.S.Since > 0 {
		w.newProgramme(pc.Run)
		if !n.Units[k.train].Able() {
			return
		}
	}
	if w.freeCoiler() < 0 {
		return
	}
	n.Remove(&w.S.Delay, i)
	w.bookReject()
	pc.Stage = stShear
	w.move(pc.Name, w.P.p.delay, w.P.p.shear, pc.Mass, stepShear)
	n.Start(k.shear, i, calendar.Dur(w.P.Spec.Train.ShearTime))
	n.Wake(k.rougher)
	n.Wake(k.descaler)
}
