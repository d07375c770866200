package calendar

// Class orders the events of one instant; a lower class leaves first.
type Class uint8

// The classes, in the order in which an instant happens.
const (
	Finish  Class = iota // a piece is done somewhere
	Fail                 // a unit stops by its own fault
	Restore              // a unit is ready again
	Told                 // people are told something
	Order                // an order takes effect
	Sample               // somebody looks
)

// Event is what the calendar carries: a kind that the owner of the calendar
// understands, the number of the unit concerned, and two numbers of its own.
type Event struct {
	Kind uint16
	Unit uint16
	A, B int32
}

// Handle names a booked event so that it can be cancelled. The zero Handle
// names nothing.
type Handle uint64
