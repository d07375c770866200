package hotrolling_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/steel"
	hr "millrace/sim/steel/hotrolling"
)

// The heat account closes, and the drives' work is the account's within what
// [hr.Heat] states: the torque gives 0 to 25 % more than pressure on strain.
func TestEnergyBalance(t *testing.T) {
	m, tr := rougher(), train()
	lo, hi := math.Inf(1), 0.0
	rapid.Check(t, func(t *rapid.T) {
		model := hr.PressureModel(rapid.IntRange(0, 1).Draw(t, "model"))
		m.Pressure, tr.Pressure = model, model
		s := hr.Slab{Width: rapid.Float64Range(0.9, 1.5).Draw(t, "width"), Thickness: rapid.Float64Range(0.18, 0.26).Draw(t, "thickness"),
			Length: rapid.Float64Range(6, 11).Draw(t, "length"), TempC: rapid.Float64Range(1180, 1300).Draw(t, "temp"),
			Grade: grade("x", rapid.Float64Range(0.04, 0.2).Draw(t, "carbon"), rapid.Float64Range(1, 1.2).Draw(t, "factor"))}
		r, err := hr.Rough(m, s, rapid.Float64Range(0.030, 0.045).Draw(t, "exit"))
		if err != nil {
			t.Skip("needs a bar that can be rolled: this draw is refused")
		}
		if d := steel.Enthalpy(r.MidC) - steel.Enthalpy(s.TempC) - r.MidHeat.Gain(); math.Abs(d) > 0.3 { // below 900 C every step reads the table of temperature over enthalpy, each off by up to 0.04 (20,000 draws: 0.06 in all)
			t.Fatalf("rougher: %g J/kg are missing of %+v", d, r.MidHeat)
		}
		h := r.MidHeat
		if !(h.Work > 0 && h.Radiated > 0 && h.Chill > 0 && h.Water > 0) {
			t.Fatalf("%+v", h)
		}
		mass := steel.Density * s.Width * s.Thickness * s.Length
		x := r.Energy * m.Efficiency / mass / h.Work
		lo, hi = min(lo, x), max(hi, x)
		if x < 0.95 || x > 1.25 {
			t.Fatalf("rougher: drives give %.3f of the work in the account", x)
		}
		b := r.Bar(s.Grade)
		b.Wait = 30
		f, err := hr.Finish(tr, b, hr.Target{Thickness: rapid.Float64Range(0.0022, 0.012).Draw(t, "strip"), FinishTempMinC: 820, FinishTempMaxC: 900, CoilTempC: 600})
		if err != nil {
			t.Skip("needs a bar that can be rolled: this draw is refused")
		}
		if d := steel.Enthalpy(f.HeadC) - steel.Enthalpy(f.HeadEntryC) - f.HeadHeat.Gain(); math.Abs(d) > 0.3 { // as above
			t.Fatalf("train: %g J/kg are missing of %+v", d, f.HeadHeat)
		}
		if h := f.HeadHeat; !(h.Work > 0 && h.Radiated > 0 && h.Chill > 0 && h.Water > 0) {
			t.Fatalf("%+v", h)
		}
		x = f.Energy * tr.Efficiency / mass / f.HeadHeat.Work
		lo, hi = min(lo, x), max(hi, x)
		if x < 0.95 || x > 1.25 {
			t.Fatalf("train: drives give %.3f of the work in the account", x)
		}
	})
	t.Logf("work of the torque over that of the account: %.3f to %.3f", lo, hi)
}
