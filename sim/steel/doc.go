// Package steel holds the properties of plain carbon steel that every process of a flat-steel works needs: specific heat, enthalpy, conductivity, expansion, liquidus, and the two heat models built on
// them.
//
// Two models of a plate are offered. [Plate] carries one number, the mean enthalpy, and assumes the parabolic temperature profile of steady heating; it is what a works model runs on. [Wall]
// solves conduction through the thickness by finite volumes; it is the reference the first is judged by.
//
// [Grades] is a small library of invented grades. What freezes, heats, rolls and cools is in the packages below; conduction has the exact solutions the solver is held against, checktable reads the tables of
// published values that each package keeps in its testdata.
//
// Temperatures are in degrees Celsius wherever a name ends in C, because the correlations are written so; everything else is SI. The property laws are those of EN 1993-1-2:2005 for 20 to 1200 C. They
// are continued to [MinC] and [MaxC] by assumption: below 20 C with the heat capacity at 20 C, above 1200 C with the constants that hold at 1200 C. Outside [MinC, MaxC] every property is NaN: a
// caller that lets a temperature run away sees it at once.
//
// The package knows no events and keeps no state; its one table is filled at load.
package steel
