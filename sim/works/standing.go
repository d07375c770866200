package works

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// millStopped says whether the rolling line stands by a stop or planned work.
func (w *Works) millStopped() bool {
	n := &w.S.Net
	k := &w.P.u
	for _, u := range [...]int{k.descaler, k.rougher, k.shear, k.train, k.runOut} {
		if n.Units[u].Has(flow.CauseDown) || n.Units[u].Has(flow.CauseMaintenance) {
			return true
		}
	}
	return false
}

// millState notices the beginning and the end of a stop of the mill and does what
// people do then: furnaces are set back after a while and brought back in time.
func (w *Works) millState() {
	stopped := w.millStopped()
	if stopped == (w.S.MillStop != calendar.Never) {
		if stopped {
			w.hearthPlan()
		}
		return
	}
	if !stopped {
		w.S.MillStop = calendar.Never
		w.S.Dirty |= TopicStops
		if w.S.HearthAuto {
			for f := range w.P.Spec.Furnaces {
				w.setBack(f, 0)
			}
		}
		w.S.HearthAuto = true
		w.wakeMill()
		return
	}
	w.S.MillStop = w.Now()
	w.hearthPlan()
}

// hearthPlan sets the furnaces back or forward by the standing orders.
func (w *Works) hearthPlan() {
	if w.S.MillStop == calendar.Never || !w.S.HearthAuto {
		return
	}
	o := &w.P.Spec.Standing
	gone := w.Now() - w.S.MillStop
	first, deep := calendar.Dur(o.SetBackAfter), calendar.Dur(o.DeepAfter)
	step := uint8(0)
	next := calendar.Never
	switch {
	case gone < first:
		next = w.S.MillStop + first
	case gone < deep:
		step = 1
		next = w.S.MillStop + deep
	default:
		step = maxSetBacks
	}
	if t := w.toldRestart(); t != calendar.Never {
		forward := t - calendar.Dur(o.SetForward)
		if forward <= w.Now() {
			step, next = 0, calendar.Never
		} else if forward < next {
			next = forward
		}
	}
	for f := range w.P.Spec.Furnaces {
		if w.S.Furnaces[f].Want != step {
			w.setBack(f, step)
		}
	}
	w.S.Net.Cal.Cancel(w.S.hearth)
	w.S.hearth = 0
	if next != calendar.Never {
		w.S.hearth = w.S.Net.Cal.Book(next, calendar.Order, calendar.Event{Kind: evHearth})
	}
}

// toldRestart is when people think the mill will run again: the latest of the
// told likely ends and of the ends of planned work; Never when nobody has said.
func (w *Works) toldRestart() calendar.Time {
	t := calendar.Never
	for i := range w.S.Upsets {
		up := &w.S.Upsets[i]
		if up.Active && w.onMill(int(up.Unit)) && (up.Stands || w.takesDown(w.upsetSpec(up.Spec).Kind)) {
			if !up.Told {
				return calendar.Never
			}
			if t == calendar.Never || up.Likely > t {
				t = up.Likely
			}
		}
	}
	for i := range w.S.Planned {
		p := &w.S.Planned[i]
		if p.Active && w.onMill(int(p.Unit)) && (t == calendar.Never || p.Ends > t) {
			t = p.Ends
		}
	}
	return t
}

func (w *Works) onMill(u int) bool {
	k := &w.P.u
	return u == k.descaler || u == k.rougher || u == k.shear || u == k.train || u == k.runOut
}
