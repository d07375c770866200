package chance

import (
	"errors"
	"math"
	"sort"
)

// Empirical is the law of a list of measured values, continuous, with an
// exponential tail: straight lines between the ordered values up to the largest
// but Tail, an exponential beyond. The tail is set so that the mean of the law
// is the mean of the list (P. Bratley, B. L. Fox, L. E. Schrage, A Guide to
// Simulation, 2nd ed. 1987, section 5.2.4, from memory). It holds a slice and is
// therefore no part of a state that is copied; share it, it is never written.
type Empirical struct {
	x     []float64 // ascending, x[0] = 0 in front of the values
	n     int       // values
	k     int       // of them in the tail
	theta float64   // mean of the tail beyond x[n-k]
}

// NewEmpirical copies and sorts values, which must be above zero and at least
// five; the largest tenth (at least one) is in the tail.
func NewEmpirical(values []float64) (*Empirical, error) {
	n := len(values)
	if n < 5 {
		return nil, errors.New("an empirical law needs at least 5 measured values")
	}
	e := &Empirical{x: append([]float64{0}, values...), n: n, k: max(1, n/10)}
	for _, v := range values {
		if !finite(v) || v <= 0 {
			return nil, errors.New("an empirical law needs measured values above 0, not " + number(v))
		}
	}
	sort.Float64s(e.x)
	from := e.x[n-e.k]
	sum := from / 2
	for _, v := range e.x[n-e.k+1:] {
		sum += v - from
	}
	e.theta = sum / float64(e.k)
	return e, nil
}

// Mean is the mean of the values.
func (e *Empirical) Mean() float64 {
	sum := 0.0
	for _, v := range e.x {
		sum += v
	}
	return sum / float64(e.n)
}

// Median is the value half of the draws stay below.
func (e *Empirical) Median() float64 { return e.Quantile(0.5) }

// Quantile gives the value that a share u of all draws stays below.
func (e *Empirical) Quantile(u float64) float64 {
	if math.IsNaN(u) {
		return u
	}
	if u <= 0 {
		return 0
	}
	return e.fromTop(1 - u)
}

// fromTop is the value that a share s of all draws exceeds.
func (e *Empirical) fromTop(s float64) float64 {
	if s <= 0 {
		return math.Inf(1)
	}
	n, body := float64(e.n), e.n-e.k
	tail := float64(e.k) / n
	if s <= tail {
		return e.x[body] - e.theta*math.Log(s/tail)
	}
	at := (1 - s) * n
	i := min(int(at), body-1)
	return e.x[i] + (at-float64(i))*(e.x[i+1]-e.x[i])
}

// Survival is the share of draws above x.
func (e *Empirical) Survival(x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	if x <= 0 {
		return 1
	}
	n, body := float64(e.n), e.n-e.k
	if x >= e.x[body] {
		return float64(e.k) / n * math.Exp(-(x-e.x[body])/e.theta)
	}
	i := sort.Search(body, func(i int) bool { return e.x[i+1] > x })
	return 1 - (float64(i)+(x-e.x[i])/(e.x[i+1]-e.x[i]))/n
}

// CDF is the share of draws at or below x.
func (e *Empirical) CDF(x float64) float64 { return 1 - e.Survival(x) }

// Residual is the quantile u of what remains when elapsed has gone; see
// Law.Residual.
func (e *Empirical) Residual(u, elapsed float64) float64 {
	if math.IsNaN(u) || math.IsNaN(elapsed) {
		return math.NaN()
	}
	if elapsed <= 0 {
		return e.Quantile(u)
	}
	if elapsed >= e.x[e.n-e.k] { // the tail has no memory
		return -e.theta * math.Log1p(-math.Min(math.Max(u, 0), 1))
	}
	if u <= 0 {
		return 0
	}
	return math.Max(0, e.fromTop(e.Survival(elapsed)*(1-u))-elapsed)
}
