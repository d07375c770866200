package drill

import (
	"cmp"
	"slices"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/works"
)

// standing lists what stands and what is full or dry now, with when it is likely back by
// what people know.
func (s *session) standing() []bus.Standing {
	out := []bus.Standing{}
	w := s.played.Works()
	stops, planned := s.stops(false), s.planned()
	for i := range s.rows {
		x, l := &s.rows[i], &s.meter.last[i]
		k := bus.Standing{Row: i, What: x.Name, Since: l.Since}
		if x.unit < 0 {
			// At once, not from the next full minute on.
			switch {
			case x.full >= 0 && w.AtBrink(x.full):
				k.State = bus.StandFull
			case x.dry >= 0 && w.AtBrink(x.dry):
				k.State = bus.StandDry
			default:
				continue
			}
			if l.S == bus.StoreBetween {
				k.Since = w.Now().Seconds()
			}
			out = append(out, k)
			continue
		}
		switch l.S {
		case bus.UnitDown:
			k.State = bus.StandDown
			for _, v := range stops {
				if v.Row == i && v.Likely != nil && (k.ToldLikely == nil || *v.Likely > *k.ToldLikely) {
					k.ToldLikely = v.Likely
				}
			}
		case bus.UnitMaintenance:
			k.State = bus.StandMaintenance
			for _, v := range planned {
				if v.Now && (v.Row == i || x.Group == rollingLine && s.rows[v.Row].Group == rollingLine) {
					back := v.At + v.Lasts
					k.ToldLikely = &back
				}
			}
		default:
			continue
		}
		out = append(out, k)
	}
	return out
}

// plannedAhead is how far ahead planned stops are announced.
const plannedAhead = 3 * calendar.Day

// planned lists the planned stops that are being done and the next one of each unit, the
// next to begin first.
func (s *session) planned() []bus.Planned {
	out := []bus.Planned{}
	for _, v := range s.played.Works().Planned() {
		row := rowOf(s.rows, v.Unit)
		if row < 0 || !v.Active && v.At-s.now() > plannedAhead {
			continue
		}
		x := bus.Planned{Unit: s.plant.Route.Units[v.Unit].Name, Row: row, At: v.At.Seconds(), Lasts: (v.Ends - v.At).Seconds(), Movable: v.Movable, Now: v.Active}
		if !x.Now {
			if k := slices.IndexFunc(out, func(o bus.Planned) bool { return !o.Now && o.Row == row }); k >= 0 {
				if x.At < out[k].At {
					out[k] = x
				}
				continue
			}
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b bus.Planned) int { return cmp.Compare(a.At, b.At) })
	return out
}

// leversNow are the levers, and of the one that pulls planned stops which are due.
func (s *session) leversNow() []bus.Lever {
	out := []bus.Lever{}
	for i := range s.levers {
		l := s.levers[i].Lever
		if s.levers[i].lever == works.PullPlanned {
			for _, p := range s.planned() {
				if p.Movable && !p.Now && slices.Contains(l.Units, p.Unit) {
					l.Due = append(l.Due, p)
				}
			}
		}
		out = append(out, l)
	}
	return out
}

// rateOverMinutes is the while over which the rate of the cost is taken.
const rateOverMinutes = 10

// costRate is what the cost grew by in the last ten full minutes, an hour; 0 before there
// are ten.
func (s *session) costRate() float64 {
	n := len(s.cost)
	if n <= rateOverMinutes {
		return 0
	}
	return whole((s.cost[n-1] - s.cost[n-1-rateOverMinutes]) * 60 / rateOverMinutes)
}
