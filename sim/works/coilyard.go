package works

// coilCool: a coil may be pickled or dispatched from now on.
func (w *Works) coilCool(i int32) {
	n := &w.S.Net
	pc := &w.S.Pieces[i]
	if pc.Stage != stCooling {
		return
	}
	pc.Stage = stCool
	w.S.Cooling -= pc.Mass
	// Cooled fast and unevenly, or under water: a few lose their shape or rust.
	if pc.Flag&flagForced != 0 && pc.Flag&flagSecondary == 0 && w.happens(w.P.Spec.CoilYard.ForcedSpoil, luckForced, uint64(pc.Name), 0) {
		w.note(WordDowngraded, -1, pc.Name, pc.Mass, 0, 0)
	}
	if w.P.products[pc.Prod].Pickled {
		n.PushTail(&w.S.CoolPick, i)
		w.S.CoolPickG += pc.Mass
		n.Wake(w.P.u.pickle)
		w.standingFans()
		if w.S.Cold.Outside {
			n.Wake(w.P.u.outside)
		}
	} else {
		n.PushTail(&w.S.CoolHot, i)
		w.S.CoolHotG += pc.Mass
		n.Wake(w.P.u.dispatch)
	}
	w.note(WordCool, -1, pc.Name, pc.Mass, int64(pc.Prod), 0)
}
