package judge

import (
	"math"
	"strconv"
	"testing"
)

// Worked by hand: 0,0,1 has m2 = 2/9, m3 = 2/27, g1 = 1/sqrt(2), and
// G1 = sqrt(6) g1 = sqrt(3) for n = 3.
func TestSkewness(t *testing.T) {
	nearAbs(t, "G1 of 0,0,1", must[float64](t)(Skewness([]float64{0, 0, 1})), math.Sqrt(3), 1e-14)
	nearAbs(t, "mirrored", must[float64](t)(Skewness([]float64{1, 1, 0})), -math.Sqrt(3), 1e-14)
	nearAbs(t, "symmetric", must[float64](t)(Skewness([]float64{-2, -1, 0, 1, 2})), 0, 1e-15)
	nearAbs(t, "shift and scale", must[float64](t)(Skewness([]float64{1e9, 1e9, 1e9 + 4096})), math.Sqrt(3), 1e-9)
	nearAbs(t, "constant", must[float64](t)(Skewness([]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1})), 0, 0)
	nearAbs(t, "huge", must[float64](t)(Skewness([]float64{0, 0, 1e200})), math.Sqrt(3), 1e-14)
}

// The warning must appear exactly where the measured miss rate of a 95 %
// interval is above 6 % (gamma-shaped values have skewness 2/sqrt(shape)).
func TestSkewWarningAgainstMeasuredMisses(t *testing.T) {
	seen := 0
	for _, r := range table(t, "t_test_skewness_measured.csv") {
		if number(t, r["nominal"]) != 0.05 {
			continue
		}
		seen++
		g := 2 / math.Sqrt(number(t, r["gamma_shape"]))
		n := whole(t, r["n"])
		if warn, want := SkewWarning(n, g), number(t, r["actual"]) > 0.06; warn != want {
			t.Errorf("n %d skewness %.3f: warning %v, measured misses %s", n, g, warn, r["actual"])
		}
	}
	if seen != 5 {
		t.Errorf("checked %d rows", seen)
	}
	if SkewWarning(30, 0) || !SkewWarning(99, -2) {
		t.Error("sign or zero of the skewness matters")
	}
}

func TestNeededAgainstTable(t *testing.T) {
	a := plansABCD(t)[0]
	seen := 0
	for _, r := range table(t, "method_vectors.csv") {
		if r["method"] != "relative_half_width" {
			continue
		}
		seen++
		var gamma float64
		for _, g := range []float64{0.1, 0.05, 0.02, 0.01} {
			if r["parameters"] == "gamma="+trim(g)+" gamma_adj=gamma/(1+gamma)" {
				gamma = g
			}
		}
		if n := must[int](t)(NeededRelative(a, gamma, 0.95, 10)); n != whole(t, r["value"]) {
			t.Errorf("%s: %d, want %s", r["parameters"], n, r["value"])
		}
	}
	if seen != 4 {
		t.Errorf("checked %d rows", seen)
	}
	if n := must[int](t)(NeededHalf(1e9, 1e-9, 0.95, 10)); n != MostFutures {
		t.Errorf("hopeless precision needs %d", n)
	}
	if n := must[int](t)(NeededHalf(0, 1, 0.95, 10)); n != 10 {
		t.Errorf("no spread needs %d", n)
	}
}

func trim(g float64) string { return strconv.FormatFloat(g, 'g', -1, 64) }
