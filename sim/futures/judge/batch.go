package judge

import (
	"fmt"
	"math"
)

// Batched is the mean of one long run with an interval from the means of its
// batches.
type Batched struct {
	Mean  Mean      // over the batch means: N is the number of batches
	Means []float64 // of the batches
	// LagOne is the correlation of neighbouring batch means.
	LagOne float64
	// VonNeumann is near standard normal when the batches are independent, large
	// when neighbours are alike.
	VonNeumann float64
	// Longer: the batches are shorter than the memory of the run (VonNeumann above
	// the one-sided 5 % point): take half as many, twice as long.
	Longer bool
}

// BatchMeans cuts a run, its warm-up left out, into b batches of equal length and
// takes the t interval of their means with b-1 degrees of freedom; what does not
// fill a batch at the end is left out. 10 to 30 batches are common (B. Schmeiser,
// Operations Research 30 (1982) 556, from memory). Treating the observations
// themselves as independent makes the interval several times too narrow. Check of
// independence: von Neumann's ratio C = sum of squared steps / sum of squares
// about the mean, z = (1-C/2) sqrt((b^2-1)/(b-2)). b >= 3.
func BatchMeans(run []float64, b int, level float64) (Batched, error) {
	if b < 3 {
		return Batched{}, fmt.Errorf("%w: %d batches, need 3", ErrTooFew, b)
	}
	if err := checkSample(run, b); err != nil {
		return Batched{}, err
	}
	z, err := batches(run, b, len(run)/b)
	if err != nil {
		return Batched{}, err
	}
	m, err := MeanInterval(z, level)
	if err != nil {
		return Batched{}, err
	}
	r := Batched{Mean: m, Means: z}
	if m.SD == 0 {
		return r, nil
	}
	if r.LagOne, err = LagOne(z); err != nil {
		return Batched{}, err
	}
	var steps, squares float64
	for j, a := range z {
		squares += (a - m.Mean) * (a - m.Mean)
		if j > 0 {
			steps += (a - z[j-1]) * (a - z[j-1])
		}
	}
	n := float64(b)
	r.VonNeumann = (1 - steps/squares/2) * math.Sqrt((n*n-1)/(n-2))
	r.Longer = r.VonNeumann > studentQuantile(0.95, math.Inf(1))
	return r, nil
}

func batches(x []float64, count, size int) ([]float64, error) {
	z := make([]float64, count)
	for j := range z {
		z[j] = average(x[j*size : (j+1)*size])
		if bad(z[j]) {
			return nil, errOverflow
		}
	}
	return z, nil
}

// LagOne is the correlation of neighbouring values of a series: the sum of
// products of neighbours' deviations from the mean of all over the sum of squares
// (NIST Statistical Reference Datasets, univariate). 0 when nothing varies. Two
// values or more.
func LagOne(x []float64) (float64, error) {
	if err := checkSample(x, 2); err != nil {
		return 0, err
	}
	mean := average(x)
	var product, square float64
	for i, a := range x {
		square += (a - mean) * (a - mean)
		if i > 0 {
			product += (a - mean) * (x[i-1] - mean)
		}
	}
	if bad(square) {
		return 0, errOverflow
	}
	if square == 0 {
		return 0, nil
	}
	return product / square, nil
}

// RunLength is how long one run must be for its time average to be within the share
// relative of the mean, at a level of confidence, given the asymptotic variance
// (the limit of time times variance of the average): z^2 variance / (relative
// mean)^2 (W. Whitt, Management Science 35 (1989) 1341).
func RunLength(mean, asymptoticVariance, relative, level float64) (float64, error) {
	if err := checkLevel(level); err != nil {
		return 0, err
	}
	if err := checkSample([]float64{mean, asymptoticVariance, relative}, 0); err != nil {
		return 0, err
	}
	if mean == 0 || asymptoticVariance < 0 || relative <= 0 {
		return 0, errPrecision
	}
	z := studentQuantile(0.5+level/2, math.Inf(1)) / (relative * mean)
	return z * z * asymptoticVariance, nil
}
