package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/steel/casting"
)

// tryShop begins the blow of every heat whose time has come. The heat plan works
// backwards from the moment the caster will need its next ladle.
func (w *Works) tryShop() {
	s := &w.P.Spec.Shop
	n := &w.S.Net
	// Blown heats wait in the vessel for a ladle.
	for i := range w.S.Heats {
		if w.S.Heats[i].Stage == htNoLadle {
			w.tapped(i)
		}
	}
	if !n.Units[w.P.u.shop].Able() {
		return
	}
	lead := calendar.Dur(s.BlowTime + s.TreatTime + w.P.Spec.Standing.ArriveEarly)
	next := calendar.Never
	for int(w.S.Vessels) < s.Vessels {
		best, when := -1, calendar.Never
		for c := range w.P.Spec.Casters {
			if !w.mayTap(c) {
				continue
			}
			need := w.need(c)
			if need == calendar.Never {
				continue
			}
			if t := need - lead; t < when {
				best, when = c, t
			}
		}
		if best < 0 {
			break
		}
		if when > w.Now() {
			next = when
			break
		}
		if !w.beginHeat(best) {
			break
		}
	}
	n.Cal.Cancel(w.S.shopWake)
	w.S.shopWake = 0
	if next != calendar.Never {
		w.S.shopWake = w.wakeAt(next, w.P.u.shop)
	}
}

// mayTap says whether the standing orders allow another heat for the caster.
func (w *Works) mayTap(c int) bool { return w.TapWait(c) == TapFree }

// TapWait is why no heat is begun for a caster.
type TapWait uint8

// The reasons, the first that holds counts.
const (
	TapFree    TapWait = iota // nothing keeps one from being begun
	TapShut                   // people take no new heats for it
	TapStopped                // people have stopped tapping
	TapStands                 // the caster stands, or something keeps it from casting
	TapNoRoom                 // the slab yard has no room for it
	TapTurn                   // a planned stop, or an end that was ordered, comes first
	TapSpaced                 // sequences are spaced while the slab yard is high
)

// TapWait is why the standing orders allow no heat for caster c.
func (w *Works) TapWait(c int) TapWait {
	k := &w.S.Casters[c]
	o := &w.P.Spec.Standing
	switch {
	case k.Closed:
		return TapShut
	case w.S.TapHold:
		return TapStopped
	case k.Phase == phDown || k.Phase == phMaint || k.Holds > 0:
		return TapStands
	}
	free := float64(w.P.usable-w.S.Net.Stores[w.yardStore()].Level) / grams
	if w.S.Committed {
		free -= w.committed()
	}
	if free < o.StopTapping {
		return TapNoRoom
	}
	if w.newSequence(c) {
		if k.Maint && w.mayMaintain(c) || k.EndAfter && k.Phase == phCasting {
			return TapTurn
		}
		// Sequences are spaced while the yard is high, unless hot metal presses: iron
		// that is pooled costs more than a full yard.
		pressed := float64(w.S.Mass[w.P.p.torpedoes])/grams > o.WindHigh
		if !pressed && float64(w.S.Mass[w.P.p.yard])/grams+w.committed() > o.YardHigh {
			return TapSpaced
		}
	}
	return TapFree
}

// committed is the steel that will become slabs whatever is decided, kg of slab.
func (w *Works) committed() float64 {
	g := int64(0)
	for i := range w.S.Heats {
		switch w.S.Heats[i].Stage {
		case htBlowing, htNoLadle:
			g += w.P.heatG
		case htTreating, htWaiting, htReheat:
			g += w.S.Heats[i].Mass
		}
	}
	for c := range w.P.Spec.Casters {
		k := &w.S.Casters[c]
		g += k.Liquid
		for i := int8(0); i < k.NSeg; i++ {
			g += k.Seg[i].Mass
		}
		g += w.S.Mass[int(w.P.p.table)+c]
	}
	return float64(g) / grams
}

// newSequence says whether the caster's next heat opens a new sequence.
func (w *Works) newSequence(c int) bool {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	if int(k.SeqHeats) >= s.HeatsMax || k.EndAfter {
		return true
	}
	if k.SeqHeats == 0 {
		return true
	}
	next := w.nextProduct(c)
	if next < 0 {
		return true
	}
	return math.Abs(w.P.products[next].Width-w.P.products[k.LastProd].Width) > s.MaxWidth
}

// need is when the caster needs its next heat that is not yet committed.
func (w *Works) need(c int) calendar.Time {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	if w.nextProduct(c) < 0 {
		return calendar.Never
	}
	t := w.Now()
	queued := 0
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		if h.Stage != htNone && h.Stage != htOpen && int(h.Caster) == c {
			queued++
		}
	}
	q := w.drawG(c)
	switch k.Phase {
	case phCasting:
		if q > 0 && k.Open >= 0 {
			left := float64(w.liquidNow(c)-w.closeAt(c)) / q
			if left > 0 {
				t += calendar.Dur(left)
			}
		}
	case phEmptying:
		t = w.turnedAt(c)
	case phTurn:
		t = k.Until
	}
	if q <= 0 {
		q = w.drawFor(c, w.nextProduct(c))
	}
	each := calendar.Dur(float64(w.P.heatG)/q) + calendar.Dur(s.LadleChange)
	if w.S.Casters[c].Phase == phIdle && queued == 0 {
		return t
	}
	t += calendar.Time(queued) * each
	if w.newSequence(c) && k.Phase == phCasting {
		machine := s.Supported / math.Max(k.Speed, s.Slowest)
		t += calendar.Dur(float64(int64(s.Tundish*grams)-int64(s.TundishMin*grams))/q) + calendar.Dur(machine+s.Turnaround)
	}
	return t
}

// beginHeat starts a blow for the caster; false when iron is short.
func (w *Works) beginHeat(c int) bool {
	s := &w.P.Spec
	q := &w.P.p
	k := &w.S.Casters[c]
	total := w.charge()
	hot := int64(math.Round(float64(total) * w.hotMetal()))
	if w.S.Mass[q.torpedoes] < hot {
		return false // the next tick brings iron and wakes the shop
	}
	slot := w.freeHeat()
	if slot < 0 {
		return false
	}
	prod := w.nextProduct(c)
	fresh := w.newSequence(c)
	if fresh {
		k.SeqHeats = 0
		if k.Phase == phCasting {
			k.EndAfter = true
			// The end is carried out when the last heat of the sequence is empty.
		}
	}
	k.Heats++
	k.SeqHeats++
	k.LastProd = int16(prod)
	h := &w.S.Heats[slot]
	*h = Heat{No: int32(c+1)*100000 + k.Heats, Prod: int16(prod), Caster: int8(c), Stage: htBlowing, First: fresh}
	w.move(h.No, q.torpedoes, q.shop, hot, stepCharge)
	w.move(h.No, q.scrapYard, q.shop, total-hot, stepCharge)
	w.S.Vessels++
	w.S.Net.Shift(w.P.u.shop, flow.Starved, flow.Running, 1)
	h.event = w.S.Net.Cal.Book(w.Now()+calendar.Dur(s.Shop.BlowTime), calendar.Finish, calendar.Event{Kind: evTap, A: int32(slot)})
	return true
}

func (w *Works) freeHeat() int {
	for i := range w.S.Heats {
		if w.S.Heats[i].Stage == htNone {
			return i
		}
	}
	return -1
}

// ladlesFull counts ladles with steel, the open ones included.
func (w *Works) ladlesFull() int {
	n := 0
	for i := range w.S.Heats {
		switch w.S.Heats[i].Stage {
		case htTreating, htWaiting, htReheat, htOpen:
			n++
		}
	}
	return n
}

// tapped pours the blown heat into a ladle, if one is free.
func (w *Works) tapped(i int) {
	s := &w.P.Spec.Shop
	h := &w.S.Heats[i]
	n := &w.S.Net
	if h.Stage != htBlowing && h.Stage != htNoLadle {
		return
	}
	if w.ladlesFull() >= s.Ladles {
		if h.Stage == htBlowing {
			h.Stage = htNoLadle
			n.Shift(w.P.u.shop, flow.Running, flow.Blocked, 1)
		}
		return
	}
	from := flow.Running
	if h.Stage == htNoLadle {
		from = flow.Blocked
	}
	n.Shift(w.P.u.shop, from, flow.Starved, 1)
	w.S.Vessels--
	q := &w.P.p
	h.Mass = w.P.heatG
	w.move(h.No, q.shop, q.ladles, h.Mass, stepTap)
	w.move(h.No, q.shop, q.blow, w.charge()-h.Mass, stepTap)
	h.Stage = htTreating
	d := s.TreatTime * w.drawLaw(s.TreatScatt, luckTreat, uint64(h.No), 0)
	d += w.lateHeat(h.No)
	h.Ready = w.Now() + calendar.Dur(d)
	h.event = n.Cal.Book(h.Ready, calendar.Finish, calendar.Event{Kind: evTreated, A: int32(i)})
	n.Wake(w.P.u.shop)
}

// treated makes the heat ready for the caster: the shop has aimed its
// temperature at what the caster will need at the speed ordered now, the wait
// it expects included.
func (w *Works) treated(i int) {
	s := &w.P.Spec.Shop
	h := &w.S.Heats[i]
	if h.Stage != htTreating {
		return
	}
	h.Stage = htWaiting
	h.At = w.Now()
	liq := w.P.products[h.Prod].liquidus
	wait := 0.0
	if t := w.openEstimate(i); t > w.Now() && t != calendar.Never {
		wait = (t - w.Now()).Seconds()
	}
	over := w.needOver(h) + w.P.ladleK*wait + s.AimSuper
	h.TC = liq + math.Min(over, s.MaxOver)
	w.bookCold(i)
	w.S.Net.Wake(w.P.u.caster + int(h.Caster))
}

// needOver is how many kelvin above liquidus the ladle must be when it is
// opened, so that its last steel still runs: it goes on cooling while it pours.
func (w *Works) needOver(h *Heat) float64 {
	s := &w.P.Spec.Shop
	over := s.MinSuper + s.PourDrop + w.P.ladleK*w.castTime(h)
	if h.First {
		over += s.FirstDrop
	}
	return over
}

// castTime is how long the heat's ladle will pour at the caster's present order, s.
func (w *Works) castTime(h *Heat) float64 {
	q := w.drawFor(int(h.Caster), int(h.Prod))
	if q <= 0 {
		return math.Inf(1)
	}
	return float64(h.Mass) / q
}

// ladleC is the heat's temperature now.
func (w *Works) ladleC(h *Heat) float64 {
	dt := (w.Now() - h.At).Seconds()
	if h.Stage == htReheat {
		return math.Max(h.TC, math.Min(h.TC+w.P.Spec.Shop.ReheatRate*dt, w.aimC(h)))
	}
	return casting.LadleTemp(h.TC, w.P.ladleK, dt)
}

// openBy is the last moment at which the heat may be opened, Never while it is
// being made or held.
func (w *Works) openBy(h *Heat) calendar.Time {
	s := &w.P.Spec.Shop
	switch h.Stage {
	case htWaiting:
	case htReheat:
		return h.In + calendar.Dur(s.ReheatHold) - h.Held
	default:
		return calendar.Never
	}
	drop := s.PourDrop
	if h.First {
		drop += s.FirstDrop
	}
	t := casting.LatestOpen(w.ladleC(h), w.P.products[h.Prod].liquidus, drop, s.MinSuper, w.P.ladleK, w.castTime(h))
	if math.IsNaN(t) || t < 0 {
		return w.Now()
	}
	return w.Now() + calendar.Dur(t)
}

func (w *Works) bookCold(i int) {
	h := &w.S.Heats[i]
	n := &w.S.Net
	n.Cal.Cancel(h.cold)
	h.cold = 0
	if h.Stage == htWaiting {
		h.cold = n.Cal.Book(w.openBy(h), calendar.Fail, calendar.Event{Kind: evCold, A: int32(i)})
	}
}
