package annealing

import (
	"fmt"
	"math"

	"millrace/sim/steel"
	"millrace/sim/steel/coilheat"
)

// Coil is a tight coil standing on its end, eye upwards.
type Coil struct {
	Width, OD, ID float64 // m
	RadialK       float64 // conductivity across the wraps, W/mK
}

// Mass is the coil's mass wound solid, kg.
func (c Coil) Mass() float64 {
	return steel.Density * c.Width * math.Pi / 4 * (c.OD*c.OD - c.ID*c.ID)
}

// Validate refuses what is not a coil.
func (c Coil) Validate() error {
	if !(c.Width > 0.1 && c.Width < 5 && c.ID > 0.1 && c.OD > c.ID+0.05 && c.OD < 5) {
		return fmt.Errorf("annealing: width %g, bore %g and outer diameter %g m do not make a coil", c.Width, c.ID, c.OD)
	}
	if !(c.RadialK >= 0.3 && c.RadialK <= 60) {
		return fmt.Errorf("annealing: conductivity across the wraps %g W/mK is outside 0.3-60", c.RadialK)
	}
	return nil
}

// The grid that curves and tables are made with. Times to a temperature are
// within 1 % of those of a grid twice as fine.
const (
	gridRadial, gridAxial = 12, 7
)

// CoilField is the temperature in a coil on a base over radius and width: see
// package coilheat.
type CoilField struct{ field *coilheat.Field }

// NewCoilField makes a coil of nr cells over the radius and nz over half the
// width, all at startC, at most 900 C.
func NewCoilField(c Coil, startC float64, nr, nz int) (*CoilField, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	f, err := coilheat.New(coilheat.Shape{Width: c.Width, OD: c.OD, ID: c.ID, RadialK: c.RadialK}, startC, nr, nz)
	if err != nil {
		return nil, fmt.Errorf("annealing: %w", err)
	}
	return &CoilField{field: f}, nil
}

// StableStep is the longest step, s, that [CoilField.Step] may be given under a
// film coefficient (W/m2K).
func (f *CoilField) StableStep(film float64) float64 { return f.field.StableStep(film) }

// Step advances the field by dt seconds, at most StableStep, in gas at gasC
// under a film coefficient on all faces (W/m2K).
func (f *CoilField) Step(dt, gasC, film float64) {
	even := coilheat.Even(film)
	f.field.Step(dt, gasC, even, even, even)
}

// Extremes are the coldest and the hottest cell, C.
func (f *CoilField) Extremes() (coldC, hotC float64) { return f.field.Extremes() }

// MeanEnthalpy is the heat held, J/kg above 20 C.
func (f *CoilField) MeanEnthalpy() float64 { return f.field.MeanEnthalpy() }
