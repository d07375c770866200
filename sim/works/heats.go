package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// The four fates of a heat in flight: cast on, re-applied to the other caster,
// used to open a new sequence, or returned to the converter.

// tooCold comes at the last moment a waiting heat may be opened.
func (w *Works) tooCold(i int) {
	h := &w.S.Heats[i]
	h.cold = 0
	if h.Stage != htWaiting {
		return
	}
	if w.openBy(h) > w.Now() {
		w.bookCold(i)
		return
	}
	// A caster that stands ready takes it now.
	w.tryOpen(int(h.Caster))
	if h.Stage != htWaiting {
		return
	}
	if w.P.Spec.Standing.Reheat && w.toReheat(i) {
		return
	}
	w.returnHeat(i, ReasonTooCold)
}

// toReheat puts the heat on the reheat stand when it is free and the heat may
// still be held.
func (w *Works) toReheat(i int) bool {
	s := &w.P.Spec.Shop
	h := &w.S.Heats[i]
	if !w.S.StandFree {
		w.freeStand(h)
	}
	if h.Stage != htWaiting || !w.S.StandFree || h.Held >= calendar.Dur(s.ReheatHold) {
		return false
	}
	n := &w.S.Net
	n.Cal.Cancel(h.cold)
	h.cold = 0
	h.TC = w.ladleC(h)
	h.At = w.Now()
	h.In = w.Now()
	h.Stage = htReheat
	w.S.StandFree = false
	n.Shift(w.P.u.reheatStand, flow.Starved, flow.Running, 1)
	w.note(WordReheat, w.P.u.reheatStand, h.No, int64(h.TC*10), 0, 0)
	// It stays until it is hot enough and its caster is ready, as long as it may.
	d := calendar.Dur(s.ReheatHold) - h.Held
	if !h.Hold {
		need := calendar.Dur(math.Max(0, w.aimC(h)-h.TC) / s.ReheatRate)
		if t := w.openEstimate(i); t != calendar.Never && t-w.Now() > need {
			need = t - w.Now()
		} else if t == calendar.Never {
			need = d
		}
		d = min(d, need)
	}
	h.event = n.Cal.Book(w.Now()+d, calendar.Finish, calendar.Event{Kind: evReheat, A: int32(i)})
	return true
}

// aimC is the temperature to which a heat is reheated.
func (w *Works) aimC(h *Heat) float64 {
	s := &w.P.Spec.Shop
	return w.P.products[h.Prod].liquidus + math.Min(w.needOver(h)+s.AimSuper, s.MaxOver)
}

// freeStand takes a heat that is hot enough off the stand for one that is not.
func (w *Works) freeStand(but *Heat) {
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		if h.Stage == htReheat && h != but && !h.Hold && w.ladleC(h) >= w.aimC(h)-0.5 {
			w.reheated(i)
			return
		}
	}
}

// reheated takes the heat off the stand.
func (w *Works) reheated(i int) {
	h := &w.S.Heats[i]
	if h.Stage != htReheat {
		return
	}
	n := &w.S.Net
	h.TC = w.ladleC(h)
	n.Cal.Cancel(h.event)
	h.event = 0
	held := w.Now() - h.In
	h.Held += held
	h.At = w.Now()
	h.Stage = htWaiting
	w.S.StandFree = true
	n.Shift(w.P.u.reheatStand, flow.Running, flow.Starved, 1)
	w.note(WordReheated, w.P.u.reheatStand, h.No, int64(h.TC*10), int64(held), 0)
	w.bookCold(i)
	n.Wake(w.P.u.caster + int(h.Caster))
	// Others may be waiting for the stand; their own last moments bring them.
}

// returnHeat pours the heat back: the steel is used again, the work is lost.
func (w *Works) returnHeat(i int, why Reason) {
	h := &w.S.Heats[i]
	n := &w.S.Net
	n.Cal.Cancel(h.cold)
	n.Cal.Cancel(h.event)
	switch h.Stage {
	case htReheat:
		w.S.StandFree = true
		n.Shift(w.P.u.reheatStand, flow.Running, flow.Starved, 1)
	case htTreating, htWaiting:
	default:
		return
	}
	w.move(h.No, w.P.p.ladles, w.P.p.returned, h.Mass, stepReturn)
	w.note(WordReturned, w.P.u.caster+int(h.Caster), h.No, h.Mass, int64(why), 0)
	k := &w.S.Casters[h.Caster]
	if k.SeqHeats > 0 {
		k.SeqHeats--
	}
	first, c := h.First, h.Caster
	*h = Heat{}
	if first { // the next of the queue opens the sequence instead
		if j := w.nextHeat(int(c)); j >= 0 {
			w.S.Heats[j].First = true
		}
	}
	w.S.Dirty |= TopicHeats
	n.Wake(w.P.u.shop)
}

// divert gives the heat to another caster.
func (w *Works) divert(i, c int) {
	h := &w.S.Heats[i]
	from := &w.S.Casters[h.Caster]
	if from.SeqHeats > 0 {
		from.SeqHeats--
	}
	to := &w.S.Casters[c]
	h.Caster = int8(c)
	h.First = to.Phase == phIdle || to.Phase == phTurn
	to.SeqHeats++
	w.note(WordDiverted, w.P.u.caster+c, h.No, 0, 0, 0)
	if h.Stage == htWaiting {
		w.bookCold(i)
	}
	w.S.Net.Wake(w.P.u.caster + c)
	w.S.Net.Wake(w.P.u.shop)
}

// nextHeat is the caster's heat that is to be opened next, -1 for none.
func (w *Works) nextHeat(c int) int {
	best := -1
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		if h.Stage == htNone || h.Stage == htOpen || int(h.Caster) != c {
			continue
		}
		if best < 0 || h.No < w.S.Heats[best].No {
			best = i
		}
	}
	return best
}

// openEstimate is when the heat will probably be opened.
func (w *Works) openEstimate(i int) calendar.Time {
	h := &w.S.Heats[i]
	c := int(h.Caster)
	k := &w.S.Casters[c]
	t := w.Now()
	if k.Holds > 0 {
		return calendar.Never
	}
	switch k.Phase {
	case phCasting:
		if q := w.drawG(c); q > 0 && k.Open >= 0 {
			if left := float64(w.liquidNow(c)-w.closeAt(c)) / q; left > 0 {
				t += calendar.Dur(left)
			}
		}
		t += calendar.Dur(w.P.Spec.Casters[c].LadleChange)
	case phTurn:
		t = k.Until
	case phEmptying:
		t = w.turnedAt(c)
	case phDown, phMaint:
		return calendar.Never
	}
	for j := range w.S.Heats {
		o := &w.S.Heats[j]
		if j != i && o.Stage != htNone && o.Stage != htOpen && o.Caster == h.Caster && o.No < h.No {
			t += calendar.Dur(w.castTime(o))
		}
	}
	return t
}

// placeHeats finds a fate for the heats of a caster that will take no more:
// another caster that is casting and can take them in time, else they wait for
// this one where that is soon enough, else they are returned when too cold.
func (w *Works) placeHeats(c int) {
	if w.P.Spec.Standing.KeepHeats {
		return
	}
	for {
		i := -1
		for j := range w.S.Heats {
			h := &w.S.Heats[j]
			if int(h.Caster) == c && (h.Stage == htWaiting || h.Stage == htTreating || h.Stage == htReheat) && w.openEstimate(j) == calendar.Never {
				if i < 0 || h.No < w.S.Heats[i].No {
					i = j
				}
			}
		}
		if i < 0 {
			return
		}
		to := -1
		for o := range w.P.Spec.Casters {
			if o != c && w.canTake(o, i) {
				to = o
				break
			}
		}
		if to < 0 {
			return // they cool where they stand; their last moments decide
		}
		w.divert(i, to)
	}
}

// canTake says whether caster o could open heat i before it is too cold.
func (w *Works) canTake(o, i int) bool {
	h := &w.S.Heats[i]
	k := &w.S.Casters[o]
	if k.Phase != phCasting && k.Phase != phIdle || k.EndAfter || k.Closed || int(k.SeqHeats) >= w.P.Spec.Casters[o].HeatsMax {
		return false
	}
	was := h.Caster
	no := h.No
	h.Caster = int8(o)
	h.No = 1 << 30
	t := w.openEstimate(i)
	h.No = no
	by := w.openBy(h)
	h.Caster = was
	return t != calendar.Never && t <= by
}
