package capital

import (
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/measure"
	"millrace/sim/record"
	"millrace/sim/works"
)

// limits is how long each unit limited the works in one play.
type limits []Limit

// watch keeps the active spells of every limiter: at work, under repair, changed over
// or maintained, and not waiting for a piece or for room. A unit of many places is
// active while none of them waits, units that run as one while one of them is active.
type watch struct {
	plant    *works.Plant
	limiters []works.Limiter
	of       []int // limiter of a unit, -1 for none
	active   []bool
	busy     []int // active units of a limiter
	spells   [][]measure.Spell
	since    []calendar.Time // of the spell under way; -1: it waits
}

// handover is the longest wait that does not end a spell: a piece is on its way from
// the unit before.
const handover = 2 * calendar.Minute

func newWatch(p *works.Plant) *watch {
	w := &watch{plant: p, limiters: p.Limiters(), of: make([]int, len(p.Route.Units)), active: make([]bool, len(p.Route.Units))}
	w.spells = make([][]measure.Spell, len(w.limiters))
	w.busy = make([]int, len(w.limiters))
	for i := range w.of {
		w.of[i] = -1
	}
	for i, l := range w.limiters {
		w.since = append(w.since, -1)
		for _, u := range l.Units {
			w.of[u] = i
		}
	}
	return w
}

// States that wait, by their place in the order of states.
const offShift, blocked, starved = 0, 4, 5

func waits(e *record.Event, places int32) bool {
	if places == 1 {
		return e.A == offShift || e.A == blocked || e.A == starved
	}
	count := func(s int) int64 {
		if s < 4 {
			return e.X >> (16 * s) & 0xffff
		}
		return e.Y >> (16 * (s - 4)) & 0xffff
	}
	return count(offShift)+count(blocked)+count(starved) > 0
}

// Put takes records.
func (w *watch) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		if e.Kind != record.State {
			continue
		}
		u := int(e.From)
		l := w.of[u]
		active := !waits(e, w.plant.Route.Units[u].Places)
		if l < 0 || active == w.active[u] {
			continue
		}
		w.active[u] = active
		if active {
			if w.busy[l]++; w.busy[l] == 1 {
				w.since[l] = e.T
			}
			continue
		}
		if w.busy[l]--; w.busy[l] == 0 {
			w.end(l, e.T)
		}
	}
}

func (w *watch) end(l int, at calendar.Time) {
	s := w.spells[l]
	switch n := len(s); {
	case n > 0 && w.since[l]-s[n-1].To <= handover:
		s[n-1].To = at
	case at > w.since[l]:
		w.spells[l] = append(s, measure.Spell{From: w.since[l], To: at})
	}
	w.since[l] = -1
}

// result is the share of the time in which each unit was the bottleneck, sole or
// shifting.
func (w *watch) result(now calendar.Time) (limits, error) {
	for l, at := range w.since {
		if at >= 0 {
			w.end(l, now)
		}
	}
	b, err := measure.FindBottleneck(w.spells, 0, now)
	if err != nil {
		return nil, err
	}
	var out limits
	for l := range b.Units {
		if s := b.Units[l].Sole + b.Units[l].Shifting; s > 0 {
			out = append(out, Limit{Unit: w.limiters[l].Name, Share: s})
		}
	}
	return out, nil
}

// meanLimits averages over futures, the largest first.
func meanLimits(plays []played, whole []int) []Limit {
	var out []Limit
	for _, f := range whole {
		for _, l := range plays[f].limit {
			i := slices.IndexFunc(out, func(x Limit) bool { return x.Unit == l.Unit })
			if i < 0 {
				out = append(out, Limit{Unit: l.Unit})
				i = len(out) - 1
			}
			out[i].Share += l.Share / float64(len(whole))
		}
	}
	slices.SortStableFunc(out, func(a, b Limit) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	return out
}
