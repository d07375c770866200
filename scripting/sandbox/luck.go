package sandbox

import (
	"math"

	lua "github.com/yuin/gopher-lua"
)

// mathRandom is math.random on the luck the caller supplied, so that a script
// meets the same luck each time the same future is played.
func (s *State) mathRandom(l *lua.LState) int {
	if s.luck == nil {
		l.RaiseError("there is no luck to draw here; random numbers may not be used")
	}
	low, high := 1.0, 0.0
	switch l.GetTop() {
	case 0:
		l.Push(lua.LNumber(s.luck()))
		return 1
	case 1:
		high = float64(l.CheckNumber(1))
	default:
		low, high = float64(l.CheckNumber(1)), float64(l.CheckNumber(2))
	}
	low, high = math.Ceil(low), math.Floor(high)
	if !(low <= high) || math.Abs(low) > 1<<53 || math.Abs(high) > 1<<53 {
		l.RaiseError("math.random: no whole number between %s and %s", numberText(low), numberText(high))
	}
	l.Push(lua.LNumber(min(low+math.Floor(s.luck()*(high-low+1)), high)))
	return 1
}

func (s *State) mathRandomSeed(l *lua.LState) int {
	l.RaiseError("luck belongs to the future being played and cannot be seeded; take this line out")
	return 0
}
