// Package hotrolling is the physics of a reversing roughing mill and a
// continuous finishing train: what a pass needs (flow stress, force, torque,
// power), what it does to the stock's temperature, and the schedules that fit
// inside the limits of given equipment.
//
// Everything is a pure function of its arguments. Lengths are metres, forces
// newtons, torques newton metres (both rolls together), powers watts, stresses
// pascals. Names ending in C are degrees Celsius. Temperatures are means over
// the thickness; the surface of a thick slab is some 20 to 40 C colder.
//
// Thicknesses and lengths are those of the order (cold); thermal expansion of
// the hot stock, below 2 % of length, is left out of times and speeds.
package hotrolling
