package chance

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// goldenVariates are what testdata/golden_draws.csv holds draws of. Add at the
// end, with rows of their own; never change what is there.
func goldenVariates(t *testing.T) map[string]Variate {
	t.Helper()
	out := map[string]Variate{}
	for _, l := range []Law{
		must(Fixed(7)), must(Exponential(3)), must(Weibull(0.7, 2)), must(Weibull(3.2, 5)), must(WeibullMean(1.5, 80)),
		must(Lognormal(11, 26)), must(Told(4, 8, 26)), must(Gamma(0.5, 2)), must(Gamma(30, 0.1)),
		must(Triangular(1, 2, 7)), must(Pert(1, 2, 7)), must(Uniform(2, 5)),
	} {
		out[l.String()] = l
	}
	// Air-conditioning failures, hours: Proschan (1963), as in R boot::aircondit.
	e, err := NewEmpirical([]float64{3, 5, 7, 18, 43, 85, 91, 98, 100, 130, 230, 487})
	if err != nil {
		t.Fatal(err)
	}
	out["empirical { air conditioning }"] = e
	out["mixture { 9 lognormal, 1 weibull }"] = mixture(t, Part{9, must(Lognormal(600, 1500))}, Part{1, must(Weibull(1.5, 90000))})
	return out
}

func goldenKey(t *testing.T, text string) (l Luck, p Purpose, entity, index uint64) {
	t.Helper()
	var v [5]uint64
	for i, w := range strings.Fields(text) {
		n, err := strconv.ParseUint(w, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		v[i] = n
	}
	return Luck{v[0], v[1]}, Purpose(v[2]), v[3], v[4]
}

// The draws of the file must never change: a recorded run, and every figure that
// was ever published from one, would mean something else. There is no switch that
// renews the file. Bits are compared exactly, values to 1e-12, because logarithms
// may differ in the last place between processors.
func TestGoldenDrawsFile(t *testing.T) {
	variates := goldenVariates(t)
	seen := map[string]int{}
	for _, r := range rows(t, "golden_draws.csv") {
		l, p, entity, index := goldenKey(t, r[1])
		if got := fmt.Sprintf("%016x", l.Bits(p, entity, index)); got != r[2] {
			t.Errorf("key %s: bits %s, want %s", r[1], got, r[2])
		}
		v := variates[r[0]]
		if v == nil {
			t.Fatal("no variate ", r[0])
		}
		want, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := l.From(v, p, entity, index); !close(got, want, 1e-12) {
			t.Errorf("%s, key %s: %.17g, want %.17g", r[0], r[1], got, want)
		}
		seen[r[0]]++
	}
	for name := range variates {
		if seen[name] != 12 {
			t.Errorf("%s: %d rows", name, seen[name])
		}
	}
	if math.IsNaN(unit(0)) || len(seen) != 14 {
		t.Error(len(seen), "variates")
	}
}
