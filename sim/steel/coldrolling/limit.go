package coldrolling

import "fmt"

// The names a limit goes by in results and errors.
const (
	LimitForce      = "force"
	LimitTorque     = "torque"
	LimitPower      = "power"
	LimitReduction  = "reduction"
	LimitLight      = "reduction, too light" // no formula holds; the stand should stand open
	LimitFlattening = "roll flattening"      // the rolls flatten as much as the strip does
	LimitSkid       = "grip"                 // no neutral point: the strip skids
	LimitTension    = "tension"              // the strip would break
	LimitSpeed      = "roll speed"
	LimitExit       = "exit speed"
	LimitEntry      = "entry speed"
	LimitThread     = "threading speed"
	LimitElongation = "elongation"
	LimitHot        = "strip temperature, too hot"
	LimitNothing    = "none"
)

// LimitError says why strip cannot be rolled, by how much, and what would fit.
type LimitError struct {
	Limit          string
	Value, Allowed float64 // SI units; Value is what the order needs
	Stand          int     // from 1; 0 = the whole mill
	Fits           float64 // thinnest exit thickness that this mill can roll, m; 0 = not known
	FitsWidth      float64 // widest strip that it can roll to the order's thickness, m; 0 = not known or none
	Suggest        string
}

// Error implements error.
func (e *LimitError) Error() string {
	v, a, unit := e.Value, e.Allowed, ""
	switch e.Limit {
	case LimitForce:
		v, a, unit = v/1e6, a/1e6, " MN"
	case LimitTorque:
		v, a, unit = v/1e3, a/1e3, " kN m"
	case LimitPower:
		v, a, unit = v/1e6, a/1e6, " MW"
	case LimitReduction, LimitLight, LimitElongation:
		v, a, unit = v*100, a*100, " %"
	case LimitTension:
		v, a, unit = v/1e6, a/1e6, " MPa"
	case LimitSpeed, LimitExit, LimitEntry, LimitThread:
		unit = " m/s"
	case LimitFlattening:
		unit = " radii"
	case LimitHot:
		unit = " C"
	}
	where := ""
	if e.Stand > 0 {
		where = fmt.Sprintf(" in stand %d", e.Stand)
	}
	s := fmt.Sprintf("cannot be rolled: %s%s is %.4g%s, allowed %.4g%s", e.Limit, where, v, unit, a, unit)
	if e.Suggest != "" {
		s += "; " + e.Suggest
	}
	return s
}
