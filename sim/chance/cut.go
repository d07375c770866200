package chance

import "math"

// Cut is the law of the smaller of the number and longest: what would be more is taken
// as longest, so that as large a share of the draws is longest as was above it (and not
// the law of the numbers below, which would be drawn anew). All below is as without.
// A law that is cut already keeps the smaller of the two; +Inf cuts nothing. A longest
// of 0 gives Fixed 0; one below zero or NaN gives a law that Valid refuses.
//
// Its Mean is the limited expected value E[min(X, longest)], the integral of the
// survival from 0 to longest. For a lognormal with mu = ln(median):
//
//	exp(mu + s^2/2) Phi((ln L - mu - s^2)/s) + L (1 - Phi((ln L - mu)/s))
//
// (Klugman, Panjer, Willmot, Loss Models, app. A, from memory).
func (l Law) Cut(longest float64) Law {
	switch {
	case math.IsInf(longest, 1):
		return l
	case !finite(longest) || longest < 0:
		return Law{kind: KindFixed, a: math.NaN()}
	case longest == 0:
		return Law{}
	case l.cut == 0 || longest < l.cut:
		l.cut = longest
	}
	return l
}

// Longest is where the law was cut, +Inf where it was not. Unlike Highest it says
// nothing of the law itself.
func (l Law) Longest() float64 {
	if l.cut > 0 {
		return l.cut
	}
	return math.Inf(1)
}

// whole is the law as it was before it was cut.
func (l Law) whole() Law {
	l.cut = 0
	return l
}
