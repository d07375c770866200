package drill

import (
	"fmt"
	"math"
	"slices"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// ring is one place of the main route: a store, or units that stand side by side.
type ring struct {
	rows  []int
	store bool
}

// reason is why a row is as it is. until is when that ends, Never where nobody can say;
// told says that this is only what people were told; stop is the upset behind it, -1 for
// none.
type reason struct {
	why   string
	until calendar.Time
	told  bool
	stop  int
}

func because(why string) reason { return reason{why: why, until: calendar.Never, stop: -1} }

// asideOf are the names and groups of rows that are not on the main route: cranes serve
// it, the rest is used when there is need, or is the other way out.
var asideOf = []string{"reheat stand", "slab cranes", "overflow haulage", "overflow yard", "cool hot band", "fuel gas"}

// ringsOf is the main route in the order in which steel goes, with the ring of each row,
// -1 for one beside it.
func ringsOf(rows []row) (rings []ring, of []int) {
	of = make([]int, len(rows))
	stage := -1
	for i := range rows {
		x := &rows[i]
		of[i] = -1
		if x.stage == beside || slices.Contains(asideOf, x.Name) || x.Group != "" && slices.Contains(asideOf, x.Group) {
			continue
		}
		if len(rings) == 0 || x.stage != stage {
			rings, stage = append(rings, ring{store: x.unit < 0}), x.stage
		}
		k := len(rings) - 1
		if !rings[k].store == (x.unit < 0) { // two ways at one stage: the first is the main one
			continue
		}
		rings[k].rows = append(rings[k].rows, i)
	}
	// What lies on the conveyor comes before what its end gives on.
	for k := 1; k < len(rings); k++ {
		if rings[k].store && rows[rings[k].rows[0]].Name == "conveyor" {
			rings[k], rings[k-1] = rings[k-1], rings[k]
		}
	}
	for k := range rings {
		for _, i := range rings[k].rows {
			of[i] = k
		}
	}
	return rings, of
}

// waits says of every unit that is blocked, starved, in changeover or slowed why, and when
// that ends where it is known; and of a furnace that gives nothing until when it heats.
func (s *session) waits() []bus.Wait {
	out := []bus.Wait{}
	for i := range s.rows {
		if s.rows[i].unit < 0 {
			continue
		}
		var r reason
		switch s.meter.last[i].S {
		case bus.UnitBlocked, bus.UnitStarved:
			r = s.reason(i)
		case bus.UnitChangeover:
			r = s.changeover(i)
		case bus.UnitRunning, bus.UnitSlowed:
			if r = s.heating(i); r.why == "" {
				r = s.slowed(i)
			}
		default:
			continue
		}
		if r.why == "" {
			continue
		}
		x := bus.Wait{Row: i, Why: r.why, Until: seconds(r.until), Told: r.told}
		switch {
		case r.told: // as the word was written
			*x.Until = math.Round(*x.Until/60) * 60
		case x.Until != nil:
			*x.Until = math.Ceil(*x.Until/60) * 60
		}
		if k := slices.IndexFunc(s.calls, func(c call) bool { return c.upset == r.stop }); r.stop >= 0 && k >= 0 {
			x.Call = s.calls[k].page.ID
		}
		out = append(out, x)
	}
	return out
}

// reason is why row i is blocked or starved, full or dry.
func (s *session) reason(i int) reason {
	x, k := &s.rows[i], s.ringOf[i]
	state, since := s.meter.last[i].S, s.meter.last[i].Since
	if x.unit < 0 {
		if k < 0 {
			return because("")
		}
		return s.walk(k, state == bus.StoreFull, "", since)
	}
	switch {
	case x.Group == "slab cranes":
		if v, ok := s.played.Works().Stock("slab yard"); state == bus.UnitBlocked || ok && v.Free < s.plant.MeanSlab() {
			return because("no room in the slab yard")
		}
		return because("no slab to lift")
	case k < 0:
		return because("")
	case x.Group == "casters":
		return s.casterWaits(i, state == bus.UnitBlocked)
	case x.Group == rollingLine && state == bus.UnitStarved:
		if r, ok := s.lineStopped(i); ok {
			return r
		}
	case x.Group == "coilers" && state == bus.UnitBlocked:
		if held, _ := s.passes(s.rings[k+1].rows[0], true); s.rings[k+1].store && !held {
			return s.walk(k, false, "", since) // the tail of its strip is still in the line
		}
	case x.Name == "steel shop" && state == bus.UnitStarved:
		return s.shopWaits(k, since)
	case x.Name == "anneal bases":
		return s.basesWait(k, state == bus.UnitBlocked, since)
	}
	return s.walk(k, state == bus.UnitBlocked, "", since)
}

// changeover is how long a change of rolls or a turnaround takes.
func (s *session) changeover(i int) reason {
	w := s.played.Works()
	if x := &s.rows[i]; x.Group == "casters" {
		return reason{"turned round", w.TurnedAt(s.nth(i)), false, -1}
	} else if x.Group == rollingLine {
		return reason{"roll change", w.RollsAt(), false, -1}
	}
	return because("")
}

// heating is until when a furnace that is full and gives nothing heats its first slab.
func (s *session) heating(i int) reason {
	if s.rows[i].Group != furnaces || s.meter.rate(i) > 0 {
		return because("")
	}
	if v := s.played.Works().Door(s.nth(i)); v.Slab && v.At > s.now() && v.At != calendar.Never {
		return reason{"slab at the door not at heat", v.At, false, -1}
	}
	return because("")
}

// slowed is what makes row i work below its pace, and until when where that is known.
func (s *session) slowed(i int) reason {
	if s.meter.last[i].S != bus.UnitSlowed {
		return because("")
	}
	w := s.played.Works()
	switch v := w.Slowing(s.rows[i].unit); v.Why {
	case works.SlowByUpset:
		stop, _ := w.Stop(v.Upset)
		r := reason{notYet, calendar.Never, false, v.Upset}
		if s.kinds[v.Upset] {
			r.why = stop.Name
		}
		if stop.Told && stop.Likely != calendar.Never {
			r.until, r.told = stop.Likely, true
		}
		return r
	case works.SlowComing:
		return reason{"coming back from a stop", v.Until, false, -1}
	case works.SlowForHeat:
		return because("makes its steel last until the next heat")
	case works.SlowTableFull:
		return because("little room on its run-out table")
	case works.SlowOrdered:
		return because("as ordered")
	case works.SlowStanding:
		return because("wind cut by standing order: torpedoes fill")
	}
	return because("")
}

// nth is the number of a row among those of its group.
func (s *session) nth(i int) int {
	n := 0
	for k := range i {
		if s.rows[k].Group == s.rows[i].Group && s.rows[k].unit >= 0 {
			n++
		}
	}
	return n
}

// walk goes from ring k along the route to what holds it up: down the route for what
// cannot give on, up for what gets nothing. It goes on through stores that are full (or
// dry) and units that wait in the same way, and ends where that chain does. A stop of one of
// several units while the others work is not why somebody has waited since before it.
func (s *session) walk(k int, down bool, via string, since float64) reason {
	step := -1
	if down {
		step = 1
	}
	part := reason{until: calendar.Never, stop: -1} // one of several side by side stands
	for k += step; k >= 0 && k < len(s.rings); k += step {
		g := &s.rings[k]
		if !g.store {
			if s.rows[g.rows[0]].Group == rollingLine {
				if r, ok := s.lineStopped(-1); ok {
					return r.by(via)
				}
			}
			if r, ok := s.stopped(g); ok && !s.later(g, r, since) {
				if !slices.ContainsFunc(g.rows, s.waiting) {
					if d, ok := s.doors(g); ok && s.rows[g.rows[0]].Group == furnaces && d.until != calendar.Never {
						d.stop = r.stop
						return d.by(r.why).by(via)
					}
					return r.by(via)
				}
				if part.why == "" {
					part = r.by(via)
				}
				continue // what the others wait for tells more, if something does
			}
			if s.rows[g.rows[0]].Group == furnaces {
				if r, ok := s.doors(g); ok && (!down || r.until > s.now() && r.until != calendar.Never) {
					return r.by(via)
				}
			}
			if part.why != "" && !s.allWait(g) {
				return part
			}
			if !s.allWait(g) {
				// It works: what comes or goes does so at its pace.
				switch name := s.groupName(g); {
				case down && via != "":
					return because(via)
				case down:
					return because("room comes at the pace of " + name)
				default:
					return because("first piece to come from " + name).by(via)
				}
			}
			continue
		}
		i := g.rows[0]
		x := &s.rows[i]
		switch held, word := s.passes(i, down); {
		case !held && part.why != "":
			return part
		case !held:
			return s.atStore(i, down).by(via)
		case via == "" && word != "":
			via = x.Name + " " + word
		}
	}
	if part.why != "" {
		return part
	}
	if down {
		return because("nothing is taken away").by(via)
	}
	return because("nothing comes in").by(via)
}

// lineStopped is what stands of the rolling line beside row i: nothing is drawn towards a line
// of which a part stands, and a strip that is in it goes no further.
func (s *session) lineStopped(i int) (r reason, ok bool) {
	for o := range s.rows {
		if s.rows[o].Group == rollingLine && o != i {
			if x, is := s.stopped(&ring{rows: []int{o}}); is && (!ok || r.stop < 0 && x.stop >= 0) {
				r, ok = x, true
			}
		}
	}
	return r, ok
}

// later says whether a stop of some units of a ring, of which others work, began after the
// moment since.
func (s *session) later(g *ring, r reason, since float64) bool {
	v, ok := s.played.Works().Stop(r.stop)
	return ok && v.Began.Seconds() > since+60 && slices.ContainsFunc(g.rows, func(i int) bool { return s.meter.rate(i) > 0 })
}

func (s *session) waiting(i int) bool {
	v := s.meter.last[i].S
	return v == bus.UnitBlocked || v == bus.UnitStarved
}

// allWait says whether units side by side wait, those apart that make nothing.
func (s *session) allWait(g *ring) bool {
	return slices.ContainsFunc(g.rows, s.waiting) && !slices.ContainsFunc(g.rows, func(i int) bool { return !s.waiting(i) && s.meter.rate(i) > 0 })
}

// by puts the store by which a stop makes itself felt before the reason.
func (r reason) by(via string) reason {
	switch {
	case via == "":
	case r.why == "":
		r.why = via
	default:
		r.why = via + ": " + r.why
	}
	return r
}

// unending is a reason whose cause may end without the wait: the yard must come down first.
func (r reason) unending() reason {
	r.until, r.told = calendar.Never, false
	return r
}

// groupName is what units side by side are called.
func (s *session) groupName(g *ring) string {
	x := &s.rows[g.rows[0]]
	if len(g.rows) > 1 && x.Group != "" {
		return x.Group
	}
	return x.Name
}

// stopped says what stands of a ring by a stop, planned work or a change; ok is false when
// nothing does.
func (s *session) stopped(g *ring) (r reason, ok bool) {
	w := s.played.Works()
	for _, i := range g.rows {
		for c := range s.calls {
			v, on := w.Stop(s.calls[c].upset)
			if !on || v.Over || s.calls[c].page.Row != i || !w.Standing(s.rows[i].unit) && s.meter.last[i].S != bus.UnitDown {
				continue
			}
			r = reason{s.rows[i].Name + " down", calendar.Never, false, s.calls[c].upset}
			if v.Told && v.Likely != calendar.Never {
				r.until, r.told = v.Likely, true
			}
			return r, true
		}
	}
	for _, i := range g.rows {
		x := &s.rows[i]
		switch s.meter.last[i].S {
		case bus.UnitDown:
			return because(x.Name + " down"), true
		case bus.UnitMaintenance:
			r = because("planned stop of " + x.Name)
			if x.Group == rollingLine {
				r.why = "planned stop of the rolling line"
			}
			for _, p := range s.played.Works().Planned() {
				if k := rowOf(s.rows, p.Unit); p.Active && (k == i || x.Group == rollingLine && k >= 0 && s.rows[k].Group == rollingLine) {
					r.until = p.Ends
				}
			}
			return r, true
		case bus.UnitOffShift:
			return because(x.Name + " off shift"), true
		case bus.UnitChangeover:
			if len(g.rows) == 1 {
				r = s.changeover(i)
				r.why = x.Name + ", " + r.why
				return r, true
			}
		}
	}
	return r, false
}

// passes says whether a store hands on what happens behind or before it: full for what
// cannot give on, dry for what gets nothing; with the word for it, "" for none.
func (s *session) passes(i int, down bool) (held bool, word string) {
	w, x := s.played.Works(), &s.rows[i]
	level := s.meter.last[i].V
	switch {
	case down && x.full >= 0:
		return w.AtBrink(x.full), "full"
	case down:
		return x.Name == "cool coils to pickle", "" // a part of the coil floor
	case x.Name == "coil yard":
		return w.CoolerAt() == calendar.Never, "" // what may be pickled is a row of its own
	case x.dry >= 0 && w.AtBrink(x.dry):
		if x.Name == "slab yard" {
			return true, "too low for a programme"
		}
		return true, "dry"
	case x.dry >= 0:
		return false, ""
	}
	if x.Name == "conveyor" { // a belt: that it is empty says no more than that it stands
		return level <= 0, ""
	}
	return level <= 0, "empty"
}

// atStore is why a unit waits although the store beside it would let it work.
func (s *session) atStore(i int, down bool) reason {
	w := s.played.Works()
	switch s.rows[i].Name {
	case "slab yard":
		for k := range s.rows {
			if s.rows[k].Group == "slab cranes" {
				if r, ok := s.stopped(&ring{rows: []int{k}}); ok && r.stop >= 0 {
					return r
				}
			}
		}
		if !down {
			return because("slabs on their way from the yard")
		}
	case "conveyor":
		if !down {
			return because("coils on their way")
		}
	case "coil yard":
		if !down {
			return reason{"coils too hot: none cool", w.CoolerAt(), false, -1}
		}
	case "annealed coils":
		if t := w.TemperAt(); !down && t != calendar.Never && w.TemperMill().Ready == 0 {
			return reason{"annealed coils too hot: none cool", t, false, -1}
		}
	}
	if down {
		return because("there is room again in " + s.rows[i].Name)
	}
	return because("next on its way from " + s.rows[i].Name)
}

// doors is why furnaces give the line no slab; ok is false when they are empty.
func (s *session) doors(g *ring) (reason, bool) {
	w := s.played.Works()
	first, slabs, below := calendar.Never, false, 0.0
	for f := range g.rows {
		v := w.Door(f)
		slabs = slabs || v.Slab
		if v.Slab && (v.At < first || first == calendar.Never) {
			first, below = min(first, v.At), v.Below
		}
	}
	switch {
	case !slabs:
		return reason{}, false
	case first == calendar.Never && below > 0:
		return because(fmt.Sprintf("furnaces cold: gas %.0f K below set-point", below)), true
	case first == calendar.Never:
		return because("furnaces: no slab can be drawn"), true
	case first > s.now() && below > 0:
		return reason{"furnaces cold: no slab at heat", first, false, -1}, true
	case first > s.now():
		return reason{"slabs heating: none at heat", first, false, -1}, true
	}
	return because("first slab on its way"), true
}

// casterWaits is why a caster stands.
func (s *session) casterWaits(i int, blocked bool) reason {
	w, c, since := s.played.Works(), s.nth(i), s.meter.last[i].Since
	yard := s.ringNamed("slab yard")
	if blocked {
		return s.walk(s.ringOf[i], true, "", since)
	}
	if t, ok := w.HeatFor(c); ok {
		r := because("its heat being blown")
		if t > s.now() && t != calendar.Never {
			r = reason{"its heat in treatment", t, false, -1}
		} else if t != calendar.Never {
			r = because("ladle about to be opened")
		}
		return r
	}
	switch w.TapWait(c) {
	case works.TapShut:
		return because("no heats for it, by order")
	case works.TapStopped:
		return because("tapping stopped, by order")
	case works.TapStands:
		return because("held by what stopped it")
	case works.TapTurn:
		return because("its sequence ends first")
	case works.TapNoRoom:
		return s.walk(yard, true, "no heat: slab yard has no room", since).unending()
	case works.TapSpaced:
		return s.walk(yard, true, "next sequence waits: slab yard above "+quantity.FormatNumber(s.plant.Spec.Standing.YardHigh/1000, 0)+" t", since).unending()
	}
	if shop := s.ringNamed("steel shop"); shop >= 0 {
		if r, ok := s.stopped(&s.rings[shop]); ok {
			return r
		}
		if held, _ := s.passes(s.rings[shop-1].rows[0], false); held {
			return s.walk(shop, false, "", since)
		}
	}
	return because("next heat by the plan of heats")
}

// shopWaits is why the steel shop blows nothing.
func (s *session) shopWaits(k int, since float64) reason {
	w := s.played.Works()
	if held, _ := s.passes(s.rings[k-1].rows[0], false); held {
		return s.walk(k, false, "", since)
	}
	held := because("")
	for i := range s.rows {
		if s.rows[i].Group != "casters" {
			continue
		}
		if s.meter.last[i].S == bus.UnitBlocked {
			held = s.casterWaits(i, true)
			continue
		}
		switch w.TapWait(s.nth(i)) {
		case works.TapFree:
			return because("next heat when a caster needs it")
		case works.TapStands:
			if r, ok := s.stopped(&ring{rows: []int{i}}); ok && held.why == "" {
				held = r
			}
		default:
			if _, ok := w.HeatFor(s.nth(i)); !ok {
				held = s.casterWaits(i, false)
			}
		}
	}
	return held.by("no caster takes a heat")
}

// basesWait is why no base is heated.
func (s *session) basesWait(k int, blocked bool, since float64) reason {
	v := s.played.Works().Annealing()
	switch {
	case !v.Gas:
		return because("no protective gas")
	case blocked && v.BellsFree == 0:
		return because("stacks wait for a bell")
	case blocked && v.CoolersFree == 0:
		return because("stacks wait for a cooler")
	case blocked:
		return s.walk(k, true, "", since)
	}
	if r := s.walk(k, false, "", since); r.why != "" {
		return r
	}
	return because("hard coils too few for a stack")
}

// ringNamed is the ring of the row of that name, -1 for none.
func (s *session) ringNamed(name string) int {
	if i := rowNamed(s.rows, name); i >= 0 {
		return s.ringOf[i]
	}
	return -1
}
