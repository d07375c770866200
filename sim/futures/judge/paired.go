package judge

import "math"

// PoorPairing is the variance ratio above which common luck is not paying: the
// difference is then hardly steadier than if every plan had had its own luck.
const PoorPairing = 0.8

// Pair is the comparison of two plans, future by future.
type Pair struct {
	Difference Mean // of b-a
	// Correlation of the two columns; 0 when one of them has no spread.
	Correlation float64
	// Ratio is Var(b-a) / (Var a + Var b): 1 for independent columns, small
	// when common luck pays, above 1 when it harms; 0 when nothing varies.
	Ratio float64
	// Poor is set when Ratio > PoorPairing.
	Poor bool
	// Same is set when the two columns are equal in every future.
	Same bool
}

// Paired compares b with a by the paired t interval on b-a (Law, Simulation
// Modeling and Analysis, chapter on comparing systems). a[r] and b[r] must have
// met the same future r. A two-sample interval would throw the pairing away.
func Paired(a, b []float64, level float64) (Pair, error) {
	if err := checkLevel(level); err != nil {
		return Pair{}, err
	}
	if err := checkPlans([][]float64{a, b}, 2); err != nil {
		return Pair{}, err
	}
	d := make([]float64, len(a))
	same := true
	for r := range a {
		d[r] = b[r] - a[r]
		same = same && a[r] == b[r]
	}
	diff, err := MeanInterval(d, level)
	if err != nil {
		return Pair{}, err
	}
	ma, va := meanVariance(a)
	mb, vb := meanVariance(b)
	if math.IsInf(va+vb, 0) || math.IsNaN(va+vb) {
		return Pair{}, errOverflow
	}
	p := Pair{Difference: diff, Same: same}
	if va > 0 && vb > 0 {
		var cov float64
		for r := range a {
			cov += (a[r] - ma) * (b[r] - mb)
		}
		cov /= float64(len(a) - 1)
		p.Correlation = math.Max(-1, math.Min(1, cov/math.Sqrt(va)/math.Sqrt(vb)))
	}
	if va+vb > 0 {
		p.Ratio = diff.SD * diff.SD / (va + vb)
	}
	p.Poor = p.Ratio > PoorPairing
	return p, nil
}
