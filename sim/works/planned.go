package works

import (
	"math"
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// beginPlanned books the planned stops; one whose first time is not given falls
// somewhere in its period, by luck.
func (w *Works) beginPlanned() {
	for i := range w.P.Spec.Planned {
		s := &w.P.Spec.Planned[i]
		us := w.P.UnitsNamed(s.Unit)
		if len(us) == 0 || s.Every <= 0 {
			continue
		}
		first := s.First
		if first < 0 {
			first = s.Every * w.uniform(luckPlanned, w.P.keys.planned[i], 0)
		}
		w.S.Planned = append(w.S.Planned, plannedState{Unit: int16(us[0]), Spec: int16(i)})
		w.bookPlanned(len(w.S.Planned)-1, calendar.Dur(first))
	}
}

func (w *Works) bookPlanned(i int, at calendar.Time) {
	p := &w.S.Planned[i]
	p.At = at
	p.h = w.S.Net.Cal.Book(at, calendar.Order, calendar.Event{Kind: evPlanned, A: int32(i)})
}

// millUnits are the units that stand together when the hot mill is maintained.
func (w *Works) millUnits() [4]int {
	k := &w.P.u
	return [4]int{k.descaler, k.rougher, k.shear, k.train}
}

// planned begins a planned stop.
func (w *Works) planned(i int) {
	p := &w.S.Planned[i]
	s := &w.P.Spec.Planned[p.Spec]
	n := &w.S.Net
	every := calendar.Dur(s.Every)
	if p.Active {
		return
	}
	u := int(p.Unit)
	if c := u - w.P.u.caster; c >= 0 && c < len(w.P.Spec.Casters) {
		// A caster is stopped between sequences.
		w.S.Casters[c].Maint = true
		w.bookPlanned(i, w.Now()+every)
		if w.S.Casters[c].Phase == phIdle {
			n.Wake(u)
		}
		return
	}
	if f := w.P.furnaceAt(u); f >= 0 {
		// A furnace is run empty first; nothing more is charged.
		w.S.Furnaces[f].Maint = true
		w.bookPlanned(i, w.Now()+every)
		if w.S.Furnaces[f].Row.N == 0 {
			w.shutFurnace(f)
		}
		return
	}
	if u == w.P.u.train {
		if !p.Due && !w.lineMayStand() {
			p.Due = true
			w.S.draining = int16(i) + 1
			p.h = n.Cal.Book(w.Now()+drainsFor, calendar.Order, calendar.Event{Kind: evPlanned, A: int32(i)})
			return
		}
		n.Cal.Cancel(p.h)
		p.Due = false
		w.S.draining = 0
	}
	p.Active = true
	p.Ends = w.Now() + calendar.Dur(s.Lasts)
	w.note(WordPlanned, u, -1, int64(p.Ends), 0, 0)
	if u == w.P.u.train {
		for _, m := range w.millUnits() {
			n.Set(m, flow.CauseMaintenance)
		}
		w.S.Since = 0 // new rolls go in
	} else {
		n.Set(u, flow.CauseMaintenance)
	}
	n.Cal.Book(p.Ends, calendar.Restore, calendar.Event{Kind: evPlanEnd, A: int32(i)})
	w.bookPlanned(i, p.At+every)
	w.S.Dirty |= TopicStops
	w.millState()
}

// drainsFor is how long a planned stop waits for the rolling line to be rolled empty:
// what cannot leave by then stays in it.
const drainsFor = 30 * calendar.Minute

// lineMayStand says whether the rolling line can be given over for maintenance: no bar
// is on its way through it, or it stands anyhow.
func (w *Works) lineMayStand() bool {
	empty := w.S.Delay.N == 0
	for _, m := range w.millUnits() {
		u := &w.S.Net.Units[m]
		if u.Has(flow.CauseDown) {
			return true
		}
		empty = empty && u.Piece < 0
	}
	return empty
}

// drained begins the planned stop that the rolling line is being rolled empty for.
func (w *Works) drained() {
	if i := w.S.draining; i > 0 && w.lineMayStand() {
		w.planned(int(i) - 1)
	}
}

func (w *Works) plannedEnd(i int) {
	switch {
	case i < -maxCasters:
		w.openFurnace(-1 - maxCasters - i)
		return
	case i < 0:
		w.casterMaintained(-1 - i)
		return
	}
	p := &w.S.Planned[i]
	if !p.Active {
		return
	}
	n := &w.S.Net
	p.Active = false
	u := int(p.Unit)
	w.note(WordPlannedOver, u, -1, 0, 0, 0)
	if u == w.P.u.train {
		for _, m := range w.millUnits() {
			n.Clear(m, flow.CauseMaintenance)
		}
		w.wakeMill()
	} else {
		n.Clear(u, flow.CauseMaintenance)
	}
	w.S.Dirty |= TopicStops
	w.millState()
}

// pullPlanned does the unit's next planned stop now; the later one falls away.
func (w *Works) pullPlanned(u int) Reason {
	for i := range w.S.Planned {
		p := &w.S.Planned[i]
		s := &w.P.Spec.Planned[p.Spec]
		if int(p.Unit) != u {
			continue
		}
		switch {
		case p.Active || p.Due:
			return ReasonAlready
		case !s.Movable:
			return ReasonNotMovable
		case p.At-w.Now() > calendar.Dur(s.Earliest):
			return ReasonTooEarly
		}
		n := &w.S.Net
		n.Cal.Cancel(p.h)
		at := p.At
		w.note(WordPulled, u, -1, int64(at), 0, 0)
		p.At = at // the rhythm stays: the next falls a period after the one pulled
		w.planned(i)
		return ReasonNone
	}
	return ReasonNoPlanned
}

// mayMaintain says whether caster c may go on its planned stop: while another caster
// is down the works keeps the one that casts, and does its planned work
// between two later sequences.
func (w *Works) mayMaintain(c int) bool {
	for o := range w.S.Casters {
		if p := w.S.Casters[o].Phase; o < len(w.P.Spec.Casters) && o != c && p == phDown {
			return false
		}
	}
	return true
}

func (w *Works) startCasterMaintenance(c int) {
	k := &w.S.Casters[c]
	k.Maint = false
	k.Phase = phMaint
	k.Until = w.Now() + calendar.Dur(w.plannedLength(w.P.u.caster+c))
	w.S.Net.Cal.Book(k.Until, calendar.Restore, calendar.Event{Kind: evPlanEnd, A: int32(-1 - c)})
	w.note(WordPlanned, w.P.u.caster+c, -1, int64(k.Until), 0, 0)
	w.casterState(c)
	w.placeHeats(c)
}

func (w *Works) casterMaintained(c int) {
	k := &w.S.Casters[c]
	if k.Phase != phMaint {
		return
	}
	w.note(WordPlannedOver, w.P.u.caster+c, -1, 0, 0, 0)
	w.ready(c)
	w.S.Net.Wake(w.P.u.caster + c)
	w.S.Net.Wake(w.P.u.shop)
}

// PlannedView is a planned stop as people know it.
type PlannedView struct {
	Unit     int
	At, Ends calendar.Time // when it begins by plan, or began, and ends
	Movable  bool          // it can be pulled forward
	Earliest calendar.Time // how much at most
	Active   bool          // it is being done
}

// Planned lists the planned stops that are being done and the next one of each kind, in
// the order of the works file. One of a caster that waits for the end of its sequence is
// due now.
func (w *Works) Planned() []PlannedView {
	var out []PlannedView
	for i := range w.S.Planned {
		p := &w.S.Planned[i]
		s := &w.P.Spec.Planned[p.Spec]
		lasts := calendar.Dur(s.Lasts)
		v := PlannedView{Unit: int(p.Unit), Movable: s.Movable, Earliest: calendar.Dur(s.Earliest)}
		next := p.At
		if c := w.casterOf(v.Unit); c >= 0 {
			switch k := &w.S.Casters[c]; {
			case k.Phase == phMaint:
				x := v
				x.Active, x.At, x.Ends = true, k.Until-lasts, k.Until
				out = append(out, x)
			case k.Maint:
				next = w.Now()
			}
		} else if f := w.P.furnaceAt(v.Unit); f >= 0 {
			switch k := &w.S.Furnaces[f]; {
			case k.Shut:
				x := v
				x.Active, x.At, x.Ends = true, k.Until-lasts, k.Until
				out = append(out, x)
			case k.Maint:
				next = w.Now() // it is being run empty
			}
		} else if p.Due {
			next = w.Now()
		} else if p.Active {
			x := v
			x.Active, x.At, x.Ends = true, p.Ends-lasts, p.Ends
			out = append(out, x)
		}
		v.At, v.Ends = next, next+lasts
		out = append(out, v)
	}
	return out
}

// shutFurnace begins the planned stop of a furnace that has been run empty.
func (w *Works) shutFurnace(f int) {
	k := &w.S.Furnaces[f]
	u := w.P.u.furnace + f
	if k.Shut {
		return
	}
	k.Shut = true
	k.Until = w.Now() + calendar.Dur(w.plannedLength(u))
	w.S.Net.Shift(u, flow.Starved, flow.Maintenance, w.S.Net.Units[u].Count[flow.Starved])
	w.S.Net.Cal.Book(k.Until, calendar.Restore, calendar.Event{Kind: evPlanEnd, A: int32(-1 - maxCasters - f)})
	w.note(WordPlanned, u, -1, int64(k.Until), 0, 0)
	w.S.Dirty |= TopicStops
}

// openFurnace: the furnace is hot again and takes slabs.
func (w *Works) openFurnace(f int) {
	k := &w.S.Furnaces[f]
	u := w.P.u.furnace + f
	k.Shut, k.Maint = false, false
	w.S.Net.Shift(u, flow.Maintenance, flow.Starved, w.S.Net.Units[u].Count[flow.Maintenance])
	w.note(WordPlannedOver, u, -1, 0, 0, 0)
	w.S.Net.Wake(u)
	w.wakeCranes()
	w.S.Dirty |= TopicStops
}

// plannedLength is how long a planned stop of the unit lasts, s.
func (w *Works) plannedLength(u int) float64 {
	d := 0.0
	for i := range w.P.Spec.Planned {
		if slices.Contains(w.P.UnitsNamed(w.P.Spec.Planned[i].Unit), u) {
			d = math.Max(d, w.P.Spec.Planned[i].Lasts)
		}
	}
	return d
}
