package chance

import (
	"errors"
	"math"
)

// Variate is anything that turns one uniform number into a value: Law, Empirical
// and Mixture do.
type Variate interface{ Quantile(u float64) float64 }

// From is Draw for any Variate.
func (l Luck) From(v Variate, p Purpose, entity, index uint64) float64 {
	return v.Quantile(l.Uniform(p, entity, index))
}

// Part is one law of a mixture and its share; shares are relative, above zero.
type Part struct {
	Share float64
	Law   Law
}

// Mixture is one law or another: nine stops in ten are short, one is a wreck. It
// is drawn by the inverse of the whole distribution function from ONE number, not
// by choosing a part first: so a value stays monotone in its luck and follows
// smoothly when a lever changes a share. It holds slices: share it, it is never
// written. A quantile costs some sixty evaluations of the distribution function.
type Mixture struct {
	shares []float64 // sum 1
	laws   []Law
}

// NewMixture takes at least one part; the laws must have come from constructors.
func NewMixture(parts ...Part) (*Mixture, error) {
	if len(parts) == 0 {
		return nil, errors.New("a mixture needs at least one part")
	}
	m := &Mixture{}
	total := 0.0
	for _, p := range parts {
		if !finite(p.Share) || p.Share <= 0 {
			return nil, refuse("mixture", "needs shares above 0, not "+number(p.Share))
		}
		if err := p.Law.Valid(); err != nil {
			return nil, err
		}
		total += p.Share
	}
	for _, p := range parts {
		m.shares, m.laws = append(m.shares, p.Share/total), append(m.laws, p.Law)
	}
	return m, nil
}

// Mean is the long-run average of the draws.
func (m *Mixture) Mean() float64 {
	sum := 0.0
	for i, l := range m.laws {
		sum += m.shares[i] * l.Mean()
	}
	return sum
}

// Median is the value half of the draws stay below.
func (m *Mixture) Median() float64 { return m.Quantile(0.5) }

// CDF is the share of draws at or below x.
func (m *Mixture) CDF(x float64) float64 {
	sum := 0.0
	for i, l := range m.laws {
		sum += m.shares[i] * l.CDF(x)
	}
	return math.Min(1, sum)
}

// Survival is the share of draws above x.
func (m *Mixture) Survival(x float64) float64 {
	sum := 0.0
	for i, l := range m.laws {
		sum += m.shares[i] * l.Survival(x)
	}
	return math.Min(1, sum)
}

// Quantile gives the value that a share u of all draws stays below.
func (m *Mixture) Quantile(u float64) float64 {
	if math.IsNaN(u) {
		return u
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, l := range m.laws {
		q := l.Quantile(u)
		lo, hi = math.Min(lo, q), math.Max(hi, q)
	}
	if u <= 0 {
		return lo
	}
	if u >= 1 {
		return hi
	}
	return leastWhere(lo, hi, func(x float64) bool {
		if u <= 0.5 {
			return m.CDF(x) >= u
		}
		return m.Survival(x) <= 1-u
	})
}

// Residual is the quantile u of what remains when elapsed has gone; see
// Law.Residual. What has lasted long is likely of the long kind.
func (m *Mixture) Residual(u, elapsed float64) float64 {
	if math.IsNaN(u) || math.IsNaN(elapsed) {
		return math.NaN()
	}
	if elapsed <= 0 {
		return m.Quantile(u)
	}
	alive := m.Survival(elapsed)
	lo, hi := math.Inf(1), 0.0
	for _, l := range m.laws {
		if alive > 0 && l.Survival(elapsed) == 0 {
			continue
		}
		q := l.Residual(u, elapsed)
		lo, hi = math.Min(lo, q), math.Max(hi, q)
	}
	if alive == 0 { // past everything a double can tell apart: the longest kind
		return hi
	}
	if u <= 0 {
		return lo
	}
	if u >= 1 {
		return hi
	}
	return leastWhere(lo, hi, func(r float64) bool { return m.Survival(elapsed+r) <= alive*(1-u) })
}

// leastWhere gives the least x from lo to hi at which reached holds, so that the value
// of a fixed part, where the function jumps, is hit exactly.
func leastWhere(lo, hi float64, reached func(x float64) bool) float64 {
	if reached(lo) || lo >= hi {
		return lo
	}
	for i := 0; i < 200; i++ {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			break
		}
		if reached(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
