package casting

import "math"

// LadleCoolingRate returns the fall of temperature, K/s, of a covered ladle holding mass kg, scaled from a measured refRate (K/s) at refMass (kg).
//
// The rate goes with surface over volume, the cube root of mass (assumption). Published rates lie between 0.3 and 2 K/min, the smaller ladles faster (encyclopaedia article on steel, ladle
// temperature control).
func LadleCoolingRate(mass, refRate, refMass float64) float64 {
	if !(mass > 0 && refRate >= 0 && refMass > 0) {
		return math.NaN()
	}
	return refRate * math.Cbrt(refMass/mass)
}

// LadleTemp returns the temperature in C of a ladle at startC after t seconds of falling at rate K/s.
//
// A straight line; exponential decay to the surroundings would fall 1 % less in an hour at 0.5 K/min and 4 % less at 2 K/min.
func LadleTemp(startC, rate, t float64) float64 {
	if !(rate >= 0 && t >= 0) {
		return math.NaN()
	}
	return startC - rate*t
}

// Superheat returns the kelvins above the liquidus of steel in the tundish that left the ladle at ladleC and lost pourDrop K on the way.
func Superheat(ladleC, liquidusC, pourDrop float64) float64 {
	return ladleC - pourDrop - liquidusC
}

// WaitWindow returns the seconds until steel now at ladleC, cooling at rate K/s, would reach the tundish with less than minSuperheat K above the liquidus; negative if that is past, +Inf if it does not cool.
func WaitWindow(ladleC, liquidusC, pourDrop, minSuperheat, rate float64) float64 {
	if !(rate >= 0 && pourDrop >= 0 && minSuperheat >= 0) {
		return math.NaN()
	}
	spare := Superheat(ladleC, liquidusC, pourDrop) - minSuperheat
	if rate == 0 && spare == 0 {
		return 0
	}
	return spare / rate
}

// LatestOpen returns the seconds from now until which the ladle may be opened so that its last steel is still castable: it goes on cooling at rate K/s while it pours for castTime seconds.
//
// Negative means too late by that much: the heat must be reheated, poured faster or returned. The other arguments are those of [WaitWindow].
func LatestOpen(ladleC, liquidusC, pourDrop, minSuperheat, rate, castTime float64) float64 {
	if !(castTime >= 0) {
		return math.NaN()
	}
	return WaitWindow(ladleC, liquidusC, pourDrop, minSuperheat, rate) - castTime
}
