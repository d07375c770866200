package futures

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// A yard with room for 1,000 t filling at 400 t/h, cut to 100 t/h, must hold 4 h: by hand
// 400 x + 100 (4 - x) = 1000 gives x = 2 h.
func TestLastCut(t *testing.T) {
	const h, tph = 3600.0, 1000.0 / 3600
	for _, c := range []struct {
		free, full, less, left float64
		in                     float64
		need                   Need
	}{
		{1000e3, 400 * tph, 100 * tph, 4 * h, 2 * h, Needed},
		{1000e3, 400 * tph, 100 * tph, 2 * h, 0, NotNeeded},
		{1000e3, 400 * tph, 300 * tph, 4 * h, 0, NotEnough},
		{1000e3, 400 * tph, -100 * tph, 9 * h, 3.8 * h, Needed}, // more is drawn than cast
	} {
		in, need := LastCut(c.free, c.full, c.less, c.left)
		if need != c.need || math.Abs(in-c.in) > 1e-6*h {
			t.Errorf("%+v: %v h, %v", c, in/h, need)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		free, full := rapid.Float64Range(1, 1e8).Draw(t, "free"), rapid.Float64Range(1, 500).Draw(t, "full")
		less, left := full*rapid.Float64Range(-1, 0.99).Draw(t, "less"), rapid.Float64Range(60, 1e6).Draw(t, "left")
		in, need := LastCut(free, full, less, left)
		put := full*in + less*(left-in)
		switch {
		case need == Needed && math.Abs(put-free) > 1e-6*(free+full*left):
			t.Errorf("cut in %v s puts %v into %v", in, put, free)
		case need == NotNeeded && full*left > free*(1+1e-9):
			t.Errorf("it would be full without a cut")
		case need == NotEnough && less*left < free*(1-1e-9):
			t.Errorf("a cut at once would do")
		}
	})
}
