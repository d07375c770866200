// Package works is the steel works on flow: heats, slabs, bars and coils, what
// people do on a quiet day, what goes wrong, and the levers that plans pull.
// One file a unit.
//
//	Spec   what a works file says: equipment, rooms, rates, costs, standing orders
//	Plant  Spec with every time and limit computed from it; never written again
//	Works  a Plant and a State: a works at one moment of one future
//
// A run is a pure function of (program version, Plant, scenario, plan, seed,
// future). State is values and slices of values, so CopyFrom makes a works that
// goes its own way; nothing in this package reads a clock, a file or a map.
//
// Order of an instant: the event with the least (time, class, order of booking)
// happens; then units that may have something to do are tried, lowest number
// first, until the works is settled; then state changes are recorded; then the
// Director (a plan) is asked if something it waits for has come; its orders act
// and the works settles again.
package works
