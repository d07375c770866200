package conduction

import (
	"fmt"
	"math"
)

const (
	zeroC           = 273.15
	stefanBoltzmann = 5.670374419e-8 // W/m2K4, CODATA 2018
)

// Lumped is a body of one temperature: small, or of good conductivity (Biot number of volume over area below 0.1).
//
// Its surface exchanges heat with a fluid by convection and, at the same time, with walls around it by radiation; a flux may be forced on it besides (sunlight, a heater). The law is
//
//	rho V c dT/dt = A [h (Tf - T) + eps sigma (Tw^4 - T^4) + q]
type Lumped struct {
	Capacity   float64 // rho V c, J/K
	Area       float64 // m2
	Film       float64 // h, W/m2K
	FluidC     float64 // Tf
	Emissivity float64 // eps: 0 to 1
	WallC      float64 // Tw; without meaning when Emissivity is 0
	Flux       float64 // q absorbed whatever the temperature, W/m2 of Area
}

// SphereBody returns capacity (J/K) and area (m2) of a sphere of a diameter (m), density (kg/m3) and specific heat (J/kgK), for a [Lumped].
func SphereBody(diameter, density, specificHeat float64) (capacity, area float64) {
	area = math.Pi * diameter * diameter
	return area * diameter / 6 * density * specificHeat, area
}

// PlateBody returns capacity and area of one m2 of a plate of a thickness (m) that exchanges heat on the given number of faces (1 or 2).
func PlateBody(thickness, density, specificHeat float64, faces int) (capacity, area float64) {
	return thickness * density * specificHeat, float64(faces)
}

// CylinderBody returns capacity and area of a cylinder of a diameter and length (m), both ends counted.
func CylinderBody(diameter, length, density, specificHeat float64) (capacity, area float64) {
	return math.Pi / 4 * diameter * diameter * length * density * specificHeat, math.Pi * diameter * (length + diameter/2)
}

// Validate refuses a capacity or area that is not above 0, a film coefficient that is not finite and 0 or more, an emissivity outside 0 to 1, temperatures below absolute zero, and a flux that is not
// finite.
func (l Lumped) Validate() error {
	switch {
	case !positive(l.Capacity) || !positive(l.Area):
		return fmt.Errorf("lumped body: capacity %g J/K and area %g m2, want both above 0", l.Capacity, l.Area)
	case !(l.Film >= 0) || math.IsInf(l.Film, 1):
		return fmt.Errorf("lumped body: film coefficient is %g W/m2K, want 0 or more", l.Film)
	case !(l.Emissivity >= 0 && l.Emissivity <= 1):
		return fmt.Errorf("lumped body: emissivity is %g, want 0 to 1", l.Emissivity)
	case !finite(l.Flux):
		return fmt.Errorf("lumped body: flux is %g W/m2", l.Flux)
	}
	return temperatures("lumped body", l.FluidC, l.WallC)
}

// Into returns the heat flowing into the body at tC, W/m2.
func (l Lumped) Into(tC float64) float64 {
	w, t := l.WallC+zeroC, tC+zeroC
	return l.Film*(l.FluidC-tC) + l.Emissivity*stefanBoltzmann*(w*w+t*t)*(w+t)*(w-t) + l.Flux
}

// SteadyC returns the temperature, C, at which the body gains nothing. It fails when nothing ties the body to its surroundings (no film, no emissivity) or when a flux out of it is greater than they
// can give.
func (l Lumped) SteadyC() (float64, error) {
	if err := l.Validate(); err != nil {
		return 0, err
	}
	if l.Film == 0 && l.Emissivity == 0 {
		return 0, fmt.Errorf("lumped body: neither film nor emissivity: it has no steady state")
	}
	if l.Flux == 0 && (l.Emissivity == 0 || l.FluidC == l.WallC) {
		return l.FluidC, nil
	}
	if l.Flux == 0 && l.Film == 0 {
		return l.WallC, nil
	}
	if l.Into(-zeroC) < 0 {
		return 0, fmt.Errorf("lumped body: a flux of %g W/m2 out of it is more than its surroundings give", -l.Flux)
	}
	lo, hi := -zeroC, max(l.FluidC, l.WallC)+1
	for l.Into(hi) > 0 {
		hi = 2*hi + zeroC
		if math.IsInf(hi, 1) {
			return 0, fmt.Errorf("lumped body: no steady state found for a flux of %g W/m2", l.Flux)
		}
	}
	for range 200 {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if l.Into(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2, nil
}

// Rate returns the reciprocal of the time constant near tC, 1/s: the film and the linearised radiation times area over capacity.
func (l Lumped) Rate(tC float64) float64 {
	t := tC + zeroC
	return (l.Film + 4*l.Emissivity*stefanBoltzmann*t*t*t) * l.Area / l.Capacity
}

// tie returns g, with which the flux is g(T) (Ts - T) exactly: a difference of fourth powers taken as a product.
func (l Lumped) tie(steadyC, tC float64) float64 {
	s, t := steadyC+zeroC, tC+zeroC
	return l.Film + l.Emissivity*stefanBoltzmann*(s*s+t*t)*(s+t)
}

// With T = Ts + d0 exp(-v) the law reads dt = (C/A) dv/g(T): a smooth integrand, taken by Gauss's rule in cells of v.
const lumpedCell = 0.25

var gaussX, gaussW = [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}, [4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}

// cell integrates dv/g from v to v + dv.
func (l Lumped) cell(steadyC, d0, v, dv float64) (sum float64) {
	half, mid := dv/2, v+dv/2
	for i := range gaussX {
		for _, x := range [2]float64{-gaussX[i], gaussX[i]} {
			sum += gaussW[i] / l.tie(steadyC, steadyC+d0*math.Exp(-(mid+half*x)))
		}
	}
	return sum * half
}

// Temp returns the temperature in C of a body t seconds after it was at startC. It fails for a body [Lumped.SteadyC] refuses (but a body with a forced flux alone goes in a straight line), a startC that
// is no temperature or t below 0. Good to 1e-9 of the change.
func (l Lumped) Temp(startC, t float64) (float64, error) {
	if err := l.ask(startC, t); err != nil {
		return 0, err
	}
	if l.Film == 0 && l.Emissivity == 0 {
		tC := startC + l.Flux*l.Area/l.Capacity*t
		return tC, temperatures("lumped body", tC)
	}
	steady, err := l.SteadyC()
	if err != nil {
		return 0, err
	}
	d0 := startC - steady
	if d0 == 0 || t == 0 {
		return startC, nil
	}
	if l.Emissivity == 0 {
		return steady + d0*math.Exp(-l.Rate(steady)*t), nil
	}
	left, v := t*l.Area/l.Capacity, 0.0
	for v < 745 {
		c := l.cell(steady, d0, v, lumpedCell)
		if c >= left {
			// Newton's steps within the cell: the derivative is 1/g.
			dv := lumpedCell * left / c
			for range 20 {
				step := (l.cell(steady, d0, v, dv) - left) * l.tie(steady, steady+d0*math.Exp(-(v+dv)))
				dv = min(max(dv-step, 0), lumpedCell)
				if math.Abs(step) < 1e-15 {
					break
				}
			}
			return steady + d0*math.Exp(-(v+dv)), nil
		}
		left -= c
		v += lumpedCell
	}
	return steady, nil
}

func (l Lumped) ask(startC, t float64) error {
	if err := l.Validate(); err != nil {
		return err
	}
	if err := temperatures("lumped body", startC); err != nil {
		return err
	}
	return seconds("lumped body", t)
}

// TimeTo returns the seconds the body needs from startC to tC: 0 if it is there. It fails where [Lumped.Temp] does and when tC is never met, the steady state itself included.
func (l Lumped) TimeTo(startC, tC float64) (float64, error) {
	if err := l.ask(startC, 0); err != nil {
		return 0, err
	}
	if startC == tC {
		return 0, nil
	}
	if l.Film == 0 && l.Emissivity == 0 {
		if t := (tC - startC) * l.Capacity / (l.Flux * l.Area); t >= 0 && !math.IsInf(t, 1) {
			return t, nil
		}
		return 0, fmt.Errorf("lumped body: from %g C it never comes to %g C", startC, tC)
	}
	steady, err := l.SteadyC()
	if err != nil {
		return 0, err
	}
	share := (tC - steady) / (startC - steady)
	if !(share > 0 && share < 1) {
		return 0, fmt.Errorf("lumped body: from %g C it goes to %.6g C and never is at %g C", startC, steady, tC)
	}
	all := -math.Log(share)
	cells := math.Ceil(all / lumpedCell)
	var sum float64
	for i := range int(cells) {
		sum += l.cell(steady, startC-steady, float64(i)*all/cells, all/cells)
	}
	return sum * l.Capacity / l.Area, nil
}
