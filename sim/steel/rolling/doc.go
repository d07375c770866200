// Package rolling is the roll gap of flat rolling, hot or cold, for any roll
// radius, width, friction and flow-stress law: geometry, mean flow stress, roll
// force, torque and power, and the flattening of the rolls, by the models of the
// textbooks and of the mills.
//
// A pass is solved in two ways. [Solve] takes one yield stress and one [Model].
// [Pass.Solve] takes a [Law] of flow stress and works out strain, strain rate and
// stress as well, the strain rate following the flattened arc of contact.
//
// Lengths are metres, stresses pascals, forces newtons, speeds m/s; names ending
// in C are degrees Celsius. Torque is that of ONE roll unless a name says both;
// power is that of both rolls, at the rolls. Strains are true strains.
//
// Functions that return an error refuse what is outside their stated range, NaN
// included, and return finite numbers inside it. The few that return none
// (geometry, and the arcs below the models) are plain formulas for callers that
// have checked their input; outside the range they give NaN or nonsense.
package rolling
