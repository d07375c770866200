// Package casting gives the clocks and limits of a continuous slab caster in closed form: tonnes a second, shell growth, the speed that solidification allows, how long the tundish lasts, how long a
// ladle may wait.
//
// Everything is SI but for two habits of the trade. Solidification constants K are in millimetres per square root of a minute, as every caster's data sheet gives them. Temperatures are in C. Functions
// take masses and sizes above zero; where an argument makes no sense (negative, NaN) the answer is NaN, never a panic.
//
// Ladle and turn-around times are works data and are not kept here.
package casting
