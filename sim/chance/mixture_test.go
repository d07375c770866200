package chance

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func mixture(t interface{ Fatal(...any) }, parts ...Part) *Mixture {
	m, err := NewMixture(parts...)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestMixture(t *testing.T) {
	short, long := must(Lognormal(600, 1500)), must(Weibull(1.5, 90000))
	m := mixture(t, Part{9, short}, Part{1, long})
	if !close(m.Mean(), 0.9*short.Mean()+0.1*long.Mean(), 1e-14) {
		t.Error(m.Mean())
	}
	// Two exponentials: survival 0.5 (exp(-x) + exp(-x/10)); at u the share solves
	// by hand for y = exp(-x/10): y^10 + y = 2(1-u).
	h := mixture(t, Part{1, must(Exponential(1))}, Part{1, must(Exponential(10))})
	for _, y := range []float64{0.999, 0.9, 0.5, 0.1, 1e-6} {
		u := 1 - (math.Pow(y, 10)+y)/2
		if got := h.Quantile(u); !close(got, -10*math.Log(y), 1e-9) {
			t.Errorf("y %v: %v, want %v", y, got, -10*math.Log(y))
		}
	}
	// What has lasted long is of the long kind: the residual tends to it.
	if r := h.Residual(0.5, 200); !close(r, 10*math.Ln2, 1e-9) {
		t.Error(r)
	}
	if r := h.Residual(0.5, 1e6); !close(r, 10*math.Ln2, 1e-9) {
		t.Error(r)
	}
	// A fixed part is hit exactly: a jump from 0.25 to 0.75.
	f := mixture(t, Part{1, must(Fixed(7.1))}, Part{1, must(Uniform(0, 14.2))})
	for u, want := range map[float64]float64{0.2: 5.68, 0.26: 7.1, 0.5: 7.1, 0.74: 7.1, 0.8: 8.52} {
		if got := f.Quantile(u); !close(got, want, 1e-12) || want == 7.1 && got != 7.1 {
			t.Errorf("u %v: %v, want %v", u, got, want)
		}
	}
	// A part that is over has no say in what remains.
	over := mixture(t, Part{5, must(Uniform(0, 1))}, Part{1, must(Uniform(10, 12))})
	if lo, mid := over.Residual(0, 5), over.Residual(0.5, 5); lo != 5 || !close(mid, 6, 1e-12) {
		t.Error(lo, mid)
	}
	// One part is the law.
	one := mixture(t, Part{3, short})
	for _, u := range []float64{0, 0.01, 0.5, 0.99, 1} {
		if one.Quantile(u) != short.Quantile(u) || one.Residual(u, 800) != short.Residual(u, 800) {
			t.Error(u)
		}
	}
	if !math.IsNaN(m.Quantile(math.NaN())) || !math.IsNaN(m.Residual(0.5, math.NaN())) {
		t.Error("nan")
	}
	for _, bad := range [][]Part{nil, {{0, short}}, {{math.NaN(), short}}, {{1, Law{kind: 99}}}, {{-1, short}, {2, long}}} {
		if _, err := NewMixture(bad...); err == nil {
			t.Error(bad, "taken")
		}
	}
	if l := (Luck{1, 2}); l.From(m, 3, 4, 5) != m.Quantile(l.Uniform(3, 4, 5)) || l.From(short, 3, 4, 5) != l.Draw(short, 3, 4, 5) {
		t.Error("From")
	}
}

func TestMixtureRoundTrip(t *testing.T) {
	laws := someLaws(t)
	rapid.Check(t, func(t *rapid.T) {
		var parts []Part
		for range rapid.IntRange(1, 4).Draw(t, "parts") {
			parts = append(parts, Part{rapid.Float64Range(0.01, 10).Draw(t, "share"), rapid.SampledFrom(laws).Draw(t, "law")})
		}
		m := mixture(t, parts...)
		u := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "u")
		x := m.Quantile(u)
		if c := m.CDF(x); !close(c, u, 1e-9) && math.Abs(c-u) > 1e-9 {
			t.Fatalf("CDF(Quantile(%v)) = %v", u, c)
		}
		if y := m.Quantile(math.Min(1, u*1.001)); y < x*(1-1e-14) {
			t.Fatal("falls")
		}
		e := rapid.Float64Range(0, 20).Draw(t, "elapsed")
		if alive := m.Survival(e); alive > 1e-6 {
			r := m.Residual(u, e)
			if s := m.Survival(e + r); r < 0 || math.Abs(s-alive*(1-u)) > 1e-8*alive {
				t.Fatalf("residual %v after %v: survival %v, want %v", u, e, s, alive*(1-u))
			}
		}
	})
}
