package works

import (
	"math"
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/chance"
)

// Redraw makes a copy of a works a future of a look-ahead: every draw that is
// waiting is drawn anew with the luck given, and later draws use that luck too.
// Standing orders and orders already given go on; the director is taken off.
//
//   - A life in waiting is what remains of an exponential life: as long as a new one.
//   - A stop that lasts ends by what people were told at the last word, given that it
//     has not ended since; before the first word by what any stop of the unit
//     lasts, given what has gone. Neither the true end nor the kind enters.
//   - Pieces in hand go on as they were drawn: minutes. Planned stops stay: people
//     know them.
//
// keepEnds leaves true ends as they are: the look of a controller, who knows the
// script. Scripted upsets that were booked but have not begun stay booked; who must
// not know them gives them by Inject when their time comes.
func (w *Works) Redraw(luck chance.Luck, keepEnds bool) {
	w.S.Luck = luck
	w.Director, w.wanted = nil, false
	w.Sink, w.Keys = nil, nil
	n := &w.S.Net
	n.Cal.Cancel(w.S.asked)
	w.S.asked = 0
	touched := [64]bool{} // flow holds no more units
	for i := range w.S.Lives {
		l := &w.S.Lives[i]
		d := calendar.Dur(-w.upsetSpec(l.Spec).Every * logOf(w.uniform(luckLife, w.luckKey(l.Spec, l.Unit), uint64(l.No))))
		if l.h != 0 {
			n.Cal.Cancel(l.h)
			l.Due = w.Now() + d
			l.h = n.Cal.Book(l.Due, calendar.Fail, calendar.Event{Kind: evBegin, A: int32(-1 - i)})
			continue
		}
		l.Due = n.Reading(int(l.Unit)) + d
		touched[l.Unit] = true
	}
	for u := range n.Units {
		if touched[u] {
			w.setFailAt(u)
		}
	}
	if keepEnds {
		return
	}
	for i := range w.S.Upsets {
		up := &w.S.Upsets[i]
		if !up.Active {
			continue
		}
		if up.Part {
			continue // it ends with what it is a part of
		}
		p := luckRepair
		if w.upsetSpec(up.Spec).Scripted {
			p = luckTruth
		}
		w.endAt(i, w.restAsTold(up, w.uniform(p, w.luckKey(up.Spec, up.Unit), uint64(up.No))))
	}
}

// endAt puts the end of an upset that lasts at so many s from now, on every unit that it
// hit.
func (w *Works) endAt(i int, left float64) {
	ends := w.Now() + calendar.Dur(left)
	for j := i; j < len(w.S.Upsets) && (j == i || w.S.Upsets[j].Part && int(w.S.Upsets[j].Main) == i); j++ {
		up := &w.S.Upsets[j]
		w.S.Net.Cal.Cancel(up.event)
		up.Ends = ends
		up.event = w.S.Net.Cal.Book(ends, calendar.Restore, calendar.Event{Kind: evEnd, A: int32(j)})
	}
}

// RedrawEnd puts the end of upset number i of a future of a look-ahead at quantile u, in
// (0, 1), of what is left of it by what people know: who plays several futures can spread
// them evenly over that law. It does nothing to an upset that does not last, nor to
// another unit of one that hit several: that ends with the first.
func (w *Works) RedrawEnd(i int, u float64) {
	if w.UpsetActive(i) && !w.S.Upsets[i].Part && u > 0 && u < 1 {
		w.endAt(i, w.restAsTold(&w.S.Upsets[i], u))
	}
}

// restAsTold is quantile u of how long the upset will last from now, by what
// people know, s.
func (w *Works) restAsTold(up *Upset, u float64) float64 {
	s := w.upsetSpec(up.Spec)
	if !up.Told {
		return w.unexplained(s, int(up.Unit), u, (w.Now() - up.Began).Seconds())
	}
	heard := up.Heard
	low := math.Max(1, (up.Low - heard).Seconds())
	likely := math.Max(low*1.001, (up.Likely - heard).Seconds())
	badly := math.Max(likely*1.001, (up.Bad - heard).Seconds())
	l, err := chance.Told(low, likely, badly)
	if err != nil {
		return 0
	}
	left := l.Residual(u, (w.Now() - heard).Seconds())
	if latest := latestEnd(s, up.Began); latest != calendar.Never {
		left = math.Max(0, math.Min(left, (latest-w.Now()).Seconds()))
	}
	return left
}

// unexplained is quantile u of what is left of a stop of the unit that has lasted for
// gone, s, when nobody knows yet what it is: the law of every stop of the works' own
// file that shows on the unit in the same way, weighted by how often each happens. The
// kind enters only by what everybody can see: whether it takes the unit down.
//
// P(left > x | lasted gone) = sum of w S(gone+x) / sum of w S(gone), w the rates.
func (w *Works) unexplained(s *UpsetSpec, unit int, u, gone float64) float64 {
	m := w.P.stopsOf(unit, func(k UpsetKind) bool { return w.takesDown(k) == w.takesDown(s.Kind) })
	for _, looser := range [...]func() stopMix{
		func() stopMix { return w.P.stopsOf(unit, nil) },
		func() stopMix { return w.P.stopsOf(-1, nil) },
	} {
		if m.survival(gone) <= 0 {
			m = looser()
		}
	}
	if m.survival(gone) <= 0 { // a works that has no law of its own for so long a stop
		return toldLaw(s).Residual(u, gone)
	}
	return m.residual(u, gone)
}

// stopMix is a mixture of laws with the rates of what they belong to, 1/s.
type stopMix struct {
	laws  []chance.Law
	rates []float64
}

// stopsOf are the background upsets of a unit, of any unit for -1, that a filter lets
// through.
func (p *Plant) stopsOf(unit int, take func(UpsetKind) bool) (m stopMix) {
	for i := range p.Spec.Upsets {
		b := &p.Spec.Upsets[i]
		if b.Kind == LateHeat || b.Every <= 0 || b.Lasts.Valid() != nil || b.Lasts.Highest() <= 0 || take != nil && !take(b.Kind) {
			continue
		}
		if unit >= 0 && !p.hits(b, unit) {
			continue
		}
		every := b.Every
		if Kinds[b.Kind].Clock == ByUse {
			every *= p.normalS // pieces to seconds
		}
		m.laws, m.rates = append(m.laws, b.Lasts), append(m.rates, 1/every)
	}
	return m
}

// hits says whether the upset can hit the unit.
func (p *Plant) hits(s *UpsetSpec, unit int) bool {
	return slices.Contains(p.UnitsMeant(s.Unit), unit) || slices.Contains(p.alsoHit(s), unit)
}

func (m *stopMix) survival(x float64) (sum float64) {
	for i := range m.laws {
		sum += m.rates[i] * m.laws[i].Survival(x)
	}
	return sum
}

// residual is quantile u, in (0, 1), of what is left after gone; survival(gone) must be
// above zero. It lies between the least and the greatest of the laws' own.
func (m *stopMix) residual(u, gone float64) float64 {
	low, high := math.Inf(1), 0.0
	for i := range m.laws {
		if m.laws[i].Survival(gone) > 0 {
			x := m.laws[i].Residual(u, gone)
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	want := (1 - u) * m.survival(gone)
	for range 60 {
		x := low + (high-low)/2
		if m.survival(gone+x) > want {
			low = x
		} else {
			high = x
		}
	}
	return high
}
