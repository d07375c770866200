// Package reheating heats slabs: how long a slab must stay in the furnace, what it leaves with, how much of it burns to scale, what fuel that takes, and what happens while it is held.
//
// [Bath] is the furnace as a works model runs it: one slab thickness at one gas temperature, tabulated once, so that any slab is advanced over any time by one look-up. [FullSolver] conducts through the
// thickness and is the reference for it: the table's mean is 4 C below to 11 C above conduction on the way and 2 to 8 C above at discharge.
//
// [Hearth] is a whole furnace with slabs of any mix in it, in either form; [Campaign] sends a list of slabs through it, stops, set-back and recovery included, and accounts for fuel, carbon dioxide, scale
// and yield.
//
// Enthalpies are in J/kg above 20 C, temperatures in C, everything else SI. Slabs are heated alike from both faces.
package reheating
