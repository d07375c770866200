// Package scripting reads works files, scenarios and plans written in Lua and
// makes of them what the simulation runs: a works.Spec, scripted upsets, and for
// each plan a works.Director.
//
// A file is read once and checked as a whole: unknown keys, wrong dimensions,
// missing keys and impossible values are reported with file and line, what is
// wrong and what to write instead. A plan is a function of the file that waits
// and pulls levers; every future runs it in a Lua state of its own, made from
// the compiled file, so plans may run on any number of goroutines.
//
// A plan sees what people see: levels, states, told times. It never sees how long
// an upset will really last.
package scripting
