package judge

import (
	"fmt"
	"math"
)

// Selection in the indifference zone: choose the best of k plans and be right with
// chance P* whenever the best leads by delta or more. The constants below go with
// independent plans (Bechhofer, Rinott) or allow common luck (Kim & Nelson); for
// common luck with one first stage, Best gives Nelson & Matejcik's NeededDelta.

func checkSelection(k int, pstar float64) error {
	if k < 2 {
		return fmt.Errorf("a selection of %d plans", k)
	}
	if !(pstar < 1 && pstar > 1/float64(k)) {
		return fmt.Errorf("chance of the right choice %g must lie between 1/%d and 1", pstar, k)
	}
	return nil
}

// Bechhofer is d = sqrt(n) delta/sigma at which the largest of k means with the
// same known sigma is the right one with chance pstar: the integral of
// Phi(z+d)^(k-1) phi(z) is pstar (R. E. Bechhofer, Annals of Mathematical
// Statistics 25 (1954) 16). Then n = (d sigma/delta)^2 rounded up.
func Bechhofer(k int, pstar float64) (float64, error) {
	if err := checkSelection(k, pstar); err != nil {
		return 0, err
	}
	e := newEquicorrelated(k-1, math.Inf(1))
	// Within Bonferroni's bound.
	hi := math.Sqrt2 * -studentQuantile((1-pstar)/float64(k-1), math.Inf(1))
	return rootBetween(0, hi, func(d float64) float64 { return e.probability(d/math.Sqrt2) - pstar }), nil
}

// Rinott is the constant h of the two-stage procedure for independent plans with
// unknown, unequal variances: after n0 futures of each, plan i is run to
// SecondStage(n0, its standard deviation, h, delta) and the best overall mean is
// chosen (Y. Rinott, Communications in Statistics A7 (1978) 799). h solves
// E[E[Phi(h/sqrt(nu(1/X+1/Y)))|Y]^(k-1)] = pstar with X, Y chi-square, nu = n0-1.
func Rinott(k, n0 int, pstar float64) (float64, error) {
	if err := checkSelection(k, pstar); err != nil {
		return 0, err
	}
	if n0 < 2 {
		return 0, fmt.Errorf("%w: a first stage of %d", ErrTooFew, n0)
	}
	e := newEquicorrelated(k-1, float64(n0-1))
	var total float64
	for _, w := range e.sw {
		total += w
	}
	value := func(h float64) float64 {
		var p float64
		for i, s := range e.s {
			var in float64
			for j, r := range e.s {
				in += e.sw[j] * normalCDF(h/math.Sqrt(1/(s*s)+1/(r*r)))
			}
			p += e.sw[i] * power(in/total, k-1)
		}
		return p / total
	}
	hi := 4.0
	for value(hi) < pstar {
		if hi > 1e9 {
			return 0, fmt.Errorf("no constant for %d plans from %d futures", k, n0)
		}
		hi *= 2
	}
	return rootBetween(0, hi, func(h float64) float64 { return value(h) - pstar }), nil
}

// SecondStage is Rinott's number of futures in all for a plan whose first n0 had
// the standard deviation sd: the larger of n0 and (h sd/delta)^2 rounded up.
func SecondStage(n0 int, sd, h, delta float64) (int, error) {
	if err := checkSample([]float64{sd, h, delta}, 0); err != nil {
		return 0, err
	}
	if sd < 0 || h <= 0 || delta <= 0 || n0 < 2 {
		return 0, errPrecision
	}
	q := h * sd / delta
	return max(n0, countUp(q*q*(1-1e-12))), nil
}

// KimNelson gives the constants of the fully sequential procedure of S.-H. Kim and
// B. L. Nelson (ACM Transactions on Modeling and Computer Simulation 11 (2001)
// 251) with c = 1: eta = ((2 alpha/(k-1))^(-2/(n0-1)) - 1)/2 and h^2 = 2 eta (n0-1).
func KimNelson(k, n0 int, alpha float64) (eta, h2 float64, err error) {
	if err := checkSelection(k, 1-alpha); err != nil {
		return 0, 0, err
	}
	if n0 < 2 {
		return 0, 0, fmt.Errorf("%w: a first stage of %d", ErrTooFew, n0)
	}
	nu := float64(n0 - 1)
	eta = math.Expm1(-2/nu*math.Log(2*alpha/float64(k-1))) / 2
	return eta, 2 * eta * nu, nil
}

// Screen is the state of Kim & Nelson's procedure.
type Screen struct {
	// Left are the plans not yet dropped, in their order.
	Left []int
	// DroppedAt is the number of futures at which each plan was dropped, 0 for
	// those left.
	DroppedAt []int
	// Finished: one plan is left, or so many futures were run that the better mean
	// of those left may be chosen: Choice. Otherwise run more futures of Left.
	Finished bool
	Choice   int
	Futures  int // looked at when it finished, or all there are
}

// ScreenPlans runs the procedure over y[plan][future], the futures in the order of
// their numbers, common luck welcome; the first n0 (10 or more are wise) estimate
// the variances of the differences. The right plan is chosen with chance 1-alpha
// if it leads by delta. Plans need near-normal values.
func ScreenPlans(y [][]float64, n0 int, delta, alpha float64, sense Sense) (Screen, error) {
	if err := checkPlans(y, max(2, n0)); err != nil {
		return Screen{}, err
	}
	_, h2, err := KimNelson(len(y), n0, alpha)
	if err != nil {
		return Screen{}, err
	}
	if !(delta > 0) || math.IsInf(delta, 0) {
		return Screen{}, errPrecision
	}
	k := len(y)
	v := make([][]float64, k) // variances of the differences
	sum := make([]float64, k)
	for i := range k {
		v[i] = make([]float64, k)
		for j := range k {
			if i != j {
				s := differenceSD(y[i][:n0], y[j][:n0])
				v[i][j] = s * s
			}
		}
		for _, a := range asCosts(y[i][:n0], sense) {
			sum[i] += a
		}
	}
	s := Screen{DroppedAt: make([]int, k)}
	for i := range k {
		s.Left = append(s.Left, i)
	}
	for r := n0; ; r++ {
		s.Futures = r
		n := float64(r)
		var left []int
		over := true
		for _, i := range s.Left {
			keep := true
			for _, j := range s.Left {
				if i == j {
					continue
				}
				most := h2 * v[i][j] / (delta * delta)
				slack := math.Max(0, delta/(2*n)*(most-n))
				keep = keep && sum[i]/n <= sum[j]/n+slack
				over = over && n > math.Floor(most)
			}
			if keep {
				left = append(left, i)
			} else {
				s.DroppedAt[i] = r
			}
		}
		s.Left = left
		s.Choice = left[0]
		for _, i := range left {
			if sum[i] < sum[s.Choice] {
				s.Choice = i
			}
		}
		s.Finished = len(left) == 1 || over
		if s.Finished || r == len(y[0]) {
			return s, nil
		}
		for i := range k {
			sum[i] += asCosts(y[i][r:r+1], sense)[0]
		}
	}
}

// BudgetShares divides a computing budget so that the best of several independent
// plans is found soonest (C.-H. Chen, J. Lin, E. Yucesan, S. E. Chick, Discrete
// Event Dynamic Systems 10 (2000) 251, from memory). mean and sd are what is known
// so far; a plan closer to the best than least is treated as least behind, which
// must be above zero if plans tie. No guarantee comes with it, and under common
// luck it is not meant.
func BudgetShares(mean, sd []float64, least float64, sense Sense) ([]float64, error) {
	k := len(mean)
	if k < 2 || len(sd) != k {
		return nil, fmt.Errorf("%w: %d means and %d standard deviations", ErrShape, k, len(sd))
	}
	if err := checkSample(mean, 2); err != nil {
		return nil, err
	}
	if err := checkSample(append([]float64{least}, sd...), 1); err != nil {
		return nil, err
	}
	x := asCosts(mean, sense)
	best := 0
	for i := range k {
		if x[i] < x[best] {
			best = i
		}
	}
	share := make([]float64, k)
	var square, total float64
	for i := range k {
		if sd[i] <= 0 || least < 0 {
			return nil, errPrecision
		}
		if i == best {
			continue
		}
		d := math.Max(x[i]-x[best], least)
		if d == 0 {
			return nil, fmt.Errorf("plans %d and %d tie: %w", best, i, errPrecision)
		}
		share[i] = sd[i] / d * (sd[i] / d)
		square += share[i] * share[i] / (sd[i] * sd[i])
	}
	share[best] = sd[best] * math.Sqrt(square)
	for _, s := range share {
		total += s
	}
	for i := range share {
		share[i] /= total
	}
	return share, nil
}
