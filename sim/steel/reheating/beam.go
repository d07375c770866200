package reheating

import "math"

// Places returns how many slabs of the given width lie in a walking-beam furnace of the given length, gap apart (all m); 0 if none fits or an argument is not above zero (the gap may be 0).
func Places(length, width, gap float64) int {
	if !(length > 0 && width > 0 && gap >= 0) || math.IsInf(length, 0) {
		return 0
	}
	return int(length / (width + gap))
}

// Cycle returns the seconds between two discharges when each of the places is walked through in residence seconds.
func Cycle(residence float64, places int) float64 {
	if !(residence >= 0) || places < 1 {
		return math.NaN()
	}
	return residence / float64(places)
}

// Throughput returns kg/s of slabs of the given mass (kg) discharged every cycle seconds.
func Throughput(slabMass, cycle float64) float64 {
	if !(slabMass >= 0 && cycle > 0) {
		return math.NaN()
	}
	return slabMass / cycle
}
