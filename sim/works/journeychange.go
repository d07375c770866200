package works

import (
	"fmt"
	"slices"
)

// Change is what one would like to make of a product for once; zero is as ordered.
type Change struct {
	Thickness float64 // m, hot band
	Width     float64 // m
	Cold      float64 // m, behind the cold mill
}

// JourneyChanged is the journey of a slab of a product as it would be with other sizes.
// The sizes need not be possible: what forbids them is in Journey.Broken. The works, its
// pace and its mix stay as they are.
func (p *Plant) JourneyChanged(product int, chargeC float64, c Change) (Journey, error) {
	if c == (Change{}) {
		return p.Journey(product, chargeC)
	}
	if product < 0 || product >= len(p.products) {
		return Journey{}, fmt.Errorf("journey: product %d, the works has 0 to %d", product, len(p.products)-1)
	}
	s := &p.Spec
	q := *p
	q.Spec.Products = slices.Clone(s.Products)
	pr := &q.Spec.Products[product]
	if c.Thickness != 0 {
		if !(c.Thickness >= 0.0005 && c.Thickness < s.SlabThick) {
			return Journey{}, bad("thickness", "%.4g mm; hot band is at least 0.5 mm and thinner than the slab of %.0f mm", c.Thickness*1e3, s.SlabThick*1e3)
		}
		pr.Thickness = c.Thickness
	}
	if c.Width != 0 {
		if !(c.Width >= 0.3 && c.Width <= 3) {
			return Journey{}, bad("width", "%.0f mm; write 300 mm to 3000 mm", c.Width*1e3)
		}
		pr.Width = c.Width
	}
	if c.Cold != 0 {
		switch {
		case s.Cold == nil:
			return Journey{}, bad("cold", "%s has no cold side", s.Name)
		case pr.Cold <= 0:
			return Journey{}, bad("cold", "%s is not cold rolled", pr.Name)
		case !(c.Cold >= 0.00005):
			return Journey{}, bad("cold", "%.4g mm; write 0.05 mm or more", c.Cold*1e3)
		}
		pr.Cold = c.Cold
	}
	if pr.Cold > 0 && pr.Cold >= pr.Thickness {
		return Journey{}, bad("cold", "%.4g mm cannot be rolled cold from hot band of %.4g mm", pr.Cold*1e3, pr.Thickness*1e3)
	}
	// Tables of a run where there can be any; what cannot be rolled has none.
	made, err := q.product(product)
	q.products = slices.Clone(p.products)
	q.products[product] = made
	return q.journey(product, chargeC, err == nil)
}
