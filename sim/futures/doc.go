// Package futures plays one run and many: replications of a scenario under
// keyed luck, the twin of each (the same future without the scripted upset), and
// the comparison of plans that all meet the same futures.
//
// RunOne plays one plan in one future; Compare plays all plans in all futures,
// in parallel, and judges them by the cost of the upset: what the plan's run
// cost beyond its twin. Results are gathered by their index, so that any number
// of workers gives the same bytes.
//
// # Horizon
//
// Plans that recover at different times must be charged over the same time. Each
// future has one horizon for all plans and the twin: the fixed length, extended
// by days until the hole has gone through in the slowest plan, at most to
// MaxLength; what is cut off is counted and said.
package futures
