package works

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// Batch annealing: bases stand still, heating bells and coolers go from base to
// base by crane. A base that has all but a crane waits for the crane.

func (w *Works) wakeBellCranes() {
	for i := range w.P.Spec.Cold.Anneal.Cranes {
		w.S.Net.Wake(w.P.u.bellCrane + i)
	}
}

// baseState is the state a stage counts as.
func baseState(s baseStage) flow.State {
	switch s {
	case bsFree:
		return flow.Starved
	case bsLoading, bsPurging, bsBellOn, bsHeating, bsBellOff, bsCoolerOn, bsCooling, bsCoolerOff, bsUnloading:
		return flow.Running
	}
	return flow.Blocked
}

func (w *Works) setBase(b int, s baseStage) {
	k := &w.S.Cold.Bases[b]
	w.S.Net.Shift(w.P.u.bases, baseState(k.Stage), baseState(s), 1)
	k.Stage = s
	k.At = w.Now()
}

// tryBellCrane gives an idle crane its next job. Bells come off first, for a bell
// is what the shop lacks most; then coolers, unloading, bells on, and loading last.
func (w *Works) tryBellCrane(c int) {
	n := &w.S.Net
	u := w.P.u.bellCrane + c
	if !n.Units[u].Idle() {
		return
	}
	s := &w.P.Spec.Cold.Anneal
	cs := &w.S.Cold
	best, rank := -1, 99
	for b := range s.Bases {
		r := 99
		switch cs.Bases[b].Stage {
		case bsNeedsBellOff:
			r = 0
		case bsNeedsCoolerOff:
			r = 1
		case bsNeedsCooler:
			if cs.CoolersFree > 0 {
				r = 2
			}
		case bsNeedsUnload:
			if w.annealedFits(b) {
				r = 3
			}
		case bsNeedsBell:
			if cs.BellsFree > 0 && cs.GasOut == 0 {
				r = 4
			}
		case bsFree:
			if cs.GasOut == 0 {
				r = 5
			}
		}
		if r < rank || r == rank && r != 99 && cs.Bases[b].At < cs.Bases[best].At {
			if r == 5 && (w.nextStack() < 0 || !w.mayBuild()) {
				continue
			}
			best, rank = b, r
		}
	}
	if best < 0 || rank == 99 {
		return
	}
	d := s.Handling.BellOff
	switch rank {
	case 0:
		w.setBase(best, bsBellOff)
	case 1:
		d = s.Handling.CoolerOff
		w.setBase(best, bsCoolerOff)
	case 2:
		d = s.Handling.CoolerOn
		cs.CoolersFree--
		w.setBase(best, bsCoolerOn)
	case 3:
		d = s.Handling.Unload
		w.setBase(best, bsUnloading)
	case 4:
		d = s.Handling.BellOn
		cs.BellsFree--
		w.setBase(best, bsBellOn)
	case 5:
		d = s.Handling.Load
		w.loadStack(best)
		w.setBase(best, bsLoading)
	}
	cs.Jobs[c] = int16(best)
	n.Start(u, int32(best), calendar.Dur(d))
}

// bellCraneDone is the end of a crane's job.
func (w *Works) bellCraneDone(c int) {
	n := &w.S.Net
	n.Release(w.P.u.bellCrane + c)
	b := int(w.S.Cold.Jobs[c])
	w.S.Cold.Jobs[c] = -1
	if b < 0 {
		return
	}
	s := &w.P.Spec.Cold.Anneal
	k := &w.S.Cold.Bases[b]
	pr := &w.P.products[max(0, int(k.Prod))]
	book := func(d float64) {
		k.h = n.Cal.Book(w.Now()+calendar.Dur(d), calendar.Finish, calendar.Event{Kind: evBase, A: int32(b)})
	}
	switch k.Stage {
	case bsLoading:
		w.setBase(b, bsPurging)
		book(s.Handling.LeakTest + s.Handling.Purge)
	case bsBellOn:
		w.setBase(b, bsHeating)
		if w.S.Cold.GasOut > 0 {
			k.Left = calendar.Dur(pr.heatS)
		} else {
			book(pr.heatS)
		}
	case bsBellOff:
		w.S.Cold.BellsFree++
		w.setBase(b, bsNeedsCooler)
	case bsCoolerOn:
		w.setBase(b, bsCooling)
		book(pr.baseCoolS + s.Handling.PostPurge)
	case bsCoolerOff:
		w.S.Cold.CoolersFree++
		w.setBase(b, bsNeedsUnload)
	case bsUnloading:
		w.unloadStack(b)
		w.setBase(b, bsFree)
	}
	w.wakeBellCranes()
}

// baseDone: what a base does by itself has ended.
func (w *Works) baseDone(b int) {
	k := &w.S.Cold.Bases[b]
	k.h = 0
	switch k.Stage {
	case bsPurging:
		w.setBase(b, bsNeedsBell)
	case bsHeating:
		w.setBase(b, bsNeedsBellOff)
	case bsCooling:
		w.setBase(b, bsNeedsCoolerOff)
	}
	w.wakeBellCranes()
}

// mayBuild is the standing order of the annealing shop: below half way between the low
// and the normal level of hard coils no stack is begun, so that widths can be chosen
// and a hole that comes through is made good while bases stand empty.
func (w *Works) mayBuild() bool {
	b := &w.P.Spec.Cold.Hard
	return float64(w.S.Cold.HardG)/grams >= (b.Low+b.Normal)/2
}

// nextStack is the product of which a full stack can be loaded, the fullest first;
// -1 when there is none.
func (w *Works) nextStack() int {
	best, most := -1, int32(w.P.Spec.Cold.Anneal.StackCoils)-1
	for p := range w.P.products {
		if n := w.S.Cold.Hard[p].N; n > most {
			best, most = p, n
		}
	}
	return best
}

func (w *Works) loadStack(b int) {
	k := &w.S.Cold.Bases[b]
	p := w.nextStack()
	k.Prod, k.N = int16(p), 0
	for range w.P.Spec.Cold.Anneal.StackCoils {
		i := w.S.Net.PopHead(&w.S.Cold.Hard[p])
		if i < 0 {
			break
		}
		pc := &w.S.Pieces[i]
		pc.Stage = stBase
		w.S.Cold.HardG -= pc.Mass
		w.move(pc.Name, w.P.p.hard, w.P.p.bases, pc.Mass, stepCold)
		k.Coils[k.N] = i
		k.N++
	}
	w.S.Net.Wake(w.P.u.coldMill)
}

// annealedFits says whether the cooling floor has room for the stack.
func (w *Works) annealedFits(b int) bool {
	k := &w.S.Cold.Bases[b]
	g := w.S.Cold.AnnealG
	for i := int8(0); i < k.N; i++ {
		g += w.S.Pieces[k.Coils[i]].Mass
	}
	return g <= int64(w.P.Spec.Cold.Annealed.Room*grams)
}

func (w *Works) unloadStack(b int) {
	k := &w.S.Cold.Bases[b]
	n := &w.S.Net
	for j := int8(0); j < k.N; j++ {
		i := k.Coils[j]
		pc := &w.S.Pieces[i]
		w.move(pc.Name, w.P.p.bases, w.P.p.annealed, pc.Mass, stepCold)
		pc.Stage = stFloor
		pc.At = w.Now()
		w.S.Cold.AnnealG += pc.Mass
		n.PushTail(&w.S.Cold.Floor, i)
		n.Cal.Book(w.Now()+calendar.Dur(w.P.Spec.Cold.Anneal.Floor), calendar.Finish, calendar.Event{Kind: evFloor, A: i})
	}
	k.N, k.Prod = 0, -1
}

// floorCool: an annealed coil may be temper rolled from now on.
func (w *Works) floorCool(i int32) {
	pc := &w.S.Pieces[i]
	if pc.Stage != stFloor {
		return
	}
	n := &w.S.Net
	n.Remove(&w.S.Cold.Floor, i)
	pc.Stage = stReady
	n.PushTail(&w.S.Cold.Ready, i)
	n.Wake(w.P.u.temper)
}

// gasLost: protective gas is out. Heating stops under an emergency purge, nothing
// is started.
func (w *Works) gasLost() {
	c := &w.S.Cold
	c.GasOut++
	if c.GasOut > 1 {
		return
	}
	for b := range w.P.Spec.Cold.Anneal.Bases {
		k := &c.Bases[b]
		if k.Stage == bsHeating && k.h != 0 {
			done := w.Now() - k.At
			k.Left = calendar.Dur(w.P.products[k.Prod].heatS) - done
			if k.Left < 0 {
				k.Left = 0
			}
			w.S.Net.Cal.Cancel(k.h)
			k.h = 0
		}
	}
}

// gasBack: heating goes on after every base is purged again.
func (w *Works) gasBack() {
	c := &w.S.Cold
	if c.GasOut--; c.GasOut > 0 {
		return
	}
	purge := calendar.Dur(w.P.Spec.Cold.Anneal.Handling.Purge)
	for b := range w.P.Spec.Cold.Anneal.Bases {
		k := &c.Bases[b]
		if k.Stage == bsHeating && k.h == 0 {
			k.At = w.Now() + purge + k.Left - calendar.Dur(w.P.products[k.Prod].heatS) // as if it had heated on
			k.h = w.S.Net.Cal.Book(w.Now()+purge+k.Left, calendar.Finish, calendar.Event{Kind: evBase, A: int32(b)})
		}
	}
	w.wakeBellCranes()
}

// baseFault: the fan, seal or cover of a heating base fails; when that is repaired its
// charge is heated again from the start. Which base is a matter of luck.
func (w *Works) baseFault(lasts calendar.Time, u float64) {
	c := &w.S.Cold
	heating := 0
	for b := range w.P.Spec.Cold.Anneal.Bases {
		if c.Bases[b].Stage == bsHeating {
			heating++
		}
	}
	pick := int(u * float64(heating))
	for b := range w.P.Spec.Cold.Anneal.Bases {
		k := &c.Bases[b]
		if k.Stage != bsHeating {
			continue
		}
		if pick--; pick >= 0 {
			continue
		}
		heat := calendar.Dur(w.P.products[k.Prod].heatS)
		if k.h == 0 { // protective gas is out
			k.Left = heat + lasts
			return
		}
		w.S.Net.Cal.Cancel(k.h)
		k.At = w.Now() + lasts
		k.h = w.S.Net.Cal.Book(k.At+heat, calendar.Finish, calendar.Event{Kind: evBase, A: int32(b)})
		return
	}
}
