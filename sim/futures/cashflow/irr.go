package cashflow

import (
	"fmt"
	"math"
	"sort"
)

// Rates holds every internal rate of return of a stream of flows: every real
// rate above -1 at which its net present value is zero.
type Rates struct {
	// All of them in rising order; none is an answer too.
	All []float64
	// SignChanges of the flows in order, zeros left out. There are at most as
	// many rates, and if fewer, fewer by an even number, touching ones counted
	// twice (Descartes' rule of signs).
	SignChanges int
	// Norstrom: the running sum of the flows changes sign exactly once and does
	// not end at zero, so that at most one rate is above zero (C. J. Norstrom,
	// Journal of Financial and Quantitative Analysis 7 (1972) 1835, from memory).
	Norstrom bool
}

// One tells whether there is a rate that can be shown as THE rate of return: the
// only one of a stream with a single change of sign, or with at most one rate
// above zero by Norstrom's rule and none below. Otherwise show net present value
// against the rate, and the modified rate.
func (r Rates) One() (float64, bool) {
	if len(r.All) == 1 && (r.SignChanges == 1 || r.Norstrom) {
		return r.All[0], true
	}
	return 0, false
}

// Note says in words what there is to be careful about; "" when One holds.
func (r Rates) Note() string {
	if _, ok := r.One(); ok {
		return ""
	}
	switch len(r.All) {
	case 0:
		if r.SignChanges == 0 {
			return "no rate of return: the money flows one way only"
		}
		return "no rate of return: the net present value has the same sign at every rate"
	case 1:
		return "one rate of return, but the flows change sign more than once: go by the net present value"
	}
	return fmt.Sprintf("%d rates of return: none of them alone says whether it is worth it; go by the net present value", len(r.All))
}

// mostFlows bounds the work of IRR: a hundred years of months.
const mostFlows = 1201

// IRR finds every internal rate of return of flows at times 0, 1, 2...; two flows
// or more, at most 1201. It does not search from a guess: the real roots of the
// polynomial in 1/(1+r) are isolated in exact arithmetic by Descartes' rule of
// signs (Vincent, Collins & Akritas; G. E. Collins, A. G. Akritas, SYMSAC 1976,
// from memory), each flow taken as the decimal number it prints as, so that a
// rate at which the value only touches zero is told from two close ones and
// from none. Flows that are all zero are refused: every rate would do.
func IRR(flows []float64) (Rates, error) {
	if err := checkFlows(flows, 2); err != nil {
		return Rates{}, err
	}
	if len(flows) > mostFlows {
		return Rates{}, fmt.Errorf("%d cash flows are more than %d", len(flows), mostFlows)
	}
	r := Rates{SignChanges: signChanges(flows), Norstrom: norstrom(flows)}
	if r.SignChanges == 0 {
		for _, c := range flows {
			if c != 0 {
				return r, nil
			}
		}
		return Rates{}, fmt.Errorf("flows that are all zero: %w", ErrSign)
	}
	p, err := exact(flows)
	if err != nil {
		return Rates{}, err
	}
	r.All = p.rates()
	return r, nil
}

// XIRR finds every internal rate of return of dated flows: the yearly rates above
// -1 at which XNPV is zero. Two flows or more, in any order of days. The sum is
// searched between the extremes of its derivatives (see exponentialRoots): with
// one change of sign in order of time the rate is exact to rounding. Two rates
// closer than about 1e-6 may be taken for none or one.
func XIRR(flows []Dated) (Rates, error) {
	if err := checkDated(flows, 2); err != nil {
		return Rates{}, err
	}
	byDay := append([]Dated(nil), flows...)
	sort.SliceStable(byDay, func(a, b int) bool { return byDay[a].Day < byDay[b].Day })
	var amounts, years []float64
	for _, f := range byDay {
		t := float64(f.Day-byDay[0].Day) / YearDays
		if n := len(years); n > 0 && years[n-1] == t {
			amounts[n-1] += f.Amount
			continue
		}
		amounts, years = append(amounts, f.Amount), append(years, t)
	}
	r := Rates{SignChanges: signChanges(amounts), Norstrom: norstrom(amounts)}
	if r.SignChanges == 0 {
		for _, c := range amounts {
			if c != 0 {
				return r, nil
			}
		}
		return Rates{}, fmt.Errorf("flows that are all zero: %w", ErrSign)
	}
	for _, s := range exponentialRoots(amounts, years) {
		if rate := math.Expm1(s); rate > -1 && !math.IsInf(rate, 0) {
			r.All = append(r.All, rate)
		}
	}
	return r, nil
}

func signChanges(flows []float64) int {
	n, last := 0, 0.0
	for _, c := range flows {
		if c != 0 {
			if last != 0 && (c > 0) != (last > 0) {
				n++
			}
			last = c
		}
	}
	return n
}

// norstrom needs money spent first: the rule is then that the running sum
// crosses zero once and ends away from it.
func norstrom(flows []float64) bool {
	var s sum
	var moved float64
	running := make([]float64, len(flows))
	for k, c := range flows {
		s.add(c)
		moved += math.Abs(c)
		running[k] = s.value()
		if math.Abs(running[k]) <= 1e-14*moved {
			running[k] = 0
		}
	}
	return running[len(running)-1] != 0 && signChanges(running) == 1
}
