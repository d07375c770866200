package judge

import "math"

// MostFutures is the largest number of futures a "needed" answer gives; it
// stands for "more than anybody will run".
const MostFutures = 1<<31 - 1

// countUp rounds a required number up to whole futures.
func countUp(x float64) int {
	c := math.Ceil(x)
	switch {
	case math.IsNaN(c) || c >= MostFutures:
		return MostFutures
	case c < 0:
		return 0
	}
	return int(c)
}

// NeededHalf is the number of futures, at least `least`, at which the t interval
// of a mean is expected to be no wider than -/+ half, given the standard
// deviation sd seen so far (Law, Simulation Modeling and Analysis, absolute
// precision). half > 0, sd >= 0, least >= 2. Read the futures in the order of
// their numbers when stopping on it: stopping in order of completion favours
// short futures.
func NeededHalf(sd, half, level float64, least int) (int, error) {
	if err := checkLevel(level); err != nil {
		return 0, err
	}
	if err := checkSample([]float64{sd, half}, 0); err != nil {
		return 0, err
	}
	if half <= 0 || sd < 0 {
		return 0, errPrecision
	}
	n := max(least, 2)
	enough := func(n int) bool {
		return studentQuantile(0.5+level/2, float64(n-1))*sd/math.Sqrt(float64(n)) <= half
	}
	if enough(n) {
		return n, nil
	}
	// The half width falls with n, so the first n that is enough is bracketed
	// by doubling and found by halving.
	lo, hi := n, n
	for !enough(hi) {
		if hi >= MostFutures/2 {
			return MostFutures, nil
		}
		lo, hi = hi, 2*hi
	}
	for hi-lo > 1 {
		if mid := lo + (hi-lo)/2; enough(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi, nil
}

// NeededRelative is NeededHalf for a half width of the share gamma of the mean,
// with Law's correction gamma/(1+gamma) for the mean being estimated too. Never
// use it on a difference, whose mean may be near zero. 0 < gamma < 1.
func NeededRelative(x []float64, gamma, level float64, least int) (int, error) {
	if !open(gamma) {
		return 0, errPrecision
	}
	m, err := MeanInterval(x, level)
	if err != nil {
		return 0, err
	}
	if m.Mean == 0 {
		return 0, errPrecision
	}
	return NeededHalf(m.SD, gamma/(1+gamma)*math.Abs(m.Mean), level, least)
}
