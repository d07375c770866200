package measure

import (
	"errors"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Setup is what a tally is made from.
type Setup struct {
	Route *record.Route
	Codes Codes
	Sheet Sheet
	// Stores are the places whose level is kept by the hour, beside those with a
	// band, which always are.
	Stores []record.Place
	// Scripted is how many upsets of the run were scripted; they have the numbers
	// 0 to Scripted-1.
	Scripted int
	// Cool is the mass of coils that are cool at the start, g.
	Cool int64
}

// place is what is known of one place.
type place struct {
	mass, in, out       int64
	room, low, high     int64
	dry                 int64 // what draws from it stops below
	peak, least         int64
	firstFull, firstDry calendar.Time
	banded              bool
	role                record.Role
	way                 int8 // index of a place with role Gone
}

// unit is what is known of one unit.
type unit struct {
	since  calendar.Time
	count  [NStates]int32
	spent  [NStates]calendar.Time
	places int32
	speed  int64 // last casting speed told
	pulled bool  // an extra crew is at a planned stop that was pulled forward
}

// store is one hourly series.
type store struct {
	at    record.Place // coolCoils and gasHolder for the two that are no places
	level []int64
}

// Places that the tally adds to those of the route.
const (
	coolCoils record.Place = -2
	gasHolder record.Place = -3
)

// Tally counts records. Make one with New.
type Tally struct {
	route *record.Route
	codes Codes
	sheet Sheet
	do    [MaxCode + 1]uint8

	places []place
	units  []unit
	series []store
	next   calendar.Time // next hour to be sampled
	now    calendar.Time // time of the last record, or of Settle
	events uint64
	strays int // records that name a place or unit that does not exist

	ways      int
	gone      []int64 // g by product and way
	secondary int64
	orderDone []calendar.Time // Never while open
	tundishes []int32         // by unit

	// places and the reheat stand by name, -1 for none
	shop, ladles, pooled, overflow, coils, skull, cobble, scrap, castCrop, trim, scale int
	stand                                                                              int

	tapped, opened, poured, sequences, unplanned   int64
	rejected, cobbled, scrapped, slabsBack, upsets int64
	speeds, ordered, refused                       int64
	tappedG, pouredG, downgraded, hauled, tundishG int64
	outside                                        int64 // g pickled outside
	overtime, fans                                 bool
	fanSince, fanTime                              calendar.Time
	burned, flared, bought, holder                 int64 // kJ
	holderLeast, holderPeak                        int64
	chargedG, chargedHotG                          int64
	chargedHeat                                    float64 // sum of g times tenths C
	cool, coolLeast                                int64
	firstCoolDry                                   calendar.Time
	scripted, active                               int
	firstUpset, lastOver                           calendar.Time
	crews                                          int32 // extra crews at work
	crewSince                                      calendar.Time
	crewTime                                       calendar.Time
	overflowOpen                                   bool
}

// hotCharge is the temperature from which a charge counts as hot, tenths C
// (above 400 C; common practice, no source).
const hotCharge = 4000

// New makes an empty tally.
func New(s Setup) (*Tally, error) {
	if s.Route == nil || len(s.Route.Places) == 0 {
		return nil, errors.New("measure: there is no route to count on")
	}
	do, ok := s.Codes.table()
	if !ok {
		return nil, errors.New("measure: two notes have one code, or a code is too large")
	}
	if err := s.Sheet.check(len(s.Route.Units)); err != nil {
		return nil, err
	}
	r := s.Route
	t := &Tally{route: r, codes: s.Codes, sheet: s.Sheet, do: do, scripted: s.Scripted, next: 0,
		firstUpset: calendar.Never, firstCoolDry: calendar.Never, cool: s.Cool, coolLeast: s.Cool,
		holder: s.Sheet.GasNormal, holderLeast: s.Sheet.GasNormal, holderPeak: s.Sheet.GasNormal}
	t.places = make([]place, len(r.Places))
	for i := range t.places {
		p, q := &t.places[i], &r.Places[i]
		p.role, p.room, p.low, p.high, p.dry = q.Role, q.Room, q.Low, q.High, q.Dry
		p.banded = q.Role == record.Store && q.High > 0
		p.firstFull, p.firstDry = calendar.Never, calendar.Never
		p.way = -1
		if q.Role == record.Gone {
			p.way = int8(t.ways)
			t.ways++
		}
	}
	t.units = make([]unit, len(r.Units))
	for i := range t.units {
		u := &t.units[i]
		u.places = r.Units[i].Places
		u.count[starved] = u.places // as every works begins
		u.speed = -1
	}
	t.gone = make([]int64, len(r.Products)*t.ways)
	t.tundishes = make([]int32, len(r.Units))
	t.orderDone = make([]calendar.Time, len(s.Sheet.Orders))
	for i := range t.orderDone {
		t.orderDone[i] = calendar.Never
	}
	for i := range t.places {
		keep := t.places[i].banded
		for _, at := range s.Stores {
			keep = keep || int(at) == i
		}
		if keep {
			t.series = append(t.series, store{at: record.Place(i)})
		}
	}
	if s.Cool > 0 || s.Codes.Cool > 0 {
		t.series = append(t.series, store{at: coolCoils})
	}
	if s.Sheet.GasRoom > 0 {
		t.series = append(t.series, store{at: gasHolder})
	}
	t.shop, t.ladles = placeNamed(r, "steel shop"), placeNamed(r, "ladles")
	t.pooled, t.overflow = placeNamed(r, "iron pooled"), placeNamed(r, "overflow yard")
	t.coils, t.skull, t.cobble, t.scrap = placeNamed(r, "coil yard"), placeNamed(r, "skull"), placeNamed(r, "cobble"), placeNamed(r, "scrap")
	t.castCrop, t.trim, t.scale = placeNamed(r, "casting crop"), placeNamed(r, "trim"), placeNamed(r, "scale")
	t.stand = unitNamed(r, "reheat stand")
	return t, nil
}

// Put counts the events.
func (t *Tally) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		if e.T > t.next {
			t.sample(e.T - 1)
		}
		switch e.Kind {
		case record.Move:
			t.move(e)
		case record.State:
			t.state(e)
		case record.Note:
			t.note(e)
		default:
			t.rare(e)
		}
	}
	if n := len(events); n > 0 {
		t.now = events[n-1].T
		t.events += uint64(n)
	}
}

// sample keeps the level of every series at each full hour up to the time.
func (t *Tally) sample(upto calendar.Time) {
	for t.next <= upto {
		for i := range t.series {
			s := &t.series[i]
			switch s.at {
			case coolCoils:
				s.level = append(s.level, t.cool)
			case gasHolder:
				s.level = append(s.level, t.holder)
			default:
				s.level = append(s.level, t.places[s.at].mass)
			}
		}
		t.next += calendar.Hour
	}
}

func (t *Tally) move(e *record.Event) {
	if uint(e.From) >= uint(len(t.places)) || uint(e.To) >= uint(len(t.places)) {
		t.strays++
		return
	}
	f, to, g := &t.places[e.From], &t.places[e.To], e.Mass
	opening := e.A == t.codes.Opening
	f.mass -= g
	f.out += g
	if f.mass < f.least {
		f.least = f.mass
	}
	if f.role == record.Store {
		if !opening && f.firstDry == calendar.Never && f.mass < max(g, f.dry) && f.low > 0 {
			f.firstDry = e.T
		}
		if int(e.From) == t.coils {
			t.cool -= g
			t.coolLeast = min(t.coolLeast, t.cool)
			if t.cool < g && t.firstCoolDry == calendar.Never {
				t.firstCoolDry = e.T
			}
		}
	}
	to.mass += g
	to.in += g
	if to.mass > to.peak {
		to.peak = to.mass
	}
	if e.A == t.codes.Outside {
		t.outside += g
	}
	if to.role == record.Store {
		if opening {
			to.least = to.mass
		} else if to.room > 0 && to.firstFull == calendar.Never && to.mass+g > to.room {
			to.firstFull = e.T
		}
		if e.A == t.codes.Haul && int(e.To) == t.overflow {
			t.hauled += g
		}
		if int(e.To) == t.ladles && int(e.From) == t.shop {
			t.tapped++
			t.tappedG += g
		}
		return
	}
	if to.way >= 0 {
		if e.A == t.codes.Gone && int(e.B) >= 0 && int(e.B) < len(t.route.Products) {
			t.gone[int(e.B)*t.ways+int(to.way)] += g
			if e.X != 0 {
				t.secondary += g
			}
		} else {
			t.strays++
		}
	}
	if int(e.To) == t.skull && e.Piece < 0 { // no heat's ladle: it stayed in a tundish
		t.tundishG += g
	}
}

// state books the hours of the state a unit leaves. A record says how many
// places run (B), are down and starved (X, high and low half); what is left of
// the places of a unit with many is in state A if that is none of these, else
// blocked.
func (t *Tally) state(e *record.Event) {
	if uint(e.From) >= uint(len(t.units)) || uint32(e.A) >= NStates {
		t.strays++
		return
	}
	u := &t.units[e.From]
	u.advance(e.T)
	u.count = [NStates]int32{}
	if u.places == 1 {
		u.count[e.A] = 1
		return
	}
	// X and Y carry the counts of the states in their order, sixteen bits each.
	for s := range 4 {
		u.count[s] = int32(uint16(e.X >> (16 * s)))
		u.count[s+4] = int32(uint16(e.Y >> (16 * s)))
	}
}

func (u *unit) advance(now calendar.Time) {
	d := now - u.since
	if d <= 0 {
		return
	}
	u.since = now
	for s := range u.count {
		if c := u.count[s]; c != 0 {
			u.spent[s] += d * calendar.Time(c)
		}
	}
}

func (t *Tally) note(e *record.Event) {
	if uint32(e.A) > MaxCode {
		return
	}
	switch t.do[e.A] {
	case doGas:
		t.burned += e.X
		t.flared += e.Y
		t.bought += e.Z
	case doCharged:
		t.chargedG += e.Y
		t.chargedHeat += float64(e.X) * float64(e.Y)
		if e.X > hotCharge {
			t.chargedHotG += e.Y
		}
	case doCool:
		t.cool += e.X
	case doOpened:
		t.opened++
	case doReturned:
		t.poured++
		t.pouredG += e.X
	case doSpeed:
		if u := t.unitOf(e); u != nil && u.speed != e.X {
			if u.speed >= 0 {
				t.speeds++
			}
			u.speed = e.X
		}
	case doSequence:
		t.sequences++
	case doSequenceEnds:
		if e.Y != 0 {
			t.unplanned++
		}
	case doTundish:
		if t.unitOf(e) != nil {
			t.tundishes[e.From]++
		}
	case doRejected:
		t.rejected++
	case doCobbled:
		t.cobbled++
	case doScrapped:
		t.scrapped++
	case doSlabBack:
		t.slabsBack++
	case doDowngraded:
		t.downgraded += e.X
	case doFans:
		t.blow(e.T)
		t.fans = e.X > 0
	case doPulled:
		if u := t.unitOf(e); u != nil && !u.pulled {
			u.pulled = true
			t.crew(e.T, 1)
		}
	case doPlannedOver:
		if u := t.unitOf(e); u != nil && u.pulled {
			u.pulled = false
			t.crew(e.T, -1)
		}
	}
}

func (t *Tally) unitOf(e *record.Event) *unit {
	if uint(e.From) >= uint(len(t.units)) {
		t.strays++
		return nil
	}
	return &t.units[e.From]
}

// crew counts extra crews that come or go.
func (t *Tally) crew(now calendar.Time, by int32) {
	t.crewTime += (now - t.crewSince) * calendar.Time(t.crews)
	t.crewSince = now
	t.crews += by
}

// blow counts the time that coils are cooled by force.
func (t *Tally) blow(now calendar.Time) {
	if t.fans {
		t.fanTime += now - t.fanSince
	}
	t.fanSince = now
}

func (t *Tally) rare(e *record.Event) {
	switch e.Kind {
	case record.Level:
		if e.A == t.codes.GasHolder {
			t.holder = e.X
			t.holderLeast, t.holderPeak = min(t.holderLeast, e.X), max(t.holderPeak, e.X)
		}
	case record.Upset:
		t.upsets++
		if e.B >= 0 && int(e.B) < t.scripted {
			t.active++
			t.firstUpset = min(t.firstUpset, e.T)
		}
	case record.Over:
		if e.B >= 0 && int(e.B) < t.scripted {
			t.active--
			t.lastOver = e.T
		}
	case record.Ordered:
		t.ordered++
		switch {
		case e.A == t.codes.OpenOverflow && !t.overflowOpen:
			t.overflowOpen = true
			t.crew(e.T, 1)
		case e.A == t.codes.Overtime && t.overtime != (e.X > 0):
			t.overtime = e.X > 0
			by := int32(max(1, t.sheet.Crews))
			if !t.overtime {
				by = -by
			}
			t.crew(e.T, by)
		case e.A == t.codes.ForceCooling && t.fans != (e.X > 0):
			t.blow(e.T)
			t.fans = e.X > 0
		case e.A == t.codes.CloseOverflow && t.overflowOpen:
			t.overflowOpen = false
			t.crew(e.T, -1)
		}
	case record.Refused:
		t.refused++
	case record.Due:
		if uint(e.B) < uint(len(t.orderDone)) && t.orderDone[e.B] == calendar.Never {
			t.orderDone[e.B] = e.T
		}
	}
}

// Settle brings every clock of the tally to now, at or after the last record.
// Read after it; Put may go on.
func (t *Tally) Settle(now calendar.Time) {
	if now < t.now {
		return
	}
	t.sample(now)
	for i := range t.units {
		t.units[i].advance(now)
	}
	t.crew(now, 0)
	t.blow(now)
	t.now = now
}

// CopyFrom makes t an independent copy of o, reusing t's memory.
func (t *Tally) CopyFrom(o *Tally) {
	a := *t
	*t = *o
	t.places = append(a.places[:0], o.places...)
	t.units = append(a.units[:0], o.units...)
	t.gone = append(a.gone[:0], o.gone...)
	t.orderDone = append(a.orderDone[:0], o.orderDone...)
	t.tundishes = append(a.tundishes[:0], o.tundishes...)
	t.series = append([]store(nil), o.series...)
	for i := range t.series {
		t.series[i].level = append([]int64(nil), o.series[i].level...)
	}
}
