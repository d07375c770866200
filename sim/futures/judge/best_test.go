package judge

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

func TestEquicorrelatedTable(t *testing.T) {
	for _, r := range table(t, "quantile_dunnett_mcb.csv") {
		g := must[float64](t)(EquicorrelatedT(number(t, r["p"]), whole(t, r["m"]), number(t, r["nu"])))
		near(t, "g("+r["p"]+","+r["m"]+","+r["nu"]+")", g, number(t, r["one_sided"]), 1e-8)
		if r["published_one"] != "" {
			nearAbs(t, "printed g("+r["p"]+","+r["m"]+","+r["nu"]+")", g, number(t, r["published_one"]), 0.0051)
		}
	}
	near(t, "g(0.95;3,27)", must[float64](t)(EquicorrelatedT(0.95, 3, 27)), vector(t, "nelson_matejcik", "g", "g="), 1e-8)
}

// At nu = infinity and level 1/(m+1) the value is 0: of m+1 equal normals each
// is the largest equally often. The same holds for any nu.
func TestEquicorrelatedAtZero(t *testing.T) {
	for _, m := range []int{2, 3, 7, 19} {
		for _, nu := range []float64{1, 2, 3, 30, 1000, 1e6, math.Inf(1)} {
			p := newEquicorrelated(m, nu).probability(0)
			nearAbs(t, "P(all <= 0)", p, 1/float64(m+1), 1e-10)
		}
	}
}

func TestBestAgainstNelsonMatejcikAndHsu(t *testing.T) {
	y := plansABCD(t)
	names := []string{"A", "B", "C", "D"}
	for _, delta := range []float64{1, 0.5} {
		c := must[Comparison](t)(Best(y, Options{Sense: LargerBetter, Level: 0.95, Delta: delta, Method: Pooled}))
		near(t, "S2", c.S2, vector(t, "nelson_matejcik", "S2", "S2"), 1e-10)
		near(t, "g", c.G, vector(t, "nelson_matejcik", "g", "g="), 1e-8)
		want := 0
		for _, r := range table(t, "method_vectors.csv") {
			if r["method"] == "nelson_matejcik" && r["parameters"] == "delta="+trim(delta) {
				want = whole(t, r["value"])
			}
		}
		if want == 0 || c.NeededDelta != want {
			t.Errorf("delta %g needs %d, want %d", delta, c.NeededDelta, want)
		}
		if !slices.Equal(c.Leading, []int{1}) || !c.Decided {
			t.Errorf("leading %v decided %v", c.Leading, c.Decided)
		}
		for i, s := range c.Standings {
			// The vectors count upwards: better is positive.
			nearAbs(t, names[i]+" low", -s.High, vector(t, "hsu_mcb_crn", names[i], "lower"), 1e-8)
			nearAbs(t, names[i]+" high", -s.Low, vector(t, "hsu_mcb_crn", names[i], "upper"), 1e-8)
			if s.Out != (i != 1) {
				t.Errorf("plan %s out: %v", names[i], s.Out)
			}
		}
	}
}

// The same numbers as costs: negated values must give the same verdict, and the
// with-standard Bonferroni constant of the vectors (two-sided 0.05/3) is the
// one-sided one at 0.025/3.
func TestBestPairByPair(t *testing.T) {
	y := plansABCD(t)
	neg := make([][]float64, len(y))
	for i := range y {
		neg[i] = asCosts(y[i], LargerBetter)
	}
	for _, m := range []Method{Careful, Pooled, PairByPair} {
		a := must[Comparison](t)(Best(y, Options{Sense: LargerBetter, Level: 0.95, Delta: 1, Method: m}))
		b := must[Comparison](t)(Best(neg, Options{Sense: SmallerBetter, Level: 0.95, Delta: 1, Method: m}))
		for i := range a.Standings {
			p, q := a.Standings[i], b.Standings[i]
			if p.Low != q.Low || p.High != q.High || p.Behind != q.Behind || p.Mean != -q.Mean {
				t.Errorf("method %d plan %d: %+v against %+v", m, i, p, q)
			}
		}
		if a.Decided != b.Decided || a.NeededDelta != b.NeededDelta {
			t.Errorf("method %d: verdicts differ", m)
		}
	}
	// A last as costs: D leads as costs with A its closest rival.
	c := must[Comparison](t)(Best(y, Options{Level: 0.975, Method: PairByPair}))
	if !slices.Equal(c.Leading, []int{3}) {
		t.Fatalf("leading %v", c.Leading)
	}
	near(t, "half to the rival", c.Standings[3].Half, vector(t, "with_standard_bonferroni_paired", "D-A", "half_width"), 1e-8)
	near(t, "half of A", c.Standings[0].Half, vector(t, "with_standard_bonferroni_paired", "D-A", "half_width"), 1e-8)
}

// Two plans: pooled and pair by pair are both the one-sided paired t.
func TestBestOfTwoIsPairedT(t *testing.T) {
	y := plansABCD(t)[:2]
	p := must[Pair](t)(Paired(y[0], y[1], 0.90))
	for _, m := range []Method{Careful, Pooled, PairByPair} {
		c := must[Comparison](t)(Best(y, Options{Level: 0.95, Method: m}))
		near(t, "half", c.Half, p.Difference.Half, 1e-10)
		near(t, "high", c.Standings[1].High, p.Difference.High, 1e-10)
		near(t, "behind", c.Standings[1].Behind, p.Difference.Mean, 1e-12)
		if !c.Decided || c.Standings[0].High != 0 || c.Standings[1].Low != 0 || c.Sphericity != 1 {
			t.Errorf("%+v", c)
		}
	}
}

func TestBestSamePlans(t *testing.T) {
	y := plansABCD(t)
	twice := [][]float64{y[0], y[1], slices.Clone(y[0]), y[2], slices.Clone(y[1]), y[3]}
	one := must[Comparison](t)(Best(y, Options{Level: 0.95, Delta: 1}))
	two := must[Comparison](t)(Best(twice, Options{Level: 0.95, Delta: 1}))
	if len(two.Groups) != 4 || !slices.Equal(two.Groups[0], []int{0, 2}) || !slices.Equal(two.Groups[1], []int{1, 4}) {
		t.Fatalf("groups %v", two.Groups)
	}
	for i, j := range []int{0, 1, 0, 2, 1, 3} {
		if two.Standings[i] != one.Standings[j] {
			t.Errorf("plan %d: %+v, want %+v", i, two.Standings[i], one.Standings[j])
		}
	}
	if two.S2 != one.S2 || two.G != one.G || two.Decided != one.Decided {
		t.Error("doubling a plan changed the verdict")
	}
	all := must[Comparison](t)(Best([][]float64{y[0], y[0]}, Options{Level: 0.95}))
	if all.Decided || len(all.Groups) != 1 || !slices.Equal(all.Leading, []int{0, 1}) || all.NeededGap != 0 {
		t.Errorf("equal plans are ranked: %+v", all)
	}
}

func TestBestWithoutSpread(t *testing.T) {
	flat := func(v float64, n int) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = v + float64(i)
		}
		return x
	}
	c := must[Comparison](t)(Best([][]float64{flat(2, 10), flat(1, 10), flat(4, 10)}, Options{Level: 0.95, Delta: 0.5}))
	if !c.Decided || !slices.Equal(c.Leading, []int{1}) || c.Half != 0 || c.NeededGap != LeastFutures || c.NeededDelta != LeastFutures {
		t.Errorf("constant differences: %+v", c)
	}
	// Shifts that no double holds exactly leave rounding in the differences.
	c = must[Comparison](t)(Best([][]float64{flat(0.1, 12), flat(0.3, 12), flat(0.7, 12), flat(1.9, 12)}, Options{Level: 0.95}))
	if !c.Decided || c.Doubtful || c.NeededGap != LeastFutures {
		t.Errorf("rounding taken for spread: %+v", c)
	}
	c = must[Comparison](t)(Best([][]float64{flat(2, 9), flat(1, 9)}, Options{Level: 0.95}))
	if c.Decided {
		t.Error("decided on nine futures")
	}
	// Different plans with the same mean: a gap of zero is never decided.
	c = must[Comparison](t)(Best([][]float64{{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, {10, 9, 8, 7, 6, 5, 4, 3, 2, 1}}, Options{Level: 0.95}))
	if c.Decided || c.NeededGap != MostFutures {
		t.Errorf("tied means: %+v", c)
	}
}

// Orthogonal columns of equal variance have a Greenhouse-Geisser coefficient of
// 1; one noisy column among k equal ones brings it to its floor 1/(k-1).
func TestSphericity(t *testing.T) {
	c := must[Comparison](t)(Best(cosines(5, 16), Options{Level: 0.95}))
	nearAbs(t, "equal variances", c.Sphericity, 1, 1e-12)
	if c.Doubtful {
		t.Error("equal variances are doubted")
	}
	y := cosines(5, 16)
	for i := range y {
		for r := range y[i] {
			if i != 3 {
				y[i][r] = y[i][r]*1e-6 + float64(i)
			}
		}
	}
	c = must[Comparison](t)(Best(y, Options{Level: 0.95}))
	nearAbs(t, "one noisy plan", c.Sphericity, 0.25, 1e-5)
	if !c.Doubtful || c.Loudest != 3 {
		t.Errorf("doubtful %v, loudest %d", c.Doubtful, c.Loudest)
	}
}

// cosines are k columns over n futures with mean 0, variance 1 (divisor n-1)
// and no correlation: the discrete cosine basis.
func cosines(k, n int) [][]float64 {
	y := make([][]float64, k)
	for j := range y {
		y[j] = make([]float64, n)
		for r := range n {
			y[j][r] = math.Sqrt(2*float64(n-1)/float64(n)) * math.Cos(math.Pi*float64(j+1)*(float64(r)+0.5)/float64(n))
		}
	}
	return y
}

func TestBestProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		k, n := rapid.IntRange(2, 5).Draw(rt, "plans"), rapid.IntRange(2, 14).Draw(rt, "futures")
		y := make([][]float64, k)
		for i := range y {
			y[i] = rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), n, n).Draw(rt, "plan")
		}
		o := Options{Level: 0.95, Delta: 10}
		groups, _ := sameGroups(y)
		if len(groups) < 2 {
			return
		}
		all := map[Method]Comparison{}
		for _, m := range []Method{Careful, Pooled, PairByPair} {
			o.Method = m
			c, err := Best(y, o)
			if err != nil {
				rt.Fatal(err)
			}
			all[m] = c
			for i, s := range c.Standings {
				if s.Low > 0 || s.High < 0 || s.Low > s.High || bad(s.Low) || bad(s.High) {
					rt.Fatalf("limits %+v", s)
				}
				if s.Half > 0 && (s.Behind < s.Low-1e-6 && s.Low < 0) {
					rt.Fatalf("plan %d behind its own limits: %+v", i, s)
				}
			}
			lead := c.Standings[c.Leading[0]]
			if c.Decided && lead.High != 0 {
				rt.Fatalf("decided with %+v", lead)
			}
		}
		c, p, b := all[Careful], all[Pooled], all[PairByPair]
		if c.Decided != (p.Decided && b.Decided) || c.NeededGap != max(p.NeededGap, b.NeededGap) || c.NeededDelta != max(p.NeededDelta, b.NeededDelta) {
			rt.Fatal("careful is not the more careful of the two")
		}
		for i := range y {
			if c.Standings[i].Low != math.Min(p.Standings[i].Low, b.Standings[i].Low) || c.Standings[i].High != math.Max(p.Standings[i].High, b.Standings[i].High) {
				rt.Fatal("careful limits are not the hull")
			}
			// Hsu's form for equal half widths.
			s := p.Standings[i]
			w := p.G * math.Sqrt(p.S2/float64(n))
			tol := 1e-9 * (1 + w + math.Abs(s.Behind))
			if math.Abs(s.Low-math.Min(0, s.Behind-w)) > tol || math.Abs(s.High-math.Max(0, s.Behind+w)) > tol {
				rt.Fatalf("pooled limits %+v, half width %g", s, w)
			}
		}
	})
}

// NoMatter: the leader is behind the truly best plan by no more than the high
// limit, so it holds exactly from Delta = that limit on.
func TestBestNoMatter(t *testing.T) {
	y := plansABCD(t)
	y = [][]float64{y[0], y[2]} // about two apart, not sharply
	for r := range y[1] {
		y[1][r] -= 1.6
	}
	limit := must[Comparison](t)(Best(y, Options{Level: 0.95})).Standings[0].High
	if limit <= 0 {
		t.Fatalf("plans are decided, limit %g", limit)
	}
	for delta, want := range map[float64]bool{0: false, limit * 0.999: false, limit * 1.001: true} {
		c := must[Comparison](t)(Best(y, Options{Level: 0.95, Delta: delta}))
		if c.Decided || c.NoMatter != want {
			t.Errorf("delta %g of %g: no matter %v, decided %v", delta, limit, c.NoMatter, c.Decided)
		}
		for i, s := range c.Standings {
			if s.Out {
				t.Errorf("plan %d is out of an open comparison", i)
			}
		}
	}
}

// Worked by hand with unequal half widths: plans at 0, 1 and 10. The third is out
// (10-0-3 > 0), the first two are open. Being out, the third does not count in
// the second's high limit, where it would make 1-10+12 = 3 of 2.5.
func TestLimitsByHand(t *testing.T) {
	mean := []float64{0, 1, 10}
	w := [][]float64{{0, 1.5, 3}, {1.5, 0, 12}, {3, 12, 0}}
	low, high := limits(mean, w, 0)
	for i, want := range [][2]float64{
		{-2.5, 0.5}, // 0-1-1.5; against all: max(0-1+1.5, 0-10+3)
		{-0.5, 2.5}, // max(1-0-1.5, 1-10-12); against the first only, not 1-10+12 = 3
		{0, 21},     // max(10-0-3, ...) > 0; max(10-0+3, 10-1+12)
	} {
		nearAbs(t, "low", low[i], want[0], 1e-15)
		nearAbs(t, "high", high[i], want[1], 1e-15)
	}
}
