package casting

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// GradeClass sorts steels by what limits their casting speed.
type GradeClass uint8

// Classes of steel in casting.
const (
	UltraLowCarbon GradeClass = iota // C up to 0.01 %
	LowCarbon                        // freezes as ferrite: speed is limited by the machine
	Peritectic                       // shrinks unevenly in the mould: cracks along the slab, slow
	MediumCarbon                     // mostly austenite from the start
	HighCarbon                       // C above 0.30 %: long freezing range, segregation, slow
)

// String names the class.
func (g GradeClass) String() string {
	names := [...]string{"ultra low carbon", "low carbon", "peritectic", "medium carbon", "high carbon"}
	if int(g) < len(names) {
		return names[g]
	}
	return fmt.Sprintf("class %d", uint8(g))
}

// ClassOf returns the class of an analysis: by carbon at the ends and by [steel.FerritePotential] between, where 0.85 to 1.05 is peritectic (Wolf 1991, from memory).
func ClassOf(c steel.Composition) (GradeClass, error) {
	if err := c.Validate(); err != nil {
		return 0, err
	}
	switch fp := steel.FerritePotential(c); {
	case c.C <= 0.01:
		return UltraLowCarbon, nil
	case c.C > 0.30:
		return HighCarbon, nil
	case fp > 1.05:
		return LowCarbon, nil
	case fp >= 0.85:
		return Peritectic, nil
	}
	return MediumCarbon, nil
}

// gradeSpeeds are the speeds in m/min up to which a slab of 230 mm of each class is cast (assumption, within the usual 0.8 to 1.8 m/min).
var gradeSpeeds = [...]float64{1.6, 1.7, 1.2, 1.4, 1.0}

// Numbers of [GradeSpeed] (assumptions).
const (
	gradeThickness = 0.230 // m, that of gradeSpeeds
	fastest        = 1.8 / 60
	wide           = 1.6  // m, from where the mould level is hard to keep
	wideFactor     = 0.90 // at 2.2 m, falling evenly from wide
	usualSuperheat = 30.0 // K
	hotFactor      = 0.01 // by which speed falls for each K above usualSuperheat, down to half
)

// GradeSpeed returns the casting speed in m/s that grade, section and superheat (K above the liquidus in the tundish) allow, before the limits of the machine: the Grade of [Limits].
//
// A table of classes for 230 mm, in proportion to 1/thickness up to 1.8 m/min, down to 0.9 for the widest slabs, 1 % less for each kelvin of superheat above 30 K. All of it is assumption: works data goes
// before it. Thickness 0.1 to 0.4 m, width 0.5 to 2.2 m, superheat 0 to 100 K.
func GradeSpeed(c steel.Composition, thickness, width, superheat float64) (float64, error) {
	class, err := ClassOf(c)
	if err != nil {
		return 0, err
	}
	if !(thickness >= 0.1 && thickness <= 0.4 && width >= 0.5 && width <= 2.2) {
		return 0, fmt.Errorf("casting speed: a slab of %g x %g m, want 0.5 to 2.2 m wide and 0.1 to 0.4 m thick", width, thickness)
	}
	if !(superheat >= 0 && superheat <= 100) {
		return 0, fmt.Errorf("casting speed: superheat of %g K, want 0 to 100 K", superheat)
	}
	v := min(gradeSpeeds[class]/60*gradeThickness/thickness, fastest)
	v *= 1 - (1-wideFactor)*max(0, width-wide)/(2.2-wide)
	return v * max(0.5, 1-hotFactor*max(0, superheat-usualSuperheat)), nil
}

// BreakoutMargin returns by how much the shell at the mould exit (m) is thicker than the least that holds (m), as a share of that least: 0 at the brink, negative when the strand will tear.
//
// The other arguments are those of [MouldShell]. The least is about 3 mm in theory (Li and Thomas, potential productivity of continuous cast molds) and 10 to 12 mm in practice (common practice, no source).
func BreakoutMargin(kMould, mouldLength, speed, least float64) float64 {
	if !(least > 0) {
		return math.NaN()
	}
	return MouldShell(kMould, mouldLength, speed)/least - 1
}

// shellHeat is what a shell gives up besides the superheat: the heat of fusion and, with a surface about 500 K below the solidus, half of 650 J/kgK times that.
const shellHeat = fusion + 0.5*austeniteHeat*500

// HotK returns the solidification constant k (mm/min^0.5) of steel with so many K of superheat, k being that of steel at its liquidus: the superheat has to go out through the shell besides its own heat, so the
// constant falls with the root of their ratio, 3 % at 30 K.
func HotK(k, superheat float64) float64 {
	if !(k > 0 && superheat >= 0) {
		return math.NaN()
	}
	return k * math.Sqrt(shellHeat/(shellHeat+liquidHeat*superheat))
}
