package chance

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Quantile gives the value that a share u of all draws stays below. At u <= 0
// and u >= 1 it gives the ends of the law (the upper one may be +Inf); NaN gives
// NaN.
func (l Law) Quantile(u float64) float64 {
	if math.IsNaN(u) {
		return u
	}
	if u <= 0 {
		return l.Lowest()
	}
	if u >= 1 {
		return l.Highest()
	}
	if l.cut > 0 {
		return math.Min(l.whole().Quantile(u), l.cut)
	}
	switch l.kind {
	case KindFixed:
		return l.a
	case KindExponential:
		return -l.a * math.Log1p(-u)
	case KindWeibull:
		return l.a * math.Pow(-math.Log1p(-u), 1/l.b)
	case KindLognormal:
		return l.a * math.Exp(l.b*normalQuantile(u))
	case KindTold:
		return l.at(normalQuantile(u))
	case KindGamma:
		return l.a * gammaQuantile(l.b, u)
	case KindTriangular:
		return l.triangularQuantile(u)
	case KindPert:
		p, q := l.pertShapes()
		if u <= 0.5 {
			return l.a + (l.c-l.a)*mathext.InvRegIncBeta(p, q, u)
		}
		return l.c - (l.c-l.a)*mathext.InvRegIncBeta(q, p, 1-u)
	case KindUniform:
		return l.a + (l.b-l.a)*u
	}
	return math.NaN()
}

// Lowest is the lower end of the law.
func (l Law) Lowest() float64 {
	if l.cut > 0 {
		return math.Min(l.whole().Lowest(), l.cut)
	}
	switch l.kind {
	case KindFixed, KindTriangular, KindPert, KindUniform:
		return l.a
	}
	return 0
}

// Highest is the upper end of the law, +Inf where there is none.
func (l Law) Highest() float64 {
	if l.cut > 0 {
		return math.Min(l.whole().Highest(), l.cut)
	}
	switch l.kind {
	case KindFixed:
		return l.a
	case KindTriangular, KindPert:
		return l.c
	case KindUniform:
		return l.b
	}
	return math.Inf(1)
}

// at is the value of a told law at a standard normal score.
func (l Law) at(z float64) float64 {
	if z < 0 {
		return l.a * math.Exp(l.b*z)
	}
	return l.a * math.Exp(l.c*z)
}

// score is the standard normal score of a value x > 0 of a lognormal or told
// law, and the sigma on its side.
func (l Law) score(x float64) (z, sigma float64) {
	sigma = l.b
	if l.kind == KindTold && x >= l.a {
		sigma = l.c
	}
	return math.Log(x/l.a) / sigma, sigma
}

// CDF is the share of draws at or below x.
func (l Law) CDF(x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	if x < l.Lowest() {
		return 0
	}
	if x >= l.Highest() {
		return 1
	}
	switch l.kind {
	case KindExponential:
		return -math.Expm1(-x / l.a)
	case KindWeibull:
		return -math.Expm1(-math.Pow(x/l.a, l.b))
	case KindLognormal, KindTold:
		if x <= 0 {
			return 0
		}
		z, _ := l.score(x)
		return normalCDF(z)
	case KindGamma:
		return mathext.GammaIncReg(l.b, x/l.a)
	case KindTriangular:
		return l.triangularCDF(x)
	case KindPert:
		p, q := l.pertShapes()
		return mathext.RegIncBeta(p, q, (x-l.a)/(l.c-l.a))
	case KindUniform:
		return (x - l.a) / (l.b - l.a)
	}
	return math.NaN()
}

// Survival is the share of draws above x, with full relative accuracy where it
// is small.
func (l Law) Survival(x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	if x < l.Lowest() {
		return 1
	}
	if x >= l.Highest() {
		return 0
	}
	switch l.kind {
	case KindExponential:
		return math.Exp(-x / l.a)
	case KindWeibull:
		return math.Exp(-math.Pow(x/l.a, l.b))
	case KindLognormal, KindTold:
		if x <= 0 {
			return 1
		}
		z, _ := l.score(x)
		return normalCDF(-z)
	case KindGamma:
		return mathext.GammaIncRegComp(l.b, x/l.a)
	case KindTriangular:
		return l.triangularSurvival(x)
	case KindPert:
		p, q := l.pertShapes()
		return mathext.RegIncBeta(q, p, (l.c-x)/(l.c-l.a))
	case KindUniform:
		return (l.b - x) / (l.b - l.a)
	}
	return math.NaN()
}

// Median is the value half of the draws stay below.
func (l Law) Median() float64 {
	if l.cut > 0 {
		return math.Min(l.whole().Median(), l.cut)
	}
	switch l.kind {
	case KindLognormal, KindTold:
		return l.a
	}
	return l.Quantile(0.5)
}

// Mean is the long-run average of the draws.
func (l Law) Mean() float64 {
	if l.cut > 0 {
		return l.whole().survivalArea(l.cut)
	}
	switch l.kind {
	case KindFixed, KindExponential:
		return l.a
	case KindWeibull:
		return l.a * math.Gamma(1+1/l.b)
	case KindLognormal:
		return l.a * math.Exp(l.b*l.b/2)
	case KindTold: // E[exp(s z)] over half a normal is exp(s^2/2) times a normal probability
		return l.a * (math.Exp(l.b*l.b/2)*normalCDF(-l.b) + math.Exp(l.c*l.c/2)*normalCDF(l.c))
	case KindGamma:
		return l.a * l.b
	case KindTriangular:
		return (l.a + l.b + l.c) / 3
	case KindPert:
		return (l.a + 4*l.b + l.c) / 6
	case KindUniform:
		return (l.a + l.b) / 2
	}
	return math.NaN()
}

// pertShapes are the two shapes of the beta law.
func (l Law) pertShapes() (p, q float64) {
	w := l.c - l.a
	return 1 + 4*(l.b-l.a)/w, 1 + 4*(l.c-l.b)/w
}

func (l Law) triangularQuantile(u float64) float64 {
	w := l.c - l.a
	if u <= (l.b-l.a)/w {
		return l.a + math.Sqrt(u*w*(l.b-l.a))
	}
	return l.c - math.Sqrt((1-u)*w*(l.c-l.b))
}

func (l Law) triangularCDF(x float64) float64 {
	if x <= l.b {
		if l.b == l.a {
			return 0
		}
		return (x - l.a) * (x - l.a) / ((l.c - l.a) * (l.b - l.a))
	}
	return 1 - l.triangularSurvival(x)
}

func (l Law) triangularSurvival(x float64) float64 {
	if x <= l.b {
		return 1 - l.triangularCDF(x)
	}
	return (l.c - x) * (l.c - x) / ((l.c - l.a) * (l.c - l.b))
}
