package pickling

import (
	"fmt"
	"math"
)

// Outage is what a stop of the entry or of the exit does to a line whose people
// know how long it lasts and slow the process so that the looper lasts too.
type Outage struct {
	Process     float64 // speed while the looper lasts, m/s: never below MinProcess
	Bridged     float64 // part of the stop that the looper carries, s
	Halted      float64 // part that the process stands, s
	Recovery    float64 // from the end of the stop until the looper is as before, process at its usual speed, s; +Inf if that side is no faster
	Missed      float64 // strip not pickled that the usual speed would have pickled in the stop, m
	Overpickled float64 // strip lost to the acid, slow or standing, m
}

// EntryStop is a stop of the entry of so many seconds on a run of such coils,
// with so much strip (m) in the entry looper.
func (l Line) EntryStop(c Coil, stored, seconds float64) (Outage, error) {
	return l.outage(c, stored, l.EntryLooper, l.EntrySpeed, seconds)
}

// ExitStop is a stop of the exit, with so much room (m) in the exit looper.
func (l Line) ExitStop(c Coil, room, seconds float64) (Outage, error) {
	return l.outage(c, room, l.ExitLooper, l.ExitSpeed, seconds)
}

func (l *Line) outage(c Coil, left, looper, full, seconds float64) (Outage, error) {
	r, err := l.Coil(c)
	if err != nil {
		return Outage{}, err
	}
	if !(left >= 0 && left <= looper && seconds >= 0 && seconds <= 1e7) {
		return Outage{}, fmt.Errorf("pickling: a stop of %g s with %g m of a looper of %g m", seconds, left, looper)
	}
	v := r.ProcessSpeed
	o := Outage{Process: v, Bridged: seconds}
	if v*seconds > left {
		o.Process = max(left/seconds, l.MinProcess)
		if o.Process > 0 && o.Process*seconds > left*(1+1e-12) {
			o.Bridged = left / o.Process
		}
		if o.Process == 0 {
			o.Bridged = 0
		}
	}
	o.Halted = seconds - o.Bridged
	moved := o.Process * o.Bridged
	o.Missed = v*seconds - moved
	o.Recovery = math.Inf(1)
	if full > v {
		o.Recovery = moved / (full - v)
	} else if moved == 0 {
		o.Recovery = 0
	}
	// The clock counts for every place of the strip: the way through the tanks at
	// slow speed, and standing.
	clock := l.StopInAcid(0).Clock
	if o.Process > 0 && l.AcidLength()/o.Process > clock {
		o.Overpickled = moved
	}
	o.Overpickled += l.StopInAcid(o.Halted).Lost
	return o, nil
}

// SequenceResult is how a line runs a sequence of coils that are not alike.
type SequenceResult struct {
	ProcessSpeed float64 // greatest constant one, m/s
	LimitedBy    string
	Least        float64 // strip in the entry looper when it is lowest, m
	At           int     // weld at which it is lowest, from 0; before that coil
}

// Sequence is the greatest constant process speed at which the entry, its looper
// full at the start, keeps up with coils of any lengths in the order given: short
// coils in a row empty the looper though each alone, or the mean of all, would
// not. Every coil is welded on before it runs. Acid, process and exit bound the
// speed as they do for the coil that needs it most.
func (l Line) Sequence(coils []Coil) (SequenceResult, error) {
	if len(coils) == 0 {
		return SequenceResult{}, fmt.Errorf("pickling: no coils")
	}
	r := SequenceResult{ProcessSpeed: inf}
	for _, c := range coils {
		// Without welds the entry never limits: all other limits of the coil.
		free := l
		free.WeldTime, free.MinProcess = 0, 0
		x, err := free.Coil(c)
		if err != nil {
			return SequenceResult{}, err
		}
		if x.ProcessSpeed < r.ProcessSpeed {
			r.ProcessSpeed, r.LimitedBy = x.ProcessSpeed, x.LimitedBy
		}
	}
	least := func(v float64) (float64, int) {
		stored, lowest, at := l.EntryLooper, inf, 0
		for i, c := range coils {
			if stored -= v * l.WeldTime; stored < lowest {
				lowest, at = stored, i
			}
			// The entry runs at full speed until the looper is full.
			stored = min(stored+(l.EntrySpeed-v)*c.Length/l.EntrySpeed, l.EntryLooper)
			if stored < lowest { // an entry slower than the process
				lowest, at = stored, i
			}
		}
		return lowest, at
	}
	if x, _ := least(r.ProcessSpeed); x < 0 {
		lo, hi := 0.0, r.ProcessSpeed
		for range 50 {
			if v := (lo + hi) / 2; func() bool { x, _ := least(v); return x < 0 }() {
				hi = v
			} else {
				lo = v
			}
		}
		r.ProcessSpeed, r.LimitedBy = lo, LimitEntryLooper
	}
	r.Least, r.At = least(r.ProcessSpeed)
	if r.ProcessSpeed < l.MinProcess {
		return SequenceResult{}, &LimitError{Limit: r.LimitedBy, Value: r.ProcessSpeed, Allowed: l.MinProcess, Suggest: "mix long coils among the short ones, or weld faster"}
	}
	return r, nil
}
