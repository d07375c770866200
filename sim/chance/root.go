package chance

import "math"

// rootBetween narrows a bracket around a root of f, whose values at the ends have
// different signs, by false position in the Illinois form (M. Dowell, P. Jarratt,
// BIT 11 (1971) 168, from memory), to tolerance in x.
func rootBetween(lo, flo, hi, fhi, tolerance float64, f func(x float64) float64) float64 {
	if flo == 0 || fhi == 0 {
		if flo == 0 {
			return lo
		}
		return hi
	}
	side := 0
	for i := 0; i < 200 && math.Abs(hi-lo) > tolerance; i++ {
		x := (lo*fhi - hi*flo) / (fhi - flo)
		if !(x > lo && x < hi) {
			if x = lo + (hi-lo)/2; x == lo || x == hi {
				break
			}
		}
		v := f(x)
		switch {
		case v == 0:
			return x
		case (v > 0) == (flo > 0):
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

// risingRoot solves f = 0 for a rising f between lo and hi > 0, by Newton's
// method kept inside a bracket that shrinks. An error says that the ends have the
// same sign.
func risingRoot(lo, hi, start float64, f func(x float64) (value, slope float64)) (float64, error) {
	if v, _ := f(lo); v > 0 {
		return 0, ErrSpells
	}
	if v, _ := f(hi); !(v > 0) {
		return 0, ErrSpells
	}
	x := math.Min(math.Max(start, lo), hi)
	for i := 0; i < 200; i++ {
		v, slope := f(x)
		if v > 0 {
			hi = x
		} else {
			lo = x
		}
		next := x - v/slope
		if !(next > lo && next < hi) {
			next = math.Sqrt(lo) * math.Sqrt(hi)
		}
		if math.Abs(next-x) <= 4e-16*next || !(hi-lo > 4e-16*hi) {
			return next, nil
		}
		x = next
	}
	return x, nil
}
