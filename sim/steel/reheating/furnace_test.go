package reheating_test

import (
	"math"
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/reheating"
)

// reference is a furnace programme whose answers were worked by an independent finite-difference program with the EN 1993-1-2 properties.
var reference = reheating.Programme{{0.25, 950}, {0.30, 1250}, {0.25, 1340}, {0.20, 1310}}

const emissivity = 0.55

func walk(t *testing.T, thickness, startC, hours float64, cells int) reheating.Reading {
	t.Helper()
	r, err := reheating.FullSolver(thickness, startC, emissivity, reference.Stays(hours*3600), cells, 1e9)
	if err != nil {
		t.Fatal(err)
	}
	return r[len(r)-1]
}

// hoursTo finds the residence with which the slab leaves at a mean of 1250 C.
func hoursTo(t *testing.T, thickness, startC float64) float64 {
	t.Helper()
	lo, hi := 0.5, 6.0
	for range 12 {
		if mid := (lo + hi) / 2; walk(t, thickness, startC, mid, 10).MeanC < 1250 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

func TestReferenceFurnace(t *testing.T) { // F17, F18 and the other rows of that table
	for _, c := range [...]struct{ thickness, startC, hours, centre, surface float64 }{
		{0.1524, 20, 1.62, 1240, 1269}, {0.2286, 20, 2.67, 1237, 1275}, {0.2286, 500, 2.27, 1237, 1275}, {0.2286, 700, 1.99, 1237, 1275},
		{0.3048, 20, 3.91, 1234, 1280}, {0.3048, 500, 3.36, 1234, 1280}, {0.3048, 700, 2.96, 1234, 1280},
	} {
		hours := hoursTo(t, c.thickness, c.startC)
		near(t, "hours to 1250 C", hours, c.hours, 0.03)
		r := walk(t, c.thickness, c.startC, hours, 10)
		near(t, "centre", r.CentreC, c.centre, 3)
		near(t, "surface", r.SurfaceC, c.surface, 3)
	}
	soaked := walk(t, 0.2286, 20, 3.5, 10)
	near(t, "centre after 3.5 h", soaked.CentreC, 1291, 3)
	near(t, "surface after 3.5 h", soaked.SurfaceC, 1301, 3)
	near(t, "mean after 3.5 h", soaked.MeanC, 1294, 3)
}

func TestFullSolverConverges(t *testing.T) {
	coarse, fine := walk(t, 0.2286, 20, 2.67, 10), walk(t, 0.2286, 20, 2.67, 40)
	near(t, "mean with 10 cells", coarse.MeanC, fine.MeanC, 0.5)
	near(t, "surface with 10 cells", coarse.SurfaceC, fine.SurfaceC, 0.5)
}

func TestBathsAgainstFullSolver(t *testing.T) { // F19
	for _, c := range [...]struct{ thickness, startC, hours, mean float64 }{
		{0.1524, 20, 1.62, 1254}, {0.2286, 20, 2.67, 1255}, {0.2286, 500, 2.27, 1255}, {0.2286, 700, 1.99, 1254}, {0.3048, 20, 3.91, 1258},
	} {
		baths, err := reference.Baths(c.thickness, emissivity)
		if err != nil {
			t.Fatal(err)
		}
		h, _ := reference.Walk(baths, steel.Enthalpy(c.startC), c.hours*3600)
		near(t, "mean at discharge", steel.TempFromEnthalpy(h), c.mean, 2)
		if c.thickness == 0.2286 && c.startC == 20 {
			near(t, "surface at discharge", baths[3].Surface(h), 1277, 2)
		}
		// Stated: 2 to 8 C above conduction at discharge, 4 C below to 11 C above on the way.
		full, err := reheating.FullSolver(c.thickness, c.startC, emissivity, reference.Stays(c.hours*3600), 20, 60)
		if err != nil {
			t.Fatal(err)
		}
		h = steel.Enthalpy(c.startC)
		var above, seconds float64
		for _, r := range full[1:] {
			h, _ = baths[r.Zone].Advance(h, r.Seconds-seconds)
			seconds = r.Seconds
			above = steel.TempFromEnthalpy(h) - r.MeanC
			if !(above > -4 && above < 11) {
				t.Errorf("%g m, %g C, after %g s: %g C above conduction", c.thickness, c.startC, seconds, above)
			}
		}
		near(t, "above conduction at discharge", above, 5, 3)
	}
}

func TestResidence(t *testing.T) {
	baths, err := reference.Baths(0.2286, emissivity)
	if err != nil {
		t.Fatal(err)
	}
	target := steel.Enthalpy(1250)
	last := math.Inf(1)
	for _, startC := range []float64{20, 300, 500, 700, 900} {
		h := steel.Enthalpy(startC)
		s := reference.Residence(baths, h, target)
		got, _ := reference.Walk(baths, h, s)
		near(t, "enthalpy after the residence", got, target, 1)
		if !(s < last) {
			t.Errorf("a slab at %g C needs %g s, no less than a colder one", startC, s)
		}
		last = s
	}
	near(t, "hot enough", reference.Residence(baths, target, target), 0, 0)
	if s := reference.Residence(baths, 0, steel.Enthalpy(1345)); !math.IsInf(s, 1) {
		t.Errorf("1345 C in %g s, want +Inf", s)
	}
	if s := reference.Residence(baths, math.NaN(), target); !math.IsNaN(s) {
		t.Errorf("NaN gives %g", s)
	}
}

func TestFullSolverHistory(t *testing.T) {
	r, err := reheating.FullSolver(0.2286, 20, emissivity, reference.Stays(9000), 0, 300)
	if err != nil {
		t.Fatal(err)
	}
	if r[0].Seconds != 0 || r[0].MeanC > 20.01 || r[0].Scale != 0 {
		t.Errorf("first reading %+v", r[0])
	}
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if !(b.Seconds > a.Seconds && b.Seconds-a.Seconds <= 300.001 && b.MeanC > a.MeanC && b.Scale >= a.Scale && b.Zone >= a.Zone && b.GasC == reference[b.Zone].GasC) {
			t.Errorf("reading %d: %+v after %+v", i, b, a)
		}
	}
	near(t, "time of the last", r[len(r)-1].Seconds, 9000, 1e-6)
	if last := r[len(r)-1].Zone; last != 3 {
		t.Errorf("ends in zone %d", last)
	}
}

func TestFullSolverRefuses(t *testing.T) {
	nan := math.NaN()
	ok := []reheating.Stay{{1000, 100}}
	for name, err := range map[string]error{
		"no stay":   second(reheating.FullSolver(0.2, 20, 0.5, nil, 10, 60)),
		"thickness": second(reheating.FullSolver(nan, 20, 0.5, ok, 10, 60)),
		"start":     second(reheating.FullSolver(0.2, 1500, 0.5, ok, 10, 60)),
		"eps":       second(reheating.FullSolver(0.2, 20, 5, ok, 10, 60)),
		"every":     second(reheating.FullSolver(0.2, 20, 0.5, ok, 10, 0)),
		"cells":     second(reheating.FullSolver(0.2, 20, 0.5, ok, 1, 60)),
		"seconds":   second(reheating.FullSolver(0.2, 20, 0.5, []reheating.Stay{{1000, nan}}, 10, 60)),
		"gas":       second(reheating.FullSolver(0.2, 20, 0.5, []reheating.Stay{{1600, 10}}, 10, 60)),
	} {
		if err == nil {
			t.Errorf("bad %s passes", name)
		}
	}
	for _, p := range []reheating.Programme{nil, {{0.5, 900}}, {{1.5, 900}, {-0.5, 900}}, {{1, nan}}, {{nan, 900}}, {{1, 1600}}} {
		if _, err := p.Baths(0.2, 0.5); err == nil {
			t.Errorf("%v passes", p)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// 30 m furnace, slabs 1.25 m wide 0.05 m apart, 10 m by 228.6 mm, 3 h.
func TestWalkingBeam(t *testing.T) { // F21
	n := reheating.Places(30, 1.25, 0.05)
	if n != 23 {
		t.Errorf("%d places, want 23", n)
	}
	cycle := reheating.Cycle(3*3600, n)
	near(t, "cycle", cycle/60, 7.826, 0.01)
	near(t, "t/h", reheating.Throughput(7850*1.25*10*0.2286, cycle)*3.6, 171.97, 0.01)
	if reheating.Places(1, 1.25, 0.05) != 0 || reheating.Places(math.NaN(), 1, 1) != 0 || reheating.Places(math.Inf(1), 1, 1) != 0 {
		t.Error("places found where none are")
	}
	if !math.IsNaN(reheating.Cycle(100, 0)) || !math.IsNaN(reheating.Throughput(1, 0)) {
		t.Error("nonsense is not NaN")
	}
}
