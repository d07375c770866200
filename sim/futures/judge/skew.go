package judge

import "math"

// Skewness is the adjusted Fisher-Pearson coefficient of x,
// sqrt(n(n-1))/(n-2) m3/m2^1.5, as in the usual packages (Joanes & Gill, The
// Statistician 47 (1998) 183, G1). 0 when x does not vary. Three futures or
// more.
func Skewness(x []float64) (float64, error) {
	if err := checkSample(x, 3); err != nil {
		return 0, err
	}
	n := float64(len(x))
	mean := average(x)
	// Scaled by the largest deviation, so that no cube overflows.
	var most float64
	for _, a := range x {
		most = math.Max(most, math.Abs(a-mean))
	}
	if math.IsInf(most, 0) || math.IsNaN(most) {
		return 0, errOverflow
	}
	// Deviations of the size of rounding are no spread.
	if most <= 4e-16*math.Abs(mean)*math.Sqrt(n) {
		return 0, nil
	}
	var m2, m3 float64
	for _, a := range x {
		d := (a - mean) / most
		m2 += d * d
		m3 += d * d * d
	}
	m2, m3 = m2/n, m3/n
	return math.Sqrt(n*(n-1)) / (n - 2) * m3 / math.Pow(m2, 1.5), nil
}

// SkewFutures is the number of futures from which a t interval stands a
// skewness g: 25 g^2 (Cochran, Sampling Techniques, section on the normal
// approximation: a 95 % interval then misses no more than about 6 %).
func SkewFutures(g float64) int {
	return countUp(25 * g * g)
}

// SkewWarning says whether a t interval on n futures with skewness g should
// carry a warning: n is below SkewFutures(g). Few futures hide their own
// skewness, so no warning is no proof.
func SkewWarning(n int, g float64) bool { return n < SkewFutures(g) }
