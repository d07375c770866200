package works

import (
	"fmt"
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// CheckInject says why an upset cannot be made to happen in a works, nil when it
// can.
func (p *Plant) CheckInject(s *UpsetSpec) error {
	switch us := p.UnitsNamed(s.Unit); {
	case s.Kind >= NUpsetKinds:
		return fmt.Errorf("there is no such kind of upset")
	case s.Kind == LateHeat:
		return fmt.Errorf("a late heat is drawn heat by heat and cannot be given")
	case len(us) == 0:
		return fmt.Errorf("there is no unit %q", s.Unit)
	case !p.CanStop(us[0]):
		return fmt.Errorf("the %s is steered by levers and has no upsets", p.Route.Units[us[0]].Name)
	case s.Kind == SlowDown && !p.CanSlow(us[0]):
		return fmt.Errorf("the %s has no pace that could be lowered", p.Route.Units[us[0]].Name)
	case s.Kind == SequenceBroken && p.casterAt(us[0]) < 0:
		return fmt.Errorf("the %s casts no sequence", p.Route.Units[us[0]].Name)
	case s.Lasts.Valid() != nil:
		return fmt.Errorf("how long it lasts: %w", s.Lasts.Valid())
	case s.Lasts.Highest() <= 0:
		return fmt.Errorf("it would be over at once; say how long it lasts")
	}
	return nil
}

// Inject makes an upset happen at the time, now when that has passed, and returns
// its number in the run. It is scripted: its truth is drawn by its place in the
// script, so that a script given piece by piece in its own order lasts as long as
// one given whole.
func (w *Works) Inject(s UpsetSpec, at calendar.Time) (int, error) {
	if err := w.P.CheckInject(&s); err != nil {
		return -1, err
	}
	s.Scripted = true
	s.At = at.Seconds()
	// The script may be shared with copies; it is never written, only replaced.
	w.Script = append(slices.Clip(slices.Clone(w.Script)), s)
	spec := int32(len(w.P.Spec.Upsets) + len(w.Script) - 1)
	w.S.Upsets = append(w.S.Upsets, Upset{Spec: spec, Unit: int16(w.P.UnitsNamed(s.Unit)[0])})
	i := len(w.S.Upsets) - 1
	if at > w.Now() {
		w.S.Net.Cal.Book(at, calendar.Fail, calendar.Event{Kind: evBegin, A: int32(i)})
		return i, nil
	}
	w.start(i, false)
	return i, nil
}

// Tell gives people a word on the end of upset number i, in seconds from now,
// whatever the truth is. It stands until the next that is given so: words that were
// promised from the works' own law would contradict it and do not come.
func (w *Works) Tell(i int, low, likely, badly float64) error {
	if i < 0 || i >= len(w.S.Upsets) || !w.S.Upsets[i].Active {
		return fmt.Errorf("there is no upset %d that lasts", i)
	}
	if !(low > 0) || !(low < likely) || !(likely < badly) || badly > 1e9 {
		return fmt.Errorf("a word on the end must rise from low over likely to bad")
	}
	up := &w.S.Upsets[i]
	s := w.upsetSpec(up.Spec)
	w.S.Net.Cal.Cancel(up.word)
	up.word = 0
	if !up.Told {
		up.FirstWord = w.Now()
	}
	up.Low, up.Likely, up.Bad = w.Now()+calendar.Dur(low), w.Now()+calendar.Dur(likely), w.Now()+calendar.Dur(badly)
	up.Told, up.Heard = true, w.Now()
	w.tellParts(i)
	w.emit(record.Event{Kind: record.Told, B: int32(i), A: int32(s.Kind), From: record.Place(up.Unit), To: record.Nowhere, Piece: -1,
		X: int64(up.Low), Y: int64(up.Likely), Z: int64(up.Bad)})
	w.S.Dirty |= TopicWords
	w.hearthPlan()
	return nil
}
