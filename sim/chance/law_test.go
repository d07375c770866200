package chance

import (
	"math"
	"sort"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"millrace/sim/quantity"
)

func must(l Law, err error) Law {
	if err != nil {
		panic(err)
	}
	return l
}

func someLaws(testing.TB) []Law {
	return []Law{
		must(Exponential(3)), must(Weibull(0.7, 2)), must(Weibull(3.2, 5)), must(WeibullMean(1, 4)),
		must(Lognormal(11, 26)), must(Lognormal(1, 900)), must(Told(4, 8, 26)), must(Told(7.9, 8, 300)),
		must(Gamma(0.5, 2)), must(Gamma(1, 2)), must(Gamma(30, 0.1)), must(Gamma(2000, 0.01)),
		must(Triangular(1, 2, 7)), must(Triangular(0, 0, 3)), must(Triangular(0, 3, 3)),
		must(Pert(1, 2, 7)), must(Pert(0, 0, 3)), must(Pert(2, 9, 9)), must(Uniform(2, 5)),
	}
}

func close(a, b, rel float64) bool {
	return a == b || math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b))
}

// R qnorm; the file says where it comes from.
func TestNormalQuantileTable(t *testing.T) {
	l := must(Lognormal(1, math.Exp(zOneInTen))) // sigma 1
	for _, row := range rows(t, "quantile_normal.csv") {
		p, _ := strconv.ParseFloat(row[0], 64)
		z, _ := strconv.ParseFloat(row[1], 64)
		if got := math.Log(l.Quantile(p)); math.Abs(got-z) > 2e-8*(1-math.Min(p, 0.9999))+1e-9 {
			t.Errorf("p %v: z %v, table %v", p, got, z)
		}
		if got := l.Survival(math.Exp(z)); !close(got, 1-p, 1e-6) {
			t.Errorf("p %v: survival %v", p, got)
		}
	}
}

// Chi-square with k degrees of freedom is gamma with shape k/2 and scale 2; R
// qchisq.
func TestGammaAgainstChiSquareTable(t *testing.T) {
	n := 0
	for _, row := range rows(t, "quantile_chi2.csv") {
		p, _ := strconv.ParseFloat(row[0], 64)
		df, _ := strconv.ParseFloat(row[1], 64)
		x, _ := strconv.ParseFloat(row[2], 64)
		l, err := Gamma(df/2, 2)
		if err != nil {
			continue
		}
		n++
		if got := l.Quantile(p); !close(got, x, 1e-10) {
			t.Errorf("p %v df %v: %v, table %v", p, df, got, x)
		}
		if got := l.CDF(x); !close(got, p, 1e-10) {
			t.Errorf("p %v df %v: CDF %v", p, df, got)
		}
	}
	if n < 100 {
		t.Errorf("only %d rows used", n)
	}
}

// Laws against gonum's distuv, an implementation of its own for these.
func TestAgainstGonum(t *testing.T) {
	type reference interface {
		CDF(float64) float64
		Quantile(float64) float64
		Mean() float64
	}
	for _, c := range []struct {
		law Law
		ref reference
	}{
		{must(Exponential(3)), distuv.Exponential{Rate: 1. / 3}},
		{must(Weibull(0.7, 2)), distuv.Weibull{K: 0.7, Lambda: 2}},
		{must(Triangular(1, 2, 7)), distuv.NewTriangle(1, 7, 2, nil)},
		{must(Uniform(2, 5)), distuv.Uniform{Min: 2, Max: 5}},
		{must(Lognormal(11, 26)), distuv.LogNormal{Mu: math.Log(11), Sigma: math.Log(26./11) / 1.2815515655446004}},
		{must(Gamma(2.5, 3)), distuv.Gamma{Alpha: 2.5, Beta: 1. / 3}},
	} {
		if !close(c.law.Mean(), c.ref.Mean(), 1e-13) {
			t.Errorf("%v mean %v, gonum %v", c.law, c.law.Mean(), c.ref.Mean())
		}
		for _, u := range []float64{0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99} {
			if a, b := c.law.Quantile(u), c.ref.Quantile(u); !close(a, b, 1e-11) {
				t.Errorf("%v quantile %v: %v, gonum %v", c.law, u, a, b)
			}
			x := c.ref.Quantile(u)
			if a, b := c.law.CDF(x), c.ref.CDF(x); !close(a, b, 1e-11) {
				t.Errorf("%v CDF %v: %v, gonum %v", c.law, x, a, b)
			}
		}
	}
	b := distuv.Beta{Alpha: 1 + 4./6, Beta: 1 + 20./6}
	l := must(Pert(1, 2, 7))
	for _, u := range []float64{0.01, 0.1, 0.5, 0.9, 0.99} {
		if got, want := l.Quantile(u), 1+6*b.Quantile(u); !close(got, want, 1e-9) {
			t.Errorf("pert quantile %v: %v, gonum %v", u, got, want)
		}
	}
	if !close(l.Mean(), 1+6*b.Mean(), 1e-14) {
		t.Error(l.Mean())
	}
}

// The three told times are what they are said to be; the lognormal's one in ten
// too, and its mean is median exp(sigma^2/2), sigma = ln(p90/median)/1.2816
// (Johnson, Kotz & Balakrishnan vol. 1 ch. 14, from memory).
func TestToldTimes(t *testing.T) {
	e, err := quantity.ParseEstimate("low 4 h, likely 8 h, bad 26 h")
	if err != nil {
		t.Fatal(err)
	}
	l := must(ToldEstimate(e))
	for u, hours := range map[float64]float64{0.1: 4, 0.5: 8, 0.9: 26} {
		if got := l.Quantile(u) / 3600; !close(got, hours, 1e-13) {
			t.Errorf("quantile %v is %v h, want %v", u, got, hours)
		}
	}
	if l.Median() != 8*3600 {
		t.Error(l.Median())
	}
	ln := must(Lognormal(11, 26))
	if !close(ln.Quantile(0.9), 26, 1e-13) || ln.Median() != 11 {
		t.Error(ln.Quantile(0.9), ln.Median())
	}
	sigma := math.Log(26./11) / 1.2816
	if !close(ln.Mean(), 11*math.Exp(sigma*sigma/2), 2e-5) {
		t.Error(ln.Mean())
	}
	// A told law with equal sides is the lognormal.
	even := must(Told(11*11/26., 11, 26))
	for u := 0.01; u < 1; u += 0.07 {
		if !close(even.Quantile(u), ln.Quantile(u), 1e-13) || !close(even.CDF(9), ln.CDF(9), 1e-13) {
			t.Error(u)
		}
	}
	if !close(even.Mean(), ln.Mean(), 1e-13) {
		t.Error(even.Mean(), ln.Mean())
	}
}

// The mean of every law against the integral of its quantile (midpoint rule on
// u = 3v^2-2v^3, which flattens both ends).
func TestMeansAreIntegralsOfQuantiles(t *testing.T) {
	for _, l := range someLaws(t) {
		tolerance := 1e-5
		if l.Quantile(0.9) > 20*l.Median() { // much of the mean is beyond the last point
			if l.Quantile(0.9) > 100*l.Median() {
				continue
			}
			tolerance = 0.02
		}
		const n = 20000
		sum := 0.0
		for i := 0; i < n; i++ {
			v := (float64(i) + 0.5) / n
			sum += l.Quantile(v*v*(3-2*v)) * 6 * v * (1 - v) / n
		}
		if !close(sum, l.Mean(), tolerance) {
			t.Errorf("%v: mean %v, integral %v", l, l.Mean(), sum)
		}
	}
}

func TestQuantileAndCDFRoundTrip(t *testing.T) {
	laws := someLaws(t)
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(laws).Draw(t, "law")
		u := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "u")
		x := l.Quantile(u)
		if c := l.CDF(x); !close(c, u, 1e-9) {
			t.Fatalf("%v: CDF(Quantile(%v)) = %v", l, u, c)
		}
		if s := l.Survival(x); !close(s, 1-u, 1e-8) {
			t.Fatalf("%v: Survival(Quantile(%v)) = %v", l, u, s)
		}
		if v := rapid.Float64Range(u, 1-1e-7).Draw(t, "v"); l.Quantile(v) < x {
			t.Fatalf("%v: quantile falls from %v to %v", l, u, v)
		}
		f := rapid.Float64Range(0.01, 100).Draw(t, "f")
		if !close(l.Scale(f).Quantile(u), f*x, 1e-9) || !close(l.Scale(f).Mean(), f*l.Mean(), 1e-12) {
			t.Fatalf("%v scaled by %v", l, f)
		}
		if err := l.Scale(f).Valid(); err != nil {
			t.Fatal(err)
		}
	})
}

func TestConstructorsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	try := func(l Law, err error) {
		t.Helper()
		if err == nil {
			t.Errorf("%v taken", l)
		}
	}
	for _, v := range []float64{nan, inf, -inf, -1} {
		try(Fixed(v))
		try(Exponential(v))
		try(Weibull(v, 1))
		try(Weibull(1, v))
		try(WeibullMean(1, v))
		try(Lognormal(v, 5))
		try(Lognormal(1, v))
		try(Told(v, 2, 3))
		try(Told(1, v, 3))
		try(Told(1, 2, v))
		try(Gamma(v, 1))
		try(Gamma(1, v))
		try(Triangular(v, 2, 3))
		try(Triangular(1, v, 3))
		try(Triangular(1, 2, v))
		try(Pert(1, 2, v))
		try(Uniform(v, 3))
		try(Uniform(1, v))
	}
	try(Exponential(0))
	try(Lognormal(5, 5))
	try(Lognormal(1, 1e6))
	try(Told(3, 2, 4))
	try(Told(1, 2, 2))
	try(Triangular(2, 2, 2))
	try(Uniform(2, 2))
	try(StandardLife(0))
	for _, f := range []float64{-1, nan, inf} {
		l := must(Exponential(1)).Scale(f)
		if l.Valid() == nil || !math.IsNaN(l.Quantile(0.5)) {
			t.Errorf("scaled by %v: %v", f, l)
		}
	}
	if l := must(Exponential(1)).Scale(0); l.Quantile(0.9) != 0 || l.Valid() != nil {
		t.Error(l)
	}
	if (Law{}).Quantile(0.3) != 0 || (Law{}).Valid() != nil {
		t.Error("the zero law is not 0")
	}
	if s := must(Told(4, 8, 26)).String(); s != "told { low = 4, likely = 8, bad = 26 }" {
		t.Error(s)
	}
	for _, l := range someLaws(t) {
		if l.Valid() != nil || !strings.HasPrefix(l.String(), l.Kind().String()) || !math.IsNaN(l.Quantile(nan)) || !math.IsNaN(l.CDF(nan)) || !math.IsNaN(l.Residual(nan, 1)) || !math.IsNaN(l.Residual(0.5, nan)) {
			t.Error(l)
		}
		if l.Quantile(0) != l.Lowest() || l.Quantile(1) != l.Highest() || l.CDF(-1) != 0 || l.Survival(-1) != 1 {
			t.Error(l, "ends")
		}
	}
}

func TestStandardLifeHasMeanOne(t *testing.T) {
	for _, shape := range []float64{0.5, 1, 2, 3.5} {
		l := must(StandardLife(shape))
		if !close(l.Mean(), 1, 1e-14) {
			t.Errorf("shape %v: mean %v", shape, l.Mean())
		}
		// Spent at a rate, a life is the law of that mean.
		m := must(WeibullMean(shape, 80))
		if !close(80*l.Quantile(0.3), m.Quantile(0.3), 1e-13) {
			t.Errorf("shape %v", shape)
		}
	}
}

func TestEmpirical(t *testing.T) {
	// Air-conditioning failures, hours: Proschan (1963), as in R boot::aircondit.
	hours := []float64{3, 5, 7, 18, 43, 85, 91, 98, 100, 130, 230, 487}
	e, err := NewEmpirical(hours)
	if err != nil {
		t.Fatal(err)
	}
	if !close(e.Mean(), 1297/12., 1e-14) {
		t.Error(e.Mean())
	}
	const n = 2_000_000
	sum, last := 0.0, 0.0
	for i := 0; i < n; i++ {
		x := e.Quantile((float64(i) + 0.5) / n)
		if x < last {
			t.Fatal("falls")
		}
		sum, last = sum+x, x
	}
	if !close(sum/n, e.Mean(), 1e-4) {
		t.Errorf("mean of the quantiles %v, of the list %v", sum/n, e.Mean())
	}
	for u := 0.001; u < 1; u += 0.0137 {
		x := e.Quantile(u)
		if !close(e.CDF(x), u, 1e-12) {
			t.Errorf("u %v: CDF %v", u, e.CDF(x))
		}
		for _, elapsed := range []float64{1, 40, 200, 1000} {
			r := e.Residual(u, elapsed)
			if want := e.Survival(elapsed) * (1 - u); r < 0 || !close(e.Survival(elapsed+r), want, 1e-9) {
				t.Errorf("residual %v after %v: survival %v, want %v", u, elapsed, e.Survival(elapsed+r), want)
			}
		}
	}
	if !sort.Float64sAreSorted(e.x) || hours[0] != 3 {
		t.Error("order")
	}
	for _, bad := range [][]float64{nil, {1, 2, 3, 4}, {1, 2, 3, 4, -5}, {1, 2, 3, 4, math.NaN()}} {
		if _, err := NewEmpirical(bad); err == nil {
			t.Error(bad)
		}
	}
}
