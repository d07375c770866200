// Package annealing is the physics of batch annealing: stacks of tight coils
// on a base, under an inner cover full of protective gas, heated by a bell and
// cooled under the cover.
//
// Lengths are metres, times seconds, conductivities W/mK. Temperatures are in
// degrees Celsius (names end in C). Everything is a pure function of its
// arguments; tables are made once and never written again.
//
// Left out: the difference between coils of a stack (each is taken to see the
// same gas), the heat that base and cover hold, and the change of the gap
// between wraps as the coil grows. Times of handling are works data.
package annealing
