package record

import "millrace/sim/calendar"

// Kind says what an Event reports.
type Kind uint8

// The kinds of event.
const (
	Move Kind = iota + 1
	State
	Upset
	Told
	Over
	Ordered
	Refused
	Due
	Note
	Level
)

var kindNames = [...]string{"", "move", "state", "upset", "told", "over", "ordered", "refused", "due", "note", "level"}

// String returns the kind's word.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "unknown"
}

// Place is the number of a place where steel (or what it is made of) can be.
type Place int16

// Nowhere is no place.
const Nowhere Place = -1

// Event is one thing that happened.
type Event struct {
	T        calendar.Time
	Mass     int64 // grams
	X, Y, Z  int64
	Piece    int32 // the piece's name: heat, slab or coil number
	A, B     int32
	From, To Place
	Kind     Kind
}

// Sink takes events, in order, in batches. The slice is only lent.
type Sink interface {
	Put(events []Event)
}

// Discard takes events and does nothing.
var Discard Sink = discard{}

type discard struct{}

func (discard) Put([]Event) {}

// Both sends every batch to each sink in turn.
func Both(sinks ...Sink) Sink { return both(sinks) }

type both []Sink

func (b both) Put(events []Event) {
	for _, s := range b {
		s.Put(events)
	}
}
