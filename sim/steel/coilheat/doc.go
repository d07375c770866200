// Package coilheat is conduction in a coil of strip over radius and width, by
// explicit finite volumes: steel along the strip's width, wraps and gaps across
// it. The coil is symmetric about mid-width. Enthalpy is stepped, so the heat of
// transformation is taken whole.
//
// Coil yard and annealing bases solve the same conduction under other films; each
// has its own account of them and its checks against independent programs.
// Lengths are metres, temperatures C, conductivities W/mK, films W/m2K.
package coilheat
