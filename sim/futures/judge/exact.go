package judge

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ClopperPearson gives the limits for a chance that hold at least the level
// whatever the chance is, at the price of being wide (C. J. Clopper, E. S. Pearson,
// Biometrika 26 (1934) 404). 0 <= hits <= n, n >= 1.
func ClopperPearson(hits, n int, level float64) (low, high float64, err error) {
	if err := checkCount(hits, n); err != nil {
		return 0, 0, err
	}
	if err := checkLevel(level); err != nil {
		return 0, 0, err
	}
	tail := (1 - level) / 2
	low, high = 0, 1
	if hits > 0 {
		low = betaQuantile(float64(hits), float64(n-hits+1), tail)
	}
	if hits < n {
		high = 1 - betaQuantile(float64(n-hits), float64(hits+1), tail)
	}
	return low, high, nil
}

// Jeffreys gives the equal-tailed limits of the posterior of a chance under
// Jeffreys' prior, 0 and 1 at the edges (L. D. Brown, T. T. Cai, A. DasGupta,
// Statistical Science 16 (2001) 101, from memory).
func Jeffreys(hits, n int, level float64) (low, high float64, err error) {
	if err := checkCount(hits, n); err != nil {
		return 0, 0, err
	}
	if err := checkLevel(level); err != nil {
		return 0, 0, err
	}
	tail := (1 - level) / 2
	a, b := float64(hits)+0.5, float64(n-hits)+0.5
	low, high = 0, 1
	if hits > 0 {
		low = betaQuantile(a, b, tail)
	}
	if hits < n {
		high = 1 - betaQuantile(b, a, tail)
	}
	return low, high, nil
}

func betaQuantile(a, b, p float64) float64 {
	return betaStep(a, b, mathext.InvRegIncBeta(a, b, p), p)
}

// Both counts futures by what happened in them under two plans.
type Both struct {
	Both, OnlyFirst, OnlySecond, Neither int
}

// CountBoth counts an event under two plans over the same futures.
func CountBoth(first, second []bool) (Both, error) {
	if len(first) != len(second) {
		return Both{}, fmt.Errorf("%w: %d and %d", ErrShape, len(first), len(second))
	}
	var b Both
	for r := range first {
		switch {
		case first[r] && second[r]:
			b.Both++
		case first[r]:
			b.OnlyFirst++
		case second[r]:
			b.OnlySecond++
		default:
			b.Neither++
		}
	}
	return b, nil
}

// PairedShares is the difference of two chances in the same futures.
type PairedShares struct {
	First, Second   float64
	Difference      float64 // First - Second
	Low, High       float64
	Level           float64
	ChiSquare       float64 // McNemar's, one degree of freedom; 0 when nothing differs
	Chance          float64 // exact two-sided probability of a split so uneven if the chances are equal
	Futures, Differ int
}

// PairedDifference compares the chances of an event under two plans in the same
// futures: limits by R. G. Newcombe's square-and-add with Wilson limits and the
// correlation of the two columns (Statistics in Medicine 17 (1998) 2635, method
// 10), test by Q. McNemar (Psychometrika 12 (1947) 153) with its exact binomial
// form. Only futures in which the plans differ say which is better.
func PairedDifference(b Both, level float64) (PairedShares, error) {
	if err := checkLevel(level); err != nil {
		return PairedShares{}, err
	}
	if b.Both < 0 || b.OnlyFirst < 0 || b.OnlySecond < 0 || b.Neither < 0 {
		return PairedShares{}, fmt.Errorf("counts below zero: %+v", b)
	}
	n := b.Both + b.OnlyFirst + b.OnlySecond + b.Neither
	w1, err := Wilson(b.Both+b.OnlyFirst, n, level)
	if err != nil {
		return PairedShares{}, err
	}
	w2, err := Wilson(b.Both+b.OnlySecond, n, level)
	if err != nil {
		return PairedShares{}, err
	}
	p := PairedShares{First: w1.Share, Second: w2.Share, Level: level, Futures: n, Differ: b.OnlyFirst + b.OnlySecond}
	p.Difference = float64(b.OnlyFirst-b.OnlySecond) / float64(n)
	a, c, d, e := float64(b.Both), float64(b.OnlyFirst), float64(b.OnlySecond), float64(b.Neither)
	phi := 0.0
	if product := (a + c) * (d + e) * (a + d) * (c + e); product > 0 {
		cross := a*e - c*d
		if cross > 0 { // continuity correction
			cross = math.Max(0, cross-float64(n)/2)
		}
		phi = cross / math.Sqrt(product)
	}
	add := func(u, v float64) float64 { return math.Sqrt(math.Max(0, u*u-2*phi*u*v+v*v)) }
	p.Low = p.Difference - add(w1.Share-w1.Low, w2.High-w2.Share)
	p.High = p.Difference + add(w1.High-w1.Share, w2.Share-w2.Low)
	p.Chance = 1
	if p.Differ > 0 {
		p.ChiSquare = (c - d) * (c - d) / (c + d)
		p.Chance = math.Min(1, 2*binomialCDF(p.Differ, 0.5, min(b.OnlyFirst, b.OnlySecond)))
	}
	return p, nil
}
