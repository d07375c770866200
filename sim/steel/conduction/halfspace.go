package conduction

import (
	"fmt"
	"math"
)

// The methods of Solid below are those of the semi-infinite solid: a body so thick, or a time so short, that the far side feels nothing. A wall of thickness d is one while d > 4 sqrt(alpha t).

func (s Solid) ask(depth, t float64, temps ...float64) error {
	if err := s.Validate(); err != nil {
		return err
	}
	if !(depth >= 0) || math.IsInf(depth, 1) {
		return fmt.Errorf("semi-infinite solid: %g m is not a depth", depth)
	}
	if err := seconds("semi-infinite solid", t); err != nil {
		return err
	}
	return temperatures("semi-infinite solid", temps...)
}

// FixedSurface returns the temperature in C at a depth (m) of a semi-infinite solid at startC, t seconds after its surface was brought to surfaceC: (T-Ts)/(Ti-Ts) = erf(x/(2 sqrt(alpha t))).
func (s Solid) FixedSurface(startC, surfaceC, depth, t float64) (float64, error) {
	return s.Convection(startC, surfaceC, math.Inf(1), depth, t)
}

// FixedSurfaceFlux returns the heat flowing into that surface, W/m2, at t > 0: k (Ts-Ti)/sqrt(pi alpha t).
func (s Solid) FixedSurfaceFlux(startC, surfaceC, t float64) (float64, error) {
	if err := s.ask(0, t, startC, surfaceC); err != nil {
		return 0, err
	}
	if t == 0 {
		return 0, fmt.Errorf("semi-infinite solid: the flux into a surface that changes at once has no bound")
	}
	return s.Effusivity() * (surfaceC - startC) / math.Sqrt(math.Pi*t), nil
}

// FixedSurfaceDepth returns the depth in m that has just come to tC, t seconds after the surface was brought from startC to surfaceC: how deep frost goes, say. It fails for tC not between the two.
func (s Solid) FixedSurfaceDepth(startC, surfaceC, tC, t float64) (float64, error) {
	if err := s.ask(0, t, startC, surfaceC, tC); err != nil {
		return 0, err
	}
	share := (tC - surfaceC) / (startC - surfaceC)
	if !(share >= 0 && share < 1) {
		return 0, fmt.Errorf("semi-infinite solid: between %g and %g C it is nowhere at %g C", surfaceC, startC, tC)
	}
	return 2 * math.Sqrt(s.Diffusivity*t) * math.Erfinv(share), nil
}

// Convection returns the temperature in C at a depth (m) of a semi-infinite solid at startC, t seconds after its surface met a fluid at fluidC with a film coefficient in W/m2K (0 to +Inf).
func (s Solid) Convection(startC, fluidC, film, depth, t float64) (float64, error) {
	if err := s.askFilm(film, depth, t, startC, fluidC); err != nil {
		return 0, err
	}
	if t == 0 || film == 0 {
		return startC, nil
	}
	// With alpha t as the square of the unit of length, the Fourier number is 1.
	unit := math.Sqrt(s.Diffusivity * t)
	return startC + (fluidC-startC)*skin(film*unit/s.Conductivity, 1, depth/unit), nil
}

func (s Solid) askFilm(film, depth, t float64, temps ...float64) error {
	if !(film >= 0) {
		return fmt.Errorf("semi-infinite solid: film coefficient is %g W/m2K, want 0 or more", film)
	}
	return s.ask(depth, t, temps...)
}

// ConvectionHeat returns the heat taken in through that surface in t seconds, J/m2.
func (s Solid) ConvectionHeat(startC, fluidC, film, t float64) (float64, error) {
	if err := s.askFilm(film, 0, t, startC, fluidC); err != nil {
		return 0, err
	}
	if t == 0 {
		return 0, nil
	}
	return s.Effusivity() * (fluidC - startC) * math.Sqrt(t) * skinHeat(film/s.Effusivity()*math.Sqrt(t)), nil
}

// ConstantFlux returns the temperature in C at a depth (m) of a semi-infinite solid at startC that has taken in flux (W/m2) for t seconds; at the surface the rise is (2 q/k) sqrt(alpha t/pi).
func (s Solid) ConstantFlux(startC, flux, depth, t float64) (float64, error) {
	if err := s.ask(depth, t, startC); err != nil {
		return 0, err
	}
	if !finite(flux) {
		return 0, fmt.Errorf("semi-infinite solid: flux is %g W/m2", flux)
	}
	if t == 0 {
		return startC, nil
	}
	unit := math.Sqrt(s.Diffusivity * t)
	return startC + flux*unit/s.Conductivity*fluxSkin(1, depth/unit), nil
}

// Periodic returns the temperature in C at a depth (m) of a semi-infinite solid whose surface has long been swinging about meanC by amplitude (K) as a sine of the given period (s), at time t.
func (s Solid) Periodic(meanC, amplitude, period, depth, t float64) (float64, error) {
	if err := s.ask(depth, t, meanC); err != nil {
		return 0, err
	}
	if !finite(amplitude) || !positive(period) {
		return 0, fmt.Errorf("semi-infinite solid: a swing of %g K in %g s", amplitude, period)
	}
	w := 2 * math.Pi / period
	y := depth * math.Sqrt(w/(2*s.Diffusivity))
	return meanC + amplitude*math.Exp(-y)*math.Sin(w*t-y), nil
}

// ContactC returns the temperature in C at which the faces of two semi-infinite solids meet at once and stay: the mean of their temperatures weighted by effusivity.
func ContactC(a Solid, aC float64, b Solid, bC float64) (float64, error) {
	if err := a.ask(0, 0, aC); err != nil {
		return 0, err
	}
	if err := b.ask(0, 0, bC); err != nil {
		return 0, err
	}
	ea, eb := a.Effusivity(), b.Effusivity()
	return (ea*aC + eb*bC) / (ea + eb), nil
}
