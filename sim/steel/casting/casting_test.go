package casting_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
	"millrace/sim/reftable"
	"millrace/sim/steel/casting"
)

var near = reftable.Near

const minute = 60.0

// Geometry with 7850 kg/m3, worked independently.
func TestStrandRate(t *testing.T) {
	near(t, "K01 t/h", casting.StrandRate(1.8288, 0.2286, 1.2/minute)*3.6, 236.29, 0.01)
	rate := casting.StrandRate(1.2192, 0.2286, 1.2/minute)
	near(t, "K02 t/h", rate*3.6, 157.53, 0.1)
	near(t, "K02 minutes a heat", casting.HeatTime(250e3, rate)/minute, 95.2, 0.1)
	near(t, "speed back from rate", casting.SpeedForRate(1.2192, 0.2286, rate), 1.2/minute, 1e-12)
	near(t, "a 10 m slab is born every", casting.SlabInterval(10, 1.2/minute), 500, 1e-9)
	near(t, "slab mass is rate times interval", casting.SlabMass(1.2192, 0.2286, 10), rate*500, 1e-6)
}

// Square-root law, worked independently.
func TestShell(t *testing.T) {
	near(t, "K03 minutes", casting.SolidTime(0.2286, 27)/minute, 17.92, 0.01)
	near(t, "K03 length", casting.MetallurgicalLength(0.2286, 27, 1.2/minute), 21.51, 0.01)
	near(t, "K05 length", casting.MetallurgicalLength(0.3048, 27, 0.8/minute), 25.49, 0.01)
	near(t, "K06 strand K", casting.MouldShell(27, 0.8, 1.2/minute)*1000, 22.05, 0.01)
	near(t, "K06 mould K", casting.MouldShell(20, 0.8, 1.2/minute)*1000, 16.33, 0.01)
	// Encyclopaedia article on steel, casting: about 20 mm a minute after the start.
	near(t, "shell after a minute, K 20", casting.Shell(20, minute)*1000, 20, 1e-9)
	near(t, "both shells meet", 2*casting.Shell(27, casting.SolidTime(0.2286, 27)), 0.2286, 1e-12)
}

// Classical one-phase Stefan solution: heat of fusion 272 kJ/kg, k 30, rho 7400, c 650, solidus 1500 C, surfaces at 1100, 1000 and 900 C; roots worked by an independent program.
func TestStefan(t *testing.T) {
	near(t, "K07 Stefan number", 650*400.0/272e3, 0.95588, 1e-5)
	near(t, "K07 root", casting.StefanRoot(0.95588), 0.60909, 1e-4)
	near(t, "K07 K", casting.StefanK(30, 7400, 650, 272e3, 400), 23.57, 0.01)
	near(t, "K at 1000 C", casting.StefanK(30, 7400, 650, 272e3, 500), 25.7, 0.05)
	near(t, "K at 900 C", casting.StefanK(30, 7400, 650, 272e3, 600), 27.5, 0.05)
	// For a small Stefan number the profile is straight and l^2 = ste/2.
	near(t, "quasi-steady limit", casting.StefanRoot(1e-6), math.Sqrt(0.5e-6), 1e-9)
}

func TestMaxSpeed(t *testing.T) {
	l := casting.Limits{Thickness: 0.2286, K: 27, SupportedLength: 30}
	v, by, err := casting.MaxSpeed(l)
	if err != nil || by != casting.BySolidification {
		t.Fatalf("limited by %v, %v", by, err)
	}
	near(t, "K04 m/min", v*minute, 1.674, 0.001)
	near(t, "core as long as the support", casting.MetallurgicalLength(0.2286, 27, v), 30, 1e-9)

	l.KMould, l.MouldLength, l.MinMouldShell = 20, 0.8, 0.015
	v, by, err = casting.MaxSpeed(l)
	if err != nil || by != casting.ByMouldShell {
		t.Fatalf("limited by %v, %v", by, err)
	}
	near(t, "shell at that speed", casting.MouldShell(20, 0.8, v), 0.015, 1e-12)

	l.Grade = 1.1 / minute
	if v, by, _ = casting.MaxSpeed(l); by != casting.ByGrade || v != 1.1/minute {
		t.Errorf("%g by %v, want the grade", v, by)
	}
	l.Demand = 1.0 / minute
	if v, by, _ = casting.MaxSpeed(l); by != casting.ByDemand || v != 1.0/minute {
		t.Errorf("%g by %v, want the next ladle", v, by)
	}
	for _, bad := range []casting.Limits{{}, {SupportedLength: 30}, {MinMouldShell: 0.01}, {Grade: math.NaN()}, {Grade: -1}, {Demand: math.Inf(1)}} {
		if _, _, err := casting.MaxSpeed(bad); err == nil {
			t.Errorf("%+v passes", bad)
		}
	}
}

func TestLimitNames(t *testing.T) {
	seen := map[string]bool{}
	for l := casting.ByNothing; l <= casting.ByDemand+1; l++ {
		if seen[l.String()] || l.String() == "" {
			t.Errorf("limit %d is called %q again", l, l)
		}
		seen[l.String()] = true
	}
}

func TestTundish(t *testing.T) {
	rate := 2625.4 / minute
	near(t, "K10 minutes", casting.TundishSurvival(40e3, 12e3, rate)/minute, 10.66, 0.01)
	near(t, "half the speed buys as much again", casting.SlowingBuys(40e3, 12e3, rate, rate/2)/minute, 10.66, 0.01)
	near(t, "nothing left", casting.TundishSurvival(12e3, 12e3, rate), 0, 0)
	if got := casting.TundishSurvival(40e3, 12e3, 0); !math.IsInf(got, 1) {
		t.Errorf("a closed tundish lasts %g s, want +Inf", got)
	}
	if got := casting.TundishSurvival(10e3, 12e3, 0); got != 0 {
		t.Errorf("below the least level lasts %g s, want 0", got)
	}
}

func TestWidthChange(t *testing.T) {
	taper := casting.WidthChange(0.100, 0.020/minute, 1.2/minute)
	near(t, "K11 minutes", taper.Time/minute, 2.5, 1e-12)
	near(t, "K11 taper", taper.Length, 3.0, 1e-12)
	// Two triangles 50 mm by 3 m.
	near(t, "trim", taper.Trim(0.2286), 2*(0.05*3/2)*0.2286*7850, 1e-9)
	if casting.WidthChange(-0.100, 0.020/minute, 1.2/minute) != taper {
		t.Error("narrowing differs from widening")
	}
}

func TestLadle(t *testing.T) {
	near(t, "K09 minutes", casting.WaitWindow(1575, 1530, 15, 10, 0.5/minute)/minute, 40, 1e-9)
	near(t, "latest opening", casting.LatestOpen(1575, 1530, 15, 10, 0.5/minute, 30*minute)/minute, 10, 1e-9)
	near(t, "same ladle size", casting.LadleCoolingRate(250e3, 0.5, 250e3), 0.5, 0)
	near(t, "an eighth of the size cools twice as fast", casting.LadleCoolingRate(31.25e3, 0.5, 250e3), 1, 1e-12)
	if got := casting.WaitWindow(1575, 1530, 15, 10, 0); !math.IsInf(got, 1) {
		t.Errorf("a ladle that does not cool waits %g s, want +Inf", got)
	}
	// Exponential decay towards the surroundings, with the same first slope, falls 1 % less in an hour at 0.5 K/min and 4 % less at 2.
	for _, c := range [...]struct{ rate, less float64 }{{0.5, 0.01}, {2, 0.04}} {
		line := 1600 - casting.LadleTemp(1600, c.rate/minute, 3600)
		decay := 1575 * (1 - math.Exp(-c.rate*60/1575))
		near(t, "line over decay", line/decay-1, c.less, 0.005)
	}
}

// Opened at the latest moment the ladle closes with exactly the least superheat; opened later, with less.
func TestLatestOpenLeavesLastSteelCastable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := rapid.Float64Range(1540, 1650).Draw(t, "now")
		drop := rapid.Float64Range(0, 30).Draw(t, "drop")
		least := rapid.Float64Range(0, 20).Draw(t, "least")
		rate := rapid.Float64Range(0.2, 3).Draw(t, "rate") / minute
		pour := rapid.Float64Range(0, 7200).Draw(t, "pour")
		open := casting.LatestOpen(now, 1525, drop, least, rate, pour)
		atClose := now - rate*(open+pour)
		if sh := casting.Superheat(atClose, 1525, drop); math.Abs(sh-least) > 1e-9 {
			t.Fatalf("superheat at close is %g, want %g", sh, least)
		}
	})
}

func TestSpeedAndShellMove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(15, 35).Draw(t, "K")
		h := rapid.Float64Range(0.05, 0.4).Draw(t, "thickness")
		sup := rapid.Float64Range(5, 50).Draw(t, "support")
		v, _, err := casting.MaxSpeed(casting.Limits{Thickness: h, K: k, SupportedLength: sup})
		if err != nil || !(v > 0) {
			t.Fatal(v, err)
		}
		thicker, _, _ := casting.MaxSpeed(casting.Limits{Thickness: h * 1.1, K: k, SupportedLength: sup})
		longer, _, _ := casting.MaxSpeed(casting.Limits{Thickness: h, K: k, SupportedLength: sup * 1.1})
		if !(thicker < v && longer > v) {
			t.Fatalf("v %g, thicker %g, longer %g", v, thicker, longer)
		}
	})
}

func TestNonsenseIsNaN(t *testing.T) {
	nan := math.NaN()
	for name, got := range map[string]float64{
		"StrandRate": casting.StrandRate(-1, 0.2, 0.02), "StrandRate NaN": casting.StrandRate(1, nan, 0.02), "SpeedForRate": casting.SpeedForRate(0, 1, 1),
		"HeatTime": casting.HeatTime(-1, 1), "SlabInterval": casting.SlabInterval(0, 1), "SlabMass": casting.SlabMass(1, 1, -1),
		"Shell": casting.Shell(20, -1), "SolidTime": casting.SolidTime(0, 20), "MetallurgicalLength": casting.MetallurgicalLength(0.2, 20, -1), "MouldShell": casting.MouldShell(20, 0.8, 0),
		"StefanRoot": casting.StefanRoot(-1), "StefanK": casting.StefanK(0, 1, 1, 1, 1), "TundishSurvival": casting.TundishSurvival(nan, 0, 1), "SlowingBuys": casting.SlowingBuys(1, 0, 1, -1),
		"WidthChange": casting.WidthChange(0.1, 0, 1).Time, "Trim": casting.WidthChange(0.1, 1, 1).Trim(0), "LadleCoolingRate": casting.LadleCoolingRate(0, 1, 1),
		"LadleTemp": casting.LadleTemp(1600, -1, 1), "WaitWindow": casting.WaitWindow(1600, 1500, 0, 0, -1), "LatestOpen": casting.LatestOpen(1600, 1500, 0, 0, 1, -1),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s gives %g, want NaN", name, got)
		}
	}
}
