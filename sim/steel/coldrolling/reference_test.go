package coldrolling

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Lenard, Primer on Flat Rolling; Kalpakjian and Schmid, and Groover, tables of
// strength coefficients; all from memory.
func TestFlowStress(t *testing.T) {
	strains := []float64{.1, .3, .5, 1, 1.5}
	for _, c := range []struct {
		name string
		law  Law
		want []float64
	}{
		{"Lenard", LowCarbon(), []float64{334.4, 437.6, 496.7, 590.5, 653.5}},
		{"Kalpakjian", Hollomon(530e6, .26), []float64{291.3, 387.5, 442.6, 530.0, 588.9}},
		{"Groover", Hollomon(500e6, .25), []float64{281.2, 370.0, 420.4, 500.0, 553.3}},
	} {
		for i, e := range strains {
			near(t, c.name, c.law.Stress(e)/1e6, c.want[i], 0.1)
		}
		// The closed mean against a sum.
		const n = 20000
		sum := 0.0
		for i := range n {
			sum += c.law.Stress(0.1 + 0.4*(float64(i)+0.5)/n)
		}
		nearRel(t, c.name+" mean", c.law.MeanStress(0.1, 0.5), sum/n, 1e-7)
		near(t, c.name+" doubled", c.law.Times(2).Stress(0.3)/1e6, 2*c.want[1], 0.2)
	}
	near(t, "hot band", LowCarbon().Stress(0)/1e6, 150, 1e-6)
	near(t, "no pass", LowCarbon().MeanStress(0.3, 0.3), LowCarbon().Stress(0.3), 1e-3)
	// 590 MPa, 1.80 to 1.30 mm: plain arithmetic with 480 J/kgK.
	near(t, "warming", WorkHeat(590e6, 1.8, 1.3), 51, 1)
}

// Bland and Ford 1948 and Hill 1950, from memory, by a separate program.
func TestRollGap(t *testing.T) {
	for _, c := range []struct{ h1, h2, r, mu, k, rigid, hill, flat, ratio, hillFlat float64 }{
		{2.5, 1.8, .25, .06, 550, 8.069, -1.3, 9.502, 1.300, -.9},
		{1.3, .95, .25, .04, 700, 7.132, -1.5, 9.541, 1.602, -.9},
		{.8, .6, .25, .03, 780, 5.953, -1.6, 9.115, 2.006, -.7},
		{6, 4.8, .2, .10, 750, 12.710, -1.0, 14.634, 1.269, -.9},
	} {
		p := Pass{Entry: c.h1 / 1e3, Exit: c.h2 / 1e3, Radius: c.r, Friction: c.mu, Stress: c.k * 1e6}
		g, l := p.BlandFord(p.Radius), p.Solve(BlandFord)
		nearRel(t, "rigid", g.Force/1e6, c.rigid, 1e-3)
		near(t, "Hill, rigid, %", 100*(p.Hill(p.Radius).Force/g.Force-1), c.hill, 0.1)
		nearRel(t, "flattened", l.Force/1e6, c.flat, 2e-3)
		near(t, "flattening", l.FlatRadius/p.Radius, c.ratio, 1e-3)
		near(t, "Hill, flattened, %", 100*(p.Solve(Hill).Force/l.Force-1), c.hillFlat, 0.1)
		// Force and radius agree, and the pressures meet at the neutral point.
		nearRel(t, "agreement", l.FlatRadius, Flattened(p.Radius, l.Force, p.Entry-p.Exit), 1e-5)
	}
	p := Pass{Entry: 2.5e-3, Exit: 1.8e-3, Radius: .25, Friction: .06, Stress: 550e6}
	g := p.BlandFord(p.Radius)
	near(t, "neutral angle over bite", g.Neutral/g.Bite, .263, 5e-4)
	nearRel(t, "torque of a roll", g.Torque/1e3, 55.8, 1e-3)
	near(t, "lever arm", g.Torque/(g.Force*g.Bite*p.Radius), .523, 5e-4)
	nearRel(t, "Hitchcock's constant", SteelRollFlattening, 2.2069e-11, 1e-4)

	// Thin strip beyond the cap: the iteration without it ends at 4.86 radii.
	thin := Pass{Entry: .3e-3, Exit: .21e-3, Radius: .25, Friction: .03, Stress: 800e6}
	nearRel(t, "thin, rigid", thin.BlandFord(.25).Force/1e6, 4.690, 1e-3)
	if l := thin.Solve(BlandFord); !l.Capped || l.FlatRadius > MaxFlattening*.25 {
		t.Errorf("thin strip is not flagged: %+v", l)
	}
	near(t, "thin, uncapped", uncapped(&thin, BlandFord), 4.86, 0.01)
	nearRel(t, "thin, flattened", thin.BlandFord(4.86*.25).Force/1e6, 15.76, 2e-3)
	near(t, "thin, Hill's factor", thin.HillFactor(.25*4.86), 1.75, 0.05)
}

// Tension of 100 MPa takes 16 % off from behind and 7 % from in front; its loss
// gives them back.
func TestTension(t *testing.T) {
	p := Pass{Entry: 2.5e-3, Exit: 1.8e-3, Radius: .25, Friction: .06, Stress: 550e6}
	none := p.Solve(BlandFord).Force
	for _, c := range []struct{ back, front, want float64 }{{100, 0, .8395}, {0, 100, .9253}, {150, 150, .6946}} {
		q := p
		q.Back, q.Front = c.back*1e6, c.front*1e6
		near(t, "tension", q.Solve(BlandFord).Force/none, c.want, 1e-3)
		near(t, "loss", q.TensionLoss(BlandFord), 1/c.want, 2e-3)
		nearRel(t, "Hill's effective stress", q.Solve(Hill).Force/p.Solve(Hill).Force, c.want, 0.03)
	}
	p.Back, p.Front = 100e6, 100e6
	nearRel(t, "both, rigid", p.BlandFord(.25).Force/1e6, 6.602, 2e-3)
	nearRel(t, "both, flattened", p.Solve(BlandFord).Force/1e6, 7.539, 2e-3)
}

func TestReferenceSchedule(t *testing.T) {
	m := mill()
	var m20 = 20.0
	for i, v := range table(t, "schedule.csv") {
		h1, h2, w := v[0]/1e3, v[1]/1e3, 1.2
		p := Pass{Entry: h1, Exit: h2, Radius: .25, Friction: v[2], Back: v[3] * 1e6, Front: v[4] * 1e6, Stress: LowCarbon().PassStress(2.5e-3, h1, h2)}
		l := p.Solve(BlandFord)
		speed := m20 * 0.7e-3 / h2
		nearRel(t, "k", p.Stress/1e6, v[5], 2e-3)
		nearRel(t, "force", l.Force*w/1e6, v[6], 2e-3)
		nearRel(t, "Hill", p.Solve(Hill).Force*w/1e6, v[7], 2e-3)
		nearRel(t, "flattening", l.FlatRadius/.25, v[8], 2e-3)
		nearRel(t, "torque", 2*l.Torque*w/1e3, v[9], 2e-3)
		near(t, "slip", l.Slip, v[10], 1e-3)
		nearRel(t, "speed", speed, v[11], 2e-3)
		nearRel(t, "power", work(&p, &l)*w*h2*speed/1e6, v[12], 5e-3)
		if i == 4 {
			// 5 MW at the last stand.
			near(t, "speed at 5 MW", m20*5e6/(work(&p, &l)*w*h2*speed), 24.4, 0.1)
		}
		// The rule of thumb and Hill's torque.
		if x := p.CheapWork() / work(&p, &l); x < 0.82 || x > 1.08 {
			t.Errorf("stand %d: cheap work is %.3f of the full", i+1, x)
		}
		h := p.Solve(Hill)
		if x := (work(&p, &h) - work(&p, &l)) / (p.Stress * math.Log(h1/h2)); x < -0.22 || x > 0.05 {
			t.Errorf("stand %d: Hill's work differs by %.3f of the deformation", i+1, x)
		}
	}
	// The mill's own account of the same drafts.
	s := strip(2.5, 0.7, 1.2)
	m.Stands[4].Friction = .06
	d := designer{m: &m, s: &s, law: LowCarbon(), n: 5, h: [MaxStands + 1]float64{2.5e-3, 1.8e-3, 1.3e-3, .98e-3, .78e-3, .7e-3}}
	r, err := d.result()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mill speed", r.ExitSpeed, 20, 1e-9)
	for i, v := range table(t, "schedule.csv") {
		nearRel(t, "force", r.Stands[i].Force/1e6, v[6], 2e-3)
		nearRel(t, "power", r.Stands[i].Power/1e6, v[12], 5e-3)
		nearRel(t, "speed", r.Stands[i].Speed, v[11], 2e-3)
	}
	near(t, "sum of powers", r.Power/1e6, (1.47+3.42+3.28+2.78+4.10)/.92, 0.03)
}

// A coil of 20 t, 3033 m out: threaded over 30 m at 1 m/s, 0.5 m/s2 to 20 m/s,
// slowed to 6 over 60 m of weld. Plain kinematics, 224.8 s.
func TestCoilTime(t *testing.T) {
	s := strip(2.5, 0.7, 1.2)
	near(t, "in", s.Length(20e3, s.EntryThickness), 849, 0.5)
	out := s.Length(20e3, s.ExitThickness)
	near(t, "out", out, 3033, 0.5)
	m := mill()
	m.TailLength = 0
	c, err := m.CoilTime(out, 20, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "with weld", c.Total(), 224.8, 0.1)
	m.ThreadLength = 0
	if c, err = m.CoilTime(out, 20, 0); err != nil {
		t.Fatal(err)
	}
	near(t, "joined", c.Total(), 151.7, 0.1)
	// Slower speeds and more welds never save time, and short coils peak below.
	rapid.Check(t, func(t *rapid.T) {
		m := mill()
		length := rapid.Float64Range(1, 5000).Draw(t, "length")
		top := rapid.Float64Range(1, 25).Draw(t, "top")
		welds := rapid.IntRange(0, 3).Draw(t, "welds")
		a, err := m.CoilTime(length, top, welds)
		if err != nil {
			t.Fatal(err)
		}
		b, err := m.CoilTime(length, top+1, welds)
		if err != nil {
			t.Fatal(err)
		}
		c, err := m.CoilTime(length, top, welds+1)
		if err != nil {
			t.Fatal(err)
		}
		if a.Total() < length/top-1e-9 || a.Top > top+1e-9 || !(a.Total() < 1e5) {
			t.Fatalf("%g m at %g m/s: %+v", length, top, a)
		}
		if length > 500 && (b.Total() > a.Total()+1e-9 || c.Total() < a.Total()-1e-9) {
			t.Fatalf("%+v, faster %+v, more welds %+v", a, b, c)
		}
	})
	nan := math.NaN()
	for _, f := range []func() error{
		func() error { _, err := mill().CoilTime(nan, 20, 0); return err },
		func() error { _, err := mill().CoilTime(3000, nan, 0); return err },
		func() error { _, err := mill().CoilTime(3000, 20, -1); return err },
		func() error { m := mill(); m.Accel = 0; _, err := m.CoilTime(3000, 20, 0); return err },
		func() error { m := mill(); m.WeldSpeed = 0; _, err := m.CoilTime(3000, 20, 1); return err },
		func() error { m := mill(); m.TailSpeed = nan; _, err := m.CoilTime(3000, 20, 1); return err },
	} {
		if f() == nil {
			t.Error("accepted nonsense")
		}
	}
}

// Stone's least thickness, arithmetic of the formula.
func TestLeastThickness(t *testing.T) {
	near(t, "0.5 m rolls", LeastThickness(.25, .03, 700e6, 0)*1e3, 0.179, 1e-3)
}
