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
// # How the events are kept
//
// Pending events are the leaves of a tree of matches: every inner node is a copy
// of the earlier of its two children, so the next event stands at the root, and
// booking, taking or cancelling replays the matches of one leaf, log2 of the
// number of leaves. Three things make it about twice as fast as the heaps it was
// measured against (alternatives_test.go keeps them; DEVELOPERS.md has the
// figures). A match is decided without a branch, where the comparisons of a heap
// are mispredicted half the time. The way up is known before the first match is
// played, so its loads overlap, where a heap must know which child won before it
// can load the next four. And an event that is taken leaves its leaf to the event
// that its handler books: one pass instead of two, and when that is the same event
// anew (Again) nothing need be stored. Cancelling is exact; nothing
// dead is carried along. Matches of four are better from a thousand events up,
// worse below: a works has some tens to hundreds.
//
// The package knows no steel and no units of the works. A calendar is a plain
// value: copying its slices copies the future that is already booked.
package calendar
