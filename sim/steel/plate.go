package steel

import (
	"fmt"
	"math"
)

// Plate is a slab heated or cooled alike on both broad faces, known by its mean enthalpy alone.
//
// The profile through the thickness is taken as the parabola that constant flux q leaves behind once it has settled: with half-thickness L the surface stands q L/3k above the mean and the centre q L/6k
// below it. Against conduction the mean of a 150 to 300 mm slab in a reheating furnace comes out between 4 C low and 11 C high on the way and 2 to 8 C high at discharge. Just after a change of surroundings the parabola is
// not there yet: the first minutes of a pile of slabs are slow, and the centre temperature given for a cold slab in a hot furnace is too low.
type Plate struct {
	HalfThickness float64 // m; a pile of n slabs is one plate n times as thick
	Around        Surroundings
}

// Validate refuses a plate that is not 0.1 mm to 5 m thick in half, surroundings [Surroundings.Validate] refuses or whose temperature is outside [MinC, MaxC], and a surface that exchanges nothing.
func (p Plate) Validate() error {
	if !(p.HalfThickness >= 1e-4 && p.HalfThickness <= 5) {
		return fmt.Errorf("plate: half-thickness is %g m, want 0.0001 to 5 m", p.HalfThickness)
	}
	if err := p.Around.Validate(); err != nil {
		return err
	}
	if !InRange(p.Around.GasC) {
		return fmt.Errorf("plate: surroundings at %g C, want %g to %g C", p.Around.GasC, MinC, MaxC)
	}
	if p.Around.Emissivity == 0 && p.Around.Convection == 0 {
		return fmt.Errorf("plate: neither emissivity nor film coefficient is above 0: it would never change")
	}
	if p.Around.Flux != 0 {
		return fmt.Errorf("plate: a forced flux (%g W/m2) has no state to end in", p.Around.Flux)
	}
	return nil
}

// PlateState is a plate at one moment.
type PlateState struct {
	MeanC, SurfaceC, CentreC float64 // C
	Flux                     float64 // into each face, W/m2
}

// State returns temperatures and flux at mean enthalpy h (J/kg); all NaN outside [MinEnthalpy, MaxEnthalpy].
func (p Plate) State(h float64) PlateState {
	mean := TempFromEnthalpy(h)
	if math.IsNaN(mean) {
		return PlateState{mean, mean, mean, mean}
	}
	r := p.HalfThickness / (3 * Conductivity(mean))
	surface := p.Around.surface(mean, r)
	return PlateState{MeanC: mean, SurfaceC: surface, CentreC: mean - (surface-mean)/2, Flux: p.Around.Into(surface)}
}

// Rate returns the change of the mean enthalpy at h, J/kg per second.
func (p Plate) Rate(h float64) float64 {
	return p.State(h).Flux / (Density * p.HalfThickness)
}

// FinalRate returns the rate, 1/s, at which the last small distance to the enthalpy of the surroundings dies away.
func (p Plate) FinalRate() float64 {
	g := p.Around.Coefficient(p.Around.GasC)
	r := p.HalfThickness / (3 * Conductivity(p.Around.GasC))
	return g / (1 + g*r) / (Density * p.HalfThickness * SpecificHeat(p.Around.GasC))
}
