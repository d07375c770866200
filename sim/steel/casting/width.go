package casting

import (
	"math"

	"millrace/sim/steel"
)

// Taper is the piece of strand cast while the mould changes width.
type Taper struct {
	Time   float64 // s
	Length float64 // along the strand, m
	Change float64 // width won or lost, m, without sign
}

// WidthChange returns the taper of a change of width dw (m, either sign) with each narrow side moving at sideSpeed (m/s) while the strand runs at castSpeed (m/s).
//
// Both sides move, so the width changes at twice the side speed; 10 to 50 mm/min a side is usual (from memory).
func WidthChange(dw, sideSpeed, castSpeed float64) Taper {
	if !(sideSpeed > 0 && castSpeed >= 0) || math.IsNaN(dw) {
		nan := math.NaN()
		return Taper{nan, nan, nan}
	}
	dw = math.Abs(dw)
	t := dw / (2 * sideSpeed)
	return Taper{Time: t, Length: castSpeed * t, Change: dw}
}

// Trim returns the mass in kg cut away to bring the taper of a slab of the given thickness (m) to its narrow width: two wedges that together are half the change wide on average.
func (t Taper) Trim(thickness float64) float64 {
	if !(thickness > 0) {
		return math.NaN()
	}
	return t.Change / 2 * t.Length * thickness * steel.Density
}
