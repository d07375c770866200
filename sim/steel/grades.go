package steel

import (
	"math"
	"slices"
)

// LibraryGrade is a grade of the library with what it is for.
type LibraryGrade struct {
	Grade
	Use string
}

// library holds grades under invented names. Each analysis is typical of its kind (common practice, no source) and stands for no maker's or standard's grade; the flow factors of the micro-alloyed ones
// are assumptions within 1.1 to 1.4.
var library = [...]LibraryGrade{
	{Grade{"linnet", Composition{C: 0.003, Si: 0.01, Mn: 0.15, P: 0.010, S: 0.008}, 1}, "deep drawing, free of interstitials"},
	{Grade{"wren", Composition{C: 0.04, Si: 0.02, Mn: 0.22, P: 0.012, S: 0.010}, 1}, "drawing"},
	{Grade{"dunnock", Composition{C: 0.06, Si: 0.03, Mn: 0.30, P: 0.015, S: 0.012}, 1}, "commercial strip"},
	{Grade{"lapwing", Composition{C: 0.11, Si: 0.10, Mn: 0.50, P: 0.015, S: 0.010}, 1}, "forming and tubes; freezes through the peritectic"},
	{Grade{"martin", Composition{C: 0.16, Si: 0.18, Mn: 0.80, P: 0.018, S: 0.012}, 1}, "general structural"},
	{Grade{"rook", Composition{C: 0.19, Si: 0.25, Mn: 1.35, P: 0.018, S: 0.010}, 1.05}, "heavy structural"},
	{Grade{"kestrel", Composition{C: 0.07, Si: 0.15, Mn: 0.90, P: 0.012, S: 0.006}, 1.2}, "high strength for cold forming, micro-alloyed"},
	{Grade{"merlin", Composition{C: 0.08, Si: 0.25, Mn: 1.60, P: 0.012, S: 0.004}, 1.35}, "very high strength, micro-alloyed"},
	{Grade{"heron", Composition{C: 0.06, Si: 0.25, Mn: 1.50, P: 0.010, S: 0.002}, 1.3}, "line pipe, micro-alloyed"},
	{Grade{"jackdaw", Composition{C: 0.45, Si: 0.22, Mn: 0.70, P: 0.012, S: 0.008}, 1}, "hardening"},
}

// Grades returns the library of grades, softest carbon first: a copy, free to be changed. Carbon runs from 0.003 to 0.45 %, manganese from 0.15 to 1.6 %, the flow factor from 1 to 1.35.
func Grades() []LibraryGrade { return slices.Clone(library[:]) }

// GradeNamed returns the grade of the library under a name, and whether there is one.
func GradeNamed(name string) (LibraryGrade, bool) {
	for _, g := range library {
		if g.Name == name {
			return g, true
		}
	}
	return LibraryGrade{}, false
}

// Solidus returns the temperature in C at which the last of the steel freezes under casting conditions; NaN for an analysis that [Composition.Validate] refuses.
//
// Slopes after Takeuchi and Brimacombe, Metall. Trans. B 16 (1985) 605, from memory; fit for C up to about 0.3 %. What freezes last is richer than the mean, so the real end lies lower still: take 15 K as its
// uncertainty (assumption).
func Solidus(c Composition) float64 {
	if c.Validate() != nil {
		return math.NaN()
	}
	return 1536 - 415.5*c.C - 12.3*c.Si - 6.8*c.Mn - 124.5*c.P - 183.9*c.S
}

// FerritePotential returns Wolf's measure of how much of the steel freezes as ferrite: 2.5 (0.5 - Cp) with Cp = C + 0.02 Mn - 0.1 Si (Wolf 1991, from memory). Above about 1.05 it freezes as ferrite
// alone, near 1 the shell shrinks most, because the change to austenite falls together with the end of freezing. NaN for an analysis that [Composition.Validate] refuses.
func FerritePotential(c Composition) float64 {
	if c.Validate() != nil {
		return math.NaN()
	}
	return 2.5 * (0.5 - (c.C + 0.02*c.Mn - 0.1*c.Si))
}

// FerriteStart returns the temperature in C below which ferrite forms in strip of a thickness (m) that cools in air after rolling: 910 - 310 C - 80 Mn + 0.35 (mm - 8), Ouchi et al., Trans. ISIJ 22
// (1982) 214, from memory; made for plate. Rolling is finished above it; below it steel of low carbon is softer than just above, the dip in its flow stress. NaN for an analysis that
// [Composition.Validate] refuses or a thickness outside 0 to 0.1 m.
func FerriteStart(c Composition, thickness float64) float64 {
	if c.Validate() != nil || !(thickness > 0 && thickness <= 0.1) {
		return math.NaN()
	}
	return 910 - 310*c.C - 80*c.Mn + 0.35*(thickness*1e3-8)
}
