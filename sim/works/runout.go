package works

import "millrace/sim/flow"

// The run-out table works while a strip runs over it; it has no piece of its own.

// stripOn says that a strip runs over the table.
func (w *Works) stripOn() { w.shiftOne(w.P.u.runOut, flow.Running) }

// stripOff says that the table is empty again.
func (w *Works) stripOff() {
	if !w.S.Net.Units[w.P.u.runOut].Has(flow.CauseDown) {
		w.shiftOne(w.P.u.runOut, flow.Starved)
	}
}
