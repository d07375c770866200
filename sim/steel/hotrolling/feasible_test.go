package hotrolling_test

import (
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/cooling"
	"millrace/sim/steel/hotrolling"
)

// An invented but ordinary set of equipment (common practice, no source).

func rougher() hotrolling.RoughingMill {
	th := hotrolling.CommonThermal()
	th.ChillFactor = 0.85
	return hotrolling.RoughingMill{
		RollRadius: 0.575, MaxForce: 40e6, MaxTorque: 2.6e6, MaxPower: 14e6, Efficiency: 0.95,
		BaseSpeed: 2.4, MaxSpeed: 4.0, ThreadSpeed: 1.3, Accel: 0.9, Decel: 1.2,
		ReversalTime: 5, Friction: 0.265, MaxPasses: 9,
		Approach: 60, Primary: hotrolling.Sprays{Pairs: 2, H: 20e3, Footprint: 0.02}, PrimarySpeed: 1.2,
		Secondary: hotrolling.Sprays{Pairs: 2, H: 20e3, Footprint: 0.02}, SecondaryUntil: 5,
		Thermal: th,
	}
}

func train() hotrolling.FinishingTrain {
	stand := func(r, force, power, speed, share float64) hotrolling.Stand {
		return hotrolling.Stand{RollRadius: r, MaxForce: force, MaxPower: power, MaxSpeed: speed, LoadShare: share}
	}
	th := hotrolling.CommonThermal()
	th.ChillFactor = 1 // descaled stock
	ro, err := cooling.NewRunOut(cooling.RunOut{Banks: 22, BankLength: 4.5, H: 1300, WaterC: 25})
	if err != nil {
		panic(err)
	}
	return hotrolling.FinishingTrain{
		Stands: []hotrolling.Stand{
			stand(0.40, 38e6, 10e6, 5, 1), stand(0.40, 38e6, 10e6, 8, 1), stand(0.40, 36e6, 10e6, 11, 1),
			stand(0.35, 34e6, 10e6, 15, 0.95), stand(0.35, 32e6, 10e6, 18.5, 0.9), stand(0.35, 30e6, 8e6, 21, 0.85),
		},
		StandSpacing: 5.5, Efficiency: 0.95,
		ThreadSpeedMax: 10.5, ThreadDistance: 120, Zoom: 0.15, Decel: 0.5, TailOutSpeed: 13,
		CoverFactor: 0.3, EntryDistance: 8, Descale: hotrolling.Sprays{Pairs: 2, H: 20e3, Footprint: 0.02},
		InterstandH: 2000, InterstandLen: 1.0, Friction: 0.3, Gap: 18,
		RunOut: &ro, Thermal: th, MinEntryC: 900,
	}
}

type product struct {
	name             string
	thickness, width float64
	grade            steel.Grade
	coilC            float64
}

func grade(name string, c, flow float64) steel.Grade {
	return steel.Grade{Name: name, Comp: steel.Composition{C: c, Mn: 0.3}, FlowFactor: flow}
}

var products = []product{
	{"P01", 6.0e-3, 1.50, grade("structural", 0.15, 1), 620},
	{"P02", 10e-3, 1.50, grade("heavy structural", 0.16, 1), 620},
	{"P03", 3.0e-3, 1.25, grade("commercial", 0.08, 1), 620},
	{"P04", 4.0e-3, 1.35, grade("commercial", 0.08, 1), 620},
	{"P05", 2.0e-3, 1.10, grade("commercial", 0.06, 1), 620},
	{"P06", 3.5e-3, 1.30, grade("high strength", 0.08, 1.3), 580},
	{"P07", 8.0e-3, 1.20, grade("skelp", 0.12, 1), 620},
	{"P08", 2.5e-3, 1.25, grade("commercial", 0.06, 1), 620},
	{"P09", 4.0e-3, 1.40, grade("commercial", 0.06, 1), 620},
	{"P10", 2.5e-3, 1.25, grade("commercial", 0.05, 1), 620},
	{"P11", 3.2e-3, 1.40, grade("deep drawing", 0.04, 1), 640},
	{"P12", 2.2e-3, 1.00, grade("commercial", 0.05, 1), 600},
}

func (p product) bar() float64 {
	if p.thickness >= 6e-3 {
		return 42e-3
	}
	return 34e-3
}

func (p product) target() hotrolling.Target {
	return hotrolling.Target{Thickness: p.thickness, FinishTempMinC: 820, FinishTempMaxC: 900, CoilTempC: p.coilC}
}

const discharge = 1235

func (p product) slab(tempC float64) hotrolling.Slab {
	return hotrolling.Slab{Width: p.width, Thickness: 0.23, Length: 10, TempC: tempC, Grade: p.grade}
}

// roll takes a product through both mills; transfer is the time on the delay
// table, s.
func roll(t *testing.T, p product, transfer float64) (hotrolling.RoughResult, hotrolling.Bar, hotrolling.FinishResult) {
	t.Helper()
	r, err := hotrolling.Rough(rougher(), p.slab(discharge), p.bar())
	if err != nil {
		t.Fatalf("%s roughing: %v", p.name, err)
	}
	b := r.Bar(p.grade)
	b.Wait = transfer
	f, err := hotrolling.Finish(train(), b, p.target())
	if err != nil {
		t.Fatalf("%s finishing: %v", p.name, err)
	}
	return r, b, f
}

// The whole programme fits the equipment, at times and temperatures of
// ordinary mills (common practice, no source): 75-120 s and 5-7 passes
// roughing, bars into the train at 1000-1150 C, 820-900 C out of it, a slab
// every 85 to 120 s.
func TestProductsFit(t *testing.T) {
	for _, p := range products {
		r, b, f := roll(t, p, 30)
		if n := len(r.Passes); n != 5 && n != 7 {
			t.Errorf("%s: %d passes", p.name, n)
		}
		if r.Time < 75 || r.Time > 120 {
			t.Errorf("%s: %.1f s on the rougher", p.name, r.Time)
		}
		if f.HeadEntryC < 1000 || f.HeadEntryC > 1150 {
			t.Errorf("%s: head enters at %.0f C", p.name, f.HeadEntryC)
		}
		for _, c := range []float64{f.HeadC, f.TopC, f.TailC} {
			if c < 820 || c > 900.01 {
				t.Errorf("%s: finishes at %.1f C", p.name, c)
			}
		}
		if pace := max(r.Time, f.Cycle); pace < 80 || pace > 125 {
			t.Errorf("%s: a slab every %.1f s", p.name, pace)
		}
		if f.TailEntryC >= f.HeadEntryC || b.TailC < b.HeadC {
			t.Errorf("%s: the head left the rougher first and enters the train first: head %.0f then %.0f, tail %.0f then %.0f C", p.name, b.HeadC, f.HeadEntryC, b.TailC, f.TailEntryC)
		}
		t.Logf("%s: %d passes %.1f s -> %.0f/%.0f C; enters %.0f/%.0f, leaves %.0f/%.0f/%.0f C at %.1f (%s) then %.1f (%s) m/s, %.1f s, cycle %.1f; %s of stand %d %.2f; kWh/t %.0f + %.0f",
			p.name, len(r.Passes), r.Time, r.HeadC, r.TailC, f.HeadEntryC, f.TailEntryC, f.HeadC, f.TopC, f.TailC, f.ThreadSpeed, f.ThreadLimit, f.TopSpeed, f.TopLimit,
			f.RollTime, max(r.Time, f.Cycle), f.GreatestUseOf, f.GreatestUseStand, f.GreatestUse, r.Energy/3.6e6/(p.width*18.055), f.Energy/3.6e6/(p.width*18.055))
	}
}

// Thin strip leaves the last stand at 16 to 20 m/s inside force and power when
// the finishing window and the zoom let it (common practice, no source): a bar
// that has cooled to about 1080 C, strong interstand sprays, 0.3 m/s2.
func TestThinStripRunsFast(t *testing.T) {
	tr := train()
	tr.InterstandH, tr.Zoom = 3500, 0.3
	p := products[4]
	b := hotrolling.Bar{Width: p.width, Thickness: 0.034, Length: 67.6, HeadC: 1080, TailC: 1080, Grade: p.grade}
	target := p.target()
	target.FinishTempMinC = 850
	f, err := hotrolling.Finish(tr, b, target)
	if err != nil {
		t.Fatal(err)
	}
	if f.TopSpeed < 16 || f.TopSpeed > 20 {
		t.Errorf("top speed %.1f m/s (%s)", f.TopSpeed, f.TopLimit)
	}
	if f.GreatestUse > 1 {
		t.Errorf("%s of stand %d at %.2f of its limit", f.GreatestUseOf, f.GreatestUseStand, f.GreatestUse)
	}
	t.Logf("%+v", f)
}

// Slabs of 150 to 305 mm, up to 1830 mm wide, are rolled to bars of 30 to 42 mm
// (common practice, no source).
func TestSlabRange(t *testing.T) {
	for _, h := range []float64{0.150, 0.180, 0.230, 0.305} {
		for _, w := range []float64{0.9, 1.25, 1.83} {
			for _, bar := range []float64{0.030, 0.042} {
				s := hotrolling.Slab{Width: w, Thickness: h, Length: 10, TempC: 1250, Grade: grade("commercial", 0.08, 1)}
				r, err := hotrolling.Rough(rougher(), s, bar)
				if err != nil {
					t.Errorf("%.0f x %.0f mm to %.0f mm: %v", h*1e3, w*1e3, bar*1e3, err)
					continue
				}
				if r.Use > 1.001 || r.Time > 180 || r.MeanC < 1000 {
					t.Errorf("%.0f x %.0f mm: %s at %.2f, %.0f s, %.0f C", h*1e3, w*1e3, r.Binds, r.Use, r.Time, r.MeanC)
				}
			}
		}
	}
}

// 2.5 to 50 mm can be rolled from a slab of 230 mm, and bars for 6 mm and more
// enter the train at 1050 to 1150 C, the strip being coiled at 0.45 to 0.6 of that
// in C (common practice, no source). From 25 mm on the stands' drafts are lighter
// than a tenth, where all roll-gap models are only rough; at 50 mm such plate is
// cut, not coiled, and only its rolling is asked for.
func TestGaugeRange(t *testing.T) {
	tr := train()
	for _, c := range []struct{ strip, bar, width, most, coil float64 }{
		{2.5, 34, 1.25, 900, 620}, {6, 42, 1.25, 900, 620}, {6, 42, 1.83, 900, 620}, {12, 42, 1.83, 900, 620}, {20, 60, 1.83, 900, 600}, {25, 70, 1.83, 900, 600},
		{30, 80, 1.83, 920, 600}, {40, 100, 1.83, 950, 600}, {50, 110, 1.83, 950, 600},
	} {
		s := hotrolling.Slab{Width: c.width, Thickness: 0.23, Length: 10, TempC: 1230, Grade: grade("structural", 0.12, 1)}
		r, err := hotrolling.Rough(rougher(), s, c.bar/1e3)
		if err != nil {
			t.Errorf("%g mm: %v", c.strip, err)
			continue
		}
		b := r.Bar(s.Grade)
		b.Wait = 35
		if c.bar >= 100 { // a thick bar is held on the table until it is cold enough
			b.Wait = 70
		}
		f, err := hotrolling.Finish(tr, b, hotrolling.Target{Thickness: c.strip / 1e3, FinishTempMinC: 820, FinishTempMaxC: c.most, CoilTempC: c.coil})
		if err != nil {
			t.Errorf("%g mm: %v", c.strip, err)
			continue
		}
		if f.GreatestUse > 1 {
			t.Errorf("%g mm: %s of stand %d at %.2f", c.strip, f.GreatestUseOf, f.GreatestUseStand, f.GreatestUse)
		}
		if q := c.coil / f.HeadEntryC; c.strip >= 6 && (f.HeadEntryC < 1050 || f.HeadEntryC > 1150 || q < 0.45 || q > 0.6) {
			t.Errorf("%g mm: enters at %.0f C and is coiled at %.2f of it", c.strip, f.HeadEntryC, q)
		}
		// What coils must be cooled that far: the table reaches the speed.
		if most := tr.RunOut.MaxSpeed(c.strip/1e3, f.TopC, c.coil); c.strip <= 25 && f.TopSpeed > most*1.0001 {
			t.Errorf("%g mm runs at %.2f m/s, cooled at %.2f", c.strip, f.TopSpeed, most)
		}
	}
}

// Rougher to coiler fits in 800 m (common practice, no source): the longest bar
// lies free between rougher and train, then come the train, its approach, and the
// way to the farthest coiler.
func TestLayout(t *testing.T) {
	s := products[4].slab(discharge)
	s.Length = 11
	r, err := hotrolling.Rough(rougher(), s, 0.028)
	if err != nil {
		t.Fatal(err)
	}
	tr := train()
	if x := r.Length + tr.EntryDistance + float64(len(tr.Stands)-1)*tr.StandSpacing + tr.ThreadDistance; x > 800 || r.Length < 80 {
		t.Errorf("%.0f m from rougher to coiler with a bar of %.0f m", x, r.Length)
	}
}

// The motor: full torque to base speed, full power above it.
func TestDriveTorque(t *testing.T) {
	m := rougher()
	base := m.MaxPower * m.Efficiency * m.RollRadius / m.MaxTorque
	for _, c := range []struct{ speed, want float64 }{{0, m.MaxTorque}, {base, m.MaxTorque}, {2 * base, m.MaxTorque / 2}, {m.MaxSpeed * 1.01, 0}} {
		if c.speed > m.MaxSpeed*1.02 {
			continue
		}
		near(t, "torque", m.DriveTorque(c.speed), c.want, 1)
	}
	st := train().Stands[0]
	near(t, "stand", st.DriveTorque(0.95, 4)*4/st.RollRadius, 0.95*st.MaxPower, 1)
	st.MaxTorque = 1e5
	near(t, "stand's own", st.DriveTorque(0.95, 4), 1e5, 1e-9)
}
