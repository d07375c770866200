// Package calendar keeps simulated time and the set of pending events.
//
// # Order of an instant
//
// Events leave the calendar by (time, class, order of scheduling). The class
// says what kind of thing happens at one and the same microsecond: pieces
// finish before units fail, units fail before they are restored, what became
// true is known before people are told, people are told before orders act,
// and samples come last, so they see the instant as it ended. Among equal
// times and classes the event scheduled first leaves first. Nothing else
// (no address, no map, no goroutine) can change the order.
//
// # Time
//
// Time is an integer count of microseconds since the start of the run.
// Durations that physics computes are rounded to one millisecond by
// FromSeconds before they become time, so that the last bit of a float never
// decides which of two events is first.
//
// The package knows no steel and no units of the works. A calendar is a plain
// value: copying its slices copies the future that is already booked.
package calendar
