// Package sim has no code of its own. The rooms below it are the simulation; the
// test in this folder holds the table of which room may import which, and fails
// when an arrow is crossed.
package sim
