package cooling

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
	"millrace/sim/steel"
)

func layout() Layout {
	return Layout{RunOut: RunOut{Banks: 18, BankLength: 5, H: 1500, WaterC: 25}, Before: 10, After: 15, Headers: 4, AmbientC: 25, Emissivity: 0.8, AirH: 20}
}

func opened(r TableRun) []float64 {
	open := make([]float64, len(r.Banks))
	for i, b := range r.Banks {
		open[i] = b.Open
	}
	return open
}

// gauges are strips of the whole range: mm, m/s, finish C.
var gauges = []struct{ mm, v, from float64 }{{1.5, 14, 880}, {2.5, 10, 900}, {4, 8, 880}, {6, 5, 880}, {12, 2.5, 860}, {25, 1.2, 850}}

// The forms against one another, as their comments state.
func TestBanksFormsAgree(t *testing.T) {
	for _, c := range gauges {
		l := layout()
		s := Strip{c.mm / 1e3, c.v, c.from}
		r, err := l.ForTarget(s, 600, Early)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "coiling temperature", r.CoilingC, 600, 12)
		near(t, "mean between surface and centre", r.CoilingC, (r.SurfaceC+2*r.CentreC)/3, 1.5)
		cheap, err := l.CoolCheap(s, opened(r))
		if err != nil {
			t.Fatal(err)
		}
		tol := 1.0
		if c.mm > 12 {
			tol = 4
		}
		near(t, "parabolic profile", cheap.CoilingC, r.CoilingC, tol)
		// The table of the event loop knows water alone: the same water without air.
		l.Before, l.After, l.Emissivity, l.AirH = 0, 0, 0, 0
		water, err := l.Cool(s, opened(r))
		if err != nil {
			t.Fatal(err)
		}
		ro := table(t, l.Banks, l.BankLength, l.H)
		short := 1 - ro.WetLength(s.Thickness, s.Speed, s.TempC, water.CoilingC)/(r.Open*l.BankLength)
		// The surface lags the mean by a third of the Biot number, conductivity about 31 W/mK: 1 % at 1.5 mm, 16 % at 25 mm.
		lag := l.H * s.Thickness / 2 / 31 / 3
		near(t, "share of water the table misses", short, lag/(1+lag), 0.007)
		if air := water.CoilingC - r.CoilingC; !(air > 20 && air < 75) {
			t.Errorf("%g mm: the air takes %g K", c.mm, air)
		}
	}
}

// Strip without water cools as a plate radiating from both faces; with water alone as the closed form of the cooling number.
func TestBanksAgainstClosedForms(t *testing.T) {
	l := layout()
	l.AirH, l.AmbientC = 0, -40
	l.WaterC = 25
	s := Strip{2.5e-3, 10, 1250}
	shut := make([]float64, l.Banks)
	r, err := l.Cool(s, shut)
	if err != nil {
		t.Fatal(err)
	}
	// Constant 650 J/kgK above 900 C: T2^-3 = T1^-3 + 6 eps sigma t/(rho c H), surroundings neglected (below 0.1 %).
	k := math.Pow(math.Pow(1523.15, -3)+6*0.8*steel.StefanBoltzmann*r.Seconds/(7850*650*2.5e-3), -1.0/3)
	near(t, "radiation", r.CoilingC, k-273.15, 2) // the surface, colder than the mean, radiates a little less
}

func TestBanksPatterns(t *testing.T) {
	l := layout()
	s := Strip{3e-3, 9, 890}
	var open [3]float64
	for p := Early; p <= Spread; p++ {
		r, err := l.ForTarget(s, 600, p)
		if err != nil {
			t.Fatal(err)
		}
		open[p] = r.Open
		last := s.TempC
		for i, b := range r.Banks {
			if b.Number != i+1 || b.InC > last+1e-9 || b.OutC > b.InC+1e-9 || b.SurfaceOut > b.OutC+1e-9 {
				t.Errorf("%v: %+v after %g C", p, b, last)
			}
			last = b.OutC
		}
		first, final := r.Banks[0].Open, r.Banks[l.Banks-1].Open
		if p == Early && !(first == 1 && final == 0) || p == Late && !(first == 0 && final == 1) || p == Spread && r.Banks[1].Open > 0 && r.Banks[0].Open < 1 {
			t.Errorf("%v opens %v", p, opened(r))
		}
	}
	// Hot strip radiates more: the later the water, the less of it.
	if !(open[Late] <= open[Spread] && open[Spread] <= open[Early]) {
		t.Errorf("open banks %v", open)
	}
	if Pattern(9).String() == Early.String() {
		t.Error("pattern 9 has a name")
	}
}

// The answer is the nearest the headers allow, and one bank more is colder.
func TestBanksForTarget(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layout()
		l.Banks, l.Headers = rapid.IntRange(4, 16).Draw(t, "banks"), rapid.IntRange(0, 5).Draw(t, "headers")
		s := Strip{rapid.Float64Range(2e-3, 0.012).Draw(t, "thickness"), 0, rapid.Float64Range(820, 950).Draw(t, "from")}
		s.Speed = rapid.Float64Range(0.012, 0.03).Draw(t, "flow") / s.Thickness
		target := rapid.Float64Range(500, 700).Draw(t, "target")
		r, err := l.ForTarget(s, target, Pattern(rapid.IntRange(0, 2).Draw(t, "pattern")))
		if err != nil {
			if all, e := l.Cool(s, full(l.Banks)); e != nil || all.CoilingC < target-1 {
				none, _ := l.Cool(s, make([]float64, l.Banks))
				if none.CoilingC > target+1 {
					t.Fatalf("%v, but all banks give %g C and none %g C", err, all.CoilingC, none.CoilingC)
				}
			}
			return
		}
		for _, by := range []float64{-1, 1} {
			near := math.Abs(r.CoilingC - target)
			// One header more or less, anywhere, is no nearer by more than its place makes: 8 K, or a fifth of what it cools.
			open := opened(r)
			for i := range open {
				if o := open[i] + by/float64(max(l.Headers, 1)); o >= -1e-9 && o <= 1+1e-9 {
					open[i] = min(max(o, 0), 1)
					c, err := l.Cool(s, open)
					if err != nil {
						t.Fatal(err)
					}
					if by > 0 == (c.CoilingC > r.CoilingC) {
						t.Fatalf("more water, %g after %g C", c.CoilingC, r.CoilingC)
					}
					if place := max(8, 0.2*math.Abs(c.CoilingC-r.CoilingC)); !(math.Abs(c.CoilingC-target) > near-place) {
						t.Fatalf("%g C is nearer to %g than %g C", c.CoilingC, target, r.CoilingC)
					}
					break
				}
			}
		}
	})
}

func full(n int) []float64 {
	open := make([]float64, n)
	for i := range open {
		open[i] = 1
	}
	return open
}

// Common practice, no source: strip of 6 mm and more whose bar enters the train at 1,050 to 1,150 C is coiled at 0.45 to 0.6 of that.
func TestCoilingFeasible(t *testing.T) {
	for _, mm := range []float64{6, 8, 12} {
		for _, entry := range []float64{1050, 1150} {
			for _, share := range []float64{0.45, 0.6} {
				r, err := layout().ForTarget(Strip{mm / 1e3, 30 / mm, 870}, share*entry, Early)
				if err != nil || !(math.Abs(r.CoilingC-share*entry) < 12) {
					t.Errorf("%g mm to %.0f C: %.0f C with %g banks, %v", mm, share*entry, r.CoilingC, r.Open, err)
				}
			}
		}
	}
}

func TestBanksRefuse(t *testing.T) {
	nan := math.NaN()
	l, s := layout(), Strip{2.5e-3, 10, 900}
	for i, change := range []func(l *Layout, s *Strip, open []float64){
		func(l *Layout, _ *Strip, _ []float64) { l.Banks = 0 }, func(l *Layout, _ *Strip, _ []float64) { l.H = nan }, func(l *Layout, _ *Strip, _ []float64) { l.Before = -1 },
		func(l *Layout, _ *Strip, _ []float64) { l.After = nan }, func(l *Layout, _ *Strip, _ []float64) { l.Headers = -1 }, func(l *Layout, _ *Strip, _ []float64) { l.AmbientC = nan },
		func(l *Layout, _ *Strip, _ []float64) { l.Emissivity = 2 }, func(_ *Layout, s *Strip, _ []float64) { s.Thickness = nan }, func(_ *Layout, s *Strip, _ []float64) { s.Speed = 0 },
		func(_ *Layout, s *Strip, _ []float64) { s.TempC = 1400 }, func(_ *Layout, _ *Strip, open []float64) { open[2] = nan }, func(_ *Layout, _ *Strip, open []float64) { open[2] = 1.5 },
	} {
		l, s, open := layout(), s, make([]float64, 18)
		change(&l, &s, open)
		if _, err := l.Cool(s, open); err == nil {
			t.Errorf("case %d passes", i)
		}
		if _, err := l.CoolCheap(s, open); err == nil {
			t.Errorf("case %d passes", i)
		}
	}
	if _, err := l.Cool(s, make([]float64, 3)); err == nil {
		t.Error("3 of 18 banks pass")
	}
	for _, target := range []float64{nan, 400, 900, 1000} {
		if _, err := l.ForTarget(s, target, Early); err == nil {
			t.Errorf("coiling at %g C passes", target)
		}
	}
	if _, err := l.ForTarget(s, 600, 7); err == nil {
		t.Error("pattern 7 passes")
	}
	if _, err := l.ForTarget(Strip{0.025, 8, 900}, 500, Early); err == nil {
		t.Error("25 mm at 8 m/s is coiled at 500 C")
	}
	if _, err := l.ForTarget(Strip{1e-3, 1, 800}, 700, Early); err == nil {
		t.Error("1 mm at 1 m/s is coiled at 700 C")
	}
}

// Whatever is asked, an error or a strip between water and its start.
func FuzzCool(f *testing.F) {
	f.Add(2.5e-3, 10.0, 900.0, 1500.0, 0.5, 5.0)
	f.Add(0.05, 0.5, 1290.0, 9000.0, 1.0, 20.0)
	f.Add(math.NaN(), 1.0, 900.0, 1500.0, 0.0, 5.0)
	f.Fuzz(func(t *testing.T, thickness, speed, from, h, share, length float64) {
		l := Layout{RunOut: RunOut{Banks: 2, BankLength: length, H: h, WaterC: 25}, Before: 5, AmbientC: 25, Emissivity: 0.8}
		if thickness < 1e-3 || speed < 0.3 || length > 50 || h > 1e6 {
			return // slow, or below 150 C
		}
		s := Strip{thickness, speed, from}
		for _, cool := range []func(Strip, []float64) (TableRun, error){l.Cool, l.CoolCheap} {
			r, err := cool(s, []float64{share, 1})
			if err == nil && !(r.CoilingC >= 24.9 && r.CoilingC <= from+0.01) {
				t.Fatalf("%+v over %+v: %+v", s, l, r)
			}
		}
	})
}

func ExampleLayout_ForTarget() {
	l := Layout{RunOut: RunOut{Banks: 12, BankLength: 5, H: 1500, WaterC: 25}, Before: 10, After: 15, Headers: 4, AmbientC: 25, Emissivity: 0.8, AirH: 20}
	r, err := l.ForTarget(Strip{Thickness: 2.5e-3, Speed: 10, TempC: 900}, 600, Early)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f banks open, coiled at %.0f C\n", r.Open, r.CoilingC)
	for _, b := range r.Banks[:6] {
		fmt.Printf("bank %d: %.0f %%, %.0f to %.0f C\n", b.Number, b.Open*100, b.InC, b.OutC)
	}
	// Output:
	// 5.00 banks open, coiled at 598 C
	// bank 1: 100 %, 884 to 799 C
	// bank 2: 100 %, 799 to 746 C
	// bank 3: 100 %, 746 to 726 C
	// bank 4: 100 %, 726 to 681 C
	// bank 5: 100 %, 681 to 624 C
	// bank 6: 0 %, 624 to 621 C
}

func BenchmarkForTarget(b *testing.B) {
	l := layout()
	for b.Loop() {
		if _, err := l.ForTarget(Strip{2.5e-3, 10, 900}, 600, Early); err != nil {
			b.Fatal(err)
		}
	}
}

// The event loop's question: the speed the table allows.
func BenchmarkMaxSpeed(b *testing.B) {
	r := table(b, 18, 5, 1500)
	b.ReportAllocs()
	var sum float64
	for i := range b.N {
		sum += r.MaxSpeed(2.5e-3, 880+float64(i&15), 600)
	}
	if math.IsNaN(sum) {
		b.Fatal(sum)
	}
}

func BenchmarkCoilCurveTemp(b *testing.B) {
	c, err := NewCoilCurve(coil(1.25, 1.782, 6, 0), 620)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	var sum float64
	for i := range b.N {
		sum += c.Temp(float64((i*7919)&0xffff) * 5)
	}
	if math.IsNaN(sum) {
		b.Fatal(sum)
	}
}
