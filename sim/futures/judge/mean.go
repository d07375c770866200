package judge

import (
	"errors"
	"math"
)

// Mean is the average of one number per future with its t interval.
type Mean struct {
	N         int
	Mean      float64
	SD        float64 // divisor N-1
	Half      float64 // half width of the interval
	Low, High float64
	Min, Max  float64
	Level     float64
}

var (
	errOverflow  = errors.New("numbers too large to average")
	errPrecision = errors.New("the wanted precision must be above zero and the mean not zero")
)

// MeanInterval gives the mean of x and the interval mean -/+ t s/sqrt(n) with
// n-1 degrees of freedom (Student 1908; any statistics text). It needs two
// futures or more. The interval assumes means that are close to normal: see
// SkewWarning.
func MeanInterval(x []float64, level float64) (Mean, error) {
	if err := checkLevel(level); err != nil {
		return Mean{}, err
	}
	if err := checkSample(x, 2); err != nil {
		return Mean{}, err
	}
	m, v := meanVariance(x)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Mean{}, errOverflow
	}
	r := Mean{N: len(x), Mean: m, SD: math.Sqrt(v), Min: x[0], Max: x[0], Level: level}
	for _, a := range x {
		r.Min, r.Max = math.Min(r.Min, a), math.Max(r.Max, a)
	}
	r.Half = studentQuantile(0.5+level/2, float64(r.N-1)) * r.SD / math.Sqrt(float64(r.N))
	r.Low, r.High = m-r.Half, m+r.Half
	return r, nil
}

// meanVariance goes over x three times: mean, its rounding correction, then
// squares about it with the correction term of Chan, Golub & LeVeque, The
// American Statistician 37 (1983) 242. The one-pass sum of squares loses every
// digit of the NIST set NumAcc4. Divisor n-1; len(x) >= 2.
func meanVariance(x []float64) (mean, variance float64) {
	n := float64(len(x))
	mean = average(x)
	var sq, rest float64
	for _, a := range x {
		d := a - mean
		sq += d * d
		rest += d
	}
	return mean, math.Max(0, (sq-rest*rest/n)/(n-1))
}

func average(x []float64) float64 {
	n := float64(len(x))
	var sum float64
	for _, a := range x {
		sum += a
	}
	mean := sum / n
	var rest float64
	for _, a := range x {
		rest += a - mean
	}
	return mean + rest/n
}
