package reheating

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Stay is a time at one gas temperature.
type Stay struct{ GasC, Seconds float64 }

// Reading is a slab at one moment of its stay in the furnace.
type Reading struct {
	Seconds  float64 // since charging
	Zone     int     // index of the stay, from 0
	GasC     float64
	CentreC  float64
	SurfaceC float64
	MeanC    float64 // temperature the slab would even out to
	Enthalpy float64 // mean, J/kg
	Scale    float64 // integral of ScaleConstant, m2
}

// FullSolver conducts through the thickness (m) of a slab at startC while it goes through stays, and returns its state at charging, about every so many seconds, and at the end of each stay.
//
// Cells is the number of cells in half the thickness, 10 being fine enough for 0.5 C in the mean; 0 stands for 10. Surface exchange is by radiation with the given effective emissivity. It is the reference for
// [Bath]: far slower, and free of the assumption about the profile.
func FullSolver(thickness, startC, emissivity float64, stays []Stay, cells int, every float64) ([]Reading, error) {
	if !(every > 0) {
		return nil, fmt.Errorf("full solver: readings every %g s, want above 0", every)
	}
	if !steel.InRange(startC) {
		return nil, fmt.Errorf("full solver: slab at %g C, want %g to %g C", startC, steel.MinC, steel.MaxC)
	}
	if len(stays) == 0 {
		return nil, fmt.Errorf("full solver: no stay given")
	}
	for i, s := range stays {
		if !(s.Seconds >= 0) || math.IsInf(s.Seconds, 0) || !steel.InRange(s.GasC) {
			return nil, fmt.Errorf("full solver: stay %d is %g s at %g C", i+1, s.Seconds, s.GasC)
		}
	}
	if cells == 0 {
		cells = 10
	}
	wall, err := steel.NewWall(steel.Carbon{}, thickness/2, cells, startC)
	if err != nil {
		return nil, err
	}
	now := Reading{GasC: stays[0].GasC}
	take := func() Reading {
		now.CentreC, now.SurfaceC, now.MeanC, now.Enthalpy = wall.CentreC(), wall.SurfaceC(), wall.MeanC(), wall.MeanEnthalpy()
		return now
	}
	readings := []Reading{take()}
	for zone, stay := range stays {
		around := steel.Surroundings{GasC: stay.GasC, Emissivity: emissivity}
		now.Zone, now.GasC = zone, stay.GasC
		spans := max(1, math.Ceil(stay.Seconds/every))
		if stay.Seconds == 0 {
			continue
		}
		for range int(spans) {
			dt := stay.Seconds / spans
			// Scale is gathered by the trapezoid over pieces of at most 10 s, short against any change of the surface.
			pieces := max(1, math.Ceil(dt/10))
			for range int(pieces) {
				before := ScaleConstant(wall.SurfaceC())
				if _, err := wall.Advance(around, dt/pieces); err != nil {
					return nil, fmt.Errorf("full solver, stay %d: %w", zone+1, err)
				}
				now.Scale += dt / pieces * (before + ScaleConstant(wall.SurfaceC())) / 2
			}
			now.Seconds += dt
			readings = append(readings, take())
		}
	}
	return readings, nil
}
