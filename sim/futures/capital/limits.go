package capital

import (
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/measure"
	"millrace/sim/works"
)

// limits is how long each unit limited the works in one play.
type limits []Limit

// watch keeps the active spells of every limiter of the works.
type watch struct {
	*measure.Activity
	limiters []works.Limiter
}

// handover is the longest wait that does not end a spell: a piece is on its way from
// the unit before.
const handover = 2 * calendar.Minute

func newWatch(p *works.Plant) (*watch, error) {
	w := &watch{limiters: p.Limiters()}
	as := make([]int, len(p.Route.Units))
	for i := range as {
		as[i] = -1
	}
	for _, l := range w.limiters {
		for _, u := range l.Units {
			as[u] = l.Units[0]
		}
	}
	var err error
	w.Activity, err = measure.NewActivity(&p.Route, measure.ActiveRule{
		Places: 1, Join: handover, Slowed: true,
		Leave: func(u int) bool { return as[u] < 0 },
		As:    func(u int) int { return as[u] },
	})
	return w, err
}

// result is the share of the time in which each unit was the bottleneck, sole or
// shifting.
func (w *watch) result(now calendar.Time) (limits, error) {
	b, err := measure.FindBottleneck(w.Spells(now), 0, now)
	if err != nil {
		return nil, err
	}
	var out limits
	for _, l := range w.limiters {
		u := &b.Units[l.Units[0]]
		if s := u.Sole + u.Shifting; s > 0 {
			out = append(out, Limit{Unit: l.Name, Share: s})
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
