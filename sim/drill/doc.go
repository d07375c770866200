// Package drill plays a scenario in wall-clock time with people at the levers:
// hold, pace, step, orders, injects, rewind and branch, two forecasts, and a record
// from which all of it can be rebuilt.
//
// # What is where
//
// A session is the deterministic part: three games of one future side by side (as
// people play it; the same upsets with nobody ordering anything; no upset at all),
// what a page shows of them, and the actions that were applied. It knows no wall
// clock, no goroutine and no bus: equal actions give an equal session.
//
// A Host moves a session by the wall clock, answers commands and tells the bus. An
// action counts when the stream of actions has it: it is written first and applied
// then, with the simulated time and the number of events handled. Before pages see
// a time, an "allow" action that covers it is in the stream. So a program that was
// killed comes back held, with no order lost or doubled, not before what any page
// saw and not later than allowAhead of wall time after it.
//
// # Figures of an instant
//
// What a page is shown of an instant is a function of that instant, never of when the
// wall clock ticked or a page looked: a level is read at it, a state carries the moment
// of its record, what is felt over a while (rates, starved, blocked, full, dry) is asked
// at full minutes, the past is kept by full minutes. So a drill that is gone back to or
// rebuilt shows the figures that were lived, to the last digit. While time runs, a page
// may lack small moves for a second of wall time; a page that is held lacks none.
//
// A rewind undoes what came after its mark, at the mark's own moment too, except notes:
// they stay, with the branch they were written in.
//
// # Who knows what
//
// The script is not given to the works: its upsets are injected when their time
// comes, so that nothing that players see or that is forecast from what they were
// told can know it. What players must not know yet goes to the staff audience of
// the bus only: kinds of upset before the first word, injects to come. The forecast
// with the script goes to the controller.
package drill
