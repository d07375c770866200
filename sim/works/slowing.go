package works

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// SlowReason is why a unit works below its normal pace.
type SlowReason uint8

// The reasons, the one that binds.
const (
	NotSlow       SlowReason = iota
	SlowByUpset              // an upset that has not ended
	SlowComing               // it comes back from a stop at a pace
	SlowForHeat              // the caster stretches its steel until the next heat is there
	SlowTableFull            // the run-out table of the caster has little room
	SlowOrdered              // people ordered it
	SlowStanding             // the standing order on the level of the torpedoes
)

// SlowView is what slows a unit now.
type SlowView struct {
	Why   SlowReason
	Upset int           // its number, -1 for none
	Until calendar.Time // the end of a return, Never where there is none to tell
}

// Slowing is what makes unit u work below its normal pace.
func (w *Works) Slowing(u int) SlowView {
	v := SlowView{Upset: -1, Until: calendar.Never}
	if c := w.casterOf(u); c >= 0 {
		k, s := &w.S.Casters[c], &w.P.Spec.Casters[c]
		casts := (k.Phase == phCasting || k.Phase == phEmptying) && !k.Stuck
		switch {
		case !casts || k.Speed >= slowCast*w.normalSpeed(c, int(k.Prod)):
			return v
		case k.Stretch:
			v.Why = SlowForHeat
			return v
		case w.tableTight(c) && w.P.Spec.Standing.SlowWhenFull:
			v.Why = SlowTableFull
			return v
		case k.Aim > 0 && k.Aim < slowCast*s.Normal && k.Aim/s.Normal <= k.Cap:
			v.Why = SlowOrdered
			return v
		}
		return w.pacedBy(u, k.Cap)
	}
	if u == w.P.u.iron {
		switch {
		case w.S.Net.Units[u].Count[flow.Slowed] == 0:
		case w.S.WindAuto:
			v.Why = SlowStanding
		default:
			v.Why = SlowOrdered
		}
		return v
	}
	return w.pacedBy(u, w.S.Net.Units[u].Pace)
}

// pacedBy is which upset, or which return from a stop, gives unit u its pace.
func (w *Works) pacedBy(u int, pace float64) SlowView {
	v := SlowView{Upset: -1, Until: calendar.Never}
	if !(pace < 1) {
		return v
	}
	for i := range w.S.Upsets {
		if up := &w.S.Upsets[i]; up.Active && int(up.Unit) == u && w.upsetSpec(up.Spec).slows() <= pace {
			v.Why, v.Upset = SlowByUpset, i
			return v
		}
	}
	if r := w.S.Ramps[u]; r.Pace > 0 {
		v.Why, v.Until = SlowComing, r.Until
	}
	return v
}
