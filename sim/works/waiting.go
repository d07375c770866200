package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/steel"
)

// What units wait for that does not follow from stores and stops: heat, cooling, work
// on the rolls and on the machine. Nothing here changes the works.

// DoorView is what can be seen of the slab at the door of a furnace.
type DoorView struct {
	Slab bool // there is one
	// TempC is its mean temperature now, NeedC what it must have to be drawn.
	TempC, NeedC float64
	// At is when it may be drawn: now for one that is at heat; Never where that cannot be
	// said, without a slab, or when the gas that is wanted does not bring it there.
	At calendar.Time
	// Below is how far the gas is below its set-point, K.
	Below float64
}

// Door is what can be seen of the slab at the door of furnace f. The gas is taken to come
// back step by step as it is doing now.
func (w *Works) Door(f int) DoorView {
	k := &w.S.Furnaces[f]
	v := DoorView{At: calendar.Never, NeedC: steel.TempFromEnthalpy(w.P.leastH[f])}
	if k.Step > 0 {
		v.Below = w.P.Spec.Furnaces[f].SetBacks[k.Step-1]
	}
	if k.Row.N == 0 {
		return v
	}
	pc := &w.S.Pieces[k.Row.Head]
	v.Slab = true
	now := w.Now()
	baths := w.P.baths[f][pc.Zone]
	h, _ := baths[k.Step].Advance(pc.H, math.Max(0, (now-pc.At).Seconds()))
	v.TempC = steel.TempFromEnthalpy(h)
	switch {
	case k.Jams > 0:
		return v
	case k.DoorWait:
		v.At = now
		return v
	case w.P.Spec.Furnaces[f].Rate > 0:
		v.At = w.doorTime(f)
		return v
	}
	need := w.P.leastH[f]
	t, end := now, k.StepAt
	for step := k.Step; ; step-- {
		in := baths[step].ReadyIn(h, need)
		last := k.step == 0 || step == 0
		if at := t + calendar.Dur(math.Min(in, 1e9)); !math.IsInf(in, 1) && (last || at <= end) {
			v.At = at
			return v
		}
		if last {
			return v
		}
		h, _ = baths[step].Advance(h, math.Max(0, (end-t).Seconds()))
		t = end
		if step > 1 {
			s := &w.P.Spec.Furnaces[f]
			d := s.SetBacks[step-2]
			if step > 2 {
				d -= s.SetBacks[step-3]
			}
			end = t + calendar.Dur(d/s.Recovery)
		}
	}
}

// TurnedAt is when the turnaround of caster c is done, Never when it has none.
func (w *Works) TurnedAt(c int) calendar.Time {
	if k := &w.S.Casters[c]; k.Phase == phTurn {
		return k.Until
	}
	return calendar.Never
}

// HeatFor is when the next heat for caster c is ready, Never when that cannot be said yet;
// ok is false when none is on its way.
func (w *Works) HeatFor(c int) (at calendar.Time, ok bool) {
	at = calendar.Never
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		if int(h.Caster) != c || h.Stage == htNone || h.Stage == htOpen {
			continue
		}
		ok = true
		switch h.Stage {
		case htTreating:
			at = min(at, h.Ready)
		case htWaiting:
			at = min(at, w.Now())
		}
	}
	return at, ok
}

// RollsAt is when the roll change of the train is done, Never when there is none.
func (w *Works) RollsAt() calendar.Time {
	if t := w.S.rollsEnd; t > w.Now() {
		return t
	}
	return calendar.Never
}

// CoolerAt is when the next coil of the floor may be pickled, Never without one.
func (w *Works) CoolerAt() calendar.Time {
	t := calendar.Never
	for i := range w.S.Pieces {
		if pc := &w.S.Pieces[i]; pc.Stage == stCooling && w.P.products[pc.Prod].Pickled {
			t = min(t, pc.CoolAt)
		}
	}
	return t
}

// CoilTemps are the mean temperatures of the hottest and of the coldest coil of the floor
// that is still too hot to go on, C; ok is false without one.
func (w *Works) CoilTemps() (hot, cold float64, ok bool) {
	cold = math.Inf(1)
	for i := range w.S.Pieces {
		pc := &w.S.Pieces[i]
		if pc.Stage != stCooling {
			continue
		}
		pr := &w.P.products[pc.Prod]
		// What is left of its cooling says how far it has come, by air or by fans.
		left := math.Max(0, (pc.CoolAt - w.Now()).Seconds())
		if w.S.Cold.Forced {
			left /= pr.forced
		}
		t := pr.cooling.Temp(math.Max(0, w.coolFor(pr)-left))
		hot, cold, ok = math.Max(hot, t), math.Min(cold, t), true
	}
	return hot, cold, ok
}

// TemperAt is when the next annealed coil is cool enough for the temper mill, Never
// without one on the floor.
func (w *Works) TemperAt() calendar.Time {
	c := w.P.Spec.Cold
	if c == nil {
		return calendar.Never
	}
	t := calendar.Never
	for i := w.S.Cold.Floor.Head; i >= 0; i = w.S.Net.After(i) {
		at := w.S.Pieces[i].At
		if at <= 0 {
			return calendar.Never // it lay there at the start: nobody knows since when
		}
		t = min(t, at+calendar.Dur(c.Anneal.Floor))
	}
	return t
}
