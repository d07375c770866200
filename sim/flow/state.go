package flow

import "millrace/sim/calendar"

// State is what a place of a unit is doing.
type State uint8

// The states, the first that holds counts.
const (
	OffShift State = iota
	Maintenance
	Down
	Changeover
	Blocked
	Starved
	Running
	Slowed
	NStates
)

var stateNames = [NStates]string{"off shift", "maintenance", "down", "changeover", "blocked", "starved", "running", "slowed"}

// String returns the state's word.
func (s State) String() string {
	if s < NStates {
		return stateNames[s]
	}
	return "unknown"
}

// Tally counts the places of a unit by state and adds up place-time.
type Tally struct {
	Count [NStates]int32
	Spent [NStates]calendar.Time
	Since calendar.Time
}

// Advance books the time since the last change to the states held since then.
func (t *Tally) Advance(now calendar.Time) {
	d := now - t.Since
	if d <= 0 {
		return
	}
	t.Since = now
	for s := range t.Count {
		if c := t.Count[s]; c != 0 {
			t.Spent[s] += d * calendar.Time(c)
		}
	}
}

// Move shifts n places from one state to another at now.
func (t *Tally) Move(now calendar.Time, from, to State, n int32) {
	t.Advance(now)
	t.Count[from] -= n
	t.Count[to] += n
}
