package chance

import (
	"errors"
	"math"
	"strconv"

	"millrace/sim/quantity"
)

// Kind is the family of a law.
type Kind uint8

// The families. KindFixed is the zero value, so that the zero Law is always 0.
const (
	KindFixed Kind = iota
	KindExponential
	KindWeibull
	KindLognormal
	KindTold
	KindGamma
	KindTriangular
	KindPert
	KindUniform
)

var kindNames = [...]string{"fixed", "exponential", "weibull", "lognormal", "told", "gamma", "triangular", "pert", "uniform"}

// String is the word the language of scenarios uses.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "unknown"
}

// Law is the distribution of a number that is never below zero: a time, a life,
// a size. It is a plain value without pointers; equal laws are ==. Make one with
// a constructor: a Law put together by hand has not been checked.
type Law struct {
	kind Kind
	// fixed: value; exponential: mean; weibull: scale, shape; lognormal: median,
	// sigma; told: likely, sigma below, sigma above; gamma: scale, shape;
	// triangular, pert: low, mode, high; uniform: low, high
	a, b, c float64
	cut     float64 // see Cut; 0 is none
}

// Kind tells the family.
func (l Law) Kind() Kind { return l.kind }

// A law refuses parameters beyond these, so that no quantile overflows.
const (
	largest  = 1e15 // of a value: 30 million years in seconds
	maxSigma = 8    // of a logarithm: one in ten is 28,000 times the median
	minShape = 0.1
	maxShape = 1e4
)

func refuse(law, text string) error { return errors.New("a " + law + " law " + text) }

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.Abs(v) > largest {
			return false
		}
	}
	return true
}

// Fixed is always value, which must not be below zero.
func Fixed(value float64) (Law, error) {
	if !finite(value) || value < 0 {
		return Law{}, refuse("fixed", "needs a value from 0 up, not "+number(value))
	}
	return Law{kind: KindFixed, a: value}, nil
}

// Exponential has a mean above zero and no memory.
func Exponential(mean float64) (Law, error) {
	if !finite(mean) || mean <= 0 {
		return Law{}, refuse("exponential", "needs a mean above 0, not "+number(mean))
	}
	return Law{kind: KindExponential, a: mean}, nil
}

// Weibull has survival exp(-(x/scale)^shape): shape below 1 fails early, 1 is
// exponential, above 1 wears out.
func Weibull(shape, scale float64) (Law, error) {
	if !finite(shape, scale) || shape < minShape || shape > maxShape || scale <= 0 {
		return Law{}, refuse("weibull", "needs a shape from 0.1 to 10000 and a scale above 0, not "+number(shape)+" and "+number(scale))
	}
	return Law{kind: KindWeibull, a: scale, b: shape}, nil
}

// WeibullMean is the Weibull law of a given shape and mean.
func WeibullMean(shape, mean float64) (Law, error) {
	if !finite(shape, mean) || shape < minShape || shape > maxShape || mean <= 0 {
		return Law{}, refuse("weibull", "needs a shape from 0.1 to 10000 and a mean above 0, not "+number(shape)+" and "+number(mean))
	}
	return Weibull(shape, mean/math.Gamma(1+1/shape))
}

// Lognormal has its median and the value that one in ten exceeds.
func Lognormal(median, oneInTen float64) (Law, error) {
	sigma := math.Log(oneInTen/median) / zOneInTen
	if !finite(median, oneInTen) || median <= 0 || !(oneInTen > median) || sigma > maxSigma {
		return Law{}, refuse("lognormal", "needs a median above 0 and a larger value that one in ten exceeds (at most 28,000 times the median), not "+number(median)+" and "+number(oneInTen))
	}
	return Law{kind: KindLognormal, a: median, b: sigma}, nil
}

// Told is the law through what people were told: one in ten is shorter than
// low, half are shorter than likely, one in ten is longer than bad. On either
// side of the median it is lognormal.
func Told(low, likely, bad float64) (Law, error) {
	below, above := math.Log(likely/low)/zOneInTen, math.Log(bad/likely)/zOneInTen
	if !finite(low, likely, bad) || low <= 0 || !(likely > low) || !(bad > likely) || below > maxSigma || above > maxSigma {
		return Law{}, refuse("told", "needs 0 < low < likely < bad, not "+number(low)+", "+number(likely)+", "+number(bad))
	}
	return Law{kind: KindTold, a: likely, b: below, c: above}, nil
}

// ToldEstimate is Told for an estimate as read from a file.
func ToldEstimate(e quantity.Estimate) (Law, error) { return Told(e.Low, e.Likely, e.Bad) }

// Gamma has mean shape times scale.
func Gamma(shape, scale float64) (Law, error) {
	if !finite(shape, scale) || shape < minShape || shape > maxShape || scale <= 0 {
		return Law{}, refuse("gamma", "needs a shape from 0.1 to 10000 and a scale above 0, not "+number(shape)+" and "+number(scale))
	}
	return Law{kind: KindGamma, a: scale, b: shape}, nil
}

// Triangular runs from low to high and peaks at mode.
func Triangular(low, mode, high float64) (Law, error) {
	if err := threePoints("triangular", low, mode, high); err != nil {
		return Law{}, err
	}
	return Law{kind: KindTriangular, a: low, b: mode, c: high}, nil
}

// Pert is the beta law from low to high with mean (low+4 mode+high)/6.
func Pert(low, mode, high float64) (Law, error) {
	if err := threePoints("pert", low, mode, high); err != nil {
		return Law{}, err
	}
	return Law{kind: KindPert, a: low, b: mode, c: high}, nil
}

func threePoints(law string, low, mode, high float64) error {
	if !finite(low, mode, high) || low < 0 || mode < low || mode > high || !(low < high) {
		return refuse(law, "needs 0 <= low <= mode <= high and low < high, not "+number(low)+", "+number(mode)+", "+number(high))
	}
	return nil
}

// Uniform lies evenly from low to high.
func Uniform(low, high float64) (Law, error) {
	if !finite(low, high) || low < 0 || !(low < high) {
		return Law{}, refuse("uniform", "needs 0 <= low < high, not "+number(low)+" and "+number(high))
	}
	return Law{kind: KindUniform, a: low, b: high}, nil
}

// StandardLife is the life of mean 1 of a unit that fails with the given Weibull
// shape (1: without memory). Draw it once per failure and spend it at a rate of
// one over the mean life: a lever that changes the mean life, or the wear, then
// changes the rate at which the life is spent and not the luck, and a plan that
// idles the unit puts its failure off instead of drawing another.
func StandardLife(shape float64) (Law, error) { return WeibullMean(shape, 1) }

// Scale is the law of factor times the number: every quantile is multiplied. A
// factor of 0 gives Fixed 0. A factor below zero or not finite gives a law whose
// values are all NaN and which Valid refuses.
func (l Law) Scale(factor float64) Law {
	if !finite(factor) || factor < 0 {
		return Law{kind: KindFixed, a: math.NaN()}
	}
	if factor == 0 {
		return Law{}
	}
	l.a *= factor
	l.cut *= factor
	switch l.kind {
	case KindTriangular, KindPert:
		l.b *= factor
		l.c *= factor
	case KindUniform:
		l.b *= factor
	}
	return l
}

// Valid refuses a law that could not have come from a constructor.
func (l Law) Valid() error {
	bad := false
	switch l.kind {
	case KindFixed:
		bad = !(l.a >= 0)
	case KindExponential:
		bad = !(l.a > 0)
	case KindWeibull, KindGamma:
		bad = !(l.a > 0 && l.b >= minShape && l.b <= maxShape)
	case KindLognormal:
		bad = !(l.a > 0 && l.b > 0 && l.b <= maxSigma)
	case KindTold:
		bad = !(l.a > 0 && l.b > 0 && l.c > 0 && l.b <= maxSigma && l.c <= maxSigma)
	case KindTriangular, KindPert:
		bad = !(l.a >= 0 && l.a <= l.b && l.b <= l.c && l.a < l.c)
	case KindUniform:
		bad = !(l.a >= 0 && l.a < l.b)
	default:
		bad = true
	}
	if bad || !(l.cut >= 0) || math.IsInf(l.cut, 0) || math.IsInf(l.a, 0) || math.IsInf(l.b, 0) || math.IsInf(l.c, 0) {
		return refuse(l.kind.String(), "has parameters out of range: "+l.String())
	}
	return nil
}

// String writes the law with six figures, in the unit it was made in.
func (l Law) String() string {
	s := l.kind.String() + " {"
	part := func(name string, v float64) { s += " " + name + " = " + number(v) + "," }
	switch l.kind {
	case KindFixed:
		part("value", l.a)
	case KindExponential:
		part("mean", l.a)
	case KindWeibull, KindGamma:
		part("shape", l.b)
		part("scale", l.a)
	case KindLognormal:
		part("median", l.a)
		part("one_in_ten", l.a*math.Exp(l.b*zOneInTen))
	case KindTold:
		part("low", l.a*math.Exp(-l.b*zOneInTen))
		part("likely", l.a)
		part("bad", l.a*math.Exp(l.c*zOneInTen))
	case KindTriangular, KindPert:
		part("low", l.a)
		part("mode", l.b)
		part("high", l.c)
	case KindUniform:
		part("low", l.a)
		part("high", l.b)
	}
	if l.cut > 0 {
		part("longest", l.cut)
	}
	return s[:len(s)-1] + " }"
}
