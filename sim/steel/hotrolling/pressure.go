package hotrolling

import "math"

// PressureModel chooses how roll force and torque follow from flow stress.
type PressureModel uint8

const (
	MeanPressure PressureModel = iota // straight line in contact length over mean thickness
	Sims                              // Sims 1954, closed form
)

// PlaneStrain is the yield stress in plane strain, Pa, for a mean flow stress.
func PlaneStrain(stress float64) float64 { return 2 / math.Sqrt(3) * stress }

// SimsGap is Sims's solution of one roll gap.
type SimsGap struct {
	Qp           float64 // mean pressure over plane-strain yield stress
	NeutralAngle float64 // rad
	Bite         float64 // bite angle, rad
	Slip         float64 // forward slip
}

// SolveSims gives Sims's geometry factors for a gap with flattened radius r
// (m) and thicknesses h1 > h2 (m): Sims, Proc. Institution of Mechanical
// Engineers 168 (1954) 191, from memory. Sticking friction, draft over entry
// thickness from about 0.1.
func SolveSims(r, h1, h2 float64) SimsGap {
	x := (h1 - h2) / h1
	u := math.Sqrt((1 - x) / x)
	s := math.Sqrt(r / h2)
	phi := math.Tan(math.Pi/8/s*math.Log(1-x)+0.5*math.Atan(1/u)) / s
	hn := h2 + r*phi*phi
	qp := math.Pi/2*u*math.Atan(1/u) - math.Pi/4 - u*s*math.Log(hn/h2) - 0.5*u*s*math.Log(1-x)
	return SimsGap{Qp: qp, NeutralAngle: phi, Bite: math.Sqrt((h1 - h2) / r), Slip: ForwardSlip(r, phi, h2)}
}

// ForcePerWidth is the roll force over width, N/m, at plane-strain yield
// stress k (Pa) and contact length l (m).
func (g SimsGap) ForcePerWidth(k, l float64) float64 { return k * l * g.Qp }

// TorquePerWidth is the torque over width of one roll, N, for the real radius
// and the flattened one the gap was solved with.
func (g SimsGap) TorquePerWidth(k, radius, flatRadius float64) float64 {
	return radius * flatRadius * k * (g.Bite/2 - g.NeutralAngle)
}

// MeanPressureFactor is the straight line 0.25(pi + L/h) in contact length
// over mean thickness, equal to Ford and Alexander's pi/2 + L/(h1+h2) on shear
// yield stress (1963, from memory). Within 4.2 % of Sims from a first
// roughing pass to a last finishing pass.
func MeanPressureFactor(contact, h1, h2 float64) float64 {
	return 0.25 * (math.Pi + 2*contact/(h1+h2))
}

// meanPressureTorqueFactor is the torque of both rolls over force times
// contact length, for the mean-pressure line; fitted to Sims.
const meanPressureTorqueFactor = 0.96

// ShidaAwazuharaFactor is the mean pressure over plane-strain yield stress
// after Shida and Awazuhara (1973, from memory) for flattened radius r.
func ShidaAwazuharaFactor(r, h1, h2 float64) float64 {
	x := (h1 - h2) / h1
	c := 0.2*x + 0.12
	if x <= 0.15 {
		c = 0.052/math.Sqrt(x) + 0.016
	}
	return 0.8 + c*(math.Sqrt(r/h1)-0.5)
}

// Ekelund is the mean roll pressure by Ekelund's formula.
type Ekelund struct {
	Friction float64
	Yield    float64 // Pa
	Pressure float64 // Pa
}

// SolveEkelund evaluates Ekelund's formula (from Wusatowski, Fundamentals of
// Rolling, 1969, from memory): carbon, manganese and chromium in wt %, roll
// surface speed in m/s, rollFactor 1 for steel and 0.8 for iron rolls. From
// 800 C, thick passes; it falls 30 to 45 % below Sims in thin ones.
func SolveEkelund(carbon, manganese, chromium, tempC, radius, h1, h2, speed, rollFactor float64) Ekelund {
	mu := rollFactor * (1.05 - 0.0005*tempC)
	a := 14 - 0.01*tempC
	k := kgfPerMM2 * a * (1.4 + carbon + manganese + 0.3*chromium)
	eta := 0.01 * kgfPerMM2 * a
	l := ContactLength(radius, h1-h2)
	rate := EkelundStrainRate(speed, radius, h1, h2)
	p := (k + eta*rate) * (1 + (1.6*mu*l-1.2*(h1-h2))/(h1+h2))
	return Ekelund{Friction: mu, Yield: k, Pressure: p}
}

// Textbook is the textbook estimate of a pass from a power law of hardening.
type Textbook struct {
	MaxDraft float64 // m
	Contact  float64 // m
	Strain   float64
	Stress   float64 // average flow stress, Pa
	Force    float64 // N
	Torque   float64 // per roll, N m
	Power    float64 // both rolls, W
}

// SolveTextbook is the estimate of Groover, Fundamentals of Modern
// Manufacturing, eq. 18.5-18.13: strength coefficient k (Pa), hardening
// exponent n, speed of rotation in 1/s. It knows neither friction hill nor
// temperature; for sanity only.
func SolveTextbook(k, n, mu, width, radius, h1, h2, turns float64) Textbook {
	t := Textbook{MaxDraft: MaxDraft(mu, radius), Contact: ContactLength(radius, h1-h2), Strain: Strain(h1, h2)}
	t.Stress = k * math.Pow(t.Strain, n) / (1 + n)
	t.Force = t.Stress * t.Contact * width
	t.Torque = 0.5 * t.Force * t.Contact
	t.Power = 2 * math.Pi * turns * t.Force * t.Contact
	return t
}
