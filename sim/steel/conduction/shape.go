package conduction

import (
	"fmt"
	"math"
)

// Shape is a body in which heat flows in one direction only.
type Shape uint8

// The three shapes.
const (
	PlaneWall    Shape = iota // heated alike on both faces; or of single thickness with one face insulated
	LongCylinder              // heated all round, ends without effect
	Sphere
)

// String names the shape.
func (s Shape) String() string {
	switch s {
	case PlaneWall:
		return "plane wall"
	case LongCylinder:
		return "long cylinder"
	case Sphere:
		return "sphere"
	}
	return fmt.Sprintf("shape %d", uint8(s))
}

// area is the surface over the volume, times L: 1, 2 or 3.
func (s Shape) area() float64 { return float64(s) + 1 }

// smallBiot is where the first root of a sphere is taken from its expansion, because the difference that defines it loses its digits.
const smallBiot = 1e-5

// Root returns the n-th root, counted from 0, of the equation that convection of a Biot number (0 to +Inf) puts at the surface:
//
//	plane wall     z tan z = Bi
//	long cylinder  z J1(z) = Bi J0(z)
//	sphere         1 - z cot z = Bi
//
// An infinite Biot number is a surface held at the fluid's temperature. The answer is good to some 1e-14 of itself. NaN for a Biot number below 0 or NaN, an n below 0 or an unknown shape.
func Root(s Shape, biot float64, n int) float64 {
	if !(biot >= 0) || n < 0 {
		return math.NaN()
	}
	low := float64(n) * math.Pi
	switch s {
	case PlaneWall:
		if math.IsInf(biot, 1) {
			return low + math.Pi/2
		}
		return between(func(z float64) float64 { return z*math.Sin(z) - biot*math.Cos(z) }, low, low+math.Pi/2)
	case LongCylinder:
		high := besselZero(0, n+1)
		if math.IsInf(biot, 1) {
			return high
		}
		if n > 0 {
			low = besselZero(1, n)
		}
		return between(func(z float64) float64 { return z*math.J1(z) - biot*math.J0(z) }, low, high)
	case Sphere:
		if math.IsInf(biot, 1) {
			return low + math.Pi
		}
		if n == 0 {
			if biot < smallBiot {
				return math.Sqrt(3 * biot * (1 - biot/5))
			}
			low = 1e-3
		}
		return between(func(z float64) float64 { return (1-biot)*math.Sin(z) - z*math.Cos(z) }, low, float64(n+1)*math.Pi)
	}
	return math.NaN()
}

// Coefficient returns the factor C of the term of the series that belongs to a root zeta of [Root]. NaN for a zeta that is not 0 or more, or an unknown shape.
//
// The excess over the fluid, as a share of that at the start, is the sum of C exp(-zeta2 Fo) f(zeta x/L) with f the cosine (wall), J0 (cylinder) or sin z/z (sphere).
func Coefficient(s Shape, zeta float64) float64 {
	if !(zeta >= 0) {
		return math.NaN()
	}
	if zeta == 0 && s <= Sphere {
		return 1
	}
	switch s {
	case PlaneWall:
		return 4 * math.Sin(zeta) / (2*zeta + math.Sin(2*zeta))
	case LongCylinder:
		j0, j1 := math.J0(zeta), math.J1(zeta)
		return 2 * j1 / (zeta * (j0*j0 + j1*j1))
	case Sphere:
		if zeta < 0.02 {
			return 1 + zeta*zeta/10
		}
		return 4 * (math.Sin(zeta) - zeta*math.Cos(zeta)) / (2*zeta - math.Sin(2*zeta))
	}
	return math.NaN()
}

// OneTerm returns the first root and its coefficient: the lambda1 and A1 of the textbooks' tables, good for Fo above 0.2.
func OneTerm(s Shape, biot float64) (zeta, c float64) {
	zeta = Root(s, biot, 0)
	return zeta, Coefficient(s, zeta)
}

// profile is f(zeta x) of a shape.
func profile(s Shape, z float64) float64 {
	switch s {
	case PlaneWall:
		return math.Cos(z)
	case LongCylinder:
		return math.J0(z)
	}
	if z < 1e-4 {
		return 1 - z*z/6
	}
	return math.Sin(z) / z
}

// profileMean is the mean of f over the volume.
func profileMean(s Shape, z float64) float64 {
	if z < 1e-2 { // the next term is z^4/120, z^4/192 or z^4/280
		return [...]float64{1 - z*z/6 + z*z*z*z/120, 1 - z*z/8 + z*z*z*z/192, 1 - z*z/10 + z*z*z*z/280}[s]
	}
	switch s {
	case PlaneWall:
		return math.Sin(z) / z
	case LongCylinder:
		return 2 * math.J1(z) / z
	}
	return 3 * (math.Sin(z) - z*math.Cos(z)) / (z * z * z)
}

// between finds the zero of f in an interval at whose ends it has opposite signs, by the method of Ridders; without a change of sign it returns the end where f is nearer to zero.
func between(f func(float64) float64, lo, hi float64) float64 {
	a, b := f(lo), f(hi)
	if a == 0 {
		return lo
	}
	if b == 0 {
		return hi
	}
	if a > 0 == (b > 0) {
		if math.Abs(a) < math.Abs(b) {
			return lo
		}
		return hi
	}
	last := math.Inf(1)
	for range 80 {
		mid := lo + (hi-lo)/2
		m := f(mid)
		root := math.Sqrt(m*m - a*b)
		if m == 0 || root == 0 {
			return mid
		}
		z := mid + (mid-lo)*m/root*sign(a-b)
		v := f(z)
		if v == 0 || math.Abs(z-last) <= 2e-16*z {
			return z
		}
		last = z
		switch {
		case m > 0 != (v > 0):
			lo, a, hi, b = mid, m, z, v
			if lo > hi {
				lo, a, hi, b = hi, b, lo, a
			}
		case a > 0 != (v > 0):
			hi, b = z, v
		default:
			lo, a = z, v
		}
		if hi-lo <= 4e-16*hi {
			return lo
		}
	}
	return last
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// besselZero returns the s-th positive zero of J0 or J1: McMahon's expansion (Abramowitz and Stegun 9.5.12, from memory), polished by Newton's steps.
func besselZero(order, s int) float64 {
	mu := 4 * float64(order*order)
	b := (float64(s) + float64(order)/2 - 0.25) * math.Pi
	e := 1 / (8 * b)
	z := b - (mu-1)*e - 4*(mu-1)*(7*mu-31)*e*e*e/3
	for range 4 {
		j0, j1 := math.J0(z), math.J1(z)
		if order == 0 {
			z += j0 / j1
		} else {
			z -= j1 / (j0 - j1/z)
		}
	}
	return z
}
