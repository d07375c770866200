package measure

import (
	"fmt"
	"math"
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Spell is an unbroken stretch of time.
type Spell struct{ From, To calendar.Time }

func (s Spell) length() calendar.Time { return s.To - s.From }

// Limiting says how much one unit limited the works.
type Limiting struct {
	// Active spells: how many, and mean and standard deviation of their length in
	// seconds. The unit with the longest mean is the bottleneck on average (C.
	// Roser, M. Nakano, M. Tanaka, Winter Simulation Conference 2001). SD is 0 for
	// fewer than two.
	Spells   int
	Mean, SD float64
	// Momentary is the share of the time in which its current spell was the longest
	// of all current ones.
	Momentary float64
	// Sole and Shifting are the shares in which it was the only bottleneck, and in
	// which it shared the part with the one before or after it.
	Sole, Shifting float64
}

// Turn is one bottleneck spell of the sequence.
type Turn struct {
	Unit int
	Spell
}

// Bottleneck is where the works was limited, and where that moved to.
type Bottleneck struct {
	Units []Limiting
	Turns []Turn // in order of time
}

// Average is the unit with the longest mean active spell, -1 without any.
func (b Bottleneck) Average() int {
	best := -1
	for i, u := range b.Units {
		if u.Spells > 0 && (best < 0 || u.Mean > b.Units[best].Mean) {
			best = i
		}
	}
	return best
}

// Longest is the unit that was a bottleneck, sole or shifting, for the largest
// share of the time, -1 without any.
func (b Bottleneck) Longest() int {
	best, share := -1, 0.0
	for i, u := range b.Units {
		if s := u.Sole + u.Shifting; s > share {
			best, share = i, s
		}
	}
	return best
}

// FindBottleneck reads the bottlenecks of the time from `from` to `to` from the
// active spells of each unit (working, down, changing over; not starved, not
// blocked), in order and apart. Spells are cut at both ends. At any moment the
// momentary bottleneck is the unit whose current spell is longest from its
// beginning to its end, the one that ends later if equal, the lower number if
// still equal. The sequence begins with the first momentary bottleneck; when its
// spell ends, the unit whose current spell is then the longest takes over, and the
// overlap of the two is the time of shifting (C. Roser, M. Nakano, M. Tanaka,
// Winter Simulation Conference 2002). Because the end of a spell is needed this can
// be said in hindsight only.
func FindBottleneck(spells [][]Spell, from, to calendar.Time) (Bottleneck, error) {
	if to <= from {
		return Bottleneck{}, fmt.Errorf("measure: a bottleneck of no time, from %v h to %v h", from.Hours(), to.Hours())
	}
	cut := make([][]Spell, len(spells))
	for u, list := range spells {
		last := calendar.Time(math.MinInt64)
		for _, s := range list {
			if s.From < last || s.To < s.From {
				return Bottleneck{}, fmt.Errorf("measure: active spells of unit %d are not in order", u)
			}
			last = s.To
			if s.From, s.To = max(s.From, from), min(s.To, to); s.To > s.From {
				cut[u] = append(cut[u], s)
			}
		}
	}
	b := Bottleneck{Units: make([]Limiting, len(spells))}
	all := (to - from).Seconds()
	for u, list := range cut {
		l := &b.Units[u]
		l.Spells = len(list)
		for _, s := range list {
			l.Mean += s.length().Seconds() / float64(len(list))
		}
		for _, s := range list {
			d := s.length().Seconds() - l.Mean
			l.SD += d * d
		}
		if len(list) > 1 {
			l.SD = math.Sqrt(l.SD / float64(len(list)-1))
		} else {
			l.SD = 0
		}
	}
	w := newWatch(cut)
	for at := from; at < to; {
		u, next := w.longest(at), w.next(at, to)
		if u >= 0 {
			b.Units[u].Momentary += (next - at).Seconds() / all
		}
		at = next
	}
	w = newWatch(cut)
	for at := from; at < to; {
		u := w.longest(at)
		if u < 0 {
			at = w.next(at, to)
			continue
		}
		s := w.current(u)
		b.Turns = append(b.Turns, Turn{u, s})
		at = s.To
	}
	b.share(all)
	return b, nil
}

// share fills Sole and Shifting: a moment that two spells of the sequence hold is
// shifting for both.
func (b *Bottleneck) share(all float64) {
	type edge struct {
		at   calendar.Time
		turn int
		ends bool
	}
	var edges []edge
	for i, t := range b.Turns {
		edges = append(edges, edge{t.From, i, false}, edge{t.To, i, true})
	}
	slices.SortStableFunc(edges, func(x, y edge) int {
		switch {
		case x.at < y.at:
			return -1
		case x.at > y.at:
			return 1
		}
		return x.turn - y.turn
	})
	var open []int
	last := calendar.Time(0)
	for _, e := range edges {
		d := (e.at - last).Seconds() / all
		for _, t := range open {
			if len(open) == 1 {
				b.Units[b.Turns[t].Unit].Sole += d
			} else {
				b.Units[b.Turns[t].Unit].Shifting += d
			}
		}
		last = e.at
		if !e.ends {
			open = append(open, e.turn)
			continue
		}
		if i := slices.Index(open, e.turn); i >= 0 {
			open = slices.Delete(open, i, i+1)
		}
	}
}

// watch walks over the spells of all units in time.
type watch struct {
	spells [][]Spell
	at     []int // the first spell of each unit that has not ended
}

func newWatch(spells [][]Spell) *watch { return &watch{spells, make([]int, len(spells))} }

// longest is the unit whose spell at the moment is the longest; moments must not
// fall.
func (w *watch) longest(at calendar.Time) int {
	best := -1
	for u := range w.spells {
		for w.at[u] < len(w.spells[u]) && w.spells[u][w.at[u]].To <= at {
			w.at[u]++
		}
		if w.at[u] == len(w.spells[u]) || w.spells[u][w.at[u]].From > at {
			continue
		}
		if best < 0 {
			best = u
			continue
		}
		a, b := w.current(u), w.current(best)
		if a.length() > b.length() || a.length() == b.length() && a.To > b.To {
			best = u
		}
	}
	return best
}

func (w *watch) current(u int) Spell { return w.spells[u][w.at[u]] }

// next is the next moment at which a spell begins or ends, after longest was asked.
func (w *watch) next(at, to calendar.Time) calendar.Time {
	next := to
	for u := range w.spells {
		if w.at[u] == len(w.spells[u]) {
			continue
		}
		s := w.current(u)
		if s.From > at {
			next = min(next, s.From)
		} else {
			next = min(next, s.To)
		}
	}
	return next
}

// TurningPoint names the bottleneck of a serial line from the shares of time its
// units were blocked and starved: upstream of it they are blocked more than
// starved, downstream the reverse, and it waits less than both neighbours (L. Li,
// Q. Chang, J. Ni, International Journal of Production Research 47 (2009) 5019,
// from memory). ok is false when no unit, or more than one, fits. Units in
// parallel count as one.
func TurningPoint(blocked, starved []float64) (unit int, ok bool) {
	if len(blocked) != len(starved) {
		return -1, false
	}
	found := -1
	for j := range blocked {
		fits := true
		for i := range blocked {
			if i < j {
				fits = fits && blocked[i] > starved[i]
			} else if i > j {
				fits = fits && blocked[i] < starved[i]
			}
		}
		wait := blocked[j] + starved[j]
		if j > 0 {
			fits = fits && wait < blocked[j-1]+starved[j-1]
		}
		if j+1 < len(blocked) {
			fits = fits && wait < blocked[j+1]+starved[j+1]
		}
		if fits {
			if found >= 0 {
				return -1, false
			}
			found = j
		}
	}
	return found, found >= 0
}

// ActiveRule says what counts as active.
type ActiveRule struct {
	// Places: a unit of many places is active while at least this share of them is.
	Places float64
	// Join: waits shorter than this do not end a spell. Between two bars a mill
	// waits for seconds because the next bar is spaced so; that is its work.
	Join calendar.Time
	// Slowed counts running below its pace as active. A unit that is slowed because
	// its neighbour can take no more does not limit anything; one that is slowed
	// because it is worn or on a ramp does.
	Slowed bool
	// Leave out units that cannot be a bottleneck or whose spells say nothing: a
	// source that always gives, the way out, a furnace that is always full.
	Leave func(unit int) bool
	// As gives units that hand pieces on without a store between them one number, that
	// of one of them: they stand and run as one, and are active while one of them is.
	// Nil: every unit for itself.
	As func(unit int) int
}

// Activity is a record.Sink that keeps the active spells of every unit.
type Activity struct {
	units  []record.UnitInfo
	rule   ActiveRule
	on     []bool          // by unit
	busy   []int           // active units, by the number they run as
	since  []calendar.Time // Never while inactive
	spells [][]Spell
}

// NewActivity keeps spells for the units of a route. A unit is active when it is
// running, down, in maintenance or changing over, and not when it is starved, blocked
// or off shift; the rule says the rest.
func NewActivity(r *record.Route, rule ActiveRule) (*Activity, error) {
	if r == nil || !(rule.Places > 0 && rule.Places <= 1) || rule.Join < 0 {
		return nil, fmt.Errorf("measure: activity needs a route, a share of places above 0 and a wait of 0 or more, not %g and %v h", rule.Places, rule.Join.Hours())
	}
	a := &Activity{units: r.Units, rule: rule, on: make([]bool, len(r.Units)), busy: make([]int, len(r.Units)), since: make([]calendar.Time, len(r.Units)), spells: make([][]Spell, len(r.Units))}
	for i := range a.since {
		a.since[i] = calendar.Never
	}
	return a, nil
}

// Put takes the states of the units.
func (a *Activity) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		if e.Kind != record.State || uint(e.From) >= uint(len(a.units)) || uint32(e.A) >= NStates {
			continue
		}
		u := int(e.From)
		if a.rule.Leave != nil && a.rule.Leave(u) {
			continue
		}
		active := a.works(int(e.A))
		if places := a.units[u].Places; places != 1 {
			n := int32(0)
			for s := range 4 {
				if a.works(s) {
					n += int32(uint16(e.X >> (16 * s)))
				}
				if a.works(s + 4) {
					n += int32(uint16(e.Y >> (16 * s)))
				}
			}
			active = float64(n) >= a.rule.Places*float64(places) && n > 0
		}
		if active == a.on[u] {
			continue
		}
		a.on[u] = active
		if a.rule.As != nil {
			u = a.rule.As(u)
		}
		if active {
			if a.busy[u]++; a.busy[u] == 1 {
				a.begin(u, e.T)
			}
			continue
		}
		if a.busy[u]--; a.busy[u] == 0 {
			if e.T > a.since[u] {
				a.spells[u] = append(a.spells[u], Spell{a.since[u], e.T})
			}
			a.since[u] = calendar.Never
		}
	}
}

func (a *Activity) begin(u int, at calendar.Time) {
	a.since[u] = at
	if n := len(a.spells[u]); n > 0 && at-a.spells[u][n-1].To <= a.rule.Join {
		a.since[u] = a.spells[u][n-1].From
		a.spells[u] = a.spells[u][:n-1]
	}
}

func (a *Activity) works(state int) bool {
	switch state {
	case running, down, maintenance, changeover:
		return true
	case slowed:
		return a.rule.Slowed
	}
	return false
}

// Spells are those of every unit, with what is still under way up to now.
func (a *Activity) Spells(now calendar.Time) [][]Spell {
	out := make([][]Spell, len(a.spells))
	for u := range out {
		out[u] = append(out[u], a.spells[u]...)
		if a.since[u] != calendar.Never && now > a.since[u] {
			out[u] = append(out[u], Spell{a.since[u], now})
		}
	}
	return out
}

// Find is FindBottleneck of what was kept.
func (a *Activity) Find(from, to calendar.Time) (Bottleneck, error) {
	return FindBottleneck(a.Spells(to), from, to)
}
