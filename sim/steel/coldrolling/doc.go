// Package coldrolling is the physics of a tandem cold mill and a temper mill:
// what a stand needs (flow stress, force, torque, power) with the strip under
// tension, the drafts and the speed that fit a given mill, what a loss of
// tension does, and how long a coil takes.
//
// Lengths are metres, forces newtons, torques newton metres (both rolls
// together unless said), powers watts, stresses pascals. Everything is a pure
// function of its arguments.
//
// A stand is solved by [BlandFord] in full and by [Hill] in short; the error of the
// one against the other stands with [Model]. Schedules of products are found once,
// when a works is read, in full; what runs reads their times and speeds. The roll
// gap itself, for any material and by more models, is package rolling.
//
// Left out: the dependence of flow stress on strain rate and temperature, of
// friction on speed, roll crowns, and flatness.
package coldrolling
