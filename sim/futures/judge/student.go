package judge

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// normalTail is the number of degrees of freedom above which the t quantile is
// taken from its expansion about the normal: there gonum's inverse loses the
// far tail, while the first neglected term is below 1e-8.
const normalTail = 5e4

// studentQuantile is the quantile of Student's t. 0 < p < 1, nu > 0.
// Expansion: Abramowitz & Stegun 26.7.5, first two terms.
func studentQuantile(p, nu float64) float64 {
	if nu <= normalTail {
		return studentStep(distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(p), p, nu)
	}
	z := distuv.UnitNormal.Quantile(p)
	z3 := z * z * z
	return z + (z3+z)/(4*nu) + (5*z3*z*z+16*z3+3*z)/(96*nu*nu)
}

// studentStep improves a quantile by Newton steps on the smaller tail: gonum's
// inverse is good to 1e-9 in the far tail.
func studentStep(t, p, nu float64) float64 {
	if p == 0.5 {
		return 0
	}
	tail := math.Min(p, 1-p)
	x := math.Abs(t)
	scale := -mathext.Lbeta(nu/2, 0.5) - 0.5*math.Log(nu)
	for range 2 {
		density := math.Exp(scale - (nu+1)/2*math.Log1p(x*x/nu))
		step := (0.5*mathext.RegIncBeta(nu/2, 0.5, nu/(nu+x*x)) - tail) / density
		if !(math.Abs(step) < 1e-6*x) {
			break
		}
		x += step
	}
	if p < 0.5 {
		return -x
	}
	return x
}

func studentCDF(t, nu float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: nu}.CDF(t)
}

// normalCDF by the complementary error function, exact in both tails.
func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
