package conduction

import (
	"fmt"
	"math"
)

// Solid is a material of constant properties.
type Solid struct {
	Conductivity float64 // W/mK
	Diffusivity  float64 // conductivity over density and specific heat, m2/s
}

// SolidOf returns the solid of a conductivity (W/mK), density (kg/m3) and specific heat (J/kgK).
func SolidOf(conductivity, density, specificHeat float64) Solid {
	return Solid{conductivity, conductivity / (density * specificHeat)}
}

// Capacity returns density times specific heat, J/m3K.
func (s Solid) Capacity() float64 { return s.Conductivity / s.Diffusivity }

// Effusivity returns the root of conductivity times density times specific heat, W s^0.5/m2K.
func (s Solid) Effusivity() float64 { return s.Conductivity / math.Sqrt(s.Diffusivity) }

// Validate refuses properties that are not finite and above 0.
func (s Solid) Validate() error {
	if !positive(s.Conductivity) || !positive(s.Diffusivity) || !positive(s.Capacity()) {
		return fmt.Errorf("solid: conductivity %g W/mK and diffusivity %g m2/s, want both above 0", s.Conductivity, s.Diffusivity)
	}
	return nil
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Body is a plane wall, long cylinder or sphere of even temperature that is put into a fluid.
type Body struct {
	Shape  Shape
	Solid  Solid
	Size   float64 // L, m: half the thickness of a wall with both faces in the fluid (all of it if the other face is insulated), or the radius
	Film   float64 // film coefficient, W/m2K; +Inf holds the surface at FluidC
	StartC float64
	FluidC float64
}

// Validate refuses an unknown shape, a solid [Solid.Validate] refuses, a size that is not above 0, a film coefficient below 0 or a temperature that is not finite and above absolute zero.
func (b Body) Validate() error {
	if b.Shape > Sphere {
		return fmt.Errorf("body: %v is none", b.Shape)
	}
	if err := b.Solid.Validate(); err != nil {
		return fmt.Errorf("body: %w", err)
	}
	if !positive(b.Size) {
		return fmt.Errorf("body: size is %g m, want above 0", b.Size)
	}
	if !(b.Film >= 0) {
		return fmt.Errorf("body: film coefficient is %g W/m2K, want 0 or more", b.Film)
	}
	return temperatures("body", b.StartC, b.FluidC)
}

func temperatures(what string, all ...float64) error {
	for _, t := range all {
		if !(t >= -zeroC) || math.IsInf(t, 0) {
			return fmt.Errorf("%s: %g C is not a temperature", what, t)
		}
	}
	return nil
}

func seconds(what string, t float64) error {
	if !(t >= 0) || math.IsInf(t, 1) {
		return fmt.Errorf("%s: %g s is not a time from the start", what, t)
	}
	return nil
}

// Biot returns h L/k with L the Size. For the lumped rule Bi < 0.1 the textbooks take volume over area instead: a half or a third of it for cylinder and sphere.
func (b Body) Biot() float64 { return b.Film * b.Size / b.Solid.Conductivity }

// Fourier returns alpha t/L2 after t seconds.
func (b Body) Fourier(t float64) float64 { return b.Solid.Diffusivity * t / (b.Size * b.Size) }

// Temp returns the temperature in C at a distance x (m) from the middle plane, axis or point after t seconds. It fails for a body [Body.Validate] refuses, x outside 0 to Size and t below 0.
func (b Body) Temp(x, t float64) (float64, error) {
	if err := b.ask(x, t); err != nil {
		return 0, err
	}
	return b.FluidC + (b.StartC-b.FluidC)*Theta(b.Shape, b.Biot(), b.Fourier(t), x/b.Size), nil
}

func (b Body) ask(x, t float64) error {
	if err := b.Validate(); err != nil {
		return err
	}
	if !(x >= 0 && x <= b.Size) {
		return fmt.Errorf("body: position %g m is outside 0 to %g m", x, b.Size)
	}
	return seconds("body", t)
}

// MeanC returns the mean temperature over the volume, C, after t seconds.
func (b Body) MeanC(t float64) (float64, error) {
	if err := b.ask(0, t); err != nil {
		return 0, err
	}
	return b.FluidC + (b.StartC-b.FluidC)*MeanTheta(b.Shape, b.Biot(), b.Fourier(t)), nil
}

// Flux returns the heat flowing into the surface, W/m2, after t seconds: negative from a body that cools. With an infinite film it fails at t = 0, where the flux has no bound.
func (b Body) Flux(t float64) (float64, error) {
	if err := b.ask(0, t); err != nil {
		return 0, err
	}
	fo := b.Fourier(t)
	if !math.IsInf(b.Film, 1) {
		return b.Film * (b.FluidC - b.StartC) * Theta(b.Shape, b.Biot(), fo, 1), nil
	}
	if t == 0 {
		return 0, fmt.Errorf("body: the flux into a surface that changes at once has no bound")
	}
	// The slope of the profile at the surface; near the start that of a half space, the curvature of cylinder and sphere taken along.
	var slope float64
	if fo < 1e-3 {
		slope = 1/math.Sqrt(math.Pi*fo) - (b.Shape.area()-1)/2
	} else {
		// The mean falls at a rate of area times the slope.
		slope = series(b.Shape, math.Inf(1), fo, func(z float64) float64 { return z * z * profileMean(b.Shape, z) }) / b.Shape.area()
	}
	return b.Solid.Conductivity / b.Size * (b.FluidC - b.StartC) * slope, nil
}

// Heat returns the heat taken in during t seconds, J: per m2 of one face of a wall, per m of a cylinder, of a whole sphere. Negative from a body that cools.
func (b Body) Heat(t float64) (float64, error) {
	m, err := b.MeanC(t)
	if err != nil {
		return 0, err
	}
	return b.Solid.Capacity() * (m - b.StartC) * b.volume(), nil
}

// MostHeat returns the heat it would take in for ever, in the units of [Body.Heat].
func (b Body) MostHeat() float64 { return b.Solid.Capacity() * (b.FluidC - b.StartC) * b.volume() }

func (b Body) volume() float64 {
	switch b.Shape {
	case LongCylinder:
		return math.Pi * b.Size * b.Size
	case Sphere:
		return 4 * math.Pi / 3 * b.Size * b.Size * b.Size
	}
	return b.Size
}

// TimeTo returns the seconds after which the temperature at x (m from the middle) is tC; 0 if it starts there. It fails where tC is not between start and fluid, so that it is never met.
func (b Body) TimeTo(x, tC float64) (float64, error) {
	if err := b.ask(x, 0); err != nil {
		return 0, err
	}
	share := (tC - b.FluidC) / (b.StartC - b.FluidC)
	if share == 1 {
		return 0, nil
	}
	if !(share > 0 && share < 1) || b.Film == 0 {
		return 0, fmt.Errorf("body: going from %g to %g C it never is at %g C", b.StartC, b.FluidC, tC)
	}
	bi := b.Biot()
	if x == b.Size && math.IsInf(bi, 1) {
		return 0, nil
	}
	lo, hi := 0.0, 1.0
	for Theta(b.Shape, bi, hi, x/b.Size) > share {
		lo, hi = hi, 2*hi
		if math.IsInf(hi, 1) {
			return 0, fmt.Errorf("body: %g C is not reached in any time", tC)
		}
	}
	for range 200 {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if Theta(b.Shape, bi, mid, x/b.Size) > share {
			lo = mid
		} else {
			hi = mid
		}
		if hi-lo < 1e-13*hi {
			break
		}
	}
	return hi * b.Size * b.Size / b.Solid.Diffusivity, nil
}

// WallFlux returns the temperature in C at a distance x (m) from the middle of a plane wall of the given half-thickness (m), at startC when it begins to take in flux (W/m2) through each face, after t
// seconds.
func WallFlux(s Solid, halfThickness, startC, flux, x, t float64) (float64, error) {
	if err := (Body{Solid: s, Size: halfThickness, StartC: startC}).ask(x, t); err != nil {
		return 0, err
	}
	if !finite(flux) {
		return 0, fmt.Errorf("wall: flux is %g W/m2", flux)
	}
	return startC + flux*halfThickness/s.Conductivity*FluxTheta(s.Diffusivity*t/(halfThickness*halfThickness), x/halfThickness), nil
}
