package works

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// The descaler draws slabs from the furnaces: a slab is drawn so that it reaches
// the rougher as that becomes free, and the train after it, for a bar that waits
// loses its heat.

func (w *Works) tryDescaler() {
	n := &w.S.Net
	k := &w.P.u
	d := &n.Units[k.descaler]
	if d.Finished() {
		w.toRougher()
	}
	if !d.Idle() || !w.millCalls() {
		return
	}
	f := w.nextDoor()
	if f < 0 {
		return
	}
	s := &w.P.Spec
	transit := calendar.Dur(s.Rougher.Mill.Approach)
	door := &w.S.Pieces[w.S.Furnaces[f].Row.Head]
	w.endProgramme()
	at := w.Now()
	if r := &n.Units[k.rougher]; r.Piece >= 0 {
		if t := w.Now() + n.Left(k.rougher) - transit; t > at {
			at = t
		}
		if r.Finished() || w.S.Delay.N > 1 {
			return // the rougher wakes us when it gives its bar away
		}
	}
	// Pacing to the train: the bar should not wait for it longer than it must.
	if t := w.trainFree(); t != calendar.Never {
		sec, _, _ := w.P.products[door.Prod].rough.at(float64(s.Furnaces[f].Discharge))
		if door.Run > w.S.TrainProg && !n.Units[k.train].Has(flow.CauseChangeover) && w.rollsDue() {
			t += calendar.Dur(s.Train.RollChange)
		}
		if at2 := t - transit - calendar.Dur(sec); at2 > at {
			at = at2
		}
	}
	if at > w.Now() {
		n.Cal.Cancel(w.S.pacer)
		w.S.pacer = w.wakeAt(at, k.descaler)
		return
	}
	i := w.draw(f)
	pc := &w.S.Pieces[i]
	pc.Stage = stDescaler
	w.move(pc.Name, w.P.p.furnace+placeOf(f), w.P.p.descaler, pc.Mass, stepDraw)
	w.note(WordDrawn, k.furnace+f, pc.Name, int64(float64(pc.TC)*10), pc.Mass, 0)
	n.Start(k.descaler, i, transit)
}

// millCalls says whether the mill wants slabs: not while rougher or train stand
// without a known end.
func (w *Works) millCalls() bool {
	n := &w.S.Net
	k := &w.P.u
	if w.S.draining > 0 || !n.Units[k.rougher].Able() || !n.Units[k.shear].Able() {
		return false
	}
	t := &n.Units[k.train]
	if t.Has(flow.CauseDown) || t.Has(flow.CauseMaintenance) || t.Has(flow.CauseOffShift) {
		return false
	}
	if n.Units[k.runOut].Has(flow.CauseDown) || n.Units[k.conveyor].Has(flow.CauseDown) && w.S.Conveyor.N >= int32(w.P.Spec.Conveyor.Places)-conveyorSpare-1 {
		return false
	}
	if w.S.Conveyor.N >= int32(w.P.Spec.Conveyor.Places)-conveyorSpare {
		return false
	}
	return w.ableCoilers() > 0
}

// trainFree is when the train will be free of all bars ahead, Never when it
// cannot be said.
func (w *Works) trainFree() calendar.Time {
	n := &w.S.Net
	k := &w.P.u
	t := w.Now()
	u := &n.Units[k.train]
	if u.Has(flow.CauseChangeover) {
		t = w.S.rollsEnd
	} else if u.Piece >= 0 {
		t += n.Left(k.train)
	}
	gap := w.P.Spec.Train.Train.Gap
	add := func(i int32) {
		pc := &w.S.Pieces[i]
		sec, _, ok := w.P.products[pc.Prod].finish.at(float64(pc.TC) - 20)
		if ok {
			t += calendar.Dur(sec + gap)
		}
	}
	for i := w.S.Delay.Head; i >= 0; i = n.After(i) {
		add(i)
	}
	if p := n.Units[k.shear].Piece; p >= 0 {
		add(p)
	}
	if p := n.Units[k.rougher].Piece; p >= 0 {
		add(p)
	}
	return t
}

// nextDoor is the furnace from which the next slab is drawn: of those whose slab
// is at heat, the one charged first.
func (w *Works) nextDoor() int {
	best := -1
	for f := range w.P.Spec.Furnaces {
		k := &w.S.Furnaces[f]
		if !k.DoorWait || k.Jams > 0 || k.Row.N == 0 {
			continue
		}
		if best < 0 {
			best = f
			continue
		}
		a, b := &w.S.Pieces[k.Row.Head], &w.S.Pieces[w.S.Furnaces[best].Row.Head]
		if a.Run != b.Run && a.Run < b.Run || a.Run == b.Run && k.Row.N > w.S.Furnaces[best].Row.N {
			best = f
		}
	}
	return best
}
