package flow

import (
	"millrace/sim/calendar"
)

// totals are what a plant counts of its pieces.
type totals struct {
	left, lost, gaveUp, scrapped, builtIn, events int64
	stay                                          calendar.Time // of those that left
	inside                                        calendar.Time // times out less times in
}

// base is what had been counted at the last Reset.
type base struct {
	at     calendar.Time
	totals totals
	number int64
	stores []store
	shared []shared
	done   []int64
	spent  [][NStates]calendar.Time
	inside int
}

// Reset forgets what was counted so far, to drop the start of a run. Pieces,
// units and stores stay as they are.
func (p *Plant) Reset() {
	p.net.Settle()
	b := &p.since
	b.at, b.totals, b.number, b.inside = p.net.Now(), p.totals, p.number, p.Inside()
	for i := range p.stores {
		p.stores[i].largest = p.stores[i].list.N
	}
	b.stores = append(b.stores[:0], p.stores...)
	b.shared = append(b.shared[:0], p.shared...)
	b.done, b.spent = b.done[:0], b.spent[:0]
	for i := range p.units {
		b.done = append(b.done, p.units[i].done)
		b.spent = append(b.spent, p.net.Units[i].Spent)
	}
}

// Counted is the time over which things were counted: since Reset, or the start.
func (p *Plant) Counted() calendar.Time { return p.net.Now() - p.since.at }

// over is the mean over the counted time of a level whose integral is d.
func (p *Plant) over(d calendar.Time) float64 {
	if p.Counted() <= 0 {
		return 0
	}
	return float64(d) / float64(p.Counted())
}

func mean(sum calendar.Time, n int64) float64 {
	if n == 0 {
		return 0
	}
	return float64(sum) / float64(n) / float64(calendar.Second)
}

// UnitCount is what was counted of a unit, all its places together.
type UnitCount struct {
	Places int
	Spent  [NStates]calendar.Time // place-time by state; the states add up to the calendar
	Done   int64                  // pieces finished
	total  calendar.Time
}

// Share returns the part of the place-time that was spent in a state.
func (u UnitCount) Share(s State) float64 {
	if u.total <= 0 {
		return 0
	}
	return float64(u.Spent[s]) / float64(u.total)
}

// Unit returns what was counted of a unit since Reset, nothing of an unknown one.
func (p *Plant) Unit(id UnitID) UnitCount {
	if id < 0 || int(id) >= len(p.groups) {
		return UnitCount{}
	}
	g := &p.groups[id]
	c := UnitCount{Places: int(g.n), total: p.Counted() * calendar.Time(g.n)}
	for i := g.first; i < g.first+g.n; i++ {
		u := &p.net.Units[i]
		spent, done := u.Spent, p.units[i].done
		spent[u.state] += p.net.Now() - u.Since
		for s := range spent {
			c.Spent[s] += spent[s]
			if p.since.spent != nil {
				c.Spent[s] -= p.since.spent[i][s]
			}
		}
		if p.since.spent != nil {
			done -= p.since.done[i]
		}
		c.Done += done
	}
	return c
}

// State returns the present state of a place of a unit, from 0; a place that there
// is not is off shift.
func (p *Plant) State(id UnitID, place int) State {
	if id < 0 || int(id) >= len(p.groups) || place < 0 || place >= int(p.groups[id].n) {
		return OffShift
	}
	return p.net.Units[p.groups[id].first+int32(place)].state
}

// StoreCount is what was counted of a store. A piece that a unit takes at once
// counts as one that came and went without waiting; one that was displaced counts
// anew, so MeanWait is then that of a visit, not of a piece.
type StoreCount struct {
	Level, Largest        int
	In, Out, Lost, GaveUp int64
	MeanLevel             float64 // over time
	MeanWait              float64 // s, of the pieces that were taken or gave up
}

// Store returns what was counted of a store since Reset, nothing of Outside or an
// unknown one.
func (p *Plant) Store(id StoreID) StoreCount {
	if id <= Outside || int(id) >= len(p.stores) {
		return StoreCount{}
	}
	s := &p.stores[id]
	var b store
	if p.since.stores != nil {
		b = p.since.stores[id]
	}
	now := p.net.Now()
	area := s.sum + now*calendar.Time(s.list.N) - b.sum - p.since.at*calendar.Time(b.list.N)
	return StoreCount{
		Level: int(s.list.N), Largest: int(s.largest),
		In: s.in - b.in, Out: s.out - b.out, Lost: s.lost - b.lost, GaveUp: s.gaveUp - b.gaveUp,
		MeanLevel: p.over(area),
		MeanWait:  mean(s.waited-b.waited, s.out-b.out+s.gaveUp-b.gaveUp),
	}
}

// SharedCount is what was counted of shared equipment.
type SharedCount struct {
	InUse, Waiting int
	MeanInUse      float64 // over time
	HadToWait      int64   // claims that were not granted at once
}

// Shared returns what was counted of shared equipment since Reset, nothing of
// unknown equipment.
func (p *Plant) Shared(id SharedID) SharedCount {
	if id <= 0 || int(id) >= len(p.shared) {
		return SharedCount{}
	}
	s := &p.shared[id]
	var b shared
	if p.since.shared != nil {
		b = p.since.shared[id]
	}
	n, was := max(1, s.spec.Count)-s.free, 0
	if b.spec != nil {
		was = max(1, s.spec.Count) - b.free
	}
	area := s.sum + p.net.Now()*calendar.Time(n) - b.sum - p.since.at*calendar.Time(was)
	return SharedCount{InUse: n, Waiting: len(s.waiting), MeanInUse: p.over(area), HadToWait: s.waits - b.waits}
}

// PlantCount is what was counted of a plant as a whole. Every piece that entered
// has left, was lost, gave up, was scrapped, was built into another, or is
// inside.
type PlantCount struct {
	Entered, Left, Lost, GaveUp, Scrapped int64
	BuiltIn                               int64 // parts of UnitSpec.Parts
	Inside                                int
	Events                                int64
	MeanInside                            float64 // pieces, over time
	MeanStay                              float64 // s, of the pieces that left
}

// Inside returns how many pieces are in the plant.
func (p *Plant) Inside() int { return p.net.Slots() - p.net.FreeSlots() }

// Count returns what was counted of the plant since Reset.
func (p *Plant) Count() PlantCount {
	b := &p.since
	t := &p.totals
	area := t.inside + p.net.Now()*calendar.Time(p.Inside()) - b.totals.inside - b.at*calendar.Time(b.inside)
	return PlantCount{
		Entered: p.number - b.number, Left: t.left - b.totals.left, Lost: t.lost - b.totals.lost,
		GaveUp: t.gaveUp - b.totals.gaveUp, Scrapped: t.scrapped - b.totals.scrapped, BuiltIn: t.builtIn - b.totals.builtIn,
		Inside: p.Inside(), Events: t.events - b.totals.events, MeanInside: p.over(area),
		MeanStay: mean(t.stay-b.totals.stay, t.left-b.totals.left),
	}
}

// Check reports the first broken rule of the plant as it stands, or "": a piece
// in two places or in none, a store above its room, tallies and books that do
// not add up, and what could go on and does not. It walks everything: for tests and for the end of a run.
func (p *Plant) Check() string {
	var lists []List
	for i := range p.stores {
		s := &p.stores[i]
		if i > 0 && s.list.N > s.room {
			return "flow: " + s.spec.Name + " holds more than it has room for"
		}
		lists = append(lists, s.list)
	}
	lists[0] = Empty
	held := 0
	for i := range p.units {
		lists = append(lists, p.units[i].load)
		if p.net.Units[i].Piece >= 0 {
			held++
		}
	}
	if msg := p.net.Check(lists...); msg != "" {
		return msg
	}
	for _, l := range lists {
		held += int(l.N)
	}
	t := &p.totals
	switch {
	case held != p.Inside():
		return "flow: a piece stands nowhere"
	case p.number != t.left+t.lost+t.gaveUp+t.scrapped+t.builtIn+int64(held):
		return "flow: the pieces that entered are not those that went and those inside"
	}
	for i := range p.shared {
		if s := &p.shared[i]; i > 0 && s.free+len(s.held) != max(1, s.spec.Count) {
			return "flow: " + s.spec.Name + " was lost or held twice"
		}
	}
	if !p.begun || p.err != nil || p.stall != nil {
		return ""
	}
	return p.settled()
}

// settled reports what could have happened in this moment and has not, or "": a
// free unit before a piece that it could take, a blocked one before room, a claim
// before equipment that is free or held by a lower one.
func (p *Plant) settled() string {
	for i := range p.units {
		if !p.free(int32(i)) {
			continue
		}
		s := p.groups[p.units[i].group].spec
		for k := -1; k < len(s.Also); k++ {
			from := s.From
			if k >= 0 {
				from = s.Also[k]
			}
			if from != Outside && p.ready(from) >= max(1, s.BatchMin) && p.partsReady(s) {
				return "flow: " + p.unitName(i) + " could take a piece and does not"
			}
		}
	}
	for i := range p.stores[1:] {
		if s := &p.stores[i+1]; len(s.givers) > 0 && s.list.N < s.room {
			return "flow: " + s.spec.Name + " has room and a unit is blocked before it"
		}
		also := false
		for _, t := range p.stores[i+1].takers {
			also = also || p.units[t].has&hasAlso != 0 // room to go back to may come later
		}
		if s := &p.stores[i+1]; s.preempted && s.list.N > 0 && !also && p.victim(StoreID(i+1), s.list.Head) >= 0 {
			return "flow: a piece in " + s.spec.Name + " could displace one in work and does not"
		}
	}
	for i := range p.shared[1:] {
		s := &p.shared[i+1]
		for k, c := range s.waiting {
			cl := &p.claims[c]
			switch {
			case s.free > 0:
				return "flow: " + s.spec.Name + " is free and waited for"
			case k > 0 && p.claims[s.waiting[k-1]].priority < cl.priority:
				return "flow: " + s.spec.Name + " is waited for out of order"
			}
			for _, h := range s.held {
				if s.spec.Preempts && p.claims[h].priority < cl.priority && p.yields(h, c) {
					return "flow: " + s.spec.Name + " is held by a claim of lower priority than one that waits"
				}
			}
		}
	}
	return ""
}
