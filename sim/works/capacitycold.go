package works

import (
	"fmt"
	"math"

	"millrace/sim/quantity"
)

// coldSide adds pickle line, cold mill, annealing shop, temper mill and dispatch.
func (c *capacity) coldSide() {
	c.pickleLine()
	c.coldMill()
	c.annealing()
	c.temperMill()
	c.dispatch()
}

// through is the rate, kg/s of what it takes, of a unit that works on the products
// for which mass (kg a kilogram of slab) is above zero, one coil every so many
// seconds; and the load for a kilogram of slab.
func (c *capacity) through(mass func(i int, pr *product) float64, seconds func(i int, pr *product) float64) (rate, perSlab float64) {
	perSlab = c.mix(mass)
	t := c.mix(func(i int, pr *product) float64 {
		if mass(i, pr) <= 0 {
			return 0
		}
		return seconds(i, pr) / (float64(pr.slabMass) / grams)
	})
	if t > 0 {
		rate = perSlab / t
	}
	return rate, perSlab
}

func (c *capacity) pickleLine() {
	p, s := c.p, c.p.Spec.Cold
	mass := func(i int, pr *product) float64 {
		if pr.Pickled {
			return c.coil[i]
		}
		return 0
	}
	rate, per := c.through(mass, func(_ int, pr *product) float64 { return pr.pickleS })
	if per <= 0 {
		return
	}
	looper := c.mix(func(i int, pr *product) float64 { return mass(i, pr) * pr.looperS }) / per
	by, given := c.commonest(func(pr *product) (string, bool) { return pr.pickleBy, pr.Pickled }), s.Pickle.Rate > 0
	if given {
		by = "rate as given"
	}
	if d := p.Spec.Demand.Pickle * (1 + p.Spec.Standing.PickleSwing); d > 0 && d < rate {
		by = fmt.Sprintf("standing orders' pace; by %s %s", by, quantity.FormatNumber(rate*3.6, 0)+" t/h")
		rate = d
	}
	u := p.u.pickle
	cal, run := c.stops(u, c.planned(u), nil, func(x *UpsetSpec) float64 {
		switch x.Kind {
		case WeldBreak:
			return meanOver(x.Lasts, looper)
		case AcidOut:
			return x.Lasts.Mean() * (1 - x.slows())
		}
		return x.lost()
	})
	c.row(CapacityRow{Unit: "pickle line", Of: "coils", perSlab: per, SetBy: by, Given: given}, rate, cal, run)
}

// commonest is what holds most of the mix of the products that count.
func (c *capacity) commonest(of func(pr *product) (string, bool)) string {
	best, most := "", 0.0
	for i := range c.p.products {
		by, ok := of(&c.p.products[i])
		if !ok {
			continue
		}
		sum := 0.0
		for k := range c.p.products {
			if b, ok := of(&c.p.products[k]); ok && b == by {
				sum += c.p.products[k].Share
			}
		}
		if sum > most+1e-12 {
			best, most = by, sum
		}
	}
	return best
}

func (c *capacity) coldMill() {
	p, s := c.p, c.p.Spec.Cold
	mass := func(i int, pr *product) float64 {
		if pr.Cold > 0 {
			return c.pickled[i]
		}
		return 0
	}
	scatter := s.Mill.Scatter.Mean()
	rate, per := c.through(mass, func(_ int, pr *product) float64 { return pr.millS * scatter })
	if per <= 0 {
		return
	}
	coils := c.mix(func(i int, pr *product) float64 {
		if pr.Cold <= 0 {
			return 0
		}
		return grams / float64(pr.slabMass)
	})
	coil := per / coils // kg
	by, given := c.commonest(func(pr *product) (string, bool) { return pr.millBy, pr.Cold > 0 }), s.Mill.Rate > 0
	if given {
		by = "rate as given"
	}
	if d := p.coldFeed * (1 + p.Spec.Standing.PickleSwing); d < rate {
		by = fmt.Sprintf("standing orders' pace; by %s %s", by, quantity.FormatNumber(rate*3.6, 0)+" t/h")
		rate = d
	}
	u := p.u.coldMill
	var run []CapacityLoss
	if n := s.Mill.RollCoils; n > 0 {
		run = append(run, CapacityLoss{"roll changes", s.Mill.RollChange / (float64(n) * coil / rate), true})
	}
	cal, run := c.stops(u, c.planned(u), run, (*UpsetSpec).lost)
	c.row(CapacityRow{Unit: "cold mill", Of: "coils", perSlab: per, SetBy: by, Given: given}, rate, cal, run)
}

// annealing is the shop: bases, bells, coolers or cranes, whichever is busiest with the
// mix of stacks.
func (c *capacity) annealing() {
	p, a := c.p, &c.p.Spec.Cold.Anneal
	mass := func(i int, pr *product) float64 {
		if pr.Annealed && pr.Cold > 0 {
			return c.cold[i]
		}
		return 0
	}
	h := a.Handling
	stack := func(seconds func(pr *product) float64, number int) float64 {
		r, _ := c.through(mass, func(_ int, pr *product) float64 { return seconds(pr) / float64(a.StackCoils) })
		return r * float64(number)
	}
	_, per := c.through(mass, func(int, *product) float64 { return 1 })
	if per <= 0 {
		return
	}
	crane := h.Load + h.BellOn + h.BellOff + h.CoolerOn + h.CoolerOff + h.Unload
	hours := c.mix(func(i int, pr *product) float64 {
		return mass(i, pr) * (crane + h.LeakTest + h.Purge + pr.heatS + pr.baseCoolS + h.PostPurge)
	}) / per / 3600
	rate, by := math.Inf(1), ""
	for _, x := range []struct {
		name    string
		number  int
		seconds func(pr *product) float64
	}{
		{"bases", a.Bases, func(pr *product) float64 {
			return crane + h.LeakTest + h.Purge + pr.heatS + pr.baseCoolS + h.PostPurge
		}},
		{"bells", a.Bells, func(pr *product) float64 { return h.BellOn + pr.heatS + h.BellOff }},
		{"coolers", a.Coolers, func(pr *product) float64 { return h.CoolerOn + pr.baseCoolS + h.PostPurge + h.CoolerOff }},
		{"cranes", a.Cranes, func(*product) float64 { return crane }},
	} {
		if r := stack(x.seconds, x.number); r < rate {
			rate, by = r, fmt.Sprintf("%d %s; %.1f h on a base", x.number, x.name, hours)
		}
	}
	given := a.Rate > 0
	if given {
		by = "rate as given"
	}
	var cal []CapacityLoss
	cal = c.planned(p.u.bases)
	heat := c.mix(func(i int, pr *product) float64 { return mass(i, pr) * pr.heatS }) / per
	cal, _ = c.stops(p.u.bases, cal, nil, func(x *UpsetSpec) float64 {
		if x.Kind == ShortStop {
			return (x.Lasts.Mean() + heat) / float64(a.Bases) // one base begins anew
		}
		return x.Lasts.Mean() + h.Purge // heating stands still, and every base is purged again
	})
	c.row(CapacityRow{Unit: "annealing shop", Of: "coils", perSlab: per, SetBy: by, Given: given}, rate, cal, nil)
}

func (c *capacity) temperMill() {
	mass := func(i int, pr *product) float64 {
		if pr.Annealed && pr.Cold > 0 {
			return c.cold[i]
		}
		return 0
	}
	rate, per := c.through(mass, func(_ int, pr *product) float64 { return pr.temperS })
	if per <= 0 {
		return
	}
	by, given := "rolling and coil change", c.p.Spec.Cold.Temper.Rate > 0
	if given {
		by = "rate as given"
	}
	u := c.p.u.temper
	cal, run := c.stops(u, c.planned(u), nil, (*UpsetSpec).lost)
	c.row(CapacityRow{Unit: "temper mill", Of: "coils", perSlab: per, SetBy: by, Given: given}, rate, cal, run)
}

// dispatch takes hot band and the rest by slots of their own.
func (c *capacity) dispatch() {
	p, d := c.p, &c.p.Spec.Cold.Dispatch
	var cal []CapacityLoss
	cal = c.planned(p.u.dispatch)
	cal, _ = c.stops(p.u.dispatch, cal, nil, (*UpsetSpec).lost)
	swing := 1 + p.Spec.Standing.PickleSwing
	by := fmt.Sprintf("slots as given, %.0f %% more while stocks are high", (swing-1)*100)
	hot := c.mix(func(i int, _ *product) float64 {
		if p.way(i) == WayHot {
			return c.coil[i]
		}
		return 0
	})
	cold := c.mix(func(i int, pr *product) float64 {
		switch p.way(i) {
		case WayPickled:
			return c.pickled[i]
		case WayHard:
			return c.cold[i]
		case WayAnnealed:
			return c.cold[i] * (1 - pr.temperLoss)
		}
		return 0
	})
	if hot > 0 && d.Hot > 0 {
		c.row(CapacityRow{Unit: "dispatch, hot band", Of: "coils", perSlab: hot, SetBy: by, Given: true}, d.Hot*swing, cal, nil)
	}
	if cold > 0 && d.Cold > 0 {
		c.row(CapacityRow{Unit: "dispatch, the rest", Of: "coils", perSlab: cold, SetBy: by, Given: true}, d.Cold*swing, cal, nil)
	}
}
