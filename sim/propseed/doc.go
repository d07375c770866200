// Package propseed makes property tests draw the same cases in every run. A test
// package that uses rapid imports it for this effect alone:
//
//	import _ "millrace/sim/propseed"
//
// A run that gates a commit must judge the code: a draw that nobody has met before
// belongs to the night, where MILLRACE_NIGHTLY=1 leaves the seeds to the moment and
// rapid prints the one that failed. A seed given on the command line
// (-rapid.seed=N, 0 is a new one) has its way in both.
package propseed
