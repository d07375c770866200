package works

import (
	"math"

	"millrace/sim/record"
)

// open calls see for the lines of a product that are known and not yet complete, in the
// order of the book, until it returns false. Lines are filled in their order, so those
// that are complete come first and are passed over once.
func (w *Works) open(prod int, see func(i int32, o *OrderLine) bool) {
	lines := w.P.lines[prod]
	first := &w.S.OrdFirst[prod]
	for int(*first) < len(lines) && w.S.OrdDon[lines[*first]] {
		*first++
	}
	now := w.Now().Seconds()
	for _, i := range lines[*first:] {
		o := &w.P.Spec.Orders[i]
		if o.Known > now {
			if o.Known > now+bookAhead {
				return // books are written in the order in which they become known
			}
			continue
		}
		if !w.S.OrdDon[i] && !see(i, o) {
			return
		}
	}
}

// bookAhead: lines of a book may be out of the order in which they became known by so
// much, s.
const bookAhead = 60 * 86400

// credit books delivered mass on the open order lines of the product, earliest
// due first; what no line asks for is sold free where demand is sold out.
func (w *Works) credit(prod int, g int64) {
	w.open(prod, func(i int32, o *OrderLine) bool {
		want := int64(o.Mass*grams) - w.S.Orders[i]
		take := min(want, g)
		w.S.Orders[i] += take
		g -= take
		if w.S.Orders[i] >= int64(o.Mass*grams) {
			w.S.OrdDon[i] = true
			w.emit(record.Event{Kind: record.Due, B: i, X: int64(w.Now()), From: record.Nowhere, To: record.Nowhere, Piece: -1, Mass: int64(o.Mass * grams)})
		}
		return g > 0
	})
}

// backlogWeight is larger for products whose orders are due or late.
func (w *Works) backlogWeight(prod int) float64 {
	now := w.Now().Seconds()
	x := 0.25
	w.open(prod, func(i int32, o *OrderLine) bool {
		left := o.Mass - float64(w.S.Orders[i])/grams
		days := (o.Due - now) / 86400
		x += left / 1e6 / math.Max(0.5, days+1)
		return true
	})
	return x
}

// dueFirst is when the first open line of the product is due that the mass at hand, g,
// does not cover, s after the start; infinity when there is none. Earliest due date
// first makes the longest lateness least (J. R. Jackson, University of California
// research report 43, 1955, from memory); it knows neither penalties nor set-ups.
func (w *Works) dueFirst(prod int, have int64) float64 {
	first := math.Inf(1)
	w.open(prod, func(i int32, o *OrderLine) bool {
		if have -= int64(o.Mass*grams) - w.S.Orders[i]; have < 0 {
			first = math.Min(first, o.Due)
		}
		return true
	})
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
	w.open(prod, func(i int32, o *OrderLine) bool {
		want += o.Mass - float64(w.S.Orders[i])/grams
		return true
	})
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
