package works

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

const (
	maxBases = 80
	maxStack = 5

	maxBellCranes = 8
)

type baseStage uint8

// A base goes round: loaded by the crane, purged, waits for a bell, heats, waits
// for the crane, waits for a cooler, cools, waits for the crane, is unloaded.
const (
	bsFree baseStage = iota
	bsLoading
	bsPurging
	bsNeedsBell
	bsBellOn
	bsHeating
	bsNeedsBellOff
	bsBellOff
	bsNeedsCooler
	bsCoolerOn
	bsCooling
	bsNeedsCoolerOff
	bsCoolerOff
	bsNeedsUnload
	bsUnloading
)

// base is one annealing base with its stack.
type base struct {
	At    calendar.Time // since when it is in this stage
	Left  calendar.Time // heating left while protective gas is out
	h     calendar.Handle
	Coils [maxStack]int32
	Prod  int16
	N     int8
	Stage baseStage
}

// coldState is the state of the cold side.
type coldState struct {
	Pickled, Hard, Finished           [maxProducts]flow.List
	Ready                             flow.List // annealed coils that are cool enough for the temper mill
	Floor                             flow.List // annealed coils that still cool
	PickledG, HardG, AnnealG, FinishG int64     // g in the stores; AnnealG: floor and ready
	Bases                             [maxBases]base
	BellsFree, CoolersFree            int16
	Using                             int16 // bells and coolers in use, for checks
	GasOut                            int8
	Jobs                              [maxBellCranes]int16 // by crane: base it works on, -1 for none
	MillSince                         int32
	MillProd                          int16
	SlotDebtHot, SlotDebtCold         float64
	Blocked                           int8 // dispatch blocked
	Outside                           bool
	Away, Back                        flow.List // coils outside: under way, and back without room
	AwayG                             int64     // g of both
	SkipTemper, ByDue, Overtime       bool
	Forced, AutoFans                  bool    // fans are on; by standing orders
	Pace                              float64 // process speed ordered, share of what acid allows
	looper, over                      calendar.Handle
	LooperAt                          calendar.Time // when the looper will be empty, while its clock is booked
	LooperDown                        bool
	GasJobs                           int8
}

func (c *coldState) clear() {
	for i := range c.Pickled {
		c.Pickled[i], c.Hard[i], c.Finished[i] = flow.Empty, flow.Empty, flow.Empty
	}
	c.Ready, c.Floor = flow.Empty, flow.Empty
	c.Away, c.Back = flow.Empty, flow.Empty
	for i := range c.Jobs {
		c.Jobs[i] = -1
	}
	c.Pace = 1
	c.MillProd = -1
}
