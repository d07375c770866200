// Package coldrolling is the physics of a tandem cold mill and a temper mill:
// what a stand needs (flow stress, force, torque, power) with the strip under
// tension, the drafts and the speed that fit a given mill, what a loss of
// tension does, and how long a coil takes.
//
// Lengths are metres, forces newtons, torques newton metres (both rolls
// together unless said), powers watts, stresses pascals. Everything is a pure
// function of its arguments.
//
// Left out: the dependence of flow stress on strain rate and temperature, of
// friction on speed, roll crowns, and flatness.
package coldrolling
