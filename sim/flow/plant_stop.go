package flow

import "millrace/sim/calendar"

// mode is one way of failing of one unit.
type mode struct {
	at calendar.Time // odometer reading of the next failure, Never for none or by calendar
	n  int           // failures so far
}

// stop is one planned stop of one unit.
type stop struct {
	on, due bool
	n       calendar.Time
}

func (p *Plant) fails(i, j int) *FailSpec { return &p.groups[p.units[i].group].spec.Fails[j] }
func (p *Plant) place(i int) int          { return i - int(p.groups[p.units[i].group].first) }

func (p *Plant) startModes(i int) {
	for j := range p.units[i].modes {
		p.live(i, j)
	}
}

// live draws the life until the next failure of the mode.
func (p *Plant) live(i, j int) {
	u := &p.units[i]
	f := p.fails(i, j)
	d := max(0, f.Up(p.place(i), u.modes[j].n))
	if f.Clock == ByCalendar {
		p.beat(p.net.Cal.Book(later(p.net.Now(), d), calendar.Fail, calendar.Event{Kind: kindClock, Unit: uint16(i), A: int32(j)}))
		return
	}
	u.modes[j].at = later(p.net.Reading(i), d)
	first := calendar.Never
	for _, m := range u.modes {
		first = min(first, m.at)
	}
	p.net.SetFailAt(i, first)
}

// failed is a failure by operating time; the net has stopped the unit.
func (p *Plant) failed(i int) {
	modes := p.units[i].modes
	j := 0
	for k := range modes {
		if modes[k].at < modes[j].at {
			j = k
		}
	}
	modes[j].at = calendar.Never
	p.broke(i, j)
}

// fail is a failure by the calendar.
func (p *Plant) fail(i, j int) {
	p.net.Set(i, CauseDown)
	p.broke(i, j)
}

// broke sees to the piece in hand and to the repair.
func (p *Plant) broke(i, j int) {
	f := p.fails(i, j)
	if nu := &p.net.Units[i]; nu.working {
		switch f.Piece {
		case Restarts:
			if !nu.changing {
				nu.left = p.units[i].whole
			}
		case Scrapped:
			id := p.drop(i)
			p.net.refresh(i)
			to := p.groups[p.units[i].group].spec.Scrap
			p.scrap(to, id)
			for p.units[i].load.N > 0 {
				p.scrap(to, p.net.PopHead(&p.units[i].load))
			}
		}
	}
	d := max(0, f.Repair(p.place(i), p.units[i].modes[j].n))
	if f.Crew.Shared != 0 {
		c := p.units[i].claim + p.units[i].needs + int32(j)
		p.claims[c].left = d
		p.claim(c)
		return
	}
	p.net.Cal.Book(later(p.net.Now(), d), calendar.Restore, calendar.Event{Kind: kindRestored, Unit: uint16(i), A: int32(j)})
}

// restored is the end of a repair.
func (p *Plant) restored(i, j int) {
	u := &p.units[i]
	u.modes[j].n++
	p.live(i, j)
	p.net.Clear(i, CauseDown)
	if p.fails(i, j).Crew.Shared != 0 {
		p.release(u.claim + u.needs + int32(j))
	}
	p.back(i)
}

func (p *Plant) planned(i, k int) *StopSpec { return &p.groups[p.units[i].group].spec.Stops[k] }

func (p *Plant) startStops(i int) {
	for k := range p.units[i].stops {
		if p.planned(i, k).From == 0 { // nothing begins before it
			p.units[i].stops[k].n = 1
			p.stopped(i, k)
		} else {
			p.bookStop(i, k)
		}
	}
}

func (p *Plant) bookStop(i, k int) {
	s, st := p.planned(i, k), &p.units[i].stops[k]
	if st.n > 0 && s.Every == 0 {
		return
	}
	if s.Every > 0 && st.n > (calendar.Never-s.From)/s.Every {
		return // beyond the end of time
	}
	p.beat(p.net.Cal.Book(s.From+st.n*s.Every, calendar.Fail, calendar.Event{Kind: kindStop, Unit: uint16(i), A: int32(k)}))
	st.n++
}

// stopped begins a planned stop, or has it begin when the piece is finished.
func (p *Plant) stopped(i, k int) {
	s, st := p.planned(i, k), &p.units[i].stops[k]
	if s.FinishFirst && p.net.Units[i].working && !p.justBegun(i) {
		st.due = true
		p.units[i].due++
	} else {
		st.on = true
		p.net.Set(i, s.Cause)
	}
	p.net.Cal.Book(later(p.net.Now(), s.For), calendar.Restore, calendar.Event{Kind: kindResume, Unit: uint16(i), A: int32(k)})
	p.bookStop(i, k)
}

// justBegun reports whether the work in hand began in this very moment, as when
// the piece before it was finished at the end of a shift: it then waits for the
// next.
func (p *Plant) justBegun(i int) bool {
	u, nu := &p.units[i], &p.net.Units[i]
	return !nu.paused && nu.begun == p.net.Now() && (u.has&hasNeeds == 0 || nu.left == u.whole)
}

// stopsDue begins the stops that waited for the piece in hand.
func (p *Plant) stopsDue(i int) {
	for k := range p.units[i].stops {
		if st := &p.units[i].stops[k]; st.due {
			st.due, st.on = false, true
			p.net.Set(i, p.planned(i, k).Cause)
		}
	}
	p.units[i].due = 0
}

// resumed ends a planned stop.
func (p *Plant) resumed(i, k int) {
	st := &p.units[i].stops[k]
	if st.due {
		st.due = false
		p.units[i].due--
	}
	if st.on {
		st.on = false
		p.net.Clear(i, p.planned(i, k).Cause)
		p.back(i)
	}
}

// back lets a unit that has come back begin, or give its piece up for one that
// has come meanwhile and goes before it.
func (p *Plant) back(i int) {
	nu := &p.net.Units[i]
	spec := p.groups[p.units[i].group].spec
	if !spec.Preempts || !nu.working || nu.stops-uint16(nu.cause[CauseShared]) != 0 {
		p.feed(i)
		return
	}
	from := spec.From
	for k := 0; ; k++ {
		s := &p.stores[from]
		if id := s.list.Head; id >= 0 && s.spec.Before(&p.pieces[id], &p.pieces[nu.Piece]) {
			p.displace(from, id)
			p.admit(from)
			return
		}
		if k == len(spec.Also) {
			return
		}
		from = spec.Also[k]
	}
}
