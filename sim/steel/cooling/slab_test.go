package cooling_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/steel"
	"millrace/sim/steel/cooling"
)

func slabNear(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if d := got - want; !(d <= tol && d >= -tol) {
		t.Errorf("%s = %.7g, want %.7g within %g", what, got, want, tol)
	}
}

const (
	slabThickness = 0.2286
	slabHour      = 3600.0
)

var slabAir = steel.Surroundings{GasC: 25, Emissivity: 0.8, Convection: 8}

func slabCurve(t testing.TB, n int, startC float64) *cooling.SlabCurve {
	t.Helper()
	c, err := cooling.NewPileCurve(n, slabThickness, startC, slabAir.GasC, slabAir.Emissivity, slabAir.Convection)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// conductionHours returns the hours a plate from 900 C needs, by conduction through the thickness, until the given measure of its temperature has come down to each of toC.
func conductionHours(t *testing.T, half float64, measure func(*steel.Wall) float64, toC []float64) []float64 {
	t.Helper()
	w, err := steel.NewWall(steel.Carbon{}, half, 10, 900)
	if err != nil {
		t.Fatal(err)
	}
	var hours []float64
	var s float64
	for _, tC := range toC {
		for measure(w) > tC {
			before, dt := measure(w), 30.0
			if _, err := w.Advance(slabAir, dt); err != nil {
				t.Fatal(err)
			}
			s += dt
			if after := measure(w); after <= tC {
				hours = append(hours, (s-dt*(tC-after)/(before-after))/slabHour)
			}
		}
	}
	return hours
}

// Slab and pile from 900 C in air at 25 C: an independent finite-difference program, whose mean is the average of temperature, and the parabolic form, whose mean is that of enthalpy; EN 1993-1-2 properties.
func TestSlabYard(t *testing.T) {
	for _, c := range [...]struct {
		n              int
		full, parabola []float64
		late           float64 // largest share by which the parabola may be late above 500 C
	}{
		{1, []float64{1.07, 2.56, 5.37, 14.9}, []float64{1.13, 2.57, 5.38, 14.9}, 0.03},
		{5, []float64{7.03, 19.0, 36.0, 87.5}, []float64{9.3, 19.5, 36.3, 87.7}, 0.12},
	} {
		means := []float64{700, 500, 300, 100}
		half := float64(c.n) * slabThickness / 2
		average := conductionHours(t, half, (*steel.Wall).AverageC, means)
		mean := conductionHours(t, half, (*steel.Wall).MeanC, means)
		curve := slabCurve(t, c.n, 900)
		for i, tC := range means {
			slabNear(t, "Y03, Y05 conduction, h", average[i], c.full[i], 0.02*c.full[i])
			got := curve.AgeAt(tC) / slabHour
			slabNear(t, "Y04 parabola, h", got, c.parabola[i], 0.02*c.parabola[i])
			limit := 0.03
			if tC > 500 {
				limit = c.late
			}
			if late := got/mean[i] - 1; !(late > -0.01 && late < limit) {
				t.Errorf("%d slabs to %g C: %.3f later than conduction, want up to %g", c.n, tC, late, limit)
			}
		}
	}
}

// Bejan and Kraus, Heat Transfer Handbook (2003), eq. 3.283 rearranged: a body of uniform temperature and constant specific heat losing heat by radiation alone. The surroundings' law, stepped, must meet it.
func TestRadiationClosedForm(t *testing.T) { // Y01, Y02
	const half, c, eps, ambient = 0.1143, 650, 0.8, 298.15
	closed := func(fromC, toC float64) float64 {
		g := func(tC float64) float64 {
			k := tC + 273.15
			return 0.5*math.Log((k+ambient)/(k-ambient)) + math.Atan(k/ambient)
		}
		return 7850 * half * c / (2 * eps * steel.StefanBoltzmann * math.Pow(ambient, 3)) * (g(toC) - g(fromC)) / slabHour
	}
	stepped := func(fromC, toC float64) float64 {
		around := steel.Surroundings{GasC: ambient - 273.15, Emissivity: eps}
		tC, s := fromC, 0.0
		for tC > toC {
			dt := min(1, (tC-toC)/(around.Into(tC)/(-7850*half*c))+1e-9)
			mid := tC + dt/2*around.Into(tC)/(7850*half*c)
			tC += dt * around.Into(mid) / (7850 * half * c)
			s += dt
		}
		return s / slabHour
	}
	for _, r := range [...]struct{ to, hours float64 }{{600, 1.0602}, {300, 5.7922}} {
		slabNear(t, "closed form", closed(900, r.to), r.hours, 1e-3*r.hours)
		slabNear(t, "surroundings stepped", stepped(900, r.to), r.hours, 1e-3*r.hours)
	}
	// Without surroundings: t = rho c L/(3 eps sigma) (1/T2^3 - 1/T1^3).
	void := 7850 * half * c / (3 * eps * steel.StefanBoltzmann) * (math.Pow(573.15, -3) - math.Pow(1173.15, -3)) / slabHour
	slabNear(t, "Y02 at Ta = 0", void, 5.5853, 0.0056)
}

// A thin plate with constant properties would follow eq. 3.283; with the steel's own above 900 C (650 J/kgK throughout) a thin slab does, whole curve included.
func TestThinSlabFollowsClosedForm(t *testing.T) {
	const thickness, ambient = 0.0004, 298.15
	c, err := cooling.NewSlabCurve(thickness, 1250, 25, 0.8, 0)
	if err != nil {
		t.Fatal(err)
	}
	g := func(tC float64) float64 {
		k := tC + 273.15
		return 0.5*math.Log((k+ambient)/(k-ambient)) + math.Atan(k/ambient)
	}
	for _, to := range []float64{1200, 1100, 1000, 905} {
		want := 7850 * thickness / 2 * 650 / (2 * 0.8 * steel.StefanBoltzmann * math.Pow(ambient, 3)) * (g(to) - g(1250))
		slabNear(t, "seconds", c.AgeAt(to), want, 0.003*want) // the parabola costs a tenth of a per cent
	}
}

func TestSlabCurveAgainstFineIntegration(t *testing.T) {
	var worst float64
	for _, around := range []steel.Surroundings{slabAir, {GasC: -10, Emissivity: 0.8}, {GasC: 40, Convection: 300}} {
		for _, start := range [...]struct {
			n      int
			startC float64
		}{{1, 1250}, {1, 760}, {5, 1000}, {5, 200}} {
			n, startC := start.n, start.startC
			c, err := cooling.NewPileCurve(n, slabThickness, startC, around.GasC, around.Emissivity, around.Convection)
			if err != nil {
				t.Fatal(err)
			}
			p := steel.Plate{HalfThickness: float64(n) * slabThickness / 2, Around: around}
			h, dt := steel.Enthalpy(startC), 20.0*float64(n)
			for i := range 40000 {
				if age := dt * float64(i); i%200 == 7 {
					miss := math.Abs(c.Temp(age) - steel.TempFromEnthalpy(h))
					worst = max(worst, miss)
					if !(miss < 0.05) {
						t.Fatalf("%d slabs from %g C, age %g s: %g, want %g", n, startC, age, c.Temp(age), steel.TempFromEnthalpy(h))
					}
				}
				half := h + p.Rate(h)*dt/2
				h += dt * p.Rate(half)
			}
		}
	}
	t.Logf("worst %.4f C", worst)
}

func TestSlabCurveProperties(t *testing.T) {
	curves := []*cooling.SlabCurve{slabCurve(t, 1, 1000), slabCurve(t, 5, 900), slabCurve(t, 20, 1300), slabCurve(t, 1, 40)}
	starts := []float64{1000, 900, 1300, 40}
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(curves)-1).Draw(t, "curve")
		c := curves[i]
		a := rapid.Float64Range(0, 3e6).Draw(t, "a")
		b := rapid.Float64Range(0, 3e6).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		ta, tb := c.Temp(a), c.Temp(b)
		if !(ta >= tb && ta <= starts[i]+1e-3 && tb >= 25-1e-3) {
			t.Fatalf("%g C at %g s, %g C at %g s", ta, a, tb, b)
		}
		if h := c.Enthalpy(a); h-steel.Enthalpy(25) > 1 && a > 1 {
			if back := c.Age(h); !(math.Abs(back-a) < 1e-3+1e-6*a) {
				t.Fatalf("age %g s comes back as %g", a, back)
			}
		}
		s := c.State(a)
		if !(s.SurfaceC <= s.MeanC+1e-3 && s.CentreC >= s.MeanC-1e-3 && s.Flux <= 0.1) {
			t.Fatalf("a cooling slab is %+v", s)
		}
	})
}

func TestSlabCurveEdges(t *testing.T) {
	c := slabCurve(t, 1, 900)
	nan := math.NaN()
	slabNear(t, "start", c.Temp(0), 900, 1e-3)
	slabNear(t, "in the end", c.Temp(math.Inf(1)), 25, 1e-3)
	slabNear(t, "hotter than the start", c.AgeAt(950), 0, 0)
	if got := c.AgeAt(25); !math.IsInf(got, 1) {
		t.Errorf("ambient after %g s, want +Inf", got)
	}
	if !math.IsNaN(c.Temp(-1)) || !math.IsNaN(c.Enthalpy(nan)) || !math.IsNaN(c.Age(nan)) {
		t.Error("nonsense is not NaN")
	}
	for _, bad := range [][5]float64{{0, 900, 25, 0.8, 8}, {nan, 900, 25, 0.8, 8}, {0.2, 30, 25, 0.8, 8}, {0.2, 1500, 25, 0.8, 8}, {0.2, nan, 25, 0.8, 8}, {0.2, 900, nan, 0.8, 8}, {0.2, 900, 25, 0, 0}, {0.2, 900, 25, 2, 8}, {0.2, 900, 25, 0.8, -1}} {
		if _, err := cooling.NewSlabCurve(bad[0], bad[1], bad[2], bad[3], bad[4]); err == nil {
			t.Errorf("NewSlabCurve(%v) passes", bad)
		}
	}
	for _, n := range []int{0, -1, 51} {
		if _, err := cooling.NewPileCurve(n, 0.2, 900, 25, 0.8, 8); err == nil {
			t.Errorf("a pile of %d passes", n)
		}
	}
	if n := testing.AllocsPerRun(100, func() { c.Temp(5000) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkSlabTemp(b *testing.B) {
	c := slabCurve(b, 1, 900)
	var sum float64
	for i := range b.N {
		sum += c.Temp(float64((i*7919)&0xffff) * 2)
	}
	if math.IsNaN(sum) {
		b.Fatal(sum)
	}
}

func BenchmarkNewSlabCurve(b *testing.B) {
	for range b.N {
		slabCurve(b, 1, 900)
	}
}
