package propseed_test

import (
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// Two checks of one property draw the same cases, and in the night others.
func TestTheSameCasesInEveryRun(t *testing.T) {
	draws := func() (out []int64) {
		rapid.Check(t, func(t *rapid.T) { out = append(out, rapid.Int64().Draw(t, "x")) })
		return out
	}
	a, b := draws(), draws()
	if same, night := slices.Equal(a, b), os.Getenv("MILLRACE_NIGHTLY") != ""; same == night {
		t.Fatalf("the same draws twice: %v, at night: %v", same, night)
	}
}
