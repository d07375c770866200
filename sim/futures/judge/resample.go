package judge

import (
	"fmt"
	"slices"

	"millrace/sim/chance"
)

// QuantileGap is the difference of a quantile of two plans, b-a.
type QuantileGap struct {
	Difference float64 // of the type 7 estimates
	Low, High  float64
	Level      float64
	Resamples  int
}

// LeastResampled is the smallest number of futures for QuantileDifference.
const LeastResampled = 30

// QuantileDifference gives limits for the difference of the p-quantiles of b and a
// over the same futures by the percentile bootstrap, whole futures resampled so
// that the pairing is kept (B. Efron, R. J. Tibshirani, An Introduction to the
// Bootstrap, 1993, ch. 13, from memory). 2000 resamples, keyed: the same data give
// the same limits. It is an approximation, poor where few futures lie beyond the
// quantile: at least 30 futures, and ten or more on the thin side, or it is
// refused.
func QuantileDifference(a, b []float64, p, level float64) (QuantileGap, error) {
	if err := checkLevel(level); err != nil {
		return QuantileGap{}, err
	}
	if err := checkPlans([][]float64{a, b}, LeastResampled); err != nil {
		return QuantileGap{}, err
	}
	if !open(p) {
		return QuantileGap{}, fmt.Errorf("quantile %g lies outside 0 to 1", p)
	}
	n := len(a)
	if thin := min(p, 1-p) * float64(n); thin < 10-1e-9 {
		return QuantileGap{}, fmt.Errorf("%w: %d leave %.0f beyond the quantile %g, need 10", ErrTooFew, n, thin, p)
	}
	const resamples = 2000
	luck := chance.Luck{Seed: 0x7175616e74696c65}
	gaps := make([]float64, resamples)
	x, y := make([]float64, n), make([]float64, n)
	for s := range gaps {
		for i := range x {
			k := luck.Pick(n, 1, uint64(s), uint64(i))
			x[i], y[i] = a[k], b[k]
		}
		slices.Sort(x)
		slices.Sort(y)
		gaps[s] = quantileSorted(y, p) - quantileSorted(x, p)
	}
	slices.Sort(gaps)
	before, err := Quantile(a, p)
	if err != nil {
		return QuantileGap{}, err
	}
	after, err := Quantile(b, p)
	if err != nil {
		return QuantileGap{}, err
	}
	return QuantileGap{Difference: after - before, Level: level, Resamples: resamples,
		Low: quantileSorted(gaps, (1-level)/2), High: quantileSorted(gaps, (1+level)/2)}, nil
}
