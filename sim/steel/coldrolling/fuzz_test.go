package coldrolling

import (
	"errors"
	"math"
	"testing"
)

func bad(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return true
		}
	}
	return false
}

// FuzzSchedule: an error that says why, or finite numbers.
func FuzzSchedule(f *testing.F) {
	f.Add(2.5e-3, 0.7e-3, 1.2, 150e6, 234.0, 0.251, 0.06, 0.25, 100e6, uint8(0))
	f.Add(2e-2, 2e-5, 3.9, 9e9, 1e-3, 1.0, 0.3, 0.03, 1e9, uint8(1))
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, 0.0, 2.0, 0.0, 0.0, -1.0, uint8(9))
	f.Fuzz(func(t *testing.T, h0, h, w, y, b, n, mu, radius, tension float64, model uint8) {
		m := mill()
		m.Model = Model(model)
		for i := range m.Stands {
			m.Stands[i].Friction, m.Stands[i].RollRadius = mu, radius
			m.Tensions[i] = tension
		}
		r, err := m.Schedule(Strip{EntryThickness: h0, ExitThickness: h, Width: w, Law: Lenard(y, b, n)})
		if err != nil {
			var l *LimitError
			if errors.As(err, &l) && (l.Limit == "" || l.Suggest == "" || bad(l.Value, l.Allowed, l.Fits, l.FitsWidth)) || err.Error() == "" {
				t.Fatalf("unhelpful: %#v", err)
			}
			return
		}
		if bad(r.ExitSpeed, r.EntrySpeed, r.Power, r.Energy, r.Rate) {
			t.Fatalf("%+v", r)
		}
		for _, d := range r.Stands {
			if bad(d.Force, d.Torque, d.Power, d.Speed, d.Slip, d.Flattening, d.Warming, d.LooseForce, d.Use) || !(d.Exit < d.Entry) {
				t.Fatalf("%+v", d)
			}
		}
	})
}

// FuzzTemper: the same of a temper mill.
func FuzzTemper(f *testing.F) {
	f.Add(0.7e-3, 1.2, 3000.0, 0.01, 35.0, 15.0, 12e6, 0.5)
	f.Add(math.NaN(), -1.0, math.Inf(1), 0.5, 60.0, 0.0, 0.0, -1.0)
	f.Fuzz(func(t *testing.T, h, w, length, e, temp, speed, force, accel float64) {
		m := temperMill()
		m.MaxSpeed, m.MaxForce, m.Accel, m.Decel = speed, force, accel, accel
		r, err := m.Coil(TemperStrip{Thickness: h, Width: w, Length: length, Elongation: e, TempC: temp})
		if err == nil && (bad(r.Thickness, r.Length, r.Force, r.Top, r.Rolling, r.Time, r.Rate, r.Scrap) || e > MaxElongation || r.Force > force) {
			t.Fatalf("%+v", r)
		}
	})
}
