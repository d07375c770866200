package annealing

import (
	"fmt"
	"math"
)

// Need is the equipment a flow of charges keeps busy, before any allowance for
// repairs and waiting.
type Need struct{ Bases, Bells, Coolers float64 }

// Whole is the number of each that must be there.
func (n Need) Whole() (bases, bells, coolers int) {
	up := func(x float64) int { return int(math.Ceil(x - 1e-9)) }
	return up(n.Bases), up(n.Bells), up(n.Coolers)
}

// NeedFor is the equipment for a rate (kg/s) in charges of a mass (kg), each
// taking base, bell and cooler for so many seconds (Little's law).
func NeedFor(rate, charge, base, bell, cooler float64) (Need, error) {
	if !(rate >= 0 && charge > 0 && base >= 0 && bell >= 0 && cooler >= 0) || math.IsInf(rate+charge+base+bell+cooler, 0) {
		return Need{}, fmt.Errorf("annealing: %g kg/s in charges of %g kg over %g, %g and %g s", rate, charge, base, bell, cooler)
	}
	x := rate / charge
	return Need{Bases: x * base, Bells: x * bell, Coolers: x * cooler}, nil
}

// What limits a fleet.
const (
	LimitBases   = "bases"
	LimitBells   = "heating bells"
	LimitCoolers = "cooling bells"
)

// Fleet is a shop's equipment, whole numbers or, for repairs, less.
type Fleet struct{ Bases, Bells, Coolers float64 }

// Rate is the most the shop makes of such cycles, kg/s, and what limits it:
// equipment always at work, nobody waiting.
func (f Fleet) Rate(c Cycle, h Handling) (rate float64, limit string, err error) {
	if !(f.Bases >= 0 && f.Bells >= 0 && f.Coolers >= 0 && c.Mass > 0 && c.Total() > 0) || math.IsInf(f.Bases+f.Bells+f.Coolers+c.Mass+c.Total(), 0) {
		return 0, "", fmt.Errorf("annealing: %g bases, %g bells and %g coolers for charges of %g kg in %g s", f.Bases, f.Bells, f.Coolers, c.Mass, c.Total())
	}
	rate, limit = c.Mass*f.Bases/c.Total(), LimitBases
	if x := c.Bell(h); x > 0 && c.Mass*f.Bells/x < rate {
		rate, limit = c.Mass*f.Bells/x, LimitBells
	}
	if x := c.Cooler(h); x > 0 && c.Mass*f.Coolers/x < rate {
		rate, limit = c.Mass*f.Coolers/x, LimitCoolers
	}
	return rate, limit, nil
}
