package futures

import (
	"context"
	"errors"
	"fmt"
	"math"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/measure"
	"millrace/sim/record"
	"millrace/sim/works"
)

// play is one run under way.
type play struct {
	w      *works.Works
	tally  *measure.Tally
	digest record.Digest
	plain  bool // no digest is kept
	extra  record.Sink
	name   string
	future uint64
}

// Put takes the records of the works.
func (p *play) Put(events []record.Event) {
	if !p.plain {
		p.digest.Put(events)
	}
	p.tally.Put(events)
	if p.extra != nil {
		p.extra.Put(events)
	}
}

// begin lays out the works for one plan, nil for standing orders only.
func (c *Case) begin(plan *Plan, scripted bool, future uint64, extra record.Sink) (*play, error) {
	luck := chance.Luck{Seed: c.Seed, Future: future}
	s := works.Start{Luck: luck, Background: c.Background, SoldOut: c.SoldOut, Levels: c.Levels, Speeds: c.Speeds}
	if scripted {
		s.Script = c.Script
	}
	p := &play{w: works.Begin(c.Plant, s), extra: extra, name: "twin", future: future, plain: c.NoDigest}
	var err error
	p.tally, err = measure.New(measure.Setup{Route: &c.Plant.Route, Codes: codes, Sheet: sheet(c.Plant, c.SoldOut), Stores: c.stores(),
		Scripted: len(s.Script), Cool: p.w.S.CoolPickG + p.w.S.CoolHotG})
	if err != nil {
		return nil, err
	}
	p.w.Sink = p
	p.opening()
	if plan != nil {
		p.name = plan.Name
		if plan.New != nil {
			p.w.Director = plan.New(luck)
		}
	}
	return p, nil
}

// opening records what the works holds at its start, by place.
func (p *play) opening() {
	from := record.Nowhere
	r := &p.w.P.Route
	for i := range r.Places {
		if r.Places[i].Name == "opening stock" {
			from = record.Place(i)
		}
	}
	var events []record.Event
	for i, g := range p.w.S.Mass {
		if g > 0 {
			events = append(events, record.Event{Kind: record.Move, From: from, To: record.Place(i), Mass: g, Piece: -1, A: works.StepOpening})
		}
	}
	p.Put(events)
}

// run plays on to the time, a day at a time so that ctx can stop it.
func (p *play) run(ctx context.Context, until calendar.Time) error {
	for t := p.w.Now(); ; {
		if err := ctx.Err(); err != nil {
			return err
		}
		t = min(t+calendar.Day, until)
		if err := p.w.Run(t); err != nil {
			return p.fail(err)
		}
		if t == until {
			break
		}
	}
	if d, ok := p.w.Director.(interface{ Err() error }); ok {
		if err := d.Err(); err != nil {
			return p.fail(err)
		}
	}
	if errs := p.check(); len(errs) > 0 {
		return p.fail(errors.Join(errs...))
	}
	p.tally.Settle(until)
	return nil
}

func (p *play) fail(err error) error {
	return fmt.Errorf("plan %q, future %d, %s after the start: %w", p.name, p.future, clockTime(p.w.Now()), err)
}

func clockTime(t calendar.Time) string {
	m := int64(t / calendar.Minute)
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

// check asks the works and the tally for broken laws; both count everything, by
// different ways, and must agree.
func (p *play) check() []error {
	errs := p.w.Check()
	p.tally.Settle(p.w.Now())
	if err := p.tally.CheckMass(p.w.S.Mass); err != nil {
		errs = append(errs, err)
	}
	if b := p.tally.Balance(); math.Abs(b.Difference) >= 1e-6 {
		errs = append(errs, fmt.Errorf("mass: %g t are not accounted for", b.Difference))
	}
	for u := range p.w.S.Net.Units {
		if err := p.tally.CheckHours(u, p.w.S.Net.Units[u].Spent[:]); err != nil {
			errs = append(errs, err)
		}
	}
	return errs
}
