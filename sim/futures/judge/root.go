package judge

import "math"

// rootBetween solves f = 0 between lo and hi for a rising f, by false position in
// the Illinois form (M. Dowell, P. Jarratt, BIT 11 (1971) 168, from memory). An
// end on the wrong side, by rounding, is the answer.
func rootBetween(lo, hi float64, f func(x float64) float64) float64 {
	flo, fhi := f(lo), f(hi)
	if flo >= 0 {
		return lo
	}
	if fhi <= 0 {
		return hi
	}
	side := 0
	for i := 0; i < 200 && hi-lo > 1e-13*(1+math.Abs(hi)); i++ {
		x := (lo*fhi - hi*flo) / (fhi - flo)
		if !(x > lo && x < hi) {
			x = lo + (hi-lo)/2
		}
		switch v := f(x); {
		case math.Abs(v) < 1e-15:
			return x
		case v < 0:
			if lo, flo = x, v; side == -1 {
				fhi /= 2
			}
			side = -1
		default:
			if hi, fhi = x, v; side == 1 {
				flo /= 2
			}
			side = 1
		}
	}
	return lo + (hi-lo)/2
}
