package futures

import (
	"errors"
	"fmt"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Plan is a plan by name. New makes its director for one future; it is called
// from several goroutines. A nil New, or a nil Director, is standing orders
// only. A Director that also has Err() error is asked after the run; an error
// fails the run.
type Plan struct {
	Name string
	New  func(luck chance.Luck) works.Director
}

// Case is a scenario ready to be played.
type Case struct {
	Scenario string
	Plant    *works.Plant
	// Script is what the scenario makes happen; the twin is played without it.
	Script []works.UpsetSpec
	// SoldOut: everything made can be sold. Background: upsets happen beside the
	// script. Levels and Speeds are those of works.Start.
	SoldOut, Background bool
	// NoDigest saves the digest of the records where nobody asks for it: years of
	// operation that are only added up.
	NoDigest bool
	Levels   map[record.Place]int64
	Speeds   [4]float64

	Length    calendar.Time // fixed length of a run
	MaxLength calendar.Time // Length is extended to this at most; below Length: not extended

	Plans   []Plan
	Seed    uint64
	Futures int
	Workers int // goroutines; below 1: one for each processor

	// Inputs is a fingerprint of everything the case was made from, given by
	// whoever read the files; it goes into every fingerprint.
	Inputs string
	// Stores whose hourly levels are given in results, by name; nil for every
	// store with a band, the cool coils and the fuel gas.
	Stores []string
	// Sink, if set, gets the records of RunOne too (the event log).
	Sink record.Sink
	// KeepResults keeps every single result in the comparison.
	KeepResults bool
}

// check refuses a case that cannot be played.
func (c *Case) check() error {
	switch {
	case c.Plant == nil:
		return errors.New("futures: the case has no works")
	case c.Length <= 0 || c.Length == calendar.Never:
		return errors.New("futures: the case has no length")
	}
	for i := range c.Script {
		if len(c.Plant.UnitsNamed(c.Script[i].Unit)) == 0 {
			return fmt.Errorf("futures: the upset %q is on %q; the works has no such unit", c.Script[i].Name, c.Script[i].Unit)
		}
	}
	for _, n := range c.Stores {
		var found bool
		found = n == "cool coils" || n == "fuel gas"
		for i := range c.Plant.Route.Places {
			found = found || c.Plant.Route.Places[i].Name == n
		}
		if !found {
			return fmt.Errorf("futures: the works has no store %q", n)
		}
	}
	return nil
}
