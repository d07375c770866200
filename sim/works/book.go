package works

import (
	"math"

	"millrace/sim/record"
)

// credit books delivered mass on the open order lines of the product, earliest
// due first; what no line asks for is sold free where demand is sold out.
func (w *Works) credit(prod int, g int64) {
	for i := range w.P.Spec.Orders {
		if g <= 0 {
			return
		}
		o := &w.P.Spec.Orders[i]
		if o.Product != prod || w.S.OrdDon[i] {
			continue
		}
		want := int64(o.Mass*grams) - w.S.Orders[i]
		take := min(want, g)
		w.S.Orders[i] += take
		g -= take
		if w.S.Orders[i] >= int64(o.Mass*grams) {
			w.S.OrdDon[i] = true
			w.emit(record.Event{Kind: record.Due, B: int32(i), X: int64(w.Now()), From: record.Nowhere, To: record.Nowhere, Piece: -1, Mass: int64(o.Mass * grams)})
		}
	}
}

// backlogWeight is larger for products whose orders are due or late.
func (w *Works) backlogWeight(prod int) float64 {
	now := w.Now().Seconds()
	x := 0.25
	for i := range w.P.Spec.Orders {
		o := &w.P.Spec.Orders[i]
		if o.Product != prod || w.S.OrdDon[i] {
			continue
		}
		left := o.Mass - float64(w.S.Orders[i])/grams
		days := (o.Due - now) / 86400
		x += left / 1e6 / math.Max(0.5, days+1)
	}
	return x
}

// dueFirst is when the first open line of the product is due that the mass at hand, g,
// does not cover, s after the start; infinity when there is none. Earliest due date
// first makes the longest lateness least (J. R. Jackson, University of California
// research report 43, 1955, from memory); it knows neither penalties nor set-ups.
func (w *Works) dueFirst(prod int, have int64) float64 {
	first := math.Inf(1)
	for i := range w.P.Spec.Orders {
		o := &w.P.Spec.Orders[i]
		if o.Product != prod || w.S.OrdDon[i] {
			continue
		}
		if have -= int64(o.Mass*grams) - w.S.Orders[i]; have < 0 {
			first = math.Min(first, o.Due)
		}
	}
	return first
}

// nextProduct is what the caster's next heat will be cast for, -1 when nothing
// is asked for.
func (w *Works) nextProduct(c int) int {
	k := &w.S.Casters[c]
	n := len(w.P.cycle)
	at := (int(k.Heats) + c*n/len(w.P.Spec.Casters) + int(w.S.CycleFrom)) % n
	if w.SoldOut {
		return int(w.P.cycle[at])
	}
	// Only what the book asks for and is not already on its way.
	for j := range n {
		p := int(w.P.cycle[(at+j)%n])
		if w.asked(p) > 0 {
			return p
		}
	}
	return -1
}

// asked is what the order book still wants of a product beyond what is in the
// works, kg.
func (w *Works) asked(prod int) float64 {
	want := 0.0
	for i := range w.P.Spec.Orders {
		if o := &w.P.Spec.Orders[i]; o.Product == prod && !w.S.OrdDon[i] {
			want += o.Mass - float64(w.S.Orders[i])/grams
		}
	}
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		if h.Stage != htNone && h.Stage != htOpen && int(h.Prod) == prod {
			want -= w.P.Spec.Shop.Heat
		}
	}
	for c := range w.P.Spec.Casters {
		k := &w.S.Casters[c]
		if int(k.Prod) == prod {
			want -= float64(k.Liquid) / grams
		}
		for j := int8(0); j < k.NSeg; j++ {
			if int(k.Seg[j].Prod) == prod {
				want -= float64(k.Seg[j].Mass) / grams
			}
		}
	}
	return want - float64(w.S.InWorks[prod])/grams
}
