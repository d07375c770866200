package judge

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// chanceRays is the number of directions behind ChanceMeanBest for three plans
// and more; two plans are exact. Tests hold the error below 1e-3.
const chanceRays = 1 << 15

// ChanceMeanBest is the posterior probability, for each plan, that its mean
// over all futures is the best: not that it will win next time, which is
// ShareWon. y[plan][future] under common luck.
//
// The vector of means is given the posterior of the paired t: multivariate t
// about the sample means with the sample covariance over n and n-1 degrees of
// freedom, so that every pair of plans has the posterior of its own paired
// difference (reference prior; Chick & Inoue, Management Science 47 (2001)
// 1133, correlated case). Directions come from a fixed lattice: the same data
// give the same answer every time. Plans equal in every future share their
// group's probability. At least two futures; below plans+2 futures the joint
// law has fewer dimensions than plans and the result is a rough guide.
func ChanceMeanBest(y [][]float64, sense Sense) ([]float64, error) {
	if err := checkPlans(y, 2); err != nil {
		return nil, err
	}
	groups, of := sameGroups(y)
	k, n := len(groups), len(y[0])
	x := make([][]float64, k)
	first := 0
	mean := make([]float64, k)
	for a, g := range groups {
		x[a] = asCosts(y[g[0]], sense)
		mean[a] = average(x[a])
		if mean[a] < mean[first] {
			first = a
		}
	}
	// Differences from the leader carry all that matters.
	gap := make([]float64, 0, k-1)
	diff := make([][]float64, 0, k-1)
	which := make([]int, 0, k-1)
	for a := range k {
		if a == first {
			continue
		}
		d := make([]float64, n)
		for r := range n {
			d[r] = x[a][r] - x[first][r]
		}
		m, v := meanVariance(d)
		if bad(v) {
			return nil, errOverflow
		}
		for r := range n {
			d[r] -= m
		}
		gap, diff, which = append(gap, m), append(diff, d), append(which, a)
	}
	p := make([]float64, k)
	switch {
	case k == 1:
		p[0] = 1
	case k == 2:
		_, v := meanVariance(diff[0])
		p[first] = leadChance(gap[0], math.Sqrt(v/float64(n)), float64(n-1))
		p[which[0]] = 1 - p[first]
	default:
		q := rayChances(gap, factor(diff), float64(n-1))
		p[first] = q[0]
		for i, a := range which {
			p[a] = q[i+1]
		}
	}
	out := make([]float64, len(y))
	for i := range y {
		out[i] = p[of[i]] / float64(len(groups[of[i]]))
	}
	return out, nil
}

// leadChance is the chance that a true gap is above zero.
func leadChance(gap, se, nu float64) float64 {
	if se == 0 {
		if gap > 0 {
			return 1
		}
		return 0.5
	}
	return studentCDF(gap/se, nu)
}

// factor gives L with L L' = covariance of the mean of the rows of d (centred),
// by Cholesky with pivoting on the largest variance left: a singular covariance
// gives fewer columns instead of a failure.
func factor(d [][]float64) [][]float64 {
	m, n := len(d), len(d[0])
	v := make([][]float64, m)
	scale := float64(n) * float64(n-1)
	for i := range m {
		v[i] = make([]float64, m)
		for j := range m {
			var s float64
			for r := range n {
				s += d[i][r] * d[j][r]
			}
			v[i][j] = s / scale
		}
	}
	start := make([]float64, m)
	for i := range m {
		start[i] = v[i][i]
	}
	l := make([][]float64, m)
	done := make([]bool, m)
	for range min(m, n-1) {
		pivot, left := -1, 0.0
		for i := range m {
			// What is left of a variance at the size of rounding is nothing.
			if !done[i] && v[i][i] > 1e-12*start[i] && v[i][i] > left {
				pivot, left = i, v[i][i]
			}
		}
		if pivot < 0 {
			break
		}
		root := math.Sqrt(left)
		for i := range m {
			c := 0.0
			if i == pivot {
				c = root
			} else if !done[i] {
				c = v[i][pivot] / root
			}
			l[i] = append(l[i], c)
		}
		done[pivot] = true
		c := len(l[0]) - 1
		for i := range m {
			for j := range m {
				v[i][j] -= l[i][c] * l[j][c]
			}
		}
	}
	return l
}

// rayChances gives the chances that 0 (the leader), gap[0]+noise, gap[1]+noise...
// is the smallest, for noise L z / s with z standard normal and s^2 =
// chi-square(nu)/nu. Along a direction u the noise is tau L u with
// tau = |z|/s, tau^2/rank being F(rank, nu): the values are straight lines in
// tau, so the winner changes at a few known places and the F law gives what lies
// between them exactly. Only the directions are drawn: a Kronecker lattice with
// the roots of primes, folded (Richtmyer's rule as used by Genz, J. Computational
// and Graphical Statistics 1 (1992) 141), each direction with its opposite.
func rayChances(gap []float64, l [][]float64, nu float64) []float64 {
	m, rank := len(gap), len(l[0])
	won := make([]float64, m+1)
	if rank == 0 {
		won[0] = 1
		return won
	}
	points := chanceRays
	if rank == 1 {
		points = 1 // there are only two directions
	}
	alpha := make([]float64, rank)
	for j, q := range primes(rank) {
		alpha[j] = math.Sqrt(float64(q))
	}
	within := func(tau float64) float64 {
		q := tau * tau
		if math.IsInf(q, 1) {
			return 1
		}
		return mathext.RegIncBeta(float64(rank)/2, nu/2, q/(q+nu))
	}
	u := make([]float64, rank)
	value := append([]float64{0}, gap...)
	slope := make([]float64, m+1)
	for i := 1; i <= points; i++ {
		var length float64
		for j := range u {
			u[j] = distuv.UnitNormal.Quantile(fold(float64(i) * alpha[j]))
			length = math.Hypot(length, u[j])
		}
		if length == 0 {
			continue
		}
		for a := range m {
			slope[a+1] = 0
			for j, f := range l[a] {
				slope[a+1] += f * u[j] / length
			}
		}
		for range 2 {
			walkRay(won, value, slope, within)
			for a := range slope {
				slope[a] = -slope[a]
			}
		}
	}
	var sum float64
	for _, w := range won {
		sum += w
	}
	for a := range won {
		won[a] /= sum
	}
	return won
}

// walkRay follows the lowest of the lines value+tau*slope from tau = 0, where
// line 0 is lowest, and credits each line with the chance of its stretch.
func walkRay(won, value, slope []float64, within func(float64) float64) {
	at, before := 0, 0.0
	for {
		next, cross := -1, math.Inf(1)
		for a := range value {
			if slope[a] >= slope[at] {
				continue
			}
			t := (value[a] - value[at]) / (slope[at] - slope[a])
			if t < cross || t == cross && (next < 0 || slope[a] < slope[next]) {
				next, cross = a, t
			}
		}
		if next < 0 {
			won[at] += 1 - before
			return
		}
		p := math.Max(before, within(math.Max(0, cross)))
		won[at] += p - before
		at, before = next, p
	}
}

// fold maps x to (0,1) by its fraction and a tent, which halves the weight of
// the lattice's edge.
func fold(x float64) float64 {
	_, f := math.Modf(x)
	f = math.Abs(2*f - 1)
	return math.Min(math.Max(f, 1e-15), 1-1e-15)
}

func primes(n int) []int {
	var p []int
next:
	for c := 2; len(p) < n; c++ {
		for _, q := range p {
			if c%q == 0 {
				continue next
			}
		}
		p = append(p, c)
	}
	return p
}

// ShareWon is the share of futures in which each plan had the best value: the
// chance that it wins next time. Plans that tie in a future share it. One
// future or more.
func ShareWon(y [][]float64, sense Sense) ([]float64, error) {
	if err := checkPlans(y, 1); err != nil {
		return nil, err
	}
	won := make([]float64, len(y))
	for r := range y[0] {
		bestValue := y[0][r]
		for i := range y {
			if sense == LargerBetter {
				bestValue = math.Max(bestValue, y[i][r])
			} else {
				bestValue = math.Min(bestValue, y[i][r])
			}
		}
		ties := 0
		for i := range y {
			if y[i][r] == bestValue {
				ties++
			}
		}
		for i := range y {
			if y[i][r] == bestValue {
				won[i] += 1 / float64(ties)
			}
		}
	}
	for i := range won {
		won[i] /= float64(len(y[0]))
	}
	return won, nil
}
