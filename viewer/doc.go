// Package viewer serves the live page of a drill: one page for every role, fed over
// a websocket from the bus.
//
// It knows nothing of the works but what the bus says. For each audience level it
// keeps the last snapshot and the numbered messages since, so that a page that
// joins, falls behind or comes back gets either exactly what it missed or a new
// snapshot, never neither. Messages are passed on as they are; the page does the
// drawing.
//
// # The line to the page
//
// JSON texts over one websocket. From the server, k says what:
//
//	hello     hub (changes when the server restarts), role, name, links of the page
//	snap      d is a bus.Snapshot; ep and q where it stands; age ms since the last news
//	update, forecast, log, told, call   d is the bus message; a its audience; ep, q
//	cut       the past was changed: drop everything, a snap follows
//	wait      why there is nothing to show yet
//	who       who is here, for staff
//	status    how the drill's program does, for staff: d is a bus.Status
//	ack       the answer to a do, by id
//	trial     the answer to a try, by id: d is a bus.Forecast
//
// From the page: do (id, ep, q, cmd: a bus.Command without By and Role) and try (id,
// order: a bus.Order to look ahead with). q rises by one within an epoch; a page
// that sees a gap closes and comes back with ?hub=&ep=&q= in the address.
//
// # Who may do what
//
// The role comes from the link that was opened, never from the page. The server
// refuses what a role may not do before the drill sees it, and the drill decides
// again. What a role may not know is never sent to it.
package viewer
