package flow

import "millrace/sim/calendar"

// Causes that keep a unit from working; they may hold together and each may
// be set more than once.
const (
	CauseOffShift = iota
	CauseMaintenance
	CauseDown
	CauseChangeover
	CauseShared // shared equipment that it needs is elsewhere
	nCauses
)

// Unit is a machine with one place that serves one piece at a time. Machines
// with many places (a furnace) keep only the Tally here and their pieces in the
// caller's own structures.
type Unit struct {
	Tally
	// Piece is what the unit holds, -1 for none.
	Piece int32
	// Pace scales the work: at 0.5 every minute of work takes two.
	Pace float64
	// Odometer is the operating time so far; FailAt the reading at which the
	// unit stops by its own fault, Never for no such failure.
	Odometer, FailAt calendar.Time

	state    State
	working  bool // has a piece with work left
	finished bool // has a piece whose work is done
	paused   bool // work is interrupted
	manual   bool // the caller moves the tally itself
	changing bool // what is worked off is a changeover; then comes the piece
	cause    [nCauses]uint8
	stops    uint16        // how many causes hold, each as often as it was set
	left     calendar.Time // work left at pace 1
	then     calendar.Time // work at pace 1 after the changeover
	begun    calendar.Time // when the present spell of work began
	event    calendar.Handle
}

// State returns the unit's present state.
func (u *Unit) State() State { return u.state }

// Working reports whether the unit has a piece with work left on it.
func (u *Unit) Working() bool { return u.working }

// Finished reports whether the unit holds a piece whose work is done.
func (u *Unit) Finished() bool { return u.finished }

// Able reports whether nothing keeps the unit from working.
func (u *Unit) Able() bool { return u.stops == 0 }

// Has reports whether the cause holds.
func (u *Unit) Has(cause int) bool { return u.cause[cause] > 0 }

// Idle reports whether the unit could start a piece now.
func (u *Unit) Idle() bool { return u.Piece < 0 && u.Able() }

func (u *Unit) derive() State {
	if u.stops == 0 {
		switch {
		case !u.working && !u.finished:
			return Starved
		case u.finished:
			return Blocked
		case u.changing:
			return Changeover
		case u.Pace < 1:
			return Slowed
		}
		return Running
	}
	switch {
	case u.cause[CauseOffShift] > 0:
		return OffShift
	case u.cause[CauseMaintenance] > 0:
		return Maintenance
	case u.cause[CauseDown] > 0:
		return Down
	case u.cause[CauseChangeover] > 0:
		return Changeover
	case u.Piece >= 0:
		return Blocked // it waits for shared equipment
	}
	return Starved
}
