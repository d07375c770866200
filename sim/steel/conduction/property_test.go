package conduction_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"

	. "millrace/sim/steel/conduction"
)

var shapes = []Shape{PlaneWall, LongCylinder, Sphere}

// logDraw draws evenly in the exponent.
func logDraw(t *rapid.T, lo, hi float64, name string) float64 {
	return math.Pow(10, rapid.Float64Range(math.Log10(lo), math.Log10(hi)).Draw(t, name))
}

// Every root satisfies its equation and roots follow one another by about pi.
func TestRoots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(shapes).Draw(t, "shape")
		biot := logDraw(t, 1e-9, 1e9, "Bi")
		n := rapid.IntRange(0, 40).Draw(t, "n")
		z := Root(s, biot, n)
		var miss, slope float64 // by how much z misses
		switch s {
		case PlaneWall:
			miss, slope = z*math.Sin(z)-biot*math.Cos(z), math.Sin(z)*(1+biot)+z*math.Cos(z)
		case LongCylinder:
			miss, slope = z*math.J1(z)-biot*math.J0(z), z*math.J0(z)+biot*math.J1(z)
		case Sphere:
			miss, slope = (1-biot)*math.Sin(z)-z*math.Cos(z), -biot*math.Cos(z)+z*math.Sin(z)
		}
		if !(math.Abs(miss/slope) < 1e-10*z+1e-12+1e-15*z/biot) {
			t.Fatalf("%v, Bi %g: root %d at %g misses by %g", s, biot, n, z, miss/slope)
		}
		if next := Root(s, biot, n+1); !(next > z+2 && next < z+4.6) {
			t.Fatalf("%v, Bi %g: roots %g and %g", s, biot, z, next)
		}
		if more := Root(s, biot*1.5, n); !(more >= z*(1-1e-12)) {
			t.Fatalf("%v: root falls from %g to %g with Bi", s, z, more)
		}
	})
}

// At the start every term together makes an even body: the sum of C times the mean of f is 1 (partial sums come near it from below).
func TestSeriesIsWholeAtStart(t *testing.T) {
	for _, s := range shapes {
		for _, biot := range []float64{0.01, 1, 50, math.Inf(1)} {
			near(t, s.String(), MeanTheta(s, biot, 1.0001e-6), 1, 0.006)
		}
	}
}

func TestThetaProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(shapes).Draw(t, "shape")
		biot := logDraw(t, 1e-6, 1e7, "Bi")
		fo := logDraw(t, 1e-7, 10, "Fo")
		x := rapid.Float64Range(0, 1).Draw(t, "x")
		th, mean := Theta(s, biot, fo, x), MeanTheta(s, biot, fo)
		const eps = 2e-6 // room for the cylinder's short times
		if !(th >= -eps && th <= 1+eps && mean >= -eps && mean <= 1+eps) {
			t.Fatalf("%v Bi %g Fo %g x %g: %g, mean %g", s, biot, fo, x, th, mean)
		}
		centre, surface := Theta(s, biot, fo, 0), Theta(s, biot, fo, 1)
		if !(surface <= th+eps && th <= centre+eps && surface <= mean+eps && mean <= centre+eps) {
			t.Fatalf("%v Bi %g Fo %g: surface %g, at %g %g, mean %g, centre %g", s, biot, fo, surface, x, th, mean, centre)
		}
		if later := Theta(s, biot, fo*1.3, x); !(later <= th+1e-4*(1-th)+eps) {
			t.Fatalf("%v Bi %g: rises from %g to %g", s, biot, th, later)
		}
	})
}

// What the surface passes is what the body loses: the slope of the mean is the area times Bi times the surface's excess, on both sides of every change of formula.
func TestHeatPassedIsHeatLost(t *testing.T) {
	for _, s := range shapes {
		for _, biot := range []float64{0.02, 0.5, 0.9999999, 1, 4, 300} {
			for _, fo := range []float64{3e-6, 5e-5, 3e-4, 5e-3, 0.0199, 0.0201, 0.2, 1.5} {
				d := 1e-4 * fo
				got := (MeanTheta(s, biot, fo-d) - MeanTheta(s, biot, fo+d)) / (2 * d)
				want := float64(s+1) * biot * Theta(s, biot, fo, 1)
				tol := 3e-7*want + 1e-11/d
				if s == LongCylinder && fo < 1e-4 {
					tol = 3e-4 * want
				}
				near(t, s.String(), got, want, tol)
			}
		}
	}
}

// The two ways of reckoning meet where one gives way to the other.
func TestShortMeetsSeries(t *testing.T) {
	for _, c := range []struct {
		s   Shape
		fo  float64
		tol float64
	}{{PlaneWall, 0.02, 1e-9}, {Sphere, 0.02, 1e-9}, {LongCylinder, 1e-4, 5e-6}} {
		for _, biot := range []float64{0.1, 1, 3, 40, 1e4, math.Inf(1)} {
			for _, x := range []float64{0, 0.3, 0.7, 0.9, 0.97, 1} {
				before, after := Theta(c.s, biot, c.fo*(1-1e-12), x), Theta(c.s, biot, c.fo*(1+1e-12), x)
				near(t, c.s.String(), before, after, c.tol)
			}
		}
	}
	for _, x := range []float64{0, 0.5, 1} {
		near(t, "flux", FluxTheta(0.02*(1-1e-12), x), FluxTheta(0.02*(1+1e-12), x), 1e-9)
	}
	near(t, "scaled erfc", ScaledErfc(20-1e-12), ScaledErfc(20), 1e-12)
}

// A wall thick against the time is a half space, whatever the film.
func TestThickWallIsHalfSpace(t *testing.T) {
	s := SolidOf(30, 7400, 650)
	for _, film := range []float64{0, 50, 5000, math.Inf(1)} {
		b := Body{Solid: s, Size: 1, Film: film, StartC: 20, FluidC: 900}
		for _, depth := range []float64{0, 0.005, 0.02, 0.1} {
			near(t, "temperature", must(b.Temp(1-depth, 600)), must(s.Convection(20, 900, film, depth, 600)), 1e-9)
		}
		near(t, "heat", must(b.Heat(600)), must(s.ConvectionHeat(20, 900, film, 600)), 1e-3)
	}
	near(t, "flux", must(Body{Solid: s, Size: 1, Film: math.Inf(1), StartC: 20, FluidC: 900}.Flux(600)), must(s.FixedSurfaceFlux(20, 900, 600)), 1e-6)
	near(t, "constant flux", must(WallFlux(s, 1, 20, 5e4, 0.99, 600)), must(s.ConstantFlux(20, 5e4, 0.01, 600)), 1e-9)
	// Carslaw and Jaeger: surface of a half space at constant flux, (2 q/k) sqrt(alpha t/pi).
	near(t, "surface", must(s.ConstantFlux(20, 5e4, 0, 600)), 20+2*5e4/30*math.Sqrt(s.Diffusivity*600/math.Pi), 1e-9)
	// Depth and temperature are each other's inverse.
	near(t, "frost", must(s.FixedSurface(15, -10, must(s.FixedSurfaceDepth(15, -10, 0, 1e5)), 1e5)), 0, 1e-9)
	// A long swing at the surface is the swing; deep down there is none.
	near(t, "swing", must(s.Periodic(10, 8, 86400, 0, 21600)), 18, 1e-9)
	near(t, "deep", must(s.Periodic(10, 8, 86400, 50, 21600)), 10, 1e-9)
	// Equal solids meet half way; the better conductor wins.
	near(t, "contact", must(ContactC(s, 100, s, 20)), 60, 1e-12)
	if c := must(ContactC(s, 100, SolidOf(0.1, 500, 1500), 20)); !(c > 95) {
		t.Errorf("wood on steel meets at %g C", c)
	}
}

func TestTimeTo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Body{Shape: rapid.SampledFrom(shapes).Draw(t, "shape"), Solid: SolidOf(logDraw(t, 0.1, 400, "k"), 3000, 900), Size: logDraw(t, 1e-3, 1, "L"),
			Film: logDraw(t, 1, 1e5, "h"), StartC: 900, FluidC: 20}
		x := b.Size * rapid.Float64Range(0, 1).Draw(t, "x")
		to := rapid.Float64Range(30, 800).Draw(t, "to")
		s := must(b.TimeTo(x, to))
		near(t, "there and back", must(b.Temp(x, s)), to, 0.02)
	})
}

// The lumped law by Runge and Kutta, and its own inverse.
func TestLumped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Lumped{Capacity: logDraw(t, 1, 1e6, "C"), Area: logDraw(t, 1e-3, 10, "A"), Film: rapid.Float64Range(0, 500).Draw(t, "h"), FluidC: rapid.Float64Range(-50, 1500).Draw(t, "fluid"),
			Emissivity: rapid.Float64Range(0.01, 1).Draw(t, "eps"), WallC: rapid.Float64Range(-50, 1500).Draw(t, "wall"), Flux: rapid.Float64Range(0, 2e4).Draw(t, "flux")}
		start := rapid.Float64Range(-50, 1500).Draw(t, "start")
		steady := must(l.SteadyC())
		near(t, "balance", l.Into(steady), 0, 1e-6)
		span := rapid.Float64Range(0.01, 3).Draw(t, "time constants") / l.Rate(max(start, steady))
		tC, dt := start, span/400
		for range 400 {
			f := func(x float64) float64 { return l.Into(x) * l.Area / l.Capacity }
			a := f(tC)
			b := f(tC + a*dt/2)
			c := f(tC + b*dt/2)
			d := f(tC + c*dt)
			tC += dt * (a + 2*b + 2*c + d) / 6
		}
		got := must(l.Temp(start, span))
		near(t, "temperature", got, tC, 1e-7*(1+math.Abs(start-steady)))
		if math.Abs(start-steady) > 1 {
			near(t, "time", must(l.TimeTo(start, got)), span, 1e-6*span)
		}
		if !(min(start, steady)-1e-9 <= got && got <= max(start, steady)+1e-9) {
			t.Fatalf("from %g to %g by way of %g", start, steady, got)
		}
	})
	line := Lumped{Capacity: 100, Area: 2, Flux: 50}
	near(t, "a heater alone", must(line.Temp(20, 10)), 30, 1e-12)
	near(t, "its time", must(line.TimeTo(20, 30)), 10, 1e-12)
}

// checkBody is the law of the fuzz target: an error or finite numbers between start and fluid.
func checkBody(t testing.TB, b Body, x, sec float64) {
	tC, err := b.Temp(x, sec)
	mean, err2 := b.MeanC(sec)
	heat, err3 := b.Heat(sec)
	if err != nil {
		return
	}
	if err2 != nil || err3 != nil {
		t.Fatalf("%+v at %g s: %v, %v", b, sec, err2, err3)
	}
	lo, hi := min(b.StartC, b.FluidC), max(b.StartC, b.FluidC)
	room := 1e-5 * (hi - lo)
	if !(tC >= lo-room && tC <= hi+room && mean >= lo-room && mean <= hi+room) || math.IsNaN(heat) {
		t.Fatalf("%+v at %g m, %g s: %g C, mean %g C, heat %g", b, x, sec, tC, mean, heat)
	}
}

func FuzzBody(f *testing.F) {
	f.Add(uint8(0), 30.0, 7e-6, 0.1, 500.0, 20.0, 900.0, 0.05, 600.0)
	f.Add(uint8(1), 0.6, 1e-7, 0.02, 1e9, 5.0, 95.0, 0.0, 1e-9)
	f.Add(uint8(2), 200.0, 1e-4, 1e-3, 1e-6, 400.0, -200.0, 1e-3, 1e9)
	f.Add(uint8(3), math.NaN(), 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, shape uint8, k, alpha, size, film, start, fluid, x, sec float64) {
		b := Body{Shape: Shape(shape), Solid: Solid{k, alpha}, Size: size, Film: film, StartC: start, FluidC: fluid}
		if math.Abs(start) > 1e6 || math.Abs(fluid) > 1e6 || size > 1e6 || size < 1e-6 || k > 1e6 || k < 1e-6 || alpha < 1e-12 || alpha > 1e3 {
			// Numbers no body has: only that nothing breaks.
			_, _ = b.Temp(x, sec)
			return
		}
		checkBody(t, b, x, sec)
	})
}

func FuzzLumped(f *testing.F) {
	f.Add(2400.0, 1.0, 400.0, 200.0, 0.9, 400.0, 0.0, 25.0, 3.0)
	f.Add(1.0, 1.0, 0.0, 0.0, 1.0, -273.15, 0.0, 1500.0, 1e9)
	f.Add(1.0, 1.0, 5.0, 20.0, 0.5, 20.0, -1e5, 20.0, 10.0)
	f.Fuzz(func(t *testing.T, capacity, area, film, fluid, eps, wall, flux, start, sec float64) {
		l := Lumped{capacity, area, film, fluid, eps, wall, flux}
		tC, err := l.Temp(start, sec)
		if err == nil && math.IsNaN(tC) {
			t.Fatalf("%+v from %g C after %g s is NaN", l, start, sec)
		}
	})
}

func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Body{Solid: SolidOf(30, 7400, 650), Size: 0.1, Film: 100, StartC: 20, FluidC: 900}
	for i, change := range []func(*Body){
		func(b *Body) { b.Shape = 3 }, func(b *Body) { b.Solid.Conductivity = nan }, func(b *Body) { b.Solid.Diffusivity = 0 }, func(b *Body) { b.Size = 0 }, func(b *Body) { b.Size = inf },
		func(b *Body) { b.Film = -1 }, func(b *Body) { b.Film = nan }, func(b *Body) { b.StartC = -300 }, func(b *Body) { b.FluidC = inf },
	} {
		b := good
		change(&b)
		if _, err := b.Temp(0, 1); err == nil {
			t.Errorf("body %d passes", i)
		}
	}
	for _, c := range [][2]float64{{-0.01, 1}, {0.11, 1}, {nan, 1}, {0, -1}, {0, nan}, {0, inf}} {
		if _, err := good.Temp(c[0], c[1]); err == nil {
			t.Errorf("position %g, time %g pass", c[0], c[1])
		}
	}
	for _, to := range []float64{10, 900, 950, nan} {
		if _, err := good.TimeTo(0, to); err == nil {
			t.Errorf("it comes to %g C", to)
		}
	}
	for _, l := range []Lumped{{}, {Capacity: 1, Area: nan}, {Capacity: 1, Area: 1, Film: -1}, {Capacity: 1, Area: 1, Emissivity: 2}, {Capacity: 1, Area: 1, Film: 1, FluidC: nan}, {Capacity: 1, Area: 1, Film: 1, Flux: inf}} {
		if _, err := l.Temp(20, 1); err == nil {
			t.Errorf("%+v passes", l)
		}
	}
	for _, s := range []Shape{PlaneWall, LongCylinder, Sphere, 7} {
		for _, c := range [][3]float64{{-1, 1, 0}, {nan, 1, 0}, {1, -1, 0}, {1, nan, 0}, {1, 1, 1.1}, {1, 1, nan}} {
			if v := Theta(s, c[0], c[1], c[2]); !math.IsNaN(v) {
				t.Errorf("%v: Theta(%v) = %g", s, c, v)
			}
		}
	}
	if !math.IsNaN(Root(7, 1, 0)) || !math.IsNaN(Root(PlaneWall, 1, -1)) || !math.IsNaN(Coefficient(Sphere, nan)) || !math.IsNaN(FluxTheta(-1, 0)) {
		t.Error("nonsense is not NaN")
	}
}

func BenchmarkThetaWall(b *testing.B) {
	b.ReportAllocs()
	for i := range b.N {
		Theta(PlaneWall, 1, 0.1+float64(i&7)*0.1, 0.5)
	}
}
