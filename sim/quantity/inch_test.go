package quantity

import (
	"math"
	"testing"
)

// Inch units of the older rolling literature, in SI: NIST Special Publication 811,
// appendix B (pound 0.45359237 kg and inch 25.4 mm are exact; short ton 2,000 lb, long ton
// 2,240 lb; kip 1,000 pounds-force).
func TestInchUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want float64
		tol  float64
	}{
		{"2000 lb", Mass, 907.18474, 1e-9},
		{"2240 lb", Mass, 1016.0469088, 1e-9},
		{"1 kip", Force, 4448.2216, 1e-4},
		{"1 ksi", Pressure, 6.894757e6, 1},
		{"1 in", Length, 0.0254, 1e-15},
	} {
		got, err := Parse(c.text, c.d)
		if err != nil || math.Abs(got-c.want) > c.tol {
			t.Errorf("%s is %v (%v), want %v", c.text, got, err, c.want)
		}
	}
	lb, _ := Parse("1 lb", Mass)
	in, _ := Parse("1 in", Length)
	if got := lb / in; math.Abs(got-17.858) > 5e-4 {
		t.Errorf("a pound an inch is %v kg/m, want 17.858", got)
	}
}
