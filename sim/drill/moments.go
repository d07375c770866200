package drill

import (
	"cmp"
	"math"
	"slices"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/works"
)

// lastMoment is the last moment at which pulling a lever does what it is for.
type lastMoment struct {
	lever works.Lever
	at    calendar.Time
	why   string
}

// lastMoments works out, as howlong does, by when to stop tapping, to slow the casters and
// to end a sequence: a stop of the rolling line keeps slabs from being drawn, and the yard
// must hold to its bad end. There are none without such a stop or before the first word.
func (l *looker) lastMoments(w *works.Works, lost int, now calendar.Time) []lastMoment {
	if lost < 0 {
		return nil
	}
	v, ok := w.Stop(lost)
	if !ok || !v.Told {
		return nil
	}
	var out []lastMoment
	tap := make([]calendar.Time, l.n)
	draw := 0.0
	for f := range l.ahead {
		tap[f] = l.ahead[f].tap
		draw += l.ahead[f].draw / float64(l.n)
	}
	slices.Sort(tap)
	// The early side, as the heat after it has no room if the stop lasts.
	if t := tap[max(0, (l.n+1)/10-1)]; t != calendar.Never {
		out = append(out, lastMoment{works.StopTapping, t, "later heats have no room in the slab yard if the stop lasts"})
	}
	law, err := chance.Told((v.Low - v.LastWord).Seconds(), (v.Likely - v.LastWord).Seconds(), (v.Bad - v.LastWord).Seconds())
	if err != nil { // told low, likely and bad are the same
		return out
	}
	left := law.Residual(0.9, (now - v.LastWord).Seconds())
	n := len(w.P.Spec.Casters)
	free, slowest := w.YardFree(), w.P.SlowestShare()
	full := w.CastRate(1, n) - draw
	if full <= 0 {
		return out
	}
	put := func(lever works.Lever, less float64, holds, short string) {
		switch in, need := futures.LastCut(free, full, less, left); need {
		case futures.Needed:
			out = append(out, lastMoment{lever, now + calendar.Dur(in), holds})
		case futures.NotEnough:
			out = append(out, lastMoment{lever, now, short})
		}
	}
	put(works.SetCasterSpeed, w.CastRate(slowest, n)-draw, "the slab yard then holds to the bad end, all casters at their slowest", "it buys time; alone it does not keep room in the slab yard to the bad end")
	if n > 1 {
		put(works.EndSequence, w.CastRate(slowest, n-1)-draw, "the slab yard then holds to the bad end, the others at their slowest", "alone it does not keep room in the slab yard to the bad end")
	}
	return out
}

// decideBy is the last moment for an order, nil for none.
func decideBy(w *works.Works, moments []lastMoment, o works.Order) (at *float64, why string) {
	for _, m := range moments {
		if m.lever == o.Lever {
			return seconds(m.at), m.why
		}
	}
	if o.Lever == works.DivertHeat || o.Lever == works.HoldHeat || o.Lever == works.ReturnHeat {
		for _, h := range w.HeatViews() {
			if h.Number == o.Heat && h.OpenBy != calendar.Never {
				return seconds(h.OpenBy), "the heat is then too cold to be opened"
			}
		}
	}
	return nil, ""
}

// moves is what an order does to the troubles: before and after are by brink, and cover
// the same time.
func moves(rows []row, p *works.Plant, before, after []bus.Reach) []bus.Move {
	out := []bus.Move{}
	brinks := p.Brinks()
	for b := range brinks {
		if before[b].Share == 0 && after[b].Share == 0 && !(brinks[b].Name == "slab yard" && brinks[b].Full) {
			continue
		}
		what := brinks[b].Name + " dry"
		if brinks[b].Full {
			what = brinks[b].Name + " full"
		}
		out = append(out, bus.Move{Row: brinkRow(rows, b), What: what, Before: before[b], After: after[b]})
	}
	slices.SortStableFunc(out, func(a, b bus.Move) int { return compareReach(&a.Before, &b.Before) })
	return out
}

// compareReach orders by likely time, then by the soonest; what does not come is last.
func compareReach(a, b *bus.Reach) int {
	never := func(t *float64) float64 {
		if t == nil {
			return math.Inf(1)
		}
		return *t
	}
	return cmp.Or(cmp.Compare(never(a.Likely), never(b.Likely)), cmp.Compare(never(a.Soonest), never(b.Soonest)))
}
