package measure

import "millrace/sim/record"

// Codes are the numbers by which the writer of the records names steps of the
// route, notes, levels and levers; the tally knows no works. Numbers lie between
// 1 and MaxCode, steps and levers may be 0. A code that is not given must be -1
// or, for notes, 0.
type Codes struct {
	// Steps, the A of a Move.
	Opening, Gone, Haul int32
	Outside             int32 // coil to outside pickling
	// Notes, the A of a Note.
	Gas          int32 // X kJ burned, Y kJ flared, Z kJ bought since the last
	Returned     int32 // X grams of steel poured back
	Speed        int32 // caster From casts at X
	Sequence     int32 // caster From opens a sequence
	SequenceEnds int32 // Y is not 0 when nobody planned it
	Tundish      int32 // caster From has used up a tundish
	Opened       int32 // a heat is opened on caster From
	Charged      int32 // slab charged at X tenths C, Y grams
	Rejected     int32 // a bar is lost: too cold or too late
	Cobbled      int32 // a strip or bar is lost in the mill
	Scrapped     int32 // a piece is lost otherwise
	SlabBack     int32 // a slab goes back to the yard
	Downgraded   int32 // X grams will be sold as secondary
	Cool         int32 // a coil is cool, X grams
	Fans         int32 // X 1: fans on by standing orders, 0: off; 0 for none
	Pulled       int32 // unit From: a planned stop is pulled forward
	PlannedOver  int32 // unit From: a planned stop ends
	// Level, the A of a Level record.
	GasHolder int32 // X kJ in the holder
	// Levers, the A of Ordered.
	OpenOverflow, CloseOverflow int32
	Overtime                    int32 // on while X is above 0
	ForceCooling                int32 // on while X is above 0
}

// MaxCode is the largest number a note may have.
const MaxCode = 63

// what a note asks the tally to do
const (
	doNothing uint8 = iota
	doGas
	doReturned
	doSpeed
	doSequence
	doSequenceEnds
	doTundish
	doOpened
	doCharged
	doRejected
	doCobbled
	doScrapped
	doSlabBack
	doDowngraded
	doCool
	doPulled
	doFans
	doPlannedOver
)

func (c *Codes) table() (t [MaxCode + 1]uint8, ok bool) {
	for _, p := range [...]struct {
		code int32
		do   uint8
	}{
		{c.Gas, doGas}, {c.Returned, doReturned}, {c.Speed, doSpeed}, {c.Sequence, doSequence}, {c.SequenceEnds, doSequenceEnds},
		{c.Tundish, doTundish}, {c.Opened, doOpened}, {c.Charged, doCharged}, {c.Rejected, doRejected}, {c.Cobbled, doCobbled},
		{c.Scrapped, doScrapped}, {c.SlabBack, doSlabBack}, {c.Downgraded, doDowngraded}, {c.Cool, doCool}, {c.Pulled, doPulled}, {c.Fans, doFans},
		{c.PlannedOver, doPlannedOver},
	} {
		if p.code <= 0 {
			continue
		}
		if p.code > MaxCode || t[p.code] != doNothing {
			return t, false
		}
		t[p.code] = p.do
	}
	return t, true
}

// The states of a unit in the order of record.State's A.
const (
	offShift = iota
	maintenance
	down
	changeover
	blocked
	starved
	running
	slowed
	NStates
)

// States are the words for the states, by number.
var States = [NStates]string{"off shift", "maintenance", "down", "changeover", "blocked", "starved", "running", "slowed"}

// placeNamed is the number of the place of that name, -1 when there is none.
func placeNamed(r *record.Route, name string) int {
	for i := range r.Places {
		if r.Places[i].Name == name {
			return i
		}
	}
	return -1
}

// unitNamed is the number of the unit of that name, -1 when there is none.
func unitNamed(r *record.Route, name string) int {
	for i := range r.Units {
		if r.Units[i].Name == name {
			return i
		}
	}
	return -1
}
