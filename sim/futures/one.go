package futures

import (
	"context"
	"fmt"
	"math"

	"github.com/cespare/xxhash/v2"

	"millrace/sim/calendar"
	"millrace/sim/measure"
)

// Twin is the number of the plan that RunOne plays for standing orders without
// the scripted upset; StandingOrders is the number for standing orders with it.
const (
	StandingOrders = -1
	Twin           = -2
)

// RunOne plays one plan of the case, by number, in one future for the fixed
// length. With a scripted upset it plays the twin too and gives the cost of the
// upset. A law of the works that is broken is an error.
func RunOne(ctx context.Context, c *Case, plan int, future uint64) (*Result, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	pl := &Plan{Name: "standing orders"}
	switch {
	case plan >= len(c.Plans) || plan < Twin:
		return nil, fmt.Errorf("futures: there is no plan %d; the case has %d", plan, len(c.Plans))
	case plan >= 0:
		pl = &c.Plans[plan]
	case plan == Twin:
		pl = nil
	}
	p, err := c.begin(pl, plan != Twin, future, c.Sink)
	if err != nil {
		return nil, err
	}
	if err := p.run(ctx, c.Length); err != nil {
		return nil, err
	}
	if len(c.Script) == 0 || plan == Twin {
		return c.result(p, nil), nil
	}
	t, err := c.begin(nil, false, future, nil)
	if err != nil {
		return nil, err
	}
	if err := t.run(ctx, c.Length); err != nil {
		return nil, err
	}
	return c.result(p, t), nil
}

// result reads everything of a run, and what the upset did against the twin
// (nil for none).
func (c *Case) result(p, twin *play) *Result {
	t := p.tally
	r := &Result{
		Plan: p.name, Future: p.future, Digest: p.digest.String(), Events: p.digest.Count(), Start: c.Plant.Route.Start,
		Measures: Measures(t.Values()), Horizon: t.Now(),
	}
	a := t.Account()
	r.Money = lines(&a)
	for i := range a {
		r.Measures = append(r.Measures, Measure{Name: "money: " + measure.LineNames[i], Unit: c.currency(), What: "cost, negative when it earns: " + measure.LineWhats[i], Value: a[i]})
	}
	r.Measures = append(r.Measures, Measure{Name: "money: total", Unit: c.currency(), What: "cost of the run, negative when it earns", Value: a.Total()})
	if twin != nil {
		c.compareTwin(r, p, twin)
	}
	b := t.Balance()
	m := &r.MassBalance
	*m = MassBalance{In: b.In, Out: b.Out, InStores: b.InWorks, Difference: b.Difference, ByCause: parts(b.Causes), BySource: parts(b.Sources), ByStore: parts(b.Places), ByWay: parts(b.Ways)}
	for u := range c.Plant.Route.Units {
		h := t.Hours(u)
		r.Units = append(r.Units, UnitHours{Unit: c.Plant.Route.Units[u].Name, Places: int(c.Plant.Route.Units[u].Places), Hours: h[:]})
	}
	for _, l := range t.Levels() {
		if c.shown(l.Store) {
			r.Series = append(r.Series, Series(l))
		}
	}
	for _, f := range t.Firsts() {
		what := f.Store + " full"
		if !f.Full {
			what = f.Store + " dry"
		}
		r.Moments = append(r.Moments, Moment{At: f.At, What: what})
	}
	sortMoments(r.Moments)
	h := xxhash.New()
	fmt.Fprintf(h, "%s|%s|%d|%d|%d|%s", c.Inputs, c.Scenario, c.Seed, p.future, r.Horizon, r.Digest)
	r.Fingerprint = fmt.Sprintf("%016x", h.Sum64())
	return r
}

// Names of the measures that only runs with a twin have.
const (
	CostOfUpset  = "cost of the upset" // by which plans are judged
	BackToNormal = "back to normal"
)

// compareTwin adds what the upset did.
func (c *Case) compareTwin(r *Result, p, twin *play) {
	a, b := p.tally.Account(), twin.tally.Account()
	a = a.Less(&b)
	r.Upset = lines(&a)
	began, _ := p.tally.Upset()
	back := math.NaN()
	at, ok := measure.Recovery(p.tally, twin.tally)
	if r.Recovered = ok; ok && began != calendar.Never {
		back = (at - began).Hours()
	}
	r.Measures = append(r.Measures,
		Measure{Name: CostOfUpset, Unit: c.currency(), What: "what the run cost beyond the same future without the scripted upset", Value: a.Total()},
		Measure{Name: BackToNormal, Unit: "h", What: "from the scripted upset until the hole has gone through: every store in its band, or where it would have been", Value: back})
}

func lines(a *measure.Account) []Line {
	out := make([]Line, 0, measure.NLines+1)
	for i, v := range a {
		out = append(out, Line{Name: measure.LineNames[i], What: measure.LineWhats[i], Amount: v, Low: v, High: v})
	}
	v := a.Total()
	return append(out, Line{Name: "total", What: "all lines", Amount: v, Low: v, High: v})
}

func parts(p []measure.Part) map[string]float64 {
	out := make(map[string]float64, len(p))
	for _, x := range p {
		out[x.Name] = x.Tonnes
	}
	return out
}

func (c *Case) currency() string {
	if c.Plant.Spec.Currency == "" {
		return "money"
	}
	return c.Plant.Spec.Currency
}

func sortMoments(m []Moment) {
	for i := 1; i < len(m); i++ {
		for j := i; j > 0 && m[j].At < m[j-1].At; j-- {
			m[j], m[j-1] = m[j-1], m[j]
		}
	}
}
