package capital

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/cespare/xxhash/v2"

	"millrace/sim/futures/cashflow"
	"millrace/sim/futures/judge"
	"millrace/sim/measure"
)

const level = 0.95

// Progress is told what is being played, how much of it is done and of how much.
type Progress func(what string, done, total int)

// Decide plays the case and answers it. When ctx is cancelled it answers from the
// futures that every option has finished, if there are two or more, and returns the
// cancellation beside the answer.
func Decide(ctx context.Context, c *Case, progress Progress) (*Answer, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	tell := func(what string) func(int, int) {
		if progress == nil {
			return nil
		}
		return func(done, total int) { progress(what, done, total) }
	}
	plays := make([][]played, len(c.Options)) // by option and future
	ties := make([][][2]played, len(c.Options))
	var jobs []job
	for i := range plays {
		plays[i] = make([]played, c.Futures)
		ties[i] = make([][2]played, c.Futures)
	}
	for f := range c.Futures {
		for i := range c.Options {
			o := &c.Options[i]
			jobs = append(jobs, job{plant: o.Plant, sold: c.SoldOut, future: uint64(f), years: c.Years, watch: true, option: i, to: &plays[i][f]})
			if o.TieIn != nil {
				jobs = append(jobs,
					job{plant: c.Options[0].Plant, sold: c.SoldOut, future: uint64(f), length: o.TieInLength, to: &ties[i][f][0]},
					job{plant: o.TieIn, sold: c.SoldOut, future: uint64(f), length: o.TieInLength, to: &ties[i][f][1]})
			}
		}
	}
	stopped := c.run(ctx, jobs, tell("years of operation"))
	if stopped != nil && !errors.Is(stopped, context.Canceled) {
		return nil, stopped
	}
	whole := c.whole(plays, ties)
	if len(whole) < 2 {
		return nil, fmt.Errorf("stopped before two futures were whole: %w", stopped)
	}
	a, err := c.answer(plays, ties, whole)
	if err != nil {
		return nil, err
	}
	if stopped == nil && c.SmallFutures > 0 {
		stopped = c.sensitivity(ctx, a, plays, ties, tell)
		if stopped != nil && !errors.Is(stopped, context.Canceled) {
			return nil, stopped
		}
	} else if stopped == nil {
		a.Warnings = append(a.Warnings, "sensitivities were left out (--quick): what the answer hangs on, and what would flip it, is not known")
	}
	if stopped != nil {
		a.Warnings = append(a.Warnings, fmt.Sprintf("stopped early: %d of %d futures are whole, and what was not finished is left out", len(whole), c.Futures))
	}
	return a, stopped
}

// whole are the futures in which every play is done.
func (c *Case) whole(plays [][]played, ties [][][2]played) (out []int) {
	for f := range c.Futures {
		ok := true
		for i := range c.Options {
			ok = ok && plays[i][f].done && (c.Options[i].TieIn == nil || ties[i][f][0].done && ties[i][f][1].done)
		}
		if ok {
			out = append(out, f)
		}
	}
	return out
}

// tieLoss is what the tie-in stops of an option lost in a future.
func tieLoss(t *[2]played) float64 {
	if !t[0].done || !t[1].done {
		return 0
	}
	return t[1].years[0].Total() - t[0].years[0].Total()
}

// npvs are the NPV of every option in the futures given.
func (c *Case) npvs(plays [][]played, ties [][][2]played, futures []int, x factors) ([][]float64, error) {
	out := make([][]float64, len(c.Options))
	for i := range c.Options {
		for _, f := range futures {
			v, err := c.npv(i, plays[0][f].years, plays[i][f].years, tieLoss(&ties[i][f]), x)
			if err != nil {
				return nil, err
			}
			out[i] = append(out[i], v)
		}
	}
	return out, nil
}

func (c *Case) npv(i int, base, own []measure.Account, tie float64, x factors) (float64, error) {
	s := Money(0)
	for y, v := range totals(c.flows(i, base, own, tie, x)) {
		s += discounted(v, c.Discount, y)
	}
	return float64(s), nil
}

// discounted is a flow's worth on the day of the decision.
func discounted(v, rate float64, year int) Money {
	p, err := cashflow.PresentWorth(rate, math.Max(1e-9, float64(year)))
	if year == 0 || err != nil {
		p = 1
	}
	return round(v * p)
}

func (c *Case) answer(plays [][]played, ties [][][2]played, whole []int) (*Answer, error) {
	a := &Answer{
		Case: c.Name, Currency: c.Options[0].Plant.Spec.Currency, Seed: c.Seed, Futures: len(whole), Wanted: c.Futures,
		Years: c.Years, Life: c.Life, Discount: c.Discount, SoldOut: c.SoldOut, Book: c.Book,
		Flips: []Flip{}, Tornado: []Bar{},
	}
	values, err := c.npvs(plays, ties, whole, plain)
	if err != nil {
		return nil, err
	}
	for i := range c.Options {
		o, err := c.outcome(i, plays, ties, whole, values[i])
		if err != nil {
			return nil, err
		}
		a.Options = append(a.Options, o)
	}
	for i := range values {
		if mean(values[i]) > mean(values[a.Best]) {
			a.Best = i
		}
	}
	// Pair by pair: options of a case differ in how much they vary as in what they cost,
	// and a loud one that is far behind must not hide what the others are worth.
	best, err := judge.Best(values, judge.Options{Sense: judge.LargerBetter, Level: level, Delta: c.delta(values), Method: judge.PairByPair})
	if err != nil {
		return nil, err
	}
	a.Decided = best.Decided
	c.say(a, values, &best)
	a.Bottleneck = Moves{first(a.Options[0].Limits), first(a.Options[a.Best].Limits)}
	if a.Best == 0 {
		for i := range a.Options { // nothing is done: what the proposal would have moved
			if a.Options[i].Role == "proposal" {
				a.Bottleneck.After = first(a.Options[i].Limits)
				break
			}
		}
	}
	h := xxhash.New()
	fmt.Fprintf(h, "%s|%s|%d|%d|%d|%d|%v", c.Inputs, c.Name, c.Seed, len(whole), c.Years, c.Life, c.Discount)
	for i := range a.Options {
		fmt.Fprintf(h, "|%v", a.Options[i].Values)
	}
	a.Fingerprint = fmt.Sprintf("%016x", h.Sum64())
	return a, nil
}

func first(l []Limit) string {
	if len(l) == 0 {
		return ""
	}
	return l[0].Unit
}

// delta is the difference in NPV that matters: 1 % of the largest, or what the works
// says matters.
func (c *Case) delta(values [][]float64) float64 {
	d := c.Options[0].Plant.Spec.Costs.Matters
	for i := range values {
		d = math.Max(d, 0.01*math.Abs(mean(values[i])))
	}
	return d
}

// outcome describes one option.
func (c *Case) outcome(i int, plays [][]played, ties [][][2]played, whole []int, values []float64) (o Outcome, err error) {
	opt := &c.Options[i]
	o.Name, o.Role = opt.Name, opt.Role
	for _, v := range values {
		o.Values = append(o.Values, Money(v))
		if v > 0 {
			o.ChancePositive++
		}
	}
	o.ChancePositive /= float64(len(values))
	if o.NPV, err = spread(values); err != nil {
		return o, err
	}
	annual := make([]float64, len(values))
	recover, err := cashflow.CapitalRecovery(c.Discount, float64(c.Life))
	if err != nil {
		return o, err
	}
	for k, v := range values {
		annual[k] = v * recover
	}
	if o.EquivalentAnnual, err = spread(annual); err != nil {
		return o, err
	}
	if err := c.meanFlow(&o, i, plays, ties, whole); err != nil {
		return o, err
	}
	o.EquivalentAnnual.Mean = round(float64(o.NPV.Mean) * recover)
	if o.TieIn, err = c.tieIn(i, ties, whole); err != nil {
		return o, err
	}
	c.gains(&o, i, plays, whole)
	o.Limits = meanLimits(plays[i], whole)
	var logs []*log
	for _, f := range whole {
		logs = append(logs, plays[i][f].log)
	}
	limit := o.Limits
	if i > 0 {
		limit = meanLimits(plays[0], whole) // all options are asked about the same unit
	}
	name, at := first(limit), []int(nil)
	for _, l := range opt.Plant.Limiters() {
		if l.Name == name {
			at = l.Units
		}
	}
	o.Baseline = baseline(&opt.Plant.Route, logs, o.Dispatched, name, at)
	return o, nil
}

// meanFlow fills the mean flow and what follows from it.
func (c *Case) meanFlow(o *Outcome, i int, plays [][]played, ties [][][2]played, whole []int) (err error) {
	byYear, sums := make([][]float64, c.Life+1), make([][]float64, c.Life+1)
	lines := make([][NLines]float64, c.Life+1)
	for _, f := range whole {
		so := 0.0
		for y, v := range c.flows(i, plays[0][f].years, plays[i][f].years, tieLoss(&ties[i][f]), plain) {
			so += float64(v.Total())
			byYear[y], sums[y] = append(byYear[y], float64(v.Total())), append(sums[y], so)
			for l := range v {
				if l == LineGain && i > 0 && y > 0 { // as it was played: rounded once, for the mean
					k := (y - 1) % c.Years
					lines[y][l] += (plain.worth(&plays[0][f].years[k]) - plain.worth(&plays[i][f].years[k])) * c.Options[i].service(y) / float64(len(whole))
					continue
				}
				if l == LineTieIn && i > 0 {
					if y == yearOf(c.Options[i].TieInAt, c.Life) {
						lines[y][l] -= tieLoss(&ties[i][f]) / float64(len(whole))
					}
					continue
				}
				lines[y][l] += float64(v[l]) / float64(len(whole))
			}
		}
	}
	sum, worth := Money(0), Money(0)
	flows := make([]float64, c.Life+1)
	for y := range lines {
		r := YearFlow{Year: y}
		for l := range lines[y] {
			r.Lines[l] = round(lines[y][l])
			r.Total += r.Lines[l]
		}
		flows[y] = float64(r.Total)
		r.Discounted = discounted(flows[y], c.Discount, y)
		sum += r.Total
		r.Cumulative = sum
		if r.Low, r.High, err = tenths(byYear[y]); err != nil {
			return err
		}
		if r.CumulativeLow, r.CumulativeHigh, err = tenths(sums[y]); err != nil {
			return err
		}
		o.Flow = append(o.Flow, r)
		worth += r.Discounted
	}
	o.NPV.Mean = worth // the sum of what is printed: within a unit a year of the mean over futures
	o.IRR = []float64{}
	if !slices.ContainsFunc(flows, func(v float64) bool { return v != 0 }) {
		o.IRRNote = "no money flows: the others are measured against it"
		return nil
	}
	rates, err := cashflow.IRR(flows)
	if err != nil {
		return err
	}
	o.IRR, o.IRRNote = rates.All, rates.Note()
	if o.IRRNote == "" {
		o.IRRNote = "the one rate at which the mean flow is worth nothing"
	}
	if o.IRR == nil {
		o.IRR = []float64{}
	}
	// Before anything is paid nothing can be back.
	begin := slices.IndexFunc(flows, func(v float64) bool { return v != 0 })
	simple, err := cashflow.Payback(flows[begin:])
	if err != nil {
		return err
	}
	late, err := cashflow.DiscountedPayback(c.Discount, flows[begin:])
	if err != nil {
		return err
	}
	works := c.Options[i].Takes / Year
	o.PaybackSimple, o.PaybackDiscounted = years(simple, begin, works), years(late, begin, works)
	if simple.FallsBack || late.FallsBack {
		o.PaybackNote = "the sum falls below zero again later"
	}
	return nil
}

// tenths are the values that one in ten is below, and above.
func tenths(x []float64) (low, high Money, err error) {
	l, err := judge.P10(x)
	if err != nil {
		return 0, 0, err
	}
	h, err := judge.P90(x)
	return round(l), round(h), err
}

// years is a payback counted from the decision, from flows that begin later; 0 where
// nothing was ever paid. In the year in which the option begins to work, nothing comes in
// before it does, and the straight line of that year begins there.
func years(p cashflow.Back, begin int, works float64) *float64 {
	if !p.Reached {
		return nil
	}
	v := 0.0
	if p.Periods > 0 {
		v = p.Periods + float64(begin)
		if year := math.Ceil(v) - 1; works > year && works < year+1 {
			v = works + (v-year)*(year+1-works)
		}
	}
	v = math.Round(v*1e4) / 1e4
	return &v
}

// gains says what a year in the works gains, in all and by line.
func (c *Case) gains(o *Outcome, i int, plays [][]played, whole []int) {
	var by measure.Account
	n := float64(c.Years * len(whole))
	gain, base, own := []float64{}, []float64{}, []float64{}
	for _, f := range whole {
		g, a, b := 0.0, 0.0, 0.0
		for y := range c.Years {
			d := plays[0][f].years[y].Less(&plays[i][f].years[y])
			g += d.Total() / float64(c.Years)
			a += plays[0][f].years[y].Total()
			b += plays[i][f].years[y].Total()
			for l := range d {
				by[l] += d[l] / n
			}
			o.Dispatched += plays[i][f].out[y] / n
		}
		gain, base, own = append(gain, g), append(base, a), append(own, b)
	}
	o.Gain, _ = spread(gain)
	amounts, total := split(by[:])
	for l, m := range amounts {
		if m != 0 {
			o.GainBy = append(o.GainBy, LineGainOf{measure.LineNames[l], m})
		}
	}
	o.Gain.Mean = total // the sum of its lines as printed
	if p, err := judge.Paired(base, own, level); err == nil {
		o.Pairing = math.Sqrt(p.Ratio)
	}
}

// spread is the mean of a column with its interval.
func spread(x []float64) (s Spread, err error) {
	m, err := judge.MeanInterval(x, level)
	if err != nil {
		return s, err
	}
	low, err := judge.P10(x)
	if err != nil {
		return s, err
	}
	high, err := judge.P90(x)
	if err != nil {
		return s, err
	}
	return Spread{round(m.Mean), round(m.Low), round(m.High), round(low), round(high)}, nil
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}
