package futures

import "millrace/sim/measure"

// StateNames are the words for the states of units, in the order of
// UnitHours.Hours.
var StateNames = measure.States[:]
