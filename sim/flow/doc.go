// Package flow holds the mechanisms of any line: units that work on pieces,
// finite stores between them, what starved and blocked mean, failures that
// count operating time, and the order in which units get their turn. It knows
// no steel and draws no luck: the caller gives every duration and decides what
// a unit may do next. The same mechanisms are checked against queueing theory
// and used by the works.
//
// # How it is driven
//
//	for {
//		e, ok := net.Next(until)      // the next event; Done and Fail are flow's own kinds
//		...                           // the caller moves pieces
//		for u, ok := net.Ready(); ok; u, ok = net.Ready() {
//			...                       // the caller lets unit u try to start or to give away
//		}
//	}
//
// After each event the units that may have something to do are tried, lowest
// number first, until none is left: the net is then settled. Putting something
// into a store wakes the units that take from it; taking something out wakes
// the units that give to it; a unit that was released or restored wakes itself.
//
// # States
//
// A place of a unit is in exactly one state at any time, so the hours in the
// states add up to the calendar. Where several causes hold at once the first of
// this order counts: off shift, maintenance, down, changeover, blocked,
// starved. A place that works is running, or slowed when its pace is below one.
//
// A Net is a value whose only references are slices of values: CopyFrom makes a
// second net that goes its own way.
package flow
