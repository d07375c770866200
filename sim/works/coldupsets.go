package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// coldEffect is what an upset of the cold side does at once; it reports whether the
// kind is one of them.
func (w *Works) coldEffect(s *UpsetSpec, u int) bool {
	n := &w.S.Net
	c := &w.S.Cold
	switch s.Kind {
	case WeldBreak:
		// The entry stands; the acid goes on from the looper.
		t := 0.0
		if i := n.Units[w.P.u.pickle].Piece; i >= 0 {
			t = w.P.products[w.S.Pieces[i].Prod].looperS
		}
		if c.looper == 0 {
			c.LooperAt = w.Now() + calendar.Dur(t)
			c.looper = n.Cal.Book(c.LooperAt, calendar.Fail, calendar.Event{Kind: evLooper})
		}
	case LooperExhausted:
		w.looperOut()
	case TankBreak:
		w.tearPickled()
	case AcidOut:
		w.repace(u)
	case ColdMillBreak:
		w.tearCold()
	case GasLost:
		w.gasLost()
	case DispatchBlocked:
		c.Blocked++
	case BellCraneOut:
	default:
		return false
	}
	return true
}

// coldEnd gives back what an upset of the cold side took; it reports whether
// everything is done.
func (w *Works) coldEnd(s *UpsetSpec, u int) bool {
	switch s.Kind {
	case WeldBreak, LooperExhausted:
		if !w.otherActive(WeldBreak) && !w.otherActive(LooperExhausted) {
			w.pickleBack()
		}
		w.S.Net.Wake(w.P.u.pickle)
		return true
	case AcidOut:
		w.repace(u)
		return true
	case GasLost:
		w.gasBack()
		return true
	case DispatchBlocked:
		w.S.Cold.Blocked--
		return false
	}
	return false
}

// otherActive says whether an upset of the kind lasts.
func (w *Works) otherActive(k UpsetKind) bool {
	for i := range w.S.Upsets {
		if w.S.Upsets[i].Active && w.upsetSpec(w.S.Upsets[i].Spec).Kind == k {
			return true
		}
	}
	return false
}

// ableBellCrane is a bell crane that works, -1 for none.
func (w *Works) ableBellCrane() int {
	for i := range w.P.Spec.Cold.Anneal.Cranes {
		if u := w.P.u.bellCrane + i; w.S.Net.Units[u].Able() {
			return u
		}
	}
	return -1
}

// forceCooling puts fans or water on the coil floor: what is left of every coil's
// cooling shrinks to the share that physics gives for the forced coefficient.
func (w *Works) forceCooling(on bool) {
	if w.S.Cold.Forced == on {
		return
	}
	w.S.Cold.Forced = on
	cal := &w.S.Net.Cal
	for i := range w.S.Pieces {
		pc := &w.S.Pieces[i]
		if pc.Stage != stCooling || !cal.Pending(pc.cool) {
			continue
		}
		pr := &w.P.products[pc.Prod]
		f := pr.forced
		if !on {
			f = 1 / f
		}
		if on {
			pc.Flag |= flagForced
		}
		left := float64(pc.CoolAt-w.Now()) * f
		cal.Cancel(pc.cool)
		pc.CoolAt = w.Now() + calendar.Time(math.Max(0, left))
		pc.cool = cal.Book(pc.CoolAt, calendar.Finish, calendar.Event{Kind: evCool, A: int32(i)})
	}
}

// standingFans follows the stock of cool coils. What people ordered is not undone.
func (w *Works) standingFans() {
	o := &w.P.Spec.Standing
	c := &w.S.Cold
	if o.FansBelow <= 0 || w.P.Spec.CoilYard.ForcedH <= 0 {
		return
	}
	x := float64(w.S.CoolPickG) / grams
	switch {
	case !c.Forced && x < o.FansBelow && w.S.Cooling > 0:
		c.AutoFans = true
		w.forceCooling(true)
		w.note(WordFans, -1, -1, 1, 0, 0)
	case c.Forced && c.AutoFans && x >= o.FansUntil:
		c.AutoFans = false
		w.forceCooling(false)
		w.note(WordFans, -1, -1, 0, 0, 0)
	}
}

// doCold carries out a lever of the cold side.
func (w *Works) doCold(o Order) Reason {
	c := &w.S.Cold
	if w.P.Spec.Cold == nil && o.Lever != ForceCooling {
		return ReasonNoColdSide
	}
	on := o.Value > 0
	flip := func(b *bool) Reason {
		if *b == on {
			return ReasonAlready
		}
		*b = on
		return ReasonNone
	}
	switch o.Lever {
	case ForceCooling:
		if w.P.Spec.CoilYard.ForcedH <= 0 {
			return ReasonNoFans
		}
		if c.Forced == on {
			return ReasonAlready
		}
		c.AutoFans = false
		w.forceCooling(on)
	case ProcessSpeed:
		if o.Value < 0.3 || o.Value > 1.25 {
			return ReasonPicklePace
		}
		c.Pace = o.Value
		if w.S.Net.Units[w.P.u.pickle].Pace == 1 {
			w.S.Net.Wake(w.P.u.pickle)
		}
	case OutsidePickling:
		if w.P.Spec.Cold.Pickle.Outside <= 0 {
			return ReasonNoOutside
		}
		r := flip(&c.Outside)
		w.S.Net.Wake(w.P.u.outside)
		return r
	case SkipTemper:
		r := flip(&c.SkipTemper)
		w.S.Net.Wake(w.P.u.temper)
		return r
	case ByDueDate:
		return flip(&c.ByDue)
	case WorkOvertime:
		return flip(&c.Overtime)
	}
	return ReasonNone
}

var _ = flow.Empty
