package casting

import "math"

// TundishSurvival returns the seconds a tundish holding mass kg feeds strands that together take rate kg/s before it is down to least kg, the level below which slag would be drawn in.
//
// The clock starts when the ladle gate shuts. 0 if the level is already reached, +Inf if nothing is taken. Practice keeps 25 to 35 % of the working mass (common practice, no source).
func TundishSurvival(mass, least, rate float64) float64 {
	if !(mass >= 0 && least >= 0 && rate >= 0) {
		return math.NaN()
	}
	if mass <= least {
		return 0
	}
	return (mass - least) / rate
}

// SlowingBuys returns the seconds gained on [TundishSurvival] by casting at slowRate instead of rate (kg/s, all strands).
func SlowingBuys(mass, least, rate, slowRate float64) float64 {
	if rate == 0 && slowRate == 0 {
		return 0
	}
	return TundishSurvival(mass, least, slowRate) - TundishSurvival(mass, least, rate)
}
