package chance

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ForwardRecurrence gives the quantile u of what is left of a life that is found
// under way when nobody knows since when, as all lives are at the start of a
// run: the forward recurrence time of a renewal process long since started, with
// density Survival(t)/Mean (D. R. Cox, Renewal Theory, 1962, section 5.2). Draw
// the first life of each unit from it and the later ones from Quantile.
func (l Law) ForwardRecurrence(u float64) float64 {
	if math.IsNaN(u) {
		return u
	}
	if u <= 0 {
		return 0
	}
	if u >= 1 {
		return l.Highest()
	}
	if l.kind == KindExponential && l.cut == 0 {
		return l.Quantile(u)
	}
	mean := l.Mean()
	target := u * mean
	// The area under the survival curve rises, ever slower, from 0 to the mean
	// and is never above t, so target itself is a lower bound.
	low, high := target, l.Highest()
	if math.IsInf(high, 1) {
		for high = 2*target + mean; l.survivalArea(high) < target && high < math.MaxFloat64/4; high *= 2 {
			low = high
		}
	}
	t := low
	for i := 0; i < 200; i++ {
		gap := l.survivalArea(t) - target
		if gap < 0 {
			low = t
		} else {
			high = t
		}
		next := t - gap/l.Survival(t)
		if !(next > low && next < high) {
			next = low + (high-low)/2
		}
		if math.Abs(next-t) <= 1e-14*next {
			return next
		}
		t = next
	}
	return t
}

// survivalArea is the integral of Survival from 0 to t, for t >= 0.
func (l Law) survivalArea(t float64) float64 {
	if l.cut > 0 {
		return l.whole().survivalArea(math.Min(t, l.cut))
	}
	if t <= l.Lowest() {
		return t
	}
	if t >= l.Highest() {
		return l.Mean()
	}
	switch l.kind {
	case KindExponential:
		return -l.a * math.Expm1(-t/l.a)
	case KindWeibull:
		return l.Mean() * mathext.GammaIncReg(1/l.b, math.Pow(t/l.a, l.b))
	case KindLognormal:
		z, s := l.score(t)
		return t*normalCDF(-z) + l.a*math.Exp(s*s/2)*normalCDF(z-s)
	case KindTold:
		z, s := l.score(t)
		part := l.a * math.Exp(l.b*l.b/2)
		if z < 0 {
			part *= normalCDF(z - s)
		} else {
			part *= normalCDF(-l.b)
			part += l.a * math.Exp(s*s/2) * (normalCDF(s) - normalCDF(s-z))
		}
		return t*normalCDF(-z) + part
	case KindGamma:
		return t*mathext.GammaIncRegComp(l.b, t/l.a) + l.Mean()*mathext.GammaIncReg(l.b+1, t/l.a)
	case KindTriangular:
		w := l.c - l.a
		if t <= l.b {
			return t - (t-l.a)*(t-l.a)*(t-l.a)/(3*w*(l.b-l.a))
		}
		return l.Mean() - (l.c-t)*(l.c-t)*(l.c-t)/(3*w*(l.c-l.b))
	case KindPert:
		p, q := l.pertShapes()
		x := (t - l.a) / (l.c - l.a)
		return t*l.Survival(t) + l.a*l.CDF(t) + (l.c-l.a)*p/(p+q)*mathext.RegIncBeta(p+1, q, x)
	case KindUniform:
		return t - (t-l.a)*(t-l.a)/(2*(l.b-l.a))
	}
	return math.NaN()
}
