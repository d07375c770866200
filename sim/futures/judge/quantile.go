package judge

import (
	"fmt"
	"math"
	"slices"
)

// QuantileKind names the rule of Quantile, to be printed beside its results.
const QuantileKind = "type 7 (Hyndman & Fan 1996)"

// Quantile estimates the p-quantile of x by linear interpolation between order
// statistics at rank 1+(n-1)p: type 7 of Hyndman & Fan, The American
// Statistician 50 (1996) 361, the rule of most spreadsheets. x need not be
// sorted. 0 <= p <= 1, one future or more.
func Quantile(x []float64, p float64) (float64, error) {
	if err := checkSample(x, 1); err != nil {
		return 0, err
	}
	if !(p >= 0 && p <= 1) {
		return 0, fmt.Errorf("quantile %g lies outside 0 to 1", p)
	}
	s := slices.Clone(x)
	slices.Sort(s)
	return quantileSorted(s, p), nil
}

func quantileSorted(s []float64, p float64) float64 {
	h := float64(len(s)-1) * p
	i := int(math.Floor(h))
	if i >= len(s)-1 {
		return s[len(s)-1]
	}
	f := h - float64(i)
	if f == 0 {
		return s[i]
	}
	return s[i]*(1-f) + s[i+1]*f
}

// QuantileOfType estimates the p-quantile by one of the rules 1 to 9 of Hyndman &
// Fan (1996), for comparison with other programs: 1 to 3 are order statistics, 4 is
// gonum's LinInterp, 6 Weibull's plotting position, 7 Quantile, 8 the one the
// authors recommend. x need not be sorted. 0 <= p <= 1, one future or more.
func QuantileOfType(x []float64, p float64, kind int) (float64, error) {
	if err := checkSample(x, 1); err != nil {
		return 0, err
	}
	if !(p >= 0 && p <= 1) {
		return 0, fmt.Errorf("quantile %g lies outside 0 to 1", p)
	}
	s := slices.Clone(x)
	slices.Sort(s)
	n := float64(len(s))
	// Rank n p + m, from 1.
	m := 0.0
	switch kind {
	case 1, 2, 4:
	case 3:
		m = -0.5
	case 5:
		m = 0.5
	case 6:
		m = p
	case 7:
		m = 1 - p
	case 8:
		m = (p + 1) / 3
	case 9:
		m = p/4 + 3./8
	default:
		return 0, fmt.Errorf("no quantile of type %d", kind)
	}
	h := n*p + m
	j := math.Floor(h + 4e-16*n) // a rank that is whole but for rounding is whole
	g := math.Max(0, h-j)
	if g < 4e-16*n {
		g = 0
	}
	switch kind {
	case 1:
		if g > 0 {
			g = 1
		}
	case 2:
		if g > 0 {
			g = 1
		} else {
			g = 0.5
		}
	case 3:
		if g > 0 || math.Mod(j, 2) != 0 {
			g = 1
		}
	}
	at := func(rank float64) float64 { return s[int(math.Min(math.Max(rank, 1), n))-1] }
	if g == 0 {
		return at(j), nil
	}
	a, b := at(j), at(j+1)
	return math.Min(math.Max(a*(1-g)+b*g, a), b), nil // rounding leaves the interval
}

// P10 is the value one future in ten stays below; Median and P90 alike.
func P10(x []float64) (float64, error) { return Quantile(x, 0.1) }

// Median is the value half the futures stay below.
func Median(x []float64) (float64, error) { return Quantile(x, 0.5) }

// P90 is the value one future in ten goes beyond.
func P90(x []float64) (float64, error) { return Quantile(x, 0.9) }

// QuantileRange is a quantile with limits that assume nothing about the law.
type QuantileRange struct {
	N        int
	P        float64
	Estimate float64 // type 7
	// LowRank and HighRank count from 1; 0 means that no finite limit exists.
	LowRank, HighRank int
	// Low and High are the order statistics of those ranks, 0 without one.
	Low, High float64
	// Coverage is the exact chance, for a continuous law, that the limits
	// found hold the quantile; an absent limit counts as holding.
	Coverage float64
	Level    float64
}

// QuantileInterval gives limits for the p-quantile by order statistics
// (Conover, Practical Nonparametric Statistics; Hahn & Meeker, Statistical
// Intervals): ranks l and u with P(Bin(n,p) < l) and P(Bin(n,p) >= u) each at
// most (1-level)/2. ok is false when there are too few futures for a limit on
// both sides: say "not enough futures" then, do not print the range.
func QuantileInterval(x []float64, p, level float64) (r QuantileRange, ok bool, err error) {
	if err := checkSample(x, 1); err != nil {
		return QuantileRange{}, false, err
	}
	l, u, c, err := QuantileRanks(len(x), p, level)
	if err != nil {
		return QuantileRange{}, false, err
	}
	s := slices.Clone(x)
	slices.Sort(s)
	r = QuantileRange{N: len(x), P: p, Estimate: quantileSorted(s, p), LowRank: l, HighRank: u, Coverage: c, Level: level}
	if l > 0 {
		r.Low = s[l-1]
	}
	if u > 0 {
		r.High = s[u-1]
	}
	return r, l > 0 && u > 0, nil
}

// QuantileRanks gives the ranks (from 1, 0 = none) that QuantileInterval uses
// for n futures, and the exact coverage P(low <= Bin(n,p) < high).
func QuantileRanks(n int, p, level float64) (low, high int, coverage float64, err error) {
	lo, hi, err := Band(n, p, level)
	if err != nil {
		return 0, 0, 0, err
	}
	// The band holds the count of futures below the quantile; a count of lo
	// says that the quantile is above the lo-th value, a count of hi that it is
	// below the next one.
	low, high = lo, hi+1
	coverage = binomialCDF(n, p, hi) - binomialCDF(n, p, lo-1)
	if high > n {
		high = 0
	}
	return low, high, coverage, nil
}

// QuantileUpper is the one-sided upper limit for the p-quantile: the smallest
// order statistic that exceeds it with at least the chance level. ok is false
// when even the largest future does not. Same sources as QuantileInterval.
func QuantileUpper(x []float64, p, level float64) (limit float64, rank int, coverage float64, ok bool, err error) {
	if err := checkSample(x, 1); err != nil {
		return 0, 0, 0, false, err
	}
	if !open(p) {
		return 0, 0, 0, false, fmt.Errorf("quantile %g lies outside 0 to 1", p)
	}
	if err := checkLevel(level); err != nil {
		return 0, 0, 0, false, err
	}
	n := len(x)
	for u := 1; u <= n; u++ {
		if c := binomialCDF(n, p, u-1); c >= level {
			s := slices.Clone(x)
			slices.Sort(s)
			return s[u-1], u, c, true, nil
		}
	}
	return 0, 0, 0, false, nil
}
