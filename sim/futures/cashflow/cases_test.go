package cashflow_test

import (
	"math"
	"testing"

	"millrace/sim/futures/cashflow"
)

// TestRatesOutside holds the rates of streams with one, several and no rate, below
// zero too, against the eigenvalues of the companion matrix (NumPy 1.24.2, roots).
func TestRatesOutside(t *testing.T) {
	for _, c := range []struct {
		flows, want []float64
	}{
		{[]float64{-1000, 2300, -1320}, []float64{0.1, 0.2}},
		{[]float64{-1e6, 3.6e6, -4.31e6, 1.716e6}, []float64{0.1, 0.2, 0.3}},
		{[]float64{-100, 300, -297.5, 97.5}, []float64{-0.1581138830084, 0, 0.1581138830084}},
		{[]float64{-1000, 500, -500, 700}, []float64{-0.1379903211}},
		{[]float64{-1000, 200, 200, 200, 200, 200, -100}, []float64{-0.6624114729, -0.0384391076}},
		{[]float64{-50, 40, -30, 60, -10, 25, -20}, []float64{-0.4231794374, 0.1453724876}},
		{[]float64{1000, -500, -400, -300}, []float64{0.1065168124}},
		{[]float64{-100, 20, 20}, []float64{-0.4417424305}},
		{[]float64{0, -100, 60, 60}, []float64{0.1306623863}},
		{[]float64{100, -300, 350}, nil},
		{[]float64{-10, -10}, nil},
	} {
		r, err := cashflow.IRR(c.flows)
		if err != nil || len(r.All) != len(c.want) {
			t.Errorf("%v: %v (%v), want %v", c.flows, r.All, err, c.want)
			continue
		}
		for i, want := range c.want {
			if math.Abs(r.All[i]-want) > 1e-9 {
				t.Errorf("%v: %v, want %v", c.flows, r.All, c.want)
			}
		}
	}
}

// TestDatedOutside holds dated flows against a root search in the sum itself
// (SciPy 1.10.1, brentq); the order of the list does not matter to the rates.
func TestDatedOutside(t *testing.T) {
	d := cashflow.Date
	for _, c := range []struct {
		flows []cashflow.Dated
		want  []float64
	}{
		{[]cashflow.Dated{{Day: d(2015, 1, 1), Amount: -1000}, {Day: d(2016, 7, 1), Amount: 400}, {Day: d(2018, 2, 28), Amount: 900}}, []float64{0.10533139556040105}},
		{[]cashflow.Dated{{Day: d(2020, 2, 29), Amount: -1000}, {Day: d(2020, 3, 30), Amount: 900}}, []float64{-0.7224866597107424}},
		{[]cashflow.Dated{{Day: d(2022, 1, 1), Amount: -132}, {Day: d(2020, 1, 1), Amount: -100}, {Day: d(2021, 1, 1), Amount: 230}}, []float64{0.1033979277006523, 0.1925857862637258}},
	} {
		r, err := cashflow.XIRR(c.flows)
		if err != nil || len(r.All) != len(c.want) {
			t.Errorf("%v: %v (%v), want %v", c.flows, r.All, err, c.want)
			continue
		}
		for i, want := range c.want {
			if math.Abs(r.All[i]-want) > 1e-9 {
				t.Errorf("%v: %v, want %v", c.flows, r.All, c.want)
			}
		}
	}
}

// TestPaybackOrders: years without money, a stream that falls back, one that is
// never back, one that begins with money received; discounted by hand.
func TestPaybackOrders(t *testing.T) {
	for _, c := range []struct {
		rate  float64
		flows []float64
		want  cashflow.Back
	}{
		{0, []float64{-1000, 400, 400, 400, -300}, cashflow.Back{Periods: 2.5, Reached: true, FallsBack: true}},
		{0, []float64{-1000, 400, 400, 100}, cashflow.Back{}},
		{0, []float64{500, -200, -200}, cashflow.Back{Reached: true}},
		{0, []float64{0, -100, 50, 60}, cashflow.Back{Periods: 2 + 50.0/60, Reached: true}},
		{0, []float64{0, 0, -100, 20}, cashflow.Back{}},
		{0, []float64{0, 0}, cashflow.Back{Reached: true}},
		{0.1, []float64{-1000, 1100}, cashflow.Back{Periods: 1, Reached: true}},
		// 363.636 + 330.579 + 300.526 are 5.259 short; the fourth is 273.205.
		{0.1, []float64{-1000, 400, 400, 400, 400}, cashflow.Back{Periods: 3 + 5.259203606/273.2053822, Reached: true}},
	} {
		b, err := cashflow.DiscountedPayback(c.rate, c.flows)
		if err != nil || b.Reached != c.want.Reached || b.FallsBack != c.want.FallsBack || math.Abs(b.Periods-c.want.Periods) > 1e-8 {
			t.Errorf("%v at %v: %+v (%v), want %+v", c.flows, c.rate, b, err, c.want)
		}
	}
}

// TestSignsByHand: spending and receiving in any order (sums by hand).
func TestSignsByHand(t *testing.T) {
	for _, c := range []struct {
		what string
		f    func() (float64, error)
		want float64
	}{
		{"npv", func() (float64, error) { return cashflow.NPV(-0.5, []float64{-1, 1, 1}) }, 5},
		{"npv of a loan", func() (float64, error) { return cashflow.NPV(0.08, []float64{500, -200, -200, -200}) }, -15.419397449575712},
		{"mid-year", func() (float64, error) { return cashflow.NPVMid(0.1, []float64{-1000, 400, 400, 400}) }, 43.29294889352394},
		{"mirr", func() (float64, error) { return cashflow.MIRR([]float64{-1000, -4000, 5000, 2000}, 0.1, 0.12) }, 0.17908568603489283},
		{"mirr, received first", func() (float64, error) { return cashflow.MIRR([]float64{100, -50, -80, 60}, 0.08, 0.05) }, 0.1522754559352284},
		{"two years", func() (float64, error) { return cashflow.EquivalentAnnual(0.1, []float64{-1000, 600, 600}) }, 23.80952380952381},
		{"five years", func() (float64, error) {
			return cashflow.EquivalentAnnual(0.1, []float64{-1500, 450, 450, 450, 450, 450})
		}, 54.30377880788179},
	} {
		if got, err := c.f(); err != nil || math.Abs(got-c.want) > 1e-10*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%s: %.15g (%v), want %.15g", c.what, got, err, c.want)
		}
	}
}

// TestLongHorizons: nothing in a far period is worth nothing at any rate; and a
// large sum of later years does not blur when the money of the first is back.
func TestLongHorizons(t *testing.T) {
	flows := make([]float64, 1000)
	flows[0], flows[1] = -1, 0.02
	if got, err := cashflow.NPV(-0.99, flows); err != nil || math.Abs(got-1) > 1e-12 {
		t.Errorf("-1+0.02/0.01 is %v, %v", got, err)
	}
	if got, err := cashflow.DiscountedPayback(-0.99, flows); err != nil || !got.Reached || math.Abs(got.Periods-0.5) > 1e-12 {
		t.Errorf("1 is back after half of the period that brings 2: %+v, %v", got, err)
	}
	got, err := cashflow.Payback([]float64{-1, 0.995, 0, 0, 0, 1e12})
	if want := 4 + 0.005/1e12; err != nil || math.Abs(got.Periods-want) > 1e-12 {
		t.Errorf("back after %+v, %v, want %v", got, err, want)
	}
}
