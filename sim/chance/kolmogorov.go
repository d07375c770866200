package chance

import (
	"errors"
	"math"
)

// mostExact is the sample size up to which the exact law of D is used; beyond,
// its limit with a correction is within 3e-5 of it.
const mostExact = 500

// KolmogorovCDF is the chance that D of n values from a fully known continuous law
// stays below d, exact up to n = 500 (G. Marsaglia, W. W. Tsang, J. Wang, J.
// Statistical Software 8 (2003) 18, from memory), within 3e-5 beyond. For a law fitted to the same values it is
// far too forgiving: see CriticalD and Bootstrap.
func KolmogorovCDF(n int, d float64) float64 {
	switch {
	case n < 1 || math.IsNaN(d):
		return math.NaN()
	case d <= 0.5/float64(n):
		return 0
	case d >= 1:
		return 1
	case n > mostExact:
		// J. Vrbik, Journal of Mathematics and System Science 8 (2018), from
		// memory; the test holds it against the exact law.
		r := math.Sqrt(float64(n))
		return kolmogorovLimit(r*d + 1/(6*r) + (r*d-1)/(4*float64(n)))
	}
	// The share is n!/n^n times the middle element of the n-th power of a matrix
	// of size 2k-1, k = ceil(n d).
	k := int(float64(n)*d) + 1
	m := 2*k - 1
	h := float64(k) - float64(n)*d
	a := make([]float64, m*m)
	for i := range m {
		for j := range m {
			if i-j+1 >= 0 {
				a[i*m+j] = 1
			}
		}
	}
	for i := range m {
		a[i*m] -= math.Pow(h, float64(i+1))
		a[(m-1)*m+i] -= math.Pow(h, float64(m-i))
	}
	if 2*h > 1 {
		a[(m-1)*m] += math.Pow(2*h-1, float64(m))
	}
	for i := range m {
		for j := range m {
			for g := 2; g <= i-j+1; g++ {
				a[i*m+j] /= float64(g)
			}
		}
	}
	q, exponent := matrixPower(a, m, n)
	s := q[(k-1)*m+k-1]
	for i := 1; i <= n; i++ {
		s *= float64(i) / float64(n)
		if s < 1e-140 {
			s *= 1e140
			exponent -= 140
		}
	}
	return math.Min(1, s*math.Pow(10, float64(exponent)))
}

// matrixPower gives a^n as a matrix and a power of ten.
func matrixPower(a []float64, m, n int) ([]float64, int) {
	r := make([]float64, m*m)
	for i := range m {
		r[i*m+i] = 1
	}
	base := append([]float64(nil), a...)
	er, eb := 0, 0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			r, er = matrixProduct(r, base, m), er+eb
			er += scaled(r, m)
		}
		if n > 1 {
			base, eb = matrixProduct(base, base, m), 2*eb
			eb += scaled(base, m)
		}
	}
	return r, er
}

func matrixProduct(a, b []float64, m int) []float64 {
	c := make([]float64, m*m)
	for i := range m {
		for k := range m {
			if v := a[i*m+k]; v != 0 {
				for j := range m {
					c[i*m+j] += v * b[k*m+j]
				}
			}
		}
	}
	return c
}

// scaled keeps the middle element from overflowing.
func scaled(a []float64, m int) int {
	if a[(m/2)*m+m/2] < 1e140 {
		return 0
	}
	for i := range a {
		a[i] *= 1e-140
	}
	return 140
}

// kolmogorovLimit is the law of sqrt(n) D for large n, by the series that
// converges on its side (Abramowitz & Stegun have neither; A. N. Kolmogorov 1933,
// and the theta identity, from memory).
func kolmogorovLimit(x float64) float64 {
	if x < 1 {
		sum := 0.0
		for k := 1.0; k < 60; k += 2 {
			sum += math.Exp(-k * k * math.Pi * math.Pi / (8 * x * x))
		}
		return math.Sqrt(2*math.Pi) / x * sum
	}
	sum, sign := 0.0, 1.0
	for k := 1.0; k < 60; k++ {
		sum += sign * math.Exp(-2*k*k*x*x)
		sign = -sign
	}
	return 1 - 2*sum
}

// KolmogorovQuantile is the inverse of KolmogorovCDF: the share p of samples has a
// smaller D. 0 < p < 1.
func KolmogorovQuantile(n int, p float64) (float64, error) {
	if n < 1 || !(p > 0 && p < 1) {
		return 0, errors.New("the law of D needs a sample and a share between 0 and 1, not " + number(float64(n)) + " and " + number(p))
	}
	lo, hi := 0.5/float64(n), 1.0
	// The Dvoretzky-Kiefer-Wolfowitz-Massart bound is never below the answer.
	hi = math.Min(hi, math.Sqrt(math.Log(2/(1-p))/(2*float64(n))))
	return rootBetween(lo, -p, hi, KolmogorovCDF(n, hi)-p, 1e-15, func(d float64) float64 { return KolmogorovCDF(n, d) - p }), nil
}
