package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
	"millrace/sim/steel"
)

// Start is what a run begins with.
type Start struct {
	Luck       chance.Luck
	Script     []UpsetSpec
	Background bool // background upsets happen
	SoldOut    bool // everything made can be sold
	// Levels overrides the normal level of stores, in grams by place; a negative
	// or missing value is the normal level.
	Levels map[record.Place]int64
	// Speeds overrides the casting speed, m/s by caster; zero is normal.
	Speeds [maxCasters]float64
	// Fixed lays the works out without luck: howlong's first picture.
	Fixed bool
}

// Begin lays out a works in its normal state: stores at their level, furnaces
// full, casters in the middle of a sequence, a programme half rolled. What is
// not known is drawn: an upset comes at no particular moment.
func Begin(p *Plant, s Start) *Works {
	w := &Works{P: p, Script: s.Script, Background: s.Background, SoldOut: s.SoldOut, quiet: s.Fixed}
	w.begin0(s)
	return w
}

func (w *Works) begin0(s Start) {
	p := w.P
	st := &w.S
	st.Luck = s.Luck
	st.Mass = make([]int64, p.p.count)
	st.Orders = make([]int64, len(p.Spec.Orders))
	st.OrdDon = make([]bool, len(p.Spec.Orders))
	st.OrdFirst = make([]int32, len(p.Spec.Products))
	n := &st.Net
	w.layUnits()
	n.AddStore(p.usable)
	n.AddStore(int64(p.Spec.Conveyor.Places))
	n.AddStore(int64(p.Spec.CoilYard.Room * grams))
	n.AddStore(1)
	for c := range p.Spec.Yard.Cranes {
		n.Link(storeYard, p.u.crane+c, true)
		n.Link(storeYard, p.u.crane+c, false)
	}
	for i := range st.Yard {
		st.Yard[i] = flow.Empty
	}
	st.Overflow, st.Delay, st.Conveyor, st.CoolPick, st.CoolHot = flow.Empty, flow.Empty, flow.Empty, flow.Empty, flow.Empty
	for c := range st.Casters {
		st.Casters[c] = Caster{Table: flow.Empty, Open: -1, Cap: 1, Aim: 0, First: true, Strands: 1}
	}
	for f := range st.Furnaces {
		k := &st.Furnaces[f]
		k.Row, k.Table = flow.Empty, flow.Empty
		k.Tail = -1
		for z := range k.Border {
			k.Border[z] = -1
		}
	}
	st.Cold.clear()
	st.MillStop = calendar.Never
	st.HearthAuto, st.WindAuto, st.StandFree = true, true, true
	st.Committed = p.Spec.Standing.CountCommitted
	st.Rule = uint8(p.Spec.Standing.ChargeRule)
	st.Wind = 1
	st.IronRate = p.Spec.Iron.Rate
	st.Gas = float64(s.startLevel(FuelGas, int64(p.Spec.Gas.Holder.Normal/1e3))) * 1e3
	st.CycleFrom = int32(w.uniform(luckStart, 0, 0) * cycleHeats)
	st.Risky = 0

	level := func(at record.Place, normal float64) int64 {
		if g, ok := s.Levels[at]; ok && g >= 0 {
			return g
		}
		return int64(math.Round(normal * grams))
	}
	w.opening(p.p.torpedoes, level(p.p.torpedoes, p.Spec.Iron.Torpedo.Normal))
	w.openYard(level(p.p.yard, p.Spec.Yard.Normal))
	w.openFurnaces()
	w.openMill()
	w.openCoils(&s, level(p.p.coilYard, p.Spec.CoilYard.Normal))
	ladles := p.Spec.Shop.LadlesNorm
	if g, ok := s.Levels[p.p.ladles]; ok && g >= 0 {
		ladles = int(math.Round(float64(g) / float64(p.heatG)))
	}
	w.openCasters(s, ladles)
	if p.Spec.Cold != nil {
		w.openCold(&s)
	}
	w.beginPlanned()
	w.beginLives(s.Background)
	n.Cal.Book(tickEvery, calendar.Sample, calendar.Event{Kind: evTick})
	for u := range n.Units {
		n.Wake(u)
	}
}

func (w *Works) layUnits() {
	n := &w.S.Net
	for u := range w.P.u.count {
		places := w.P.Route.Units[u].Places
		if w.P.manualUnit(u) {
			n.AddPlaces(places)
		} else {
			n.AddUnit()
		}
	}
	n.Shift(w.P.u.iron, flow.Starved, flow.Running, 1)
}

// opening books what was there before the run began.
func (w *Works) opening(at record.Place, g int64) {
	w.move(-1, w.P.p.opening, at, g, stepOpening)
}

// mixer deals products in proportion to their share, by least debt.
type mixer struct{ debt [maxProducts]float64 }

func (m *mixer) next(p *Plant, weight func(i int) float64) int {
	best := -1
	for i := range p.products {
		x := weight(i)
		if x <= 0 {
			continue
		}
		m.debt[i] += x
		if best < 0 || m.debt[i] > m.debt[best] {
			best = i
		}
	}
	if best < 0 {
		return best
	}
	m.debt[best]--
	return best
}

func slabShare(p *Plant) func(int) float64 {
	sum := 0.0
	for i := range p.products {
		sum += p.products[i].Share / float64(p.products[i].slabMass)
	}
	return func(i int) float64 { return p.products[i].Share / float64(p.products[i].slabMass) / sum }
}

// openYard fills the yard with slabs whose ages are those of a yard run first in
// first out at the normal pace.
func (w *Works) openYard(level int64) {
	p := w.P
	var m mixer
	share := slabShare(p)
	var list []int
	for g := int64(0); ; {
		i := m.next(p, share)
		g += p.products[i].slabMass
		if g > level {
			break
		}
		list = append(list, i)
	}
	oldest := float64(len(list)) * p.normalS
	for k, i := range list {
		age := oldest * (1 - (float64(k)+0.5)/float64(len(list)))
		w.openPiece(Piece{Prod: int16(i), Mass: p.products[i].slabMass, Born: -calendar.Dur(age + 2700), Stage: stYard}, p.p.yard)
		q := int32(len(w.S.Pieces) - 1)
		w.S.Net.Put(storeYard, w.S.Pieces[q].Mass)
		w.intoYard(q)
	}
}

// openPiece makes a piece that was there before; its name is negative.
func (w *Works) openPiece(pc Piece, at record.Place) int32 {
	pc.Name = -int32(len(w.S.Pieces)) - 1
	i := w.newPiece(pc)
	w.S.InWorks[pc.Prod] += pc.Mass
	w.emit(record.Event{Kind: record.Move, From: w.P.p.opening, To: at, Mass: pc.Mass, Piece: pc.Name, A: stepOpening})
	w.S.Mass[w.P.p.opening] -= pc.Mass
	w.S.Mass[at] += pc.Mass
	return i
}

// openFurnaces fills the hearths; each slab is as hot as one that has come to
// its place at the normal pace.
func (w *Works) openFurnaces() {
	p := w.P
	share := slabShare(p)
	var m mixer
	cold := p.pile.Temp(p.Spec.Yard.Normal * grams / float64(p.meanSlab()) * p.normalS)
	for f := range p.Spec.Furnaces {
		k := &w.S.Furnaces[f]
		zones := len(p.Spec.Furnaces[f].Zones)
		step := p.normalS * float64(len(p.Spec.Furnaces))
		places := p.hearth[f]
		full := places * 19 / 20
		for pos := range full {
			prod := m.next(p, share)
			h := steel.Enthalpy(cold)
			hIn := h
			kp := 0.0
			zone := 0
			for at := places - 1; at > pos; at-- { // walk it to its place
				for zone < zones-1 && at < p.zoneFrom[f][zone] {
					zone++
				}
				var x float64
				h, x = p.baths[f][zone][0].Advance(h, step)
				kp += x
			}
			for zone < zones-1 && pos < p.zoneFrom[f][zone] {
				zone++
			}
			i := w.openPiece(Piece{Prod: int16(prod), Mass: p.products[prod].slabMass, H: h, HIn: hIn, KP: kp, In: -calendar.Dur(float64(places-1-pos) * step),
				Born: -calendar.Day, Stage: stFurnace, On: uint8(f), Zone: uint8(zone), Slot: int32(pos), Run: 1}, p.p.furnace+record.Place(f))
			w.S.Net.PushTail(&k.Row, i)
			w.S.Net.Shift(p.u.furnace+f, flow.Starved, flow.Running, 1)
			k.Tail = int32(pos)
		}
		for z := 1; z < zones; z++ {
			for i := k.Row.Head; i >= 0; i = w.S.Net.After(i) {
				if int(w.S.Pieces[i].Zone) < z {
					k.Border[z] = i
					break
				}
			}
		}
		w.bookDoor(f)
	}
}

func (p *Plant) meanSlab() int64 {
	n, g := 0.0, 0.0
	for i := range p.products {
		x := p.products[i].Share / float64(p.products[i].slabMass)
		n += x
		g += p.products[i].Share
	}
	return int64(g / n)
}

// openMill puts the train somewhere in a programme.
func (w *Works) openMill() {
	s := &w.P.Spec.Train
	u := w.uniform(luckStart, 1, 0)
	w.S.ProgNo, w.S.TrainProg = 1, 1
	w.S.Since = int32(u * float64(s.Programme))
	// What is left of the programme has partly been charged already.
	charged := int32(0)
	for f := range w.P.Spec.Furnaces {
		charged += w.S.Furnaces[f].Row.N
	}
	left := int32(s.Programme) - w.S.Since - charged
	if left <= 0 {
		w.S.ProgLeft = 0
		return
	}
	sum := 0.0
	for p := range w.P.products {
		sum += float64(w.S.Yard[p].N)
	}
	for p := range w.P.products {
		w.S.Prog[p] = int16(math.Round(float64(left) * float64(w.S.Yard[p].N) / math.Max(1, sum)))
		w.S.ProgLeft += int32(w.S.Prog[p])
	}
}

// openCoils fills conveyor and coil yard: coils of the last days that are still
// cooling, and a cool stock of each way out.
func (w *Works) openCoils(st *Start, level int64) {
	p := w.P
	s := &p.Spec
	share := slabShare(p)
	var m mixer
	// conveyor
	coils := int(s.Conveyor.Normal.Normal)
	if g, ok := st.Levels[p.p.conveyor]; ok && g >= 0 {
		coils = int(math.Round(float64(g) / p.Route.Places[p.p.conveyor].PerAmount))
	}
	for k := range coils {
		prod := m.next(p, share)
		age := float64(k+1) * p.normalS
		i := w.openPiece(w.coilPiece(prod, age), p.p.conveyor)
		pc := &w.S.Pieces[i]
		pc.Stage = stConveyor
		w.S.Net.PushHead(&w.S.Conveyor, i) // older ones are nearer the exit
	}
	first := float64(coils) * p.normalS
	// The cool stocks take what they have at their normal level; the rest of the
	// yard is cooling, youngest last. A level other than normal changes the cool
	// stocks, since what cools follows from what was rolled.
	type coil struct {
		prod int
		age  float64
	}
	var cooling []coil
	coolG := int64(0)
	for age := first; age < 30*86400; age += p.normalS {
		prod := m.next(p, share)
		pr := &p.products[prod]
		if age >= w.coolFor(pr) {
			done := true
			for i := range p.products {
				if age < w.coolFor(&p.products[i]) {
					done = false
				}
			}
			if done {
				break
			}
			continue
		}
		cooling = append(cooling, coil{prod, age})
		coolG += pr.slabMass - pr.cropMass
	}
	scale := 1.0
	rest := level - coolG
	normal := (s.CoilYard.Cool.Normal + s.CoilYard.CoolHot.Normal) * grams
	if rest < 0 {
		rest = 0
		scale = float64(level) / float64(coolG)
	}
	debt := 0.0
	for k := len(cooling) - 1; k >= 0; k-- {
		if debt += scale; debt < 0.999 {
			continue
		}
		debt--
		c := cooling[k]
		w.openCoil(c.prod, c.age)
	}
	for _, way := range []struct {
		pickled bool
		want    float64
		at      record.Place
	}{{true, s.CoilYard.Cool.Normal, CoolToPickle}, {false, s.CoilYard.CoolHot.Normal, CoolHotBand}} {
		m = mixer{}
		want := st.startLevel(way.at, int64(way.want/normal*grams*float64(rest)))
		for g := int64(0); g < want; {
			prod := m.next(p, func(i int) float64 {
				if p.products[i].Pickled != way.pickled {
					return 0
				}
				return share(i)
			})
			if prod < 0 {
				break // no product goes this way
			}
			g += p.products[prod].slabMass - p.products[prod].cropMass
			w.openCoil(prod, w.coolFor(&p.products[prod])+1)
		}
	}
}

func (w *Works) coilPiece(prod int, age float64) Piece {
	pr := &w.P.products[prod]
	return Piece{Prod: int16(prod), Mass: pr.slabMass - pr.cropMass, Born: -calendar.Dur(age + 8*3600), At: -calendar.Dur(age)}
}

func (w *Works) openCoil(prod int, age float64) {
	pc := w.coilPiece(prod, age)
	pc.Stage = stCooling
	i := w.openPiece(pc, w.P.p.coilYard)
	n := &w.S.Net
	n.Put(storeCoils, pc.Mass)
	w.S.Cooling += pc.Mass
	left := w.coolFor(&w.P.products[prod]) - age
	if left <= 0 {
		w.coilCool(i)
		return
	}
	q := &w.S.Pieces[i]
	q.CoolAt = calendar.Dur(left)
	q.cool = n.Cal.Book(q.CoolAt, calendar.Finish, calendar.Event{Kind: evCool, A: i})
}

// openCasters puts every caster somewhere in a sequence, with heats in flight.
func (w *Works) openCasters(s Start, ladles int) {
	p := w.P
	n := &w.S.Net
	nc := len(p.Spec.Casters)
	flight := ladles // heats tapped and not yet opened
	for c := range p.Spec.Casters {
		k := &w.S.Casters[c]
		sp := &p.Spec.Casters[c]
		k.Strands = int8(sp.Strands)
		if s.Speeds[c] > 0 {
			k.Aim = s.Speeds[c]
		}
		u := w.uniform(luckStart, 2, uint64(c))
		done := int32(w.uniform(luckStart, 3, uint64(c)) * float64(sp.HeatsMax-1))
		k.Heats = done + 1
		k.SeqHeats = int16(done + 1)
		prod := int(p.cycle[(int(done)+c*len(p.cycle)/nc+int(w.S.CycleFrom))%len(p.cycle)])
		k.Prod, k.LastProd = int16(prod), int16(prod)
		k.Phase = phCasting
		k.SeqNo = 1
		k.First = false
		k.Cap = 1
		slot := w.freeHeat()
		h := &w.S.Heats[slot]
		*h = Heat{No: int32(c+1)*100000 + k.Heats, Prod: int16(prod), Caster: int8(c), Stage: htOpen, Mass: p.heatG}
		k.Open = int8(slot)
		// u of the heat is still in the ladle; the strand is full.
		full := w.closeAt(c)
		k.Liquid = full + int64(u*float64(p.heatG-int64(p.Spec.Shop.Skull*float64(p.heatG))))
		k.Head = w.uniform(luckStart, 4, uint64(c)) * w.cutLength(c)
		length := sp.Supported + k.Head
		g := int64(length * p.products[prod].metreMass * float64(sp.Strands) * grams)
		k.Seg[0] = segment{length, g, int16(prod)}
		k.NSeg = 1
		w.opening(p.p.caster+record.Place(c), k.Liquid+g)
		k.Speed = -1
		w.setSpeed(c)
	}
	// The other ladles with steel are on their way, the earliest for the caster
	// that needs one first.
	for ; flight > 0; flight-- {
		best, when := -1, calendar.Never
		for c := range p.Spec.Casters {
			if w.S.Casters[c].Phase != phCasting || int(w.S.Casters[c].SeqHeats) >= p.Spec.Casters[c].HeatsMax {
				continue
			}
			if t := w.need(c); t < when {
				best, when = c, t
			}
		}
		slot := w.freeHeat()
		if best < 0 || slot < 0 {
			break
		}
		k := &w.S.Casters[best]
		prod := w.nextProduct(best)
		if prod < 0 {
			break
		}
		k.Heats++
		k.SeqHeats++
		k.LastProd = int16(prod)
		h := &w.S.Heats[slot]
		*h = Heat{No: int32(best+1)*100000 + k.Heats, Prod: int16(prod), Caster: int8(best), Stage: htTreating, Mass: p.heatG}
		w.opening(p.p.ladles, h.Mass)
		ready := when - calendar.Dur(p.Spec.Standing.ArriveEarly)
		if ready < calendar.Minute {
			ready = calendar.Minute
		}
		h.Ready = ready
		h.event = n.Cal.Book(ready, calendar.Finish, calendar.Event{Kind: evTreated, A: int32(slot)})
	}
}
