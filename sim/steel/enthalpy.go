package steel

import "math"

// Enthalpy returns the heat held above 20 C, in J/kg, at tC.
//
// It is the integral of [SpecificHeat] in closed form. Balances must step this and not the temperature: a constant specific heat taken through 600 to 900 C is wrong by a quarter or more. NaN
// outside [MinC, MaxC].
func Enthalpy(tC float64) float64 {
	switch {
	case !InRange(tC):
		return math.NaN()
	case tC < 20:
		return heat20 * (tC - 20)
	case tC <= 600:
		return ferriteHeat(tC) - heat0
	case tC < 735:
		return heat600 + 666*(tC-600) - 13002*math.Log((738-tC)/138)
	case tC < 900:
		return heat735 + 545*(tC-735) + 17820*math.Log((tC-731)/4)
	}
	return heat900 + 650*(tC-900)
}

// ferriteHeat integrates the cubic law of 20 to 600 C from 0 C.
func ferriteHeat(tC float64) float64 {
	return tC * (425 + tC*(0.773/2+tC*(-1.69e-3/3+tC*(2.22e-6/4))))
}

// Heats at the joints of the law, J/kg above 20 C.
var (
	heat0   = ferriteHeat(20)
	heat600 = ferriteHeat(600) - heat0
	heat735 = heat600 + 666*135 + 13002*math.Log(138.0/3)
	heat900 = heat735 + 545*165 + 17820*math.Log(169.0/4)
)

// MinEnthalpy and MaxEnthalpy return the heats at [MinC] and [MaxC], J/kg: the range of [TempFromEnthalpy].
func MinEnthalpy() float64 { return heatMin }

// MaxEnthalpy is described with [MinEnthalpy].
func MaxEnthalpy() float64 { return heatMax }

var (
	heatMin = Enthalpy(MinC)
	heatMax = Enthalpy(MaxC)
)

// inverseCells is the number of equal steps of enthalpy in the inverse table: about 0.4 C each.
const inverseCells = 4096

// The inverse table: temperature at equal steps of enthalpy from heatMin to heatMax. Filled at load, never written again.
var (
	inverseTable = tabulateInverse()
	inverseScale = inverseCells / (heatMax - heatMin)
)

// TempFromEnthalpy returns the temperature in C of steel that holds h J/kg above 20 C.
//
// It reads a table linearly; the error against the exact inverse of [Enthalpy] is below 0.001 C. NaN outside [MinEnthalpy, MaxEnthalpy].
func TempFromEnthalpy(h float64) float64 {
	if !(h >= heatMin && h <= heatMax) {
		return math.NaN()
	}
	x := (h - heatMin) * inverseScale
	i := min(int(x), inverseCells-1)
	lo, hi := inverseTable[i], inverseTable[i+1]
	return lo + (x-float64(i))*(hi-lo)
}

func tabulateInverse() *[inverseCells + 1]float64 {
	var table [inverseCells + 1]float64
	t := MinC
	for i := range table {
		h := heatMin + (heatMax-heatMin)*float64(i)/inverseCells
		t = solveEnthalpy(h, t)
		table[i] = t
	}
	table[0], table[inverseCells] = MinC, MaxC
	return &table
}

// solveEnthalpy inverts Enthalpy by Newton's method kept inside a bracket that starts at the temperature from, known to hold no more than h.
func solveEnthalpy(h, from float64) float64 {
	lo, hi := from, MaxC
	t := from
	for range 100 {
		g := Enthalpy(t) - h
		if math.Abs(g) < 1e-7 {
			return t
		}
		if g > 0 {
			hi = t
		} else {
			lo = t
		}
		t -= g / SpecificHeat(t)
		if !(t >= lo && t <= hi) {
			t = (lo + hi) / 2
		}
	}
	return t
}
