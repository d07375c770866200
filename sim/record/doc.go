// Package record says what was ordered and what happened, as plain values. The
// core's only output is a stream of Events; measures, digest, log, bus and page
// all eat the same stream.
//
// # The record
//
// An Event has a time, a kind and a few numbers whose meaning the kind gives:
//
//	Move      Mass of piece Piece went From -> To; A says which step of the
//	          route it was (Step)
//	State     unit From is in state A (words of sim/flow); B is the number of its
//	          places that work; X and Y hold the places in each of the eight
//	          states, sixteen bits each
//	Upset     an upset of kind A began at unit From; B is its number in the run
//	Told      people were told of upset B: X, Y, Z are low, likely and bad ends
//	          of the stop, in simulated time
//	Over      upset B is over; the unit works again
//	Ordered   lever A was ordered on unit or piece From/Piece with value X
//	Refused   the same, refused; B is the reason
//	Due       an order line B was completed (X) or missed (Y)
//	Note      A says what (Word); people's log
//
// Floats do not occur: times are microseconds, masses grams, temperatures
// tenths of a kelvin, so that a record is the same on every machine.
//
// # Places
//
// Every gram is somewhere: in a store, on a unit, in a named loss or outside.
// A Place is the number of such a place; a Route names them. The tally of all
// Moves is the mass balance.
package record
