package flow

import (
	"fmt"
	"strings"

	"millrace/sim/calendar"
)

// Wait says who waits for what, and by whom it could be given.
type Wait struct {
	Unit  string // name of the unit, and its place where it has several
	Piece int64  // number of the piece it holds, -1 for none
	For   string
	By    []string // the units that could end the wait; none when nobody can
}

// String is the wait as a sentence.
func (w Wait) String() string {
	s := w.Unit
	if w.Piece >= 0 {
		s += fmt.Sprintf(" holds piece %d and", w.Piece)
	}
	s += " waits for " + w.For
	if len(w.By) > 0 {
		s += " (" + strings.Join(w.By, ", ") + ")"
	}
	return s
}

// Stall is the error of a plant in which nothing can go on.
type Stall struct {
	At calendar.Time
	// Circle is true for a deadlock: units that wait for each other, whatever
	// else still moves. Otherwise nothing at all happens any more, and pieces are
	// still inside.
	Circle bool
	Waits  []Wait
}

// Error names everybody who waits, one after the other.
func (s *Stall) Error() string {
	what := "nothing can happen any more, pieces are still inside"
	if s.Circle {
		what = "deadlock"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "flow: %s at %s h: ", what, fmt.Sprintf("%.6g", s.At.Hours()))
	for i, w := range s.Waits {
		if i > 0 {
			b.WriteString("; ")
		}
		b.WriteString(w.String())
	}
	return b.String()
}

// Waits returns who waits for whom at this moment; units that only stand
// without a piece to work on are left out.
func (p *Plant) Waits() []Wait {
	var out []Wait
	for i := range p.units {
		if w, ok := p.wait(i); ok {
			out = append(out, w)
		}
	}
	return out
}

func (p *Plant) unitName(i int) string {
	g := &p.groups[p.units[i].group]
	if g.n == 1 {
		return g.spec.Name
	}
	return fmt.Sprintf("%s %d", g.spec.Name, i-int(g.first)+1)
}

// wait says what unit i waits for.
func (p *Plant) wait(i int) (Wait, bool) {
	w := Wait{Unit: p.unitName(i), Piece: -1}
	nu := &p.net.Units[i]
	if nu.Piece >= 0 {
		w.Piece = p.pieces[nu.Piece].Number
	}
	for _, c := range p.claimsOf(i) {
		cl := &p.claims[c]
		if cl.state != claimWaits {
			continue
		}
		s := &p.shared[cl.need.Shared]
		w.For = s.spec.Name
		if j, ok := p.isRepair(c); ok {
			w.For += fmt.Sprintf(" to repair failure %d", p.units[i].modes[j].n)
		}
		for _, h := range s.held {
			w.By = append(w.By, "held by "+p.unitName(int(p.claims[h].unit)))
		}
		return w, true
	}
	if nu.finished {
		s := &p.stores[p.units[i].to]
		w.For = fmt.Sprintf("room in %s, which has %d of %d", s.spec.Name, s.list.N, s.room)
		for _, t := range s.takers {
			w.By = append(w.By, "emptied by "+p.unitName(int(t)))
		}
		return w, true
	}
	return w, false
}

// claimsOf returns the claims of unit i, of its work first.
func (p *Plant) claimsOf(i int) []int32 {
	u := &p.units[i]
	out := make([]int32, 0, int(u.needs)+len(u.modes))
	for k := range u.needs + int32(len(u.modes)) {
		out = append(out, u.claim+k)
	}
	return out
}

// circular reports whether, as the plant is declared, units could ever wait for
// each other in a circle: by a way back along the stores or an unknown way, or
// by equipment that is held while something else is waited for.
func (p *Plant) circular() bool {
	work := make([]bool, len(p.shared))
	for g := range p.groups {
		s := p.groups[g].spec
		if s.Route != nil || s.Needs.UntilGone || len(s.MoreNeeds) > 0 || s.SetupNeeds.Shared != 0 {
			return true
		}
		work[s.Needs.Shared] = true
	}
	for g := range p.groups {
		for _, f := range p.groups[g].spec.Fails {
			if f.Crew.Shared != 0 && (work[f.Crew.Shared] || p.groups[g].spec.Needs.Shared != 0) {
				return true
			}
		}
	}
	// A store follows another when a unit takes from the one and gives to the
	// other. Stores that follow none are taken away until none is left.
	into := make([]int, len(p.stores))
	var edge [][2]StoreID
	for g := range p.groups {
		s := p.groups[g].spec
		for _, f := range append(append([]StoreID{s.From}, s.Also...), s.Parts...) {
			if f != Outside && s.To != Outside {
				edge = append(edge, [2]StoreID{f, s.To})
				into[s.To]++
			}
		}
	}
	for gone := true; gone; {
		gone = false
		for k := 0; k < len(edge); k++ {
			if e := edge[k]; into[e[0]] == 0 {
				into[e[1]]--
				edge[k] = edge[len(edge)-1]
				edge = edge[:len(edge)-1]
				gone = true
				k--
			}
		}
	}
	return len(edge) > 0
}

// suspect notes that unit i has begun to wait; whether in a circle is looked at
// when the event has been dealt with.
func (p *Plant) suspect(i int) {
	if p.risky {
		p.suspects = append(p.suspects, int32(i))
		p.loose = true
	}
}

// tieUp ends an event: what was given back goes to those in line, and units that
// have begun to wait are looked at.
func (p *Plant) tieUp() {
	p.loose = false
	p.serve()
	for _, i := range p.suspects {
		p.lookForCircle(int(i))
	}
	p.suspects = p.suspects[:0]
}

// lookForCircle finds out whether unit i waits in a circle.
func (p *Plant) lookForCircle(i int) {
	if p.stall != nil || p.quick(i) {
		return
	}
	p.whoCanGo()
	if p.able[i] {
		return
	}
	if _, waits := p.wait(i); !waits {
		return // it was given in the same event what it had begun to wait for, or was stopped
	}
	p.stall = &Stall{At: p.net.Now(), Circle: true}
	// Name the unit first and then those it waits for, directly or not.
	seen := make([]bool, len(p.units))
	for line := []int{i}; len(line) > 0; line = line[1:] {
		k := line[0]
		if seen[k] {
			continue
		}
		seen[k] = true
		if w, ok := p.wait(k); ok {
			p.stall.Waits = append(p.stall.Waits, w)
			line = append(line, p.waitsFor(k)...)
		}
	}
}

// quick settles the commonest case: who empties the store is at work.
func (p *Plant) quick(i int) bool {
	if !p.net.Units[i].finished || p.net.Units[i].stops != 0 {
		return false
	}
	for _, t := range p.stores[p.units[i].to].takers {
		if u := &p.net.Units[t]; u.working && u.stops == 0 {
			return true
		}
	}
	return false
}

// waitsFor returns the units that could end the wait of unit i.
func (p *Plant) waitsFor(i int) (out []int) {
	for _, c := range p.claimsOf(i) {
		if cl := &p.claims[c]; cl.state == claimWaits {
			for _, h := range p.shared[cl.need.Shared].held {
				out = append(out, int(p.claims[h].unit))
			}
		}
	}
	if p.net.Units[i].finished {
		for _, t := range p.stores[p.units[i].to].takers {
			out = append(out, int(t))
		}
	}
	return out
}

// whoCanGo marks the units that will go on by themselves or because another one
// will, beginning with nobody and adding until none is added.
func (p *Plant) whoCanGo() {
	if p.able == nil {
		p.able = make([]bool, len(p.units))
	}
	clear(p.able)
	for more := true; more; {
		more = false
		for i := range p.units {
			if !p.able[i] && p.canGo(i) {
				p.able[i], more = true, true
			}
		}
	}
}

func (p *Plant) canGo(i int) bool {
	u := &p.net.Units[i]
	for k := range p.units[i].needs + int32(len(p.units[i].modes)) {
		cl := &p.claims[p.units[i].claim+k]
		if cl.state == claimWaits && !p.comesFree(cl.need.Shared) {
			return false
		}
	}
	switch {
	case u.working || u.stops != 0:
		return true
	case !u.finished:
		// Whether the parts of an assembly will come is not asked: it is in no circle.
		return p.units[i].has&hasParts != 0 || p.fedLater(i)
	}
	s := &p.stores[p.units[i].to]
	if s.spec.Patience != nil && s.list.N > 0 {
		return true
	}
	for _, t := range s.takers {
		if p.able[t] {
			return true
		}
	}
	return false
}

// comesFree reports whether somebody who holds the equipment will give it back.
func (p *Plant) comesFree(id SharedID) bool {
	for _, h := range p.shared[id].held {
		if _, ok := p.isRepair(h); ok || p.able[p.claims[h].unit] {
			return true
		}
	}
	return p.shared[id].free > 0
}

// fedLater reports whether a free unit waits for a piece that is on its way on a
// conveyor.
func (p *Plant) fedLater(i int) bool {
	s := p.groups[p.units[i].group].spec
	for k := -1; k < len(s.Also); k++ {
		from := s.From
		if k >= 0 {
			from = s.Also[k]
		}
		if p.stores[from].travel != 0 {
			return true
		}
	}
	return false
}

// idle is the end of all events: nil when no piece is left that anybody would
// still take.
func (p *Plant) idle(last calendar.Time) error {
	st := &Stall{At: last, Waits: p.Waits()}
	waiting := len(st.Waits) > 0
	for i := range p.units {
		u := &p.net.Units[i]
		if u.working {
			w := Wait{Unit: p.unitName(i), Piece: p.pieces[u.Piece].Number, For: "the end of work that never ends"}
			if u.stops > 0 {
				w.For = "the end of its stop"
			}
			st.Waits = append(st.Waits, w)
			waiting = true
		}
	}
	for k := range p.stores {
		s := &p.stores[k]
		if s.list.N == 0 || len(s.takers) == 0 {
			continue
		}
		waiting = true
		for _, t := range s.takers {
			if u := &p.net.Units[t]; u.Piece < 0 {
				w := Wait{Unit: p.unitName(int(t)), Piece: -1, For: fmt.Sprintf("more pieces, %s has %d", s.spec.Name, s.list.N)}
				if u.stops > 0 {
					w.For = fmt.Sprintf("the end of its stop, %s has %d pieces", s.spec.Name, s.list.N)
				}
				st.Waits = append(st.Waits, w)
			}
		}
	}
	if !waiting {
		return nil
	}
	return st
}
