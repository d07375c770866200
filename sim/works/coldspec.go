package works

import (
	"millrace/sim/chance"
	"millrace/sim/steel/annealing"
	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/pickling"
)

// ColdSpec is the cold side: from cool coils to the customer. A works without it
// ends at the coil floor, with pickling and dispatch as rates.
type ColdSpec struct {
	Pickle   PickleSpec
	Mill     ColdMillSpec
	Anneal   AnnealSpec
	Temper   TemperSpec
	Dispatch DispatchSpec

	Pickled, Hard, Annealed, Finished Band // stores, kg
}

// PickleSpec is the pickle line.
type PickleSpec struct {
	Line     pickling.Line
	Scale    pickling.Scale
	Trim     float64 // m of width trimmed off, both edges together
	Outside  float64 // kg/s that can be sent to be pickled outside at most
	OutFee   float64 // money/kg of outside pickling, haulage included
	OutBack  float64 // s from when a coil has left until it is back, pickled
	Overtime float64 // factor on the line's output while overtime is worked; below 1: none is
	Rate     float64 // kg/s when a measured rate is given, else 0
}

// ColdMillSpec is the tandem cold mill.
type ColdMillSpec struct {
	Mill       coldrolling.Mill
	Law        coldrolling.Law // flow stress of plain strip; a grade's factor multiplies it
	Crop       float64         // share of a coil lost at head and tail
	RollCoils  int             // coils between work-roll changes
	RollChange float64         // s
	Scatter    chance.Law
	Rate       float64
}

// AnnealSpec is the batch annealing shop.
type AnnealSpec struct {
	Bases, Bells, Coolers, Cranes int
	StackCoils                    int
	Recipe                        annealing.Recipe
	Gas                           annealing.Atmosphere
	Gap                           float64 // m between wraps
	Handling                      annealing.Handling
	Floor                         float64 // s on the cooling floor before temper rolling
	Rate                          float64 // kg/s of the whole shop when a measured rate is given
}

// TemperSpec is the temper mill.
type TemperSpec struct {
	Mill       coldrolling.TemperMill
	Elongation float64
	Overtime   float64 // as for the pickle line
	Rate       float64
}

// DispatchSpec is dispatch by slots: every slot takes so much, by the hour of the
// week.
type DispatchSpec struct {
	Slot    float64 // s between slots
	Hot     float64 // kg/s of hot band on the mean of a week
	Cold    float64 // kg/s of everything else
	Weekend float64 // share of the weekday's rate on Saturday and Sunday; 0 or 1: every day alike
	// Overtime is the factor on what a slot takes; every day is a weekday then.
	Overtime float64
}

// Ways a product takes behind the coil floor.
const (
	WayHot      = iota // hot band, dispatched black
	WayPickled         // pickled and oiled
	WayHard            // cold rolled, sold full hard
	WayAnnealed        // cold rolled, annealed, temper rolled
)
