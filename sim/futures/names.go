package futures

import "millrace/sim/flow"

// StateNames are the words for the states of units, in the order of
// UnitHours.Hours.
var StateNames = func() []string {
	out := make([]string, flow.NStates)
	for s := range out {
		out[s] = flow.State(s).String()
	}
	return out
}()
