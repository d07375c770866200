package works

import (
	"math"
	"sort"
)

// cycleHeats is the length of the casting cycle: after so many heats every
// product has had its share.
const cycleHeats = 80

// buildCycle lays out the products of the heats to come: each in proportion to
// its share, from the widest to the narrowest, so that most width changes are
// small steps down. It also marks the heavy half of the mix.
func (p *Plant) buildCycle() {
	order := make([]int, len(p.products))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return p.before(order[a], order[b]) })
	carry := 0.0
	for _, i := range order {
		want := p.products[i].Share*cycleHeats + carry
		n := math.Round(want)
		carry = want - n
		for range int(n) {
			p.cycle = append(p.cycle, int16(i))
		}
	}
	if len(p.cycle) == 0 {
		p.cycle = []int16{0}
	}
	// Heavy: the products that pass the mill fastest in tonnes, half the mix.
	sort.SliceStable(order, func(a, b int) bool {
		x, y := &p.products[order[a]], &p.products[order[b]]
		return x.capacity*float64(x.slabMass) > y.capacity*float64(y.slabMass)
	})
	sum := 0.0
	for _, i := range order {
		if sum >= 0.4 {
			break
		}
		p.products[i].heavy = true
		sum += p.products[i].Share
	}
}

// before orders products as they are cast and rolled: wide before narrow, thick
// before thin.
func (p *Plant) before(a, b int) bool {
	x, y := &p.products[a], &p.products[b]
	if x.Width != y.Width {
		return x.Width > y.Width
	}
	return x.Thickness > y.Thickness
}
