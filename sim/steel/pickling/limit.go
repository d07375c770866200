package pickling

import (
	"fmt"
	"math"
)

var inf = math.Inf(1)

// The names a limit goes by in results and errors.
const (
	LimitAcid        = "time in acid"
	LimitProcess     = "process speed"
	LimitEntry       = "entry, welding" // the entry cannot keep up: coils too short
	LimitEntryLooper = "entry looper"   // a weld would empty it
	LimitExit        = "exit, coil change"
	LimitExitLooper  = "exit looper"
	LimitThickness   = "thickness"
	LimitWidth       = "width"
)

// LimitError says why a coil cannot be pickled, by how much, and what would
// fit.
type LimitError struct {
	Limit          string
	Value, Allowed float64 // speeds in m/s, the least for Allowed; sizes in m
	Suggest        string
}

// Error implements error.
func (e *LimitError) Error() string {
	var s string
	switch e.Limit {
	case LimitThickness:
		s = fmt.Sprintf("cannot be pickled: %.3g mm thick, the line takes %.3g mm", e.Value*1e3, e.Allowed*1e3)
	case LimitWidth:
		s = fmt.Sprintf("cannot be pickled: %.0f mm wide, the line takes %.0f mm", e.Value*1e3, e.Allowed*1e3)
	default:
		s = fmt.Sprintf("cannot be pickled: %s allows %.3g m/s, the line needs %.3g m/s", e.Limit, e.Value, e.Allowed)
	}
	if e.Suggest != "" {
		s += "; " + e.Suggest
	}
	return s
}
