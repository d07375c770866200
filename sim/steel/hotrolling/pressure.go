package hotrolling

import "millrace/sim/steel/rolling"

// PressureModel chooses how roll force and torque follow from flow stress.
type PressureModel uint8

// MeanPressure is the cheap form, for tables and event loops; Sims is the full
// one. Against it, for reductions of 10 to 50 %, contact lengths up to eight mean
// thicknesses and rolls flattened at most 1.5 times, MeanPressure's force is
// within 6 % and its torque 4 % low to 9 % high; from an ordinary mill's first
// roughing pass to its last finishing pass within 4.2 % and 7 %. Beyond, in thin
// strip under heavy drafts, it falls a fifth below.
const (
	MeanPressure PressureModel = iota // straight line in contact length over mean thickness
	Sims                              // Sims 1954, closed form
)

// The formulas are those of package rolling, where they are described.
type (
	SimsGap  = rolling.SimsGap
	Ekelund  = rolling.Ekelund
	Textbook = rolling.Textbook
)

// PlaneStrain is [rolling.PlaneStrain].
func PlaneStrain(stress float64) float64 { return rolling.PlaneStrain(stress) }

// SolveSims is [rolling.SolveSims].
func SolveSims(r, h1, h2 float64) SimsGap { return rolling.SolveSims(r, h1, h2) }

// MeanPressureFactor is [rolling.MeanPressureFactor].
func MeanPressureFactor(contact, h1, h2 float64) float64 {
	return rolling.MeanPressureFactor(contact, h1, h2)
}

// ShidaAwazuharaFactor is [rolling.ShidaAwazuharaFactor].
func ShidaAwazuharaFactor(r, h1, h2 float64) float64 { return rolling.ShidaAwazuharaFactor(r, h1, h2) }

// SolveEkelund is [rolling.SolveEkelund].
func SolveEkelund(carbon, manganese, chromium, tempC, radius, h1, h2, speed, rollFactor float64) Ekelund {
	return rolling.SolveEkelund(carbon, manganese, chromium, tempC, radius, h1, h2, speed, rollFactor)
}

// SolveTextbook is [rolling.SolveTextbook].
func SolveTextbook(k, n, mu, width, radius, h1, h2, turns float64) Textbook {
	return rolling.SolveTextbook(k, n, mu, width, radius, h1, h2, turns)
}
