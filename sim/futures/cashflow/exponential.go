package cashflow

import "math"

// exponentialRoots gives every real s at which the sum of c[k] exp(-s t[k]) is
// zero, rising; t rises strictly. By Rolle's theorem a sum has at most one root
// between neighbouring roots of its derivative, and after division by
// exp(-s t[0]) the derivative has one term fewer: so the roots are found from
// those of sums of ever fewer terms, each between known ends by bisection.
func exponentialRoots(c, t []float64) []float64 {
	var cs, ts []float64
	for k := range c {
		if c[k] != 0 {
			cs, ts = append(cs, c[k]), append(ts, t[k])
		}
	}
	switch changes := signChanges(cs); {
	case changes == 0:
		return nil
	case changes == 1:
		// One root exactly: no derivative is needed.
		return between(cs, ts, nil)
	}
	d, u := make([]float64, 0, len(cs)), make([]float64, 0, len(cs))
	for k := 1; k < len(cs); k++ {
		d, u = append(d, -cs[k]*(ts[k]-ts[0])), append(u, ts[k])
	}
	return between(cs, ts, exponentialRoots(d, u))
}

// between looks for one root in each interval that the turning points leave.
func between(c, t, turns []float64) []float64 {
	last := len(c) - 1
	// Beyond these the first, or the last, term outweighs all others.
	far, near := 0.0, 0.0
	for k := range c {
		if k > 0 {
			far = math.Max(far, math.Log(math.Abs(c[k]/c[0])*float64(len(c)))/(t[k]-t[0]))
		}
		if k < last {
			near = math.Max(near, math.Log(math.Abs(c[k]/c[last])*float64(len(c)))/(t[last]-t[k]))
		}
	}
	ends := []float64{-near - 1}
	for _, x := range turns {
		if x > ends[len(ends)-1] && x < far+1 {
			ends = append(ends, x)
		}
	}
	ends = append(ends, far+1)
	var roots []float64
	for i := 0; i+1 < len(ends); i++ {
		lo, hi := ends[i], ends[i+1]
		flo, fhi := balance(c, t, lo), balance(c, t, hi)
		switch {
		case flo == 0:
			if n := len(roots); n == 0 || roots[n-1] != lo {
				roots = append(roots, lo)
			}
		case fhi == 0: // the next interval begins there
			if i+2 == len(ends) {
				roots = append(roots, hi)
			}
		case (flo > 0) != (fhi > 0):
			roots = append(roots, bisect(c, t, lo, hi, flo > 0))
		}
	}
	return roots
}

// balance is the sum over the largest of its terms: its sign without overflow.
// What is below rounding counts as zero.
func balance(c, t []float64, s float64) float64 {
	most := math.Inf(-1)
	for k := range c {
		most = math.Max(most, math.Log(math.Abs(c[k]))-s*t[k])
	}
	var v sum
	var size float64
	for k := range c {
		e := math.Exp(math.Log(math.Abs(c[k])) - s*t[k] - most)
		size += e
		v.add(math.Copysign(e, c[k]))
	}
	if math.Abs(v.value()) < 1e-15*size {
		return 0
	}
	return v.value()
}

// bisect narrows a bracket to neighbouring numbers, first by halves, then by
// Newton steps that stay inside.
func bisect(c, t []float64, lo, hi float64, positive bool) float64 {
	for i := 0; i < 60; i++ {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		f := balance(c, t, mid)
		if f == 0 {
			lo, hi = mid, mid
			break
		}
		if (f > 0) == positive {
			lo = mid
		} else {
			hi = mid
		}
	}
	// One Newton step on the plain sum takes off what the logarithms of balance
	// have left.
	s := lo + (hi-lo)/2
	var v, dv sum
	for k := range c {
		e := c[k] * math.Exp(-s*t[k])
		v.add(e)
		dv.add(-t[k] * e)
	}
	if step := v.value() / dv.value(); math.Abs(step) < 1e-9*(1+math.Abs(s)) {
		s -= step
	}
	return s
}
