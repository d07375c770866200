package capital

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"

	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/measure"
	"millrace/sim/record"
	"millrace/sim/works"
)

// played is what one option did in one future, year by year.
type played struct {
	done  bool
	years []measure.Account // what each year cost
	out   []float64         // t dispatched, by year
	limit limits
	log   *log
}

// job is one play: a works in one future.
type job struct {
	plant  *works.Plant
	sold   bool
	future uint64
	years  int
	length float64 // s, instead of years
	watch  bool    // for the bottleneck
	option int
	to     *played
}

// run plays jobs on a pool; each writes only its own place, so the answer does not
// depend on the number of workers. A cancelled ctx leaves jobs undone.
func (c *Case) run(ctx context.Context, jobs []job, progress func(done, total int)) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	workers := c.Workers
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	var (
		wait sync.WaitGroup
		mu   sync.Mutex
		next int
		done int
		fail error
	)
	for range min(workers, len(jobs)) {
		wait.Go(func() {
			for {
				mu.Lock()
				i := next
				next++
				mu.Unlock()
				if i >= len(jobs) || ctx.Err() != nil {
					return
				}
				err := c.play(ctx, &jobs[i])
				mu.Lock()
				if err != nil {
					if fail == nil && !errors.Is(err, context.Canceled) {
						fail = err
					}
					mu.Unlock()
					cancel(err)
					return
				}
				done++
				if progress != nil {
					progress(done, len(jobs))
				}
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	if fail != nil {
		return fail
	}
	return ctx.Err()
}

// month is how far a play goes before it looks whether it must stop.
const month = 30 * calendar.Day

func (c *Case) play(ctx context.Context, j *job) error {
	if c.stub != nil {
		c.stub(j, j.option)
		return nil
	}
	f := &futures.Case{Scenario: c.Name, Plant: j.plant, SoldOut: j.sold, Background: true, NoDigest: true, Length: calendar.Day, Seed: c.Seed, Stores: []string{}}
	var w *watch
	var l *ledger
	g, err := f.Game(false, j.future, nil)
	if err != nil {
		return err
	}
	if j.watch {
		if w, err = newWatch(j.plant); err != nil {
			return err
		}
		names, name := upsetNames(g)
		l = newLedger(&j.plant.Route, j.plant.Limiters(), names, name, !j.sold)
		g.Watch(record.Both(w, l))
	}
	periods, length := j.years, calendar.Dur(Year)
	if j.length > 0 {
		periods, length = 1, calendar.Dur(j.length)
	}
	before := g.Account() // what lies in the works at the start is no gain
	sent := 0.0
	for y := range periods {
		end := calendar.Time(y+1) * length
		for t := calendar.Time(y) * length; t < end; {
			if err := ctx.Err(); err != nil {
				return err
			}
			t = min(t+month, end)
			if err := g.Run(t); err != nil {
				return err
			}
		}
		a := g.Account()
		j.to.years = append(j.to.years, a.Less(&before))
		before = a
		s := g.Dispatched()
		j.to.out = append(j.to.out, s-sent)
		sent = s
	}
	if err := g.Check(); err != nil {
		return err
	}
	if w != nil {
		if j.to.limit, err = w.result(g.Works().Now()); err != nil {
			return err
		}
		j.to.log = l.result(g.Works().Now())
	}
	j.to.done = true
	return nil
}

// upsetNames are the names of the upsets of the works, as its file gives them, behind the
// words of the kinds; name tells which of them an upset of the game is.
func upsetNames(g *futures.Game) (names []string, name func(e *record.Event) int) {
	w := g.Works()
	names = slices.Clone(w.P.Route.Upsets)
	at := make([]int, len(w.P.Spec.Upsets))
	for i := range w.P.Spec.Upsets {
		title := w.P.Spec.Upsets[i].Title()
		at[i] = slices.Index(names, title)
		if at[i] < 0 {
			at[i] = len(names)
			names = append(names, title)
		}
	}
	return names, func(e *record.Event) int {
		if e.B >= 0 && int(e.B) < len(w.S.Upsets) {
			if s := int(w.S.Upsets[e.B].Spec); s >= 0 && s < len(at) {
				return at[s]
			}
		}
		return int(e.A)
	}
}
