package judge

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Proportion is a chance estimated by counting futures.
type Proportion struct {
	Hits, N             int
	Share               float64
	Low, High           float64
	Level               float64
	NoneSeen, AlwaysHit bool // say "below about 3/n", or above 1-3/n
}

// Wilson gives the score interval for a chance of which `hits` of n futures are
// the evidence (E. B. Wilson, J. American Statistical Association 22 (1927) 209).
// 0 <= hits <= n, n >= 1.
func Wilson(hits, n int, level float64) (Proportion, error) {
	if err := checkCount(hits, n); err != nil {
		return Proportion{}, err
	}
	if err := checkLevel(level); err != nil {
		return Proportion{}, err
	}
	z := distuv.UnitNormal.Quantile(0.5 + level/2)
	m, p := float64(n), float64(hits)/float64(n)
	centre := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m)) / (1 + z*z/m)
	r := Proportion{Hits: hits, N: n, Share: p, Level: level,
		Low: math.Max(0, centre-half), High: math.Min(1, centre+half),
		NoneSeen: hits == 0, AlwaysHit: hits == n}
	// The end at the edge is exact; rounding leaves 3e-18 there.
	if r.NoneSeen {
		r.Low = 0
	}
	if r.AlwaysHit {
		r.High = 1
	}
	return r, nil
}

// BelowAbout is the chance an event may still have, at 95 % confidence, when it
// was not seen in n futures: the rule of three, 3/n, because
// 1-0.05^(1/n) is about -ln(0.05)/n (Hanley & Lippman-Hand, JAMA 249 (1983)
// 1743). It is capped at 1 and is 1 for n < 1.
func BelowAbout(n int) float64 {
	if n < 3 {
		return 1
	}
	return 3 / float64(n)
}

// ShareDifference is the difference p1-p2 of two chances estimated from
// different futures with Newcombe's hybrid score limits (Statistics in Medicine
// 17 (1998) 873, method 10). Do not use it for two plans in the same futures.
func ShareDifference(hits1, n1, hits2, n2 int, level float64) (diff, low, high float64, err error) {
	a, err := Wilson(hits1, n1, level)
	if err != nil {
		return 0, 0, 0, err
	}
	b, err := Wilson(hits2, n2, level)
	if err != nil {
		return 0, 0, 0, err
	}
	diff = a.Share - b.Share
	low = diff - math.Hypot(a.Share-a.Low, b.High-b.Share)
	high = diff + math.Hypot(a.High-a.Share, b.Share-b.Low)
	return diff, low, high, nil
}

// Band gives the counts lo..hi, both included, that a binomial count of n
// trials with chance p leaves on either side with a chance of at most
// (1-level)/2 each, exactly. It is the yardstick for coverage: count the misses
// of an interval over n repetitions and see whether they lie in the band.
// n >= 1, 0 < p < 1.
func Band(n int, p, level float64) (lo, hi int, err error) {
	if n < 1 {
		return 0, 0, fmt.Errorf("%w: %d trials", ErrTooFew, n)
	}
	if !open(p) {
		return 0, 0, fmt.Errorf("chance %g must lie between 0 and 1, both excluded", p)
	}
	if err := checkLevel(level); err != nil {
		return 0, 0, err
	}
	tail := (1 - level) / 2
	// lo is the largest count with P(X < lo) <= tail, which is the first with
	// P(X <= lo) > tail.
	lo = sort.Search(n, func(k int) bool { return binomialCDF(n, p, k) > tail })
	hi = sort.Search(n, func(k int) bool { return binomialAbove(n, p, k) <= tail })
	return lo, hi, nil
}

// binomialCDF is P(X <= k) by the incomplete beta function (Abramowitz & Stegun
// 26.5.24).
func binomialCDF(n int, p float64, k int) float64 {
	switch {
	case k < 0:
		return 0
	case k >= n:
		return 1
	}
	return mathext.RegIncBeta(float64(n-k), float64(k+1), 1-p)
}

// binomialAbove is P(X > k), without the cancellation of 1-P(X <= k).
func binomialAbove(n int, p float64, k int) float64 {
	switch {
	case k < 0:
		return 1
	case k >= n:
		return 0
	}
	return mathext.RegIncBeta(float64(k+1), float64(n-k), p)
}

func checkCount(hits, n int) error {
	if n < 1 {
		return fmt.Errorf("%w: %d", ErrTooFew, n)
	}
	if hits < 0 || hits > n {
		return fmt.Errorf("%d of %d futures is no share", hits, n)
	}
	return nil
}
