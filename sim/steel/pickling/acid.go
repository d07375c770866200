package pickling

import (
	"fmt"
	"math"
)

// AcidPerIron is the HCl, kg, spent for each kg of iron taken into solution:
// two to one by molecules, whatever oxide the iron came from, since ferric
// chloride takes up iron until all is FeCl2 (molar masses 36.458 and 55.845).
const AcidPerIron = 2 * 36.458 / 55.845

// Scale is what the acid takes off the strip.
type Scale struct {
	Mass      float64 // scale on one face, kg/m2
	IronShare float64 // iron in scale, by mass
	Attack    float64 // steel dissolved beside it, kg/m2 of face
}

// CommonScale is some 8 um of scale, mostly wustite grown over, with an
// inhibited acid (assumption): 0.5 % of 2.5 mm strip goes into the acid.
func CommonScale() Scale { return Scale{Mass: 0.045, IronShare: 0.75, Attack: 0.004} }

// Iron is the iron dissolved, kg, from both faces of strip (m, m).
func (s Scale) Iron(length, width float64) float64 {
	return 2 * length * width * (s.Mass*s.IronShare + s.Attack)
}

// Loss is the mass that leaves the strip, kg.
func (s Scale) Loss(length, width float64) float64 {
	return 2 * length * width * (s.Mass + s.Attack)
}

// Bath is a well-mixed circuit of acid.
type Bath struct {
	Volume float64 // m3
	Acid   float64 // free HCl, kg/m3
	Iron   float64 // dissolved iron, kg/m3
}

// Feed is acid supplied to a bath; the same volume of bath is bled.
type Feed struct {
	Flow float64 // m3/s
	Acid float64 // HCl, kg/m3
	Iron float64 // kg/m3, of regenerated acid
}

// Density of HCl solutions with dissolved iron, kg/m3 (handbook values of
// hydrochloric acid, from memory; the term for iron is an assumption).
func density(acid, iron float64) float64 { return 1000 + 0.45*acid + 1.8*iron }

// Percent is the free acid by mass, %.
func (b Bath) Percent() float64 { return 100 * b.Acid / density(b.Acid, b.Iron) }

// AcidConcentration is the HCl, kg/m3, of acid of a strength in % that holds
// iron (kg/m3).
func AcidConcentration(percent, iron float64) float64 {
	p := percent / 100
	return p * (1000 + 1.8*iron) / (1 - 0.45*p)
}

// After is the bath after some seconds in which iron goes into solution at a
// rate (kg/s): the exact solution of the mixed tank. Free acid ends at zero,
// where pickling has stopped.
func (b Bath) After(seconds, ironRate float64, f Feed) (Bath, error) {
	if err := b.validate(f); err != nil {
		return Bath{}, err
	}
	if !(seconds >= 0 && ironRate >= 0) || math.IsInf(seconds+ironRate, 0) {
		return Bath{}, fmt.Errorf("pickling: a bath over %g s at %g kg/s of iron", seconds, ironRate)
	}
	source := ironRate / b.Volume
	x := f.Flow * seconds / b.Volume
	gone := -math.Expm1(-x) // share of the bath replaced
	made := source * seconds
	if x > 1e-9 {
		made *= gone / x
	}
	b.Iron += (f.Iron-b.Iron)*gone + made
	b.Acid = max(b.Acid+(f.Acid-b.Acid)*gone-AcidPerIron*made, 0)
	return b, nil
}

// Steady is the bath in the long run.
func (b Bath) Steady(ironRate float64, f Feed) (Bath, error) {
	if err := b.validate(f); err != nil {
		return Bath{}, err
	}
	if !(f.Flow > 0 && ironRate >= 0) || math.IsInf(ironRate, 0) {
		return Bath{}, fmt.Errorf("pickling: no steady bath at %g kg/s of iron and a feed of %g m3/s", ironRate, f.Flow)
	}
	b.Iron = f.Iron + ironRate/f.Flow
	b.Acid = max(f.Acid-AcidPerIron*ironRate/f.Flow, 0)
	return b, nil
}

// FeedFor is the flow of fresh acid, m3/s, that holds the bath at a free acid
// (kg/m3) while iron dissolves at a rate (kg/s).
func FeedFor(ironRate, freeAcid float64, f Feed) (float64, error) {
	if !(ironRate >= 0 && freeAcid >= 0 && f.Acid > freeAcid) || math.IsInf(ironRate+f.Acid, 0) {
		return 0, fmt.Errorf("pickling: acid of %g kg/m3 cannot hold a bath at %g", f.Acid, freeAcid)
	}
	return AcidPerIron * ironRate / (f.Acid - freeAcid), nil
}

func (b Bath) validate(f Feed) error {
	if !(b.Volume > 0 && b.Acid >= 0 && b.Iron >= 0) || math.IsInf(b.Volume+b.Acid+b.Iron, 0) {
		return fmt.Errorf("pickling: %g m3 with %g kg/m3 of acid and %g of iron is no bath", b.Volume, b.Acid, b.Iron)
	}
	if !(f.Flow >= 0 && f.Acid >= 0 && f.Iron >= 0) || math.IsInf(f.Flow+f.Acid+f.Iron, 0) {
		return fmt.Errorf("pickling: a feed of %g m3/s with %g kg/m3 of acid and %g of iron", f.Flow, f.Acid, f.Iron)
	}
	return nil
}
