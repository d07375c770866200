package coldrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Law is the flow stress of steel that hardens as it is rolled cold:
//
//	K (Prestrain + e)^Exponent
//
// e being the strain since the hot band. With a prestrain of zero it is
// Hollomon's law, which begins at no stress at all.
type Law struct {
	K         float64 // Pa
	Prestrain float64
	Exponent  float64
}

// Hollomon is the law k e^n.
func Hollomon(k, n float64) Law { return Law{K: k, Exponent: n} }

// Lenard is the law y (1 + b e)^n in which Lenard, Primer on Flat Rolling, and
// others write measured curves.
func Lenard(y, b, n float64) Law {
	return Law{K: y * math.Pow(b, n), Prestrain: 1 / b, Exponent: n}
}

// LowCarbon is cold-rolling steel of the AISI 1005 class: 150 (1 + 234
// e)^0.251 MPa (Lenard, Primer on Flat Rolling, from memory).
func LowCarbon() Law { return Lenard(150e6, 234, 0.251) }

// Times is the law with every stress multiplied, for another steel.
func (l Law) Times(factor float64) Law {
	l.K *= factor
	return l
}

// Stress is the flow stress, Pa, at a strain.
func (l Law) Stress(e float64) float64 { return l.K * math.Pow(l.Prestrain+e, l.Exponent) }

// MeanStress is the flow stress, Pa, averaged over strains from a to b, exact.
func (l Law) MeanStress(a, b float64) float64 {
	if !(b-a > 1e-9) {
		return l.Stress(a)
	}
	n := l.Exponent + 1
	return l.K * (math.Pow(l.Prestrain+b, n) - math.Pow(l.Prestrain+a, n)) / (n * (b - a))
}

// Validate refuses a law that does not harden or is no law.
func (l Law) Validate() error {
	if !(l.K > 1e6 && l.K < 1e10 && l.Prestrain >= 0 && l.Prestrain <= 2 && l.Exponent >= 0 && l.Exponent <= 1) {
		return fmt.Errorf("coldrolling: flow stress %g Pa (%g + e)^%g: want K of 1 MPa to 10 GPa, prestrain 0 to 2, exponent 0 to 1", l.K, l.Prestrain, l.Exponent)
	}
	return nil
}

// planeStrain turns simple tension into plane strain (von Mises).
var planeStrain = 2 / math.Sqrt(3)

// Strain is the equivalent strain from the hot band's thickness h0 to h.
func Strain(h0, h float64) float64 { return planeStrain * math.Log(h0/h) }

// PassStress is the yield stress in plane strain, Pa, averaged over a pass from
// h1 to h2 of strip that was h0 as hot band.
func (l Law) PassStress(h0, h1, h2 float64) float64 {
	return planeStrain * l.MeanStress(Strain(h0, h1), Strain(h0, h2))
}

// WorkHeat is the warming, K, of strip in a pass at plane-strain yield stress k
// (Pa) when all work of deformation stays in it. The specific heat is that of
// 100 C.
func WorkHeat(k, h1, h2 float64) float64 {
	return k * math.Log(h1/h2) / (steel.Density * steel.SpecificHeat(100))
}
