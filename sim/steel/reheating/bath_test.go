package reheating_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
	"millrace/sim/reftable"
	"millrace/sim/steel"
	"millrace/sim/steel/reheating"
)

var near = reftable.Near

func bath(t testing.TB, thickness, gasC, emissivity float64) *reheating.Bath {
	t.Helper()
	b, err := reheating.NewBath(thickness, gasC, emissivity)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The tables are compared with the plate model integrated by fourth-order Runge-Kutta in small steps: every branch, thickness and side, at every moment on the way.
func TestAdvanceAgainstFineIntegration(t *testing.T) {
	var worstK, worstScale float64
	for _, thickness := range []float64{0.03, 0.1524, 0.2286, 0.3048} {
		for _, gas := range []float64{25, 500, 735, 950, 1250, 1340} {
			for _, start := range []float64{20, 400, 735, 900, 1240, 1300} {
				b := bath(t, thickness, gas, 0.55)
				p := steel.Plate{HalfThickness: thickness / 2, Around: steel.Surroundings{GasC: gas, Emissivity: 0.55}}
				h0 := steel.Enthalpy(start)
				h, scale := h0, 0.0
				dt := 8.0 * thickness / 0.2286
				for i := range 2500 {
					k1, k2, k3, k4, s := slopes(p, h, dt)
					h += dt * (k1 + 2*k2 + 2*k3 + k4) / 6
					scale += dt * s
					if i%50 != 0 {
						continue
					}
					got, kp := b.Advance(h0, dt*float64(i+1))
					miss := math.Abs(steel.TempFromEnthalpy(got) - steel.TempFromEnthalpy(h))
					if !(miss < 0.1) {
						t.Fatalf("%g m, %g -> gas %g C, after %g s: off by %g C", thickness, start, gas, dt*float64(i+1), miss)
					}
					// Inside a cell kp is taken as even. The allowance of 1e-10 m2 is a tenth of a micrometre on 0.5 mm of scale.
					if d := math.Abs(kp - scale); !(d < 2e-3*scale+1e-10) {
						t.Fatalf("%g m, %g -> gas %g C, after %g s: scale %g m2, want %g", thickness, start, gas, dt*float64(i+1), kp, scale)
					} else if scale > 1e-8 {
						worstScale = max(worstScale, d/scale)
					}
					worstK = max(worstK, miss)
				}
			}
		}
	}
	t.Logf("worst: %.4f C, kp %.5f of itself", worstK, worstScale)
}

// slopes are the four of Runge and Kutta, and the scale constant over the step by Simpson's rule.
func slopes(p steel.Plate, h, dt float64) (a, b, c, d, scale float64) {
	kp := func(h float64) float64 { return reheating.ScaleConstant(p.State(h).SurfaceC) }
	a = p.Rate(h)
	b = p.Rate(h + a*dt/2)
	c = p.Rate(h + b*dt/2)
	d = p.Rate(h + c*dt)
	scale = (kp(h) + 4*kp(h+b*dt/2) + kp(h+c*dt)) / 6
	return
}

func TestAdvanceProperties(t *testing.T) {
	baths := []*reheating.Bath{bath(t, 0.2286, -40, 0.8), bath(t, 0.2286, 25, 0.8), bath(t, 0.2286, 735, 0.6), bath(t, 0.1, 1250, 0.55), bath(t, 0.3, 1340, 0.55), bath(t, 0.3, 1450, 0.55)}
	rapid.Check(t, func(t *rapid.T) {
		b := baths[rapid.IntRange(0, len(baths)-1).Draw(t, "bath")]
		h := steel.MinEnthalpy() + (steel.MaxEnthalpy()-steel.MinEnthalpy())*rapid.Float64Range(0, 1).Draw(t, "h")
		h = min(h, steel.MaxEnthalpy())
		one := rapid.Float64Range(0, 20000).Draw(t, "first")
		two := rapid.Float64Range(0, 20000).Draw(t, "second")
		mid, kp1 := b.Advance(h, one)
		end, kp2 := b.Advance(mid, two)
		all, kp := b.Advance(h, one+two)
		if !(math.Abs(end-all) <= 1e-6*(1+math.Abs(h))) || !(math.Abs(kp1+kp2-kp) <= 1e-9*kp+1e-18) {
			t.Fatalf("in pieces %g, %g; at once %g, %g", end, kp1+kp2, all, kp)
		}
		if !(kp1 >= 0 && kp2 >= 0) {
			t.Fatalf("scale shrinks: %g, %g", kp1, kp2)
		}
		gas := b.EndEnthalpy()
		if lo, hi := min(h, gas), max(h, gas); !(all >= lo-1e-9 && all <= hi+1e-9) {
			t.Fatalf("from %g to %g, past gas at %g", h, all, gas)
		}
		if d0, d1, d2 := math.Abs(h-gas), math.Abs(mid-gas), math.Abs(all-gas); !(d1 <= d0+1e-9 && d2 <= d1+1e-6*(1+d0)) {
			t.Fatalf("distances %g, %g, %g do not fall", d0, d1, d2)
		}
		// The time back from the state.
		if math.Abs(mid-gas) > 1e-3 && math.Abs(mid-h) > 1e-3 {
			if got := b.TimeTo(h, mid); !(math.Abs(got-one) < 1e-3+1e-6*one) {
				t.Fatalf("TimeTo gives %g s, advanced %g s", got, one)
			}
		}
		s := b.State(h)
		if math.IsNaN(s.SurfaceC) || s.SurfaceC != b.Surface(h) || s.CentreC != b.Centre(h) {
			t.Fatalf("state %+v", s)
		}
	})
}

func TestTimeToNeverAndReady(t *testing.T) {
	b := bath(t, 0.2286, 1250, 0.55)
	cold, warm, hot, over := steel.Enthalpy(20), steel.Enthalpy(900), steel.Enthalpy(1200), steel.Enthalpy(1300)
	for _, c := range [...]struct{ h, target float64 }{{cold, over}, {warm, cold}, {over, cold}, {cold, b.EndEnthalpy()}} {
		if got := b.TimeTo(c.h, c.target); !math.IsInf(got, 1) {
			t.Errorf("TimeTo(%g, %g) = %g, want +Inf", c.h, c.target, got)
		}
	}
	near(t, "here", b.TimeTo(warm, warm), 0, 0)
	near(t, "ready already", b.ReadyIn(hot, warm), 0, 0)
	near(t, "ready later", b.ReadyIn(warm, hot), b.TimeTo(warm, hot), 0)
	near(t, "sum of legs", b.TimeTo(cold, warm)+b.TimeTo(warm, hot), b.TimeTo(cold, hot), 1e-6)
	if got := b.TimeTo(over, steel.Enthalpy(1260)); !(got > 0 && got < 7200) {
		t.Errorf("cooling from 1300 to 1260 C in gas at 1250 C takes %g s", got)
	}
	if b.GasC() != 1250 || b.Thickness() != 0.2286 {
		t.Errorf("bath is %g m at %g C", b.Thickness(), b.GasC())
	}
}

func TestBathRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][3]float64{{0, 1250, 0.5}, {nan, 1250, 0.5}, {0.2, nan, 0.5}, {0.2, 1500, 0.5}, {0.2, -50, 0.5}, {0.2, 1250, 0}, {0.2, 1250, 1.5}, {0.2, 1250, nan}} {
		if _, err := reheating.NewBath(c[0], c[1], c[2]); err == nil {
			t.Errorf("NewBath(%g, %g, %g) passes", c[0], c[1], c[2])
		}
	}
	b := bath(t, 0.2286, 1250, 0.55)
	for _, c := range [][2]float64{{nan, 1}, {1e5, nan}, {1e5, -1}, {1e7, 1}, {-1e6, 1}} {
		if h, kp := b.Advance(c[0], c[1]); !math.IsNaN(h) || !math.IsNaN(kp) {
			t.Errorf("Advance(%g, %g) = %g, %g, want NaN", c[0], c[1], h, kp)
		}
	}
	for _, c := range [][2]float64{{nan, 1}, {1, nan}, {1e7, 1}} {
		if got := b.TimeTo(c[0], c[1]); !math.IsNaN(got) {
			t.Errorf("TimeTo(%g, %g) = %g, want NaN", c[0], c[1], got)
		}
	}
	if h, kp := b.Advance(1e5, math.Inf(1)); h != b.EndEnthalpy() || !math.IsInf(kp, 1) {
		t.Errorf("for ever: %g, %g", h, kp)
	}
}

func TestAdvanceAllocatesNothing(t *testing.T) {
	b := bath(t, 0.2286, 1250, 0.55)
	if n := testing.AllocsPerRun(100, func() { b.Advance(1e5, 1000) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkAdvance(b *testing.B) {
	furnace := bath(b, 0.2286, 1250, 0.55)
	var hs, dts [1024]float64
	for i := range hs {
		hs[i], dts[i] = float64((i*7919)%1024)*780, float64((i*5003)%1024)*2
	}
	b.ReportAllocs()
	for i := range b.N {
		h, _ := furnace.Advance(hs[i&1023], dts[i&1023])
		if h < 0 {
			b.Fatal(h)
		}
	}
}

func BenchmarkNewBath(b *testing.B) {
	for range b.N {
		bath(b, 0.2286, 1250, 0.55)
	}
}
