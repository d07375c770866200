package flow

import (
	"errors"
	"fmt"

	"millrace/sim/calendar"
)

// Kinds of event of a plant.
const (
	kindArrival  = KindCaller + iota // Unit: source
	kindRestored                     // Unit, A: way of failing
	kindClock                        // Unit, A: way of failing by the calendar
	kindStop                         // Unit, A: planned stop
	kindResume                       // the same, its end
	kindPatience                     // A: piece
	kindTravel                       // A: store
)

// Plant is a line, or a net of lines, that is declared and then run: sources,
// stores, units and shared equipment. The caller gives every duration; the
// plant draws no luck. It is driven on a Net; see the package's text for what
// happens in one moment. Use NewPlant.
type Plant struct {
	net     Net
	pieces  []Piece // by slot of the net
	number  int64
	sources []source
	stores  []store
	units   []unit // by unit of the net
	groups  []group
	shared  []shared
	claims  []claim
	out     func(*Piece)
	begun   bool
	risky   bool // pieces, or equipment, may wait for each other in a circle
	err     error
	stall   *Stall

	totals
	since    base // what had been counted at the last Reset
	loose    bool // tieUp has something to do
	suspects []int32
	able     []bool
	beats    int // pending events that come by the clock alone: planned stops, failures by the calendar
}

// group is what a UnitSpec has made: units of the net, side by side.
type group struct {
	spec  *UnitSpec
	first int32
	n     int32
	taken int // pieces taken from Outside
}

type source struct {
	gap  func(n int) calendar.Time
	n    int
	next calendar.Handle
	to   StoreID
	slow bool // has a Group or a Route
	spec *SourceSpec
}

// What a unit of a plant has that a plain one has not.
const (
	hasRoute = 1 << iota
	hasSetup
	hasBatch
	hasNeeds
	hasBegins
	hasEnds
	hasFate // work may go on that was begun elsewhere, or be begun again
	hasAlso
	hasPicks
	hasParts
)

// unit is what the plant knows of a unit of its net.
type unit struct {
	work  func(*Piece) calendar.Time
	from  StoreID
	to    StoreID // where the piece in hand goes
	has   uint32
	last  int32 // kind it is set up for
	plain bool  // has only its work; see plant_plain.go
	fresh bool  // not set up for anything yet
	due   int8  // planned stops that wait for the piece in hand
	// changes: the last of its needs is that of the changeover; setting: it has one now.
	changes, setting bool
	group            int32
	claim            int32 // of Needs; the others and those of its repairs follow
	needs            int32 // how many claims its work has, 1 when it needs nothing
	whole            calendar.Time
	load             List // the other pieces of a batch
	done             int64
	modes            []mode
	stops            []stop
}

// NewPlant returns a plant with nothing in it.
func NewPlant() *Plant {
	p := new(Plant)
	p.outside()
	return p
}

// outside makes the first store the world and the first equipment none.
func (p *Plant) outside() {
	if len(p.stores) == 0 {
		p.stores, p.shared = []store{{list: Empty, special: true}}, make([]shared, 1)
	}
}

func (p *Plant) refuse(format string, a ...any) {
	if p.err == nil {
		p.err = fmt.Errorf("flow: "+format, a...)
	}
}

// declaring refuses what is added to a plant that has begun to run.
func (p *Plant) declaring() {
	p.outside()
	if p.begun {
		p.refuse("a plant that runs cannot be added to")
	}
}

// OnLeave has f told of each piece that leaves the plant in the ordinary way,
// by To or Route.
func (p *Plant) OnLeave(f func(*Piece)) { p.out = f }

// AddSource adds a stream of arrivals.
func (p *Plant) AddSource(s SourceSpec) SourceID {
	p.declaring()
	if s.Name == "" {
		s.Name = fmt.Sprintf("source %d", len(p.sources)+1)
	}
	switch {
	case s.Gap == nil:
		p.refuse("%s has no Gap", s.Name)
	case s.Limit < 0:
		p.refuse("%s has a limit of %d arrivals", s.Name, s.Limit)
	}
	p.sources = append(p.sources, source{gap: s.Gap, to: s.To, slow: s.Group != nil || s.Route != nil, spec: &s})
	return SourceID(len(p.sources) - 1)
}

// AddStore adds a store.
func (p *Plant) AddStore(s StoreSpec) StoreID {
	p.declaring()
	if s.Name == "" {
		s.Name = fmt.Sprintf("store %d", len(p.stores))
	}
	switch {
	case s.Room < 0 || s.Room > Unlimited:
		p.refuse("%s has room for %d pieces", s.Name, s.Room)
	case s.Travel != nil && (s.Before != nil || s.Patience != nil):
		p.refuse("%s is a conveyor: it has neither Before nor Patience", s.Name)
	case s.Travel != nil && s.Room == 0:
		p.refuse("%s is a conveyor without room", s.Name)
	}
	p.stores = append(p.stores, store{spec: &s, list: Empty, room: int32(min(max(s.Room, 0), Unlimited)),
		special: s.Before != nil || s.Patience != nil || s.Travel != nil})
	return StoreID(len(p.stores) - 1)
}

// AddShared adds shared equipment.
func (p *Plant) AddShared(s SharedSpec) SharedID {
	p.declaring()
	if s.Name == "" {
		s.Name = fmt.Sprintf("shared equipment %d", len(p.shared))
	}
	if s.Count < 0 {
		p.refuse("there are %d of %s", s.Count, s.Name)
	}
	p.shared = append(p.shared, shared{spec: &s, free: max(1, s.Count)})
	return SharedID(len(p.shared) - 1)
}

// AddUnit adds a unit, or Places units alike.
func (p *Plant) AddUnit(s UnitSpec) UnitID {
	p.declaring()
	if s.Name == "" {
		s.Name = fmt.Sprintf("unit %d", len(p.groups)+1)
	}
	switch {
	case s.Batch == 1 && s.BatchMin <= 1:
		s.Batch, s.BatchMin = 0, 0
	case s.BatchMin == 0:
		s.BatchMin = s.Batch
	}
	n := max(1, s.Places)
	switch {
	case s.Work == nil && (s.BatchWork == nil || s.Batch <= 1):
		p.refuse("%s has no Work", s.Name)
	case s.Places < 0 || len(p.units)+n > maxPlaces:
		p.refuse("%s has %d places; a plant has at most %d", s.Name, s.Places, maxPlaces)
		n = 1
	case s.Batch < 0 || s.BatchMin < 0 || s.BatchMin > s.Batch:
		p.refuse("%s works on %d to %d pieces together", s.Name, s.BatchMin, s.Batch)
	case s.Preempts && s.Batch > 1:
		p.refuse("%s works on batches: a piece cannot displace another", s.Name)
	case len(s.Parts) > 0 && (s.From == Outside || s.Batch > 1 || len(s.Also) > 0 || s.Preempts):
		p.refuse("%s builds parts in: it takes from one store, piece by piece, and none displaces another", s.Name)
	case s.Limit < 0:
		p.refuse("%s has a limit of %d pieces", s.Name, s.Limit)
	case s.Displaced > Scrapped:
		p.refuse("%s knows no fate %d for a displaced piece", s.Name, s.Displaced)
	case s.Preempts && s.Picks != nil:
		p.refuse("%s picks its pieces: one cannot displace another", s.Name)
	}
	for j, f := range s.Fails {
		if f.Up == nil || f.Repair == nil {
			p.refuse("failure %d of %s has no Up or no Repair", j, s.Name)
		}
		if f.Clock > ByCalendar || f.Piece > Scrapped {
			p.refuse("failure %d of %s has a clock %d or a fate %d that there is not", j, s.Name, f.Clock, f.Piece)
		}
	}
	for _, st := range s.Stops {
		if st.Cause != CauseMaintenance && st.Cause != CauseOffShift || st.From < 0 || st.For <= 0 || st.Every < 0 || st.Every > 0 && st.Every <= st.For {
			p.refuse("a planned stop of %s is maintenance or off shift, begins at 0 or later, and ends before it comes again", s.Name)
		}
	}
	g := int32(len(p.groups))
	p.groups = append(p.groups, group{spec: &s, first: int32(len(p.units)), n: int32(n)})
	for range n {
		p.net.addUnit()
		u := unit{work: s.Work, from: s.From, to: s.To, group: g, last: -1, fresh: true, load: Empty, claim: -1, needs: int32(1 + len(s.MoreNeeds))}
		if s.SetupNeeds.Shared != 0 {
			u.changes = true
			u.needs++
		}
		for _, f := range []struct {
			on bool
			is uint32
		}{
			{s.Route != nil, hasRoute}, {s.Setup != nil, hasSetup}, {s.Batch > 1, hasBatch},
			{s.Needs.Shared != 0 || len(s.MoreNeeds) > 0 || s.SetupNeeds.Shared != 0, hasNeeds}, {s.Begins != nil, hasBegins}, {s.Ends != nil, hasEnds},
			{s.Preempts || len(s.Fails) > 0, hasFate}, {len(s.Also) > 0, hasAlso}, {s.Picks != nil, hasPicks}, {len(s.Parts) > 0, hasParts},
		} {
			if f.on {
				u.has |= f.is
			}
		}
		for range s.Fails {
			u.modes = append(u.modes, mode{at: calendar.Never})
		}
		u.stops = make([]stop, len(s.Stops))
		p.units = append(p.units, u)
	}
	return UnitID(g)
}

const maxPlaces = 1 << 16

// link joins what was declared and refuses what does not fit.
func (p *Plant) link() {
	known := func(s StoreID) bool { return s >= 0 && int(s) < len(p.stores) }
	for i := range p.sources {
		if s := p.sources[i].spec; !known(s.To) || s.To == Outside && s.Route == nil {
			p.refuse("%s leads to no store", s.Name)
		}
	}
	for i := range p.stores[1:] {
		if s := p.stores[i+1].spec; !known(s.GivesUp) {
			p.refuse("pieces that give up in %s go to a store that does not exist", s.Name)
		}
	}
	for g := range p.groups {
		s := p.groups[g].spec
		claims := append([]Need{s.Needs}, s.MoreNeeds...)
		if s.SetupNeeds.Shared != 0 {
			fitter := s.SetupNeeds
			fitter.UntilGone = false
			claims = append(claims, fitter)
			if s.Setup == nil {
				p.refuse("%s has a need for changeovers and no Setup", s.Name)
			}
		}
		p.linkNeeds(claims)
		if p.err != nil {
			return
		}
		for _, f := range s.Fails {
			if f.Crew.ByPiece {
				p.refuse("a repair of %s has no piece to go by", s.Name)
			}
			claims = append(claims, f.Crew)
		}
		for _, c := range claims {
			if c.Shared < 0 || int(c.Shared) >= len(p.shared) {
				p.refuse("%s needs shared equipment that does not exist", s.Name)
				return
			}
		}
		if !known(s.To) || !known(s.Scrap) {
			p.refuse("%s leads to a store that does not exist", s.Name)
		}
		from := append([]StoreID{s.From}, s.Also...)
		for k, f := range from {
			switch {
			case !known(f) || f == Outside && len(from) > 1:
				p.refuse("%s takes from a store that does not exist", s.Name)
				return
			case f == Outside:
				continue
			case s.Picks != nil && p.stores[f].spec.Travel != nil:
				p.refuse("%s picks its pieces, from the conveyor %s they come in order", s.Name, p.stores[f].spec.Name)
			case s.BatchMin > p.stores[f].spec.Room:
				p.refuse("%s begins with %d pieces, %s never holds more than %d", s.Name, s.BatchMin, p.stores[f].spec.Name, p.stores[f].spec.Room)
			case s.Preempts && p.stores[f].spec.Before == nil:
				p.refuse("%s lets pieces displace each other, but %s has no Before", s.Name, p.stores[f].spec.Name)
			}
			for n := range p.groups[g].n {
				for _, other := range from[:k] {
					if other == f {
						p.refuse("%s takes twice from %s", s.Name, p.stores[f].spec.Name)
						return
					}
				}
				st := &p.stores[f]
				st.takers = append(st.takers, p.groups[g].first+n)
				st.preempted = st.preempted || s.Preempts
				st.batched = st.batched || s.BatchMin > 1
				st.special = st.special || s.Preempts || s.Batch > 1 || s.Picks != nil
			}
			for _, i := range p.stores[f].takers {
				if p.stores[f].preempted {
					p.units[i].has |= hasFate
				}
			}
		}
		p.linkParts(g)
		for n := range p.groups[g].n {
			i := p.groups[g].first + n
			p.units[i].claim = int32(len(p.claims))
			for _, c := range claims {
				p.claims = append(p.claims, claim{need: c, unit: i, priority: c.Priority})
			}
		}
	}
	for i := range p.units {
		u := &p.units[i]
		u.plain = u.has&^(hasRoute|hasEnds) == 0 && len(u.stops) == 0
	}
	p.risky = p.circular()
}

// linkNeeds refuses needs of one unit that can never be met together.
func (p *Plant) linkNeeds(needs []Need) {
	for k, a := range needs {
		if k > 0 && a.Shared == 0 {
			p.refuse("a further need is of nothing")
			return
		}
		same := 0
		for _, b := range needs {
			if b.Shared != a.Shared || a.Shared <= 0 || int(a.Shared) >= len(p.shared) {
				continue
			}
			if same++; same > p.shared[a.Shared].free {
				p.refuse("a unit needs more of %s than there are", p.shared[a.Shared].spec.Name)
			}
			if a != b {
				p.refuse("a unit needs %s twice, but not alike", p.shared[a.Shared].spec.Name)
			}
		}
	}
}

// start books the first of everything.
func (p *Plant) start() {
	p.begun = true
	p.outside()
	p.link()
	if p.err != nil {
		return
	}
	for i := range p.sources {
		p.bookFirst(i)
	}
	for i := range p.units {
		p.startModes(i)
		p.startStops(i)
	}
	for i := range p.units {
		p.feed(i)
	}
	p.tieUp()
}

// ErrTimeStands is returned by Run when very many events happen in one moment,
// as when pieces go round a circle of units that need no time.
var ErrTimeStands = errors.New("flow: time stands still: millions of events in one moment")

// ErrTooMuch is returned by Run when more events were pending than a calendar
// holds (calendar.MaxPending), as with more than a million impatient pieces in a
// store.
var ErrTooMuch = errors.New("flow: more events are pending than the calendar holds")

const oneMoment = 1 << 22

// Run plays the plant up to a time, Never for until nothing more happens.
// Planned stops and failures by the calendar, which come for ever, are not
// waited for when the plant is empty and nothing more will enter, nor when no
// unit is stopped and only they could happen. It returns an error when the plant was declared wrongly, a *Stall when pieces or
// units wait for each other in a circle, or when nothing more can happen and
// pieces are still inside, and ErrTimeStands. A plant that has stalled by a
// circle stays so.
func (p *Plant) Run(until calendar.Time) error {
	if !p.begun {
		p.start()
	}
	if p.err != nil {
		return p.err
	}
	n := &p.net
	mark, budget := n.Now(), oneMoment
	ends := until == calendar.Never
	for p.stall == nil {
		last := n.Cal.Now()
		if ends && p.beats > 0 && p.atRest() {
			if p.Inside() == 0 {
				return nil
			}
			return p.idle(last)
		}
		e, ok := n.Cal.Next(until)
		if !ok {
			switch {
			case n.Cal.Refused():
				return ErrTooMuch
			case n.Cal.Len() == 0:
				return p.idle(last)
			}
			return nil
		}
		if budget--; budget == 0 {
			if n.Now() == mark {
				return ErrTimeStands
			}
			mark, budget = n.Now(), oneMoment
		}
		p.events++
		// Not in the switch: pieces that are finished and that arrive are nearly all that
		// happens, in an order that cannot be guessed, and a jump through a table is
		// known to have been guessed wrong later than a comparison.
		if e.Kind == KindDone {
			if i := int(e.Unit); p.units[i].plain {
				p.turn(&p.units[i], &n.Units[i], i)
			} else {
				p.finished(i)
			}
		} else if e.Kind == kindArrival {
			p.arrive(int(e.Unit))
		} else {
			p.happen(e)
		}
		if p.loose {
			p.tieUp()
		}
	}
	if p.err != nil {
		return p.err
	}
	return p.stall
}

// happen is what happens less often.
func (p *Plant) happen(e calendar.Event) {
	switch e.Kind {
	case KindChanged:
		p.net.begun(int(e.Unit))
		if u := &p.units[e.Unit]; u.changes {
			p.release(u.claim + u.needs - 1)
			u.setting = false
		}
	case KindFail:
		p.net.failed(int(e.Unit))
		p.failed(int(e.Unit))
	case kindRestored:
		p.restored(int(e.Unit), int(e.A))
	case kindClock:
		p.beats--
		p.fail(int(e.Unit), int(e.A))
	case kindStop:
		p.beats--
		p.stopped(int(e.Unit), int(e.A))
	case kindResume:
		p.resumed(int(e.Unit), int(e.A))
	case kindPatience:
		p.lostPatience(e.A)
	case kindTravel:
		p.travelled(StoreID(e.A))
	}
}

// Now returns the time.
func (p *Plant) Now() calendar.Time { return p.net.Now() }

// enter makes a new piece.
func (p *Plant) enter(mark func(*Piece)) int32 {
	id := p.net.NewPiece()
	if int(id) >= len(p.pieces) {
		p.pieces = append(p.pieces, Piece{})
	}
	pc := &p.pieces[id]
	now := p.net.Cal.Now()
	*pc = Piece{Number: p.number, Born: now, Came: now}
	p.number++
	p.inside -= now
	if mark != nil {
		mark(pc)
	}
	return id
}

// leave takes a piece out of the plant.
func (p *Plant) leave(id int32) {
	pc := &p.pieces[id]
	p.left++
	p.stay += p.net.Now() - pc.Born
	if p.out != nil {
		p.out(pc)
	}
	p.gone(id)
}

// gone frees a piece that is no longer in the plant.
func (p *Plant) gone(id int32) {
	p.inside += p.net.Now()
	p.net.FreePiece(id)
}

// bookFirst books the first arrival of a stream.
func (p *Plant) bookFirst(i int) {
	s := &p.sources[i]
	s.next = p.net.Cal.Book(later(p.net.Cal.Now(), max(0, s.gap(0))), calendar.Restore, calendar.Event{Kind: kindArrival, Unit: uint16(i)})
}

// arrive lets the pieces of an arrival in and books the next.
func (p *Plant) arrive(i int) {
	s := &p.sources[i]
	if s.n++; s.n != s.spec.Limit {
		s.next, _ = p.net.Cal.Again(s.gap(s.n), calendar.Restore)
	}
	if s.slow {
		p.arriveSlowly(i)
		return
	}
	p.join(s.to, p.enter(s.spec.Mark))
}

// arriveSlowly is arrive for groups and for pieces whose way is chosen.
func (p *Plant) arriveSlowly(i int) {
	spec := p.sources[i].spec
	k := 1
	if spec.Group != nil {
		k = spec.Group(p.sources[i].n - 1)
	}
	for range k {
		id := p.enter(spec.Mark)
		to := spec.To
		if spec.Route != nil {
			to = p.known(spec.Route(&p.pieces[id]))
		}
		p.join(to, id)
	}
}

// join brings a piece that nobody holds to a store; where there is no room it is
// lost.
func (p *Plant) join(to StoreID, id int32) {
	if to == Outside { // turned away by the Route of a source
		p.lost++
		p.gone(id)
	} else if !p.offer(to, id) {
		p.lost++
		p.stores[to].lost++
		p.gone(id)
	}
}

// known refuses a store that a Route has made up.
func (p *Plant) known(s StoreID) StoreID {
	if s < 0 || int(s) >= len(p.stores) {
		p.refuse("a Route leads to store %d, which does not exist", s)
		p.stall = &Stall{At: p.net.Now()}
		return Outside
	}
	return s
}
