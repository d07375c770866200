package chance

import (
	"math"
	"os"
	"sort"
	"strconv"
	"testing"
)

// R qnorm to the digits that doubles hold.
func TestNormalQuantileDigits(t *testing.T) {
	n := 0
	for _, row := range rows(t, "quantile_normal.csv") {
		p, _ := strconv.ParseFloat(row[0], 64)
		z, _ := strconv.ParseFloat(row[1], 64)
		if got := normalQuantile(p); math.Abs(got-z) > 1e-14*(1+math.Abs(z)) {
			t.Errorf("p %v: %.16g, table %.16g", p, got, z)
		}
		n++
	}
	if n != 20 {
		t.Error(n, "rows")
	}
}

// Keyed draws of every law: the mean within 4.9 standard errors, and the whole law
// by the bound of Dvoretzky, Kiefer, Wolfowitz and Massart at one in a million: D <
// sqrt(ln(2e6)/(2n)) = 2.693/sqrt(n).
func TestDrawsFollowTheirLaw(t *testing.T) {
	n := 20000
	if os.Getenv("MILLRACE_NIGHTLY") != "" {
		n = 1000000
	}
	laws := map[string]interface {
		Variate
		Distribution
		Mean() float64
	}{}
	for _, l := range someLaws(t) {
		laws[l.String()] = l
	}
	laws["mixture"] = mixture(t, Part{3, must(Exponential(1))}, Part{1, must(Uniform(4, 6))})
	e, err := NewEmpirical([]float64{3, 5, 7, 18, 43, 85, 91, 98, 100, 130, 230, 487})
	if err != nil {
		t.Fatal(err)
	}
	laws["empirical"] = e
	luck := Luck{606, 1}
	x := make([]float64, n)
	for name, l := range laws {
		sum, square := 0.0, 0.0
		for i := range x {
			x[i] = luck.From(l, 9, 1, uint64(i))
			sum += x[i]
		}
		mean := sum / float64(n)
		for _, v := range x {
			square += (v - mean) * (v - mean)
		}
		se := math.Sqrt(square / float64(n-1) / float64(n))
		if l.Quantile(0.9) < 20*l.Quantile(0.5) { // else n draws do not show the mean
			if z := (mean - l.Mean()) / se; math.Abs(z) > 4.9 {
				t.Errorf("%s: mean %v, want %v: z %.2f", name, mean, l.Mean(), z)
			}
		}
		sort.Float64s(x)
		d := 0.0
		for i, v := range x {
			u := l.CDF(v)
			d = math.Max(d, math.Max(float64(i+1)/float64(n)-u, u-float64(i)/float64(n)))
		}
		if d > 2.693/math.Sqrt(float64(n)) {
			t.Errorf("%s: D %v of %d draws", name, d, n)
		}
	}
}
