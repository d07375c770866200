package annealing

import (
	"math"
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/cooling"
)

func TestRadialConductivity(t *testing.T) {
	for _, row := range table(t, "conductivity.csv") {
		w := Wrap{Strip: row[0] / 1e3, Gap: row[1] / 1e6}
		nearRel(t, "HN", radialK(t, w, HN()), row[2], 4e-3)
		nearRel(t, "hydrogen", radialK(t, w, Hydrogen()), row[3], 4e-3)
	}
	near(t, "0.8 mm, HN", radialK(t, strip(0.8), HN()), 2.04, 0.02)
	near(t, "0.8 mm, hydrogen", radialK(t, strip(0.8), Hydrogen()), 10.64, 0.02)
	// No gap at all would be steel.
	if k := radialK(t, Wrap{Strip: 0.01, Gap: 2e-7}, Atmosphere{Conductivity: 5}); math.Abs(k-40) > 0.1 {
		t.Errorf("solid steel conducts %g", k)
	}
	nan := math.NaN()
	for _, w := range []Wrap{{}, {Strip: nan, Gap: 1e-5}, {Strip: 1e-3, Gap: nan}, {Strip: 1e-3, Gap: 1e-5, SteelK: nan}, {Strip: 1e-3, Gap: 1e-5, TempC: nan}, {Strip: 1e-3, Gap: 1e-5, Emissivity: 2}} {
		if _, err := RadialConductivity(w, HN()); err == nil {
			t.Errorf("accepted %+v", w)
		}
	}
	if _, err := RadialConductivity(strip(1), Atmosphere{Conductivity: nan}); err == nil {
		t.Error("accepted a gas without conductivity")
	}
}

func heatTo(t *testing.T, c Coil, nr, nz int, toC float64) float64 {
	t.Helper()
	f, err := NewCoilField(c, 20, nr, nz)
	if err != nil {
		t.Fatal(err)
	}
	x, err := f.Heat(CommonRecipe(HN()), toC)
	if err != nil {
		t.Fatal(err)
	}
	return x / 3600
}

// Against a separate program. Heating differs from it by up to 3.5 %, cooling by
// less than 1 %; the third program below decides for this one.
func TestAgainstSeparateProgram(t *testing.T) {
	for _, row := range table(t, "coil.csv") {
		c := coil(row[0])
		for i, to := range []float64{600, 650, 680, 690} {
			nearRel(t, "heating", heatTo(t, c, gridRadial, gridAxial, to), row[1+i], 0.04)
		}
		if row[0] == 5 {
			nearRel(t, "heating to 680 C at 5 W/mK", heatTo(t, c, gridRadial, gridAxial, 680), 52.2, 0.03)
		}
		f, err := NewCoilField(c, 700, gridRadial, gridAxial)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, to := range []float64{160, 100, 60} {
			x, err := f.Cool(40, 40, to)
			if err != nil {
				t.Fatal(err)
			}
			sum += x / 3600
			nearRel(t, "cooling", sum, row[5+i], 0.01)
		}
	}
}

// A third program of the same problem, built otherwise: nodes on the surfaces,
// and the apparent specific heat stepped instead of enthalpy.
func TestAgainstNodes(t *testing.T) {
	const nr, nz, dt, film = 25, 13, 30.0, 40.0
	c := coil(5)
	r := CommonRecipe(HN())
	ri, ro := c.ID/2, c.OD/2
	dr, dz := (ro-ri)/(nr-1), c.Width/2/(nz-1)
	var temp, flow [nz][nr]float64
	var area [nr]float64
	for i := range nr {
		a, b := max(ri, ri+(float64(i)-0.5)*dr), min(ro, ri+(float64(i)+0.5)*dr)
		area[i] = (b*b - a*a) / 2
		for j := range nz {
			temp[j][i] = 20
		}
	}
	high := func(j int) float64 {
		if j == 0 || j == nz-1 {
			return dz / 2
		}
		return dz
	}
	age, next := 0.0, 0
	want := []float64{600, 650, 680, 690}
	for next < len(want) {
		gas := r.gasAt(age + dt/2)
		flow = [nz][nr]float64{}
		for j := range nz {
			for i := range nr - 1 {
				q := c.RadialK * (temp[j][i] - temp[j][i+1]) / dr * (ri + (float64(i)+0.5)*dr) * high(j)
				flow[j][i] -= q
				flow[j][i+1] += q
			}
			flow[j][0] += film * (gas - temp[j][0]) * ri * high(j)
			flow[j][nr-1] += film * (gas - temp[j][nr-1]) * ro * high(j)
		}
		coldest := math.Inf(1)
		for i := range nr {
			for j := range nz - 1 {
				q := steel.Conductivity((temp[j][i]+temp[j+1][i])/2) * (temp[j][i] - temp[j+1][i]) / dz * area[i]
				flow[j][i] -= q
				flow[j+1][i] += q
			}
			flow[nz-1][i] += film * (gas - temp[nz-1][i]) * area[i]
			for j := range nz {
				temp[j][i] += flow[j][i] * dt / (steel.Density * steel.SpecificHeat(temp[j][i]) * area[i] * high(j))
				coldest = min(coldest, temp[j][i])
			}
		}
		age += dt
		if coldest >= want[next] {
			nearRel(t, "two programs", heatTo(t, c, gridRadial, gridAxial, want[next]), age/3600, 0.008)
			next++
		}
	}
}

// The yard's coil under water is the same conduction: 100 W/m2K on all faces,
// where its surface no longer radiates.
func TestAgainstCoilYard(t *testing.T) {
	y, err := cooling.NewCoilField(cooling.Coil{Width: 1.2, OD: 1.7, ID: 0.508, RadialK: 5, AmbientC: 25, ForcedH: 100}, 700, 20, 12)
	if err != nil {
		t.Fatal(err)
	}
	age := 0.0
	for y.MaxC() > 100 {
		age += y.Step()
	}
	f, err := NewCoilField(coil(5), 700, 20, 12)
	if err != nil {
		t.Fatal(err)
	}
	x, err := f.Cool(25, 100, 100)
	if err != nil {
		t.Fatal(err)
	}
	nearRel(t, "time to 100 C", x, age, 0.005)
}

// Heat is what comes through the faces; a coil that conducts almost freely in a
// weak film is the textbook's lumped body: dh/dt = film area (gas - T)/mass.
func TestLumpedLimit(t *testing.T) {
	c := Coil{Width: 0.3, OD: 0.7, ID: 0.5, RadialK: 60}
	const film, gas = 2.0, 600.0
	f, err := NewCoilField(c, 20, 6, 4)
	if err != nil {
		t.Fatal(err)
	}
	area := math.Pi*c.Width*(c.OD+c.ID) + math.Pi/2*(c.OD*c.OD-c.ID*c.ID)
	// Integrate over equal steps of temperature, each taken at its middle.
	want := 0.0
	const n = 5000
	for i := range n {
		a := 20 + 480*float64(i)/n
		b := 20 + 480*float64(i+1)/n
		want += c.Mass() * (steel.Enthalpy(b) - steel.Enthalpy(a)) / (film * area * (gas - (a+b)/2))
	}
	got, dt := 0.0, f.StableStep(film)
	for f.MeanEnthalpy() < steel.Enthalpy(500) {
		f.Step(dt, gas, film)
		got += dt
	}
	nearRel(t, "lumped time", got, want, 0.01)
	cold, hot := f.Extremes()
	if hot-cold > 6 {
		t.Errorf("%g to %g C in a body that conducts freely", cold, hot)
	}
}

// Fine enough: the working grid against one twice as fine.
func TestGrid(t *testing.T) {
	for _, k := range []float64{1, 10, 25} {
		nearRel(t, "coarse and fine", heatTo(t, coil(k), gridRadial, gridAxial, 680), heatTo(t, coil(k), 2*gridRadial, 2*gridAxial, 680), 0.01)
	}
}

// The coldest spot is within 20 C of the gas after 40 to 72 h for all coils the
// trade anneals: published accounts say up to three days; common practice, no
// source, for the lower end.
func TestColdSpotInThreeDays(t *testing.T) {
	for _, k := range []float64{2, 5, 10} {
		if h := heatTo(t, coil(k), gridRadial, gridAxial, 680); h < 40 || h > 72 {
			t.Errorf("%g W/mK: %.1f h", k, h)
		}
	}
}
