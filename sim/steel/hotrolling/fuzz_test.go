package hotrolling_test

import (
	"errors"
	"math"
	"testing"

	"millrace/sim/steel"
	hr "millrace/sim/steel/hotrolling"
)

func bad(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return true
		}
	}
	return false
}

// FuzzRollPass: an error, or finite numbers.
func FuzzRollPass(f *testing.F) {
	f.Add(0.03, 0.017, 1.25, 0.4, 1.5, 1000.0, 0.06, 1.0, uint8(1))
	f.Add(1e300, 1e-300, 1e300, 1e-300, 1e300, 600.0, 0.49, 3.0, uint8(0))
	f.Add(math.NaN(), 0.0, -1.0, math.Inf(1), 0.0, 2000.0, 9.0, 0.0, uint8(9))
	f.Fuzz(func(t *testing.T, h1, h2, w, r, v, temp, carbon, factor float64, m uint8) {
		g := hr.Gap{Entry: h1, Exit: h2, Width: w, RollRadius: r, RollSpeed: v}
		l, err := hr.RollPass(g, temp, steel.Grade{Name: "x", Comp: steel.Composition{C: carbon}, FlowFactor: factor}, hr.FlowModel(m&1), hr.PressureModel(m>>1&1))
		if err == nil && bad(l.Force, l.Torque, l.Power, l.Stress, l.Strain, l.StrainRate, l.Contact, l.FlatRadius, l.Qp) {
			t.Fatalf("%+v: %+v", g, l)
		}
	})
}

// FuzzMill: from slab to strip, an error that says why, or finite numbers.
func FuzzMill(f *testing.F) {
	f.Add(1.25, 0.23, 10.0, 1235.0, 0.08, 1.0, 0.034, 0.0025, 30.0, 600.0)
	f.Add(1e-9, 1e-3, 1e9, 700.0, 0.4, 3.0, 1e-9, 1e-12, 1e9, 20.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 5.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0)
	f.Fuzz(func(t *testing.T, w, h, length, temp, carbon, factor, bar, strip, wait, coil float64) {
		g := steel.Grade{Name: "x", Comp: steel.Composition{C: carbon}, FlowFactor: factor}
		why := func(err error) *hr.LimitError {
			var l *hr.LimitError
			if errors.As(err, &l) && (l.Limit == "" || l.Suggest == "" || bad(l.Value, l.Allowed, l.Nearest.Thickness, l.Nearest.Width, l.Nearest.TempC)) || err.Error() == "" {
				t.Fatalf("unhelpful: %#v", err)
			}
			return l
		}
		r, err := hr.Rough(rougher(), hr.Slab{Width: w, Thickness: h, Length: length, TempC: temp, Grade: g}, bar)
		b := hr.Bar{Width: w, Thickness: bar, Length: length, HeadC: temp, TailC: temp, Grade: g}
		if err != nil {
			why(err)
		} else {
			if bad(r.Time, r.Length, r.HeadC, r.TailC, r.MeanC, r.MidC, r.Energy, r.Use, r.MidHeat.Gain()) {
				t.Fatalf("%+v", r)
			}
			b = r.Bar(g)
		}
		b.Wait = wait
		x, err := hr.Finish(train(), b, hr.Target{Thickness: strip, FinishTempMinC: 820, FinishTempMaxC: 900, CoilTempC: coil})
		if err != nil {
			if l := why(err); l == nil || l.Limit != hr.LimitTooCold && l.Limit != hr.LimitColdBar {
				return
			}
		}
		if bad(x.StripLength, x.RollTime, x.ThreadSpeed, x.TopSpeed, x.TailSpeed, x.HeadC, x.TopC, x.TailC, x.Energy, x.HeadHeat.Gain()) {
			t.Fatalf("%+v", x)
		}
	})
}
