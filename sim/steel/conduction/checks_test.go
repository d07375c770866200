package conduction_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	. "millrace/sim/steel/conduction"
)

func near(t failer, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

type failer interface {
	Helper()
	Errorf(format string, args ...any)
}

// must is for answers that a table takes for granted.
func must(x float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return x
}

// reader hands out the inputs of a row in order.
type reader []float64

func (r *reader) next() float64 {
	if len(*r) == 0 {
		return math.NaN()
	}
	x := (*r)[0]
	*r = (*r)[1:]
	return x
}

// body reads k rho c L h start fluid.
func (r *reader) body(s Shape) Body {
	k, rho, c := r.next(), r.next(), r.next()
	return Body{Shape: s, Solid: SolidOf(k, rho, c), Size: r.next(), Film: r.next(), StartC: r.next(), FluidC: r.next()}
}

// alpha reads k alpha L h start fluid.
func (r *reader) alpha(s Shape) Body {
	return Body{Shape: s, Solid: Solid{r.next(), r.next()}, Size: r.next(), Film: r.next(), StartC: r.next(), FluidC: r.next()}
}

// bead reads D rho c h fluid eps wall.
func (r *reader) bead() Lumped {
	var l Lumped
	l.Capacity, l.Area = SphereBody(r.next(), r.next(), r.next())
	l.Film, l.FluidC, l.Emissivity, l.WallC = r.next(), r.next(), r.next(), r.next()
	return l
}

const day = 86400

// quantities are the questions a row may ask.
var quantities = map[string]func(r *reader) float64{
	"zeta wall":              func(r *reader) float64 { return Root(PlaneWall, r.next(), 0) },
	"zeta cylinder":          func(r *reader) float64 { return Root(LongCylinder, r.next(), 0) },
	"zeta sphere":            func(r *reader) float64 { return Root(Sphere, r.next(), 0) },
	"second root cylinder":   func(r *reader) float64 { return Root(LongCylinder, r.next(), 1) },
	"C1 wall":                func(r *reader) float64 { _, c := OneTerm(PlaneWall, r.next()); return c },
	"C1 cylinder":            func(r *reader) float64 { _, c := OneTerm(LongCylinder, r.next()); return c },
	"C1 sphere":              func(r *reader) float64 { _, c := OneTerm(Sphere, r.next()); return c },
	"theta wall":             func(r *reader) float64 { return Theta(PlaneWall, r.next(), r.next(), r.next()) },
	"mean wall":              func(r *reader) float64 { return MeanTheta(PlaneWall, r.next(), r.next()) },
	"flux theta":             func(r *reader) float64 { return FluxTheta(r.next(), r.next()) },
	"temp wall":              func(r *reader) float64 { return must(r.body(PlaneWall).Temp(r.next(), r.next())) },
	"temp sphere":            func(r *reader) float64 { return must(r.body(Sphere).Temp(r.next(), r.next())) },
	"time sphere":            func(r *reader) float64 { return must(r.body(Sphere).TimeTo(r.next(), r.next())) },
	"temp wall alpha":        func(r *reader) float64 { return must(r.alpha(PlaneWall).Temp(r.next(), r.next())) },
	"temp cylinder alpha":    func(r *reader) float64 { return must(r.alpha(LongCylinder).Temp(r.next(), r.next())) },
	"time sphere alpha":      func(r *reader) float64 { return must(r.alpha(Sphere).TimeTo(r.next(), r.next())) },
	"flux into wall":         func(r *reader) float64 { return must(r.body(PlaneWall).Flux(r.next())) },
	"heat per metre of pipe": func(r *reader) float64 { return math.Pi * must(r.body(PlaneWall).Heat(r.next())) }, // diameter 1 m
	"bead steady":            func(r *reader) float64 { return must(r.bead().SteadyC()) },
	"biot wall": func(r *reader) float64 {
		return Body{Solid: SolidOf(r.next(), r.next(), r.next()), Size: r.next(), Film: r.next()}.Biot()
	},
	"fourier wall": func(r *reader) float64 {
		return Body{Solid: SolidOf(r.next(), r.next(), r.next()), Size: r.next()}.Fourier(r.next())
	},
	"bead time": func(r *reader) float64 { // ... start, and how near to the steady state
		l := r.bead()
		start := r.next()
		return must(l.TimeTo(start, must(l.SteadyC())-r.next()))
	},
	"lumped time": func(r *reader) float64 { // rho c h D start fluid to
		rho, c, h, d := r.next(), r.next(), r.next(), r.next()
		capacity, area := SphereBody(d, rho, c)
		start := r.next()
		return must(Lumped{Capacity: capacity, Area: area, Film: h, FluidC: r.next()}.TimeTo(start, r.next()))
	},
	"lumped body time": func(r *reader) float64 { // rho c h D length start fluid to
		rho, c, h, d, l := r.next(), r.next(), r.next(), r.next(), r.next()
		capacity, area := CylinderBody(d, l, rho, c)
		start := r.next()
		return must(Lumped{Capacity: capacity, Area: area, Film: h, FluidC: r.next()}.TimeTo(start, r.next()))
	},
	"two step sphere": func(r *reader) float64 { // k rho c R h start fluid to, lumped
		r.next()
		rho, c, radius := r.next(), r.next(), r.next()
		capacity, area := SphereBody(2*radius, rho, c)
		h, start := r.next(), r.next()
		return must(Lumped{Capacity: capacity, Area: area, Film: h, FluidC: r.next()}.TimeTo(start, r.next()))
	},
	"frost depth": func(r *reader) float64 { // k rho c start surface at days
		return must(SolidOf(r.next(), r.next(), r.next()).FixedSurfaceDepth(r.next(), r.next(), r.next(), day*r.next()))
	},
	"frost depth alpha": func(r *reader) float64 {
		return must(Solid{r.next(), r.next()}.FixedSurfaceDepth(r.next(), r.next(), r.next(), day*r.next()))
	},
	"short cylinder centre": func(r *reader) float64 { // k alpha L radius h start fluid t
		s := Solid{r.next(), r.next()}
		l, radius, h, start, fluid, t := r.next(), r.next(), r.next(), r.next(), r.next(), r.next()
		wall, round := Body{Solid: s, Size: l, Film: h}, Body{Shape: LongCylinder, Solid: s, Size: radius, Film: h}
		return fluid + (start-fluid)*Theta(PlaneWall, wall.Biot(), wall.Fourier(t), 0)*Theta(LongCylinder, round.Biot(), round.Fourier(t), 0)
	},
	"panel time": func(r *reader) float64 { // rho c thickness h fluid eps wall start to
		rho, c, d := r.next(), r.next(), r.next()
		capacity, area := PlateBody(d, rho, c, 2)
		l := Lumped{Capacity: capacity, Area: area, Film: r.next(), FluidC: r.next(), Emissivity: r.next(), WallC: r.next()}
		return must(l.TimeTo(r.next(), r.next()))
	},
	"radiation time": func(r *reader) float64 { // rho c half-thickness eps wall start to
		rho, c, half := r.next(), r.next(), r.next()
		return must(Lumped{Capacity: rho * c * half, Area: 1, Emissivity: r.next(), WallC: r.next()}.TimeTo(r.next(), r.next()))
	},
	"half space drop": func(r *reader) float64 { // k alpha h start fluid t
		s := Solid{r.next(), r.next()}
		h, start := r.next(), r.next()
		return start - must(s.Convection(start, r.next(), h, 0, r.next()))
	},
	"half space heat": func(r *reader) float64 {
		s := Solid{r.next(), r.next()}
		h, start := r.next(), r.next()
		return -must(s.ConvectionHeat(start, r.next(), h, r.next()))
	},
}

func TestPublished(t *testing.T) {
	f, err := os.Open("testdata/checks.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	asked := map[string]bool{}
	for _, row := range rows[1:] {
		ask := quantities[row[1]]
		if ask == nil {
			t.Fatalf("no quantity %q", row[1])
		}
		asked[row[1]] = true
		if row[5] == "" || row[6] == "" {
			t.Errorf("%v has no source", row)
		}
		var in reader
		for _, s := range strings.Fields(row[2]) {
			in = append(in, number(s))
		}
		near(t, row[0]+" "+row[1]+" ("+row[5]+")", ask(&in), number(row[3]), number(row[4]))
		if len(in) > 0 {
			t.Errorf("%v: %d inputs too many", row, len(in))
		}
	}
	for q := range quantities {
		if !asked[q] {
			t.Errorf("no row asks for %q", q)
		}
	}
}
