package futures

import (
	"math"
	"sort"

	"millrace/sim/futures/judge"
)

// level is the confidence of every interval.
const level = 0.95

// summarise turns all results into the comparison.
func (c *Case) summarise(all []outcome) (*Comparison, error) {
	out := &Comparison{Scenario: c.Scenario, Futures: c.Futures, Seed: c.Seed, Fingerprint: c.fingerprint(all), Works: c.Plant.Spec.Name,
		Currency: c.currency(), Length: c.Length, Start: c.Plant.Route.Start, Route: &c.Plant.Route}
	shortest := all[0].horizon
	for f := range all {
		out.Longest = max(out.Longest, all[f].horizon)
		shortest = min(shortest, all[f].horizon)
		if all[f].extended {
			out.Extended++
		}
		if all[f].capped {
			out.Capped++
		}
	}
	hours := int(shortest.Hours()) + 1
	for p := range len(c.Plans) + 1 {
		results := make([]*Result, len(all))
		for f := range all {
			results[f] = all[f].results[p]
		}
		pr, err := c.plan(results, hours)
		if err != nil {
			return nil, err
		}
		if p == len(c.Plans) {
			out.Twin = *pr
		} else {
			out.Plans = append(out.Plans, *pr)
		}
	}
	c.sameRecords(out, all)
	if err := c.judge(out); err != nil {
		return nil, err
	}
	if !c.KeepResults {
		out.Twin.Results = nil
		for i := range out.Plans {
			out.Plans[i].Results = nil
		}
	}
	return out, nil
}

// plan summarises one plan.
func (c *Case) plan(results []*Result, hours int) (*PlanResult, error) {
	p := &PlanResult{Name: results[0].Plan, Results: results}
	n := len(results)
	x := make([]float64, n)
	for i, m := range results[0].Measures {
		for f, r := range results {
			x[f] = r.Measures[i].Value
		}
		s, err := summary(m, x)
		if err != nil {
			return nil, err
		}
		p.Measures = append(p.Measures, s)
	}
	if results[0].Upset != nil {
		for i, l := range results[0].Upset {
			for f, r := range results {
				x[f] = r.Upset[i].Amount
			}
			mean, low, high, _, err := interval(x)
			if err != nil {
				return nil, err
			}
			l.Amount, l.Low, l.High = mean, low, high
			p.CostOfUpset = append(p.CostOfUpset, l)
		}
	} else {
		for _, l := range results[0].Money {
			l.Amount, l.Low, l.High = 0, 0, 0
			p.CostOfUpset = append(p.CostOfUpset, l)
		}
	}
	for _, r := range results {
		cost := 0.0
		if r.Upset != nil {
			cost = r.Upset[len(r.Upset)-1].Amount
			if !r.Recovered {
				p.Unrecovered++
			}
		}
		p.Cost = append(p.Cost, cost)
		given, _ := r.Measures.Get("orders given")
		refused, _ := r.Measures.Get("orders refused")
		p.Orders += int(given.Value)
		p.Refused += int(refused.Value)
	}
	p.Units = append(Units(nil), results[0].Units...)
	for u := range p.Units {
		mean := make([]float64, len(p.Units[u].Hours))
		for _, r := range results {
			for s, h := range r.Units[u].Hours {
				mean[s] += h / float64(n)
			}
		}
		p.Units[u].Hours = mean
	}
	p.Bands = bands(results, hours)
	for _, r := range results {
		r.Series = nil
	}
	return p, nil
}

// interval is the mean with its t interval; one value is its own interval.
func interval(x []float64) (mean, low, high float64, skewed bool, err error) {
	if len(x) == 1 {
		return x[0], x[0], x[0], false, nil
	}
	m, err := judge.MeanInterval(x, level)
	if err != nil {
		return 0, 0, 0, false, err
	}
	if len(x) >= 3 {
		if g, err := judge.Skewness(x); err == nil {
			skewed = judge.SkewWarning(len(x), g)
		}
	}
	return m.Mean, m.Low, m.High, skewed, nil
}

// summary leaves futures out in which the measure did not exist.
func summary(m Measure, values []float64) (Summary, error) {
	s := Summary{Name: m.Name, Unit: m.Unit, What: m.What}
	x := make([]float64, 0, len(values))
	for _, v := range values {
		if !math.IsNaN(v) {
			x = append(x, v)
		}
	}
	if s.N = len(x); s.N == 0 {
		nan := math.NaN()
		s.Mean, s.Low, s.High, s.P10, s.P90 = nan, nan, nan, nan, nan
		return s, nil
	}
	var err error
	if s.Mean, s.Low, s.High, s.Skewed, err = interval(x); err != nil {
		return s, err
	}
	if s.P10, err = judge.P10(x); err != nil {
		return s, err
	}
	s.P90, err = judge.P90(x)
	return s, err
}

// bands summarises the hourly levels over the futures.
func bands(results []*Result, hours int) []Band {
	var out []Band
	x := make([]float64, len(results))
	for i, s := range results[0].Series {
		b := Band{Store: s.Store, Amount: s.Amount, Low: s.Low, Normal: s.Normal, High: s.High, Room: s.Room}
		for h := range min(hours, len(s.Level)) {
			sum := 0.0
			for f, r := range results {
				x[f] = r.Series[i].Level[h]
				sum += x[f]
			}
			sort.Float64s(x)
			b.Mean = append(b.Mean, sum/float64(len(x)))
			b.P10 = append(b.P10, sorted(x, 0.1))
			b.P90 = append(b.P90, sorted(x, 0.9))
		}
		out = append(out, b)
	}
	return out
}

// sorted is judge.Quantile of sorted values.
func sorted(x []float64, p float64) float64 {
	r := p * float64(len(x)-1)
	i := int(r)
	if i >= len(x)-1 {
		return x[len(x)-1]
	}
	return x[i] + (r-float64(i))*(x[i+1]-x[i])
}

// sameRecords finds plans whose records are equal in every future.
func (c *Case) sameRecords(out *Comparison, all []outcome) {
	for i := range out.Plans {
		for j := range out.Plans {
			same := i != j
			for f := range all {
				same = same && all[f].results[i].Digest == all[f].results[j].Digest
			}
			if same {
				out.Plans[i].SameAs = append(out.Plans[i].SameAs, out.Plans[j].Name)
			}
		}
	}
}
