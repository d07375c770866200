package capital

import (
	"context"
	"fmt"
	"math"
	"slices"

	"millrace/sim/futures/judge"
	"millrace/sim/measure"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// change is one assumption that is varied.
type change struct {
	what      string
	low, high float64 // of the tornado, as factors; for demand shares
	from, to  float64 // between which a flip is searched
	now       float64
	text      func(f float64) string
	prices    func(f float64) factors        // nil: it must be played again
	spec      func(s *works.Spec, f float64) // what changes in the works
	demand    bool
}

func times(f float64) string { return "x " + quantity.FormatNumber(f, 2) }

// changes are the assumptions of a request that are varied (common practice, no
// source: contribution, rates and lengths of stops, demand, gas, what is paid).
func (c *Case) changes() []change {
	out := []change{
		{what: "contribution per tonne", low: 0.8, high: 1.2, from: 0.25, to: 4, now: 1, text: times, prices: func(f float64) factors { return factors{f, 1, 1} }},
		{what: "gas and fuel price", low: 0.5, high: 1.5, from: 0.25, to: 4, now: 1, text: times, prices: func(f float64) factors { return factors{1, f, 1} }},
		{what: "what is paid", low: 0.8, high: 1.3, from: 0.25, to: 4, now: 1, text: times, prices: func(f float64) factors { return factors{1, 1, f} }},
		{what: "how often units stop", low: 0.7, high: 1.3, from: 1. / 3, to: 3, now: 1, text: times, spec: func(s *works.Spec, f float64) {
			for i := range s.Upsets {
				s.Upsets[i].Every /= f
			}
		}},
		{what: "how long stops last", low: 0.7, high: 1.3, from: 1. / 3, to: 3, now: 1, text: times, spec: func(s *works.Spec, f float64) {
			for i := range s.Upsets {
				s.Upsets[i].Lasts = s.Upsets[i].Lasts.Times(f)
			}
		}},
	}
	if c.Demand != nil {
		out = append(out, change{what: "demand", low: 0.8, high: 1, from: 0.6, to: 1, now: c.Share, demand: true, text: func(f float64) string {
			if f >= 1 {
				return "everything can be sold"
			}
			return quantity.FormatNumber(100*f, 0) + " % of what the works can make"
		}})
	}
	return out
}

// small is the state of the plays on the small budget.
type small struct {
	c        *Case
	ctx      context.Context
	options  []int // the first, the best and its closest rival
	futures  []int
	whole    []int // futures of the whole budget
	plays    [][]played
	ties     [][][2]played
	npv      []float64 // of options, plain, on the small budget
	full     []float64 // of options, on the whole budget
	progress func(done, total int)
	done     int
	luck     float64 // half the interval of the last played change, of the option shown
}

// sensitivity fills tornado, flips and tail shares.
func (c *Case) sensitivity(ctx context.Context, a *Answer, plays [][]played, ties [][][2]played, tell func(string) func(int, int)) error {
	s := &small{c: c, ctx: ctx, plays: plays, ties: ties, whole: c.whole(plays, ties), progress: tell("plays of the sensitivities")}
	for f := range min(c.SmallFutures, c.Futures) {
		s.futures = append(s.futures, f)
	}
	s.options = rivals(a)
	for _, i := range s.options {
		v, err := s.value(i, s.first(0), s.first(i), plain)
		if err != nil {
			return err
		}
		s.npv = append(s.npv, v)
		s.full = append(s.full, float64(a.Options[i].NPV.Mean))
	}
	if err := s.tails(a); err != nil {
		return err
	}
	for _, ch := range c.changes() {
		if err := s.vary(a, &ch); err != nil {
			return err
		}
	}
	widest := func(b Bar) float64 { return math.Abs(float64(b.High - b.Low)) }
	slices.SortStableFunc(a.Tornado, func(x, y Bar) int {
		switch d := widest(y) - widest(x); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
	return nil
}

// rivals are the first option, the best, and the best of the others.
func rivals(a *Answer) []int {
	order := make([]int, 0, len(a.Options))
	for i := range a.Options {
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(x, y int) int {
		switch d := a.Options[y].NPV.Mean - a.Options[x].NPV.Mean; {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
	out := []int{0}
	for _, i := range order {
		if i != 0 && len(out) < 3 {
			out = append(out, i)
		}
	}
	return out
}

// first are the played years of an option on the small budget, by future.
func (s *small) first(i int) [][]measure.Account {
	var out [][]measure.Account
	for _, f := range s.futures {
		out = append(out, s.plays[i][f].years[:min(s.c.SmallYears, s.c.Years)])
	}
	return out
}

// value is the mean NPV of an option from played years.
func (s *small) value(i int, base, own [][]measure.Account, x factors) (float64, error) {
	sum := 0.0
	for k, f := range s.futures {
		v, err := s.c.npv(i, base[k], own[k], tieLoss(&s.ties[i][f]), x)
		if err != nil {
			return 0, err
		}
		sum += v
	}
	return sum / float64(len(s.futures)), nil
}

// replay plays the rivals again in changed works.
func (s *small) replay(change func(i int) (*works.Plant, bool, error)) ([][][]measure.Account, error) {
	c := s.c
	got := make([][]played, len(s.options))
	var jobs []job
	for k, i := range s.options {
		p, sold, err := change(i)
		if err != nil {
			return nil, err
		}
		got[k] = make([]played, len(s.futures))
		for n, f := range s.futures {
			jobs = append(jobs, job{plant: p, sold: sold, future: uint64(f), years: min(c.SmallYears, c.Years), to: &got[k][n]})
		}
	}
	done := s.done
	err := c.run(s.ctx, jobs, func(d, _ int) {
		s.done = done + d
		if s.progress != nil {
			s.progress(s.done, 0)
		}
	})
	if err != nil {
		return nil, err
	}
	out := make([][][]measure.Account, len(got))
	for k := range got {
		for n := range got[k] {
			out[k] = append(out[k], got[k][n].years)
		}
	}
	return out, nil
}

// built makes the works of an option with its spec changed.
func (s *small) built(i int, change func(*works.Spec)) (*works.Plant, error) {
	spec := s.c.Options[i].Plant.Spec
	spec.Upsets = slices.Clone(spec.Upsets)
	change(&spec)
	p, err := works.Build(spec)
	if err != nil {
		return nil, err
	}
	p.Route.Start = s.c.Options[i].Plant.Route.Start
	p.SameLuck(s.c.Options[0].Plant)
	return p, nil
}

// at is the NPV of the rivals when an assumption is at f. What the small budget
// says is used as a shift from its own plain answer, so that all bars turn about the
// answer of the whole budget.
func (s *small) at(ch *change, f float64) ([]float64, error) {
	shift := func(k int, v float64) float64 { return s.full[k] + v - s.npv[k] }
	out := make([]float64, len(s.options))
	s.luck = 0
	if ch.prices != nil {
		// Prices need no new play: the whole budget answers.
		v, err := s.c.npvs(s.plays, s.ties, s.whole, ch.prices(f))
		if err != nil {
			return nil, err
		}
		for k, i := range s.options {
			out[k] = mean(v[i])
		}
		return out, nil
	}
	years, err := s.replay(func(i int) (*works.Plant, bool, error) {
		if ch.demand {
			p, sold, err := s.c.Demand(i, f)
			if err == nil {
				p.SameLuck(s.c.Options[0].Plant)
			}
			return p, sold, err
		}
		p, err := s.built(i, func(spec *works.Spec) { ch.spec(spec, f) })
		return p, s.c.SoldOut, err
	})
	if err != nil {
		return nil, err
	}
	shown := max(1, best(s.full))
	for k, i := range s.options {
		v, err := s.value(i, years[0], years[k], plain)
		if err != nil {
			return nil, err
		}
		out[k] = shift(k, v)
		if k == shown && len(s.futures) > 1 {
			if s.luck, err = s.spread(i, years[0], years[k]); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// spread is half the 95 % interval of what a played change does to the NPV of an option.
func (s *small) spread(i int, base, own [][]measure.Account) (float64, error) {
	before, after := s.first(0), s.first(i)
	d := make([]float64, len(s.futures))
	for k, f := range s.futures {
		x, err := s.c.npv(i, base[k], own[k], tieLoss(&s.ties[i][f]), plain)
		if err != nil {
			return 0, err
		}
		y, err := s.c.npv(i, before[k], after[k], tieLoss(&s.ties[i][f]), plain)
		if err != nil {
			return 0, err
		}
		d[k] = x - y
	}
	m, err := judge.MeanInterval(d, level)
	return m.Half, err
}

func best(v []float64) int {
	b := 0
	for k := range v {
		if v[k] > v[b] {
			b = k
		}
	}
	return b
}

// vary adds the bar of an assumption and searches for the value that flips the
// answer.
func (s *small) vary(a *Answer, ch *change) error {
	low, err := s.at(ch, ch.low)
	if err != nil {
		return err
	}
	high, luck := s.full, s.luck
	if ch.high != ch.now {
		if high, err = s.at(ch, ch.high); err != nil {
			return err
		}
		luck = math.Max(luck, s.luck)
	}
	lead := best(s.full)
	shown := max(1, lead) // the bar of doing nothing has no length
	o := a.Options[s.options[shown]].Name
	a.Tornado = append(a.Tornado, Bar{ch.what, o, ch.text(ch.low), ch.text(ch.high), round(low[shown]), round(high[shown]), ch.prices == nil, round(luck)})
	found := false
	for _, way := range []struct {
		end, near float64
		at        []float64
	}{{ch.from, ch.low, low}, {ch.to, ch.high, high}} {
		if way.end == ch.now {
			continue
		}
		inside, outside, to := ch.now, way.near, best(way.at)
		if to == lead {
			far, err := s.at(ch, way.end)
			if err != nil {
				return err
			}
			if to = best(far); to == lead {
				continue
			}
			inside, outside = way.near, way.end
		}
		f, to, err := s.flip(ch, lead, inside, outside, to)
		if err != nil {
			return err
		}
		found = true
		a.Flips = append(a.Flips, Flip{What: ch.what, Factor: f, Text: ch.text(f), Becomes: a.Options[s.options[to]].Name, Found: true})
	}
	if !found {
		a.Flips = append(a.Flips, Flip{What: ch.what, Text: fmt.Sprintf("no change of the answer between %s and %s", ch.text(ch.from), ch.text(ch.to))})
	}
	return nil
}

// flip narrows the value at which another option takes the lead.
func (s *small) flip(ch *change, lead int, inside, outside float64, to int) (float64, int, error) {
	steps := 3
	if ch.prices != nil {
		steps = 30
	}
	for range steps {
		mid := math.Sqrt(inside * outside)
		v, err := s.at(ch, mid)
		if err != nil {
			return 0, 0, err
		}
		if b := best(v); b == lead {
			inside = mid
		} else {
			outside, to = mid, b
		}
	}
	return math.Sqrt(inside * outside), to, nil
}

// tails finds how much of each gain comes from the longest tenth of stops: all kinds
// are played again with none of them longer than what one in ten exceeds.
func (s *small) tails(a *Answer) error {
	years, err := s.replay(func(i int) (*works.Plant, bool, error) {
		p, err := s.built(i, func(spec *works.Spec) {
			for k := range spec.Upsets {
				spec.Upsets[k].Longest = spec.Upsets[k].Lasts.Quantile(0.9)
			}
		})
		return p, s.c.SoldOut, err
	})
	if err != nil {
		return err
	}
	gains := func(base, own [][]measure.Account) []float64 {
		out := make([]float64, len(base))
		for k := range base {
			for y := range base[k] {
				d := base[k][y].Less(&own[k][y])
				out[k] += d.Total()
			}
		}
		return out
	}
	for k, i := range s.options {
		if i == 0 {
			continue
		}
		all, capped := gains(s.first(0), s.first(i)), gains(years[0], years[k])
		share, ok := tailShare(all, capped)
		if !ok {
			a.Warnings = append(a.Warnings, fmt.Sprintf("how much of the gain of %s comes from the longest tenth of stops cannot be told from %d futures of %d years",
				quoted(a.Options[i].Name), len(s.futures), min(s.c.SmallYears, s.c.Years)))
			continue
		}
		a.Options[i].TailShare = &share
	}
	return nil
}

// tailShare is the part of the gain that is gone when the longest stops are cut, from
// the gains by future; false where the gain, or the part, is lost in the luck of so few
// futures: its 95 % interval is wider than 0.6 of the gain either way, or it is no share.
func tailShare(all, capped []float64) (float64, bool) {
	whole, err := judge.MeanInterval(all, level)
	if err != nil || whole.Low <= 0 {
		return 0, false
	}
	p, err := judge.Paired(capped, all, level)
	if err != nil || p.Difference.Half > 0.6*whole.Mean {
		return 0, false
	}
	share := math.Round(p.Difference.Mean/whole.Mean*1e3) / 1e3
	return math.Max(0, share), share > -0.2 && share < 1.2
}

// separate says whether two columns differ for sure, by the paired interval.
func separate(x, y []float64) (bool, error) {
	p, err := judge.Paired(x, y, level)
	return err == nil && (p.Difference.Low > 0 || p.Difference.High < 0), err
}
