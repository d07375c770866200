// Package cooling is what takes heat out of steel between the furnaces and the
// pickle line: descaling water, the run-out table behind the finishing train,
// and slabs and coils that stand in a yard.
//
// Lengths are metres, times seconds, heat-transfer coefficients W/m2K.
// Temperatures are in degrees Celsius (names end in C, or the comment says
// so). Everything is a pure function; curves and tables are made once and
// never written again.
package cooling
