// Package cooling is what takes heat out of steel between the furnaces and the
// pickle line: descaling water, the run-out table behind the finishing train,
// and slabs and coils that stand in a yard.
//
// Each has a form that the event loop runs on and a full one that it is held
// against; the first says how far they are apart:
//
//	slab, pile      [SlabCurve]               [FullPile]
//	descaling       [HeatTaken], [BulkDrop]   [Descaler.Full]
//	run-out table   [RunOut]                  [Layout.Cool], [Layout.ForTarget]
//	coil            [CoilCurve]               [CoilField]
//
// Lengths are metres, times seconds, heat-transfer coefficients W/m2K.
// Temperatures are in degrees Celsius (names end in C, or the comment says
// so). Everything is a pure function; curves and tables are made once and
// never written again.
package cooling
