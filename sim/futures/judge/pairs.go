package judge

import "math"

// Difference is one of several simultaneous comparisons.
type Difference struct {
	Plan, Against int
	Pair          Pair // of Plan minus Against
}

// AllPairs compares every plan with every earlier one by paired intervals that all
// hold together with the chance level (Bonferroni): each is taken at 1-(1-level)/c
// for the c = k(k-1)/2 pairs. y[plan][future] under common luck.
func AllPairs(y [][]float64, level float64) ([]Difference, error) {
	if err := checkPlans(y, 2); err != nil {
		return nil, err
	}
	if err := checkLevel(level); err != nil {
		return nil, err
	}
	k := len(y)
	each := 1 - (1-level)/math.Max(1, float64(k*(k-1))/2)
	var out []Difference
	for i := range k {
		for j := range i {
			p, err := Paired(y[j], y[i], each)
			if err != nil {
				return nil, err
			}
			out = append(out, Difference{Plan: i, Against: j, Pair: p})
		}
	}
	return out, nil
}

// AgainstStandard compares every plan with one, say today's works, by paired
// intervals that all hold together with the chance level: each at
// 1-(1-level)/(k-1).
func AgainstStandard(y [][]float64, standard int, level float64) ([]Difference, error) {
	if err := checkPlans(y, 2); err != nil {
		return nil, err
	}
	if err := checkLevel(level); err != nil {
		return nil, err
	}
	if standard < 0 || standard >= len(y) {
		return nil, ErrShape
	}
	each := 1 - (1-level)/math.Max(1, float64(len(y)-1))
	var out []Difference
	for i := range y {
		if i == standard {
			continue
		}
		p, err := Paired(y[standard], y[i], each)
		if err != nil {
			return nil, err
		}
		out = append(out, Difference{Plan: i, Against: standard, Pair: p})
	}
	return out, nil
}

// Apart is the comparison of two plans that met different futures.
type Apart struct {
	Difference      float64 // of the means, b-a
	Degrees         float64 // of freedom, not whole
	Half, Low, High float64
	Level           float64
}

// Unpaired compares b with a when each had futures of its own, by Welch's interval
// (B. L. Welch, Biometrika 34 (1947) 28). Never use it on plans in the same
// futures: it throws the pairing away, see Paired. Two futures or more of each; at
// least one must vary.
func Unpaired(a, b []float64, level float64) (Apart, error) {
	ma, err := MeanInterval(a, level)
	if err != nil {
		return Apart{}, err
	}
	mb, err := MeanInterval(b, level)
	if err != nil {
		return Apart{}, err
	}
	va, vb := ma.SD*ma.SD/float64(ma.N), mb.SD*mb.SD/float64(mb.N)
	if va+vb == 0 {
		return Apart{}, errPrecision
	}
	r := Apart{Difference: mb.Mean - ma.Mean, Level: level}
	r.Degrees = (va + vb) * (va + vb) / (va*va/float64(ma.N-1) + vb*vb/float64(mb.N-1))
	r.Half = studentQuantile(0.5+level/2, r.Degrees) * math.Sqrt(va+vb)
	r.Low, r.High = r.Difference-r.Half, r.Difference+r.Half
	return r, nil
}

// ChanceMeanBestApart is ChanceMeanBest for plans that met different futures: the
// posterior of each mean is its own t about the sample mean, and all are
// independent. The integral of one density times the others' distribution
// functions is by the trapezoid rule in the inverse hyperbolic sine, which is
// exact to about 1e-9. Two futures or more of each plan, each with some spread.
func ChanceMeanBestApart(y [][]float64, sense Sense) ([]float64, error) {
	if len(y) == 0 {
		return nil, ErrShape
	}
	k := len(y)
	m, se, nu := make([]float64, k), make([]float64, k), make([]float64, k)
	for i := range y {
		r, err := MeanInterval(y[i], 0.95)
		if err != nil {
			return nil, err
		}
		if r.SD == 0 {
			return nil, errPrecision
		}
		m[i], se[i], nu[i] = r.Mean, r.SD/math.Sqrt(float64(r.N)), float64(r.N-1)
		if sense == LargerBetter {
			m[i] = -m[i]
		}
	}
	const step, reach = 0.02, 25.0
	p := make([]float64, k)
	var total float64
	for i := range k {
		for v := -reach; v <= reach; v += step {
			t := math.Sinh(v)
			density := math.Exp(-(nu[i]+1)/2*math.Log1p(t*t/nu[i])) * math.Cosh(v)
			if density < 1e-18 {
				continue
			}
			x := m[i] + se[i]*t
			others := 1.0
			for j := range k {
				if j != i {
					others *= studentCDF((m[j]-x)/se[j], nu[j])
				}
			}
			p[i] += density * others * step
		}
		lg1, _ := math.Lgamma((nu[i] + 1) / 2)
		lg2, _ := math.Lgamma(nu[i] / 2)
		p[i] *= math.Exp(lg1-lg2) / math.Sqrt(math.Pi*nu[i])
		total += p[i]
	}
	for i := range p {
		p[i] /= total
	}
	return p, nil
}
