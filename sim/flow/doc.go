// Package flow holds the mechanisms of any line: units that work on pieces,
// finite stores between them, what starved and blocked mean, shared equipment,
// failures, planned stops, and the order in which units get their turn. It knows
// no steel and draws no luck: the caller gives every duration.
//
// There are two ways to use it, on the same units, states and clocks.
//
// # A plant is declared and run
//
//	p := flow.NewPlant()
//	queue := p.AddStore(flow.StoreSpec{Room: 10})
//	p.AddSource(flow.SourceSpec{To: queue, Gap: func(n int) calendar.Time { ... }})
//	saw := p.AddUnit(flow.UnitSpec{From: queue, Work: func(pc *flow.Piece) calendar.Time { ... }})
//	err := p.Run(30 * calendar.Day)
//	... p.Unit(saw).Share(flow.Running), p.Store(queue).MeanWait, p.Count().Left
//
// Units stand between stores: a piece goes from a store to a unit to a store. A
// unit that takes from Outside, the zero value, is never starved; what goes to
// Outside has left. A line of twelve is a loop over AddStore and AddUnit; see the
// examples for several servers, priorities, preemption, shared equipment,
// failures by operating time and by the calendar, shifts and windows,
// changeovers by sequence, batches, assembly, impatience and conveyors. Where to say what:
//
//   - arrivals: SourceSpec.Gap, Group (how many together), Mark (kind, priority);
//     several sources may lead to one store; a Route that looks at Plant.Store turns
//     away (Outside, counted as lost) whom a queue is too long for
//   - which piece is next: StoreSpec.Before (ByPriority, LastIn, by Data); by what the
//     unit is set up for: UnitSpec.Picks; one store before another: UnitSpec.Also
//   - several pieces that become one: UnitSpec.Parts; several that are worked on
//     together and go on as they are: UnitSpec.Batch
//   - a piece that displaces another: UnitSpec.Preempts and Displaced; equipment
//     taken from another: SharedSpec.Preempts; a piece's priority there: Need.ByPiece
//   - servers unlike each other: a UnitSpec each, from one store; no place to wait:
//     Room 0
//   - a fixed number of pieces that go round: To or Route back to a store that a
//     source fills at the start (Gap 0, Group n, Limit 1)
//   - what is counted: Plant.Count, Store, Unit, Shared; by class, or for quantiles:
//     in UnitSpec.Begins (wait) and Plant.OnLeave (stay)
//
// The rules, where a modeller may ask:
//
//   - A piece whose work is done and that finds no room stays on its unit, which
//     is blocked; of several blocked units the one that has waited longest gives
//     first. A store without room hands pieces over to a unit that is free.
//   - Of several free units that take from a store the one added first takes.
//   - Things that happen at the same time happen in the order of the classes of
//     package calendar, then in the order in which they were booked: pieces are
//     finished, units fail and stop, units come back and pieces arrive, patience
//     ends. So a piece that comes as another is finished finds a free unit, and one
//     whose turn comes in the last moment of its patience is served. What follows
//     from an event within its moment goes upstream: a unit that has become free
//     takes a piece, then the unit behind gives into the room.
//   - Work is interrupted by failures and stops and goes on where it was, unless
//     its Fate says otherwise. A unit that fails or is off shift keeps its shared
//     equipment; a piece that it has finished leaves it as soon as there is room.
//   - When equipment is given back, those who claim in the same event, the unit
//     that gave it back included, are served by priority, then as they came.
//   - A repair goes on while its unit is off shift, and time off shift wears a unit
//     that fails by the calendar.
//   - A unit that has come back gives its piece up for one that has come meanwhile
//     and may displace it.
//   - A piece that comes to a full store from a source is lost. What waits outside
//     instead is a unit that takes from Outside and needs no time: it is blocked.
//   - A time below zero counts as zero; calendar.Never is without end. What a tick
//     means is the caller's business, but for the means in seconds.
//
// Nothing is drawn and nothing depends on addresses or maps: the same durations
// give the same run. To compare two plants under the same luck, key the draws on
// Piece.Number, on the place and the number of a failure, and on the number of
// an arrival (package chance), not on the order in which flow asks.
//
// # Waiting for each other
//
// Run never stops without saying why. When units wait for each other in a circle
// (for room, or for equipment that another keeps) it returns a *Stall that names
// them at that moment, whatever else still moves; when nothing can happen any
// more and pieces are still inside, a *Stall that says who waits for what; and
// when pieces go round without time passing, ErrTimeStands.
//
// # A net is driven by hand
//
// Net is what a Plant stands on, for callers whose units have rules of their own,
// as the works has:
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
// A Net is a value whose only references are slices of values: CopyFrom makes a
// second net that goes its own way.
//
// # States
//
// A place of a unit is in exactly one state at any time, so the hours in the
// states add up to the calendar. Where several causes hold at once the first of
// this order counts: off shift, maintenance, down, changeover, blocked,
// starved. A unit that waits for shared equipment is blocked with a piece. A
// place that works is running, or slowed when its pace is below one.
//
// # Speed
//
// An event of a line costs about 1.3 times what it costs in a loop written in C
// for that line alone, with nothing counted there, and allocates nothing; one of a
// single server, where there is next to nothing to do, about twice. What buys it:
// the calendar (see there); pieces, units and stores as values in slices, named by
// number; a unit's state that is derived once an event, however often it changes
// within it; integrals of levels kept as times out less times in, without a
// multiplication; and a short way for the unit that has nothing but its work, so
// that failures, setups and claims cost only those who have them. bash .ci/bench
// measures it.
package flow
