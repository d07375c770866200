package judge

import (
	"fmt"
	"math"
)

// Acceptance is the rule by which a test of a simulation against an exactly known
// mean fails, so that a whole suite of right ones hardly ever does.
type Acceptance struct {
	Alpha float64 // chance of a false alarm of one assertion
	// T: fail when |mean - known| > T s/sqrt(n); Z is its limit for many runs.
	T, Z float64
	// Detects is the true bias, in standard deviations of one replication, found
	// with the chance asked for.
	Detects float64
}

// Accept gives the rule for one of m assertions of n independent replications
// each, when all of them together may raise a false alarm with chance total
// (Bonferroni). power, e.g. 0.99, is for Detects. It supposes near-normal values:
// exponential-shaped ones of n = 30 raise 400 times the alarms at 1e-6; take two
// stages then (AcceptInTwo).
func Accept(total float64, m, n int, power float64) (Acceptance, error) {
	if err := checkLevel(total); err != nil {
		return Acceptance{}, err
	}
	if err := checkLevel(power); err != nil {
		return Acceptance{}, err
	}
	if m < 1 || n < 2 {
		return Acceptance{}, fmt.Errorf("%w: %d assertions of %d replications", ErrTooFew, m, n)
	}
	alpha := total / float64(m)
	a := Acceptance{Alpha: alpha, T: upperT(alpha/2, float64(n-1)), Z: upperT(alpha/2, math.Inf(1))}
	e := newEquicorrelated(1, float64(n-1))
	var weight float64
	for _, w := range e.sw {
		weight += w
	}
	// The noncentral t variate is (Z+delta)/s: it passes T when Z > T s - delta.
	passes := func(delta float64) float64 {
		var p float64
		for i, s := range e.s {
			p += e.sw[i] * normalCDF(delta-a.T*s)
		}
		return p/weight - power
	}
	hi := a.T + 8
	for passes(hi) < 0 {
		hi *= 2
	}
	a.Detects = rootBetween(0, hi, passes) / math.Sqrt(float64(n))
	return a, nil
}

// upperT is the value that t exceeds with a small chance q, without forming 1-q.
func upperT(q, nu float64) float64 { return -studentQuantile(q, nu) }

// TwoStages is the rule in two stages: fail only if a first stage fails at level
// A1 and then a second one, of fresh replications with other seeds, at A2; the
// first stage's data are thrown away.
type TwoStages struct {
	A1, A2   float64
	T1, T2   float64
	Expected float64 // replications on average when all is right
}

// AcceptInTwo gives the rule for one of m assertions whose false alarms together
// may have the chance total: A2 = total/(m a1). n1 and n2 replications.
func AcceptInTwo(total float64, m int, a1 float64, n1, n2 int) (TwoStages, error) {
	if err := checkLevel(total); err != nil {
		return TwoStages{}, err
	}
	if err := checkLevel(a1); err != nil {
		return TwoStages{}, err
	}
	if m < 1 || n1 < 2 || n2 < 2 {
		return TwoStages{}, fmt.Errorf("%w: %d assertions of %d and %d replications", ErrTooFew, m, n1, n2)
	}
	r := TwoStages{A1: a1, A2: total / (float64(m) * a1), Expected: float64(n1) + a1*float64(n2)}
	if err := checkLevel(r.A2); err != nil {
		return TwoStages{}, err
	}
	r.T1, r.T2 = upperT(a1/2, float64(n1-1)), upperT(r.A2/2, float64(n2-1))
	return r, nil
}
