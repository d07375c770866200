package annealing

import (
	"fmt"
	"math"
)

// Handling is the time each step on a base takes, s.
type Handling struct {
	Load      float64 // coils and convectors on, inner cover on
	LeakTest  float64
	Purge     float64 // before heating
	BellOn    float64
	BellOff   float64
	CoolerOn  float64
	PostPurge float64 // before the cover comes off
	CoolerOff float64
	Unload    float64
}

// CommonHandling is 25 min to load, 15 leak test, 30 purge, 8 for each move of
// bell and cooler, 30 purge and 25 to unload, after a published list of the
// steps of bell annealing; times are works data.
func CommonHandling() Handling {
	const minute = 60
	return Handling{Load: 25 * minute, LeakTest: 15 * minute, Purge: 30 * minute, BellOn: 8 * minute, BellOff: 8 * minute,
		CoolerOn: 8 * minute, PostPurge: 30 * minute, CoolerOff: 8 * minute, Unload: 25 * minute}
}

// Base is a base with what stands on it.
type Base struct {
	Handling  Handling
	MaxHeight float64 // of coils with convectors, m
	MaxOD     float64 // of the inner cover, m
	MaxMass   float64 // kg
	Convector float64 // thickness of a plate between coils, m
}

// Cycle is what a charge does to its base, in order, s.
type Cycle struct {
	Prepare float64 // load, leak test, purge, bell on
	Heat    float64
	Still   float64 // under the bare cover
	Change  float64 // bell off, cooler on
	Cool    float64
	Finish  float64 // post purge, cooler off, unload
	Slowest int     // coil that decides the heating, from 0 at the bottom
	Mass    float64 // kg
}

// Total is the base's time, s.
func (c Cycle) Total() float64 { return c.Prepare + c.Heat + c.Still + c.Change + c.Cool + c.Finish }

// Bell is the time a heating bell is taken, s; cooler, a cooling bell.
func (c Cycle) Bell(h Handling) float64 { return h.BellOn + c.Heat + h.BellOff }

// Cooler is described with [Cycle.Bell].
func (c Cycle) Cooler(h Handling) float64 { return h.CoolerOn + c.Cool + h.PostPurge + h.CoolerOff }

// Rate is what one base makes, kg/s.
func (c Cycle) Rate() float64 { return c.Mass / c.Total() }

// The names of what refuses a stack.
const (
	LimitHeight = "stack height"
	LimitOD     = "outer diameter"
	LimitMass   = "stack mass"
)

// LimitError says why coils do not fit a base, and by how much.
type LimitError struct {
	Limit          string
	Value, Allowed float64 // m, kg
	Coil           int     // the coil that no longer fits, from 1 at the bottom
}

// Error implements error.
func (e *LimitError) Error() string {
	v, a, unit := e.Value, e.Allowed, "m"
	if e.Limit == LimitMass {
		v, a, unit = v/1e3, a/1e3, "t"
	}
	return fmt.Sprintf("cannot be stacked: %s is %.4g %s with coil %d, allowed %.4g %s; leave it for the next charge", e.Limit, v, unit, e.Coil, a, unit)
}

// TimesFunc gives the times of a coil: [Table.Times], or [CoilTimes] under a
// recipe.
type TimesFunc func(Coil) (Times, error)

// Cycle is the cycle of a stack, the slowest coil deciding each part of it. The
// coils are named from the bottom.
func (b Base) Cycle(coils []Coil, times TimesFunc) (Cycle, error) {
	if err := b.Validate(); err != nil {
		return Cycle{}, err
	}
	if len(coils) == 0 {
		return Cycle{}, fmt.Errorf("annealing: an empty stack")
	}
	var c Cycle
	height := 0.0
	for i, x := range coils {
		if err := x.Validate(); err != nil {
			return Cycle{}, err
		}
		c.Mass += x.Mass()
		height += x.Width
		if i > 0 {
			height += b.Convector
		}
		switch {
		case x.OD > b.MaxOD:
			return Cycle{}, &LimitError{Limit: LimitOD, Value: x.OD, Allowed: b.MaxOD, Coil: i + 1}
		case height > b.MaxHeight:
			return Cycle{}, &LimitError{Limit: LimitHeight, Value: height, Allowed: b.MaxHeight, Coil: i + 1}
		case c.Mass > b.MaxMass:
			return Cycle{}, &LimitError{Limit: LimitMass, Value: c.Mass, Allowed: b.MaxMass, Coil: i + 1}
		}
		t, err := times(x)
		if err != nil {
			return Cycle{}, err
		}
		if t.Heat > c.Heat {
			c.Heat, c.Slowest = t.Heat, i
		}
		c.Still = max(c.Still, t.Still)
		c.Cool = max(c.Cool, t.Cool)
	}
	h := b.Handling
	c.Prepare = h.Load + h.LeakTest + h.Purge + h.BellOn
	c.Change = h.BellOff + h.CoolerOn
	c.Finish = h.PostPurge + h.CoolerOff + h.Unload
	return c, nil
}

// Validate refuses data that make no base.
func (b Base) Validate() error {
	if !(b.MaxHeight > 0 && b.MaxOD > 0 && b.MaxMass > 0 && b.Convector >= 0) || math.IsInf(b.MaxHeight+b.MaxOD+b.MaxMass+b.Convector, 0) {
		return fmt.Errorf("annealing: a base for %g m, %g m and %g kg with plates of %g m", b.MaxHeight, b.MaxOD, b.MaxMass, b.Convector)
	}
	h := b.Handling
	for _, t := range [...]float64{h.Load, h.LeakTest, h.Purge, h.BellOn, h.BellOff, h.CoolerOn, h.PostPurge, h.CoolerOff, h.Unload} {
		if !(t >= 0 && t < 1e7) {
			return fmt.Errorf("annealing: a step of handling takes %g s", t)
		}
	}
	return nil
}
