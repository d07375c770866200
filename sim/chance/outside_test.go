package chance_test

import (
	"math"
	"testing"

	"millrace/sim/chance"
)

// TestFitsOutside holds censored fits against a maximum that was searched for
// without derivatives in the likelihood itself (SciPy 1.10.1, Nelder and Mead from
// five starts): parameters to 1e-6, log-likelihood no lower. Open spells last
// longer than the last figure of a set.
func TestFitsOutside(t *testing.T) {
	sets := map[string][]chance.Spell{
		"two closed": {{5, false}, {8, false}, {8.5, true}, {8.5, true}, {8.5, true}, {8.5, true}, {8.5, true}},
		"tiny":       chance.Spells(0.0012, 0.0031, 0.0008, 0.0044, 0.0025, 0.0019),
		"narrow":     chance.Spells(100.1, 100.2, 99.9, 100.0, 100.05, 99.97, 100.11, 99.93),
	}
	for _, c := range []struct {
		set  string
		kind chance.Kind
		a, b float64
	}{
		{"two closed", chance.KindExponential, 2 / 55.5, 0},
		{"two closed", chance.KindWeibull, 3.6425073, 11.4641009},
		{"two closed", chance.KindLognormal, 2.40499189, 0.47004244},
		{"two closed", chance.KindGamma, 6.42962481, 1.76379491},
		{"tiny", chance.KindWeibull, 2.05672323, 0.002626415},
		{"tiny", chance.KindLognormal, -6.21936706, 0.57250211},
		{"tiny", chance.KindGamma, 3.45285141, 0.000670943},
		{"narrow", chance.KindWeibull, 1083.5765, 100.0808614},
		{"narrow", chance.KindLognormal, 4.60549468, 0.000947928},
	} {
		f, err := chance.FitLaw(c.kind, sets[c.set])
		if err != nil {
			t.Fatal(c.set, c.kind, err)
		}
		a, b := f.Shape, f.Scale
		switch c.kind {
		case chance.KindExponential:
			a, b = f.Rate, 0
		case chance.KindLognormal:
			a, b = f.MeanLog, f.SDLog
		}
		if math.Abs(a/c.a-1) > 1e-6 || math.Abs(b-c.b) > 1e-6*c.b {
			t.Errorf("%s, %v: %.9g and %.9g, want %.9g and %.9g", c.set, c.kind, a, b, c.a, c.b)
		}
	}
}

// TestGoodnessOutside holds the distances of a sample from laws fitted to it, and
// quantiles of laws, against SciPy 1.10.1: stats.anderson, kstest, cramervonmises,
// kstwo and the laws' ppf.
func TestGoodnessOutside(t *testing.T) {
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got/want-1) < 1e-7) {
			t.Errorf("%s is %.12g, want %.12g", what, got, want)
		}
	}
	x := []float64{3.49, 6.35, 9.41, 10.18, 10.46, 11.56, 14.65, 17.21, 17.32, 19.28, 20.37, 20.88, 22.91, 23.48, 24.27, 28.21, 30.07, 30.1, 32.42, 32.66, 33.75, 33.98, 43.55, 53.5}
	f, err := chance.FitLognormal(chance.Spells(x...))
	if err != nil {
		t.Fatal(err)
	}
	law, which, err := f.Judged()
	if err != nil || which != chance.FittedLognormal {
		t.Fatal(which, err)
	}
	d, err := chance.Distance(law, x)
	if err != nil {
		t.Fatal(err)
	}
	near("A2", d.A2, 0.502285980892637)
	near("D", d.D, 0.13209354577610832)
	near("W2", d.W2, 0.08323707277401071)
	if f, err = chance.FitExponential(chance.Spells(x...)); err != nil {
		t.Fatal(err)
	}
	if law, which, err = f.Judged(); err != nil || which != chance.FittedExponential {
		t.Fatal(which, err)
	}
	if d, err = chance.Distance(law, x); err != nil {
		t.Fatal(err)
	}
	near("A2 exponential", d.A2, 2.445830709847712)
	near("D exponential", d.D, 0.2533968391942488)
	for i, p := range []float64{0.9, 0.95, 0.99} {
		q, err := chance.KolmogorovQuantile(24, p)
		if err != nil {
			t.Fatal(err)
		}
		near("Kolmogorov", q, []float64{0.24241727, 0.26930741, 0.32285702}[i])
	}
	near("Kolmogorov's law", chance.KolmogorovCDF(24, 0.2), 0.7439001990467455)
	must := func(l chance.Law, err error) chance.Law {
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	shares := []float64{1e-6, 0.01, 0.5, 0.99, 1 - 1e-9}
	for _, c := range []struct {
		law  chance.Law
		want [5]float64
	}{
		{must(chance.Gamma(0.35, 2)), [5]float64{1.03556456e-17, 2.77810755e-06, 2.14738972e-01, 5.65316822, 35.7605899}},
		{must(chance.Gamma(40, 0.3)), [5]float64{5.02594507, 8.03101159, 11.9001495, 16.84931888, 27.07202375}},
		{must(chance.Weibull(0.5, 3)), [5]float64{3.000003e-12, 3.03027752e-04, 1.44135904, 63.6227773, 1288.36124}},
		{must(chance.Pert(0, 0.25, 1)), [5]float64{3.16327821e-04, 3.26821122e-02, 0.313810170, 0.777927717, 0.996236561}},
	} {
		for i, u := range shares {
			near(c.law.String(), c.law.Quantile(u), c.want[i])
		}
	}
}
