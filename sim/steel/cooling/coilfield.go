package cooling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// CoilField is conduction in a coil over radius and width, by explicit finite
// volumes: steel along the strip's width, wraps and gaps across it. The coil
// is symmetric about mid-width. Enthalpy is stepped, so the transformation is
// taken whole.
type CoilField struct {
	coil   Coil
	nr, nz int
	dr, dz float64
	step   float64
	h, t   []float64 // J/kg and C by cell, radius running fastest
	volume []float64 // m3 per radian, by radius
	side   []float64 // m2 per radian of the cell faces across the radius, from the bore out
	end    []float64 // m2 per radian across the width, by radius
	boreC  []float64 // surface temperatures
	outerC []float64
	endC   []float64
	flow   []float64 // heat into each cell in this step, W per radian
	lost   float64   // through all faces so far, J per radian of half the width
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
	if nr < 2 || nz < 2 || nr > 500 || nz > 500 {
		return nil, fmt.Errorf("coil: a grid of %d x %d cells", nr, nz)
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
		f.endC = append(f.endC, startC)
	}
	f.side = append(f.side, c.OD/2*f.dz)
	for range nz {
		f.boreC = append(f.boreC, startC)
		f.outerC = append(f.outerC, startC)
	}
	// Least heat capacity and greatest conductivity: those of cold steel.
	capacity := steel.Density * steel.SpecificHeat(20)
	ar, az := c.RadialK/capacity, steel.Conductivity(20)/capacity
	surface := 2 * (c.outside(startC)/f.dr + c.outside(startC)/f.dz) / capacity
	f.step = 0.9 / (2*ar/(f.dr*f.dr) + 2*az/(f.dz*f.dz) + min(surface, 2*ar/(f.dr*f.dr)+2*az/(f.dz*f.dz)))
	return f, nil
}

// Step advances the field by its own stable time step and returns it, s.
func (f *CoilField) Step() float64 {
	nr, nz, c := f.nr, f.nz, &f.coil
	clear(f.flow)
	for j := range nz {
		row := j * nr
		// Across the wraps.
		for i := 1; i < nr; i++ {
			q := c.RadialK / f.dr * f.side[i] * (f.t[row+i-1] - f.t[row+i])
			f.flow[row+i] += q
			f.flow[row+i-1] -= q
		}
		half := f.dr / 2 / c.RadialK
		bore := f.side[0] * leak(f.t[row], &f.boreC[j], c.AmbientC, half, c.bore(f.boreC[j]))
		outer := f.side[nr] * leak(f.t[row+nr-1], &f.outerC[j], c.AmbientC, half, c.outside(f.outerC[j]))
		f.flow[row] -= bore
		f.flow[row+nr-1] -= outer
		f.lost += (bore + outer) * f.step
		// Along the width, cell 0 at mid-width.
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
		end := f.end[i] * leak(t, &f.endC[i], c.AmbientC, f.dz/2/steel.Conductivity(t), c.outside(f.endC[i]))
		f.flow[row+i] -= end
		f.lost += end * f.step
	}
	for j := range nz {
		for i := range nr {
			k := j*nr + i
			f.h[k] += f.flow[k] * f.step / (steel.Density * f.volume[i])
			f.t[k] = steel.TempFromEnthalpy(f.h[k])
		}
	}
	return f.step
}

// leak is the heat flow, W/m2, from a cell through half of itself and a
// surface film; it keeps the surface temperature for the next film.
func leak(cellC float64, surfaceC *float64, ambientC, half, film float64) float64 {
	q := (cellC - ambientC) / (half + 1/film)
	*surfaceC = ambientC + q/film
	return q
}

// HeatLost is the heat that has left the whole coil through its faces, J. What
// the coil holds has fallen by it, to rounding.
func (f *CoilField) HeatLost() float64 { return 4 * math.Pi * f.lost }

// MaxC is the hottest cell, C.
func (f *CoilField) MaxC() float64 {
	m := math.Inf(-1)
	for _, t := range f.t {
		m = max(m, t)
	}
	return m
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
