package chance

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Residual gives the quantile u of what REMAINS of the number when elapsed of it
// has gone and it has not yet ended: the law of T-elapsed given T > elapsed. It
// is never below zero. Where elapsed is at or past the upper end of the law the
// answer is 0 (any moment now). An elapsed below zero counts as none. The answer
// keeps its relative accuracy far into the tail, where the survival itself
// is too small for a double.
func (l Law) Residual(u, elapsed float64) float64 {
	if math.IsNaN(u) || math.IsNaN(elapsed) {
		return math.NaN()
	}
	if elapsed <= 0 {
		return l.Quantile(u)
	}
	if elapsed >= l.Highest() {
		return 0
	}
	if l.cut > 0 {
		return math.Min(l.whole().Residual(u, elapsed), l.cut-elapsed)
	}
	if u <= 0 {
		return math.Max(0, l.Lowest()-elapsed)
	}
	if u >= 1 {
		return l.Highest() - elapsed
	}
	if elapsed <= l.Lowest() {
		return math.Max(0, l.Quantile(u)-elapsed)
	}
	switch l.kind {
	case KindExponential:
		return l.Quantile(u)
	case KindWeibull:
		// (t/scale)^shape = (elapsed/scale)^shape + E with E standard exponential
		e := -math.Log1p(-u)
		h := math.Pow(elapsed/l.a, l.b)
		if h < 1e-3*e { // early: the elapsed part is the small one
			return math.Max(0, l.a*math.Pow(h+e, 1/l.b)-elapsed)
		}
		return elapsed * math.Expm1(math.Log1p(e/h)/l.b)
	case KindLognormal, KindTold:
		z, sigma := l.score(elapsed)
		d := normalStep(z, u)
		if l.kind == KindTold && z < 0 && z+d >= 0 { // crosses the median
			return math.Max(0, l.at(z+d)-elapsed)
		}
		return elapsed * math.Expm1(sigma*d)
	case KindGamma:
		return l.a * gammaStep(l.b, elapsed/l.a, u)
	case KindTriangular:
		if elapsed >= l.b {
			return (l.c - elapsed) * u / (1 + math.Sqrt(1-u))
		}
		f := l.triangularCDF(elapsed)
		return math.Max(0, l.triangularQuantile(f+u*(1-f))-elapsed)
	case KindPert:
		p, q := l.pertShapes()
		left := (l.c - elapsed) / (l.c - l.a)
		tail := mathext.RegIncBeta(q, p, left) * (1 - u)
		return math.Max(0, (l.c-l.a)*(left-mathext.InvRegIncBeta(q, p, tail)))
	case KindUniform:
		return (l.b - elapsed) * u
	}
	return math.NaN()
}
