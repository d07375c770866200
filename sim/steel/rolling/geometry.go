package rolling

import "math"

// SteelFlattening is Hitchcock's constant 16(1-nu^2)/(pi E), m2/N, for rolls with
// E = 210 GPa and nu = 0.3.
const SteelFlattening = 16 * (1 - 0.3*0.3) / (math.Pi * 210e9)

// FlatteningConstant is Hitchcock's constant, m2/N, for rolls of Young's modulus
// e (Pa) and Poisson's ratio nu.
func FlatteningConstant(e, nu float64) float64 { return 16 * (1 - nu*nu) / (math.Pi * e) }

// Flattened is the radius, m, of the deformed arc of contact (Hitchcock 1935,
// from memory): roll radius in m, force per width in N/m, draft in m, constant in
// m2/N. It does not cap.
func Flattened(radius, forcePerWidth, draft, constant float64) float64 {
	return radius * (1 + constant*forcePerWidth/draft)
}

// MaxDraft is the largest draft, m, that rolls of a radius (m) bite at friction
// mu (Groover, Fundamentals of Modern Manufacturing, eq. 18.8).
func MaxDraft(mu, radius float64) float64 { return mu * mu * radius }

// FrictionToBite is the least friction at which a draft is bitten, the inverse
// of [MaxDraft].
func FrictionToBite(draft, radius float64) float64 { return math.Sqrt(draft / radius) }

// FrictionToBiteExact is the tangent of the true bite angle acos(1 - draft/2R).
func FrictionToBiteExact(draft, radius float64) float64 {
	return math.Tan(math.Acos(1 - draft/(2*radius)))
}

// ContactLength is the projected length of the arc of contact, m (Groover eq.
// 18.11).
func ContactLength(radius, draft float64) float64 { return math.Sqrt(radius * draft) }

// Strain is the true strain ln(h1/h2) of a pass (Groover eq. 18.6).
func Strain(h1, h2 float64) float64 { return math.Log(h1 / h2) }

// Reduction is draft over entry thickness (Groover eq. 18.3).
func Reduction(h1, h2 float64) float64 { return (h1 - h2) / h1 }

// StrainRate is the mean strain rate, 1/s, of a pass at a roll surface speed
// (m/s) over a contact length (m).
func StrainRate(speed, contact, h1, h2 float64) float64 { return speed / contact * math.Log(h1/h2) }

// EkelundStrainRate is the mean strain rate, 1/s, in Ekelund's form (from
// Wusatowski, Fundamentals of Rolling, 1969, from memory).
func EkelundStrainRate(speed, radius, h1, h2 float64) float64 {
	return 2 * speed * math.Sqrt((h1-h2)/radius) / (h1 + h2)
}

// ForwardSlip is the fraction by which strip leaves faster than the roll surface,
// from the flattened radius, the neutral angle (rad) and the exit thickness.
func ForwardSlip(flatRadius, neutralAngle, h2 float64) float64 {
	return flatRadius * neutralAngle * neutralAngle / h2
}

// SpeedAt is the strip speed where the thickness is h, for strip that leaves at
// exitSpeed and exitThickness with its width unchanged (Groover eq. 18.4).
func SpeedAt(h, exitSpeed, exitThickness float64) float64 { return exitSpeed * exitThickness / h }

// PlaneStrain is the yield stress in plane strain, Pa, for a flow stress in
// simple tension (von Mises: 2/sqrt 3 = 1.155 times).
func PlaneStrain(stress float64) float64 { return 2 / math.Sqrt(3) * stress }

// BothPower is the power, W, of two rolls that each take a torque (N m) at a
// speed of rotation in 1/s.
func BothPower(torque, turns float64) float64 { return 4 * math.Pi * turns * torque }

// BearingTorque is the torque, N m, that the two bearings of one roll take at a
// roll force (N), a neck diameter (m) and a bearing friction: half the force on
// each neck at half its diameter.
func BearingTorque(force, neckDiameter, friction float64) float64 {
	return friction * force * neckDiameter / 2
}

// LeastThickness is the thickness, m, below which rolls of a radius (m) cannot
// roll however hard they press: 3.58 D mu (k - s)/E, E being the rolls' Young's
// modulus (Pa), k the plane-strain yield stress and s the mean tension (Stone
// 1953; from memory). Take a third as its uncertainty.
func LeastThickness(radius, friction, k, tension, e float64) float64 {
	return 3.58 * 2 * radius * friction * (k - tension) / e
}
