package cashflow

import (
	"fmt"
	"math"
	"time"
)

// NPV is the net present value of flows at times 0, 1, 2...: the sum of
// flows[k]/(1+rate)^k. The first flow is not discounted; spreadsheets' function
// of this name does discount it: see NPVEnd.
func NPV(rate float64, flows []float64) (float64, error) {
	return present(rate, flows, func(k int) float64 { return float64(k) })
}

// NPVEnd is the present value of flows at the END of periods 1, 2, 3...: the
// convention of spreadsheets. NPVEnd(r, flows) is NPV(r, flows)/(1+r).
func NPVEnd(rate float64, flows []float64) (float64, error) {
	return present(rate, flows, func(k int) float64 { return float64(k + 1) })
}

// NPVMid is the net present value with the money of each period in its middle:
// the first flow at time 0, the k-th at k-1/2.
func NPVMid(rate float64, flows []float64) (float64, error) {
	return present(rate, flows, func(k int) float64 { return math.Max(0, float64(k)-0.5) })
}

func present(rate float64, flows []float64, at func(k int) float64) (float64, error) {
	if err := checkFlows(flows, 1); err != nil {
		return 0, err
	}
	if err := checkRate(rate); err != nil {
		return 0, err
	}
	var s sum
	for k, c := range flows {
		s.add(discounted(c, rate, at(k)))
	}
	return checked(s.value())
}

// discount is (1+rate)^-t. A power is closer than the exponential of a logarithm
// unless the rate is so small that 1+rate loses it.
func discount(rate, t float64) float64 {
	if math.Abs(rate) < 1e-3 {
		return math.Exp(-t * math.Log1p(rate))
	}
	return math.Pow(1+rate, -t)
}

// discounted is c (1+rate)^-t. Nothing is worth nothing, however large the factor
// has grown, as that of a long horizon near -1 does.
func discounted(c, rate, t float64) float64 {
	if c == 0 {
		return 0
	}
	return c * discount(rate, t)
}

// sum adds with Neumaier's correction (Zeitschrift fuer angewandte Mathematik und
// Mechanik 54 (1974) 39, from memory): discounted flows nearly cancel at a rate
// of return.
type sum struct{ total, rest float64 }

func (s *sum) add(v float64) {
	t := s.total + v
	if math.Abs(s.total) >= math.Abs(v) {
		s.rest += (s.total - t) + v
	} else {
		s.rest += (v - t) + s.total
	}
	s.total = t
}

func (s *sum) value() float64 { return s.total + s.rest }

// Dated is money on a day. Day counts days from any origin, the same for all:
// see Date.
type Dated struct {
	Day    int
	Amount float64
}

// Date is the number of a day of the (proleptic) Gregorian calendar, for Dated.
func Date(year int, month time.Month, day int) int {
	// Unix days; the division is exact because UTC days have 86400 s there.
	return int(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// YearDays is the length of the year in XNPV and XIRR: actual/365, as in
// spreadsheets, also across leap days.
const YearDays = 365

// XNPV is the net present value of dated flows on the day of the first one in
// the list, at a yearly rate: the sum of amount/(1+rate)^(days/365).
func XNPV(rate float64, flows []Dated) (float64, error) {
	if err := checkDated(flows, 1); err != nil {
		return 0, err
	}
	if err := checkRate(rate); err != nil {
		return 0, err
	}
	var s sum
	for _, f := range flows {
		s.add(discounted(f.Amount, rate, float64(f.Day-flows[0].Day)/YearDays))
	}
	return checked(s.value())
}

func checkDated(flows []Dated, least int) error {
	if len(flows) < least {
		return fmt.Errorf("%w: have %d, need %d", ErrFlows, len(flows), least)
	}
	for k, f := range flows {
		if err := checkNumber(f.Amount); err != nil {
			return fmt.Errorf("flow %d: %w", k, err)
		}
	}
	return nil
}
