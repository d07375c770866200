package judge

import (
	"errors"
	"fmt"
	"math"
)

// Errors that callers may want to tell apart with errors.Is.
var (
	ErrTooFew    = errors.New("too few futures")
	ErrNotFinite = errors.New("not a finite number")
	ErrLevel     = errors.New("level must lie between 0 and 1, both excluded")
	ErrShape     = errors.New("plans must have the same number of futures")
)

func checkSample(x []float64, least int) error {
	if len(x) < least {
		return fmt.Errorf("%w: have %d, need %d", ErrTooFew, len(x), least)
	}
	for i, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("future %d: %w", i, ErrNotFinite)
		}
	}
	return nil
}

// open reports whether p lies strictly between 0 and 1; NaN does not.
func open(p float64) bool { return p > 0 && p < 1 }

func checkLevel(level float64) error {
	if !open(level) {
		return fmt.Errorf("%w: %g", ErrLevel, level)
	}
	return nil
}

// checkPlans wants at least one plan and `least` futures in each.
func checkPlans(y [][]float64, least int) error {
	if len(y) == 0 {
		return fmt.Errorf("%w: no plan", ErrShape)
	}
	for i := range y {
		if len(y[i]) != len(y[0]) {
			return fmt.Errorf("%w: plan 0 has %d, plan %d has %d", ErrShape, len(y[0]), i, len(y[i]))
		}
		if err := checkSample(y[i], least); err != nil {
			return fmt.Errorf("plan %d: %w", i, err)
		}
	}
	return nil
}
