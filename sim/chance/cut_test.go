package chance

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The limited expected value against SciPy 1.10.1: scipy.stats .expect(x, ub=L) + L .sf(L),
// and integrate.quad of .sf to 1e-13, which agree to the last digit (a told law: the
// latter alone, over its two halves).
func TestMeanOfACutLaw(t *testing.T) {
	for _, c := range []struct {
		law           Law
		longest, want float64
	}{
		{must(Lognormal(8, 48)), 120, 18.15306613674},
		{must(Lognormal(24, 240)), 480, 76.98208088062},
		{must(Lognormal(72, 240)), 336, 101.8421804078},
		{must(Lognormal(0.5, 2)), 24, 0.8960817049541},
		{must(Lognormal(10, 48)), 11, 7.820879135035},
		{must(Lognormal(12, 48)), 6, 5.350265453328},
		{must(Lognormal(1, 900)), 1e4, 645.2796383903},
		{must(Exponential(3)), 5, 2.433373191487},
		{must(Weibull(0.7, 2)), 6, 1.996520666672},
		{must(Gamma(2.5, 3)), 9, 6.207850137753},
		{must(Triangular(1, 2, 7)), 4, 3.033333333333},
		{must(Uniform(2, 5)), 3.5, 3.125},
		{must(Pert(1, 2, 7)), 3, 2.3824052166},
		{must(Told(4, 8, 26)), 6, 5.52765340879},
		{must(Told(4, 8, 26)), 40, 11.87367181176},
		{must(Fixed(4)), 7, 4},
		{must(Fixed(4)), 3, 3},
		{must(Uniform(2, 5)), 1, 1},
		{must(Uniform(2, 5)), 9, 3.5},
	} {
		if got := c.law.Cut(c.longest).Mean(); !close(got, c.want, 1e-11) {
			t.Errorf("%v cut at %v: mean %.13g, SciPy %.13g", c.law, c.longest, got, c.want)
		}
	}
	// The formula as it is printed, for a lognormal.
	mu, s, l := math.Log(8.), math.Log(6.)/zOneInTen, 120.
	want := math.Exp(mu+s*s/2)*normalCDF((math.Log(l)-mu-s*s)/s) + l*(1-normalCDF((math.Log(l)-mu)/s))
	if got := must(Lognormal(8, 48)).Cut(l).Mean(); !close(got, want, 1e-12) {
		t.Errorf("mean %v, by the formula %v", got, want)
	}
}

// A cut law is the smaller of the number and the longest, whatever is asked of it, and
// its mean is that of draws.
func TestCutIsTheSmaller(t *testing.T) {
	laws := someLaws(t)
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(laws).Draw(t, "law")
		longest := l.Quantile(rapid.Float64Range(0.02, 0.999).Draw(t, "at"))
		c := l.Cut(longest)
		u := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "u")
		x := l.Quantile(u)
		if c.Quantile(u) != math.Min(x, longest) || c.Quantile(1) != longest || c.Highest() != longest || c.Longest() != longest {
			t.Fatalf("%v: quantile %v is %v, of the whole %v", c, u, c.Quantile(u), x)
		}
		if x < longest && (c.CDF(x) != l.CDF(x) || c.Survival(x) != l.Survival(x)) || x >= longest && (c.CDF(x) != 1 || c.Survival(x) != 0) {
			t.Fatalf("%v: CDF(%v) = %v, survival %v", c, x, c.CDF(x), c.Survival(x))
		}
		gone := longest * rapid.Float64Range(0, 1.2).Draw(t, "gone")
		want := 0.0
		if gone < longest {
			want = math.Min(l.Residual(u, gone), longest-gone)
		}
		if got := c.Residual(u, gone); got != want {
			t.Fatalf("%v: after %v quantile %v of the rest is %v, want %v", c, gone, u, got, want)
		}
		f := rapid.Float64Range(0.01, 100).Draw(t, "f")
		for _, s := range []Law{c.Scale(f), c.Times(f)} {
			if !close(s.Quantile(u), f*c.Quantile(u), 1e-9) || !close(s.Mean(), f*c.Mean(), 1e-9) || s.Valid() != nil {
				t.Fatalf("%v by %v: %v", c, f, s)
			}
		}
		if c.Cut(2*longest) != c || c.Cut(longest/2) != l.Cut(longest/2) || c.Cut(math.Inf(1)) != c || l.Cut(math.Inf(1)) != l {
			t.Fatalf("%v cut again", c)
		}
		// What is left of one found under way is no longer than the longest, and its
		// share below t is the area under the survival over the mean.
		if r := c.ForwardRecurrence(u); r > longest || !close(c.survivalArea(r), u*c.Mean(), 1e-9) {
			t.Fatalf("%v: found under way %v left, area %v, want %v", c, r, c.survivalArea(r), u*c.Mean())
		}
	})
	for i, l := range laws {
		c := l.Cut(l.Quantile(0.8))
		const n = 40000
		sum, squares, most := 0.0, 0.0, 0.0
		for k := range uint64(n) {
			x := Luck{Seed: 5, Future: uint64(i)}.Draw(c, 1, 2, k)
			sum, squares, most = sum+x, squares+x*x, math.Max(most, x)
		}
		mean := sum / n
		z := (mean - c.Mean()) / math.Sqrt((squares/n-mean*mean)/n)
		if math.Abs(z) > 4.5 || most != c.Longest() {
			t.Errorf("%v: drawn mean %v, stated %v (z = %.1f), longest %v", c, mean, c.Mean(), z, most)
		}
	}
}

func TestCutRefuses(t *testing.T) {
	l := must(Lognormal(8, 48))
	for _, v := range []float64{-1, math.NaN(), 1e16} {
		if l.Cut(v).Valid() == nil {
			t.Errorf("cut at %v: %v", v, l.Cut(v))
		}
	}
	if l.Cut(0) != (Law{}) || !math.IsInf(l.Longest(), 1) {
		t.Error(l.Cut(0), l.Longest())
	}
	if s := l.Cut(120).String(); s != "lognormal { median = 8, one_in_ten = 48, longest = 120 }" {
		t.Error(s)
	}
	if got := l.Cut(5).Median(); got != 5 {
		t.Errorf("median %v", got)
	}
}
