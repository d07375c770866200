package works

import (
	"slices"
	"strings"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// upsetSpec is the description of upset kind number i of this run: background
// first, then what the scenario scripts.
func (w *Works) upsetSpec(i int32) *UpsetSpec {
	if n := int32(len(w.P.Spec.Upsets)); i >= n {
		return &w.Script[i-n]
	}
	return &w.P.Spec.Upsets[i]
}

// UnitsNamed returns the numbers of the units a name means: one unit by its own
// name, or every unit of a kind ("caster", "furnace", "coiler", "slab cranes").
func (p *Plant) UnitsNamed(name string) []int {
	var out []int
	for i := range p.Route.Units {
		u := p.Route.Units[i].Name
		if strings.EqualFold(u, name) {
			return []int{i}
		}
	}
	switch strings.ToLower(name) {
	case "caster", "casters":
		for i := range p.Spec.Casters {
			out = append(out, p.u.caster+i)
		}
	case "furnace", "furnaces":
		for i := range p.Spec.Furnaces {
			out = append(out, p.u.furnace+i)
		}
	case "coiler", "coilers":
		for i := range p.Spec.Coilers.Names {
			out = append(out, p.u.coil+i)
		}
	case "slab cranes", "slab crane":
		out = append(out, p.u.crane)
	case "hot mill":
		out = append(out, p.u.train)
	case "bell cranes", "bell crane":
		if p.Spec.Cold != nil {
			out = append(out, p.u.bellCrane)
		}
	}
	return out
}

// beginLives draws how long each background upset is away, and books the
// scripted ones.
func (w *Works) beginLives(background bool) {
	if background {
		for i := range w.P.Spec.Upsets {
			s := &w.P.Spec.Upsets[i]
			if Kinds[s.Kind].Clock == ByUse || s.Every <= 0 {
				continue
			}
			us := w.P.UnitsNamed(s.Unit)
			if len(s.With) > 0 {
				us = us[:min(1, len(us))] // one event for all of them
			}
			for _, u := range us {
				w.S.Lives = append(w.S.Lives, life{Spec: int32(i), Unit: int16(u), Due: calendar.Never})
				w.nextLife(len(w.S.Lives) - 1)
			}
		}
	}
	base := int32(len(w.P.Spec.Upsets))
	for i := range w.Script {
		s := &w.Script[i]
		us := w.P.UnitsNamed(s.Unit)
		if len(us) == 0 {
			continue
		}
		at := calendar.Dur(s.At)
		w.S.Upsets = append(w.S.Upsets, Upset{Spec: base + int32(i), Unit: int16(us[0])})
		w.S.Net.Cal.Book(at, calendar.Fail, calendar.Event{Kind: evBegin, A: int32(len(w.S.Upsets) - 1)})
	}
}

// nextLife draws the next life of a background upset and sets its clock.
func (w *Works) nextLife(i int) {
	l := &w.S.Lives[i]
	s := w.upsetSpec(l.Spec)
	// A life is a standard variate spent at a rate: exponential, so what is left
	// of it at the start of a run has the same law.
	d := -s.Every * logOf(w.uniform(luckLife, w.luckKey(l.Spec, l.Unit), uint64(l.No)))
	if w.P.ClockOf(s, int(l.Unit)) == ByCalendar {
		l.Due = w.Now() + calendar.Dur(d)
		l.h = w.S.Net.Cal.Book(l.Due, calendar.Fail, calendar.Event{Kind: evBegin, A: int32(-1 - i)})
		return
	}
	l.Due = w.S.Net.Reading(int(l.Unit)) + calendar.Dur(d)
	w.setFailAt(int(l.Unit))
}

// ClockOf is what wears towards an upset on a unit: the clock of its kind, but the
// calendar where the unit keeps no operating time and where it hits several units.
func (p *Plant) ClockOf(s *UpsetSpec, u int) Clock {
	if c := Kinds[s.Kind].Clock; c != ByOperating || len(s.With) == 0 && !p.manualUnit(u) {
		return c
	}
	return ByCalendar
}

// manualUnit says whether the unit's places are moved by the works and not by flow.
func (p *Plant) manualUnit(u int) bool {
	k := &p.u
	return u == k.iron || u == k.shop || u == k.reheatStand || u == k.runOut || u >= k.caster && u < k.caster+len(p.Spec.Casters) ||
		u >= k.furnace && u < k.furnace+len(p.Spec.Furnaces) || p.Spec.Cold != nil && (u == k.bases || u == k.dispatch)
}

// setFailAt gives flow the earliest of the unit's lives.
func (w *Works) setFailAt(u int) {
	due := calendar.Never
	for i := range w.S.Lives {
		l := &w.S.Lives[i]
		if int(l.Unit) == u && l.h == 0 && l.Due < due {
			due = l.Due
		}
	}
	w.S.Net.SetFailAt(u, due)
}

// failed: a unit's operating time has run out; which upset is it?
func (w *Works) failed(u int) {
	best := -1
	for i := range w.S.Lives {
		l := &w.S.Lives[i]
		if int(l.Unit) == u && l.h == 0 && (best < 0 || l.Due < w.S.Lives[best].Due) {
			best = i
		}
	}
	if best < 0 {
		w.S.Net.Clear(u, flow.CauseDown)
		return
	}
	l := &w.S.Lives[best]
	l.Due = calendar.Never
	spec, no := l.Spec, l.No
	l.No++
	w.S.Upsets = append(w.S.Upsets, Upset{Spec: spec, Unit: int16(u), No: no})
	w.start(len(w.S.Upsets)-1, true)
	w.nextLife(best)
}

// begin starts a scripted upset (a >= 0) or one whose calendar life is over.
func (w *Works) begin(a int) {
	if a >= 0 {
		w.start(a, false)
		return
	}
	i := -1 - a
	l := &w.S.Lives[i]
	spec, no, u := l.Spec, l.No, l.Unit
	l.No++
	w.S.Upsets = append(w.S.Upsets, Upset{Spec: spec, Unit: u, No: no})
	w.start(len(w.S.Upsets)-1, false)
	w.nextLife(i)
}

// start carries out the beginning of upset number i of this run, on its unit and on
// the others that it hits. stopped says that flow has already taken the unit down.
func (w *Works) start(i int, stopped bool) {
	up := &w.S.Upsets[i]
	s := w.upsetSpec(up.Spec)
	p := luckRepair
	if s.Scripted {
		p = luckTruth
	}
	q := w.uniform(p, w.luckKey(up.Spec, up.Unit), uint64(up.No))
	var d float64
	if s.Elapsed > 0 {
		d = s.Lasts.Residual(q, s.Elapsed)
	} else {
		d = s.Lasts.Quantile(q)
	}
	if w.Ages != nil {
		w.Ages(int(up.Spec), w.P.Route.Units[up.Unit].Name, up.No, w.S.Net.Reading(int(up.Unit)))
	}
	ends := w.Now() + calendar.Dur(d)
	spec, no := up.Spec, up.No
	w.begun(i, s, ends, stopped)
	for _, u := range w.P.alsoHit(s) {
		if u != int(w.S.Upsets[i].Unit) {
			w.S.Upsets = append(w.S.Upsets, Upset{Spec: spec, Unit: int16(u), No: no, Part: true, Main: int32(i)})
			w.begun(len(w.S.Upsets)-1, s, ends, false)
		}
	}
	w.S.Dirty |= TopicStops
	w.millState()
}

// alsoHit are all units of an upset that hits several at once.
func (p *Plant) alsoHit(s *UpsetSpec) []int {
	if len(s.With) == 0 {
		return nil
	}
	var out []int
	for i := -1; i < len(s.With); i++ {
		name := s.Unit
		if i >= 0 {
			name = s.With[i]
		}
		for _, u := range p.UnitsMeant(name) {
			if !slices.Contains(out, u) {
				out = append(out, u)
			}
		}
	}
	return out
}

// begun is the beginning of an upset on one unit.
func (w *Works) begun(i int, s *UpsetSpec, ends calendar.Time, stopped bool) {
	up := &w.S.Upsets[i]
	n := &w.S.Net
	u := int(up.Unit)
	up.Began = w.Now() - calendar.Dur(s.Elapsed)
	up.Ends = ends
	up.Active = true
	up.Likely, up.Low, up.Bad = calendar.Never, calendar.Never, calendar.Never
	if s.Kind == BellCraneOut && w.P.Spec.Cold != nil {
		u = w.ableBellCrane()
	}
	if s.Kind == SlabCraneOut {
		u = w.ableCrane()
	}
	if u < 0 {
		up.Active, up.Dead = false, true
		return
	}
	up.Unit = int16(u)
	w.emit(record.Event{Kind: record.Upset, A: int32(s.Kind), B: int32(i), From: record.Place(u), To: record.Nowhere, Piece: -1})
	switch {
	case w.takesDown(s.Kind):
		w.hold(s, u, stopped)
	case stopped:
		n.Clear(u, flow.CauseDown) // it does not stand: the acid runs on from the looper, the pace falls
	}
	w.effect(i, s, u)
	up = &w.S.Upsets[i]
	up.event = n.Cal.Book(up.Ends, calendar.Restore, calendar.Event{Kind: evEnd, A: int32(i)})
	if t := w.Now() + calendar.Dur(s.StopsAfter-s.Elapsed); s.StopsAfter > 0 && t < up.Ends && s.Kind == SlowDown {
		n.Cal.Book(max(t, w.Now()), calendar.Fail, calendar.Event{Kind: evGivesUp, A: int32(i)})
	}
	up.FirstWord = w.Now() + calendar.Dur(s.Told.After)
	if !up.Part {
		up.word = n.Cal.Book(up.FirstWord, calendar.Told, calendar.Event{Kind: evWord, A: int32(i)})
	}
}

// takesDown says whether the kind makes its unit stand.
func (w *Works) takesDown(k UpsetKind) bool {
	switch k {
	case FurnaceTrip, FurnaceJam, CasterBreakout, NozzleClogging, DescalePumpLost, LateHeat, WeldBreak, LooperExhausted, AcidOut, GasLost, SlowDown, SequenceBroken:
		return false
	}
	return true
}

func (w *Works) ableCrane() int {
	for i := range w.P.Spec.Yard.Cranes {
		if u := w.P.u.crane + i; w.S.Net.Units[u].Able() {
			return u
		}
	}
	return -1
}

// effect is what the upset does at once.
func (w *Works) effect(i int, s *UpsetSpec, u int) {
	if !w.S.Upsets[i].Part {
		w.downgrade(s.Downgrades, u)
	}
	if w.P.Spec.Cold != nil && w.coldEffect(s, u) {
		return
	}
	k := &w.P.u
	n := &w.S.Net
	switch s.Kind {
	case SimpleCobble, BadCobble, StandWreck:
		w.loseStrip()
		if s.Ruins&RuinBehind != 0 {
			w.loseBars()
		}
	case FurnaceTrip:
		f := u - k.furnace
		w.S.Furnaces[f].Trips++
		w.driveGas(f, false)
	case FurnaceJam:
		w.jam(u - k.furnace)
	case CasterBreakout:
		w.breakout(u - k.caster)
	case NozzleClogging:
		w.repace(u)
	case CoilerDown:
		w.loseCoiler(u)
	case DescalePumpLost:
		w.S.WeakWater++
		w.repace(u)
	case SlowDown:
		w.repace(u)
	case SequenceBroken:
		w.holdCaster(u-k.caster, s.Ruins&RuinHeat != 0)
	case ShortStop, SupplyLost:
		w.ruinPiece(s, u)
		if u == k.conveyor {
			n.Wake(k.descaler)
		}
	}
}

// end restores what upset i took.
func (w *Works) end(i int) {
	up := &w.S.Upsets[i]
	if !up.Active {
		return
	}
	s := w.upsetSpec(up.Spec)
	n := &w.S.Net
	k := &w.P.u
	u := int(up.Unit)
	up.Active = false
	n.Cal.Cancel(up.word)
	n.Cal.Cancel(up.event)
	w.emit(record.Event{Kind: record.Over, A: int32(s.Kind), B: int32(i), From: record.Place(u), To: record.Nowhere, Piece: -1})
	switch s.Kind {
	case FurnaceTrip:
		f := u - k.furnace
		w.S.Furnaces[f].Trips--
		w.driveGas(f, false)
	case FurnaceJam:
		w.unjam(u - k.furnace)
	case CasterBreakout:
		w.casterBack(u - k.caster)
	case NozzleClogging:
		w.repace(u)
	case DescalePumpLost:
		w.S.WeakWater--
		w.repace(u)
	case SlowDown:
		if up.Stands {
			w.letGo(i, s, u)
		}
		w.repace(u)
	case SequenceBroken:
		w.freeCaster(u - k.caster)
	case ShortStop, SupplyLost:
		w.letGo(i, s, u)
	case WeldBreak, LooperExhausted, TankBreak, AcidOut, ColdMillBreak, BellCraneOut, GasLost, DispatchBlocked:
		if w.P.Spec.Cold != nil && !w.coldEnd(s, u) {
			w.resume(i, s, u)
		}
	case LateHeat:
	default:
		w.resume(i, s, u)
	}
	w.comesBack(s, u)
	w.S.Dirty |= TopicStops
	w.millState()
}

// resume brings a unit of flow back.
func (w *Works) resume(i int, s *UpsetSpec, u int) {
	n := &w.S.Net
	k := &w.P.u
	up := &w.S.Upsets[i]
	long := w.Now()-up.Began > 2*calendar.Hour
	if u == k.train {
		// A coiler that was winding the strip that stood goes on with it.
		if p := n.Units[k.train].Piece; p >= 0 {
			if c := k.coil + int(w.S.Pieces[p].On); n.Units[c].Piece == p {
				n.Extend(c, w.Now()-up.Began)
			}
		}
		if s.Ruins&RuinRolls != 0 || s.Kind == RollChangeForced {
			w.S.Since = 0
		}
		if long {
			w.S.Risky = riskyCoils
			if w.S.StagePace == 0 && w.P.Spec.Standing.Staging > 0 {
				w.S.Easy = int32(w.P.Spec.Standing.Staging)
			}
		}
		pace, d := s.ComesBack, s.BackFor
		if w.S.StagePace > 0 {
			pace = w.S.StagePace
			if d < 2*3600 {
				d = 2 * 3600
			}
		}
		w.ramp(k.train, pace, d)
	}
	if u == k.rougher {
		if p := n.Units[u].Piece; p >= 0 {
			pc := &w.S.Pieces[p]
			pr := &w.P.products[pc.Prod]
			pc.TC = float32(w.P.radiate(float64(pc.TC), (w.Now() - up.Began).Seconds(), 2*pr.bar, 0))
		}
	}
	n.Clear(u, flow.CauseDown)
	w.wakeMill()
	for c := range w.P.Spec.Coilers.Names {
		n.Wake(k.coil + c)
	}
	n.Wake(k.conveyor)
	w.wakeCranes()
}

// riskyCoils is how many coils after a long stop are likelier to cobble.
const riskyCoils = 10

// cobbleByUse lets the strip that begins draw whether it cobbles.
func (w *Works) cobbleByUse(i int32) {
	pc := &w.S.Pieces[i]
	risk := 1.0
	if w.S.Risky > 0 {
		w.S.Risky--
		// A train that comes back at full pace onto cold rolls cobbles more often
		// (common practice, no source); a slow start with easy slabs much less.
		risk = 6
		if w.S.Net.Units[w.P.u.train].Pace < 1 {
			risk = 1.5
		}
	}
	if !w.Background {
		return
	}
	for s := range w.P.Spec.Upsets {
		sp := &w.P.Spec.Upsets[s]
		if Kinds[sp.Kind].Clock != ByUse || sp.Kind == LateHeat || sp.Every <= 0 {
			continue
		}
		if w.happens(risk/sp.Every, luckUse, uint64(pc.Name), w.P.keys.upsets[s]) {
			w.S.Upsets = append(w.S.Upsets, Upset{Spec: int32(s), Unit: int16(w.P.u.train), No: pc.Name})
			w.start(len(w.S.Upsets)-1, false)
			return
		}
	}
}

// lateHeat is how much later than planned a heat comes from treatment, s.
func (w *Works) lateHeat(no int32) float64 {
	if !w.Background {
		return 0
	}
	late := 0.0
	for s := range w.P.Spec.Upsets {
		sp := &w.P.Spec.Upsets[s]
		if sp.Kind != LateHeat || sp.Every <= 0 || !w.happens(1/sp.Every, luckUse, uint64(no), w.P.keys.upsets[s]) {
			continue
		}
		late += w.drawLaw(sp.Lasts, luckRepair, w.luckKey(int32(s), int16(w.P.u.shop)), uint64(no))
		w.emit(record.Event{Kind: record.Upset, A: int32(LateHeat), B: -1, From: record.Place(w.P.u.shop), To: record.Nowhere, Piece: no})
	}
	return late
}
