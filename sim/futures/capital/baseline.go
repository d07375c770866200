package capital

import (
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/measure"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Baseline is what the works did under one option in the years played: a delay log of
// every unit, and what the hours lost on the unit that limits the works were put down
// to. All are means over futures.
type Baseline struct {
	// Dispatched is what left the works in a year of 365 days, t.
	Dispatched float64      `json:"dispatched_t_a_year"`
	Units      []UnitYear   `json:"units"`
	Limit      string       `json:"limiting_unit"`
	PerHour    float64      `json:"t_per_hour_at_work"` // that leave the limiting unit, or the works where Passed is not known
	Lost       []Loss       `json:"lost"`               // largest first
	Upsets     []UpsetCount `json:"upsets"`             // in the order of the route
}

// UnitYear is how a unit spent a year.
type UnitYear struct {
	Unit   string `json:"unit"`
	Places int    `json:"places"`
	// Passed is what left the unit in a year, t; 0 where the records name no place
	// for what is on it.
	Passed float64 `json:"passed_t_a_year"`
	// Hours a year by measure.States; place-hours where a unit has places.
	Hours [measure.NStates]float64 `json:"hours_by_state"`
}

// AtWork are the hours at its pace or below it.
func (u *UnitYear) AtWork() float64 {
	return u.Hours[stateOf("running")] + u.Hours[stateOf("slowed")]
}

// Waiting is the share of its time in which the unit had nothing to work on or could
// not give away what it had.
func (u *UnitYear) Waiting() float64 {
	all := 0.0
	for _, h := range u.Hours {
		all += h
	}
	if all == 0 {
		return 0
	}
	return (u.Hours[stateOf("starved")] + u.Hours[stateOf("blocked")]) / all
}

// Loss is what one cause took from the unit that limits the works in a year.
type Loss struct {
	// Cause is an upset by the name that the works file gives it, with the unit it
	// happened to where that is another; what was waited for; or a word for the state.
	Cause string `json:"cause"`
	// Group is one of the groups of losses.
	Group  string  `json:"group"`
	Hours  float64 `json:"hours_a_year"`
	Tonnes float64 `json:"tonnes_a_year"` // hours times PerHour
}

// Groups of losses.
const (
	OwnStops      = "own stops"
	PlannedOff    = "planned"
	OtherStops    = "waiting for others' stops"
	OthersPlanned = "waiting for others' planned work"
	Rhythm        = "waiting with no stop under way"
	NotOrdered    = "not ordered"
)

// UpsetCount is how often an upset came to a unit in a year and how long it lasted in
// all.
type UpsetCount struct {
	Name  string  `json:"name"` // as in the works file
	Unit  string  `json:"unit"`
	Count float64 `json:"count_a_year"`
	Hours float64 `json:"hours_a_year"`
}

func stateOf(word string) int {
	for s, w := range measure.States {
		if w == word {
			return s
		}
	}
	return -1
}

var (
	isStarved, isBlocked, isDown = stateOf("starved"), stateOf("blocked"), stateOf("down")
	isRunning, isSlowed          = stateOf("running"), stateOf("slowed")
	isMaintained, isChanged      = stateOf("maintenance"), stateOf("changeover")
	isOff                        = stateOf("off shift")
)

// ledger is told every record of a play and keeps its delay log. Time in which a unit
// is down is put down to the upsets under way on it; time in which it waits for work
// to those on units before it, time in which it cannot give away to those on units
// behind it, and either to those on units that run as one with it (a mill does not ask
// for work while one of its stands is being mended), in equal parts where there are
// several. Waiting under no upset is put down to what is waited for. Units are in the
// order of the route.
type ledger struct {
	route  *record.Route
	names  []string                  // of upsets: causes are name by unit
	name   func(e *record.Event) int // of an upset; negative for none
	stages stages
	// watched are the units whose waiting is looked at piece by piece: those that can
	// limit the works, and all where none are named.
	watched []int
	version int // of the stages: changes when one of them does
	units   []logged
	active  []under
	counts  []int32         // by cause
	lasted  []calendar.Time // by cause
	causes  int
	unitAt  []int // by place, -1 for none
	as      []int // by unit: the first of those that run as one with it
}

type logged struct {
	since calendar.Time
	count [measure.NStates]int32
	spent [measure.NStates]calendar.Time
	out   int64     // g
	put   []float64 // s, by cause, of down and waiting
	by    [measure.NStates]float64
	// What is waited for where no upset explains it, starved and blocked: s by cause, and
	// the cause as it was when the stages last changed.
	watched bool
	wait    [2][]float64
	waits   [2]struct{ version, cause int }
}

type under struct {
	number      int32
	cause, unit int
	began       calendar.Time
}

// newLedger makes an empty log. Upsets go by the names given, of which name tells which;
// nil for the kinds of the route. With books only what is ordered is made.
func newLedger(r *record.Route, groups []works.Limiter, names []string, name func(e *record.Event) int, books bool) *ledger {
	if names == nil {
		names, name = r.Upsets, func(e *record.Event) int { return int(e.A) }
	}
	l := &ledger{route: r, names: names, name: name, units: make([]logged, len(r.Units)), causes: len(names) * len(r.Units), version: 1}
	l.counts, l.lasted = make([]int32, l.causes), make([]calendar.Time, l.causes)
	for i := range l.units {
		l.units[i].count[isStarved] = r.Units[i].Places // as every works begins
		l.units[i].put = make([]float64, l.causes)
		for k := range l.units[i].wait {
			l.units[i].wait[k] = make([]float64, l.none()+1)
		}
	}
	l.as = make([]int, len(r.Units))
	for i := range l.as {
		l.as[i] = i
	}
	groupName := map[int]string{}
	for _, g := range groups {
		for _, u := range g.Units {
			l.as[u] = g.Units[0]
			l.watched = append(l.watched, u)
		}
		if len(g.Units) > 1 {
			groupName[g.Units[0]] = g.Name
		}
	}
	for u := range l.units {
		if len(groups) == 0 {
			l.watched = append(l.watched, u)
		}
	}
	l.unitAt = make([]int, len(r.Places))
	for p := range r.Places {
		l.unitAt[p] = -1
		if r.Places[p].Role == record.OnUnit {
			l.unitAt[p] = slices.IndexFunc(r.Units, func(u record.UnitInfo) bool { return u.Name == r.Places[p].Name })
		}
	}
	for _, u := range l.watched {
		l.units[u].watched = true
	}
	passes := make([]bool, len(l.units))
	for _, u := range l.unitAt {
		if u >= 0 {
			passes[u] = true
		}
	}
	l.stages = newStages(r, passes, l.as, groupName, books)
	for _, us := range l.stages.units {
		if a := r.Units[us[0]].Area; a == "iron" || a == "steel" {
			l.stages.heads++
		}
	}
	return l
}

// Put takes records.
func (l *ledger) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		switch e.Kind {
		case record.State:
			if uint(e.From) >= uint(len(l.units)) || uint32(e.A) >= measure.NStates {
				continue
			}
			u := &l.units[e.From]
			var now [measure.NStates]int32
			if l.route.Units[e.From].Places == 1 {
				now[e.A] = 1
			} else {
				for s := range 4 {
					now[s], now[s+4] = int32(uint16(e.X>>(16*s))), int32(uint16(e.Y>>(16*s)))
				}
			}
			if s := l.stages.of[e.From]; s >= 0 {
				was, before := u.count, l.sign(s)
				u.count = now
				after := l.sign(s)
				u.count = was
				if before != after {
					l.bookWaiting(s, e.T)
				}
			}
			l.advance(int(e.From), e.T)
			u.count = now
		case record.Move:
			if uint(e.From) < uint(len(l.unitAt)) && l.unitAt[e.From] >= 0 {
				l.units[l.unitAt[e.From]].out += e.Mass
			}
		case record.Upset, record.Over:
			l.upset(e)
		}
	}
}

func (l *ledger) upset(e *record.Event) {
	name := l.name(e)
	if uint(e.From) >= uint(len(l.units)) || uint(name) >= uint(len(l.names)) {
		return
	}
	at := slices.IndexFunc(l.active, func(a under) bool { return a.number == e.B })
	if e.Kind == record.Over && at < 0 {
		return
	}
	for u := range l.units {
		l.advance(u, e.T)
	}
	cause := name*len(l.units) + int(e.From)
	if e.Kind == record.Upset {
		l.counts[cause]++
		if e.B >= 0 && at < 0 {
			l.active = append(l.active, under{e.B, cause, int(e.From), e.T})
		}
		return
	}
	l.lasted[l.active[at].cause] += e.T - l.active[at].began
	l.active = slices.Delete(l.active, at, at+1)
}

// advance books what a unit did since it was last looked at.
func (l *ledger) advance(at int, now calendar.Time) {
	u := &l.units[at]
	d := now - u.since
	if d <= 0 {
		return
	}
	u.since = now
	for s, c := range u.count {
		if c == 0 {
			continue
		}
		u.spent[s] += d * calendar.Time(c)
		if s != isDown && s != isStarved && s != isBlocked {
			continue
		}
		n := 0
		for i := range l.active {
			if l.blames(s, at, l.active[i].unit) {
				n++
			}
		}
		if n == 0 {
			if s != isDown && u.watched {
				k := 0
				if s == isBlocked {
					k = 1
				}
				if f := &u.waits[k]; f.version != l.version {
					f.version, f.cause = l.version, l.waitsFor(s, at)
				}
				u.wait[k][u.waits[k].cause] += d.Seconds() * float64(c)
			}
			continue
		}
		part := d.Seconds() * float64(c) / float64(n)
		for i := range l.active {
			if a := &l.active[i]; l.blames(s, at, a.unit) {
				u.put[a.cause] += part
				u.by[s] += part
			}
		}
	}
}

// blames says whether a state of a unit is put down to an upset on another.
func (l *ledger) blames(state, at, other int) bool {
	if state != isDown && l.as[at] == l.as[other] {
		return true
	}
	switch state {
	case isDown:
		return other == at
	case isStarved:
		return other < at
	}
	return other > at
}

// log is what is kept of a play, hours a year.
type log struct {
	units  []UnitYear
	put    [][]share // by unit
	unput  [][measure.NStates]float64
	wait   [][2][]share // by unit, starved and blocked; the cause is what is waited for
	names  []string     // of upsets
	stages *stages
	upsets []share // Hours; Count in count
	count  []float64
}

type share struct {
	cause int
	hours float64
}

// result ends the log after so many years.
func (l *ledger) result(now calendar.Time) *log {
	years := now.Seconds() / Year
	route := l.stages // a copy: a log must not keep the ledger, and with it the whole play
	out := &log{names: l.names, stages: &route}
	for i := range l.units {
		l.advance(i, now)
		u := &l.units[i]
		y := UnitYear{Unit: l.route.Units[i].Name, Places: int(l.route.Units[i].Places), Passed: float64(u.out) / 1e6 / years}
		var rest [measure.NStates]float64
		for s := range u.spent {
			y.Hours[s] = u.spent[s].Hours() / years
			rest[s] = y.Hours[s] - u.by[s]/3600/years
		}
		var put []share
		for c, v := range u.put {
			if v > 0 {
				put = append(put, share{c, v / 3600 / years})
			}
		}
		var wait [2][]share
		for k := range u.wait {
			for c, v := range u.wait[k] {
				if v > 0 {
					wait[k] = append(wait[k], share{c, v / 3600 / years})
				}
			}
		}
		out.units, out.put, out.unput, out.wait = append(out.units, y), append(out.put, put), append(out.unput, rest), append(out.wait, wait)
	}
	for i := range l.active {
		l.lasted[l.active[i].cause] += now - l.active[i].began
	}
	for c, n := range l.counts {
		if n > 0 {
			out.upsets = append(out.upsets, share{c, l.lasted[c].Hours() / years})
			out.count = append(out.count, float64(n)/years)
		}
	}
	return out
}

// baseline is the mean of the logs of an option. The works is limited by the units at,
// which run as one: the one of them that waits least is looked at. With none it is the
// one that waits least of all.
func baseline(route *record.Route, logs []*log, dispatched float64, limit string, at []int) *Baseline {
	logs = slices.DeleteFunc(slices.Clone(logs), func(l *log) bool { return l == nil })
	if len(logs) == 0 {
		return nil
	}
	b := &Baseline{Dispatched: dispatched, Limit: limit, Lost: []Loss{}, Upsets: []UpsetCount{}}
	n := float64(len(logs))
	for i := range route.Units {
		u := UnitYear{Unit: route.Units[i].Name, Places: int(route.Units[i].Places)}
		for _, l := range logs {
			u.Passed += l.units[i].Passed / n
			for s, h := range l.units[i].Hours {
				u.Hours[s] += h / n
			}
		}
		b.Units = append(b.Units, u)
	}
	b.countUpsets(route, logs)
	if len(at) == 0 {
		k := leastWaiting(b.Units, dispatched)
		if k < 0 {
			return b
		}
		b.Limit, at = b.Units[k].Unit, []int{k}
	}
	k := at[0]
	for _, u := range at {
		if b.Units[u].Passed > 0 && (b.Units[k].Passed == 0 || b.Units[u].Waiting() < b.Units[k].Waiting()) {
			k = u
		}
	}
	b.Limit = b.Units[k].Unit
	b.lose(route, logs, k, at)
	return b
}

func (b *Baseline) countUpsets(route *record.Route, logs []*log) {
	n := float64(len(logs))
	names := logs[0].names
	causes := len(names) * len(route.Units)
	count, hours := make([]float64, causes), make([]float64, causes)
	for _, l := range logs {
		for k, s := range l.upsets {
			count[s.cause] += l.count[k] / n
			hours[s.cause] += s.hours / n
		}
	}
	for u := range route.Units {
		for k := range names {
			if c := k*len(route.Units) + u; count[c] > 0 {
				b.Upsets = append(b.Upsets, UpsetCount{names[k], route.Units[u].Name, count[c], hours[c]})
			}
		}
	}
}

// leastWaiting is the unit that works, is repaired or set up for the largest share of
// its time, of the single units through which half or more of what leaves the works
// goes.
func leastWaiting(units []UnitYear, dispatched float64) int {
	at := -1
	for i := range units {
		if units[i].AtWork() == 0 || units[i].Places != 1 || units[i].Passed < dispatched/2 {
			continue
		}
		if at < 0 || units[i].Waiting() < units[at].Waiting() {
			at = i
		}
	}
	return at
}

// lose puts the hours of the limiting unit at down to causes; own are the units that
// run as one with it.
func (b *Baseline) lose(route *record.Route, logs []*log, at int, own []int) {
	n := float64(len(logs))
	u := &b.Units[at]
	if w := u.AtWork(); w > 0 {
		b.PerHour = u.Passed / w
		if u.Passed == 0 {
			b.PerHour = b.Dispatched / w
		}
	}
	add := func(cause, group string, hours float64) {
		if hours < 1e-6 {
			return
		}
		b.Lost = append(b.Lost, Loss{cause, group, hours, hours * b.PerHour})
	}
	names := logs[0].names
	sum := make([]float64, len(names)*len(route.Units))
	var wait [2][]float64
	for k := range wait {
		wait[k] = make([]float64, len(route.Units)*nReasons+1)
	}
	var rest [measure.NStates]float64
	for _, l := range logs {
		for _, s := range l.put[at] {
			sum[s.cause] += s.hours / n
		}
		for s, h := range l.unput[at] {
			rest[s] += h / n
		}
		for k := range wait {
			for _, s := range l.wait[at][k] {
				wait[k][s.cause] += s.hours / n
			}
		}
	}
	for c, h := range sum {
		kind, unit := names[c/len(route.Units)], c%len(route.Units)
		if slices.Contains(own, unit) {
			if unit != at {
				kind += ", " + route.Units[unit].Name
			}
			add(kind, OwnStops, h)
		} else {
			add(kind+", "+route.Units[unit].Name, OtherStops, h)
		}
	}
	for s, h := range rest {
		switch s {
		case isRunning, isSlowed:
		case isDown:
			add("down without an upset of its own", OwnStops, h)
		case isStarved, isBlocked: // below
		default:
			add(measure.States[s], PlannedOff, h)
		}
	}
	for k, s := range []int{isStarved, isBlocked} {
		for c, h := range wait[k] {
			name, group := logs[0].waiting(route, c, s)
			if i := slices.IndexFunc(b.Lost, func(l Loss) bool { return l.Cause == name && l.Group == group }); i >= 0 {
				b.Lost[i].Hours, b.Lost[i].Tonnes = b.Lost[i].Hours+h, (b.Lost[i].Hours+h)*b.PerHour
				continue
			}
			add(name, group, h)
		}
	}
	slices.SortStableFunc(b.Lost, func(x, y Loss) int {
		switch {
		case x.Hours > y.Hours:
			return -1
		case x.Hours < y.Hours:
			return 1
		}
		return 0
	})
}
