// Package reheating heats slabs: how long a slab must stay in the furnace, what it leaves with, how much of it burns to scale, what fuel that takes, and what happens while it is held.
//
// [Bath] is the furnace as a works model runs it: one slab thickness at one gas temperature, tabulated once, so that any slab is advanced over any time by one look-up. [FullSolver] conducts through the
// thickness and is the reference for it.
//
// Enthalpies are in J/kg above 20 C, temperatures in C, everything else SI. Slabs are heated alike from both faces.
package reheating
