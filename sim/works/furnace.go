package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
	"millrace/sim/steel"
	"millrace/sim/steel/reheating"
)

// A walking-beam furnace moves its whole row one place when a slab leaves. The
// slabs keep their heat content with the time it was true; it is brought up to
// date where something about a slab changes: when it walks into the next zone,
// when the gas is set, when it leaves.

// tryFurnace takes slabs from the charging table onto the hearth.
func (w *Works) tryFurnace(f int) {
	k := &w.S.Furnaces[f]
	n := &w.S.Net
	for k.Table.N > 0 && k.Jams == 0 && !k.Maint && w.hearthFree(f) {
		i := n.PopHead(&k.Table)
		w.chargeSlab(f, i)
		w.wakeCranes()
	}
}

// hearthFree says whether the charge end has a place.
func (w *Works) hearthFree(f int) bool {
	k := &w.S.Furnaces[f]
	return k.Row.N == 0 || w.chargeSlot(f) < k.Walk+int32(w.P.hearth[f])
}

// chargeSlot is the hearth place of the next slab: behind the last, but not in a
// gap that has already walked past the charge end.
func (w *Works) chargeSlot(f int) int32 {
	k := &w.S.Furnaces[f]
	return max(k.Tail+1, k.Open)
}

func (w *Works) chargeSlab(f int, i int32) {
	k := &w.S.Furnaces[f]
	pc := &w.S.Pieces[i]
	if k.Row.N == 0 {
		k.Walk = k.Tail + 1
		k.Open = k.Walk + int32(w.P.hearth[f]) - 1
	}
	slot := w.chargeSlot(f)
	pc.H = w.P.pile.Enthalpy(w.age(pc).Seconds())
	pc.HIn = pc.H
	pc.In = w.Now()
	pc.KP = 0
	pc.At = w.Now()
	pc.Slot = slot
	pc.Zone = 0
	pc.Stage = stFurnace
	pc.On = uint8(f)
	k.Tail = slot
	w.S.Net.PushTail(&k.Row, i)
	for z := 1; z < len(w.P.Spec.Furnaces[f].Zones); z++ {
		if k.Border[z] < 0 {
			k.Border[z] = i
		}
	}
	tc := steel.TempFromEnthalpy(pc.H)
	w.move(pc.Name, w.P.p.charge+record.Place(f), w.P.p.furnace+record.Place(f), pc.Mass, stepHearth)
	w.note(WordCharged, w.P.u.furnace+f, pc.Name, int64(tc*10), pc.Mass, 0)
	w.S.Net.Shift(w.P.u.furnace+f, flow.Starved, flow.Running, 1)
	if k.Row.N == 1 {
		w.walkToDoor(f)
	}
}

// walkToDoor moves the row so that its first slab stands at the door, and books
// the moment that slab is at heat.
func (w *Works) walkToDoor(f int) {
	k := &w.S.Furnaces[f]
	if k.Row.N == 0 {
		return
	}
	head := k.Row.Head
	if to := w.S.Pieces[head].Slot; to > k.Walk {
		k.Open = k.Walk + int32(w.P.hearth[f])
		k.Walk = to
	}
	for z := 1; z < len(w.P.Spec.Furnaces[f].Zones); z++ {
		edge := k.Walk + int32(w.P.zoneFrom[f][z-1])
		for k.Border[z] >= 0 && w.S.Pieces[k.Border[z]].Slot < edge {
			i := k.Border[z]
			w.soak(f, i)
			w.S.Pieces[i].Zone = uint8(z)
			k.Border[z] = w.S.Net.After(i)
		}
	}
	w.bookDoor(f)
}

// soak brings a slab's heat and scale up to now.
func (w *Works) soak(f int, i int32) {
	pc := &w.S.Pieces[i]
	dt := (w.Now() - pc.At).Seconds()
	if dt <= 0 {
		return
	}
	h, kp := w.P.baths[f][pc.Zone][w.S.Furnaces[f].Step].Advance(pc.H, dt)
	pc.H, pc.At = h, w.Now()
	pc.KP += kp
}

// soakAll brings the whole hearth up to now, before the gas changes.
func (w *Works) soakAll(f int) {
	for i := w.S.Furnaces[f].Row.Head; i >= 0; i = w.S.Net.After(i) {
		w.soak(f, i)
	}
}

func (w *Works) bookDoor(f int) {
	k := &w.S.Furnaces[f]
	cal := &w.S.Net.Cal
	cal.Cancel(k.ready)
	k.ready = 0
	if k.DoorWait {
		k.DoorWait = false
		w.S.Net.Shift(w.P.u.furnace+f, flow.Blocked, flow.Running, 1)
	}
	if k.Row.N == 0 || k.Jams > 0 {
		return
	}
	k.ready = cal.Book(w.doorTime(f), calendar.Finish, calendar.Event{Kind: evReady, Unit: uint16(f)})
}

// doorTime is when the slab at the door is at heat, Never at the present gas.
func (w *Works) doorTime(f int) calendar.Time {
	k := &w.S.Furnaces[f]
	if k.Row.N == 0 {
		return calendar.Never
	}
	pc := &w.S.Pieces[k.Row.Head]
	s := &w.P.Spec.Furnaces[f]
	if s.Rate > 0 {
		stay := float64(w.P.hearth[f]) * float64(pc.Mass) / grams / s.Rate
		return max(w.Now(), pc.In+calendar.Dur(stay))
	}
	t := w.P.baths[f][pc.Zone][k.Step].ReadyIn(pc.H, w.P.leastH[f])
	if math.IsInf(t, 1) {
		return calendar.Never
	}
	at := pc.At + calendar.Dur(t)
	if at < w.Now() {
		return w.Now()
	}
	return at
}

// doorReady: the slab at the door is at heat and waits to be drawn.
func (w *Works) doorReady(f int) {
	k := &w.S.Furnaces[f]
	if k.Row.N == 0 || k.Jams > 0 {
		return
	}
	k.DoorWait = true
	w.S.Net.Shift(w.P.u.furnace+f, flow.Running, flow.Blocked, 1)
	w.S.Net.Wake(w.P.u.descaler)
}

// draw takes the slab at the door out of the furnace: its scale is lost, its
// heat is counted as fuel.
func (w *Works) draw(f int) int32 {
	k := &w.S.Furnaces[f]
	s := &w.P.Spec.Furnaces[f]
	n := &w.S.Net
	w.soak(f, k.Row.Head)
	i := n.PopHead(&k.Row)
	for z := range k.Border {
		if k.Border[z] == i {
			k.Border[z] = k.Row.Head
		}
	}
	pc := &w.S.Pieces[i]
	if k.DoorWait {
		k.DoorWait = false
		n.Shift(w.P.u.furnace+f, flow.Blocked, flow.Starved, 1)
	} else {
		n.Shift(w.P.u.furnace+f, flow.Running, flow.Starved, 1)
	}
	pr := &w.P.products[pc.Prod]
	area := pr.Width * w.P.Spec.SlabLen * float64(pc.Mass) / float64(pr.slabMass)
	scale := int64(math.Round(reheating.SteelLoss(pc.KP*scaleFactor(s)) * 2 * area * grams))
	at := w.P.p.furnace + record.Place(f)
	if scale > 0 && scale < pc.Mass {
		w.move(pc.Name, at, w.P.p.scale, scale, stepScale)
		pc.Mass -= scale
		w.S.InWorks[pc.Prod] -= scale
	}
	k.Fuel += float64(pc.Mass) / grams * math.Max(0, pc.H-pc.HIn) / s.Efficiency
	pc.TC = float32(steel.TempFromEnthalpy(pc.H))
	w.walkToDoor(f)
	if k.Maint && k.Row.N == 0 {
		w.shutFurnace(f)
	}
	n.Wake(w.P.u.furnace + f)
	return i
}

// scaleFactor is the furnace's factor on the scale constant.
func scaleFactor(s *FurnaceSpec) float64 {
	if s.ScaleFactor > 0 {
		return s.ScaleFactor
	}
	return 1
}

// setBack asks for a set-back step; 0 is the set-point. The gas is lowered at
// once and comes back step by step at the furnace's recovery.
func (w *Works) setBack(f int, step uint8) {
	k := &w.S.Furnaces[f]
	if most := uint8(len(w.P.Spec.Furnaces[f].SetBacks)); step > most {
		step = most
	}
	k.Want = step
	w.driveGas(f, false)
}

// stepFurnace is the end of one step of recovery.
func (w *Works) stepFurnace(f int) { w.driveGas(f, true) }

// driveGas moves the gas towards what is wanted; reached says that a step of
// recovery is complete.
func (w *Works) driveGas(f int, reached bool) {
	k := &w.S.Furnaces[f]
	s := &w.P.Spec.Furnaces[f]
	want := k.Want
	if k.Trips > 0 && want < 1 && len(s.SetBacks) > 0 {
		want = 1
	}
	if want >= k.Step {
		w.S.Net.Cal.Cancel(k.step)
		k.step = 0
	}
	if want == k.Step || want < k.Step && k.step != 0 {
		return
	}
	if want > k.Step || reached {
		w.soakAll(f)
		k.Fuel += w.wallFuel(f)
		if want > k.Step {
			k.Step = want
		} else {
			k.Step--
		}
		back := int64(0)
		if k.Step > 0 {
			back = int64(s.SetBacks[k.Step-1])
		}
		w.note(WordSetBack, w.P.u.furnace+f, -1, back, 0, 0)
		w.bookDoor(f)
	}
	if want < k.Step {
		d := s.SetBacks[k.Step-1]
		if k.Step > 1 {
			d -= s.SetBacks[k.Step-2]
		}
		k.StepAt = w.Now() + calendar.Dur(d/s.Recovery)
		k.step = w.S.Net.Cal.Book(k.StepAt, calendar.Finish, calendar.Event{Kind: evStep, Unit: uint16(f)})
	}
}
