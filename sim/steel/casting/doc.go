// Package casting gives the clocks and limits of a continuous slab caster in closed form: tonnes a second, shell growth, the speed that solidification, grade and section allow, the margin against a breakout, how
// long the tundish lasts, how long a ladle may wait, the taper of a width change.
//
// The closed forms are what the event loop runs on. [Solidify] is the full form of the shell: conduction with the heat of fusion from the meniscus to the cut, through mould and sprays; its comment says how far the
// square-root law is from it.
//
// Everything is SI but for two habits of the trade. Solidification constants K are in millimetres per square root of a minute, as every caster's data sheet gives them. Temperatures are in C. Functions
// take masses and sizes above zero; where an argument makes no sense (negative, NaN) the answer is NaN, never a panic; what returns an error says why.
//
// Ladle and turn-around times are works data and are not kept here. [GradeSpeed] is a table of assumptions that works data goes before.
package casting
