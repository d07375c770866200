package judge

import (
	"fmt"
	"math"
)

// WarmUp says how much of the start of a series to leave out.
type WarmUp struct {
	Drop    int // observations to leave out: Batches times the batch size
	Batches int
	// Value of the criterion there, and with nothing left out.
	Value, AtStart float64
	// Mean of the whole batches that are left.
	Mean float64
	// TooShort: the least value lies at the edge of the search, half the series:
	// make the run longer instead of cutting.
	TooShort bool
}

// WarmUpBatch is the batch size of MSER-5.
const WarmUpBatch = 5

// WarmUpEnd finds the end of the warm-up of a series by MSER-5: of the means Z of
// batches of five, leave out the first d that make the sum of (Z-mean)^2 over
// (batches left)^2 least, d at most half (K. P. White, Simulation 69 (1997) 323; K.
// P. White, M. J. Cobb, S. C. Spratt, Winter Simulation Conference 2000; from
// memory). Give it the mean over futures of a fixed-interval series, and use one
// cut for all plans: see CommonWarmUp. A series with rare long stops must span
// many of them, or a burst is taken for the start. Ten observations or more.
func WarmUpEnd(series []float64) (WarmUp, error) {
	if err := checkSample(series, 2*WarmUpBatch); err != nil {
		return WarmUp{}, err
	}
	z, err := batches(series, len(series)/WarmUpBatch, WarmUpBatch)
	if err != nil {
		return WarmUp{}, err
	}
	k := len(z)
	var w WarmUp
	best := math.Inf(1)
	for d := 0; d <= k/2; d++ {
		if k-d < 2 {
			break
		}
		left := float64(k - d)
		mean, variance := meanVariance(z[d:])
		v := variance * (left - 1) / (left * left)
		if bad(v) {
			return WarmUp{}, errOverflow
		}
		if d == 0 {
			w.AtStart = v
		}
		if v < best {
			best = v
			w.Batches, w.Value, w.Mean = d, v, mean
		}
	}
	w.Drop = w.Batches * WarmUpBatch
	w.TooShort = w.Batches == k/2 && w.Batches > 0
	return w, nil
}

// CommonWarmUp is the number of observations to leave out of every plan: the most
// that any plan's mean over futures needs. y[plan][future][observation], all
// of one length. Cutting each plan at its own place would compare different
// stretches of the same luck. tooShort says that a plan had not settled.
func CommonWarmUp(y [][][]float64) (drop int, tooShort bool, err error) {
	if len(y) == 0 {
		return 0, false, ErrShape
	}
	for p := range y {
		series, err := meanSeries(y[p])
		if err != nil {
			return 0, false, fmt.Errorf("plan %d: %w", p, err)
		}
		w, err := WarmUpEnd(series)
		if err != nil {
			return 0, false, fmt.Errorf("plan %d: %w", p, err)
		}
		drop = max(drop, w.Drop)
		tooShort = tooShort || w.TooShort
	}
	return drop, tooShort, nil
}

func meanSeries(y [][]float64) ([]float64, error) {
	if err := checkPlans(y, 1); err != nil {
		return nil, err
	}
	mean := make([]float64, len(y[0]))
	column := make([]float64, len(y))
	for t := range mean {
		for r := range y {
			column[r] = y[r][t]
		}
		mean[t] = average(column)
	}
	return mean, nil
}

// MovingAverage smooths a series for reading its warm-up by eye: the mean of 2w+1
// neighbours, fewer near the start (2i-1 at place i, from 1), and none for the last
// w (P. D. Welch, in The Computer Performance Modeling Handbook, 1983, from
// memory). A plot, not a rule. w >= 0, series longer than 2w.
func MovingAverage(series []float64, w int) ([]float64, error) {
	if w < 0 {
		return nil, fmt.Errorf("a window of %d", w)
	}
	if err := checkSample(series, 2*w+1); err != nil {
		return nil, err
	}
	out := make([]float64, len(series)-w)
	for i := range out {
		h := min(w, i)
		out[i] = average(series[i-h : i+h+1])
	}
	return out, nil
}
