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
	nodes     []float64 // where it is played again, rising, without now
}

func times(f float64) string { return "x " + quantity.FormatNumber(f, 2) }

// changes are the assumptions of a request that are varied (common practice, no
// source: contribution, rates and lengths of stops, demand, gas, what is paid).
func (c *Case) changes() []change {
	out := []change{
		{what: "contribution per tonne", low: 0.8, high: 1.2, from: 0.25, to: 4, now: 1, text: times, prices: func(f float64) factors { return factors{f, 1, 1} }},
		{what: "gas and fuel price", low: 0.5, high: 1.5, from: 0.25, to: 4, now: 1, text: times, prices: func(f float64) factors { return factors{1, f, 1} }},
		{what: "what is paid", low: 0.8, high: 1.3, from: 0.25, to: 4, now: 1, text: times, prices: func(f float64) factors { return factors{1, 1, f} }},
		{what: "how often units stop", low: 0.7, high: 1.3, from: 0.5, to: 2, now: 1, nodes: []float64{0.5, 2}, text: times, spec: func(s *works.Spec, f float64) {
			for i := range s.Upsets {
				s.Upsets[i].Every /= f
			}
		}},
		{what: "how long stops last", low: 0.7, high: 1.3, from: 0.5, to: 2, now: 1, nodes: []float64{0.5, 2}, text: times, spec: func(s *works.Spec, f float64) {
			for i := range s.Upsets {
				// What ends a stop at the latest moves with its length: otherwise
				// twice as long would leave the longest stops as they are.
				s.Upsets[i].Lasts = s.Upsets[i].Lasts.Times(f)
			}
		}},
	}
	if c.Demand != nil {
		nodes := slices.DeleteFunc([]float64{0.6, 0.8, 1}, func(f float64) bool { return f == c.Share })
		out = append(out, change{what: "demand", low: 0.8, high: 1, from: 0.6, to: 1, now: c.Share, demand: true, nodes: nodes, text: func(f float64) string {
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
	plain    [][]float64 // NPV by option and future of the small budget, as the case is
	full     []float64   // NPV of options on the whole budget, as answered
	progress func(done, total int)
	done     int
}

// sensitivity fills tornado, flips and tail shares.
func (c *Case) sensitivity(ctx context.Context, a *Answer, plays [][]played, ties [][][2]played, tell func(string) func(int, int)) error {
	s := &small{c: c, ctx: ctx, plays: plays, ties: ties, whole: c.whole(plays, ties), progress: tell("plays of the sensitivities")}
	for f := range min(c.SmallFutures, c.Futures) {
		s.futures = append(s.futures, f)
	}
	s.options = rivals(a)
	for _, i := range s.options {
		v, err := s.column(i, s.first(0), s.first(i))
		if err != nil {
			return err
		}
		s.plain = append(s.plain, v)
		s.full = append(s.full, float64(a.Options[i].NPV.Mean))
	}
	if err := s.tails(a); err != nil {
		return err
	}
	for _, ch := range c.changes() {
		vary := s.vary
		if ch.prices == nil {
			vary = s.varyPlayed
		}
		if err := vary(a, &ch); err != nil {
			return err
		}
	}
	widest := func(b Bar) float64 { return math.Abs(float64(b.High - b.Low)) }
	for _, bars := range [][]Bar{a.Tornado, a.TornadoProposal} {
		slices.SortStableFunc(bars, func(x, y Bar) int {
			switch d := widest(y) - widest(x); {
			case d > 0:
				return 1
			case d < 0:
				return -1
			}
			return 0
		})
	}
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

// column is the NPV of an option in each future, from played years.
func (s *small) column(i int, base, own [][]measure.Account) ([]float64, error) {
	out := make([]float64, len(s.futures))
	for k, f := range s.futures {
		v, err := s.c.npv(i, base[k], own[k], tieLoss(&s.ties[i][f]), plain)
		if err != nil {
			return nil, err
		}
		out[k] = v
	}
	return out, nil
}

// replay plays options again in changed works.
func (s *small) replay(options, futures []int, years int, change func(i int) (*works.Plant, bool, error)) ([][][]measure.Account, error) {
	c := s.c
	got := make([][]played, len(options))
	var jobs []job
	for k, i := range options {
		p, sold, err := change(i)
		if err != nil {
			return nil, err
		}
		got[k] = make([]played, len(futures))
		for n, f := range futures {
			jobs = append(jobs, job{plant: p, sold: sold, future: uint64(f), years: years, to: &got[k][n]})
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
	return p, nil
}

// priced is the NPV of the rivals at other prices: no new play, the whole budget answers.
func (s *small) priced(ch *change, f float64) ([]float64, error) {
	v, err := s.c.npvs(s.plays, s.ties, s.whole, ch.prices(f))
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(s.options))
	for k, i := range s.options {
		out[k] = mean(v[i])
	}
	return out, nil
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

// shown is the option whose bars are drawn: that of doing nothing has no length.
func (s *small) shown() int { return max(1, best(s.full)) }

// bars adds the bar of the option shown, and that of the proposal where it is another.
func (s *small) bars(a *Answer, ch *change, ends func(k int) (low, high, luck float64)) {
	bar := func(k int) Bar {
		low, high, luck := ends(k)
		return Bar{ch.what, a.Options[s.options[k]].Name, ch.text(ch.low), ch.text(ch.high), round(low), round(high), ch.prices == nil, round(luck)}
	}
	a.Tornado = append(a.Tornado, bar(s.shown()))
	if k := slices.Index(s.options, a.proposal()); k > 0 && k != s.shown() {
		a.TornadoProposal = append(a.TornadoProposal, bar(k))
	}
}

func (s *small) noFlip(a *Answer, ch *change, why string) {
	a.Flips = append(a.Flips, Flip{What: ch.what, Text: fmt.Sprintf("no change of the answer between %s and %s%s", ch.text(ch.from), ch.text(ch.to), why)})
}

// vary adds the bar of a price and searches for the value that flips the answer.
func (s *small) vary(a *Answer, ch *change) error {
	low, err := s.priced(ch, ch.low)
	if err != nil {
		return err
	}
	high, err := s.priced(ch, ch.high)
	if err != nil {
		return err
	}
	s.bars(a, ch, func(k int) (float64, float64, float64) { return low[k], high[k], 0 })
	lead, found := best(s.full), false
	for _, end := range []float64{ch.from, ch.to} {
		v, err := s.priced(ch, end)
		if err != nil {
			return err
		}
		to := best(v)
		if to == lead {
			continue
		}
		inside, outside := ch.now, end
		for range 30 {
			mid := math.Sqrt(inside * outside)
			if v, err = s.priced(ch, mid); err != nil {
				return err
			}
			if b := best(v); b == lead {
				inside = mid
			} else {
				outside, to = mid, b
			}
		}
		found = true
		f := math.Sqrt(inside * outside)
		a.Flips = append(a.Flips, Flip{What: ch.what, Factor: f, Text: ch.text(f), Becomes: a.Options[s.options[to]].Name, Found: true})
	}
	if !found {
		s.noFlip(a, ch, "")
	}
	return nil
}

// tails finds how much of each gain comes from the longest tenth of stops: all kinds
// are played again with none of them longer than what one in ten exceeds, on the whole
// budget (a share of a gain needs the gain to stand out of the luck), for the best option
// and the proposal.
func (s *small) tails(a *Answer) error {
	options := []int{0, s.options[s.shown()]}
	if p := a.proposal(); p > 0 && p != options[1] {
		options = append(options, p)
	}
	years, err := s.replay(options, s.whole, s.c.Years, func(i int) (*works.Plant, bool, error) {
		p, err := s.built(i, func(spec *works.Spec) {
			for k := range spec.Upsets {
				spec.Upsets[k].Lasts = spec.Upsets[k].Lasts.Cut(spec.Upsets[k].Lasts.Quantile(0.9))
			}
		})
		return p, s.c.SoldOut, err
	})
	if err != nil {
		return err
	}
	played := func(i int) (out [][]measure.Account) {
		for _, f := range s.whole {
			out = append(out, s.plays[i][f].years)
		}
		return out
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
	for k, i := range options {
		if i == 0 {
			continue
		}
		all, capped := gains(played(0), played(i)), gains(years[0], years[k])
		share, ok := tailShare(all, capped)
		if !ok {
			a.Warnings = append(a.Warnings, fmt.Sprintf("how much of the gain of %s comes from the longest tenth of stops cannot be told from %d futures of %s",
				quoted(a.Options[i].Name), len(s.whole), yearsOf(s.c.Years)))
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
