package chance

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// gammaQuantile is the quantile of the gamma law of scale 1.
func gammaQuantile(shape, u float64) float64 {
	if u <= 0.5 {
		// Near zero the inverse gives 0; there u is x^shape/Gamma(shape+1) times
		// 1 - shape x/(shape+1).
		lg, _ := math.Lgamma(shape + 1)
		if x := math.Exp((math.Log(u) + lg) / shape); x < 1e-8 {
			return x * (1 + x/(shape+1))
		}
		return mathext.GammaIncRegInv(shape, u)
	}
	return mathext.GammaIncRegCompInv(shape, 1-u)
}

// gammaFraction is the upper incomplete gamma function over x^shape exp(-x), by
// its continued fraction (Abramowitz & Stegun 6.5.31, in the even form of Press
// et al., Numerical Recipes, section 6.2), for x > shape+1.
func gammaFraction(shape, x float64) float64 {
	b := x + 1 - shape
	c := 1e300
	d := 1 / b
	h := d
	for i := 1.0; i < 500; i++ {
		an := -i * (i - shape)
		b += 2
		d = 1 / (an*d + b)
		c = b + an/c
		h *= d * c
		if math.Abs(d*c-1) < 1e-15 {
			break
		}
	}
	return h
}

// gammaStep gives how much further a gamma variate of scale 1 goes that has
// passed x: the quantile u of the rest.
func gammaStep(shape, x, u float64) float64 {
	tail := mathext.GammaIncRegComp(shape, x)
	if x < shape || tail > 1e-3 {
		return math.Max(0, mathext.GammaIncRegCompInv(shape, tail*(1-u))-x)
	}
	// Beyond the bulk: solve for the rest itself. With h = gammaFraction, the
	// logarithm of the tail changes by shape ln(1+r/x) - r + ln(h(x+r)/h(x)), and
	// its slope is -1/((x+r) h(x+r)).
	e := -math.Log1p(-u)
	h := gammaFraction(shape, x)
	if e < 1e-5 { // two terms of the series in e: the hazard and its slope
		r := e * x * h
		return math.Max(0, r*(1-(1/(x*h)+(shape-1)/x-1)*r/2))
	}
	r := e
	for i := 0; i < 50; i++ {
		hr := gammaFraction(shape, x+r)
		step := (r - shape*math.Log1p(r/x) - math.Log(hr/h) - e) * (x + r) * hr
		next := r - step
		if next <= 0 {
			next = r / 2
		}
		done := !(math.Abs(next-r) > 1e-14*r)
		r = next
		if done {
			break
		}
	}
	return math.Max(0, r)
}
