package works

// ableCoilers counts coilers that can work.
func (w *Works) ableCoilers() int {
	n := 0
	for c := range w.P.Spec.Coilers.Names {
		if w.S.Net.Units[w.P.u.coil+c].Able() {
			n++
		}
	}
	return n
}

// freeCoiler is the coiler that takes the next strip, -1 when there is none. The
// first ones alternate; the rest stand by for one that cannot work.
func (w *Works) freeCoiler() int {
	use := w.P.Spec.Coilers.InUse
	for c := range w.P.Spec.Coilers.Names {
		u := &w.S.Net.Units[w.P.u.coil+c]
		if !u.Able() {
			continue
		}
		if use == 0 {
			return -1
		}
		use--
		if u.Piece < 0 {
			return c
		}
	}
	return -1
}

// tryCoiler gives a stripped coil to the conveyor.
func (w *Works) tryCoiler(c int) {
	n := &w.S.Net
	u := w.P.u.coil + c
	if !n.Units[u].Finished() {
		return
	}
	i := n.Units[u].Piece
	pc := &w.S.Pieces[i]
	if pc.Stage != stCoiler || w.S.Conveyor.N >= int32(w.P.Spec.Conveyor.Places) {
		return
	}
	n.Release(u)
	pc.Stage = stConveyor
	pc.At = w.Now()
	w.move(pc.Name, w.P.p.coiler, w.P.p.conveyor, pc.Mass, stepStrip)
	n.PushTail(&w.S.Conveyor, i)
	n.Wake(w.P.u.conveyor)
	n.Wake(w.P.u.shear)
	n.Wake(w.P.u.descaler)
}
