package hotrolling

import "millrace/sim/steel/rolling"

// The geometry of a pass is that of package rolling, where it is described.

// MaxFlattening caps the ratio of flattened to real roll radius. Beyond it the
// circular-arc assumption behind Hitchcock's formula has failed.
const MaxFlattening = 3.0

// SteelRollFlattening is [rolling.SteelFlattening], m2/N.
const SteelRollFlattening = rolling.SteelFlattening

// FlatteningConstant is [rolling.FlatteningConstant].
func FlatteningConstant(e, nu float64) float64 { return rolling.FlatteningConstant(e, nu) }

// Flattened is [rolling.Flattened].
func Flattened(radius, forcePerWidth, draft, constant float64) float64 {
	return rolling.Flattened(radius, forcePerWidth, draft, constant)
}

// MaxDraft is [rolling.MaxDraft].
func MaxDraft(mu, radius float64) float64 { return rolling.MaxDraft(mu, radius) }

// FrictionToBite is [rolling.FrictionToBite].
func FrictionToBite(draft, radius float64) float64 { return rolling.FrictionToBite(draft, radius) }

// FrictionToBiteExact is [rolling.FrictionToBiteExact].
func FrictionToBiteExact(draft, radius float64) float64 {
	return rolling.FrictionToBiteExact(draft, radius)
}

// ContactLength is [rolling.ContactLength].
func ContactLength(radius, draft float64) float64 { return rolling.ContactLength(radius, draft) }

// Strain is [rolling.Strain].
func Strain(h1, h2 float64) float64 { return rolling.Strain(h1, h2) }

// Reduction is [rolling.Reduction].
func Reduction(h1, h2 float64) float64 { return rolling.Reduction(h1, h2) }

// StrainRate is [rolling.StrainRate].
func StrainRate(speed, contact, h1, h2 float64) float64 {
	return rolling.StrainRate(speed, contact, h1, h2)
}

// EkelundStrainRate is [rolling.EkelundStrainRate].
func EkelundStrainRate(speed, radius, h1, h2 float64) float64 {
	return rolling.EkelundStrainRate(speed, radius, h1, h2)
}

// ForwardSlip is [rolling.ForwardSlip].
func ForwardSlip(flatRadius, neutralAngle, h2 float64) float64 {
	return rolling.ForwardSlip(flatRadius, neutralAngle, h2)
}

// SpeedAt is [rolling.SpeedAt].
func SpeedAt(h, exitSpeed, exitThickness float64) float64 {
	return rolling.SpeedAt(h, exitSpeed, exitThickness)
}
