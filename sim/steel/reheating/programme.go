package reheating

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Zone is one zone of a furnace: the share of the residence spent in it and its gas temperature in C.
type Zone struct{ Share, GasC float64 }

// Programme is the zones from charge to discharge.
type Programme []Zone

// Validate refuses a programme without zones, a share not above 0, shares that do not add to 1 within 1e-6, or a gas temperature outside [steel.MinC, steel.MaxC].
func (p Programme) Validate() error {
	var sum float64
	for i, z := range p {
		if !(z.Share > 0) {
			return fmt.Errorf("furnace programme: zone %d has share %g, want above 0", i+1, z.Share)
		}
		if !steel.InRange(z.GasC) {
			return fmt.Errorf("furnace programme: zone %d has gas at %g C, want %g to %g C", i+1, z.GasC, steel.MinC, steel.MaxC)
		}
		sum += z.Share
	}
	if math.Abs(sum-1) > 1e-6 {
		return fmt.Errorf("furnace programme: shares of the %d zones add to %g, want 1", len(p), sum)
	}
	return nil
}

// Stays returns the programme walked through in residence seconds.
func (p Programme) Stays(residence float64) []Stay {
	stays := make([]Stay, len(p))
	for i, z := range p {
		stays[i] = Stay{GasC: z.GasC, Seconds: z.Share * residence}
	}
	return stays
}

// Baths returns one bath a zone, for a slab thickness in m and an emissivity as in [NewBath].
func (p Programme) Baths(thickness, emissivity float64) ([]*Bath, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	baths := make([]*Bath, len(p))
	for i, z := range p {
		var err error
		if baths[i], err = NewBath(thickness, z.GasC, emissivity); err != nil {
			return nil, fmt.Errorf("zone %d: %w", i+1, err)
		}
	}
	return baths, nil
}

// Walk takes a slab with mean enthalpy h (J/kg) through the baths of this programme in residence seconds and returns its enthalpy at discharge and the scale integral (m2); NaN as [Bath.Advance].
func (p Programme) Walk(baths []*Bath, h, residence float64) (h2, kp float64) {
	for i, b := range baths {
		var k float64
		h, k = b.Advance(h, p[i].Share*residence)
		kp += k
	}
	return h, kp
}

// longestResidence bounds the search of Residence: a day.
const longestResidence = 86400.0

// Residence returns the seconds in which the programme, walked at an even pace, brings a slab from mean enthalpy h to target (J/kg), to the millisecond: 0 if h is there already, +Inf if a day is not
// enough.
func (p Programme) Residence(baths []*Bath, h, target float64) float64 {
	if h >= target {
		return 0
	}
	// The mean at discharge rises with the residence as long as no zone is colder than the slab; the first crossing is looked for in steps before it is bisected.
	const step = 600.0
	hi := 0.0
	for {
		if hi += step; hi > longestResidence {
			return math.Inf(1)
		}
		h2, _ := p.Walk(baths, h, hi)
		if math.IsNaN(h2) {
			return h2
		}
		if h2 >= target {
			break
		}
	}
	lo := hi - step
	for hi-lo > 1e-3 {
		mid := (lo + hi) / 2
		if h2, _ := p.Walk(baths, h, mid); h2 >= target {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
