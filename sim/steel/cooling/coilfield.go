package cooling

import (
	"fmt"

	"millrace/sim/steel"
	"millrace/sim/steel/coilheat"
)

// CoilField is the temperature in a coil of the yard over radius and width: see
// package coilheat.
type CoilField struct {
	field *coilheat.Field
	coil  Coil
	step  float64
	bore  coilheat.Film
	other coilheat.Film
}

// NewCoilField makes a coil of nr cells over the radius and nz over half the
// width, all at startC.
func NewCoilField(c Coil, startC float64, nr, nz int) (*CoilField, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	if !(startC > c.AmbientC && startC <= 900) {
		return nil, fmt.Errorf("coil: start at %g C is outside ambient to 900 C", startC)
	}
	field, err := coilheat.New(coilheat.Shape{Width: c.Width, OD: c.OD, ID: c.ID, RadialK: c.RadialK}, startC, nr, nz)
	if err != nil {
		return nil, err
	}
	f := &CoilField{field: field, coil: c}
	f.bore, f.other = f.coil.bore, f.coil.outside
	dr, dz := (c.OD-c.ID)/2/float64(nr), c.Width/2/float64(nz)
	// Least heat capacity and greatest conductivity: those of cold steel.
	capacity := steel.Density * steel.SpecificHeat(20)
	ar, az := c.RadialK/capacity, steel.Conductivity(20)/capacity
	surface := 2 * (c.outside(startC)/dr + c.outside(startC)/dz) / capacity
	f.step = 0.9 / (2*ar/(dr*dr) + 2*az/(dz*dz) + min(surface, 2*ar/(dr*dr)+2*az/(dz*dz)))
	return f, nil
}

// Step advances the field by its own stable time step and returns it, s.
func (f *CoilField) Step() float64 {
	f.field.Step(f.step, f.coil.AmbientC, f.bore, f.other, f.other)
	return f.step
}

// MaxC is the hottest cell, C.
func (f *CoilField) MaxC() float64 {
	_, hot := f.field.Extremes()
	return hot
}

// MeanEnthalpy is the heat held, J/kg above 20 C.
func (f *CoilField) MeanEnthalpy() float64 { return f.field.MeanEnthalpy() }

// HeatLost is the heat that has left the whole coil through its faces, J. What
// the coil holds has fallen by it, to rounding.
func (f *CoilField) HeatLost() float64 { return -f.field.Taken() * f.coil.Mass() }
