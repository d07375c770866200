package works

import (
	"fmt"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// batch is how many events are collected before the sink gets them.
const batch = 256

// Now returns the simulated time.
func (w *Works) Now() calendar.Time { return w.S.Net.Now() }

// Run plays the works up to and including the time until. It stops early with the
// error of a director that has one.
func (w *Works) Run(until calendar.Time) error {
	n := &w.S.Net
	w.settle()
	for w.err == nil {
		e, ok := n.Next(until)
		if !ok {
			break
		}
		w.S.NEvents++
		w.handle(e)
		w.settle()
	}
	w.flush()
	return w.err
}

func (w *Works) handle(e calendar.Event) {
	u := int(e.Unit)
	switch e.Kind {
	case flow.KindDone:
		w.done(u)
	case flow.KindFail:
		w.failed(u)
	case evWake:
		w.S.Net.Wake(u)
	case evTick:
		w.tick()
	case evTap:
		w.tapped(int(e.A))
	case evTreated:
		w.treated(int(e.A))
	case evCold:
		w.tooCold(int(e.A))
	case evReheat:
		w.reheated(int(e.A))
	case evOpen:
		w.S.Casters[u].open = 0
		w.tryOpen(u)
	case evLiquid:
		w.S.Casters[u].liq = 0
		w.liquidEvent(u)
	case evCut:
		w.S.Casters[u].cut = 0
		w.cut(u)
	case evTurned:
		w.turned(u)
	case evReady:
		w.S.Furnaces[u].ready = 0
		w.doorReady(u)
	case evStep:
		w.S.Furnaces[u].step = 0
		w.stepFurnace(u)
	case evReject:
		w.S.reject = 0
		w.rejectBar()
	case evCool:
		w.coilCool(e.A)
	case evRolls:
		w.rollsChanged()
	case evBegin:
		w.begin(int(e.A))
	case evWord:
		w.word(int(e.A))
	case evEnd:
		w.end(int(e.A))
	case evGivesUp:
		w.givesUp(int(e.A))
	case evBack:
		w.back(int(e.A), e.B)
	case evPlanned:
		w.planned(int(e.A))
	case evPlanEnd:
		w.plannedEnd(int(e.A))
	case evHearth:
		w.S.hearth = 0
		w.hearthPlan()
	case evBase:
		w.baseDone(int(e.A))
	case evFloor:
		w.floorCool(e.A)
	case evSlot:
		w.slot()
	case evLooper:
		w.looperOut()
	case evOverpickled:
		w.overpickled()
	case evOutside:
		w.outsideBack(e.A)
	case evColdRolls:
		w.coldRollsChanged()
	case evAsk:
		w.S.asked = 0
		w.S.Dirty |= TopicTime
	}
}

// settle lets every unit that may have something to do have its turn, reports
// what changed, and asks the director until nothing more comes of it.
func (w *Works) settle() {
	for range 1000 {
		n := &w.S.Net
		for {
			u, ok := n.Ready()
			if !ok {
				break
			}
			w.try(u)
		}
		if w.S.draining > 0 {
			w.drained()
		}
		for {
			u, ok := n.Changed()
			if !ok {
				break
			}
			w.reportState(u)
		}
		if w.Director == nil || !w.ask() {
			break
		}
	}
	if len(w.out) >= batch {
		w.flush()
	}
}

func (w *Works) try(u int) {
	k := &w.P.u
	switch {
	case u == k.shop:
		w.tryShop()
	case u >= k.caster && u < k.caster+len(w.P.Spec.Casters):
		w.tryCaster(u - k.caster)
	case u >= k.crane && u < k.crane+w.P.Spec.Yard.Cranes:
		w.tryCrane(u - k.crane)
	case u == k.haulage:
		w.tryHaulage()
	case u >= k.furnace && u < k.furnace+len(w.P.Spec.Furnaces):
		w.tryFurnace(u - k.furnace)
	case u == k.descaler:
		w.tryDescaler()
	case u == k.descaler:
		if i := w.S.Net.Units[u].Piece; i >= 0 {
			w.S.Pieces[i].At = w.Now() // the slab begins to wait
		}
	case u == k.rougher:
		w.tryRougher()
	case u == k.shear:
		w.tryShear()
	case u == k.train:
		w.tryTrain()
	case u >= k.coil && u < k.coil+len(w.P.Spec.Coilers.Names):
		w.tryCoiler(u - k.coil)
	case u == k.conveyor:
		w.tryConveyor()
	case u == k.pickle:
		if w.P.Spec.Cold != nil {
			w.tryPickleLine()
		} else {
			w.tryPickle()
		}
	case u == k.dispatch:
		if w.P.Spec.Cold == nil {
			w.tryDispatch()
		}
	case w.P.Spec.Cold == nil:
	case u == k.outside:
		w.tryOutside()
	case u == k.coldMill:
		w.tryColdMill()
	case u >= k.bellCrane && u < k.bellCrane+w.P.Spec.Cold.Anneal.Cranes:
		w.tryBellCrane(u - k.bellCrane)
	case u == k.temper:
		w.tryTemper()
	}
}

// done is told that the piece on a unit is finished.
func (w *Works) done(u int) {
	k := &w.P.u
	switch {
	case u >= k.crane && u < k.crane+w.P.Spec.Yard.Cranes:
		w.craneDone(u - k.crane)
	case u == k.haulage:
		w.haulageDone()
	case u == k.rougher:
		if i := w.S.Net.Units[u].Piece; i >= 0 {
			w.S.Pieces[i].At = w.Now() // the bar begins to cool
		}
		w.roughed()
	case u == k.train:
		w.rolled()
	case u == k.pickle:
		if w.P.Spec.Cold == nil {
			w.pickled()
		} else {
			w.pickleDone()
		}
	case w.P.Spec.Cold != nil && u >= k.bellCrane && u < k.bellCrane+w.P.Spec.Cold.Anneal.Cranes:
		w.bellCraneDone(u - k.bellCrane)
	case u == k.dispatch:
		w.dispatched()
	}
}

func (w *Works) emit(e record.Event) {
	if w.Sink == nil {
		return
	}
	e.T = w.Now()
	w.out = append(w.out, e)
}

func (w *Works) flush() {
	if w.Sink != nil && len(w.out) > 0 {
		w.Sink.Put(w.out)
	}
	w.out = w.out[:0]
}

// Flush hands what was recorded to the sink.
func (w *Works) Flush() { w.flush() }

// move books mass from place to place; every gram that moves goes through here.
func (w *Works) move(piece int32, from, to record.Place, g int64, step int32) {
	w.S.Mass[from] -= g
	w.S.Mass[to] += g
	w.emit(record.Event{Kind: record.Move, From: from, To: to, Mass: g, Piece: piece, A: step})
}

func (w *Works) reportState(u int) {
	c := &w.S.Net.Units[u].Count
	pack := func(from flow.State) (x int64) {
		for i := range flow.State(4) {
			x |= int64(uint16(c[from+i])) << (16 * i)
		}
		return x
	}
	w.emit(record.Event{Kind: record.State, From: record.Place(u), To: record.Nowhere, Piece: -1, A: int32(w.unitState(u)), B: c[flow.Running] + c[flow.Slowed], X: pack(0), Y: pack(4)})
}

// unitState is the state of a unit, for one with many places the state that
// most say: down when any is down, running when any runs.
func (w *Works) unitState(u int) flow.State {
	c := &w.S.Net.Units[u].Count
	for _, s := range [...]flow.State{flow.OffShift, flow.Maintenance, flow.Down, flow.Running, flow.Slowed, flow.Changeover, flow.Blocked, flow.Starved} {
		if c[s] > 0 {
			return s
		}
	}
	return flow.Starved
}

// note records what people would write in the log.
func (w *Works) note(what Word, on int, piece int32, x, y, z int64) {
	w.emit(record.Event{Kind: record.Note, A: int32(what), From: record.Place(on), To: record.Nowhere, Piece: piece, X: x, Y: y, Z: z})
}

func (w *Works) wakeAt(t calendar.Time, unit int) calendar.Handle {
	return w.S.Net.Cal.Book(t, calendar.Sample, calendar.Event{Kind: evWake, Unit: uint16(unit)})
}

// Check reports every broken law of the present state.
func (w *Works) Check() []error {
	var errs []error
	p := w.P
	sum := int64(0)
	for _, m := range w.S.Mass {
		sum += m
	}
	if sum != 0 {
		errs = append(errs, fmt.Errorf("mass: %d g appeared from nowhere", sum))
	}
	// What the pieces say must be what the places say.
	have := make([]int64, p.p.count)
	for i := range w.S.Pieces {
		pc := &w.S.Pieces[i]
		if at, ok := w.placeOf(pc); ok {
			have[at] += pc.Mass
		}
	}
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		switch h.Stage {
		case htTreating, htWaiting, htReheat:
			have[p.p.ladles] += h.Mass
		case htBlowing, htNoLadle:
			have[p.p.shop] += w.charge()
		}
	}
	for c := range p.Spec.Casters {
		k := &w.S.Casters[c]
		at := p.p.caster + record.Place(c)
		have[at] += k.Liquid
		for i := int8(0); i < k.NSeg; i++ {
			have[at] += k.Seg[i].Mass
		}
	}
	for at := range have {
		r := p.Route.Places[at].Role
		if (r == record.Store || r == record.OnUnit) && record.Place(at) != p.p.torpedoes && have[at] != w.S.Mass[at] {
			errs = append(errs, fmt.Errorf("mass: %s holds %d g of pieces and heats but %d g were moved there", p.Route.Places[at].Name, have[at], w.S.Mass[at]))
		}
	}
	for at, m := range w.S.Mass {
		r := p.Route.Places[at].Role
		if m < 0 && r != record.Source {
			errs = append(errs, fmt.Errorf("mass: %s holds %d g", p.Route.Places[at].Name, m))
		}
	}
	if m := w.S.Mass[p.p.torpedoes]; m > int64(p.Spec.Iron.Torpedo.Room*grams)+1 {
		errs = append(errs, fmt.Errorf("torpedoes hold %d g, more than their room", m))
	}
	if m := w.S.Mass[p.p.yard]; m > p.usable {
		errs = append(errs, fmt.Errorf("slab yard holds %d g, more than its reachable room %d", m, p.usable))
	}
	w.S.Net.Settle()
	for u := range w.S.Net.Units {
		var t calendar.Time
		un := &w.S.Net.Units[u]
		for _, s := range un.Spent {
			t += s
		}
		if want := w.Now() * calendar.Time(p.Route.Units[u].Places); t != want {
			errs = append(errs, fmt.Errorf("%s: states add up to %d us, the calendar says %d", p.Route.Units[u].Name, t, want))
		}
	}
	inWorks := [maxProducts]int64{}
	for i := range w.S.Pieces {
		inWorks[w.S.Pieces[i].Prod] += w.S.Pieces[i].Mass
	}
	for i := range p.products {
		if inWorks[i] != w.S.InWorks[i] {
			errs = append(errs, fmt.Errorf("%s: %d g in the works, counted %d", p.products[i].Name, inWorks[i], w.S.InWorks[i]))
		}
	}
	if m := w.S.Net.Cal.Check(); m != "" {
		errs = append(errs, fmt.Errorf("%s", m))
	}
	return errs
}

// placeOf is the place where a piece is counted.
func (w *Works) placeOf(pc *Piece) (record.Place, bool) {
	q := &w.P.p
	switch pc.Stage {
	case stTable:
		return q.table + record.Place(pc.On), true
	case stYard:
		return q.yard, true
	case stLiftIn: // on the hook it still counts where it came from
		return q.table + record.Place(pc.On), true
	case stLiftOut:
		return q.yard, true
	case stOverflow:
		return q.overflow, true
	case stCharge:
		return q.charge + record.Place(pc.On), true
	case stFurnace:
		return q.furnace + record.Place(pc.On), true
	case stDescaler:
		return q.descaler, true
	case stRougher:
		return q.rougher, true
	case stDelay:
		return q.delay, true
	case stShear:
		return q.shear, true
	case stTrain:
		return q.train, true
	case stCoiler:
		return q.coiler, true
	case stConveyor:
		return q.conveyor, true
	case stCooling, stCool:
		return q.coilYard, true
	case stPickle:
		return q.pickle, true
	case stOutside:
		return q.outside, true
	case stPickled:
		return q.pickled, true
	case stColdMill:
		return q.coldMill, true
	case stHard:
		return q.hard, true
	case stBase:
		return q.bases, true
	case stFloor, stReady:
		return q.annealed, true
	case stTemper:
		return q.temper, true
	case stFinished:
		return q.finished, true
	case stTaken:
		if w.P.products[pc.Prod].Pickled {
			return q.pickle, true
		}
		return q.dispatch, true
	}
	return 0, false
}
