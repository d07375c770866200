package chance

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Distances measure how far a sample is from a law.
type Distances struct {
	// D is Kolmogorov and Smirnov's greatest distance, A2 Anderson and Darling's,
	// which weighs the tails, W2 Cramer and von Mises'. (R. B. D'Agostino, M. A.
	// Stephens, Goodness-of-Fit Techniques, 1986, ch. 4, from memory.)
	D, A2, W2 float64
}

// Distribution is what a sample is held against; Law, Empirical and Mixture are.
type Distribution interface {
	CDF(x float64) float64
	Survival(x float64) float64
}

var errSample = errors.New("a sample needs at least one finite value")

// Distance computes the three distances of values from a law. A value where the
// law has no chance at all makes A2 infinite.
func Distance(law Distribution, values []float64) (Distances, error) {
	if len(values) == 0 || !finite(values...) {
		return Distances{}, errSample
	}
	x := append([]float64(nil), values...)
	sort.Float64s(x)
	n := float64(len(x))
	d := Distances{A2: -n, W2: 1 / (12 * n)}
	for i, v := range x {
		u, s := law.CDF(v), law.Survival(v)
		k := float64(i)
		d.D = math.Max(d.D, math.Max((k+1)/n-u, u-k/n))
		d.A2 -= ((2*k+1)*math.Log(u) + (2*(n-k)-1)*math.Log(s)) / n
		e := u - (2*k+1)/(2*n)
		d.W2 += e * e
	}
	return d, nil
}

// Case says what of the law was known before the sample was seen. Critical values
// of a law fitted to the sample are far smaller than those of a law known
// beforehand: a fitted law lies close to its sample.
type Case uint8

const (
	Known             Case = iota // every parameter given beforehand
	FittedExponential             // mean fitted
	FittedLognormal               // mean and sd (divisor n-1) of the logarithms fitted; the normal likewise
	FittedWeibull                 // shape and scale fitted by maximum likelihood
)

// String is the word for a case.
func (c Case) String() string {
	return [...]string{"known", "fitted exponential", "fitted lognormal", "fitted weibull"}[min(c, FittedWeibull)]
}

// confidences are the shares for which critical values are tabled: 0.95 is the
// 5 % point.
var confidences = [...]float64{0.85, 0.90, 0.95, 0.975, 0.99}

// CriticalA2 is the value that A2 of a sample of n stays below in the share
// confidence (0.85, 0.9, 0.95, 0.975 or 0.99) of samples that do come from the
// law. Known, and lognormal: points and factors of M. A. Stephens (in D'Agostino &
// Stephens 1986, tables 4.2 and 4.7, from memory). Exponential, Weibull: see
// sampled. n >= 5 (fitted cases: 10).
func CriticalA2(c Case, n int, confidence float64) (float64, error) {
	i, err := criticalIndex(c, n, confidence)
	if err != nil {
		return 0, err
	}
	m := float64(n)
	switch c {
	case Known:
		return [...]float64{1.610, 1.933, 2.492, 3.070, 3.857}[i], nil
	case FittedLognormal:
		return [...]float64{0.561, 0.631, 0.752, 0.873, 1.035}[i] / (1 + 0.75/m + 2.25/(m*m)), nil
	}
	return pointsA2[c][i].at(1 / m), nil
}

// CriticalD is the same for D. Known: exact (Marsaglia, Tsang & Wang; see
// KolmogorovQuantile). Fitted: see sampled.
func CriticalD(c Case, n int, confidence float64) (float64, error) {
	i, err := criticalIndex(c, n, confidence)
	if err != nil {
		return 0, err
	}
	if c == Known {
		return KolmogorovQuantile(n, confidence)
	}
	r := math.Sqrt(float64(n))
	return pointsD[c][i].at(1/r) / r, nil
}

func criticalIndex(c Case, n int, confidence float64) (int, error) {
	if c > FittedWeibull {
		return 0, errors.New("no such case of fit")
	}
	if n < 5 || c != Known && n < 10 {
		return 0, fmt.Errorf("%v: no critical value for %d values; use Bootstrap", c, n)
	}
	for i, p := range confidences {
		if confidence == p {
			return i, nil
		}
	}
	return 0, errors.New("critical values are tabled for 0.85, 0.9, 0.95, 0.975 and 0.99, not " + number(confidence))
}

// sampled gives a critical value as limit / (1 + a x + b x^2), x = 1/n for A2 and
// 1/sqrt(n) for sqrt(n) D. The published points of these cases are for large n,
// with factors that are 2 % off at n = 10 (exponential) or reject too often in
// small samples (Weibull), so these were fitted by least squares to the points of
// 400,000 keyed samples each at n = 10, 14, 20 and fewer up to 2000. No residual is
// above 1 %; the limits agree with Stephens' (exponential A2 1.321, Weibull 0.757,
// exponential D 1.094 at 5 %; from memory) to 0.2 %.
type sampled struct{ limit, a, b float64 }

func (s sampled) at(x float64) float64 { return s.limit / (1 + x*(s.a+x*s.b)) }

var pointsA2 = [...][5]sampled{
	FittedExponential: {{0.9129, 0.329, -0.092}, {1.0625, 0.421, -0.272}, {1.3214, 0.385, 0.331}, {1.5876, 0.297, 1.068}, {1.9492, 0.098, 1.926}},
	FittedWeibull:     {{0.5632, 0.234, 0.055}, {0.6350, 0.307, 0.094}, {0.7577, 0.430, 0.185}, {0.8799, 0.514, 0.264}, {1.0438, 0.614, 0.377}},
}

var pointsD = [...][5]sampled{
	FittedExponential: {{0.9322, 0.175, 0.096}, {0.9939, 0.154, 0.158}, {1.0942, 0.156, 0.176}, {1.1856, 0.144, 0.256}, {1.2919, 0.117, 0.338}},
	FittedLognormal:   {{0.7894, 0.196, 0.359}, {0.8369, 0.199, 0.344}, {0.9102, 0.180, 0.416}, {0.9740, 0.127, 0.559}, {1.0618, 0.182, 0.488}},
	FittedWeibull:     {{0.7804, 0.233, 0.098}, {0.8234, 0.194, 0.208}, {0.8936, 0.176, 0.284}, {0.9574, 0.150, 0.389}, {1.0357, 0.133, 0.490}},
}
