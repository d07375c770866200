package steel_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/steel"
	"millrace/sim/steel/conduction"
)

// constant is a material of constant properties; enthalpy is counted from 0 C.
type constant struct{ k, rho, c float64 }

func (m constant) Density() float64                   { return m.rho }
func (m constant) Enthalpy(tC float64) float64        { return m.c * tC }
func (m constant) TempFromEnthalpy(h float64) float64 { return h / m.c }
func (m constant) SpecificHeat(float64) float64       { return m.c }
func (m constant) Conductivity(float64) float64       { return m.k }

// unit has diffusivity 1 with half-thickness 1: seconds are Fourier numbers, film coefficients Biot numbers.
var unit = constant{1, 1, 1}

func wall(t testing.TB, m steel.Material, half float64, cells int, startC float64) *steel.Wall {
	t.Helper()
	w, err := steel.NewWall(m, half, cells, startC)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// root returns the n-th root (from 0) of zeta tan zeta = biot.
func root(biot float64, n int) float64 {
	lo := math.Pi * float64(n)
	hi := lo + math.Pi/2
	for range 80 {
		if mid := (lo + hi) / 2; mid*math.Sin(mid) < biot*math.Cos(mid) == (n%2 == 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func coefficient(zeta float64) float64 { return 4 * math.Sin(zeta) / (2*zeta + math.Sin(2*zeta)) }

// series sums the Fourier series of the plane wall with convection: excess over the gas as a share of that at the start.
func series(biot, fourier float64) (centre, surface, mean float64) {
	for n := range 60 {
		z := root(biot, n)
		a := coefficient(z) * math.Exp(-z*z*fourier)
		centre += a
		surface += a * math.Cos(z)
		mean += a * math.Sin(z) / z
	}
	return
}

func TestSeriesRoots(t *testing.T) { // F01, F02
	for _, row := range readTable(t, "plane_wall_roots.csv") {
		z := root(row[0], 0)
		near(t, "zeta", z, row[1], 1e-4)
		near(t, "C1", coefficient(z), row[2], 1e-4)
	}
}

func TestConductionAgainstSeries(t *testing.T) { // F03, F04
	for _, row := range readTable(t, "plane_wall_theta.csv") {
		biot, fourier := row[0], row[1]
		c, s, m := series(biot, fourier)
		near(t, "series centre", c, row[2], 1e-5)
		near(t, "series surface", s, row[3], 1e-5)
		near(t, "series mean", m, row[4], 1e-5)
		w := wall(t, unit, 1, 10, 1)
		if _, err := w.Advance(steel.Surroundings{Convection: biot}, fourier); err != nil {
			t.Fatal(err)
		}
		near(t, "wall centre", w.CentreC(), c, 2e-3)
		near(t, "wall surface", w.SurfaceC(), s, 2e-3)
		near(t, "wall mean", w.MeanC(), m, 1e-3)
		if biot == 1 && fourier == 0.5 {
			near(t, "F03 centre", w.CentreC(), 0.77253, 1e-3)
			near(t, "F03 surface", w.SurfaceC(), 0.50452, 1e-3)
			near(t, "F03 mean", w.MeanC(), 0.68110, 1e-3)
		}
		fine := wall(t, unit, 1, 80, 1)
		if _, err := fine.Advance(steel.Surroundings{Convection: biot}, fourier); err != nil {
			t.Fatal(err)
		}
		near(t, "fine wall centre", fine.CentreC(), c, 5e-5)
		near(t, "fine wall surface", fine.SurfaceC(), s, 5e-5)
		near(t, "fine wall mean", fine.MeanC(), m, 5e-5)
	}
}

// Fixed surface temperature: the wall sees it as an endless film coefficient. Values: Fourier series, independent program.
func TestConductionFixedSurface(t *testing.T) { // F05
	for _, c := range [...]struct{ fourier, centre, mean float64 }{{0.1, 0.94931, 0.64318}, {0.2, 0.77231, 0.49591}, {0.5, 0.37078, 0.23605}} {
		var centre, mean float64
		for n := range 60 {
			z := math.Pi * (float64(n) + 0.5)
			a := math.Exp(-z * z * c.fourier)
			centre += 2 * math.Sin(z) / z * a
			mean += 2 / (z * z) * a
		}
		near(t, "series centre", centre, c.centre, 1e-5)
		near(t, "series mean", mean, c.mean, 1e-5)
		w := wall(t, unit, 1, 40, 1)
		if _, err := w.Advance(steel.Surroundings{Convection: 1e12}, c.fourier); err != nil {
			t.Fatal(err)
		}
		near(t, "centre", w.CentreC(), c.centre, 5e-4)
		near(t, "mean", w.MeanC(), c.mean, 5e-4)
	}
}

// Constant flux: T = Fo + ((3x^2-1)/6) - sum 2 (-1)^n/(n pi)^2 exp(-(n pi)^2 Fo) cos(n pi x), in units of qL/k.
func TestConductionConstantFlux(t *testing.T) { // F06
	for _, c := range [...]struct{ fourier, surface, centre float64 }{{0.1, 0.35683, 0.00789}, {0.5, 0.83188, 0.33479}, {1, 1.33332, 0.83334}} {
		surface, centre := c.fourier+1.0/3, c.fourier-1.0/6
		sign := -1.0
		for n := 1; n < 60; n++ {
			z := math.Pi * float64(n)
			a := 2 / (z * z) * math.Exp(-z*z*c.fourier)
			surface -= a // (-1)^n cos(n pi) = 1
			centre -= sign * a
			sign = -sign
		}
		near(t, "series surface", surface, c.surface, 1e-5)
		near(t, "series centre", centre, c.centre, 1e-5)
		w := wall(t, unit, 1, 80, 0)
		heat, err := w.Advance(steel.Surroundings{Flux: 1}, c.fourier)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "surface", w.SurfaceC(), c.surface, 1e-4)
		near(t, "centre", w.CentreC(), c.centre, 1e-4)
		near(t, "heat", heat, c.fourier, 1e-9)
	}
}

// Incropera et al., Ex. 5.4 (p. 278): steel pipe wall insulated outside. The book's one-term chart values are 42.9 C, -7362 W/m2, -2.72e7 J/m; the exact series gives 43.02, 45.36 (inner surface), -7318 and
// -2.7255e7.
func TestPipeWall(t *testing.T) { // F07
	m := constant{63.9, 7832, 434}
	w := wall(t, m, 0.04, 40, -20)
	heat, err := w.Advance(steel.Surroundings{GasC: 60, Convection: 500}, 480)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Bi", 500*0.04/63.9, 0.313, 5e-4)
	near(t, "Fo", 18.8e-6*480/(0.04*0.04), 5.64, 5e-3)
	near(t, "insulated face", w.CentreC(), 42.9, 0.2)
	near(t, "insulated face, exact", w.CentreC(), 43.02, 0.05)
	near(t, "wetted face, exact", w.SurfaceC(), 45.36, 0.05)
	q := -500 * (60 - w.SurfaceC())
	near(t, "flux", q, -7362, 73.62)
	near(t, "heat per metre of pipe", -heat*math.Pi, -2.72e7, 0.005*2.72e7) // diameter 1 m
}

// Cengel, Heat Transfer, Ex. 4-4: a 40 mm brass plate in an oven. The chart gives 282 C; the series 279.6 C.
func TestBrassPlate(t *testing.T) { // F10
	const k, alpha = 110, 33.9e-6
	m := constant{k, 8530, k / (alpha * 8530)}
	w := wall(t, m, 0.02, 40, 20)
	if _, err := w.Advance(steel.Surroundings{GasC: 500, Convection: 120}, 420); err != nil {
		t.Fatal(err)
	}
	near(t, "surface, chart", w.SurfaceC(), 282, 3)
	near(t, "surface, exact", w.SurfaceC(), 279.6, 0.1)
}

// What went in at the surface is in the cells, whatever happened on the way.
func TestWallKeepsHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := rapid.Float64Range(0.01, 0.2).Draw(t, "half")
		start := rapid.Float64Range(0, 1300).Draw(t, "start")
		w, err := steel.NewWall(steel.Carbon{}, half, rapid.IntRange(2, 12).Draw(t, "cells"), start)
		if err != nil {
			t.Fatal(err)
		}
		before := w.MeanEnthalpy()
		var heat, turnover float64
		low, high := start, start
		for range 3 {
			s := steel.Surroundings{GasC: rapid.Float64Range(0, 1400).Draw(t, "gas"), Emissivity: 0.6, Convection: 20}
			q, err := w.Advance(s, rapid.Float64Range(1, 300).Draw(t, "seconds"))
			if err != nil {
				t.Fatal(err)
			}
			heat += q
			turnover += math.Abs(q)
			low, high = min(low, s.GasC), max(high, s.GasC)
			if !(w.SurfaceC() >= low-1e-6 && w.SurfaceC() <= high+1e-6 && w.MeanC() >= low-1e-2 && w.MeanC() <= high+1e-2) {
				t.Fatalf("surface %g, mean %g outside %g to %g", w.SurfaceC(), w.MeanC(), low, high)
			}
		}
		stored := (w.MeanEnthalpy() - before) * steel.Density * half
		if d := math.Abs(stored - heat); !(d <= 1e-9*(turnover+math.Abs(before)*steel.Density*half)) {
			t.Fatalf("stored %g, taken in %g", stored, heat)
		}
	})
}

func TestWallRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range [...]struct {
		m     steel.Material
		half  float64
		cells int
		start float64
	}{{nil, 0.1, 10, 20}, {steel.Carbon{}, 0, 10, 20}, {steel.Carbon{}, nan, 10, 20}, {steel.Carbon{}, 0.1, 1, 20}, {steel.Carbon{}, 0.1, 10, nan}, {steel.Carbon{}, 0.1, 10, 2000}} {
		if _, err := steel.NewWall(c.m, c.half, c.cells, c.start); err == nil {
			t.Errorf("%+v passes", c)
		}
	}
	w := wall(t, steel.Carbon{}, 0.1, 10, 20)
	for _, s := range []float64{-1, nan, math.Inf(1)} {
		if _, err := w.Advance(steel.Surroundings{GasC: 100, Convection: 10}, s); err == nil {
			t.Errorf("advancing %g s passes", s)
		}
	}
	if _, err := w.Advance(steel.Surroundings{GasC: 2900, Emissivity: 1}, 36000); err == nil {
		t.Error("melting a slab passes")
	}
}

func TestDepthTo(t *testing.T) {
	w := wall(t, unit, 1, 200, 1)
	if _, err := w.Advance(steel.Surroundings{Convection: 1}, 0.5); err != nil {
		t.Fatal(err)
	}
	for n := 1; n < 20; n++ {
		x := float64(n) / 20
		var there float64
		for m := range 30 {
			z := root(1, m)
			there += coefficient(z) * math.Exp(-z*z*0.5) * math.Cos(z*x)
		}
		near(t, "depth", w.DepthTo(there), 1-x, 2e-3)
	}
	near(t, "colder than the surface", w.DepthTo(0.2), 1, 0)
	near(t, "hotter than the middle", w.DepthTo(0.9), 1, 0)
	near(t, "at the surface", w.DepthTo(w.SurfaceC()), 0, 0)
}

// How fast the solver comes to the exact series as cells are halved: second order in the mean, the surface and the centre, at constant film, fixed surface and constant flux.
func TestConvergenceOrder(t *testing.T) {
	for _, c := range []struct {
		name    string
		around  steel.Surroundings
		start   float64
		fourier float64
		exact   [3]float64 // mean, surface, centre
	}{
		{"Bi 0.3", steel.Surroundings{Convection: 0.3}, 1, 0.5, exact(0.3, 0.5)},
		{"Bi 1", steel.Surroundings{Convection: 1}, 1, 0.5, exact(1, 0.5)},
		{"Bi 10", steel.Surroundings{Convection: 10}, 1, 0.3, exact(10, 0.3)},
		{"fixed surface", steel.Surroundings{Convection: 1e12}, 1, 0.2, exact(math.Inf(1), 0.2)},
		{"flux", steel.Surroundings{Flux: 1}, 0, 0.3, [3]float64{0.3, conduction.FluxTheta(0.3, 1), conduction.FluxTheta(0.3, 0)}},
	} {
		var last [3]float64
		for k, cells := range []int{10, 20, 40, 80} {
			w := wall(t, unit, 1, cells, c.start)
			if _, err := w.Advance(c.around, c.fourier); err != nil {
				t.Fatal(err)
			}
			now := [3]float64{w.MeanC() - c.exact[0], w.SurfaceC() - c.exact[1], w.CentreC() - c.exact[2]}
			for i, what := range [3]string{"mean", "surface", "centre"} {
				now[i] = math.Abs(now[i])
				if k == 0 || now[i] < 1e-9 { // the mean at constant flux, the fixed surface: nothing to lose
					continue
				}
				if order := math.Log2(last[i] / now[i]); !(order > 1.8 && order < 2.4) {
					t.Errorf("%s, %s, %d cells: order %.2f (%.2e after %.2e)", c.name, what, cells, order, now[i], last[i])
				} else if cells == 80 {
					t.Logf("%s, %s: order %.3f, %.1e left at 80 cells", c.name, what, order, now[i])
				}
			}
			last = now
		}
	}
}

func exact(biot, fourier float64) [3]float64 {
	return [3]float64{conduction.MeanTheta(conduction.PlaneWall, biot, fourier), conduction.Theta(conduction.PlaneWall, biot, fourier, 1), conduction.Theta(conduction.PlaneWall, biot, fourier, 0)}
}
