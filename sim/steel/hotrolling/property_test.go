package hotrolling_test

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/steel"
	hr "millrace/sim/steel/hotrolling"
)

var models = []hr.PressureModel{hr.MeanPressure, hr.Sims}

// Inside its range a pass gives finite, positive numbers; more draft at the
// same temperature and speed never needs less force or torque.
func TestMoreDraftMoreForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h1 := rapid.Float64Range(0.0025, 0.25).Draw(t, "h1")
		r1 := rapid.Float64Range(0.1, 0.45).Draw(t, "reduction")
		r2 := r1 + rapid.Float64Range(0.005, 0.05).Draw(t, "more")
		g := hr.Gap{Entry: h1, Exit: h1 * (1 - r1), Width: rapid.Float64Range(0.8, 1.8).Draw(t, "width"),
			RollRadius: rapid.Float64Range(0.33, 0.6).Draw(t, "radius"), RollSpeed: rapid.Float64Range(0.5, 20).Draw(t, "speed")}
		gr := grade("x", rapid.Float64Range(0.04, 0.4).Draw(t, "carbon"), 1)
		temp := rapid.Float64Range(800, 1250).Draw(t, "temp")
		for _, pm := range models {
			a, err := hr.RollPass(g, temp, gr, hr.Shida, pm)
			if err != nil {
				t.Fatal(err)
			}
			more := g
			more.Exit = h1 * (1 - r2)
			b, err := hr.RollPass(more, temp, gr, hr.Shida, pm)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range []float64{a.Force, a.Torque, a.Power, a.Stress, a.StrainRate, a.FlatRadius, a.Qp} {
				if !(v > 0) || math.IsInf(v, 0) {
					t.Fatalf("not finite and positive: %+v", a)
				}
			}
			if !a.Capped && !b.Capped && (b.Force < a.Force || b.Torque < a.Torque) {
				t.Fatalf("model %d: %+v then %+v", pm, a, b)
			}
			if a.FlatRadius < g.RollRadius || a.FlatRadius > hr.MaxFlattening*g.RollRadius {
				t.Fatalf("flattened radius %g", a.FlatRadius)
			}
		}
	})
}

// Force, flattened radius and flow stress agree with one another when the
// iteration ends.
func TestFlatteningConverges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h1 := rapid.Float64Range(0.002, 0.2).Draw(t, "h1")
		g := hr.Gap{Entry: h1, Exit: h1 * (1 - rapid.Float64Range(0.1, 0.5).Draw(t, "r")), Width: 1.2, RollRadius: 0.38, RollSpeed: rapid.Float64Range(1, 18).Draw(t, "speed")}
		l, err := hr.RollPass(g, rapid.Float64Range(800, 1200).Draw(t, "temp"), grade("x", 0.08, 1.3), hr.Shida, hr.MeanPressure)
		if err != nil {
			t.Fatal(err)
		}
		if want := hr.Flattened(g.RollRadius, l.Force/g.Width, g.Entry-g.Exit, hr.SteelRollFlattening); !l.Capped && math.Abs(l.FlatRadius/want-1) > 1e-4 {
			t.Fatalf("radius %g, its force asks %g", l.FlatRadius, want)
		}
	})
}

// Colder steel is never softer, except through the ferrite transition.
func TestColderNeverSofter(t *testing.T) {
	for _, c := range []float64{0.05, 0.1, 0.2, 0.4} {
		for _, m := range []hr.FlowModel{hr.Shida, hr.Misaka} {
			last := 0.0
			gr := grade("x", c, 1)
			for temp := 1250.0; temp >= 700; temp -= 2 {
				s := hr.MeanStress(m, gr, temp, 0.3, 20)
				dip := m == hr.Shida && temp < hr.ShidaTransitionC(c)
				if !dip && s < last || !(s > 0) {
					t.Fatalf("C %.2f, %g C: %g MPa after %g", c, temp, s/1e6, last/1e6)
				}
				last = s
			}
		}
	}
	// The dip is there: 850 C is softer than 900 C at 0.05 % C.
	if hr.MeanStress(hr.Shida, grade("x", 0.05, 1), 850, 0.3, 10) >= hr.MeanStress(hr.Shida, grade("x", 0.05, 1), 900, 0.3, 10) {
		t.Error("no ferrite dip")
	}
}

// Nor does a pass of colder steel need less force, on one side of the transition.
func TestColderNeedsMoreForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(0.003, 0.2).Draw(t, "h1")
		g := hr.Gap{Entry: h, Exit: h * (1 - rapid.Float64Range(0.1, 0.4).Draw(t, "reduction")), Width: 1.2, RollRadius: 0.4, RollSpeed: rapid.Float64Range(0.5, 15).Draw(t, "speed")}
		c := rapid.Float64Range(0.03, 0.6).Draw(t, "carbon")
		c = min(c, 0.49)
		temp := rapid.Float64Range(620, 1250).Draw(t, "temp")
		colder := temp - rapid.Float64Range(1, 60).Draw(t, "colder")
		if x := hr.ShidaTransitionC(c); colder < x && temp > x-160 {
			t.Skip("needs a temperature outside the transformation dip and its way back")
		}
		colder = max(colder, 600)
		for _, m := range models {
			a, err := hr.RollPass(g, temp, grade("x", c, 1), hr.Shida, m)
			b, err2 := hr.RollPass(g, colder, grade("x", c, 1), hr.Shida, m)
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			if b.Force < a.Force*(1-1e-4) && !a.Capped {
				t.Fatalf("%g C: %g N, %g C: %g N", temp, a.Force, colder, b.Force)
			}
		}
	})
}

// Every schedule found keeps the laws and the limits, whatever the slab.
func TestRoughKeepsItsLimits(t *testing.T) {
	m := rougher()
	rapid.Check(t, func(t *rapid.T) {
		s := hr.Slab{Width: rapid.Float64Range(0.9, 1.6).Draw(t, "width"), Thickness: rapid.Float64Range(0.18, 0.26).Draw(t, "thickness"),
			Length: rapid.Float64Range(6, 11).Draw(t, "length"), TempC: rapid.Float64Range(1000, 1280).Draw(t, "temp"),
			Grade: grade("x", rapid.Float64Range(0.04, 0.2).Draw(t, "carbon"), rapid.Float64Range(1, 1.4).Draw(t, "factor"))}
		exit := rapid.Float64Range(0.028, 0.06).Draw(t, "exit")
		r, err := hr.Rough(m, s, exit)
		if err != nil {
			var l *hr.LimitError
			if !errors.As(err, &l) || !(l.Value > l.Allowed) || l.Suggest == "" {
				t.Fatalf("unhelpful: %v", err)
			}
			return
		}
		again, _ := hr.Rough(m, s, exit)
		if !reflect.DeepEqual(r, again) {
			t.Fatal("not the same twice")
		}
		h, length, total := s.Thickness, s.Length, 0.0
		for i, p := range r.Passes {
			if p.Entry != h || !(p.Exit < h) {
				t.Fatalf("pass %d from %g to %g after %g", i+1, p.Entry, p.Exit, h)
			}
			length *= p.Entry / p.Exit
			h = p.Exit
			total += p.Time
			if math.Abs(p.Length*p.Exit-s.Length*s.Thickness) > 1e-9 {
				t.Fatal("metal lost")
			}
			if p.Force > 1.001*m.MaxForce || p.Power/m.Efficiency > 1.001*m.MaxPower || p.Speed > m.MaxSpeed || p.Entry-p.Exit > hr.MaxDraft(m.Friction, m.RollRadius) {
				t.Fatalf("pass %d: %+v", i+1, p)
			}
			if p.Speed <= m.BaseSpeed && p.Torque > 1.001*m.MaxTorque {
				t.Fatalf("pass %d: torque %+v", i+1, p)
			}
			if !(p.Use > 0 && p.Use <= 1.001) || p.Binds == "" {
				t.Fatalf("pass %d uses %g of %q", i+1, p.Use, p.Binds)
			}
		}
		if math.Abs(h-exit) > 1e-12 || len(r.Passes)%2 != 1 {
			t.Fatalf("%g after %d passes", h, len(r.Passes))
		}
		if math.Abs(total+float64(len(r.Passes)-1)*m.ReversalTime-r.Time) > 1e-9 {
			t.Fatal("times do not add up")
		}
		if !(r.HeadC > 700 && r.HeadC < s.TempC && r.TailC < s.TempC) {
			t.Fatalf("leaves at %g/%g C from %g C", r.HeadC, r.TailC, s.TempC)
		}
	})
}

func TestFinishKeepsItsLimits(t *testing.T) {
	tr := train()
	rapid.Check(t, func(t *rapid.T) {
		b := hr.Bar{Width: rapid.Float64Range(0.9, 1.6).Draw(t, "width"), Thickness: rapid.Float64Range(0.028, 0.045).Draw(t, "thickness"),
			Length: rapid.Float64Range(30, 90).Draw(t, "length"), HeadC: rapid.Float64Range(900, 1200).Draw(t, "head"), Wait: rapid.Float64Range(0, 120).Draw(t, "wait"),
			Grade: grade("x", rapid.Float64Range(0.04, 0.2).Draw(t, "carbon"), rapid.Float64Range(1, 1.3).Draw(t, "factor"))}
		b.TailC = b.HeadC + rapid.Float64Range(-20, 20).Draw(t, "tail")
		o := hr.Target{Thickness: rapid.Float64Range(0.0018, 0.012).Draw(t, "strip"), FinishTempMinC: 820, FinishTempMaxC: 900, CoilTempC: 600}
		r, err := hr.Finish(tr, b, o)
		var l *hr.LimitError
		if err != nil {
			if !errors.As(err, &l) || l.Suggest == "" || (l.Value > l.Allowed) == (l.Limit == hr.LimitTooCold || l.Limit == hr.LimitColdBar) {
				t.Fatalf("unhelpful: %#v", err)
			}
			if l.Limit != hr.LimitTooCold && l.Limit != hr.LimitColdBar {
				return
			}
		}
		again, _ := hr.Finish(tr, b, o)
		if !reflect.DeepEqual(r, again) {
			t.Fatal("not the same twice")
		}
		h := b.Thickness
		for i, s := range r.Stands {
			st := tr.Stands[i]
			if s.Entry != h || !(s.Exit < h) {
				t.Fatalf("stand %d: %g to %g after %g", i+1, s.Entry, s.Exit, h)
			}
			h = s.Exit
			if math.Abs(s.StripSpeed*s.Exit-r.TopSpeed*o.Thickness) > 1e-9 {
				t.Fatal("mass flow is not constant")
			}
			if s.Force > 1.001*st.MaxForce || s.Power > 1.001*st.MaxPower || s.RollSpeed > 1.001*st.MaxSpeed {
				t.Fatalf("stand %d: %+v", i+1, s)
			}
		}
		if h != o.Thickness {
			t.Fatalf("ends at %g", h)
		}
		if r.HeadC > o.FinishTempMaxC+0.5 || r.TopC > o.FinishTempMaxC+0.5 || r.TailC > o.FinishTempMaxC+0.5 {
			t.Fatalf("too hot: %g %g %g", r.HeadC, r.TopC, r.TailC)
		}
		if (err != nil) != (r.HeadShortC > 0 || r.TailShortC > 0 || min(r.HeadEntryC, r.TailEntryC) < tr.MinEntryC) {
			t.Fatalf("%v with %g and %g K short", err, r.HeadShortC, r.TailShortC)
		}
		if r.TopSpeed > 1.0001*tr.RunOut.MaxSpeed(o.Thickness, r.TopC, o.CoilTempC) {
			t.Fatal("faster than the run-out table cools")
		}
		if math.Abs(r.ThreadTime+r.ZoomTime+r.SteadyTime+r.SlowDownTime-r.RollTime) > 1e-9 || !(r.RollTime > 0) {
			t.Fatal("times do not add up")
		}
		if r.ThreadSpeed > tr.ThreadSpeedMax || r.TopSpeed < r.ThreadSpeed-1e-9 || r.MeanSpeed() > r.TopSpeed+1e-9 {
			t.Fatalf("speeds %g %g %g", r.ThreadSpeed, r.TopSpeed, r.MeanSpeed())
		}
	})
}

// The levers of the trade work: a cover warms the tail, a hotter bar leaves
// hotter where nothing controls it, a longer wait makes it colder.
func TestFinishLevers(t *testing.T) {
	p := products[4]
	b := hr.Bar{Width: p.width, Thickness: 0.034, Length: 67.6, HeadC: 1080, TailC: 1080, Wait: 20, Grade: p.grade}
	tr := train()
	tr.CoverFactor = 0
	open, err := hr.Finish(tr, b, p.target())
	if err != nil {
		t.Fatal(err)
	}
	tr.CoverFactor = 0.7
	covered, err := hr.Finish(tr, b, p.target())
	if err != nil {
		t.Fatal(err)
	}
	if covered.TailEntryC < open.TailEntryC+30 {
		t.Errorf("tail enters at %.0f C open and %.0f C covered", open.TailEntryC, covered.TailEntryC)
	}
	b.Wait = 120
	tr.CoverFactor = 0
	r, err := hr.Finish(tr, b, p.target())
	var l *hr.LimitError
	if !errors.As(err, &l) || l.Limit != hr.LimitColdBar || len(r.Stands) != 6 || !(r.TailEntryC < 900) {
		t.Fatalf("a bar of 1080 C after 120 s on an open table: %v, %+v", err, r)
	}
	tr.MinEntryC = 0
	b.Wait = 300
	r, err = hr.Finish(tr, b, p.target())
	if !errors.As(err, &l) || l.Limit != hr.LimitTooCold {
		t.Fatalf("a bar of 1080 C after 300 s on an open table: %v", err)
	}
	if r.TailC >= 820 || r.TailShortC <= 0 || len(r.Stands) != 6 {
		t.Errorf("result beside the error is not complete: %+v", r)
	}
	t.Log(err)
}

func TestRefusals(t *testing.T) {
	m, s := rougher(), products[0].slab(1240)
	m.MaxTorque /= 3
	_, err := hr.Rough(m, s, 0.02)
	var l *hr.LimitError
	if !errors.As(err, &l) || l.Limit != hr.LimitTorque || l.Value <= l.Allowed || l.Pass == 0 {
		t.Errorf("a third of the torque: %v", err)
	}
	t.Log(err)
	m = rougher()
	m.Friction = 0.1
	if _, err = hr.Rough(m, s, 0.034); !errors.As(err, &l) || l.Limit != hr.LimitBite {
		t.Errorf("smooth rolls: %v", err)
	}
	t.Log(err)
	tr := train()
	for i := range tr.Stands {
		tr.Stands[i].MaxForce /= 3
	}
	b := hr.Bar{Width: 1.5, Thickness: 0.034, Length: 60, HeadC: 1050, TailC: 1050, Grade: products[0].grade}
	o := products[4].target()
	if _, err = hr.Finish(tr, b, o); !errors.As(err, &l) || l.Limit != hr.LimitForce {
		t.Errorf("a third of the force: %v", err)
	}
	t.Log(err)

	nan := math.NaN()
	bad := []func() error{
		func() error { s := s; s.TempC = nan; _, err := hr.Rough(rougher(), s, 0.034); return err },
		func() error { s := s; s.Width = nan; _, err := hr.Rough(rougher(), s, 0.034); return err },
		func() error { s := s; s.Grade = steel.Grade{}; _, err := hr.Rough(rougher(), s, 0.034); return err },
		func() error { _, err := hr.Rough(rougher(), s, nan); return err },
		func() error { _, err := hr.Rough(rougher(), s, 0.3); return err },
		func() error { m := rougher(); m.MaxForce = nan; _, err := hr.Rough(m, s, 0.034); return err },
		func() error { m := rougher(); m.Thermal.Emissivity = nan; _, err := hr.Rough(m, s, 0.034); return err },
		func() error { b := b; b.HeadC = nan; _, err := hr.Finish(train(), b, o); return err },
		func() error { b := b; b.Wait = -1; _, err := hr.Finish(train(), b, o); return err },
		func() error { o := o; o.Thickness = nan; _, err := hr.Finish(train(), b, o); return err },
		func() error { o := o; o.FinishTempMaxC = nan; _, err := hr.Finish(train(), b, o); return err },
		func() error { tr := train(); tr.CoverFactor = nan; _, err := hr.Finish(tr, b, o); return err },
		func() error { tr := train(); tr.Stands = nil; _, err := hr.Finish(tr, b, o); return err },
		func() error {
			_, err := hr.RollPass(hr.Gap{Entry: 0.02, Exit: nan, Width: 1, RollRadius: 0.4, RollSpeed: 2}, 1000, products[0].grade, hr.Shida, hr.Sims)
			return err
		},
	}
	for i, f := range bad {
		if err := f(); err == nil || errors.As(err, &l) {
			t.Errorf("bad input %d: %v", i, err)
		}
	}
}
