package works

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// newProgramme changes the rolls between two programmes, unless they were
// changed not long ago.
func (w *Works) newProgramme(run int32) {
	w.S.TrainProg = run
	if !w.rollsDue() {
		return
	}
	w.changeRolls()
}

// rollsDue says whether the rolls have done enough to be changed between programmes.
func (w *Works) rollsDue() bool { return w.S.Since >= int32(w.P.Spec.Train.Programme)/3 }

// endProgramme changes the rolls as soon as the last bar of the programme is
// rolled, so that the next one finds the train ready.
func (w *Works) endProgramme() {
	n := &w.S.Net
	k := &w.P.u
	if !n.Units[k.train].Idle() || !w.rollsDue() {
		return
	}
	for _, u := range [...]int{k.shear, k.rougher, k.descaler} {
		if p := n.Units[u].Piece; p >= 0 && w.S.Pieces[p].Run <= w.S.TrainProg {
			return
		}
	}
	if p := w.S.Delay.Head; p >= 0 && w.S.Pieces[p].Run <= w.S.TrainProg {
		return
	}
	run := w.S.TrainProg
	for f := range w.P.Spec.Furnaces {
		p := w.S.Furnaces[f].Row.Head
		if p < 0 || w.S.Furnaces[f].Jams > 0 || w.doorTime(f) == calendar.Never { // what cannot come out is not waited for
			continue
		}
		if w.S.Pieces[p].Run <= w.S.TrainProg {
			return
		}
		run = w.S.Pieces[p].Run
	}
	if run > w.S.TrainProg {
		w.newProgramme(run)
	}
}

// changeRolls takes the train out for a roll change.
func (w *Works) changeRolls() {
	n := &w.S.Net
	u := w.P.u.train
	n.Set(u, flow.CauseChangeover)
	w.S.rollsEnd = w.Now() + calendar.Dur(w.P.Spec.Train.RollChange)
	n.Cal.Book(w.S.rollsEnd, calendar.Restore, calendar.Event{Kind: evRolls})
	w.note(WordRolls, u, -1, int64(w.S.Since), 0, 0)
	w.S.Since = 0
}

func (w *Works) rollsChanged() {
	w.S.Net.Clear(w.P.u.train, flow.CauseChangeover)
	w.wakeMill()
}

func (w *Works) wakeMill() {
	n := &w.S.Net
	k := &w.P.u
	n.Wake(k.descaler)
	n.Wake(k.rougher)
	n.Wake(k.shear)
	n.Wake(k.train)
}

// toTrain starts the strip: it needs the train and a coiler at once.
func (w *Works) toTrain() {
	n := &w.S.Net
	k := &w.P.u
	s := &w.P.Spec.Train
	if !n.Units[k.shear].Finished() || !n.Units[k.train].Idle() || !n.Units[k.runOut].Able() {
		return
	}
	c := w.freeCoiler()
	if c < 0 {
		return
	}
	i := n.Release(k.shear)
	pc := &w.S.Pieces[i]
	pr := &w.P.products[pc.Prod]
	tc := w.barC(pc)
	sec, _, ok := pr.finish.at(tc)
	if !ok {
		w.scrapPiece(i, w.P.p.shear, w.P.p.scrap, WordRejected)
		n.Wake(k.shear)
		return
	}
	crop := pr.cropMass
	if crop > pc.Mass/2 {
		crop = 0
	}
	w.move(pc.Name, w.P.p.shear, w.P.p.crop, crop, stepShear)
	pc.Mass -= crop
	w.S.InWorks[pc.Prod] -= crop
	pc.Stage = stTrain
	w.move(pc.Name, w.P.p.shear, w.P.p.train, pc.Mass, stepTrain)
	sec *= w.drawLaw(s.Scatter, luckTrain, uint64(pc.Name), 0)
	if w.S.Since == 0 && pc.Run > w.S.TrainProg {
		w.S.TrainProg = pc.Run
	}
	w.S.Since++
	pc.On = uint8(c)
	// The coiler winds while the train rolls, and is stripped afterwards.
	roll := calendar.Dur(sec)
	n.Start(k.coil+c, i, roll+calendar.Dur(w.P.Spec.Coilers.StripOut))
	n.Start(k.train, i, roll+calendar.Dur(s.Train.Gap))
	w.stripOn()
	w.cobbleByUse(i)
}

func (w *Works) tryTrain() {
	n := &w.S.Net
	k := &w.P.u
	if n.Units[k.train].Finished() {
		w.rolled()
	}
	w.endProgramme()
	n.Wake(k.shear)
	n.Wake(k.descaler)
}

// rolled: the strip has left the train; it is on the coiler.
func (w *Works) rolled() {
	n := &w.S.Net
	k := &w.P.u
	if !n.Units[k.train].Finished() {
		return
	}
	i := n.Release(k.train)
	pc := &w.S.Pieces[i]
	w.move(pc.Name, w.P.p.train, w.P.p.coiler, pc.Mass, stepCoil)
	pc.Stage = stCoiler
	w.stripOff()
	if w.S.StagePace > 0 && w.S.Easy <= 0 {
		w.S.StagePace = 0
	}
	n.Wake(k.shear)
	n.Wake(k.descaler)
	n.Wake(k.coil + int(pc.On))
}
