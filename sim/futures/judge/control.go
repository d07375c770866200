package judge

import (
	"fmt"
	"math"
)

// Controlled is a mean made steadier by what is known of the luck.
type Controlled struct {
	Estimate        float64
	SE              float64
	Half, Low, High float64
	Coefficients    []float64 // one a control
	// Share is the variance that is left, as a share of the plain mean's.
	Share float64
	Level float64
}

// ControlVariates estimates the mean of y with the help of controls whose true
// means are known, such as the hours of repair that keyed luck has drawn: the
// intercept of the regression of y on the controls less their means, with n-1-k
// degrees of freedom (S. S. Lavenberg, P. D. Welch, Management Science 27 (1981)
// 322). x[control][future]. At least k+3 futures; 30 and at most three controls are
// wise. A control must vary and not follow from the others.
func ControlVariates(y []float64, x [][]float64, means []float64, level float64) (Controlled, error) {
	if err := checkLevel(level); err != nil {
		return Controlled{}, err
	}
	k, n := len(x), len(y)
	if k == 0 || len(means) != k {
		return Controlled{}, fmt.Errorf("%w: %d controls, %d means", ErrShape, k, len(means))
	}
	if err := checkPlans(append([][]float64{y}, x...), k+3); err != nil {
		return Controlled{}, err
	}
	if err := checkSample(means, k); err != nil {
		return Controlled{}, err
	}
	mean, variance := meanVariance(y)
	if bad(variance) {
		return Controlled{}, errOverflow
	}
	// Sums of squares and products about the means, scaled to correlations.
	d := make([][]float64, k)
	scale, gap := make([]float64, k), make([]float64, k)
	for i := range k {
		m, v := meanVariance(x[i])
		if v == 0 || bad(v) {
			return Controlled{}, fmt.Errorf("control %d does not vary: leave it out", i)
		}
		scale[i] = math.Sqrt(v * float64(n-1))
		gap[i] = (m - means[i]) / scale[i]
		d[i] = make([]float64, n)
		for r := range n {
			d[i][r] = (x[i][r] - m) / scale[i]
		}
	}
	a := make([][]float64, k)
	b := make([]float64, k)
	for i := range k {
		a[i] = make([]float64, k)
		for j := range k {
			for r := range n {
				a[i][j] += d[i][r] * d[j][r]
			}
		}
		for r := range n {
			b[i] += d[i][r] * (y[r] - mean)
		}
	}
	beta, err := solve(a, b)
	if err != nil {
		return Controlled{}, err
	}
	w, err := solve(a, gap)
	if err != nil {
		return Controlled{}, err
	}
	var rest float64
	for r := range n {
		e := y[r] - mean
		for i := range k {
			e -= beta[i] * d[i][r]
		}
		rest += e * e
	}
	c := Controlled{Estimate: mean, Level: level}
	leverage := 1 / float64(n)
	for i := range k {
		c.Estimate -= beta[i] * gap[i]
		leverage += w[i] * gap[i]
		c.Coefficients = append(c.Coefficients, beta[i]/scale[i])
	}
	nu := float64(n - 1 - k)
	c.SE = math.Sqrt(rest / nu * leverage)
	c.Half = studentQuantile(0.5+level/2, nu) * c.SE
	c.Low, c.High = c.Estimate-c.Half, c.Estimate+c.Half
	if variance > 0 {
		c.Share = c.SE * c.SE / (variance / float64(n))
	}
	return c, nil
}

// solve is Cholesky's method for a correlation matrix.
func solve(a [][]float64, b []float64) ([]float64, error) {
	k := len(b)
	l := make([][]float64, k)
	for i := range k {
		l[i] = make([]float64, k)
		for j := 0; j <= i; j++ {
			v := a[i][j]
			for m := range j {
				v -= l[i][m] * l[j][m]
			}
			if i == j {
				if v < 1e-10 {
					return nil, fmt.Errorf("control %d follows from the others: leave it out", i)
				}
				l[i][i] = math.Sqrt(v)
			} else {
				l[i][j] = v / l[j][j]
			}
		}
	}
	z := make([]float64, k)
	for i := range k {
		v := b[i]
		for m := range i {
			v -= l[i][m] * z[m]
		}
		z[i] = v / l[i][i]
	}
	for i := k - 1; i >= 0; i-- {
		for m := i + 1; m < k; m++ {
			z[i] -= l[m][i] * z[m]
		}
		z[i] /= l[i][i]
	}
	return z, nil
}
