package cashflow

import (
	"errors"
	"fmt"
	"math"
)

// Errors that callers may want to tell apart with errors.Is.
var (
	ErrFlows   = errors.New("too few cash flows")
	ErrNumber  = errors.New("not a finite number, or beyond 1e100")
	ErrRate    = errors.New("a rate must be above -1")
	ErrPeriods = errors.New("the number of periods must be above 0")
	ErrSign    = errors.New("needs money spent and money received")
)

// largest keeps sums of flows and their powers away from overflow.
const largest = 1e100

func checkFlows(flows []float64, least int) error {
	if len(flows) < least {
		return fmt.Errorf("%w: have %d, need %d", ErrFlows, len(flows), least)
	}
	for k, c := range flows {
		if err := checkNumber(c); err != nil {
			return fmt.Errorf("flow %d: %w", k, err)
		}
	}
	return nil
}

func checkNumber(v float64) error {
	if math.IsNaN(v) || math.Abs(v) > largest {
		return fmt.Errorf("%w: %g", ErrNumber, v)
	}
	return nil
}

func checkRate(r float64) error {
	if err := checkNumber(r); err != nil {
		return err
	}
	if r <= -1 {
		return fmt.Errorf("%w, not %g", ErrRate, r)
	}
	return nil
}

func checkPeriods(n float64) error {
	if err := checkNumber(n); err != nil {
		return err
	}
	if n <= 0 {
		return fmt.Errorf("%w, not %g", ErrPeriods, n)
	}
	return nil
}

// checked gives v unless it has overflowed.
func checked(v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("the result is %w", ErrNumber)
	}
	return v, nil
}
