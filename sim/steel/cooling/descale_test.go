package cooling

import (
	"math"
	"testing"

	"millrace/sim/steel/hotrolling"
)

// Momentum of water: 60 L/min at 150 bar.
func TestJet(t *testing.T) {
	near(t, "speed", JetVelocity(150e5), 173.2, 0.1)
	near(t, "force", JetForce(1e-3, 150e5), 173.2, 0.1)
	near(t, "pressure", ImpactPressure(1e-3, 150e5, 0.02*0.1), 173.2/0.002, 50)
	near(t, "contact", ContactTime(0.02, 1), 0.02, 1e-12)
}

// A half space under convection (Carslaw and Jaeger, from memory), evaluated
// by a separate program: 1200 C, water at 25 C.
func TestDescaling(t *testing.T) {
	for _, c := range []struct{ h, t, drop, heat, simple float64 }{
		{10e3, 0.02, 146.8, 214.9, 235.0},
		{20e3, 0.01, 199.2, 207.5, 235.0},
		{20e3, 0.02, 266.3, 395.4, 470.0},
		{40e3, 0.02, 446.7, 679.5, 940.0},
	} {
		near(t, "surface", SurfaceDrop(c.h, c.t, 1200, 25), c.drop, 0.2)
		near(t, "heat", HeatTaken(c.h, c.t, 1200, 25)/1e3, c.heat, 0.2)
		near(t, "simple heat", HeatTakenCheap(c.h, c.t, 1200, 25)/0.85e3, c.simple, 0.1)
		if x := c.h / 1e3 * math.Sqrt(c.t); x > 1.4 && x < 3 {
			near(t, "cheap form", HeatTakenCheap(c.h, c.t, 1200, 25)/HeatTaken(c.h, c.t, 1200, 25), 1, 0.10)
		}
	}
	q := HeatTaken(20e3, 0.02, 1200, 25)
	near(t, "30 mm", BulkDrop(1, q, 0.03, 1200), 5.44, 0.02)
	near(t, "228.6 mm", BulkDrop(1, q, 0.2286, 1200), 0.71, 0.01)
	// The surface drop is the heat flow's own: heat grows by h (Ts - Tw) dt.
	const dt = 1e-6
	rate := (HeatTaken(20e3, 0.02+dt, 1200, 25) - HeatTaken(20e3, 0.02-dt, 1200, 25)) / (2 * dt)
	near(t, "flux", rate/(20e3*(1175-SurfaceDrop(20e3, 0.02, 1200, 25))), 1, 1e-4)
	// The rolling mill's sprays are the same cheap form.
	s := hotrolling.Sprays{Pairs: 1, H: 20e3, Footprint: 0.02}
	near(t, "mill's sprays", s.Drop(1200, 25, 1, 0.03), BulkDrop(1, HeatTakenCheap(20e3, 0.02, 1200, 25), 0.03, 1200), 1e-6)
}

// One pair against the half space; more pairs against fresh surfaces; the cheap form within its range.
func TestDescalerFull(t *testing.T) {
	for _, c := range []struct{ mm, v float64 }{{30, 1}, {30, 2}, {228.6, 1}, {60, 0.7}} {
		one := Descaler{Pairs: 1, H: 20e3, Footprint: 0.02, Spacing: 0.5, WaterC: 25}
		p, err := one.Full(c.mm/1e3, 1200, c.v)
		if err != nil {
			t.Fatal(err)
		}
		sec := ContactTime(0.02, c.v)
		near(t, "heat of a pair", p.HeatJ/HeatTaken(20e3, sec, 1200, 25), 1, 0.02) // the half space has the density at 1200 C
		near(t, "lowest surface", 1200-p.SurfaceC, SurfaceDrop(20e3, sec, 1200, 25), 12)
		two := one
		two.Pairs = 2
		q, err := two.Full(c.mm/1e3, 1200, c.v)
		if err != nil {
			t.Fatal(err)
		}
		if over := BulkDrop(2, HeatTaken(20e3, sec, 1200, 25), c.mm/1e3, 1200)/q.DropK - 1; !(over > -0.01 && over < 0.05) {
			t.Errorf("%g mm at %g m/s: fresh surfaces take %.3f more than two pairs", c.mm, c.v, over)
		}
	}
	// Common practice, no source: descaling costs a bar 5 to 15 K before the train.
	if p, err := (Descaler{Pairs: 2, H: 20e3, Footprint: 0.02, Spacing: 0.5, WaterC: 25}).Full(0.030, 1100, 1); err != nil || !(p.DropK > 5 && p.DropK < 15) {
		t.Errorf("two pairs take %.1f K off a bar, %v", p.DropK, err)
	}
	good := Descaler{Pairs: 1, H: 20e3, Footprint: 0.02, Spacing: 0.5, WaterC: 25}
	nan := math.NaN()
	for _, c := range [][3]float64{{nan, 1200, 1}, {0.03, nan, 1}, {0.03, 1200, nan}, {0, 1200, 1}, {0.03, 1500, 1}, {0.03, 1200, 0}} {
		if _, err := good.Full(c[0], c[1], c[2]); err == nil {
			t.Errorf("%v passes", c)
		}
	}
	for _, d := range []Descaler{{}, {Pairs: 1, H: nan, Footprint: 0.02, Spacing: 1}, {Pairs: 1, H: 1e4, Footprint: 0.02, Spacing: 0.01}, {Pairs: 1, H: 1e4, Footprint: 0.02, Spacing: 1, WaterC: nan}} {
		if _, err := d.Full(0.03, 1200, 1); err == nil {
			t.Errorf("%+v passes", d)
		}
	}
	for _, v := range []float64{SurfaceDrop(-1, 1, 1200, 25), SurfaceDrop(nan, 1, 1200, 25), HeatTaken(1e4, -1, 1200, 25), HeatTaken(1e4, 1, nan, 25), BulkDrop(1, 1e12, 0.03, 1200), JetVelocity(-1)} {
		if !math.IsNaN(v) {
			t.Errorf("%g, want NaN", v)
		}
	}
	// However long and hard the jet, the surface is the water's.
	near(t, "hard jet", SurfaceDrop(1e9, 100, 1200, 25), 1175, 1)
}
