// Package hotrolling is the physics of a reversing roughing mill and a
// continuous finishing train: what a pass needs (flow stress, force, torque,
// power), what it does to the stock's temperature, and the schedules that fit
// inside the limits of given equipment.
//
// Everything is a pure function of its arguments. Lengths are metres, forces
// newtons, torques newton metres (both rolls together), powers watts, stresses
// pascals. Names ending in C are degrees Celsius. Temperatures are means over
// the thickness; in air the surface of a bar is some 20 to 30 C colder, that of a
// slab 50 to 110 C.
//
// Thicknesses and lengths are those of the order (cold); thermal expansion of
// the hot stock, below 2 % of length, is left out of times and speeds.
package hotrolling
