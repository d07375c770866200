package reheating

import (
	"math"

	"millrace/sim/steel"
)

// Properties of the scale, from memory: wustite's density, and the iron in it by mass.
const (
	scaleDensity = 5700.0 // kg/m3
	ironInScale  = 0.777
)

// ScaleConstant returns the parabolic growth constant kp of scale at surfaceC, in m2/s: the square of its thickness grows at this rate.
//
// Paidassi's data for iron in air, 700 to 1250 C, as quoted by Chen and Yuen, Oxid. Met. 59 (2003) 433, from memory; the law is used outside that range too, where below it nothing grows worth
// counting. Furnace gas may differ by 30 % (assumption). NaN below absolute zero.
func ScaleConstant(surfaceC float64) float64 {
	t := surfaceC + steel.ZeroC
	if !(t > 0) {
		return math.NaN()
	}
	return 6.1e-4 * math.Exp(-169452/(8.314*t))
}

// ScaleThickness returns the thickness in m of the scale on one face, from the integral of [ScaleConstant] over time (m2) that [Bath.Advance] gives in parts.
func ScaleThickness(kpSum float64) float64 {
	return math.Sqrt(kpSum)
}

// SteelLoss returns the steel in kg that has gone into the scale on one square metre of one face, from the same integral as [ScaleThickness].
func SteelLoss(kpSum float64) float64 {
	return ScaleThickness(kpSum) * scaleDensity * ironInScale
}
