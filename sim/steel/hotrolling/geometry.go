package hotrolling

import "math"

// MaxFlattening caps the ratio of flattened to real roll radius. Beyond it the
// circular-arc assumption behind Hitchcock's formula has failed.
const MaxFlattening = 3.0

// SteelRollFlattening is Hitchcock's constant 16(1-nu^2)/(pi E), m2/N, for
// rolls with E = 210 GPa and nu = 0.3.
const SteelRollFlattening = 16 * (1 - 0.3*0.3) / (math.Pi * 210e9)

// FlatteningConstant is Hitchcock's constant, m2/N, for a roll of Young's
// modulus e (Pa) and Poisson's ratio nu.
func FlatteningConstant(e, nu float64) float64 {
	return 16 * (1 - nu*nu) / (math.Pi * e)
}

// Flattened is the radius of the deformed arc of contact (Hitchcock 1935, from
// memory): radius in m, force per width in N/m, draft in m. It does not cap.
func Flattened(radius, forcePerWidth, draft, constant float64) float64 {
	return radius * (1 + constant*forcePerWidth/draft)
}

// MaxDraft is the largest draft, m, that rolls of the given radius bite at
// friction mu (Groover, Fundamentals of Modern Manufacturing, eq. 18.8).
func MaxDraft(mu, radius float64) float64 { return mu * mu * radius }

// FrictionToBite is the least friction at which the draft is bitten, the
// inverse of MaxDraft.
func FrictionToBite(draft, radius float64) float64 { return math.Sqrt(draft / radius) }

// FrictionToBiteExact is the tangent of the true bite angle acos(1 - draft/2R).
func FrictionToBiteExact(draft, radius float64) float64 {
	return math.Tan(math.Acos(1 - draft/(2*radius)))
}

// ContactLength is the projected length of the arc of contact, m
// (Groover eq. 18.11).
func ContactLength(radius, draft float64) float64 { return math.Sqrt(radius * draft) }

// Strain is the true strain ln(h1/h2) of a pass (Groover eq. 18.6).
func Strain(h1, h2 float64) float64 { return math.Log(h1 / h2) }

// Reduction is draft over entry thickness (Groover eq. 18.3).
func Reduction(h1, h2 float64) float64 { return (h1 - h2) / h1 }

// StrainRate is the mean strain rate of a pass, 1/s, from the roll surface
// speed (m/s) and the contact length (m).
func StrainRate(speed, contact, h1, h2 float64) float64 {
	return speed / contact * math.Log(h1/h2)
}

// EkelundStrainRate is the mean strain rate in Ekelund's form
// (from Wusatowski, Fundamentals of Rolling, 1969, from memory).
func EkelundStrainRate(speed, radius, h1, h2 float64) float64 {
	return 2 * speed * math.Sqrt((h1-h2)/radius) / (h1 + h2)
}

// ForwardSlip is the fraction by which the strip leaves faster than the roll
// surface, from the flattened radius, the neutral angle and the exit thickness.
func ForwardSlip(flatRadius, neutralAngle, h2 float64) float64 {
	return flatRadius * neutralAngle * neutralAngle / h2
}

// SpeedAt is the strip speed where the thickness is h, for a strip leaving at
// exitSpeed and exitThickness with its width unchanged (Groover eq. 18.4).
func SpeedAt(h, exitSpeed, exitThickness float64) float64 {
	return exitSpeed * exitThickness / h
}
