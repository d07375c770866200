package cashflow

import (
	"fmt"
	"math"
)

// MIRR is the modified internal rate of return: money received grows at the rate
// reinvest to the end, money spent is discounted at the rate finance to the
// start, and the rate that joins the two sums over len(flows)-1 periods is
// (future/|present|)^(1/n)-1. There is exactly one, and it needs at least one
// flow of each sign.
func MIRR(flows []float64, finance, reinvest float64) (float64, error) {
	if err := checkFlows(flows, 2); err != nil {
		return 0, err
	}
	if err := checkRate(finance); err != nil {
		return 0, err
	}
	if err := checkRate(reinvest); err != nil {
		return 0, err
	}
	n := len(flows) - 1
	var in, out sum
	for k, c := range flows {
		if c > 0 {
			in.add(c * discount(reinvest, float64(k-n)))
		} else {
			out.add(-c * discount(finance, float64(k)))
		}
	}
	if in.value() <= 0 || out.value() <= 0 {
		return 0, fmt.Errorf("the modified rate %w", ErrSign)
	}
	return checked(math.Expm1((math.Log(in.value()) - math.Log(out.value())) / float64(n)))
}
