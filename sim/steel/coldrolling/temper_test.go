package coldrolling

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func temperMill() TemperMill { return TemperMill{MaxForce: 12e6, MaxSpeed: 15, ChangeTime: 120} }

// 3033 m, 4 %, 15 m/s: mass flow.
func TestTemper(t *testing.T) {
	s := TemperStrip{Thickness: 0.7e-3, Width: 1.2, Length: 3033, Elongation: 0.04, TempC: 35}
	r, err := temperMill().Coil(s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "length", r.Length, 3154.3, 0.1)
	near(t, "rolling", r.Rolling, 210.3, 0.1)
	near(t, "time", r.Time, 330.3, 0.1)
	nearRel(t, "metal", r.Length*r.Thickness, s.Length*s.Thickness, 1e-12)
	near(t, "elongation", s.Thickness/r.Thickness-1, 0.04, 1e-12)
	nearRel(t, "force", r.Force, 4e6*1.2*2, 1e-9) // twice that of 1 %
	s.Elongation = 0.01
	if r, err = temperMill().Coil(s); err != nil {
		t.Fatal(err)
	}
	// Common practice, no source: 2 to 6 kN/mm.
	if f := r.Force / s.Width / 1e6; f < 2 || f > 6 {
		t.Errorf("%.1f kN/mm", f)
	}
	m := temperMill()
	m.Accel, m.Decel, m.EndScrap = 0.5, 0.5, 15
	slow, err := m.Coil(s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "starting and stopping", slow.Rolling-r.Rolling, 15/0.5, 1e-9)
	nearRel(t, "scrap", slow.Scrap, 30/slow.Length*7850*0.7e-3*1.2*3033, 1e-9)
}

func TestTemperRefuses(t *testing.T) {
	ok := TemperStrip{Thickness: 0.7e-3, Width: 1.2, Length: 3000, Elongation: 0.01, TempC: 35}
	var l *LimitError
	for limit, change := range map[string]func(*TemperStrip, *TemperMill){
		LimitElongation: func(s *TemperStrip, _ *TemperMill) { s.Elongation = 0.0401 },
		LimitHot:        func(s *TemperStrip, _ *TemperMill) { s.TempC = 60 },
		LimitForce:      func(_ *TemperStrip, m *TemperMill) { m.MaxForce = 4e6 },
	} {
		s, m := ok, temperMill()
		change(&s, &m)
		if _, err := m.Coil(s); !errors.As(err, &l) || l.Limit != limit || !(l.Value > l.Allowed) || l.Suggest == "" {
			t.Errorf("want %s: %v", limit, err)
		} else {
			t.Log(err)
		}
	}
	nan := math.NaN()
	for i, change := range []func(*TemperStrip, *TemperMill){
		func(s *TemperStrip, _ *TemperMill) { s.Elongation = 0 },
		func(s *TemperStrip, _ *TemperMill) { s.Elongation = nan },
		func(s *TemperStrip, _ *TemperMill) { s.Length = nan },
		func(s *TemperStrip, _ *TemperMill) { s.Thickness = nan },
		func(s *TemperStrip, _ *TemperMill) { s.TempC = nan },
		func(_ *TemperStrip, m *TemperMill) { m.MaxSpeed = nan },
		func(_ *TemperStrip, m *TemperMill) { m.MaxForce = 0 },
		func(_ *TemperStrip, m *TemperMill) { m.Accel = 1 },
		func(_ *TemperStrip, m *TemperMill) { m.ForcePerWidth = nan },
		func(_ *TemperStrip, m *TemperMill) { m.MaxEntryC = nan },
	} {
		s, m := ok, temperMill()
		change(&s, &m)
		if _, err := m.Coil(s); err == nil || errors.As(err, &l) {
			t.Errorf("bad input %d: %v", i, err)
		}
	}
	// More elongation, more force and more strip.
	rapid.Check(t, func(t *rapid.T) {
		m := temperMill()
		m.MaxForce = 1e9
		a, b := ok, ok
		a.Elongation = rapid.Float64Range(0.001, 0.03).Draw(t, "elongation")
		b.Elongation = a.Elongation + rapid.Float64Range(0.0001, 0.01).Draw(t, "more")
		x, err := m.Coil(a)
		if err != nil {
			t.Fatal(err)
		}
		y, err := m.Coil(b)
		if err != nil {
			t.Fatal(err)
		}
		if !(y.Force > x.Force && y.Length > x.Length && y.Time > x.Time && x.Time > 0) {
			t.Fatalf("%+v then %+v", x, y)
		}
	})
}
