package capital

import (
	"errors"
	"fmt"
	"math"

	"millrace/sim/works"
)

// Year is the length of a year of operation, s.
const Year = 365 * 86400

// Case is a capital case ready to be played.
type Case struct {
	Name     string
	Years    int     // of operation that are played
	Life     int     // years from the decision over which money is counted
	Discount float64 // a year
	SoldOut  bool
	Options  []Option // the first is what the others are measured against
	Seed     uint64
	Futures  int
	Workers  int
	Inputs   string // fingerprint of everything the case was made from
	// Demand makes the works of an option with another demand: the share of what it
	// can make that is ordered, 1 for everything can be sold. Nil: demand is not
	// varied.
	Demand func(option int, share float64) (*works.Plant, bool, error)
	// Share is the demand of the case as Demand would be told it.
	Share float64
	// Book says what is ordered; nil where everything made can be sold.
	Book *Book
	// stub stands in for a play in tests.
	stub func(j *job, option int)
	// Small is the budget of one play of the sensitivities: futures and years.
	SmallFutures, SmallYears int
}

// Option is one thing that could be done.
type Option struct {
	Name, Role string
	Plant      *works.Plant
	Pays       []Payment
	Running    []Payment // Amount is a year
	Takes      float64   // s from the decision until it works
	Ramp       []Ramp
	// TieIn is the works of the first option with the stops that building needs, as
	// planned stops from TieInFrom s on; nil for none.
	TieIn                *works.Plant
	TieInAt, TieInLength float64 // s after the decision; s that must be played until it is over
	Salvage              float64
	Changed              bool // the works or its upsets are other than those of the first
}

// Payment is money paid once, At s after the decision, or every year.
type Payment struct {
	What   string
	Amount float64
	At     float64
}

// Ramp is a share of the gain for so many s.
type Ramp struct{ Share, For float64 }

func (c *Case) check() error {
	switch {
	case len(c.Options) < 2:
		return errors.New("capital: a case needs two options or more")
	case c.Years < 1 || c.Life < c.Years:
		return fmt.Errorf("capital: %d years are played and money is counted for %d; play one or more, count as many or more", c.Years, c.Life)
	case c.Futures < 2:
		return fmt.Errorf("capital: %d futures; an interval needs two or more", c.Futures)
	case !(c.Discount >= 0 && c.Discount <= 1):
		return fmt.Errorf("capital: a discount rate of %g; give 0 to 1", c.Discount)
	}
	for i := range c.Options {
		o := &c.Options[i]
		if o.Plant == nil {
			return fmt.Errorf("capital: option %q has no works", o.Name)
		}
		if math.IsNaN(o.Takes+o.Salvage) || o.Takes < 0 {
			return fmt.Errorf("capital: option %q has no building time that could be", o.Name)
		}
		if i > 0 && len(o.Plant.Spec.Upsets) != len(c.Options[0].Plant.Spec.Upsets) {
			return fmt.Errorf("capital: option %q has other kinds of upset than %q; options may change upsets, not add or drop them", o.Name, c.Options[0].Name)
		}
	}
	return nil
}
