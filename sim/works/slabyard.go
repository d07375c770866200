package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Stores of flow, by number.
const (
	storeYard = iota
	storeConveyor
	storeCoils
	storeDelay
	nStores
)

func (w *Works) yardStore() int { return storeYard }

// intoYard lays a slab down.
func (w *Works) intoYard(i int32) {
	pc := &w.S.Pieces[i]
	pc.Stage = stYard
	w.S.Net.PushTail(&w.S.Yard[pc.Prod], i)
	w.S.YardCount++
}

func (w *Works) wakeCranes() {
	for i := range w.P.Spec.Yard.Cranes {
		w.S.Net.Wake(w.P.u.crane + i)
	}
}

// tryCrane gives an idle crane its next lift. Caster run-outs that are filling
// come first, for liquid steel cannot wait; then the furnaces; then the rest of
// the run-outs.
func (w *Works) tryCrane(i int) {
	u := w.P.u.crane + i
	if !w.S.Net.Units[u].Idle() {
		return
	}
	worst, most := -1, 0.0
	for c := range w.P.Spec.Casters {
		k := &w.S.Casters[c]
		if k.Table.N == 0 {
			continue
		}
		if f := float64(k.Table.N) / float64(w.P.Spec.Casters[c].TableSlabs); f > most {
			worst, most = c, f
		}
	}
	if worst >= 0 && most > 0.4 && w.unload(i, worst) {
		return
	}
	if w.lift(i) {
		return
	}
	if worst >= 0 {
		w.unload(i, worst)
	}
}

// unload takes up to two slabs from a caster's run-out table.
func (w *Works) unload(i, c int) bool {
	k := &w.S.Casters[c]
	n := &w.S.Net
	p0 := k.Table.Head
	if p0 < 0 || !n.Fits(storeYard, w.S.Pieces[p0].Mass) {
		return false
	}
	n.Remove(&k.Table, p0)
	n.Put(storeYard, w.S.Pieces[p0].Mass)
	w.S.Pieces[p0].Stage = stLiftIn
	p1 := k.Table.Head
	if p1 >= 0 && n.Fits(storeYard, w.S.Pieces[p1].Mass) {
		n.Remove(&k.Table, p1)
		n.Put(storeYard, w.S.Pieces[p1].Mass)
		w.S.Pieces[p1].Stage = stLiftIn
	} else {
		p1 = -1
	}
	w.S.Jobs[i] = job{jobUnload, uint8(c), p0, p1}
	n.Start(w.P.u.crane+i, p0, calendar.Dur(w.P.Spec.Yard.LiftTime))
	n.Wake(w.P.u.caster + c)
	return true
}

// lift takes a slab from the yard to the charging table that needs one most.
func (w *Works) lift(i int) bool {
	f := w.chargeFor()
	if f < 0 {
		return false
	}
	p := w.pickSlab()
	if p < 0 {
		return false
	}
	n := &w.S.Net
	pc := &w.S.Pieces[p]
	n.Remove(&w.S.Yard[pc.Prod], p)
	w.S.YardCount--
	pc.Stage = stLiftOut
	w.S.Jobs[i] = job{jobCharge, uint8(f), p, -1}
	w.S.ChargeSeq++
	// Digging: the slab wanted is not always on top. A whole number of extra lifts,
	// by the slab's own luck; taking them as they lie needs none.
	lifts := 1.0
	if d := w.P.Spec.Yard.Digging; d > 0 && w.S.Rule != RuleAsTheyLie {
		whole := math.Floor(d)
		lifts += whole
		if w.happens(d-whole, luckDig, uint64(pc.Name), 0) {
			lifts++
		}
	}
	n.Start(w.P.u.crane+i, p, calendar.Dur(w.P.Spec.Yard.LiftTime*lifts))
	return true
}

func (w *Works) craneDone(i int) {
	n := &w.S.Net
	u := w.P.u.crane + i
	j := w.S.Jobs[i]
	w.S.Jobs[i] = job{}
	n.Release(u)
	switch j.Kind {
	case jobUnload:
		for _, p := range [2]int32{j.P0, j.P1} {
			if p < 0 {
				continue
			}
			pc := &w.S.Pieces[p]
			w.move(pc.Name, w.P.p.table+record.Place(j.On), w.P.p.yard, pc.Mass, stepUnload)
			w.intoYard(p)
		}
		w.wakeCranes()
		n.Wake(w.P.u.haulage)
	case jobCharge:
		pc := &w.S.Pieces[j.P0]
		n.Take(storeYard, pc.Mass)
		f := int(j.On)
		w.move(pc.Name, w.P.p.yard, w.P.p.charge+record.Place(f), pc.Mass, stepCharge2)
		pc.Stage = stCharge
		pc.On = uint8(f)
		n.PushTail(&w.S.Furnaces[f].Table, j.P0)
		n.Wake(w.P.u.furnace + f)
		w.wakeCranes()
	}
}

// chargeFor is the furnace whose charging table should get the next slab, -1
// when all are full.
func (w *Works) chargeFor() int {
	best, least := -1, int32(math.MaxInt32)
	for f := range w.P.Spec.Furnaces {
		k := &w.S.Furnaces[f]
		if k.Jams > 0 || k.Maint {
			continue
		}
		on := k.Table.N
		for i := range w.S.Jobs {
			if w.S.Jobs[i].Kind == jobCharge && int(w.S.Jobs[i].On) == f {
				on++
			}
		}
		if int(on) < w.P.Spec.Furnaces[f].TableSlabs && on < least {
			best, least = f, on
		}
	}
	return best
}

// tryHaulage moves slabs between yard and overflow yard by truck: out while the
// overflow is open and the yard is above its high level, or by standing order above
// that order's; back when it is below normal.
func (w *Works) tryHaulage() {
	s := &w.P.Spec.Yard
	n := &w.S.Net
	u := w.P.u.haulage
	if !n.Units[u].Idle() || s.OverflowRat <= 0 {
		return
	}
	level := w.S.Mass[w.P.p.yard]
	above := w.P.Spec.Standing.OverflowAbove
	if w.S.OverOpen && level > int64(s.High*grams) || above > 0 && level > int64(above*grams) {
		most, from := int32(0), -1
		for p := range w.P.products {
			if w.S.Yard[p].N > most {
				most, from = w.S.Yard[p].N, p
			}
		}
		if from < 0 {
			return
		}
		i := w.S.Yard[from].Head // the coldest, it has least heat to lose
		pc := &w.S.Pieces[i]
		if w.S.Mass[w.P.p.overflow]+pc.Mass > int64(s.Overflow*grams) {
			return
		}
		n.Remove(&w.S.Yard[from], i)
		w.S.YardCount--
		n.Take(storeYard, pc.Mass)
		pc.Stage = stOverflow
		w.move(pc.Name, w.P.p.yard, w.P.p.overflow, pc.Mass, stepHaul)
		n.PushTail(&w.S.Overflow, i)
		n.Start(u, i, calendar.Dur(float64(pc.Mass)/grams/s.OverflowRat))
		w.wakeCranes()
		return
	}
	if w.S.Overflow.N > 0 && level < int64(s.Normal*grams) {
		i := w.S.Overflow.Head
		pc := &w.S.Pieces[i]
		if !n.Fits(storeYard, pc.Mass) {
			return
		}
		n.Remove(&w.S.Overflow, i)
		n.Put(storeYard, pc.Mass)
		w.move(pc.Name, w.P.p.overflow, w.P.p.yard, pc.Mass, stepHaul)
		w.intoYard(i)
		n.Start(u, i, calendar.Dur(float64(pc.Mass)/grams/s.OverflowRat))
		w.wakeCranes()
	}
}

func (w *Works) haulageDone() { w.S.Net.Release(w.P.u.haulage) }
