package judge

import (
	"math"
	"slices"
	"testing"
)

func TestQuantileTypeSeven(t *testing.T) {
	a := plansABCD(t)[0]
	before := slices.Clone(a)
	for p, want := range map[float64]float64{
		0.5: vector7(t, "p=0.5 type=7 (Hyndman-Fan)"), 0.9: vector7(t, "p=0.9 type=7 (Hyndman-Fan)"),
	} {
		near(t, "quantile", must[float64](t)(Quantile(a, p)), want, 1e-14)
	}
	near(t, "P90", must[float64](t)(P90(a)), vector7(t, "p=0.9 type=7 (Hyndman-Fan)"), 1e-14)
	near(t, "median", must[float64](t)(Median(a)), vector7(t, "p=0.5 type=7 (Hyndman-Fan)"), 1e-14)
	// 1..10 at 0.5: 5.5 in type 7, 5 in type 4. P10 is 1+9*0.1.
	ten := []float64{10, 1, 9, 2, 8, 3, 7, 4, 6, 5}
	nearAbs(t, "median of 1..10", must[float64](t)(Median(ten)), 5.5, 1e-15)
	nearAbs(t, "P10 of 1..10", must[float64](t)(P10(ten)), 1.9, 1e-14)
	nearAbs(t, "ends", must[float64](t)(Quantile(ten, 1)), 10, 0)
	nearAbs(t, "ends", must[float64](t)(Quantile(ten, 0)), 1, 0)
	nearAbs(t, "one future", must[float64](t)(P90([]float64{3})), 3, 0)
	if !slices.Equal(a, before) {
		t.Error("Quantile changed its argument")
	}
}

func vector7(t *testing.T, parameters string) float64 {
	t.Helper()
	for _, r := range table(t, "method_vectors.csv") {
		if r["method"] == "quantile_estimate" && r["parameters"] == parameters {
			return number(t, r["value"])
		}
	}
	t.Fatal("no vector ", parameters)
	return 0
}

func TestQuantileRanksTable(t *testing.T) {
	rank := func(s string) int {
		if s == "none" {
			return 0
		}
		return whole(t, s)
	}
	for _, r := range table(t, "order_statistic_ci.csv") {
		n, p, level := whole(t, r["n"]), number(t, r["p"]), number(t, r["confidence"])
		lo, hi, c, err := QuantileRanks(n, p, level)
		if err != nil {
			t.Fatal(err)
		}
		if lo != rank(r["lower_rank"]) || hi != rank(r["upper_rank"]) {
			t.Errorf("p %g n %d level %g: ranks %d,%d want %s,%s", p, n, level, lo, hi, r["lower_rank"], r["upper_rank"])
		}
		near(t, "coverage", c, number(t, r["coverage"]), 1e-11)
		// 1, 2, ..., n: the limit is its own rank.
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(n - i)
		}
		q, ok, err := QuantileInterval(x, p, level)
		if err != nil || ok != (hi > 0) || q.Low != float64(lo) || q.High != float64(hi) {
			t.Errorf("p %g n %d: interval %+v %v %v", p, n, q, ok, err)
		}
		limit, u, uc, ok, err := QuantileUpper(x, p, level)
		if err != nil {
			t.Fatal(err)
		}
		if want := rank(r["upper_onesided_rank"]); u != want || ok != (want > 0) || limit != float64(want) {
			t.Errorf("p %g n %d level %g: upper rank %d, want %s", p, n, level, u, r["upper_onesided_rank"])
		}
		if ok {
			near(t, "one-sided coverage", uc, number(t, r["upper_onesided_coverage"]), 1e-11)
		}
	}
}

// 0.9^n <= 0.025 from n = 36, 0.9^n <= 0.05 from n = 29 (Hahn & Meeker, from
// memory; the powers themselves are the check).
func TestFewestFuturesForP90(t *testing.T) {
	first := func(tail float64) int {
		n := 1
		for math.Pow(0.9, float64(n)) > tail {
			n++
		}
		return n
	}
	two, one := 0, 0
	for n := 60; n >= 1; n-- {
		x := make([]float64, n)
		if _, ok, _ := QuantileInterval(x, 0.9, 0.95); ok {
			two = n
		}
		if _, _, _, ok, _ := QuantileUpper(x, 0.9, 0.95); ok {
			one = n
		}
	}
	if two != 36 || two != first(0.025) || one != 29 || one != first(0.05) {
		t.Errorf("two-sided from %d, one-sided from %d", two, one)
	}
}

func TestProportions(t *testing.T) {
	for _, r := range table(t, "proportion_ci.csv") {
		w := must[Proportion](t)(Wilson(whole(t, r["x"]), whole(t, r["n"]), 0.95))
		nearAbs(t, "lower", w.Low, number(t, r["wilson_lower"]), 1e-13)
		nearAbs(t, "upper", w.High, number(t, r["wilson_upper"]), 1e-13)
		if r["published_lower"] != "" {
			nearAbs(t, "printed lower", w.Low, number(t, r["published_lower"]), 5.1e-5)
			nearAbs(t, "printed upper", w.High, number(t, r["published_upper"]), 5.1e-5)
		}
		if w.NoneSeen != (w.Hits == 0) || w.AlwaysHit != (w.Hits == w.N) {
			t.Errorf("flags of %+v", w)
		}
	}
	w := must[Proportion](t)(Wilson(0, 1000003, 0.95))
	if w.Low != 0 {
		t.Errorf("lower limit of nothing seen is %g, not 0", w.Low)
	}
	diff, lo, hi, err := ShareDifference(56, 70, 48, 80, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	nearAbs(t, "difference", diff, 0.2, 1e-15)
	near(t, "lower", lo, vector(t, "newcombe_difference", "56/70 - 48/80", "lower"), 1e-12)
	near(t, "upper", hi, vector(t, "newcombe_difference", "56/70 - 48/80", "upper"), 1e-12)
}

// The exact 95 % limit solves (1-p)^n = 0.05; 3/n is above it and within 6 %
// from 30 futures on.
func TestBelowAbout(t *testing.T) {
	for _, n := range []int{30, 100, 200, 1000} {
		exact := 1 - math.Pow(0.05, 1/float64(n))
		if b := BelowAbout(n); b < exact || b > 1.06*exact {
			t.Errorf("n %d: %g, exact %g", n, b, exact)
		}
	}
	if BelowAbout(1) != 1 || BelowAbout(0) != 1 || BelowAbout(-5) != 1 {
		t.Error("not capped at 1")
	}
}

// Band against plain sums of the binomial law.
func TestBandBySummation(t *testing.T) {
	for _, c := range []struct {
		n     int
		p     float64
		level float64
	}{{1, 0.5, 0.95}, {10, 0.05, 0.95}, {20, 0.3, 0.9}, {200, 0.05, 1 - 1e-6}, {2000, 0.0812, 1 - 1e-6}, {50, 0.999, 0.99}} {
		pmf := make([]float64, c.n+1)
		for k := range pmf {
			a, _ := math.Lgamma(float64(c.n + 1))
			b, _ := math.Lgamma(float64(k + 1))
			d, _ := math.Lgamma(float64(c.n - k + 1))
			pmf[k] = math.Exp(a - b - d + float64(k)*math.Log(c.p) + float64(c.n-k)*math.Log1p(-c.p))
		}
		tail := (1 - c.level) / 2
		lo, below := 0, 0.0
		for below+pmf[lo] <= tail {
			below += pmf[lo]
			lo++
		}
		hi, above := c.n, 0.0
		for above+pmf[hi] <= tail {
			above += pmf[hi]
			hi--
		}
		l, h, err := Band(c.n, c.p, c.level)
		if err != nil || l != lo || h != hi {
			t.Errorf("%+v: band %d..%d, want %d..%d (%v)", c, l, h, lo, hi, err)
		}
	}
}

// Wilson's exact coverage, by summing over all outcomes: on average over p it is
// close to nominal (Agresti & Coull 1998, from memory).
func TestWilsonCoverageExact(t *testing.T) {
	const n = 50
	var mean float64
	count := 0
	for p := 0.05; p < 0.96; p += 0.005 {
		var c float64
		for x := 0; x <= n; x++ {
			w := must[Proportion](t)(Wilson(x, n, 0.95))
			if w.Low <= p && p <= w.High {
				c += binomialCDF(n, p, x) - binomialCDF(n, p, x-1)
			}
		}
		if c < 0.90 {
			t.Errorf("coverage at %.3f is %.4f", p, c)
		}
		mean += c
		count++
	}
	nearAbs(t, "mean coverage", mean/float64(count), 0.95, 0.006)
}
