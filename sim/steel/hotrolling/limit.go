package hotrolling

import "fmt"

// The names a limit goes by in results and errors.
const (
	LimitBite      = "bite"
	LimitForce     = "force"
	LimitTorque    = "torque"
	LimitPower     = "power"
	LimitReduction = "reduction"            // beyond half the thickness in a pass no formula here holds
	LimitLight     = "reduction, too light" // a stand would hardly touch the strip
	LimitPasses    = "passes"
	LimitSpeed     = "speed"
	LimitThread    = "threading speed"
	LimitRunOut    = "run-out cooling"
	LimitTooHot    = "finishing temperature, too hot"
	LimitTooCold   = "finishing temperature, too cold"
	LimitColdBar   = "bar temperature, too cold"
	LimitZoom      = "strip length" // the strip ends before the mill is up to speed
	LimitNothing   = "none"
)

// MaxReduction is the greatest reduction a pass is given: a strain near 0.69,
// where Shida's law ends.
const MaxReduction = 0.5

// LeastReduction is the least reduction of a stand: below it no formula says what
// it needs, and the stand should stand open.
const LeastReduction = 0.005

// LimitError says why stock cannot be rolled, by how much, and what would fit.
type LimitError struct {
	Limit          string
	Value, Allowed float64 // SI units, C for temperatures; factor of the limit where Limit says so
	Pass           int     // pass or stand, from 1; 0 = the whole
	Nearest        Nearest
	Suggest        string

	thinnest float64 // m, by the drafts alone; 0 = not known
	train    bool    // Pass is a stand
}

func (e *LimitError) also(s string) {
	switch {
	case s == "":
	case e.Suggest == "":
		e.Suggest = s
	default:
		e.Suggest += "; " + s
	}
}

// Error implements error.
func (e *LimitError) Error() string {
	v, a, unit := e.Value, e.Allowed, ""
	switch e.Limit {
	case LimitForce:
		v, a, unit = v/1e6, a/1e6, " MN"
	case LimitTorque:
		v, a, unit = v/1e6, a/1e6, " MN m"
	case LimitPower:
		v, a, unit = v/1e6, a/1e6, " MW"
	case LimitBite:
		v, a, unit = v*1e3, a*1e3, " mm"
	case LimitReduction, LimitLight:
		v, a, unit = v*100, a*100, " %"
	case LimitSpeed, LimitThread, LimitRunOut:
		unit = " m/s"
	case LimitTooHot, LimitTooCold, LimitColdBar:
		unit = " C"
	}
	where := ""
	switch {
	case e.Pass > 0 && e.train:
		where = fmt.Sprintf(" in stand %d", e.Pass)
	case e.Pass > 0:
		where = fmt.Sprintf(" in pass %d", e.Pass)
	}
	s := fmt.Sprintf("cannot be rolled: %s%s is %.4g%s, allowed %.4g%s", e.Limit, where, v, unit, a, unit)
	if e.Suggest != "" {
		s += "; " + e.Suggest
	}
	return s
}
