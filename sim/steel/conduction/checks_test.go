package conduction_test

import (
	_ "embed"
	"math"
	"testing"

	"millrace/sim/reftable"
	"millrace/sim/steel/checktable"
	. "millrace/sim/steel/conduction"
)

var near = reftable.Near

// must is for answers that a table takes for granted.
func must(x float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return x
}

// body reads k rho c L h start fluid.
func body(r *checktable.Inputs, s Shape) Body {
	k, rho, c := r.Next(), r.Next(), r.Next()
	return Body{Shape: s, Solid: SolidOf(k, rho, c), Size: r.Next(), Film: r.Next(), StartC: r.Next(), FluidC: r.Next()}
}

// alpha reads k alpha L h start fluid.
func alpha(r *checktable.Inputs, s Shape) Body {
	return Body{Shape: s, Solid: Solid{r.Next(), r.Next()}, Size: r.Next(), Film: r.Next(), StartC: r.Next(), FluidC: r.Next()}
}

// bead reads D rho c h fluid eps wall.
func bead(r *checktable.Inputs) Lumped {
	var l Lumped
	l.Capacity, l.Area = SphereBody(r.Next(), r.Next(), r.Next())
	l.Film, l.FluidC, l.Emissivity, l.WallC = r.Next(), r.Next(), r.Next(), r.Next()
	return l
}

const day = 86400

// quantities are the questions a row may ask.
var quantities = map[string]func(r *checktable.Inputs) float64{
	"zeta wall":              func(r *checktable.Inputs) float64 { return Root(PlaneWall, r.Next(), 0) },
	"zeta cylinder":          func(r *checktable.Inputs) float64 { return Root(LongCylinder, r.Next(), 0) },
	"zeta sphere":            func(r *checktable.Inputs) float64 { return Root(Sphere, r.Next(), 0) },
	"second root cylinder":   func(r *checktable.Inputs) float64 { return Root(LongCylinder, r.Next(), 1) },
	"C1 wall":                func(r *checktable.Inputs) float64 { _, c := OneTerm(PlaneWall, r.Next()); return c },
	"C1 cylinder":            func(r *checktable.Inputs) float64 { _, c := OneTerm(LongCylinder, r.Next()); return c },
	"C1 sphere":              func(r *checktable.Inputs) float64 { _, c := OneTerm(Sphere, r.Next()); return c },
	"theta wall":             func(r *checktable.Inputs) float64 { return Theta(PlaneWall, r.Next(), r.Next(), r.Next()) },
	"mean wall":              func(r *checktable.Inputs) float64 { return MeanTheta(PlaneWall, r.Next(), r.Next()) },
	"flux theta":             func(r *checktable.Inputs) float64 { return FluxTheta(r.Next(), r.Next()) },
	"temp wall":              func(r *checktable.Inputs) float64 { return must(body(r, PlaneWall).Temp(r.Next(), r.Next())) },
	"temp sphere":            func(r *checktable.Inputs) float64 { return must(body(r, Sphere).Temp(r.Next(), r.Next())) },
	"time sphere":            func(r *checktable.Inputs) float64 { return must(body(r, Sphere).TimeTo(r.Next(), r.Next())) },
	"temp wall alpha":        func(r *checktable.Inputs) float64 { return must(alpha(r, PlaneWall).Temp(r.Next(), r.Next())) },
	"temp cylinder alpha":    func(r *checktable.Inputs) float64 { return must(alpha(r, LongCylinder).Temp(r.Next(), r.Next())) },
	"time sphere alpha":      func(r *checktable.Inputs) float64 { return must(alpha(r, Sphere).TimeTo(r.Next(), r.Next())) },
	"flux into wall":         func(r *checktable.Inputs) float64 { return must(body(r, PlaneWall).Flux(r.Next())) },
	"heat per metre of pipe": func(r *checktable.Inputs) float64 { return math.Pi * must(body(r, PlaneWall).Heat(r.Next())) }, // diameter 1 m
	"bead steady":            func(r *checktable.Inputs) float64 { return must(bead(r).SteadyC()) },
	"biot wall": func(r *checktable.Inputs) float64 {
		return Body{Solid: SolidOf(r.Next(), r.Next(), r.Next()), Size: r.Next(), Film: r.Next()}.Biot()
	},
	"fourier wall": func(r *checktable.Inputs) float64 {
		return Body{Solid: SolidOf(r.Next(), r.Next(), r.Next()), Size: r.Next()}.Fourier(r.Next())
	},
	"bead time": func(r *checktable.Inputs) float64 { // ... start, and how near to the steady state
		l := bead(r)
		start := r.Next()
		return must(l.TimeTo(start, must(l.SteadyC())-r.Next()))
	},
	"lumped time": func(r *checktable.Inputs) float64 { // rho c h D start fluid to
		rho, c, h, d := r.Next(), r.Next(), r.Next(), r.Next()
		capacity, area := SphereBody(d, rho, c)
		start := r.Next()
		return must(Lumped{Capacity: capacity, Area: area, Film: h, FluidC: r.Next()}.TimeTo(start, r.Next()))
	},
	"lumped body time": func(r *checktable.Inputs) float64 { // rho c h D length start fluid to
		rho, c, h, d, l := r.Next(), r.Next(), r.Next(), r.Next(), r.Next()
		capacity, area := CylinderBody(d, l, rho, c)
		start := r.Next()
		return must(Lumped{Capacity: capacity, Area: area, Film: h, FluidC: r.Next()}.TimeTo(start, r.Next()))
	},
	"two step sphere": func(r *checktable.Inputs) float64 { // k rho c R h start fluid to, lumped
		r.Next()
		rho, c, radius := r.Next(), r.Next(), r.Next()
		capacity, area := SphereBody(2*radius, rho, c)
		h, start := r.Next(), r.Next()
		return must(Lumped{Capacity: capacity, Area: area, Film: h, FluidC: r.Next()}.TimeTo(start, r.Next()))
	},
	"frost depth": func(r *checktable.Inputs) float64 { // k rho c start surface at days
		return must(SolidOf(r.Next(), r.Next(), r.Next()).FixedSurfaceDepth(r.Next(), r.Next(), r.Next(), day*r.Next()))
	},
	"frost depth alpha": func(r *checktable.Inputs) float64 {
		return must(Solid{r.Next(), r.Next()}.FixedSurfaceDepth(r.Next(), r.Next(), r.Next(), day*r.Next()))
	},
	"short cylinder centre": func(r *checktable.Inputs) float64 { // k alpha L radius h start fluid t
		s := Solid{r.Next(), r.Next()}
		l, radius, h, start, fluid, t := r.Next(), r.Next(), r.Next(), r.Next(), r.Next(), r.Next()
		wall, round := Body{Solid: s, Size: l, Film: h}, Body{Shape: LongCylinder, Solid: s, Size: radius, Film: h}
		return fluid + (start-fluid)*Theta(PlaneWall, wall.Biot(), wall.Fourier(t), 0)*Theta(LongCylinder, round.Biot(), round.Fourier(t), 0)
	},
	"panel time": func(r *checktable.Inputs) float64 { // rho c thickness h fluid eps wall start to
		rho, c, d := r.Next(), r.Next(), r.Next()
		capacity, area := PlateBody(d, rho, c, 2)
		l := Lumped{Capacity: capacity, Area: area, Film: r.Next(), FluidC: r.Next(), Emissivity: r.Next(), WallC: r.Next()}
		return must(l.TimeTo(r.Next(), r.Next()))
	},
	"radiation time": func(r *checktable.Inputs) float64 { // rho c half-thickness eps wall start to
		rho, c, half := r.Next(), r.Next(), r.Next()
		return must(Lumped{Capacity: rho * c * half, Area: 1, Emissivity: r.Next(), WallC: r.Next()}.TimeTo(r.Next(), r.Next()))
	},
	"half space fixed": func(r *checktable.Inputs) float64 { // k alpha start surface depth t
		return must(Solid{r.Next(), r.Next()}.FixedSurface(r.Next(), r.Next(), r.Next(), r.Next()))
	},
	"half space flux": func(r *checktable.Inputs) float64 {
		return must(Solid{r.Next(), r.Next()}.ConstantFlux(r.Next(), r.Next(), r.Next(), r.Next()))
	},
	"half space convection": func(r *checktable.Inputs) float64 { // k alpha h start fluid depth t
		s := Solid{r.Next(), r.Next()}
		h, start, fluid := r.Next(), r.Next(), r.Next()
		return must(s.Convection(start, fluid, h, r.Next(), r.Next()))
	},
	"heat cylinder alpha": func(r *checktable.Inputs) float64 { return -must(alpha(r, LongCylinder).Heat(r.Next())) },
	"half space drop": func(r *checktable.Inputs) float64 { // k alpha h start fluid t
		s := Solid{r.Next(), r.Next()}
		h, start := r.Next(), r.Next()
		return start - must(s.Convection(start, r.Next(), h, 0, r.Next()))
	},
	"half space heat": func(r *checktable.Inputs) float64 {
		s := Solid{r.Next(), r.Next()}
		h, start := r.Next(), r.Next()
		return -must(s.ConvectionHeat(start, r.Next(), h, r.Next()))
	},
}

//go:embed testdata/checks.csv
var published string

func TestPublished(t *testing.T) { checktable.Check(t, published, quantities) }
