package casting

import (
	"fmt"
	"math"
)

// Limit names what holds the casting speed down.
type Limit uint8

// What can hold the casting speed down.
const (
	ByNothing        Limit = iota
	BySolidification       // the liquid core would leave the supported length
	ByMouldShell           // the shell at the mould exit would be too thin
	ByGrade                // the steel or its surface asks for less
	ByDemand               // the next ladle would come too late
)

// String names the limit in the trade's words.
func (l Limit) String() string {
	switch l {
	case ByNothing:
		return "nothing"
	case BySolidification:
		return "solidification"
	case ByMouldShell:
		return "shell at the mould exit"
	case ByGrade:
		return "grade"
	case ByDemand:
		return "next ladle"
	}
	return fmt.Sprintf("limit %d", uint8(l))
}

// Limits holds what [MaxSpeed] weighs. Groups left at zero do not limit; at least one must be given.
type Limits struct {
	Thickness       float64 // slab, m
	K               float64 // whole strand, mm/min^0.5
	SupportedLength float64 // from meniscus to the last roll, m

	KMould        float64 // in the mould, mm/min^0.5
	MouldLength   float64 // meniscus to mould exit, m
	MinMouldShell float64 // below this the shell tears, m; practice 10 to 12 mm (common practice, no source)

	Grade  float64 // m/s
	Demand float64 // speed that meets the next ladle, m/s
}

// MaxSpeed returns the highest casting speed in m/s that l allows, and what sets it. Of equal limits the first in the order of [Limit] is named.
func MaxSpeed(l Limits) (speed float64, by Limit, err error) {
	for _, v := range [...]float64{l.Thickness, l.K, l.SupportedLength, l.KMould, l.MouldLength, l.MinMouldShell, l.Grade, l.Demand} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return 0, ByNothing, fmt.Errorf("casting speed limits: %g is not a size, constant or speed", v)
		}
	}
	speed = math.Inf(1)
	take := func(v float64, b Limit) {
		if v < speed {
			speed, by = v, b
		}
	}
	if l.SupportedLength > 0 {
		if l.Thickness == 0 || l.K == 0 {
			return 0, ByNothing, fmt.Errorf("casting speed limits: a supported length needs the slab thickness and K")
		}
		take(l.SupportedLength/SolidTime(l.Thickness, l.K), BySolidification)
	}
	if l.MinMouldShell > 0 {
		if l.KMould == 0 || l.MouldLength == 0 {
			return 0, ByNothing, fmt.Errorf("casting speed limits: a least shell needs the mould length and K in the mould")
		}
		root := l.MinMouldShell / (1e-3 * l.KMould)
		take(l.MouldLength/(60*root*root), ByMouldShell)
	}
	if l.Grade > 0 {
		take(l.Grade, ByGrade)
	}
	if l.Demand > 0 {
		take(l.Demand, ByDemand)
	}
	if by == ByNothing {
		return 0, ByNothing, fmt.Errorf("casting speed limits: none given")
	}
	return speed, by, nil
}
