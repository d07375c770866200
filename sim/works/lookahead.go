package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/chance"
)

// Redraw makes a copy of a works a future of a look-ahead: every draw that is
// waiting is drawn anew with the luck given, and later draws use that luck too.
// Standing orders and orders already given go on; the director is taken off.
//
//   - A life in waiting is what remains of an exponential life: as long as a new one.
//   - A stop that lasts ends by what people were told at the last word, given that it
//     has not ended since; before the first word by what such stops of the works
//     usually last, given what has gone. The true end does not enter.
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
		d := calendar.Dur(-w.upsetSpec(l.Spec).Every * logOf(w.uniform(luckLife, luckKey(l.Spec, l.Unit), uint64(l.No))))
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
		p := luckRepair
		if w.upsetSpec(up.Spec).Scripted {
			p = luckTruth
		}
		left := w.restAsTold(up, w.uniform(p, luckKey(up.Spec, up.Unit), uint64(up.No)))
		n.Cal.Cancel(up.event)
		up.Ends = w.Now() + calendar.Dur(left)
		up.event = n.Cal.Book(up.Ends, calendar.Restore, calendar.Event{Kind: evEnd, A: int32(i)})
	}
}

// restAsTold is quantile u of how long the upset will last from now, by what
// people know, s.
func (w *Works) restAsTold(up *Upset, u float64) float64 {
	s := w.upsetSpec(up.Spec)
	if !up.Told {
		return w.P.usual(s, int(up.Unit)).Residual(u, (w.Now() - up.Began).Seconds())
	}
	heard := up.FirstWord
	if s.Told.NextWord > 0 {
		heard = up.Word - calendar.Dur(s.Told.NextWord)
	}
	low := math.Max(1, (up.Low - heard).Seconds())
	likely := math.Max(low*1.001, (up.Likely - heard).Seconds())
	badly := math.Max(likely*1.001, (up.Bad - heard).Seconds())
	l, err := chance.Told(low, likely, badly)
	if err != nil {
		return 0
	}
	return l.Residual(u, (w.Now() - heard).Seconds())
}

// usual is how long such a stop usually lasts: the works' own law of the kind
// where it has one, else of any kind on the unit, else what people would be told
// at the beginning.
func (p *Plant) usual(s *UpsetSpec, unit int) chance.Law {
	other := -1
	for i := range p.Spec.Upsets {
		b := &p.Spec.Upsets[i]
		if b.Lasts.Valid() != nil || b.Lasts.Highest() <= 0 {
			continue
		}
		for _, u := range p.UnitsMeant(b.Unit) {
			if u != unit {
				continue
			}
			if b.Kind == s.Kind {
				return b.Lasts
			}
			if other < 0 {
				other = i
			}
		}
	}
	if other >= 0 {
		return p.Spec.Upsets[other].Lasts
	}
	return toldLaw(s)
}
