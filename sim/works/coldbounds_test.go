package works

import (
	"errors"
	"math"
	"testing"
)

// What the state has no room for is refused by Build, whoever wrote the spec.
func TestColdBounds(t *testing.T) {
	for _, c := range []struct {
		part   string
		change func(c *ColdSpec)
	}{
		{"anneal bases", func(c *ColdSpec) { c.Anneal.Bases = maxBases + 1 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.Bases = 0 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.Bells = 0 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.Coolers = -1 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.Cranes = maxBellCranes + 1 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.StackCoils = maxStack + 1 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.StackCoils = 0 }},
		{"anneal bases", func(c *ColdSpec) { c.Anneal.Floor = math.NaN() }},
		{"pickle line", func(c *ColdSpec) { c.Pickle.Overtime = 3 }},
		{"pickle line", func(c *ColdSpec) { c.Pickle.OutBack = math.Inf(1) }},
		{"temper mill", func(c *ColdSpec) { c.Temper.Overtime = math.NaN() }},
		{"dispatch", func(c *ColdSpec) { c.Dispatch.Slot = 0 }},
		{"dispatch", func(c *ColdSpec) { c.Dispatch.Weekend = 2 }},
		{"pickled coils", func(c *ColdSpec) { c.Pickled.Room = 0 }},
		{"finished coils", func(c *ColdSpec) { c.Finished.Low = c.Finished.High + 1 }},
	} {
		s := testColdSpec()
		c.change(s.Cold)
		_, err := Build(s)
		var p *Problem
		if !errors.As(err, &p) || p.Part != c.part {
			t.Errorf("%v; a problem of the %s was expected", err, c.part)
		}
	}
	s := testColdSpec()
	a := &s.Cold.Anneal
	a.Bases, a.Bells, a.Coolers, a.Cranes, a.StackCoils = maxBases, maxBases, maxBases, maxBellCranes, maxStack
	if _, err := Build(s); err != nil {
		t.Errorf("the largest shop: %v", err)
	}
}

// Where a rate is given, the equipment behind it is not looked at, be it impossible.
func TestColdRatesNeedNoEquipment(t *testing.T) {
	s := testColdSpec()
	c := s.Cold
	c.Mill.Rate, c.Mill.Mill.Stands, c.Mill.Mill.Tensions = 50, nil, nil
	c.Pickle.Rate, c.Pickle.Line.Tanks = 40, nil
	c.Anneal.Rate, c.Anneal.Gap = 20, math.NaN()
	c.Temper.Rate, c.Temper.Mill.MaxForce = 45, 0
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.products {
		pr := &p.products[i]
		mass := float64(pr.slabMass-pr.cropMass) / grams
		if pr.Pickled && (math.Abs(pr.pickleS*40-mass) > 1 || pr.pickleBy != asGiven) {
			t.Errorf("%s: pickled in %.0f s (%s)", pr.Name, pr.pickleS, pr.pickleBy)
		}
		if pr.Cold > 0 && (math.Abs(pr.millS*50-mass) > 1 || pr.millBy != asGiven) {
			t.Errorf("%s: cold rolled in %.0f s (%s)", pr.Name, pr.millS, pr.millBy)
		}
		if pr.Annealed && math.Abs(pr.temperS*45-mass) > 1 {
			t.Errorf("%s: temper rolled in %.0f s", pr.Name, pr.temperS)
		}
	}
	c.Mill.Rate = 0
	if _, err := Build(s); err == nil {
		t.Error("a cold mill without stands and without a rate is built")
	}
}
