package coldrolling

import (
	"errors"
	"math"
	"testing"
)

// Ordinary products on ordinary equipment (common practice, no source).
func TestProductsFit(t *testing.T) {
	for _, c := range []struct {
		name string
		s    Strip
		mass float64
	}{{"0.80", strip(2.5, 0.8, 1.25), 21.3e3}, {"0.70", strip(3.2, 0.7, 1.4), 23.9e3}, {"0.50", strip(2.2, 0.5, 1.0), 17.1e3}, {"0.70 light", strip(2.5, 0.7, 1.2), 20e3}} {
		m := mill()
		r, err := m.Schedule(c.s)
		if err != nil {
			t.Errorf("%s mm: %v", c.name, err)
			continue
		}
		ct, err := m.CoilTime(c.s.Length(c.mass, c.s.ExitThickness), r.ExitSpeed, 0)
		if err != nil {
			t.Fatal(err)
		}
		const change = 60.0 // coil out, coil in, s
		cycle := ct.Total() + change
		if v := r.ExitSpeed; v < 10 || v > 25 {
			t.Errorf("%s mm at %.1f m/s", c.name, v)
		}
		if e := r.Energy / 3600; e < 25 || e > 150 {
			t.Errorf("%s mm takes %.0f kWh/t", c.name, e)
		}
		t.Logf("%s mm: %.1f m/s (%s %d), coil %.0f + %.0f s, %.0f t/h, %.0f kWh/t", c.name, r.ExitSpeed, r.Limit, r.LimitStand, ct.Total(), change, c.mass/cycle*3.6, r.Energy/3600)
		for i, d := range r.Stands {
			t.Logf("  %d: %.3f mm, %.0f %%, k %.0f MPa, %.2f MN (loose %.2f), %.1f kN m, %.2f MW, %.1f m/s, R'/R %.2f, %s %.2f", i+1, d.Exit*1e3, 100*d.Reduction, d.Stress/1e6,
				d.Force/1e6, d.LooseForce/1e6, d.Torque/1e3, d.Power/1e6, d.Speed, d.Flattening, d.Binds, d.Use)
		}
	}
}

// 2.5 to 0.2 mm in five stands: an ordinary mill refuses and says which limit
// and what fits; a mill for the thinnest strip is closer or there.
func TestThinnest(t *testing.T) {
	_, err := mill().Schedule(strip(2.5, 0.2, 1.0))
	var l *LimitError
	if !errors.As(err, &l) || l.Limit != LimitFlattening || l.Stand == 0 || !(l.Fits > 0.2e-3 && l.Fits < 0.7e-3) {
		t.Fatalf("%+v", err)
	}
	t.Log(err)
	// What is said to fit does.
	s := strip(2.5, 0.2, 1.0)
	s.ExitThickness = l.Fits
	if _, err := mill().Schedule(s); err != nil {
		t.Errorf("%g does not fit: %v", l.Fits, err)
	}
	r, err := tinMill().Schedule(strip(2.5, 0.2, 1.0))
	t.Log(err)
	if err != nil {
		var k *LimitError
		if !errors.As(err, &k) || !(k.Fits < l.Fits) {
			t.Errorf("the other mill is no better: %v", err)
		}
		return
	}
	for i, d := range r.Stands {
		t.Logf("  %d: %.3f mm, %.0f %%, %.2f MN, R'/R %.2f", i+1, d.Exit*1e3, 100*d.Reduction, d.Force/1e6, d.Flattening)
	}
}

func TestRefusals(t *testing.T) {
	var l *LimitError
	weak := mill()
	for i := range weak.Stands {
		weak.Stands[i].MaxForce = 6e6
	}
	twisted := mill()
	for i := range twisted.Stands {
		twisted.Stands[i].MaxTorque = 40e3
	}
	tight := mill()
	tight.Tensions[2] = 600e6
	slippery := mill()
	slippery.Stands[0].Friction = 0.012
	strong := mill()
	for i := range strong.Stands {
		strong.Stands[i].MaxForce = 80e6
	}
	slow := mill()
	slow.ThreadSpeed, slow.MaxExit = 5, 4
	for _, c := range []struct {
		m     Mill
		s     Strip
		limit string
	}{
		{weak, strip(3.2, 0.7, 1.4), LimitForce}, {twisted, strip(3.2, 0.7, 1.4), LimitTorque}, {tight, strip(2.5, 0.8, 1.2), LimitTension},
		{slippery, strip(2.5, 0.8, 1.2), LimitSkid}, {slow, strip(2.5, 0.8, 1.2), LimitThread}, {mill(), strip(2.5, 2.2, 1.2), LimitLight},
		{strong, Strip{EntryThickness: 6e-3, ExitThickness: 0.35e-3, Width: 1}, LimitReduction},
	} {
		_, err := c.m.Schedule(c.s)
		if !errors.As(err, &l) || l.Limit != c.limit || l.Suggest == "" {
			t.Errorf("want %s: %v", c.limit, err)
			continue
		}
		t.Log(err)
		if l.FitsWidth > 0 {
			s := c.s
			s.Width = l.FitsWidth
			if _, err := c.m.Schedule(s); err != nil || s.Width >= c.s.Width {
				t.Errorf("%g m wide is said to fit and does not: %v", s.Width, err)
			}
		} else if c.limit == LimitForce || c.limit == LimitTorque {
			t.Errorf("no narrower strip was found for: %v", err)
		}
		if l.Fits > 0 {
			s := c.s
			s.ExitThickness = l.Fits
			if _, err := c.m.Schedule(s); err != nil {
				t.Errorf("%g m is said to fit and does not: %v", l.Fits, err)
			}
		}
	}
	nan := math.NaN()
	ok := strip(2.5, 0.8, 1.2)
	bad := []func() error{
		func() error { _, err := mill().Schedule(strip(nan, 0.8, 1.2)); return err },
		func() error { _, err := mill().Schedule(strip(2.5, nan, 1.2)); return err },
		func() error { _, err := mill().Schedule(strip(2.5, 2.5, 1.2)); return err },
		func() error { _, err := mill().Schedule(strip(2.5, 0.8, nan)); return err },
		func() error { s := ok; s.Law = Hollomon(nan, 0.2); _, err := mill().Schedule(s); return err },
		func() error { m := mill(); m.Stands = nil; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Tensions = m.Tensions[1:]; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Tensions[0] = nan; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Stands[1].Friction = nan; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Stands[1].MaxForce = nan; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Stands[1].MaxReduction = nan; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Efficiency = nan; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.MaxExit = nan; _, err := m.Schedule(ok); return err },
		func() error { m := mill(); m.Model = 7; _, err := m.Schedule(ok); return err },
	}
	for i, f := range bad {
		if err := f(); err == nil || errors.As(err, &l) {
			t.Errorf("bad input %d: %v", i, err)
		}
	}
}

// Strip that loses its tension with the gap held needs more force than the stand
// has: the schedule, fine as long as it pulls, says so beforehand.
func TestLooseStripOverloads(t *testing.T) {
	m := mill()
	s := strip(2.5, 0.7, 1.2)
	r, err := m.Schedule(s)
	if err != nil {
		t.Fatal(err)
	}
	// A mill just strong enough for the schedule under tension.
	worst := 0
	for i := range r.Stands {
		if r.Stands[i].LooseForce/r.Stands[i].Force > r.Stands[worst].LooseForce/r.Stands[worst].Force {
			worst = i
		}
	}
	for i := range m.Stands {
		m.Stands[i].MaxForce = 1.05 * r.Stands[i].Force
	}
	tight, err := m.Schedule(s)
	if err != nil {
		t.Fatal(err)
	}
	over := 0
	for i, d := range tight.Stands {
		if d.Force > 1.001*m.Stands[i].MaxForce {
			t.Errorf("stand %d is overloaded with its tension: %.2f MN", i+1, d.Force/1e6)
		}
		if d.Overload != (d.LooseForce > m.Stands[i].MaxForce) {
			t.Errorf("stand %d: %+v", i+1, d)
		}
		if d.Overload {
			over++
		}
	}
	// 100 MPa of back tension are worth 19 % of force, 150 MPa on both sides 44 %
	// (Bland and Ford): all stands between others are overloaded.
	if !tight.Stands[worst].Overload || over < 3 {
		t.Errorf("%d stands overloaded by loose strip: %+v", over, tight.Stands)
	}
}

func BenchmarkSchedule(b *testing.B) {
	for _, m := range []struct {
		name  string
		model Model
	}{{"BlandFord", BlandFord}, {"Hill", Hill}} {
		b.Run(m.name, func(b *testing.B) {
			x := mill()
			x.Model = m.model
			b.ReportAllocs()
			for b.Loop() {
				if _, err := x.Schedule(strip(2.5, 0.7, 1.2)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSolve(b *testing.B) {
	p := Pass{Entry: 1.3e-3, Exit: .98e-3, Radius: .25, Friction: .05, Stress: 667e6, Back: 150e6, Front: 170e6}
	for _, m := range []struct {
		name  string
		model Model
	}{{"BlandFord", BlandFord}, {"Hill", Hill}} {
		b.Run(m.name, func(b *testing.B) {
			for b.Loop() {
				p.Solve(m.model)
			}
		})
	}
}
