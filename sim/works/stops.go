package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// What every unit can suffer, whatever sort it is: to stand, to be slow, to lose the
// piece in it, to come back slowly.

// casterAt is the number of the caster that is unit u, -1 for another unit.
func (p *Plant) casterAt(u int) int {
	if c := u - p.u.caster; c >= 0 && c < len(p.Spec.Casters) {
		return c
	}
	return -1
}

// furnaceAt is the number of the furnace that is unit u, -1 for another unit.
func (p *Plant) furnaceAt(u int) int {
	if f := u - p.u.furnace; f >= 0 && f < len(p.Spec.Furnaces) {
		return f
	}
	return -1
}

// CanSlow says whether the unit has a pace that an upset may lower. Furnaces are slowed
// by their gas, shops and bases by what they wait for.
func (p *Plant) CanSlow(u int) bool { return !p.manualUnit(u) || p.casterAt(u) >= 0 }

// hold makes a unit stand. stopped says that flow has already taken it down.
func (w *Works) hold(s *UpsetSpec, u int, stopped bool) {
	n := &w.S.Net
	k := &w.P.u
	switch {
	case stopped:
	case w.P.casterAt(u) >= 0:
		w.holdCaster(w.P.casterAt(u), s.Ruins&RuinHeat != 0)
	case w.P.furnaceAt(u) >= 0:
		w.jam(w.P.furnaceAt(u))
	case u == k.shop:
		if un := &n.Units[u]; !un.Has(flow.CauseDown) {
			n.Shift(u, flow.Starved, flow.Down, un.Count[flow.Starved])
		}
		n.Set(u, flow.CauseDown) // heats in the blow go on to their end
	case w.P.Spec.Cold != nil && u == k.bases:
		if s.Kind == SupplyLost {
			w.gasLost()
		}
	case w.P.manualUnit(u):
		w.shiftOne(u, flow.Down)
		n.Set(u, flow.CauseDown)
	default:
		n.Set(u, flow.CauseDown)
	}
}

// letGo gives a unit back that hold took.
func (w *Works) letGo(i int, s *UpsetSpec, u int) {
	n := &w.S.Net
	k := &w.P.u
	switch {
	case w.P.casterAt(u) >= 0:
		w.freeCaster(w.P.casterAt(u))
	case w.P.furnaceAt(u) >= 0:
		w.unjam(w.P.furnaceAt(u))
	case u == k.shop:
		n.Clear(u, flow.CauseDown)
		if un := &n.Units[u]; !un.Has(flow.CauseDown) {
			n.Shift(u, flow.Down, flow.Starved, un.Count[flow.Down])
		}
	case w.P.Spec.Cold != nil && u == k.bases:
		if s.Kind == SupplyLost {
			w.gasBack()
		}
	default:
		w.resume(i, s, u)
		if w.P.manualUnit(u) && !n.Units[u].Has(flow.CauseDown) {
			w.shiftOne(u, flow.Starved)
		}
	}
}

// givesUp: a slow-down has lasted too long and becomes a stop.
func (w *Works) givesUp(i int) {
	up := &w.S.Upsets[i]
	if !up.Active || up.Stands {
		return
	}
	up.Stands = true
	w.hold(w.upsetSpec(up.Spec), int(up.Unit), false)
	w.S.Dirty |= TopicStops
	w.millState()
}

// repace sets a unit's pace by what slows it: the slowest of the upsets that last and
// of its return from a stop.
func (w *Works) repace(u int) {
	pace := 1.0
	if r := w.S.Ramps[u].Pace; r > 0 {
		pace = r
	}
	for i := range w.S.Upsets {
		if up := &w.S.Upsets[i]; up.Active && int(up.Unit) == u {
			pace = math.Min(pace, w.upsetSpec(up.Spec).slows())
		}
	}
	c := w.P.casterAt(u)
	if c < 0 {
		w.S.Net.SetPace(u, pace)
		return
	}
	if k := &w.S.Casters[c]; k.Cap != pace {
		w.advanceCaster(c)
		k.Cap = pace
		w.setSpeedIfCasting(c)
	}
}

// ramp lets a unit work at a pace for d seconds.
func (w *Works) ramp(u int, pace, d float64) {
	if !(pace > 0 && pace < 1 && d > 0) {
		return
	}
	w.S.BackNo++
	until := w.Now() + calendar.Dur(d)
	w.S.Ramps[u] = ramp{Pace: pace, Until: until, No: w.S.BackNo}
	w.S.Net.Cal.Book(until, calendar.Restore, calendar.Event{Kind: evBack, A: int32(u), B: w.S.BackNo})
	w.repace(u)
}

// comesBack begins the return of a unit that is not the train, whose own return knows
// of staging. A furnace comes back with its gas a step down.
func (w *Works) comesBack(s *UpsetSpec, u int) {
	if u == w.P.u.train || !(s.ComesBack > 0 && s.ComesBack < 1 && s.BackFor > 0) {
		return
	}
	if f := w.P.furnaceAt(u); f >= 0 {
		w.S.Furnaces[f].Trips++
		w.driveGas(f, false)
		w.S.Net.Cal.Book(w.Now()+calendar.Dur(s.BackFor), calendar.Restore, calendar.Event{Kind: evBack, A: int32(u)})
		return
	}
	if w.P.CanSlow(u) {
		w.ramp(u, s.ComesBack, s.BackFor)
	}
}

// back ends the slow return of a unit.
func (w *Works) back(u int, no int32) {
	if f := w.P.furnaceAt(u); f >= 0 {
		w.S.Furnaces[f].Trips--
		w.driveGas(f, false)
		return
	}
	if w.S.Ramps[u].No != no {
		return
	}
	w.S.Ramps[u] = ramp{}
	if u == w.P.u.train {
		w.S.StagePace = 0
	}
	w.repace(u)
}

// holdCaster ends what the caster casts and keeps it from beginning anew. The ladle's
// steel is poured back, or is lost where the heat is.
func (w *Works) holdCaster(c int, heatLost bool) {
	k := &w.S.Casters[c]
	k.Holds++
	switch k.Phase {
	case phCasting:
		w.advanceCaster(c)
		if heatLost {
			w.loseHeat(c)
		}
		w.abortSequence(c, ReasonCasterDown)
	case phIdle:
		k.Phase = phDown
		w.casterState(c)
	}
	w.placeHeats(c)
	w.S.Dirty |= TopicHeats
	w.S.Net.Wake(w.P.u.shop)
}

// loseHeat makes scrap of what is in the open ladle.
func (w *Works) loseHeat(c int) {
	k := &w.S.Casters[c]
	if k.Open < 0 {
		return
	}
	h := &w.S.Heats[k.Open]
	if g := k.Liquid - int64(w.P.Spec.Casters[c].Tundish*grams); g > 0 {
		k.Liquid -= g
		w.move(h.No, w.P.p.caster+recordPlace(c), w.P.p.scrap, g, stepLost)
		w.note(WordScrapped, w.P.u.caster+c, h.No, g, 0, 0)
	}
	*h = Heat{}
	k.Open = -1
}

// freeCaster takes one hold off a caster.
func (w *Works) freeCaster(c int) {
	k := &w.S.Casters[c]
	if k.Holds--; k.Holds > 0 || k.Broken > 0 || k.Phase != phDown {
		return
	}
	w.ready(c)
	w.S.Net.Wake(w.P.u.caster + c)
	w.S.Net.Wake(w.P.u.shop)
}

// ready: the caster may begin a sequence, unless something holds it.
func (w *Works) ready(c int) {
	k := &w.S.Casters[c]
	k.Phase = phIdle
	if k.Holds > 0 || k.Broken > 0 {
		k.Phase = phDown
	}
	w.casterState(c)
	for o := range w.P.Spec.Casters { // one that put off its planned stop for this one may begin it
		if w.S.Casters[o].Maint && w.S.Casters[o].Phase == phIdle {
			w.S.Net.Wake(w.P.u.caster + o)
		}
	}
}

// ruinPiece loses what a stop of the unit costs.
func (w *Works) ruinPiece(s *UpsetSpec, u int) {
	n := &w.S.Net
	k := &w.P.u
	if w.P.Spec.Cold != nil && u == k.bases && s.Kind == ShortStop {
		up := &w.S.Upsets[len(w.S.Upsets)-1]
		w.baseFault(up.Ends-w.Now(), w.uniform(luckBase, w.luckKey(up.Spec, up.Unit), uint64(up.No)))
		return
	}
	if s.Ruins&RuinBehind != 0 && w.onMill(u) {
		w.loseBars()
	}
	if s.Ruins&RuinPiece == 0 {
		return
	}
	switch {
	case u == k.train || u == k.runOut:
		w.loseStrip()
	case u == k.rougher || u == k.shear:
		if n.Units[u].Piece >= 0 {
			at := w.P.p.rougher
			if u == k.shear {
				at = w.P.p.shear
			}
			w.scrapPiece(n.Release(u), at, w.P.p.cobble, WordCobbled)
			w.bookReject()
		}
	case u >= k.coil && u < k.coil+len(w.P.Spec.Coilers.Names):
		w.loseCoiler(u)
	case w.P.Spec.Cold == nil:
	case u == k.pickle:
		w.tearPickled()
	case u == k.coldMill:
		w.tearCold()
	case u == k.temper || u == k.conveyor:
		if i := n.Units[u].Piece; i >= 0 {
			w.note(WordDowngraded, u, w.S.Pieces[i].Name, w.S.Pieces[i].Mass, 0, 0)
		}
	}
}

// tearPickled loses strip in the pickle line: 200 m, of 50 to 300 m (from memory).
func (w *Works) tearPickled() {
	i := w.S.Net.Units[w.P.u.pickle].Piece
	if i < 0 {
		return
	}
	pc := &w.S.Pieces[i]
	g := int64(math.Min(0.5, 200/w.P.products[pc.Prod].strip) * float64(pc.Mass))
	w.scrapMass(i, w.P.p.pickle, w.P.p.scrap, g)
	w.note(WordScrapped, w.P.u.pickle, pc.Name, g, 0, 0)
}

// tearCold loses strip in the cold mill: a twenty-fifth of the coil, some 100 m, of 20
// to 200 m (from memory); rolls are changed with it.
func (w *Works) tearCold() {
	w.S.Cold.MillSince = 0
	i := w.S.Net.Units[w.P.u.coldMill].Piece
	if i < 0 {
		return
	}
	pc := &w.S.Pieces[i]
	g := pc.Mass / 25
	w.scrapMass(i, w.P.p.coldMill, w.P.p.scrap, g)
	w.note(WordScrapped, w.P.u.coldMill, pc.Name, g, 0, 0)
}
