package steel

import (
	"fmt"
	"math"
)

// Surroundings is what a surface exchanges heat with.
type Surroundings struct {
	GasC       float64 // temperature of gas and walls, C
	Emissivity float64 // effective, 0 to 1; lumps gas and wall exchange in a furnace
	Convection float64 // film coefficient, W/m2K
	Flux       float64 // heat forced into the surface whatever its temperature, W/m2
}

// Validate refuses numbers that are not finite, a temperature below absolute zero, an emissivity outside 0 to 1 or a negative film coefficient.
func (s Surroundings) Validate() error {
	switch {
	case !(s.GasC > -ZeroC && s.GasC < 3000):
		return fmt.Errorf("surroundings: %g C is not a gas temperature", s.GasC)
	case !(s.Emissivity >= 0 && s.Emissivity <= 1):
		return fmt.Errorf("surroundings: emissivity is %g, want 0 to 1", s.Emissivity)
	case !(s.Convection >= 0 && s.Convection <= 1e12):
		return fmt.Errorf("surroundings: film coefficient is %g W/m2K, want 0 or more", s.Convection)
	case math.IsNaN(s.Flux) || math.IsInf(s.Flux, 0):
		return fmt.Errorf("surroundings: flux is %g W/m2", s.Flux)
	}
	return nil
}

// Into returns the heat flowing into a surface at surfaceC, W/m2: radiation and convection after EN 1991-1-2:2002 eq. 3.1 to 3.3, plus the forced flux.
func (s Surroundings) Into(surfaceC float64) float64 {
	g, t := s.GasC+ZeroC, surfaceC+ZeroC
	g2, t2 := g*g, t*t
	// The difference of fourth powers is taken as a product, so that it does not lose digits close to balance.
	return (s.Emissivity*StefanBoltzmann*(g2+t2)*(g+t)+s.Convection)*(g-t) + s.Flux
}

// Coefficient returns minus the slope of [Surroundings.Into] with the surface temperature, W/m2K.
func (s Surroundings) Coefficient(surfaceC float64) float64 {
	t := surfaceC + ZeroC
	return 4*s.Emissivity*StefanBoltzmann*t*t*t + s.Convection
}

// surface solves for the temperature of a surface behind which the resistance r (m2K/W) leads to steel at insideC: surface - inside = r Into(surface).
//
// The function solved for is increasing and convex in the surface temperature, so Newton's steps cannot overshoot twice.
func (s Surroundings) surface(insideC, r float64) float64 {
	t := insideC
	for range 60 {
		step := (t - insideC - r*s.Into(t)) / (1 + r*s.Coefficient(t))
		t -= step
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return t
}
