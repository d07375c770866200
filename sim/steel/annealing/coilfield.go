package annealing

import (
	"fmt"
	"math"

	"millrace/sim/steel"
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

// CoilField is conduction in a coil over radius and half its width, by explicit
// finite volumes: steel along the width, wraps and gaps across it. Enthalpy is
// stepped, so the heat of transformation is taken whole.
type CoilField struct {
	coil   Coil
	nr, nz int
	dr, dz float64
	h, t   []float64 // J/kg and C by cell, radius running fastest; cell row 0 at mid-width
	volume []float64 // m3 per radian, by radius
	side   []float64 // m2 per radian of cell faces across the radius, from the bore out
	end    []float64 // m2 per radian across the width, by radius
	flow   []float64 // W per radian into each cell
}

// NewCoilField makes a coil of nr cells over the radius and nz over half the
// width, all at startC, at most 900 C.
func NewCoilField(c Coil, startC float64, nr, nz int) (*CoilField, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	if !(startC >= steel.MinC && startC <= 900) {
		return nil, fmt.Errorf("annealing: a coil at %g C", startC)
	}
	if nr < 2 || nz < 2 || nr > 200 || nz > 200 {
		return nil, fmt.Errorf("annealing: a grid of %d x %d cells", nr, nz)
	}
	f := &CoilField{coil: c, nr: nr, nz: nz, dr: (c.OD - c.ID) / 2 / float64(nr), dz: c.Width / 2 / float64(nz)}
	f.h, f.t, f.flow = make([]float64, nr*nz), make([]float64, nr*nz), make([]float64, nr*nz)
	h := steel.Enthalpy(startC)
	for i := range f.t {
		f.h[i], f.t[i] = h, startC
	}
	for i := range nr {
		a := c.ID/2 + float64(i)*f.dr
		f.side = append(f.side, a*f.dz)
		f.end = append(f.end, (a+f.dr/2)*f.dr)
		f.volume = append(f.volume, (a+f.dr/2)*f.dr*f.dz)
	}
	f.side = append(f.side, c.OD/2*f.dz)
	return f, nil
}

// StableStep is the longest step, s, that [CoilField.Step] may be given under a
// film coefficient (W/m2K).
func (f *CoilField) StableStep(film float64) float64 {
	// Least heat capacity and greatest conductivity: those of cold steel. The
	// innermost faces weigh most: their area over volume is bounded by 2/dr.
	capacity := steel.Density * steel.SpecificHeat(20)
	k := f.coil.RadialK
	across := 2 * k / (f.dr * f.dr)
	along := 2 * steel.Conductivity(20) / (f.dz * f.dz)
	surface := film/f.dr + film/f.dz
	return 0.9 * capacity / (across + along + surface)
}

// Step advances the field by dt seconds, at most StableStep, in gas at gasC
// under a film coefficient on all faces (W/m2K).
func (f *CoilField) Step(dt, gasC, film float64) {
	nr, nz, kr := f.nr, f.nz, f.coil.RadialK
	clear(f.flow)
	face := 1 / (f.dr/2/kr + 1/film)
	for j := range nz {
		row := j * nr
		for i := 1; i < nr; i++ {
			q := kr / f.dr * f.side[i] * (f.t[row+i-1] - f.t[row+i])
			f.flow[row+i] += q
			f.flow[row+i-1] -= q
		}
		f.flow[row] += f.side[0] * face * (gasC - f.t[row])
		f.flow[row+nr-1] += f.side[nr] * face * (gasC - f.t[row+nr-1])
		if j > 0 {
			for i := range nr {
				a, b := f.t[row-nr+i], f.t[row+i]
				q := steel.Conductivity(0.5*(a+b)) / f.dz * f.end[i] * (a - b)
				f.flow[row+i] += q
				f.flow[row-nr+i] -= q
			}
		}
	}
	row := (nz - 1) * nr
	for i := range nr {
		t := f.t[row+i]
		f.flow[row+i] += f.end[i] * (gasC - t) / (f.dz/2/steel.Conductivity(t) + 1/film)
	}
	for j := range nz {
		for i := range nr {
			k := j*nr + i
			f.h[k] += f.flow[k] * dt / (steel.Density * f.volume[i])
			f.t[k] = steel.TempFromEnthalpy(f.h[k])
		}
	}
}

// Extremes are the coldest and the hottest cell, C.
func (f *CoilField) Extremes() (coldC, hotC float64) {
	coldC, hotC = math.Inf(1), math.Inf(-1)
	for _, t := range f.t {
		coldC, hotC = min(coldC, t), max(hotC, t)
	}
	return coldC, hotC
}

// MeanEnthalpy is the heat held, J/kg above 20 C.
func (f *CoilField) MeanEnthalpy() float64 {
	sum, vol := 0.0, 0.0
	for j := range f.nz {
		for i := range f.nr {
			sum += f.h[j*f.nr+i] * f.volume[i]
			vol += f.volume[i]
		}
	}
	return sum / vol
}
