package conduction

import "math"

// Where the series give way to the solutions for short times, in which a heated skin has not yet met the other side. Up to these Fourier numbers what is left out is below 1e-10 for wall and sphere.
const (
	shortWall     = 0.02
	shortSphere   = 0.02
	shortCylinder = 1e-4
	shortMean     = 1e-6
)

// decayed is the exponent beyond which a term of a series no longer counts.
const decayed = 40.0

// Theta returns the excess temperature over the fluid at position x/L (0 middle, 1 surface) as a share of the excess at the start, for a body of even temperature put into convection at Fourier number
// 0.
//
// A body in which heat flows in two or three directions, a short cylinder or a bar, has the product of the shares of the shapes it is cut from: see the example.
//
// Any Biot number from 0 to +Inf and any Fourier number from 0 on. The whole series is summed, or at short times its image form, to 1e-9; only for the cylinder below Fo = 1e-4 is the share lost
// known to no better than 1e-4 of itself. NaN for arguments out of range.
func Theta(s Shape, biot, fourier, x float64) float64 {
	if !(biot >= 0 && fourier >= 0 && x >= 0 && x <= 1) || s > Sphere {
		return math.NaN()
	}
	switch {
	case fourier == 0 || biot == 0:
		return 1
	case math.IsInf(fourier, 1):
		return 0
	case s == PlaneWall && fourier < shortWall:
		return 1 - skin(biot, fourier, 1-x) - skin(biot, fourier, 1+x)
	case s == Sphere && fourier < shortSphere:
		// r theta obeys the plane wall's equation, with a Biot number less by 1 and the middle held.
		x = max(x, 1e-4)
		return 1 - (lifted(biot, 1, fourier, 1-x)-lifted(biot, 1, fourier, 1+x))/x
	case s == LongCylinder && fourier < shortCylinder:
		// sqrt(r) theta does so nearly, with a Biot number less by 1/2.
		if x < 0.5 {
			return 1
		}
		return 1 - lifted(biot, 0.5, fourier, 1-x)/math.Sqrt(x)
	}
	return series(s, biot, fourier, func(z float64) float64 { return profile(s, z*x) })
}

// MeanTheta returns the mean over the volume of [Theta]: 1 less the share of the heat that has passed. To 1e-9; for cylinder and sphere below Fo = 1e-6 the share passed is known to 0.2 % of itself.
func MeanTheta(s Shape, biot, fourier float64) float64 {
	if !(biot >= 0 && fourier >= 0) || s > Sphere {
		return math.NaN()
	}
	switch {
	case fourier == 0 || biot == 0:
		return 1
	case math.IsInf(fourier, 1):
		return 0
	case s == PlaneWall && fourier < shortWall, fourier < shortMean:
		return 1 - s.area()*math.Sqrt(fourier)*skinHeat(biot*math.Sqrt(fourier))
	}
	return series(s, biot, fourier, func(z float64) float64 { return profileMean(s, z) })
}

// series sums C exp(-z2 Fo) f(z) over the roots z.
func series(s Shape, biot, fourier float64, f func(z float64) float64) float64 {
	var sum float64
	for n := 0; ; n++ {
		if low := float64(n) * math.Pi; low*low*fourier > decayed {
			return sum
		}
		z := Root(s, biot, n)
		sum += Coefficient(s, z) * math.Exp(-z*z*fourier) * f(z)
	}
}

// skin is the share lost at a depth y/L below the surface of a half space: Carslaw and Jaeger sec. 2.7 eq. (1).
func skin(biot, fourier, y float64) float64 {
	root := math.Sqrt(fourier)
	e := y / (2 * root)
	// exp(Bi y + Bi2 Fo) erfc(e + b) written so that neither factor runs away.
	return math.Erfc(e) - math.Exp(-e*e)*ScaledErfc(e+biot*root)
}

// lifted is u with -du/dn = (biot - less) (biot/(biot - less) - u) at the surface of a half space.
func lifted(biot, less, fourier, y float64) float64 {
	if math.IsInf(biot, 1) {
		return skin(biot, fourier, y)
	}
	if h := biot - less; math.Abs(h) > 1e-7 {
		return biot / h * skin(h, fourier, y)
	}
	return biot * fluxSkin(fourier, y)
}

// fluxSkin is the temperature in units of q L/k at a depth y/L below the surface of a half space that takes in the flux q: Carslaw and Jaeger sec. 2.9 eq. (7).
func fluxSkin(fourier, y float64) float64 {
	root := math.Sqrt(fourier)
	e := y / (2 * root)
	return 2*root/math.SqrtPi*math.Exp(-e*e) - y*math.Erfc(e)
}

// skinHeat is F(b) = (exp(b2) erfc(b) - 1 + 2b/sqrt(pi))/b, in which the heat through the surface of a half space is k dT sqrt(t/alpha) F(h sqrt(alpha t)/k).
func skinHeat(b float64) float64 {
	switch {
	case b == 0:
		return 0
	case math.IsInf(b, 1):
		return 2 / math.SqrtPi
	case b < 0.3:
		sum, p := 0.0, -b // terms (-b)^n/Gamma(n/2+1) over b, n from 2
		for n := 2; n < 24; n++ {
			sum -= p / math.Gamma(float64(n)/2+1)
			p *= -b
		}
		return sum
	}
	return (ScaledErfc(b)-1)/b + 2/math.SqrtPi
}

// ScaledErfc returns exp(x2) erfc(x), which stays finite for large x; NaN for NaN, +Inf below about -26.
func ScaledErfc(x float64) float64 {
	if x < 20 {
		return math.Exp(x*x) * math.Erfc(x)
	}
	w := 1 / (2 * x * x)
	return (1 - w*(1-3*w*(1-5*w*(1-7*w*(1-9*w))))) / (x * math.SqrtPi)
}

// FluxTheta returns the rise of temperature, in units of q L/k, at position x/L of a plane wall of half-thickness L that takes in the flux q through both faces from Fourier number 0 on: Carslaw and
// Jaeger sec. 3.8. The mean rise is Fo itself; after Fo = 0.5 surface and centre keep 1/2 apart. NaN for arguments out of range.
func FluxTheta(fourier, x float64) float64 {
	if !(fourier >= 0 && x >= 0 && x <= 1) {
		return math.NaN()
	}
	if fourier == 0 {
		return 0
	}
	if fourier < shortWall {
		return fluxSkin(fourier, 1-x) + fluxSkin(fourier, 1+x)
	}
	sum := fourier + (3*x*x-1)/6
	sign := 1.0
	for n := 1.0; n*n*math.Pi*math.Pi*fourier < decayed; n++ {
		z := n * math.Pi
		sum += sign * 2 / (z * z) * math.Exp(-z*z*fourier) * math.Cos(z*x)
		sign = -sign
	}
	return sum
}
