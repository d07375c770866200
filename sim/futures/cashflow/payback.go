package cashflow

import "math"

// Back is an answer to "when is the money back?". "Never" is an answer.
type Back struct {
	// Periods until the sum of all flows so far is first back at zero, with
	// straight lines inside a period; meaningful only when Reached.
	Periods float64
	Reached bool
	// FallsBack: the sum is below zero again at the end of a later period (a
	// second investment, a clean-up at the end): say so beside the figure.
	FallsBack bool
}

// Payback is the simple payback of flows at times 0, 1, 2... A project that
// receives money first, or never spends, is back at once; zeros before the first
// spending only put it off. One flow or more.
func Payback(flows []float64) (Back, error) {
	if err := checkFlows(flows, 1); err != nil {
		return Back{}, err
	}
	return payback(flows), nil
}

// DiscountedPayback is Payback of the flows discounted at rate, with straight
// lines inside a period.
func DiscountedPayback(rate float64, flows []float64) (Back, error) {
	if err := checkFlows(flows, 1); err != nil {
		return Back{}, err
	}
	if err := checkRate(rate); err != nil {
		return Back{}, err
	}
	d := make([]float64, len(flows))
	for k, c := range flows {
		v, err := checked(discounted(c, rate, float64(k)))
		if err != nil {
			return Back{}, err
		}
		d[k] = v
	}
	return payback(d), nil
}

func payback(flows []float64) Back {
	var moved float64
	var b Back
	var s sum
	before := 0.0
	first := 0 // years without money before the first spending are no payback
	for first < len(flows) && flows[first] == 0 {
		first++
	}
	if first == len(flows) || flows[first] > 0 {
		first = 0
	}
	for k, c := range flows {
		if k < first {
			continue
		}
		s.add(c)
		moved += math.Abs(c)
		slack := 1e-14 * moved // sums that miss zero by rounding are zero
		now := s.value()
		switch {
		case now < -slack:
			b.FallsBack = b.FallsBack || b.Reached
		case !b.Reached:
			b.Reached = true
			if k > 0 {
				b.Periods = float64(k-1) + math.Min(1, before/(before-now))
			}
		}
		before = now
	}
	return b
}
