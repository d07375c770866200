package flow_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

const (
	kindArrive = flow.KindCaller + iota
	kindRestore
)

// station is a stream of arrivals, one store, and servers alike, with every draw
// keyed on what it is for. Times are in hours.
type station struct {
	servers    int  // 0: one
	room       int  // 0: no limit; -1: none, who finds all servers at work is lost
	there      int  // pieces that are there at the start
	atOnce     bool // the first arrival is at the start, behind those
	limit      int
	gap, work  law
	group      int // pieces an arrival, 0: one
	up, repair law // failures by operating time
	// waitsUpTo asks which share of the pieces waits no longer than each of these;
	// numbers asks for the shares of arrivals that find 0, 1, 2 ... others there.
	waitsUpTo []float64
	numbers   int
}

type playedStation struct {
	p     *flow.Plant
	queue flow.StoreID
	unit  flow.UnitID
	upTo  []int
	found []int
	begun int // pieces begun
	came  int
	began func(pc *flow.Piece, wait float64)
}

func newStation(k luck, s station) *playedStation {
	q := &playedStation{p: flow.NewPlant(), upTo: make([]int, len(s.waitsUpTo)), found: make([]int, s.numbers)}
	limits := make([]calendar.Time, len(s.waitsUpTo))
	for i, w := range s.waitsUpTo {
		limits[i] = hours(w)
	}
	room := s.room
	switch room {
	case 0:
		room = flow.Unlimited
	case -1:
		room = 0
	}
	q.queue = q.p.AddStore(flow.StoreSpec{Room: room})
	if s.there > 0 {
		q.p.AddSource(flow.SourceSpec{To: q.queue, Limit: 1, Gap: func(int) calendar.Time { return 0 },
			Group: func(int) int { return s.there }})
	}
	src := flow.SourceSpec{To: q.queue, Limit: s.limit,
		Gap: func(n int) calendar.Time {
			if n == 0 && s.atOnce {
				return 0
			}
			return hours(s.gap(k.uniform(forGap, 0, n)))
		}}
	if s.group > 1 {
		src.Group = func(int) int { return s.group }
	}
	if s.numbers > 0 {
		src.Mark = func(*flow.Piece) {
			if n := q.p.Inside() - 1; n < s.numbers {
				q.found[n]++
			}
			q.came++
		}
	}
	q.p.AddSource(src)
	u := flow.UnitSpec{From: q.queue, Places: s.servers,
		Work: func(pc *flow.Piece) calendar.Time { return hours(s.work(k.uniform(forWork, 0, int(pc.Number)))) }}
	u.Begins = func(pc *flow.Piece) {
		w := q.p.Now() - pc.Came
		q.begun++
		for i, l := range limits {
			if w <= l {
				q.upTo[i]++
			}
		}
		if q.began != nil {
			q.began(pc, w.Hours())
		}
	}
	if s.up != nil {
		u.Fails = []flow.FailSpec{{
			Up:     func(place, j int) calendar.Time { return hours(s.up(k.uniform(forUp, place, j))) },
			Repair: func(place, j int) calendar.Time { return hours(s.repair(k.uniform(forRepair, place, j))) },
		}}
	}
	q.unit = q.p.AddUnit(u)
	return q
}

// play forgets what happened before warm and plays to end, in hours.
func (q *playedStation) play(t testing.TB, warm, end float64) {
	t.Helper()
	q.run(t, warm)
	q.p.Reset()
	clear(q.upTo)
	clear(q.found)
	q.begun, q.came = 0, 0
	q.run(t, end)
}

func (q *playedStation) run(t testing.TB, until float64) {
	t.Helper()
	if err := q.p.Run(hours(until)); err != nil {
		t.Fatal(err)
	}
}

// wait is the mean wait of those whose work has begun, in hours; number the mean
// number of pieces in store and servers.
func (q *playedStation) wait() float64              { return q.p.Store(q.queue).MeanWait / 3600 }
func (q *playedStation) number() float64            { return q.p.Count().MeanInside }
func (q *playedStation) share(s flow.State) float64 { return q.p.Unit(q.unit).Share(s) }
func (q *playedStation) lost() float64 {
	c := q.p.Count()
	return float64(c.Lost) / float64(c.Entered)
}

func (q *playedStation) waitedUpTo(i int) float64 { return float64(q.upTo[i]) / float64(q.begun) }
func (q *playedStation) foundThere(n int) float64 { return float64(q.found[n]) / float64(q.came) }
