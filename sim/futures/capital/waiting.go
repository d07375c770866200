package capital

import (
	"strings"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Why a unit waits while no upset is under way that it could wait for.
const (
	forMaintenance = iota
	forChangeover
	forShift
	forRepair // it stands without an upset of its own
	forWork   // it works, and is not yet done or is full
	forDraw   // it has a piece ready, which is not drawn
	nReasons
)

// stages are the units that pieces go through, in the order of the route: units that
// stand side by side are one stage.
type stages struct {
	of    []int // by unit; -1 for what no piece goes through
	units [][]int
	name  []string
	// books is true where only what is ordered is made. A unit that waits with nothing
	// standing before it is then not asked for more, unless all before it are at work:
	// hearths that are not full, an idle caster, or casters that a mill behind them has
	// caught up with, all come of a book that does not load them.
	books bool
	heads int // stages of iron, steel and casting
}

// newStages reads the route; as tells units that run as one, named as the first of them.
func newStages(r *record.Route, passes []bool, as []int, groupName map[int]string, books bool) stages {
	s := stages{of: make([]int, len(r.Units)), books: books}
	last := ""
	for u := range r.Units {
		s.of[u] = -1
		if !passes[u] {
			continue
		}
		name := r.Units[u].Name
		key := strings.TrimRight(name, "0123456789")
		if g, ok := groupName[as[u]]; ok {
			key, name = g, g
		}
		if key != last || len(s.units) == 0 {
			s.units, s.name = append(s.units, nil), append(s.name, name)
		} else if groupName[as[u]] == "" {
			s.name[len(s.name)-1] += " and " + name
		}
		last = key
		s.of[u] = len(s.units) - 1
		s.units[len(s.units)-1] = append(s.units[len(s.units)-1], u)
	}
	return s
}

// none is the cause of waiting while nothing is in work before or behind, or where no more
// is ordered.
func (l *ledger) none() int { return len(l.units) * nReasons }

// waitsFor is what a unit waits for in a state that no upset explains: a number of
// unit and reason, or none().
func (l *ledger) waitsFor(state, at int) int {
	for v := range l.units { // a mill does not ask for work while one of its stands is changed
		if v == at || l.as[v] != l.as[at] || l.works(v) {
			continue
		}
		if why := l.stands(v); why >= 0 {
			return v*nReasons + why
		}
	}
	s := l.stages.of[at]
	if s < 0 {
		return l.none()
	}
	step, end := -1, -1
	if state == isBlocked {
		step, end = 1, len(l.stages.units)
	}
	for s += step; s != end; s += step {
		works, ready, idle, stands, why := -1, -1, false, -1, -1
		for _, v := range l.stages.units[s] {
			u := &l.units[v]
			idle = idle || u.count[isStarved] > 0
			switch {
			case u.count[isBlocked] > 0:
				ready = v
			case u.count[isRunning] > 0 || u.count[isSlowed] > 0:
				works = v
			case l.stands(v) >= 0:
				stands, why = v, l.stands(v)
			}
		}
		switch {
		case ready >= 0 && state == isStarved:
			return ready*nReasons + forDraw
		case works >= 0 || ready >= 0:
			if works < 0 {
				works = ready
			}
			if l.stages.books && state == isStarved && (idle || s < l.stages.heads && l.stages.of[at] >= l.stages.heads) {
				return l.none()
			}
			return l.stages.units[s][0]*nReasons + forWork
		case stands >= 0:
			return stands*nReasons + why
		}
	}
	return l.none()
}

// works says whether a unit is at work on something, or holds it ready.
func (l *ledger) works(v int) bool {
	c := &l.units[v].count
	return c[isBlocked] > 0 || c[isRunning] > 0 || c[isSlowed] > 0
}

// stands is why a unit stands without an upset, -1 when it does not.
func (l *ledger) stands(v int) int {
	c := &l.units[v].count
	switch {
	case c[isMaintained] > 0:
		return forMaintenance
	case c[isChanged] > 0:
		return forChangeover
	case c[isOff] > 0:
		return forShift
	case c[isDown] > 0:
		return forRepair
	}
	return -1
}

// sign is what others that wait can see of a stage: which of its units stand and why,
// whether any is at work, has a piece ready or, where that matters, is idle.
func (l *ledger) sign(s int) (out uint64) {
	for i, v := range l.stages.units[s] {
		c := &l.units[v].count
		switch {
		case c[isBlocked] > 0:
			out |= 1
		case c[isRunning] > 0 || c[isSlowed] > 0:
			out |= 2
		default:
			out |= uint64(l.stands(v)+1) << (4 + 3*(i%20))
		}
		if l.stages.books && c[isStarved] > 0 {
			out |= 4
		}
	}
	return out
}

// bookWaiting books what waits for a stage until now, before the stage changes.
func (l *ledger) bookWaiting(stage int, now calendar.Time) {
	for _, u := range l.watched {
		c, s := &l.units[u].count, l.stages.of[u]
		if c[isStarved] > 0 && s >= stage || c[isBlocked] > 0 && s <= stage || s < 0 {
			l.advance(u, now)
		}
	}
	l.version++
}

// waiting names a cause of waiting, and its group.
func (l *log) waiting(route *record.Route, cause, state int) (name, group string) {
	if cause == len(route.Units)*nReasons {
		if l.stages.books && state == isStarved {
			return "nothing more ordered", NotOrdered
		}
		if state == isBlocked {
			return "nothing in work behind it", Rhythm
		}
		return "nothing in work before it", Rhythm
	}
	u, why := cause/nReasons, cause%nReasons
	unit := route.Units[u].Name
	switch why {
	case forMaintenance:
		return "maintenance, " + unit, OthersPlanned
	case forChangeover:
		return "changeover, " + unit, OthersPlanned
	case forShift:
		return "off shift, " + unit, OthersPlanned
	case forRepair:
		return "down without an upset of its own, " + unit, OtherStops
	case forDraw:
		return "own rhythm, piece ready before it", Rhythm
	}
	stage := unit
	if s := l.stages.of[u]; s >= 0 {
		stage = l.stages.name[s]
	}
	if state == isBlocked {
		return "no room at " + stage, Rhythm
	}
	return "not ready yet at " + stage, Rhythm
}
