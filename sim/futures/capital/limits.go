package capital

import (
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/record"
	"millrace/sim/works"
)

// limits is how long each unit limited the works in one play.
type limits []Limit

// watch is told every record of a play.
type watch struct {
	plant *works.Plant
}

func newWatch(p *works.Plant) *watch { return &watch{plant: p} }

// Put takes records.
func (w *watch) Put(events []record.Event) {}

func (w *watch) result(now calendar.Time) limits { return nil }

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
