package judge

import (
	"math"

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
		return distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(p)
	}
	z := distuv.UnitNormal.Quantile(p)
	z3 := z * z * z
	return z + (z3+z)/(4*nu) + (5*z3*z*z+16*z3+3*z)/(96*nu*nu)
}

func studentCDF(t, nu float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: nu}.CDF(t)
}

// normalCDF by the complementary error function, exact in both tails.
func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
