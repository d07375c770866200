package casting

import "math"

// Shell returns the thickness in m of the shell after t seconds, by the square-root law with K in mm/min^0.5.
//
// K is 24 to 30 over a whole slab strand and 18 to 22 in the mould (from memory); the plane Stefan solution gives 24 to 28, see [StefanK].
func Shell(k, t float64) float64 {
	if !(k > 0 && t >= 0) {
		return math.NaN()
	}
	return k * 1e-3 * math.Sqrt(t/60)
}

// SolidTime returns the seconds until shells from both faces of a slab of the given thickness (m) meet.
func SolidTime(thickness, k float64) float64 {
	if !(thickness > 0 && k > 0) {
		return math.NaN()
	}
	root := thickness / (2e-3 * k)
	return 60 * root * root
}

// MetallurgicalLength returns the length of the liquid core below the meniscus, m, at a casting speed in m/s.
func MetallurgicalLength(thickness, k, speed float64) float64 {
	if !(speed >= 0) {
		return math.NaN()
	}
	return speed * SolidTime(thickness, k)
}

// MouldShell returns the shell in m where the strand leaves a mould filled to mouldLength (m) at a casting speed in m/s; K is that of the mould.
func MouldShell(kMould, mouldLength, speed float64) float64 {
	if !(mouldLength > 0 && speed > 0) {
		return math.NaN()
	}
	return Shell(kMould, mouldLength/speed)
}

// StefanRoot returns the root l of l exp(l^2) erf(l) = ste/sqrt(pi), the growth constant of a solid freezing from a wall held below its melting point, for a Stefan number c dT/L from 0 to 100.
//
// The classical one-phase solution (Carslaw and Jaeger, Conduction of Heat in Solids, ch. 11, from memory).
func StefanRoot(ste float64) float64 {
	if !(ste >= 0 && ste <= 100) {
		return math.NaN()
	}
	lo, hi := 0.0, 3.0 // at 3 the left side is 24000, far above 100/sqrt(pi)
	for range 60 {
		mid := (lo + hi) / 2
		if mid*math.Exp(mid*mid)*math.Erf(mid) < ste/math.SqrtPi {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// StefanK returns the solidification constant in mm/min^0.5 of a solid of conductivity (W/mK), density (kg/m3) and specific heat (J/kgK) whose surface is held undercooling K below the solidus, with
// the given heat of fusion (J/kg).
//
// It leaves out the latent heat of superheat and the mould gap, and shows what measured constants are made of.
func StefanK(conductivity, density, specificHeat, fusion, undercooling float64) float64 {
	if !(conductivity > 0 && density > 0 && specificHeat > 0 && fusion > 0) {
		return math.NaN()
	}
	alpha := conductivity / (density * specificHeat)
	return 2 * StefanRoot(specificHeat*undercooling/fusion) * math.Sqrt(alpha) * 1e3 * math.Sqrt(60)
}
