package casting

import (
	"math"

	"millrace/sim/steel"
)

// StrandRate returns the steel one strand takes, kg/s, for a slab width and thickness in m (cold) at a casting speed in m/s.
func StrandRate(width, thickness, speed float64) float64 {
	if !(width > 0 && thickness > 0 && speed >= 0) {
		return math.NaN()
	}
	return width * thickness * speed * steel.Density
}

// SpeedForRate returns the casting speed, m/s, at which one strand of the given width and thickness (m) takes rate kg/s: the inverse of [StrandRate].
func SpeedForRate(width, thickness, rate float64) float64 {
	if !(width > 0 && thickness > 0 && rate >= 0) {
		return math.NaN()
	}
	return rate / (width * thickness * steel.Density)
}

// HeatTime returns the seconds a heat of mass kg feeds strands that together take rate kg/s; +Inf for a standing machine.
func HeatTime(mass, rate float64) float64 {
	if !(mass >= 0 && rate >= 0) || mass == 0 && rate == 0 {
		return math.NaN()
	}
	return mass / rate
}

// SlabInterval returns the seconds between two cuts of slabs of the given length (m) at a casting speed (m/s).
func SlabInterval(length, speed float64) float64 {
	if !(length > 0 && speed >= 0) {
		return math.NaN()
	}
	return length / speed
}

// SlabMass returns the mass in kg of a slab of the given cold sizes in m.
func SlabMass(width, thickness, length float64) float64 {
	if !(width > 0 && thickness > 0 && length >= 0) {
		return math.NaN()
	}
	return width * thickness * length * steel.Density
}
