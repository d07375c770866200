package futures

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"github.com/cespare/xxhash/v2"

	"millrace/sim/calendar"
	"millrace/sim/measure"
)

// Compare plays every plan of the case, and the twin, in every future and judges
// the plans by the cost of the upset. Futures are numbered from 0. progress, if
// not nil, is told how many of all futures are done, one call at a time. A law of
// the works that is broken in any run is an error, as is a cancelled ctx.
func Compare(ctx context.Context, c *Case, progress func(done, total int)) (*Comparison, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if len(c.Plans) == 0 {
		return nil, errors.New("futures: the case has no plans; give at least one")
	}
	if c.Futures < 1 {
		return nil, fmt.Errorf("futures: %d futures; give at least one", c.Futures)
	}
	all, err := c.playAll(ctx, progress)
	if err != nil {
		return nil, err
	}
	return c.summarise(all)
}

// outcome is one future of all plans; the twin stands last.
type outcome struct {
	results  []*Result
	horizon  calendar.Time
	extended bool
	capped   bool
	err      error
}

// playAll plays the futures on a pool of goroutines; each writes only its own
// place, so the answer does not depend on their number.
func (c *Case) playAll(ctx context.Context, progress func(done, total int)) ([]outcome, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	workers := c.Workers
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	all := make([]outcome, c.Futures)
	var (
		wait sync.WaitGroup
		mu   sync.Mutex
		next int
		done int
	)
	for range min(workers, c.Futures) {
		wait.Go(func() {
			for {
				mu.Lock()
				f := next
				next++
				mu.Unlock()
				if f >= c.Futures || ctx.Err() != nil {
					return
				}
				all[f] = c.playFuture(ctx, uint64(f))
				if all[f].err != nil {
					cancel()
					return
				}
				mu.Lock()
				done++
				if progress != nil {
					progress(done, c.Futures)
				}
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	// A failed run stops the others: tell the failure, not the stopping.
	var first error
	for f := range all {
		if err := all[f].err; err != nil && (first == nil || errors.Is(first, context.Canceled)) {
			first = err
		}
	}
	if first == nil {
		first = ctx.Err()
	}
	return all, first
}

// playFuture plays all plans and the twin to their common horizon.
func (c *Case) playFuture(ctx context.Context, future uint64) (o outcome) {
	plays := make([]*play, 0, len(c.Plans)+1)
	for i := range c.Plans {
		p, err := c.begin(&c.Plans[i], true, future, nil)
		if err != nil {
			return outcome{err: err}
		}
		plays = append(plays, p)
	}
	twin, err := c.begin(nil, false, future, nil)
	if err != nil {
		return outcome{err: err}
	}
	plays = append(plays, twin)
	o.horizon = c.Length
	for {
		for _, p := range plays {
			if err := p.run(ctx, o.horizon); err != nil {
				return outcome{err: err}
			}
		}
		through := true
		for _, p := range plays[:len(c.Plans)] {
			_, ok := measure.Recovery(p.tally, twin.tally)
			through = through && ok
		}
		if through || len(c.Script) == 0 {
			break
		}
		if o.horizon >= c.MaxLength {
			o.capped = true
			break
		}
		o.horizon = min(o.horizon+calendar.Day, c.MaxLength)
		o.extended = true
	}
	for _, p := range plays {
		t := twin
		if p == twin {
			t = nil
		}
		o.results = append(o.results, c.result(p, t))
	}
	return o
}

// fingerprint is one number for inputs and all records, in the order of plans
// and futures, the twin last.
func (c *Case) fingerprint(all []outcome) string {
	h := xxhash.New()
	fmt.Fprintf(h, "%s|%s|%d|%d|%d|%d", c.Inputs, c.Scenario, c.Seed, c.Futures, c.Length, c.MaxLength)
	for p := range len(c.Plans) + 1 {
		for f := range all {
			fmt.Fprintf(h, "|%s %d", all[f].results[p].Digest, all[f].horizon)
		}
	}
	return fmt.Sprintf("%016x", h.Sum64())
}
