package works

import (
	"math"

	"millrace/sim/steel/annealing"
	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/cooling"
	"millrace/sim/steel/pickling"
)

// coldTimes computes how long a coil of the product takes at every unit of the cold
// side, from the equipment.
func (p *Plant) coldTimes(pr *product) error {
	c := p.Spec.Cold
	if c == nil || !pr.Pickled {
		return nil
	}
	mass := float64(pr.slabMass-pr.cropMass) / grams
	line := c.Pickle.Line
	r, err := line.Coil(pickling.Coil{Length: pr.strip, Thickness: pr.Thickness, Width: pr.Width, CoilingTempC: pr.CoilTemp})
	switch given := c.Pickle.Rate > 0; {
	case err == nil:
		pr.pickleS, pr.acidNeed, pr.pickleBy = r.Time, r.Need, r.LimitedBy
		pr.looperS = line.EntryLooper / r.ProcessSpeed
	case !given: // a line whose rate is given may be described or not
		return bad("pickle line", "%s: %v", pr.Name, err)
	}
	if c.Pickle.Rate > 0 {
		pr.pickleS, pr.pickleBy = mass/c.Pickle.Rate, asGiven
	}
	pr.acidLoss = c.Pickle.Scale.Loss(pr.strip, pr.Width) / mass
	if pr.Cold <= 0 {
		return nil
	}
	width := pr.Width - c.Pickle.Trim
	out := pr.strip * pr.Thickness / pr.Cold
	if err := p.millTime(pr, width, out, mass); err != nil {
		return err
	}
	if !pr.Annealed {
		return nil
	}
	if err := p.annealTimes(pr, width, out, mass); err != nil {
		return err
	}
	return p.temperTime(pr, width, out, mass)
}

// asGiven says what holds the output of a line whose rate is given: its equipment is
// not looked at.
const asGiven = "rate as given"

// millTime is how long the cold mill takes for a coil: by the schedule its stands allow,
// or by the rate that is given.
func (p *Plant) millTime(pr *product, width, out, mass float64) error {
	c := p.Spec.Cold
	if c.Mill.Rate > 0 {
		pr.millS, pr.millBy = mass/c.Mill.Rate, asGiven
		return nil
	}
	law := c.Mill.Law
	if f := p.Spec.Grades[pr.Grade].FlowFactor; f > 0 {
		law.K *= f
	}
	s, err := c.Mill.Mill.Schedule(coldrolling.Strip{EntryThickness: pr.Thickness, ExitThickness: pr.Cold, Width: width, Law: law})
	if err != nil {
		return bad("cold mill", "%s: %v", pr.Name, err)
	}
	t, err := c.Mill.Mill.CoilTime(out, s.ExitSpeed, 0)
	if err != nil {
		return bad("cold mill", "%s: %v", pr.Name, err)
	}
	pr.millS, pr.millBy = t.Thread+t.Moving+t.Welds+t.Tail, s.Limit
	return nil
}

// annealTimes is how long a stack is heated and cooled.
func (p *Plant) annealTimes(pr *product, width, out, mass float64) error {
	a := &p.Spec.Cold.Anneal
	if a.Rate > 0 { // what the rate leaves beside handling, heating the longer part
		all := float64(a.Bases*a.StackCoils) * mass / a.Rate
		pr.heatS, pr.baseCoolS = all*0.5, all*0.3
		return nil
	}
	k, err := annealing.RadialConductivity(annealing.Wrap{Strip: pr.Cold, Gap: a.Gap}, a.Gas)
	if err != nil {
		return bad("anneal bases", "%s: %v", pr.Name, err)
	}
	od := cooling.OuterDiameter(out, pr.Cold, coldBore, p.Spec.CoilYard.Fill)
	times, err := annealing.CoilTimes(annealing.Coil{Width: width, OD: od, ID: coldBore, RadialK: k}, a.Recipe)
	if err != nil {
		return bad("anneal bases", "%s: %v", pr.Name, err)
	}
	pr.heatS, pr.baseCoolS = times.Heat, times.Cool
	return nil
}

// temperTime is how long the temper mill takes for a coil, and what it cuts off.
func (p *Plant) temperTime(pr *product, width, out, mass float64) error {
	t := &p.Spec.Cold.Temper
	m, err := t.Mill.Coil(coldrolling.TemperStrip{Thickness: pr.Cold, Width: width, Length: out, Elongation: t.Elongation, TempC: 35})
	if t.Rate > 0 { // a mill that is not described cuts nothing off
		pr.temperS = mass / t.Rate
		if err == nil {
			pr.temperLoss = math.Min(0.05, m.Scrap/mass)
		}
		return nil
	}
	if err != nil {
		return bad("temper mill", "%s: %v", pr.Name, err)
	}
	pr.temperS = m.Time
	pr.temperLoss = math.Min(0.05, m.Scrap/mass)
	return nil
}

// coldBore is the bore of coils behind the cold mill, m (common practice, no source).
const coldBore = 0.508

// coldRates sets the pace that standing orders keep behind pickling, from what the
// mix gives.
func (p *Plant) coldRates() {
	pickled, cold := 0.0, 0.0
	for i := range p.products {
		if p.products[i].Pickled {
			pickled += p.products[i].Share
			if p.products[i].Cold > 0 {
				cold += p.products[i].Share
			}
		}
	}
	p.coldFeed = math.Inf(1)
	if pickled > 0 && p.Spec.Demand.Pickle > 0 {
		p.coldFeed = math.Max(1e-6, p.Spec.Demand.Pickle*cold/pickled)
	}
}
