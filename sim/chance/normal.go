package chance

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// z of one in ten: the standard normal quantile of 0.9 (R qnorm).
const zOneInTen = 1.2815515655446004

// normalCDF is the standard normal distribution function, good to a few ulp
// also in the lower tail.
func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// normalQuantile is its inverse.
func normalQuantile(u float64) float64 { return mathext.NormalQuantile(u) }

// farTail is where sums on the normal tail switch from the tail probability
// itself to its ratio to the density.
const farTail = 5

// millsRatio is upper tail over density of the standard normal for z >= farTail,
// by Laplace's continued fraction 1/(z+1/(z+2/(z+3/(z+...)))), Abramowitz &
// Stegun 26.2.14. At z = 5 forty terms are exact to double precision.
func millsRatio(z float64) float64 {
	t := z
	for k := 40.0; k >= 1; k-- {
		t = z + k/t
	}
	return 1 / t
}

// normalStep gives d >= 0 such that the tail beyond z+d is a share 1-u of the
// tail beyond z: how much further a standard normal goes that has passed z.
func normalStep(z, u float64) float64 {
	e := -math.Log1p(-u)
	if e < 1e-5 && z >= 0 { // two terms of the series in e: the hazard 1/m and its slope
		m := 0.0
		if z < farTail {
			m = normalCDF(-z) / (math.Exp(-z*z/2) / math.Sqrt(2*math.Pi))
		} else {
			m = millsRatio(z)
		}
		d := e * m
		return d * (1 - (1/m-z)*d/2)
	}
	if z < farTail {
		tail := normalCDF(-z) * (1 - u)
		return math.Max(0, -normalQuantile(tail)-z)
	}
	// Solve z d + d^2/2 - ln(M(z+d)/M(z)) = e by Newton's method; the left side
	// is convex and rises with slope 1/M(z+d), so from the right of the root
	// each step stays on the right.
	m := millsRatio(z)
	d := e / z
	for i := 0; i < 20; i++ {
		md := millsRatio(z + d)
		step := (z*d + d*d/2 - math.Log(md/m) - e) * md
		d -= step
		if !(math.Abs(step) > 1e-15*d) {
			break
		}
	}
	return math.Max(0, d)
}
