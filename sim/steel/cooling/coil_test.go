package cooling

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/steel"
)

func TestCoilGeometry(t *testing.T) {
	near(t, "diameter", OuterDiameter(815.29, 2.5e-3, 0.762, 1), 1.7821, 1e-4)
	near(t, "loose", OuterDiameter(815.29, 2.5e-3, 0.762, 0.97), 1.804, 1e-3)
	near(t, "length", StripLength(20000, 1.25, 2.5e-3), 815.29, 0.01)
	near(t, "mass", CoilMass(OuterDiameter(815.29, 2.5e-3, 0.762, 1), 0.762, 1.25, 1), 20000, 0.5)
	near(t, "pounds per inch of width", 20000/1.25/17.857967, 896, 0.5)
}

func coil(width, od, k, forced float64) Coil {
	return Coil{Width: width, OD: od, ID: 0.762, RadialK: k, AmbientC: 25, ForcedH: forced}
}

var downTo = [4]float64{150, 100, 70, 50}

func hours(t testing.TB, c Coil, nr, nz int) (h [4]float64) {
	t.Helper()
	f, err := NewCoilField(c, 600, nr, nz)
	if err != nil {
		t.Fatal(err)
	}
	age := 0.0
	for i := range downTo {
		for f.MaxC() > downTo[i] {
			age += f.Step()
		}
		h[i] = age / 3600
	}
	return h
}

// Hours from 600 C until the hottest place is at 150, 100, 70 and 50 C in air
// of 25 C, against a separate axisymmetric program and its lumped form.
func TestCoilCooling(t *testing.T) {
	for _, c := range []struct {
		coil         Coil
		field, lumps [4]float64
	}{
		{coil(1.00, 1.5, 6, 0), [4]float64{19.8, 27.7, 36.0, 45.9}, [4]float64{14.0, 20.9, 28.3, 37.2}},
		{coil(1.25, 1.782, 3, 0), [4]float64{33.3, 45.5, 58.1, 72.8}, [4]float64{18.3, 27.4, 37.1, 48.7}},
		{coil(1.25, 1.782, 6, 0), [4]float64{28.3, 39.2, 50.6, 64.0}, [4]float64{18.3, 27.4, 37.1, 48.7}},
		{coil(1.25, 1.782, 12, 0), [4]float64{24.9, 35.0, 45.7, 58.3}, [4]float64{18.3, 27.4, 37.1, 48.7}},
		{coil(1.50, 2.0, 6, 0), [4]float64{36.2, 49.7, 63.7, 80.2}, [4]float64{21.9, 32.8, 44.4, 58.3}},
	} {
		nr, nz := 24, 14
		if testing.Short() {
			nr, nz = 12, 8
		}
		fine := hours(t, c.coil, nr, nz)
		curve, err := NewCoilCurve(c.coil, 600)
		if err != nil {
			t.Fatal(err)
		}
		for i, to := range downTo {
			near(t, "field", fine[i]/c.field[i], 1, 0.03)
			l, err := LumpedTime(c.coil, 600, to)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "lumped", l/3600/c.lumps[i], 1, 0.005)
			near(t, "curve against the fine field", curve.TimeTo(to)/3600/fine[i], 1, 0.02)
		}
	}
}

// "Analysis of heat transfer in hot rolled coils for optimum condition of
// forced cooling" (abstract) gives 32-53 h in air and 6-13 h under spray water
// for various coils. Ours are of 10 and 20 t in air, 20 and 32 t under water
// (the abstract gives no sizes).
func TestCoilPublishedBand(t *testing.T) {
	for _, c := range []Coil{coil(1.0, 1.5, 6, 0), coil(1.25, 1.782, 6, 0)} {
		if h := hours(t, c, 10, 6); h[2] < 32 || h[2] > 53 {
			t.Errorf("%.1f t in air: %.1f h to 70 C", c.Mass()/1e3, h[2])
		}
	}
	for _, c := range []Coil{coil(1.25, 1.782, 6, 300), coil(1.5, 2, 6, 300)} {
		if h := hours(t, c, 10, 6); h[2] < 6 || h[2] > 13 {
			t.Errorf("%.1f t under water: %.1f h to 70 C", c.Mass()/1e3, h[2])
		}
	}
}

// A second program of the same problem, built otherwise: nodes on the surfaces
// and the apparent specific heat instead of enthalpy, water on all faces.
func TestCoilFieldAgainstNodes(t *testing.T) {
	c := coil(1.25, 1.782, 6, 300)
	const nr, nz, dt = 31, 15, 20.0
	ri, ro := c.ID/2, c.OD/2
	dr, dz := (ro-ri)/(nr-1), c.Width/2/(nz-1)
	var temp, flow [nz][nr]float64
	var area [nr]float64
	for i := range nr {
		a, b := max(ri, ri+(float64(i)-0.5)*dr), min(ro, ri+(float64(i)+0.5)*dr)
		area[i] = (b*b - a*a) / 2
		for j := range nz {
			temp[j][i] = 600
		}
	}
	high := func(j int) float64 {
		if j == 0 || j == nz-1 {
			return dz / 2
		}
		return dz
	}
	want := hours(t, c, 24, 14)
	age, next := 0.0, 0
	for next < len(downTo) {
		flow = [nz][nr]float64{}
		hottest := 0.0
		for j := range nz {
			for i := range nr - 1 {
				q := c.RadialK * (temp[j][i] - temp[j][i+1]) / dr * (ri + (float64(i)+0.5)*dr) * high(j)
				flow[j][i] -= q
				flow[j][i+1] += q
			}
			flow[j][0] -= c.ForcedH * (temp[j][0] - c.AmbientC) * ri * high(j)
			flow[j][nr-1] -= c.ForcedH * (temp[j][nr-1] - c.AmbientC) * ro * high(j)
		}
		for i := range nr {
			for j := range nz - 1 {
				q := steel.Conductivity((temp[j][i]+temp[j+1][i])/2) * (temp[j][i] - temp[j+1][i]) / dz * area[i]
				flow[j][i] -= q
				flow[j+1][i] += q
			}
			flow[nz-1][i] -= c.ForcedH * (temp[nz-1][i] - c.AmbientC) * area[i]
			for j := range nz {
				temp[j][i] += flow[j][i] * dt / (steel.Density * steel.SpecificHeat(temp[j][i]) * area[i] * high(j))
				hottest = max(hottest, temp[j][i])
			}
		}
		age += dt
		for next < len(downTo) && hottest <= downTo[next] {
			near(t, "two programs", want[next]/(age/3600), 1, 0.01)
			next++
		}
	}
}

func TestCoilCurve(t *testing.T) {
	still, err := NewCoilCurve(coil(1.25, 1.782, 6, 0), 620)
	if err != nil {
		t.Fatal(err)
	}
	if still.Temp(0) != 620 || still.Temp(-5) != 620 || still.TimeTo(620) != 0 || still.TimeTo(700) != 0 {
		t.Error("a new coil is not at its coiling temperature")
	}
	last := 620.0
	for age := 0.0; age < 2e6; age += 1801 {
		c := still.Temp(age)
		if c > last+1e-9 || c < 25 {
			t.Fatalf("%g C after %g C at %g s", c, last, age)
		}
		last = c
		if c < 600 && c > 25.5 {
			near(t, "round trip", still.Temp(still.TimeTo(c)), c, 1e-6)
		}
	}
	if !math.IsInf(still.TimeTo(25), 1) {
		t.Error("the coil reached ambient")
	}
	// Fans help, water helps more, neither as much as their coefficients say.
	fans, err := NewCoilCurve(coil(1.25, 1.782, 6, 30), 620)
	if err != nil {
		t.Fatal(err)
	}
	water, err := NewCoilCurve(coil(1.25, 1.782, 6, 300), 620)
	if err != nil {
		t.Fatal(err)
	}
	if a, b, c := still.TimeTo(55), fans.TimeTo(55), water.TimeTo(55); !(c < b && b < a && c > a/10) {
		t.Errorf("to 55 C: still %g, fans %g, water %g s", a, b, c)
	}
	nan := math.NaN()
	for _, c := range []Coil{{}, coil(nan, 1.8, 6, 0), coil(1.2, nan, 6, 0), coil(1.2, 1.8, nan, 0), coil(1.2, 1.8, 6, nan), coil(1.2, 0.7, 6, 0)} {
		if _, err := NewCoilCurve(c, 600); err == nil {
			t.Errorf("accepted %+v", c)
		}
	}
	for _, start := range []float64{nan, 20, 1000, 26} {
		if _, err := NewCoilCurve(coil(1.2, 1.8, 6, 0), start); err == nil {
			t.Errorf("accepted a start at %g C", start)
		}
	}
}

// The heat a coil loses is the heat that leaves its faces: after a very long
// time it holds what steel at ambient holds, and never gains on the way.
func TestCoilFieldLosesHeatOnly(t *testing.T) {
	f, err := NewCoilField(coil(1.25, 1.782, 6, 100), 600, 8, 5)
	if err != nil {
		t.Fatal(err)
	}
	last := f.MeanEnthalpy()
	near(t, "start", last, steel.Enthalpy(600), 1e-6)
	for f.MaxC() > 25.01 {
		f.Step()
		if h := f.MeanEnthalpy(); h >= last {
			t.Fatalf("heat went from %g to %g J/kg", last, h)
		} else {
			last = h
		}
	}
	near(t, "end", last, steel.Enthalpy(25), 5)
}

func BenchmarkNewCoilCurve(b *testing.B) {
	for b.Loop() {
		if _, err := NewCoilCurve(coil(1.25, 1.782, 6, 0), 620); err != nil {
			b.Fatal(err)
		}
	}
}

// Heat that left the faces is heat the coil no longer has, to rounding.
func TestCoilFieldConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Coil{Width: rapid.Float64Range(0.6, 2).Draw(t, "width"), OD: rapid.Float64Range(1.1, 2.2).Draw(t, "od"), ID: 0.762, RadialK: rapid.Float64Range(1, 30).Draw(t, "k"),
			AmbientC: rapid.Float64Range(-10, 40).Draw(t, "ambient"), ForcedH: rapid.SampledFrom([]float64{0, 40, 300}).Draw(t, "forced")}
		start := rapid.Float64Range(100, 750).Draw(t, "start")
		f, err := NewCoilField(c, start, 8, 5)
		if err != nil {
			t.Fatal(err)
		}
		before, last := f.MeanEnthalpy(), f.MaxC()
		for range rapid.IntRange(1, 300).Draw(t, "steps") {
			f.Step()
			if now := f.MaxC(); now > last+1e-3 || now < c.AmbientC {
				t.Fatalf("%g C after %g C", now, last)
			} else {
				last = now
			}
		}
		fallen := (before - f.MeanEnthalpy()) * c.Mass()
		if d := fallen - f.HeatLost(); !(math.Abs(d) <= 1e-9*before*c.Mass()) {
			t.Fatalf("fallen by %g J, lost %g J", fallen, f.HeatLost())
		}
	})
}

func TestCoilNonsenseIsNaN(t *testing.T) {
	nan := math.NaN()
	c, err := NewCoilCurve(coil(1.25, 1.782, 6, 0), 620)
	if err != nil {
		t.Fatal(err)
	}
	r := table(t, 10, 5, 1500)
	for i, v := range []float64{c.Temp(nan), c.TimeTo(nan), OuterDiameter(-1, 1e-3, 0.7, 1), OuterDiameter(1, 1e-3, 0.7, 0), OuterDiameter(nan, 1e-3, 0.7, 1), StripLength(1, 0, 1), StripLength(1, nan, 1), CoilMass(0.5, 0.7, 1, 1), CoilMass(1, 0.7, nan, 1),
		r.CoolingNumber(nan, 600), r.CoolingNumber(900, nan), r.WetLength(nan, 10, 900, 600), r.CoilingTemp(0, 10, 900, 3), r.CoilingTemp(1e-3, nan, 900, 3), r.CoilingTemp(1e-3, 10, nan, 3), r.MaxSpeed(0, 900, 600), r.MaxSpeed(nan, 900, 600), r.MaxSpeed(1e-3, nan, 600)} {
		if !math.IsNaN(v) {
			t.Errorf("%d: %g, want NaN", i, v)
		}
	}
	if _, err := r.BanksFor(1e-3, 10, nan, 600); err == nil {
		t.Error("strip at no temperature passes")
	}
}
