// Package measure counts what a run came to, from its records only: mass by
// place, hours by unit and state, heats, pieces, energy, lateness, levels by the
// hour, and money by line.
//
// A Tally is a record.Sink. Settle brings its clocks to a moment, after which it
// can be read and then fed on: a run that is extended keeps its tally. It holds
// slices indexed by the numbers of the Route and no maps, so equal records give
// equal numbers, to the last bit.
//
// Masses are grams, energies kJ and times simulated microseconds inside, as in
// the records; the readers give t, GJ, h and the works' currency as float64.
package measure
