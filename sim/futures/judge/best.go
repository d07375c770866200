package judge

import (
	"fmt"
	"math"
)

// Sense says which way is good.
type Sense int

// Costs, hours and lost tonnes are better small; dispatch and profit large.
const (
	SmallerBetter Sense = iota
	LargerBetter
)

// Method chooses the limits of Best.
type Method int

const (
	// Careful takes, for every limit and every verdict, the more careful of
	// Pooled and PairByPair. It is the default: Pooled is too narrow for a
	// difference that varies more than the rest, PairByPair is a little wide
	// when all vary alike, and the two agree for two plans.
	Careful Method = iota
	// Pooled is Nelson & Matejcik's common standard error, which supposes that
	// all differences between plans vary alike (sphericity).
	Pooled
	// PairByPair gives each pair of plans its own paired standard error and
	// pays with Bonferroni's inequality (Clark & Yang 1986); it supposes
	// nothing about how the plans vary together.
	PairByPair
)

const (
	// LeastFutures is the smallest number of futures on which a comparison is
	// called decided: Nelson & Matejcik's first stage.
	LeastFutures = 10
	// DoubtfulSphericity is the value of Comparison.Sphericity below which the
	// pooled error is not to be trusted (0.75 is the usual threshold for the
	// Greenhouse-Geisser coefficient; common practice).
	DoubtfulSphericity = 0.75
)

// Options of Best.
type Options struct {
	Sense  Sense
	Level  float64 // simultaneous, e.g. 0.95
	Delta  float64 // difference that matters, in the unit of the data; 0 = not given
	Method Method
}

// Standing is one plan among the others. Behind is how much worse its mean is
// than the best mean of the other plans, in the unit of the data and positive
// when worse, whichever the sense; the leader's is negative.
type Standing struct {
	Mean   float64
	Behind float64
	// Low and High are the simultaneous limits of Behind (Hsu's constrained
	// limits: neither crosses 0). High = 0: it is the best. Low = 0: it is not.
	Low, High float64
	// Half is the half width of the difference from the leader; for the leader
	// that from its closest rival.
	Half float64
	// Out is set when the limits show that the plan is not the best.
	Out bool
	// Group is the index in Comparison.Groups.
	Group int
}

// Comparison is the verdict on plans that met the same futures.
type Comparison struct {
	Futures   int
	Level     float64
	Standings []Standing // one a plan, in the order given
	// Groups lists plans whose values are equal in every future, by their first
	// member. Groups are compared; the plans inside one are "the same".
	Groups [][]int
	// Leading is the group with the best mean; the first in order when means
	// of different groups tie.
	Leading []int
	// Decided: the leading group is the best by the simultaneous limits. Never
	// on fewer than LeastFutures futures or with a single group.
	Decided bool
	// NoMatter: Delta was given and choosing the leader costs at most Delta
	// against the truly best plan, by the same limits. It can hold without
	// Decided: either plan will do.
	NoMatter bool
	// Half is the widest half width between the leader and a plan still open,
	// or its closest rival when none is.
	Half float64
	// NeededDelta is the number of futures in all after which the leader's mean
	// is within Delta of the best (0 if Delta was not given): the larger of
	// LeastFutures and (g S / Delta)^2 rounded up. NeededGap is the same for
	// the gaps seen now, a guess at what would decide; MostFutures if a gap is
	// zero, and 0 with one group.
	NeededDelta, NeededGap int
	// Sphericity is the Greenhouse-Geisser coefficient of the groups, 1 when
	// all differences vary alike and 1/(groups-1) at worst; Doubtful below
	// DoubtfulSphericity. Loudest is a plan of the group that adds most to the
	// pooled error: leaving it out is what narrows Careful limits.
	Sphericity float64
	Doubtful   bool
	Loudest    int
	// G, S2 are Nelson & Matejcik's constant and S^2 (twice the residual mean
	// square of plans by futures); T is the constant of PairByPair. 0 with one
	// group.
	G, S2, T float64
}

// Best compares plans with the best of the others. y[plan][future] holds one
// number per plan and future, y[i][r] and y[j][r] under the same luck.
//
// Limits: Hsu's multiple comparisons with the best (Annals of Statistics 12
// (1984) 1136) with the standard error and constant for common random numbers
// of Nelson & Matejcik (Management Science 41 (1995) 1935): S^2 with
// (k-1)(n-1) degrees of freedom and g = EquicorrelatedT(level, k-1, that). The
// pair by pair limits take the t quantile at 1-(1-level)/(k-1) with n-1 degrees
// of freedom and each pair's own standard error (Clark & Yang, Winter Simulation
// Conference 1986; unequal errors as in Edwards & Hsu, J. American Statistical
// Association 78 (1983) 965). All limits of one call hold together with the
// chance Level, for one measure named before the run: looking at more measures,
// or again after every batch until it is decided, costs confidence.
//
// At least two futures. Plans equal in every future are put in one group.
func Best(y [][]float64, o Options) (Comparison, error) {
	if err := checkPlans(y, 2); err != nil {
		return Comparison{}, err
	}
	if err := checkLevel(o.Level); err != nil {
		return Comparison{}, err
	}
	if err := checkChoices(o); err != nil {
		return Comparison{}, err
	}
	groups, _ := sameGroups(y)
	c := constants{}
	if k := len(groups); k > 1 {
		n := len(y[0])
		g, err := EquicorrelatedT(o.Level, k-1, float64((k-1)*(n-1)))
		if err != nil {
			return Comparison{}, err
		}
		c = constants{g: g, t: studentQuantile(1-(1-o.Level)/float64(k-1), float64(n-1))}
	}
	return best(y, o, c)
}

func checkChoices(o Options) error {
	if !(o.Delta >= 0) || math.IsInf(o.Delta, 0) {
		return fmt.Errorf("difference that matters %g: %w", o.Delta, errPrecision)
	}
	if o.Sense != SmallerBetter && o.Sense != LargerBetter {
		return fmt.Errorf("unknown sense %d", o.Sense)
	}
	if o.Method < Careful || o.Method > PairByPair {
		return fmt.Errorf("unknown method %d", o.Method)
	}
	return nil
}

// constants depend on the numbers of groups and futures only, so that a study
// of many comparisons computes them once.
type constants struct{ g, t float64 }

func best(y [][]float64, o Options, c constants) (Comparison, error) {
	groups, of := sameGroups(y)
	k, n := len(groups), len(y[0])
	r := Comparison{Futures: n, Level: o.Level, Groups: groups, Sphericity: 1, Standings: make([]Standing, len(y))}
	x := make([][]float64, k) // as costs, one column a group
	mean := make([]float64, k)
	for a, g := range groups {
		x[a] = asCosts(y[g[0]], o.Sense)
		mean[a] = average(x[a])
	}
	first, second := 0, -1
	for a := 1; a < k; a++ {
		if mean[a] < mean[first] {
			first = a
		}
	}
	for a := range k {
		if a != first && (second < 0 || mean[a] < mean[second]) {
			second = a
		}
	}
	r.Leading = groups[first]
	r.Loudest = groups[first][0]
	if k == 1 {
		for i := range y {
			r.Standings[i].Mean = average(y[i])
		}
		r.NoMatter = o.Delta > 0 && n >= LeastFutures
		return r, nil
	}

	v := centredCovariance(x)
	for a := range k {
		for b := range k {
			if bad(v[a][b]) {
				return Comparison{}, errOverflow
			}
		}
	}
	var trace float64
	loud := 0
	for a := range k {
		trace += v[a][a]
		if v[a][a] > v[loud][loud] {
			loud = a
		}
	}
	r.Loudest = groups[loud][0]
	r.Sphericity = sphericity(v, largest(x))
	r.Doubtful = r.Sphericity < DoubtfulSphericity
	r.G, r.T = c.g, c.t
	// The trace of the centred covariance is the residual sum of squares of
	// the two-way table over n-1.
	r.S2 = 2 * trace / float64(k-1)

	root := math.Sqrt(float64(n))
	pooled := make([][]float64, k)
	pairs := make([][]float64, k)
	for a := range k {
		pooled[a], pairs[a] = make([]float64, k), make([]float64, k)
		for b := range k {
			if a == b {
				continue
			}
			pooled[a][b] = c.g * math.Sqrt(r.S2) / root
			pairs[a][b] = c.t * differenceSD(x[a], x[b]) / root
		}
	}
	var ways [][][]float64
	if o.Method != PairByPair {
		ways = append(ways, pooled)
	}
	if o.Method != Pooled {
		ways = append(ways, pairs)
	}

	s := make([]Standing, k)
	for a := range k {
		s[a].Low, s[a].High, s[a].Half, s[a].Out, s[a].Group = math.Inf(1), math.Inf(-1), 0, true, a
		s[a].Behind = mean[a] - mean[first]
	}
	s[first].Behind = mean[first] - mean[second]
	r.Decided = n >= LeastFutures
	for _, w := range ways {
		low, high := limits(mean, w, first)
		for a := range k {
			rival := first
			if a == first {
				rival = second
			}
			s[a].Low, s[a].High = math.Min(s[a].Low, low[a]), math.Max(s[a].High, high[a])
			s[a].Half = math.Max(s[a].Half, w[a][rival])
			s[a].Out = s[a].Out && a != first && low[a] == 0
			if a == first {
				continue
			}
			gap := mean[a] - mean[first]
			r.Decided = r.Decided && gap > w[first][a]
			// The half width falls with the root of n at fixed constants.
			r.NeededGap = max(r.NeededGap, needed(n, w[first][a], gap))
			if o.Delta > 0 {
				r.NeededDelta = max(r.NeededDelta, needed(n, w[first][a], o.Delta))
			}
		}
	}
	r.NoMatter = o.Delta > 0 && n >= LeastFutures && s[first].High <= o.Delta
	r.Half = s[first].Half
	for a := range k {
		if a != first && !s[a].Out {
			r.Half = math.Max(r.Half, s[a].Half)
		}
	}
	for i := range y {
		r.Standings[i] = s[of[i]]
		r.Standings[i].Mean = average(y[i])
	}
	return r, nil
}

// limits are the constrained limits of "behind" for costs with half widths
// w[a][b]; with equal half widths they reduce to Hsu's
// [min(0, behind-w), max(0, behind+w)].
func limits(mean []float64, w [][]float64, first int) (low, high []float64) {
	k := len(mean)
	low, high = make([]float64, k), make([]float64, k)
	openPlans := make([]bool, k)
	any := false
	for a := range k {
		worst := math.Inf(-1)
		for b := range k {
			if b != a {
				worst = math.Max(worst, mean[a]-mean[b]-w[a][b])
			}
		}
		low[a] = math.Min(0, worst)
		openPlans[a] = low[a] < 0
		any = any || openPlans[a]
	}
	for a := range k {
		worst := 0.0
		for b := range k {
			// Only a plan that may still be the best can be the one to lag
			// behind; the leader is held against all, which is the wider.
			if b != a && (openPlans[b] || !any || a == first) {
				worst = math.Max(worst, mean[a]-mean[b]+w[a][b])
			}
		}
		high[a] = worst
	}
	return low, high
}

// needed is the number of futures that brings the half width down to d.
func needed(n int, half, d float64) int {
	if half == 0 {
		return LeastFutures
	}
	if d <= 0 {
		return MostFutures
	}
	q := half / d
	// The slack keeps a ratio that is a whole number from being rounded up.
	return max(LeastFutures, countUp(float64(n)*q*q*(1-1e-12)))
}

// sameGroups collects plans that are equal in every future; of[i] is the group
// of plan i.
func sameGroups(y [][]float64) (groups [][]int, of []int) {
	of = make([]int, len(y))
next:
	for i := range y {
		for g := range groups {
			if equal(y[groups[g][0]], y[i]) {
				groups[g] = append(groups[g], i)
				of[i] = g
				continue next
			}
		}
		of[i] = len(groups)
		groups = append(groups, []int{i})
	}
	return groups, of
}

func equal(a, b []float64) bool {
	for r := range a {
		if a[r] != b[r] {
			return false
		}
	}
	return true
}

func asCosts(y []float64, s Sense) []float64 {
	x := make([]float64, len(y))
	for r, v := range y {
		if s == LargerBetter {
			v = -v
		}
		x[r] = v
	}
	return x
}

func differenceSD(a, b []float64) float64 {
	d := make([]float64, len(a))
	for r := range a {
		d[r] = a[r] - b[r]
	}
	_, v := meanVariance(d)
	return math.Sqrt(v)
}

func bad(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }

// centredCovariance is the sample covariance of the plans after the mean of
// each future is taken off: what is common to all plans cancels before it can
// cost digits.
func centredCovariance(x [][]float64) [][]float64 {
	k, n := len(x), len(x[0])
	d := make([][]float64, k)
	for a := range k {
		d[a] = make([]float64, n)
		m := average(x[a])
		for r := range n {
			d[a][r] = x[a][r] - m
		}
	}
	for r := range n {
		var m float64
		for a := range k {
			m += d[a][r]
		}
		m /= float64(k)
		for a := range k {
			d[a][r] -= m
		}
	}
	v := make([][]float64, k)
	for a := range k {
		v[a] = make([]float64, k)
		for b := range k {
			var s float64
			for r := range n {
				s += d[a][r] * d[b][r]
			}
			v[a][b] = s / float64(n-1)
		}
	}
	return v
}

// sphericity is the coefficient of Greenhouse & Geisser, Psychometrika 24
// (1959) 95: (tr V)^2 / ((k-1) tr V^2) of the centred covariance V of numbers no
// larger than scale. Differences that vary by rounding only count as alike.
func sphericity(v [][]float64, scale float64) float64 {
	var trace, square, most float64
	for a := range v {
		most = math.Max(most, v[a][a])
	}
	if math.Sqrt(most) <= 1e-15*scale {
		return 1
	}
	for a := range v {
		trace += v[a][a] / most
		for b := range v {
			square += v[a][b] / most * (v[b][a] / most)
		}
	}
	return math.Min(1, trace*trace/(float64(len(v)-1)*square))
}

func largest(x [][]float64) float64 {
	var most float64
	for a := range x {
		for _, v := range x[a] {
			most = math.Max(most, math.Abs(v))
		}
	}
	return most
}
