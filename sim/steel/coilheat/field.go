package coilheat

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Shape is a coil.
type Shape struct {
	Width, OD, ID float64 // m
	RadialK       float64 // conductivity across the wraps, W/mK
}

// MaxCells is the greatest number of cells in one direction.
const MaxCells = 500

// Validate refuses what is no coil: a width of 0.1 to 5 m, a bore above 0.1 m, at
// least 25 mm of wraps, up to 5 m outside, and 0.1 to 100 W/mK across them.
func (s Shape) Validate() error {
	if !(s.Width > 0.1 && s.Width < 5 && s.ID > 0.1 && s.OD > s.ID+0.05 && s.OD < 5) {
		return fmt.Errorf("coil: width %g, bore %g and outer diameter %g m do not make a coil", s.Width, s.ID, s.OD)
	}
	if !(s.RadialK >= 0.1 && s.RadialK <= 100) {
		return fmt.Errorf("coil: conductivity across the wraps %g W/mK is outside 0.1-100", s.RadialK)
	}
	return nil
}

// Film is the coefficient between a face and its surroundings, W/m2K, at a
// surface temperature, C; above zero.
type Film func(surfaceC float64) float64

// Even is a film that does not depend on the surface.
func Even(film float64) Film { return func(float64) float64 { return film } }

// Field is the temperature of one coil.
type Field struct {
	shape  Shape
	nr, nz int
	dr, dz float64
	h, t   []float64 // J/kg and C by cell, radius running fastest; cell row 0 at mid-width
	volume []float64 // m3 per radian, by radius
	side   []float64 // m2 per radian of the cell faces across the radius, from the bore out
	end    []float64 // m2 per radian across the width, by radius
	boreC  []float64 // surface temperatures of the step before
	outerC []float64
	endC   []float64
	flow   []float64 // heat into each cell in this step, W per radian
	in     float64   // heat taken through the faces since the start, J per radian of half the coil
}

// New is a coil of nr cells over the radius and nz over half the width, all at
// startC, at most 900 C.
func New(s Shape, startC float64, nr, nz int) (*Field, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if !(startC >= steel.MinC && startC <= 900) {
		return nil, fmt.Errorf("coil: start at %g C is outside %g to 900 C", startC, steel.MinC)
	}
	if nr < 2 || nz < 2 || nr > MaxCells || nz > MaxCells {
		return nil, fmt.Errorf("coil: a grid of %d x %d cells", nr, nz)
	}
	f := &Field{shape: s, nr: nr, nz: nz, dr: (s.OD - s.ID) / 2 / float64(nr), dz: s.Width / 2 / float64(nz)}
	f.h, f.t, f.flow = make([]float64, nr*nz), make([]float64, nr*nz), make([]float64, nr*nz)
	h := steel.Enthalpy(startC)
	for i := range f.t {
		f.h[i], f.t[i] = h, startC
	}
	for i := range nr {
		a := s.ID/2 + float64(i)*f.dr
		f.side = append(f.side, a*f.dz)
		f.end = append(f.end, (a+f.dr/2)*f.dr)
		f.volume = append(f.volume, (a+f.dr/2)*f.dr*f.dz)
		f.endC = append(f.endC, startC)
	}
	f.side = append(f.side, s.OD/2*f.dz)
	for range nz {
		f.boreC = append(f.boreC, startC)
		f.outerC = append(f.outerC, startC)
	}
	return f, nil
}

// StableStep is the longest step, s, that [Field.Step] may be given while no film
// is above the one given.
func (f *Field) StableStep(film float64) float64 {
	// Least heat capacity and greatest conductivity: those of cold steel. The
	// innermost faces weigh most: their area over volume is bounded by 2/dr.
	capacity := steel.Density * steel.SpecificHeat(20)
	across := 2 * f.shape.RadialK / (f.dr * f.dr)
	along := 2 * steel.Conductivity(20) / (f.dz * f.dz)
	return 0.9 * capacity / (across + along + film/f.dr + film/f.dz)
}

// Step advances the field by dt seconds, at most StableStep, in surroundings at
// aroundC under the films of bore, outside and ends. A film is taken at the
// surface temperature of the step before.
func (f *Field) Step(dt, aroundC float64, bore, outer, end Film) {
	nr, nz, kr := f.nr, f.nz, f.shape.RadialK
	clear(f.flow)
	half, through := f.dr/2/kr, 0.0
	face := func(cell int, area, half float64, surfaceC *float64, film Film) {
		h := film(*surfaceC)
		q := (f.t[cell] - aroundC) / (half + 1/h)
		*surfaceC = aroundC + q/h
		f.flow[cell] -= area * q
		through -= area * q
	}
	for j := range nz {
		row := j * nr
		for i := 1; i < nr; i++ {
			q := kr / f.dr * f.side[i] * (f.t[row+i-1] - f.t[row+i])
			f.flow[row+i] += q
			f.flow[row+i-1] -= q
		}
		face(row, f.side[0], half, &f.boreC[j], bore)
		face(row+nr-1, f.side[nr], half, &f.outerC[j], outer)
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
		face(row+i, f.end[i], f.dz/2/steel.Conductivity(f.t[row+i]), &f.endC[i], end)
	}
	f.in += through * dt
	for j := range nz {
		for i := range nr {
			k := j*nr + i
			f.h[k] += f.flow[k] * dt / (steel.Density * f.volume[i])
			f.t[k] = steel.TempFromEnthalpy(f.h[k])
		}
	}
}

// Extremes are the coldest and the hottest cell, C.
func (f *Field) Extremes() (coldC, hotC float64) {
	coldC, hotC = math.Inf(1), math.Inf(-1)
	for _, t := range f.t {
		coldC, hotC = min(coldC, t), max(hotC, t)
	}
	return coldC, hotC
}

// MeanEnthalpy is the heat held, J/kg above 20 C.
func (f *Field) MeanEnthalpy() float64 {
	sum, vol := 0.0, 0.0
	for j := range f.nz {
		for i := range f.nr {
			sum += f.h[j*f.nr+i] * f.volume[i]
			vol += f.volume[i]
		}
	}
	return sum / vol
}

// Taken is the heat taken through all faces since the start, J/kg of coil.
func (f *Field) Taken() float64 {
	r := f.shape
	return f.in / (steel.Density * (r.OD*r.OD - r.ID*r.ID) / 8 * r.Width / 2)
}
