package works

import "millrace/sim/calendar"

// Coils may be sent outside to be pickled. Trucks take them one by one, at the rate of
// the works file; each comes back pickled after the time of the works file, and waits
// outside while the store of pickled coils is full.

// tryOutside lets in what is back and sends the oldest cool coil that goes on to the
// cold mill, while people have ordered so.
func (w *Works) tryOutside() {
	n := &w.S.Net
	u := w.P.u.outside
	c := w.P.Spec.Cold
	cs := &w.S.Cold
	for i := cs.Back.Head; i >= 0; i = cs.Back.Head {
		pc := &w.S.Pieces[i]
		if cs.PickledG+pc.Mass > int64(c.Pickled.Room*grams) {
			break
		}
		n.Remove(&cs.Back, i)
		cs.AwayG -= pc.Mass
		w.pickleLoss(i, &w.P.products[pc.Prod], w.P.p.outside)
		w.toPickled(i, w.P.p.outside)
	}
	if n.Units[u].Finished() { // on its truck
		i := n.Release(u)
		n.PushTail(&cs.Away, i)
		n.Cal.Book(w.Now()+calendar.Dur(c.Pickle.OutBack), calendar.Finish, calendar.Event{Kind: evOutside, A: i})
	}
	if !cs.Outside || !n.Units[u].Idle() || c.Pickle.Outside <= 0 || w.S.CoolPick.N == 0 {
		return
	}
	i := w.S.CoolPick.Head
	for i >= 0 && w.P.way(int(w.S.Pieces[i].Prod)) == WayPickled {
		i = n.After(i)
	}
	if i < 0 {
		return
	}
	pc := &w.S.Pieces[i]
	n.Remove(&w.S.CoolPick, i)
	w.S.CoolPickG -= pc.Mass
	w.standingFans()
	n.Take(storeCoils, pc.Mass)
	pc.Stage = stOutside
	cs.AwayG += pc.Mass
	w.move(pc.Name, w.P.p.coilYard, w.P.p.outside, pc.Mass, stepOutside)
	n.Start(u, i, calendar.Dur(float64(pc.Mass)/grams/c.Pickle.Outside))
	n.Wake(w.P.u.conveyor)
}

// outsideBack: a coil is back at the gate.
func (w *Works) outsideBack(i int32) {
	n := &w.S.Net
	n.Remove(&w.S.Cold.Away, i)
	n.PushTail(&w.S.Cold.Back, i)
	n.Wake(w.P.u.outside)
}
