package steel

import (
	"fmt"
	"math"
)

// Material gives the properties a [Wall] conducts with; its range must cover every temperature met.
type Material interface {
	Density() float64                   // kg/m3
	Enthalpy(tC float64) float64        // J/kg
	TempFromEnthalpy(h float64) float64 // C
	SpecificHeat(tC float64) float64    // J/kgK
	Conductivity(tC float64) float64    // W/mK
}

// Carbon is plain carbon steel after EN 1993-1-2, as a [Material].
type Carbon struct{}

// Density returns the package's [Density].
func (Carbon) Density() float64 { return Density }

// Enthalpy is the package's [Enthalpy].
func (Carbon) Enthalpy(tC float64) float64 { return Enthalpy(tC) }

// TempFromEnthalpy is the package's [TempFromEnthalpy].
func (Carbon) TempFromEnthalpy(h float64) float64 { return TempFromEnthalpy(h) }

// SpecificHeat is the package's [SpecificHeat].
func (Carbon) SpecificHeat(tC float64) float64 { return SpecificHeat(tC) }

// Conductivity is the package's [Conductivity].
func (Carbon) Conductivity(tC float64) float64 { return Conductivity(tC) }

// Wall is one half of a plate heated alike on both faces, cut into equal cells from the middle plane to the surface, with conduction between them.
//
// Each cell keeps its enthalpy, so what enters at the surface is in the cells to rounding. The scheme is explicit; its own step is chosen stable from the properties of the moment. Ten cells meet the
// Fourier series to 0.001 of the starting difference at Bi = 1, Fo = 0.5.
type Wall struct {
	mat     Material
	dx      float64
	h, t, k []float64
	surface float64
}

// NewWall returns a half-plate of half-thickness halfThickness (m) in the given number of cells (2 to 1000), at startC throughout.
func NewWall(mat Material, halfThickness float64, cells int, startC float64) (*Wall, error) {
	if mat == nil {
		return nil, fmt.Errorf("wall: no material")
	}
	if !(halfThickness > 0 && halfThickness <= 5) {
		return nil, fmt.Errorf("wall: half-thickness is %g m, want above 0 and up to 5 m", halfThickness)
	}
	if cells < 2 || cells > 1000 {
		return nil, fmt.Errorf("wall: %d cells, want 2 to 1000", cells)
	}
	h := mat.Enthalpy(startC)
	if math.IsNaN(h) || math.IsInf(h, 0) {
		return nil, fmt.Errorf("wall: the material has no enthalpy at %g C", startC)
	}
	w := &Wall{mat: mat, dx: halfThickness / float64(cells), surface: startC,
		h: make([]float64, cells), t: make([]float64, cells), k: make([]float64, cells)}
	for i := range w.h {
		w.h[i], w.t[i], w.k[i] = h, startC, mat.Conductivity(startC)
	}
	return w, nil
}

// mostSteps bounds the explicit steps of one call: some minutes of work for ten cells.
const mostSteps = 1e8

// Advance lets the wall stand in surroundings s for the given seconds and returns the heat taken in, J per m2 of one face (negative when it cools).
//
// It fails, leaving the wall where it got to, when s is refused, the material's range is left, or cells are so thin that more than 1e8 steps would be needed.
func (w *Wall) Advance(s Surroundings, seconds float64) (heat float64, err error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	if !(seconds >= 0) || math.IsInf(seconds, 0) {
		return 0, fmt.Errorf("wall: cannot advance by %g s", seconds)
	}
	for seconds > 0 {
		dt := w.stableStep()
		if seconds > mostSteps*dt {
			return heat, fmt.Errorf("wall: %g s need steps of %g s: cells too thin for so long a time", seconds, dt)
		}
		if left := math.Ceil(seconds / dt); left < 1e6 {
			dt = seconds / left // equal steps, so that none is a sliver
		}
		if !(dt > 0) {
			return heat, fmt.Errorf("wall: properties lost at a surface of %g C", w.surface)
		}
		heat += w.step(s, dt)
		if math.IsNaN(w.t[len(w.t)-1]) {
			return heat, fmt.Errorf("wall: the surface cell left the material's range")
		}
		seconds -= dt
		if seconds < 1e-9*dt {
			break
		}
	}
	w.settleSurface(s)
	return heat, nil
}

// stableStep is the longest explicit step in which every new cell temperature is still an average of old ones. The surface cell has a half-cell to the surface, hence 3 and not 2.
func (w *Wall) stableStep() float64 {
	var a float64
	for i, t := range w.t {
		a = max(a, w.k[i]/w.mat.SpecificHeat(t))
	}
	return 0.95 * w.dx * w.dx * w.mat.Density() / (3 * a)
}

func (w *Wall) step(s Surroundings, dt float64) float64 {
	n := len(w.h)
	q := w.settleSurface(s)
	scale := dt / (w.mat.Density() * w.dx)
	// Fluxes run towards the middle; the middle plane passes none.
	in := q
	for i := n - 1; i >= 0; i-- {
		out := 0.0
		if i > 0 {
			out = 2 * w.k[i] * w.k[i-1] / (w.k[i] + w.k[i-1]) / w.dx * (w.t[i] - w.t[i-1])
		}
		w.h[i] += scale * (in - out)
		in = out
	}
	for i, h := range w.h {
		w.t[i] = w.mat.TempFromEnthalpy(h)
		w.k[i] = w.mat.Conductivity(w.t[i])
	}
	return q * dt
}

// settleSurface puts the massless surface into balance and returns the flux through it.
func (w *Wall) settleSurface(s Surroundings) float64 {
	n := len(w.t) - 1
	r := w.dx / (2 * w.k[n])
	w.surface = s.surface(w.t[n], r)
	return (w.surface - w.t[n]) / r
}

// MeanEnthalpy returns the mean over the thickness, J/kg.
func (w *Wall) MeanEnthalpy() float64 {
	var sum float64
	for _, h := range w.h {
		sum += h
	}
	return sum / float64(len(w.h))
}

// MeanC returns the temperature the wall would even out to, C: that of the mean enthalpy.
func (w *Wall) MeanC() float64 { return w.mat.TempFromEnthalpy(w.MeanEnthalpy()) }

// AverageC returns the average of the temperature over the thickness, C.
//
// It differs from [Wall.MeanC] while the profile spans the transformation: a pile cooling from 900 C passes an average of 700 C a sixth sooner than a mean of 700 C.
func (w *Wall) AverageC() float64 {
	var sum float64
	for _, t := range w.t {
		sum += t
	}
	return sum / float64(len(w.t))
}

// SurfaceC returns the temperature of the surface, C.
func (w *Wall) SurfaceC() float64 { return w.surface }

// CentreC returns the temperature of the middle plane, C, from the parabola through the two cells next to it.
func (w *Wall) CentreC() float64 { return (9*w.t[0] - w.t[1]) / 8 }

// DepthTo returns how deep below the surface, m, the temperature first crosses tC on the way to the middle: 0 if the surface is just at tC, the half-thickness if surface and middle are on one side of it. The profile
// is taken straight between cells.
//
// A strand that freezes has its shell down to the solidus; a slab that heats, what is not yet hot below it.
func (w *Wall) DepthTo(tC float64) float64 {
	n := len(w.t)
	depth, last := 0.0, w.surface
	above := last > tC
	if last == tC {
		return 0
	}
	for i := n - 1; i >= -1; i-- {
		next, at := 0.0, float64(n)*w.dx
		if i >= 0 {
			next, at = w.t[i], (float64(n-1-i)+0.5)*w.dx
		} else {
			next = w.CentreC()
		}
		if next > tC != above {
			return depth + (at-depth)*(tC-last)/(next-last)
		}
		depth, last = at, next
	}
	return depth
}
