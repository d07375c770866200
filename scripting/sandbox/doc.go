// Package sandbox runs small Lua scripts written by the people who use the
// program. It knows nothing of the plant.
//
// A script is checked and compiled once into a [Program]; any number of
// [State] values are made from it, one for each (plan, future). A state has
// no files, no clock, no source of luck of its own and no way to load more
// code. What it may use up is bounded: instructions by a counter that gives
// the same answer on every machine, the length of texts and lists by fixed
// limits, memory and wall time by a watch that is only a safety net.
//
// A function of the script can be run as a [Task]: it runs until a Go
// function registered by the caller returns [Yield], and goes on when
// [Task.Resume] is called again, so a plan reads as straight-line code that
// waits.
//
// Every failure comes back as an [*Error] with file, line, what is wrong and,
// where that can be told, what to do. Nothing here panics on a bad script.
//
// The language is Lua 5.1 without metatables, coroutines, module loading and
// the io, os and debug libraries. Differences from the host library's own
// behaviour, all on purpose: numbers print with at most 14 digits, tables
// print without their address, tonumber reads decimal and 0x numbers only,
// texts are joined up to a limit, and reading a name that does not exist is
// an error instead of nil.
package sandbox
