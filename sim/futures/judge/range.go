package judge

import (
	"fmt"
	"math"
)

// StudentizedRange is the quantile of the range of k standard normals over an
// independent estimate of their standard deviation with nu degrees of freedom (J.
// W. Tukey 1953; tables by H. L. Harter, Annals of Mathematical Statistics 31
// (1960) 1122, from memory). Its use for all pairs needs independent plans of
// equal variance: under common luck take AllPairs. k >= 2, nu > 0, math.Inf(1)
// allowed.
func StudentizedRange(p float64, k int, nu float64) (float64, error) {
	if err := checkDegrees(p, nu); err != nil {
		return 0, err
	}
	if k < 2 {
		return 0, fmt.Errorf("a range of %d", k)
	}
	if k == 2 {
		return math.Sqrt2 * studentQuantile(0.5+p/2, nu), nil
	}
	// Between the value for one pair and Bonferroni's for all.
	pairs := float64(k*(k-1)) / 2
	lo := math.Sqrt2 * studentQuantile(0.5+p/2, nu)
	hi := math.Sqrt2 * studentQuantile(1-(1-p)/(2*pairs), nu)
	e := newEquicorrelated(k, nu)
	return rootBetween(lo, hi, func(q float64) float64 { return e.rangeProbability(q) - p }), nil
}

// rangeProbability is E over s of k times the integral over the largest value z of
// phi(z) (Phi(z) - Phi(z-q s))^(k-1).
func (e equicorrelated) rangeProbability(q float64) float64 {
	above, below := make([]float64, len(e.z)), make([]float64, len(e.z))
	for j, z := range e.z {
		above[j], below[j] = normalCDF(-z), normalCDF(z)
	}
	var p float64
	for i, s := range e.s {
		var in float64
		for j, z := range e.z {
			d := 0.0 // from z-q s to z, on the side on which it does not cancel
			if a := z - q*s; a > 0 {
				d = normalCDF(-a) - above[j]
			} else {
				d = below[j] - normalCDF(a)
			}
			in += e.zw[j] * power(d, e.m-1)
		}
		p += e.sw[i] * in
	}
	return float64(e.m) * p / e.weighted
}

// between is the standard normal chance from a to b, a <= b, by the side on which
// it does not cancel.
func between(a, b float64) float64 {
	if a > 0 {
		return normalCDF(-a) - normalCDF(-b)
	}
	return normalCDF(b) - normalCDF(a)
}

// EquicorrelatedTwoSided is the two-sided counterpart of EquicorrelatedT:
// P(|T1| <= d, ..., |Tm| <= d) = level, Dunnett's constant for comparing m plans
// with a standard, all independent with equal variances and numbers (C. W.
// Dunnett, Biometrics 20 (1964) 482). Under common luck take AgainstStandard.
func EquicorrelatedTwoSided(level float64, m int, nu float64) (float64, error) {
	if err := checkDegrees(level, nu); err != nil {
		return 0, err
	}
	if m < 1 {
		return 0, fmt.Errorf("%d comparisons", m)
	}
	lo := studentQuantile(0.5+level/2, nu)
	if m == 1 {
		return lo, nil
	}
	hi := studentQuantile(1-(1-level)/float64(2*m), nu)
	e := newEquicorrelated(m, nu)
	return rootBetween(lo, hi, func(d float64) float64 {
		var p float64
		for i, s := range e.s {
			var in float64
			for j, z := range e.z {
				w := math.Sqrt2 * d * s
				in += e.zw[j] * power(between(z-w, z+w), m)
			}
			p += e.sw[i] * in
		}
		return p/e.weighted - level
	}), nil
}
