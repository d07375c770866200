package judge_test

import (
	"math"
	"testing"

	"millrace/sim/futures/judge"
)

// Two samples and what SciPy 1.10.1 and NumPy 1.24.2 say of them: stats.binomtest,
// beta, skew(bias=False), ttest_ind(equal_var=False), numpy.quantile by method.
var (
	outsideA = []float64{16.12, 2.33, 11.25, 8.3, 8.64, 9.35, 3.94, 9.3, 7.4, 19.97, 10.68, 8.94, 9.16, 8.0, 6.83, 8.83, 11.45}
	outsideB = []float64{10.31, 16.29, 10.5, 11.62, 19.23, 14.23, 8.97, 10.59, 14.2, 21.18, 10.15, 10.28, 16.51, 7.07, 10.04, 15.91, 14.4, 11.96, 14.85, -2.64, 16.61, 6.7, 3.16}
)

func TestOutside(t *testing.T) {
	near := func(what string, got, want float64) {
		t.Helper()
		if math.IsNaN(got) || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
			t.Errorf("%s is %.15g, want %.15g", what, got, want)
		}
	}
	w, err := judge.Unpaired(outsideA, outsideB, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near("difference", w.Difference, 2.3907161125319707)
	near("degrees", w.Degrees, 37.91416975064474)
	// The library's t quantile misses its own distribution function by 2.5e-10.
	if math.Abs(w.Half-2.476533733825234) > 1e-8 {
		t.Errorf("half is %.15g", w.Half)
	}
	for _, c := range []struct {
		hits, n                                        int
		wilsonLow, wilsonHigh, cpLow, cpHigh, jlo, jhi float64
	}{
		{0, 12, 0, 0.24249400665524085, 0, 0.220922191945552, 0, 0.18530593831248504},
		{3, 17, 0.061911266376209945, 0.4102945856883412, 0.04989815455742294, 0.39564143344490194, 0.05234765705067389, 0.40012266262331386},
		{29, 40, 0.5716504419378943, 0.8389198375233267, 0.5861225567735013, 0.8374785017109572, 0.5745142411047293, 0.8442446433933797},
		{5, 5, 0.5655175352168251, 1, 0.549280271653059, 1, 0.6206228577009606, 1},
	} {
		p, err := judge.Wilson(c.hits, c.n, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		lo, hi, err := judge.ClopperPearson(c.hits, c.n, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		a, b, err := judge.Jeffreys(c.hits, c.n, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near("wilson low", p.Low, c.wilsonLow)
		near("wilson high", p.High, c.wilsonHigh)
		near("exact low", lo, c.cpLow)
		near("exact high", hi, c.cpHigh)
		near("jeffreys low", a, c.jlo)
		near("jeffreys high", b, c.jhi)
	}
	g, err := judge.Skewness(outsideB)
	if err != nil {
		t.Fatal(err)
	}
	near("skewness", g, -0.7945149936324066)
	shares := []float64{0.1, 0.33, 0.5, 0.9}
	for kind, want := range [][]float64{
		1: {6.7, 10.28, 11.62, 16.61},
		2: {6.7, 10.28, 11.62, 16.61},
		3: {3.16, 10.28, 11.62, 16.61}, // rank 11.5: of equal distances the even rank, 12; the library takes 11
		4: {4.222, 10.2267, 11.105, 16.58},
		5: {5.992, 10.2827, 11.62, 17.134},
		6: {4.576, 10.2696, 11.62, 18.182},
		7: {6.774, 10.2878, 11.62, 16.59},
		8: {5.52, 10.281, 11.62, 17.48333333333333},
		9: {5.638, 10.281425, 11.62, 17.396},
	} {
		for i := range want {
			q, err := judge.QuantileOfType(outsideB, shares[i], kind)
			if err != nil {
				t.Fatal(err)
			}
			near("quantile", q, want[i])
		}
	}
	near("F", valueOf(judge.FQuantile(0.975, 3, 12.5)), 4.407597290329682)
	if got := valueOf(judge.StudentQuantile(0.999, 2.5)); math.Abs(got-13.822193110834316) > 1e-7 {
		t.Errorf("t quantile %.12g", got)
	}
	if got := valueOf(judge.StudentizedRange(0.95, 4, 10)); math.Abs(got-4.32658211573119) > 1e-6 {
		t.Errorf("studentized range %v", got)
	}
	near("chi-square", valueOf(judge.ChiSquareQuantile(0.95, 7)), 14.06714044934017)
	for _, c := range [][3]float64{ // SciPy 1.10.1, chi2.ppf
		{1e-10, 1, 1.570796326794896e-20}, {0.001, 0.1, 1.1689264114573264e-60}, {1e-10, 7, 0.005605668492481242}, {0.001, 1, 1.5707971492624921e-06},
	} {
		if got := valueOf(judge.ChiSquareQuantile(c[0], c[1])); math.Abs(got/c[2]-1) > 1e-9 {
			t.Errorf("chi-square quantile %v of %v: %v, want %v", c[0], c[1], got, c[2])
		}
	}
	m, err := judge.PairedDifference(judge.Both{Both: 20, OnlyFirst: 3, OnlySecond: 11, Neither: 6}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near("McNemar", m.Chance, 0.057373046875)
}

func valueOf(x float64, _ error) float64 { return x }
