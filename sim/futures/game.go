package futures

import (
	"errors"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/measure"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Game is one run under way whose clock the caller moves: a works with its
// measures and its digest. It belongs to one goroutine.
type Game struct{ play }

// Game lays out the works of the case in one future, with or without the scripted
// upsets, under standing orders only. Sink, nil for none, gets every record.
func (c *Case) Game(scripted bool, future uint64, sink record.Sink) (*Game, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	p, err := c.begin(nil, scripted, future, sink)
	if err != nil {
		return nil, err
	}
	g := &Game{*p}
	g.w.Sink = g
	return g, nil
}

// Works is the works being played.
func (g *Game) Works() *works.Works { return g.w }

// Run plays up to and including the time. How a run is cut into such steps does not
// change it.
func (g *Game) Run(until calendar.Time) error {
	if err := g.w.Run(until); err != nil {
		return g.fail(err)
	}
	return nil
}

// Check reports every broken law as one error.
func (g *Game) Check() error {
	g.w.Flush()
	return errors.Join(g.check()...)
}

// Digest is that of all records so far; Events their number.
func (g *Game) Digest() string { g.w.Flush(); return g.digest.String() }

// Events is the number of records so far.
func (g *Game) Events() uint64 { g.w.Flush(); return g.digest.Count() }

// Cost is what the run has cost up to now; negative when it earned.
func (g *Game) Cost() float64 {
	g.w.Flush()
	g.tally.Settle(g.w.Now())
	a := g.tally.Account()
	return a.Total()
}

// CostLess is what the run has cost beyond another at the same time, by line; the
// last is the total.
func (g *Game) CostLess(o *Game) []Line {
	g.Cost()
	o.Cost()
	a, b := g.tally.Account(), o.tally.Account()
	a = a.Less(&b)
	return lines(&a)
}

// Copy makes an independent copy of the game, which reports to nobody but itself.
// With reuse, a game of the same case that is no longer needed, it takes its memory.
func (g *Game) Copy(reuse *Game) *Game {
	g.w.Flush()
	c := reuse
	if c == nil {
		c = &Game{play{w: new(works.Works), tally: new(measure.Tally)}}
	}
	c.w.CopyFrom(g.w)
	c.tally.CopyFrom(g.tally)
	c.digest, c.name, c.future, c.extra = g.digest, g.name, g.future, nil
	c.w.Sink, c.w.Director = c, nil
	return c
}

// Ahead makes a copy a future of a look-ahead from now, see works.Redraw.
func (g *Game) Ahead(luck chance.Luck, keepEnds bool) {
	g.w.Redraw(luck, keepEnds)
	g.w.Sink = g
}

// Account is the money of the run so far, by line.
func (g *Game) Account() measure.Account {
	g.w.Flush()
	g.tally.Settle(g.w.Now())
	return g.tally.Account()
}

// Dispatched is what has left the works for customers so far, t.
func (g *Game) Dispatched() float64 {
	g.w.Flush()
	t := int64(0)
	for p := range g.w.P.Spec.Products {
		for w := range g.tally.Ways() {
			t += g.tally.Dispatched(p, w)
		}
	}
	return float64(t) / 1e6
}

// Watch gives every record from now on to the sink too; nil for nobody.
func (g *Game) Watch(sink record.Sink) { g.w.Flush(); g.extra = sink }
