// Package pickling is the physics of a continuous pickle line: how long hot
// band must stay in acid, how fast the line may therefore run, what welding and
// the loopers leave of that speed, what the acid loses and what a stop costs.
//
// Lengths are metres, times seconds, masses kilograms, speeds m/s. Acid
// strength is per cent HCl by mass, temperatures are degrees Celsius (names end
// in C). Everything is a pure function of its arguments, in closed form: there
// is no cheaper form for an event loop.
//
// The constants of the time law are a calibration, not a measurement: fit them
// to the works. Weld and shear times are works data.
package pickling
