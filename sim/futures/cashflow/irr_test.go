package cashflow

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// More streams with known rates. 25, 33 1/3, 42 6/7 and 66 2/3 % and the pairs
// are textbook examples of several rates; the rest are worked by hand from their
// factors.
func TestSeveralRates(t *testing.T) {
	for _, c := range []struct {
		flows []float64
		want  []float64
	}{
		{[]float64{-252, 1431, -3035, 2850, -1000}, []float64{0.25, 1. / 3, 3. / 7, 2. / 3}},
		{[]float64{-100, 100, 0, -7}, []float64{-0.679, -0.083}}, // to three digits
		{[]float64{-100, 220, -121}, []float64{0.1}},             // touches zero
		{[]float64{-1, 2.2, -1.21}, []float64{0.1}},              // the same in decimals
		{[]float64{-1, 2.2, -1.2100000001}, nil},                 // and just not
		{[]float64{0, 0, -100, 110, 0, 0}, []float64{0.1}},
		{[]float64{-100, 100}, []float64{0}},
		{[]float64{-6, 11, -6, 1}, []float64{-2. / 3, -0.5, 0}}, // (1-x)(2-x)(3-x)
		{[]float64{-100, 320, -341, 121}, []float64{0, 0.1}},    // (x-1)(11x-10)^2
		{[]float64{-100, 50}, []float64{-0.5}},                  // half of it back
		{[]float64{-1, 0, 0, 0, 1e12}, []float64{999}},          // a thousandfold a year
		{[]float64{-1e12, 0, 0, 0, 1}, []float64{-0.999}},       // and the reverse
		{[]float64{5, 5, 5}, nil},                               // one way only
		{[]float64{100, -110}, []float64{0.1}},                  // a loan
	} {
		r, err := IRR(c.flows)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.All) != len(c.want) {
			t.Errorf("%v: %v, want %v", c.flows, r.All, c.want)
			continue
		}
		for i, w := range c.want {
			tolerance := 1e-13 * math.Max(1, math.Abs(w))
			if w == -0.679 || w == -0.083 {
				tolerance = 5e-4
			}
			if math.Abs(r.All[i]-w) > tolerance {
				t.Errorf("%v: %.16g, want %.16g", c.flows, r.All[i], w)
			}
		}
	}
}

func TestOneAndNote(t *testing.T) {
	for _, c := range []struct {
		flows []float64
		one   bool
	}{
		{[]float64{-100, 39, 59, 55, 20}, true},
		{[]float64{-100, 60, 60, -5}, true}, // ends below what it had, but by Norstrom one rate
		{[]float64{-1600, 10000, -10000}, false},
		{[]float64{1000, -3000, 2500}, false},
		{[]float64{1, 2}, false},
	} {
		r, err := IRR(c.flows)
		if err != nil {
			t.Fatal(err)
		}
		_, one := r.One()
		positive := 0
		for _, x := range r.All {
			if x > 0 {
				positive++
			}
		}
		if r.Norstrom && positive > 1 {
			t.Errorf("%v: Norstrom's rule and %v", c.flows, r.All)
		}
		if c.one && len(r.All) == 1 != one || !c.one && one || one != (r.Note() == "") {
			t.Errorf("%v: %+v %q", c.flows, r, r.Note())
		}
	}
}

// Streams built from chosen rates have exactly those; the exact search and the
// search between turning points, which share nothing, agree.
func TestChosenRates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		var want []float64
		for len(want) < n {
			r := float64(rapid.IntRange(-90, 300).Draw(t, "percent")) / 100
			if !slices.Contains(want, r) {
				want = append(want, r)
			}
		}
		slices.Sort(want)
		// product of (1 - (1+r) x), in hundredths, exactly
		p := []*big.Int{big.NewInt(-1)}
		for _, r := range want {
			q := make([]*big.Int, len(p)+1)
			for k := range q {
				q[k] = new(big.Int)
				if k < len(p) {
					q[k].Add(q[k], new(big.Int).Mul(p[k], big.NewInt(100)))
				}
				if k > 0 {
					q[k].Sub(q[k], new(big.Int).Mul(p[k-1], big.NewInt(int64(math.Round(100+100*r)))))
				}
			}
			p = q
		}
		flows := make([]float64, len(p))
		var dated []Dated
		for k := range p {
			v, exact := new(big.Float).SetInt(p[k]).Float64()
			if exact != big.Exact {
				t.Skip("needs flows that a double holds")
			}
			flows[k] = v
			dated = append(dated, Dated{365 * k, v})
		}
		r, err := IRR(flows)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.All) != len(want) {
			t.Fatalf("%v: %v, want %v", flows, r.All, want)
		}
		closest := 1.0
		for i := range want {
			if math.Abs(r.All[i]-want[i]) > 1e-12*(1+math.Abs(want[i])) {
				t.Fatalf("%v: %v, want %v", flows, r.All, want)
			}
			if i > 0 {
				closest = math.Min(closest, want[i]-want[i-1])
			}
		}
		if closest < 0.1 || n > 4 {
			return
		}
		x, err := XIRR(dated)
		if err != nil {
			t.Fatal(err)
		}
		if len(x.All) != len(want) {
			t.Fatalf("dated %v: %v, want %v", flows, x.All, want)
		}
		for i := range want {
			if math.Abs(x.All[i]-want[i]) > 1e-7*(1+math.Abs(want[i])) {
				t.Fatalf("dated %v: %v, want %v", flows, x.All, want)
			}
		}
	})
}

// Any stream: each rate is a zero of the value, no other sign change of the value
// is missed on a grid, and Descartes' rule holds.
func TestRatesAreAllZeros(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flows := rapid.SliceOfN(rapid.Float64Range(-100, 100), 2, 25).Draw(t, "flows")
		r, err := IRR(flows)
		if err != nil {
			return
		}
		if len(r.All) > r.SignChanges {
			t.Fatalf("%v: %d rates of %d changes", flows, len(r.All), r.SignChanges)
		}
		value := func(rate float64) float64 {
			var s sum
			for k, c := range flows {
				s.add(c * math.Pow(1+rate, float64(len(flows)-1-k))) // forward: no overflow near -1
			}
			return s.value()
		}
		crossed := func(lo, hi float64) int {
			n := 0
			for _, x := range r.All {
				if x > lo && x < hi {
					n++
				}
			}
			return n
		}
		for lo := -0.95; lo < 3; lo += 0.05 {
			hi := lo + 0.05
			a, b := value(lo), value(hi)
			if math.Abs(a) < 1e-9 || math.Abs(b) < 1e-9 {
				continue
			}
			odd := crossed(lo, hi)%2 == 1
			if odd != ((a > 0) != (b > 0)) {
				t.Fatalf("%v: value %g at %g, %g at %g, rates %v", flows, a, lo, b, hi, r.All)
			}
		}
	})
}

// A hundred years and forty years of months come back at once.
func TestLongStreams(t *testing.T) {
	flows := make([]float64, 481)
	flows[0] = -1000
	for k := 1; k < len(flows); k++ {
		flows[k] = 12.34
		if k%60 == 0 {
			flows[k] = -300.5
		}
	}
	r, err := IRR(flows)
	if err != nil || len(r.All) == 0 {
		t.Fatal(r, err)
	}
	for _, x := range r.All {
		var size float64
		for k, c := range flows {
			size += math.Abs(c) * discount(x, float64(k))
		}
		if v, _ := NPV(x, flows); math.Abs(v) > 1e-11*size {
			t.Errorf("value %g at rate %g", v, x)
		}
	}
}

func BenchmarkIRRTwentyYears(b *testing.B) {
	flows := []float64{-1000, -500.5}
	for k := 0; k < 18; k++ {
		flows = append(flows, 123.45+float64(k))
	}
	flows = append(flows, -60)
	for b.Loop() {
		if _, err := IRR(flows); err != nil {
			b.Fatal(err)
		}
	}
}
