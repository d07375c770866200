package judge

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// EquicorrelatedT is the one-sided critical value g of m Student t variates
// with common degrees of freedom nu and common correlation 1/2:
// P(T1 <= g, ..., Tm <= g) = level. It is Dunnett's one-sided constant (J.
// American Statistical Association 50 (1955) 1096), Hsu's for comparison with
// the best, and Nelson & Matejcik's. m >= 1, nu > 0, math.Inf(1) allowed,
// 0 < level < 1.
func EquicorrelatedT(level float64, m int, nu float64) (float64, error) {
	if err := checkLevel(level); err != nil {
		return 0, err
	}
	if m < 1 || !(nu > 0) {
		return 0, fmt.Errorf("%d comparisons with %g degrees of freedom", m, nu)
	}
	if m == 1 {
		return studentQuantile(level, nu), nil
	}
	// Between the value for one comparison and the Bonferroni value.
	lo := studentQuantile(level, nu)
	hi := studentQuantile(1-(1-level)/float64(m), nu)
	e := newEquicorrelated(m, nu)
	// False position (Illinois form) inside a bracket that always shrinks.
	flo, fhi := e.probability(lo)-level, e.probability(hi)-level
	if flo >= 0 || fhi <= 0 {
		// The bracket ends are exact bounds; only rounding brings us here.
		if flo >= 0 {
			return lo, nil
		}
		return hi, nil
	}
	side := 0
	for i := 0; i < 200 && hi-lo > 1e-12*(1+math.Abs(hi)); i++ {
		x := (lo*fhi - hi*flo) / (fhi - flo)
		if !(x > lo && x < hi) {
			x = (lo + hi) / 2
		}
		switch f := e.probability(x) - level; {
		case math.Abs(f) < 1e-15:
			return x, nil
		case f < 0:
			lo, flo = x, f
			if side == -1 {
				fhi /= 2
			}
			side = -1
		default:
			hi, fhi = x, f
			if side == 1 {
				flo /= 2
			}
			side = 1
		}
	}
	return (lo + hi) / 2, nil
}

// equicorrelated holds the nodes of the double integral. With Z, Z1..Zm
// standard normal, Ti = (Zi-Z)/(sqrt(2) s) and s^2 = chi-square/nu, so
// P = E over s and z of Phi(z + sqrt(2) g s)^m.
type equicorrelated struct {
	m        int
	s, sw    []float64 // nodes and weights of s
	z, zw    []float64 // nodes and weights of z
	weighted float64   // sum of all weights, to norm by
}

func newEquicorrelated(m int, nu float64) equicorrelated {
	e := equicorrelated{m: m}
	// The trapezoid rule is spectrally accurate on a normal weight.
	const step, reach = 0.125, 8.5
	var zsum float64
	for z := -reach; z <= reach; z += step {
		w := math.Exp(-z * z / 2)
		e.z, e.zw = append(e.z, z), append(e.zw, w)
		zsum += w
	}
	if math.IsInf(nu, 1) || nu > 1e12 {
		e.s, e.sw = []float64{1}, []float64{1}
	} else {
		e.s, e.sw = make([]float64, 80), make([]float64, 80)
		chi := distuv.ChiSquared{K: nu}
		from, to := math.Sqrt(chi.Quantile(1e-15)/nu), math.Sqrt(chi.Quantile(1-1e-15)/nu)
		quad.Legendre{}.FixedLocations(e.s, e.sw, from, to)
		for i, s := range e.s {
			// Density of s up to a constant that norming removes; taken
			// relative to s = 1 so that a large nu does not overflow.
			e.sw[i] *= math.Exp((nu-1)*math.Log(s) - nu*(s*s-1)/2)
		}
	}
	var ssum float64
	for _, w := range e.sw {
		ssum += w
	}
	e.weighted = zsum * ssum
	return e
}

func (e equicorrelated) probability(g float64) float64 {
	var p float64
	for i, s := range e.s {
		var in float64
		for j, z := range e.z {
			in += e.zw[j] * power(normalCDF(z+math.Sqrt2*g*s), e.m)
		}
		p += e.sw[i] * in
	}
	return p / e.weighted
}

// power is x^m for m >= 1 by squaring.
func power(x float64, m int) float64 {
	r := 1.0
	for ; m > 0; m >>= 1 {
		if m&1 == 1 {
			r *= x
		}
		x *= x
	}
	return r
}
