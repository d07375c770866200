package cooling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// SlabReading is a slab or pile at one moment of its cooling.
type SlabReading struct {
	Seconds  float64
	MeanC    float64 // temperature it would even out to
	AverageC float64 // average of the temperature: lower or higher than MeanC while the profile spans the transformation
	SurfaceC float64
	CentreC  float64
	Enthalpy float64 // mean, J/kg
	LossJ    float64 // heat given to the air so far, J per m2 of one face
}

// FullPile conducts through a pile of n slabs (1 to 50) of a thickness (m), even at startC, in still air for so many seconds, and returns a reading at the start and about every so many seconds. It is the
// full form of [SlabCurve], with the same arguments as [NewPileCurve]; edges are ignored and slabs touch without resistance.
//
// Cells is the number in half the pile, 0 standing for 10 a slab up to 100: within 0.5 C of twice as many in the mean. It refuses what [NewPileCurve] refuses and times that are not above 0.
func FullPile(n int, thickness, startC, ambientC, emissivity, hConv, seconds, every float64, cells int) ([]SlabReading, error) {
	if n < 1 || n > 50 {
		return nil, fmt.Errorf("pile: %d slabs, want 1 to 50", n)
	}
	p := steel.Plate{HalfThickness: float64(n) * thickness / 2, Around: steel.Surroundings{GasC: ambientC, Emissivity: emissivity, Convection: hConv}}
	if err := p.Validate(); err != nil {
		return nil, fmt.Errorf("pile: %w", err)
	}
	if !steel.InRange(startC) || !(startC >= ambientC+10) {
		return nil, fmt.Errorf("pile: slabs at %g C in air at %g C, want 10 K more than the air and at most %g C", startC, ambientC, steel.MaxC)
	}
	if !(seconds > 0 && seconds <= 1e8 && every > 0) || seconds/every > 1e6 {
		return nil, fmt.Errorf("pile: readings every %g s for %g s", every, seconds)
	}
	if cells == 0 {
		cells = min(10*n, 100)
	}
	w, err := steel.NewWall(steel.Carbon{}, p.HalfThickness, cells, startC)
	if err != nil {
		return nil, err
	}
	now := SlabReading{}
	take := func() SlabReading {
		now.MeanC, now.AverageC, now.SurfaceC, now.CentreC, now.Enthalpy = w.MeanC(), w.AverageC(), w.SurfaceC(), w.CentreC(), w.MeanEnthalpy()
		return now
	}
	out := []SlabReading{take()}
	spans := math.Ceil(seconds / every)
	for range int(spans) {
		q, err := w.Advance(p.Around, seconds/spans)
		if err != nil {
			return nil, fmt.Errorf("pile: %w", err)
		}
		now.Seconds += seconds / spans
		now.LossJ -= q
		out = append(out, take())
	}
	return out, nil
}
