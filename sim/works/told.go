package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

func logOf(u float64) float64 { return math.Log(u) }

// toldLaw is the law through what people are told of an upset, from its start.
func toldLaw(s *UpsetSpec) chance.Law {
	t := &s.Told
	low, likely, badly := t.Low, t.Likely, t.Bad
	if !t.Given {
		b := t.Bias
		if b <= 0 {
			b = 1
		}
		low, likely, badly = s.Lasts.Quantile(0.1)*b, s.Lasts.Quantile(0.5)*b, s.Lasts.Quantile(0.9)*b
	}
	if !(low < likely) {
		low = likely * 0.999
	}
	if !(badly > likely) {
		badly = likely * 1.001
	}
	l, err := chance.Told(low, likely, badly)
	if err != nil {
		return s.Lasts
	}
	return l.Cut(s.Lasts.Longest()) // everybody knows what ends it at the latest
}

// latestEnd is when an upset that began at a time is over at the latest, calendar.Never
// where its lengths are not cut.
func latestEnd(s *UpsetSpec, began calendar.Time) calendar.Time {
	if most := calendar.Dur(s.Lasts.Longest()); most < calendar.Never-began {
		return began + most
	}
	return calendar.Never
}

// word tells people about upset i: what they are told of its end, given that it
// has already lasted some hours. Nothing here depends on the truth until its
// cause is found.
func (w *Works) word(i int) {
	up := &w.S.Upsets[i]
	if !up.Active {
		return
	}
	s := w.upsetSpec(up.Spec)
	gone := (w.Now() - up.Began).Seconds()
	if s.Told.CauseFound > 0 && gone >= s.Told.CauseFound {
		up.Found = true
		// People now see what must be done: a tenth either way.
		whole := (up.Ends - up.Began).Seconds()
		f := 0.95 + 0.1*w.uniform(luckWord, w.luckKey(up.Spec, up.Unit), uint64(up.No))
		up.Likely = up.Began + calendar.Dur(math.Max(whole*f, gone+600))
		rest := (up.Likely - w.Now()).Seconds()
		up.Low = w.Now() + calendar.Dur(rest*0.85)
		up.Bad = w.Now() + calendar.Dur(rest*1.2)
		latest := latestEnd(s, up.Began)
		up.Low, up.Likely, up.Bad = min(up.Low, latest), min(up.Likely, latest), min(up.Bad, latest)
	} else {
		l := toldLaw(s)
		up.Low = w.Now() + calendar.Dur(l.Residual(0.1, gone))
		up.Likely = w.Now() + calendar.Dur(l.Residual(0.5, gone))
		up.Bad = w.Now() + calendar.Dur(l.Residual(0.9, gone))
	}
	up.Told, up.Heard, up.word = true, w.Now(), 0
	w.tellParts(i)
	w.emit(record.Event{Kind: record.Told, B: int32(i), A: int32(s.Kind), From: record.Place(up.Unit), To: record.Nowhere, Piece: -1,
		X: int64(up.Low), Y: int64(up.Likely), Z: int64(up.Bad)})
	if s.Told.NextWord > 0 {
		up.Word = w.Now() + calendar.Dur(s.Told.NextWord)
		up.word = w.S.Net.Cal.Book(up.Word, calendar.Told, calendar.Event{Kind: evWord, A: int32(i)})
	}
	w.S.Dirty |= TopicWords
	w.hearthPlan()
}

// tellParts gives the word on upset i to the other units that it hit.
func (w *Works) tellParts(i int) {
	up := &w.S.Upsets[i]
	for j := i + 1; j < len(w.S.Upsets) && w.S.Upsets[j].Part && int(w.S.Upsets[j].Main) == i; j++ {
		o := &w.S.Upsets[j]
		o.Low, o.Likely, o.Bad, o.Heard, o.Told, o.Found = up.Low, up.Likely, up.Bad, up.Heard, up.Told, up.Found
	}
}
