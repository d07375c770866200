package capital

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/measure"
	_ "millrace/sim/propseed"
	"millrace/sim/works"
)

// TestBook is by hand: 1,000 t a week of three products of equal share, known for 28 d.
func TestBook(t *testing.T) {
	b := NewBook([]Product{{"A", "", 2}, {"B", "", 2}, {"C", "", 2}}, 1000, 1250, 28)
	if b.Ordered != 999 || b.CanMake != 1251 || b.Lines[1].Ordered != 333 || b.Lines[2].CanMake != 417 {
		t.Errorf("%+v: a third of 1000 is 333, of 1250 417, and totals are sums of lines", b)
	}
	if b.Share != 0.8 || b.Ahead != 3996 {
		t.Errorf("%+v: 0.8 is ordered, four weeks of 999 t lie ahead", b)
	}
}

// TestSplit: the parts are whole, none is a unit off, and they add up to the rounded sum.
func TestSplit(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 20).Draw(r, "x")
		parts, total := split(x)
		sum, all := Money(0), 0.0
		for i, p := range parts {
			if math.Abs(float64(p)-x[i]) > 1+1e-6 {
				r.Fatalf("%v became %d", x[i], p)
			}
			sum += p
			all += x[i]
		}
		if sum != total || math.Abs(float64(total)-all) > 0.5+1e-6 {
			r.Fatalf("parts add up to %d, total %d of %v", sum, total, all)
		}
	})
}

// TestTieIn: by hand, losses of 1, 2 and 6 have the mean 3, the standard deviation
// 2.6458 and, with Student's t of two degrees 4.3027 (from memory, any table), the
// interval -3.6 to 9.6: as good as nothing.
func TestTieIn(t *testing.T) {
	c := &Case{Options: []Option{{}, {TieIn: &works.Plant{}, TieInLength: 33 * 86400}}}
	ties := make([][][2]played, 2)
	for _, lost := range []float64{1, 2, 6} {
		var with measure.Account
		with[measure.Margin], with[measure.IronLost], with[measure.Fuel] = 3*lost, lost, -3*lost
		ties[1] = append(ties[1], [2]played{{done: true, years: make([]measure.Account, 1)}, {done: true, years: []measure.Account{with}}})
	}
	got, err := c.tieIn(1, ties, []int{0, 1, 2})
	if err != nil || got.Futures != 3 || got.Days != 33 || got.Mean != 3 || got.Low != -4 || got.High != 10 || !got.Luck() {
		t.Errorf("%+v %v", got, err)
	}
	if want := []LineGainOf{{"margin dispatched", 9}, {"fuel", -9}, {"iron lost", 3}}; err != nil || !slices.Equal(got.By, want) {
		t.Errorf("by line %v, want %v", got.By, want)
	}
	if none, err := c.tieIn(0, ties, []int{0}); none != nil || err != nil {
		t.Errorf("nothing stops for the first option, and %+v %v was found", none, err)
	}
	if (&TieIn{Low: 1, High: 9}).Luck() || (&TieIn{Low: -9, High: -1}).Luck() {
		t.Error("an interval without nothing in it is no luck")
	}
}
