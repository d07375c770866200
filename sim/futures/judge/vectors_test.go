package judge

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func series(t *testing.T) []float64 {
	t.Helper()
	var y []float64
	for _, r := range table(t, "method_vectors.csv") {
		if r["method"] == "series" {
			for _, s := range strings.Fields(r["input"]) {
				y = append(y, number(t, s))
			}
		}
	}
	if len(y) != 200 {
		t.Fatalf("series of %d", len(y))
	}
	return y
}

func TestDataMeans(t *testing.T) {
	for i, c := range []string{"B", "C", "D"} {
		near(t, c, must[Mean](t)(MeanInterval(plansABCD(t)[i+1], 0.95)).Mean, vector(t, "data", c, "mean"), 1e-14)
	}
}

func TestUnpairedAgainstR(t *testing.T) {
	y := plansABCD(t)
	w := must[Apart](t)(Unpaired(y[0], y[1], 0.95))
	near(t, "df", w.Degrees, vector(t, "welch_t", "B-A", "df"), 1e-11)
	near(t, "half", w.Half, vector(t, "welch_t", "B-A", "half_width"), 1e-10)
	near(t, "difference", w.Difference, 6.29, 1e-12)
	if _, err := Unpaired([]float64{1, 1}, []float64{2, 2}, 0.95); err == nil {
		t.Error("no spread taken")
	}
}

// The vectors were made with scipy's t, good to 5e-9 in the tail; R's, of the tables,
// is ours to 1e-12.
func TestAllPairsVectors(t *testing.T) {
	y := plansABCD(t)
	name := []string{"A", "B", "C", "D"}
	all := must[[]Difference](t)(AllPairs(y, 0.95))
	if len(all) != 6 {
		t.Fatal(len(all))
	}
	for _, d := range all {
		c := name[d.Plan] + "-" + name[d.Against]
		near(t, c+" half", d.Pair.Difference.Half, vector(t, "all_pairwise_bonferroni_paired", c, "half_width"), 2e-9)
		near(t, c+" mean", d.Pair.Difference.Mean, vector(t, "all_pairwise_bonferroni_paired", c, "mean_difference"), 1e-12)
	}
	with := must[[]Difference](t)(AgainstStandard(y, 0, 0.95))
	if len(with) != 3 {
		t.Fatal(len(with))
	}
	for _, d := range with {
		near(t, "half", d.Pair.Difference.Half, vector(t, "with_standard_bonferroni_paired", name[d.Plan]+"-A", "half_width"), 2e-9)
	}
	if _, err := AgainstStandard(y, 4, 0.95); err == nil {
		t.Error("no such standard taken")
	}
}

func TestChanceMeanBestApartVectors(t *testing.T) {
	p := must[[]float64](t)(ChanceMeanBestApart(plansABCD(t), LargerBetter))
	for i, c := range []string{"A", "B", "C", "D"} {
		near(t, "P("+c+")", p[i], vector(t, "prob_best_independent_t", c, "P(best)"), 1e-9)
	}
	y := plansABCD(t)
	q := must[[]float64](t)(ChanceMeanBest(y[:2], LargerBetter))
	near(t, "paired B over A", q[1], vector(t, "prob_best_paired", "B over A", "P"), 1e-12)
	// Negated values with the other sense are the same question.
	for i := range y {
		for r := range y[i] {
			y[i][r] = -y[i][r]
		}
	}
	for i, v := range must[[]float64](t)(ChanceMeanBestApart(y, SmallerBetter)) {
		nearAbs(t, "negated", v, p[i], 1e-13)
	}
}

func TestSelectionVectors(t *testing.T) {
	y := plansABCD(t)
	name := []string{"A", "B", "C", "D"}
	h := must[float64](t)(Rinott(4, 10, 0.95))
	near(t, "h", h, 3.476289803, 1e-9)
	for i, c := range name {
		m := must[Mean](t)(MeanInterval(y[i], 0.95))
		if n := must[int](t)(SecondStage(10, m.SD, h, 5)); float64(n) != vector(t, "rinott_second_stage", c, "N") {
			t.Errorf("%s: %d", c, n)
		}
	}
	s := must[Screen](t)(ScreenPlans(y, 10, 5, 0.05, LargerBetter))
	for i, c := range name {
		if dropped := s.DroppedAt[i] == 10; dropped != (vector(t, "kn_first_screen", c, "eliminated") == 1) {
			t.Errorf("%s: %+v", c, s)
		}
	}
	if !s.Finished || s.Choice != 1 || s.Futures != 10 {
		t.Errorf("%+v", s)
	}
	share := must[[]float64](t)(BudgetShares([]float64{100, 98, 95, 99.5, 90}, []float64{5, 8, 6, 4, 12}, 0, LargerBetter))
	for i := range share {
		near(t, "share", share[i], vector(t, "ocba_fractions", "system "+strconv.Itoa(i+1), "fraction"), 1e-13)
	}
	if _, err := BudgetShares([]float64{1, 1}, []float64{1, 1}, 0, LargerBetter); err == nil {
		t.Error("a tie taken")
	}
	if s, err := BudgetShares([]float64{1, 1}, []float64{1, 1}, 0.1, LargerBetter); err != nil || s[0] != s[1] {
		t.Error(s, err)
	}
}

// The rule of the header of selection_kn.csv worked plainly for two plans: dropped at
// the first r at which the mean is worse by more than max(0, delta/(2r) (h2 S2/delta^2
// - r)), at the latest when r passes h2 S2/delta^2.
func TestScreenByHand(t *testing.T) {
	late := 0
	for rep := range uint64(200) {
		l := newLuck(70, rep)
		a, b := make([]float64, 500), make([]float64, 500)
		for r := range a {
			a[r], b[r] = 5*l.normal(), 1+5*l.normal()
		}
		const n0, delta, alpha = 12, 2.0, 0.05
		s := must[Screen](t)(ScreenPlans([][]float64{a, b}, n0, delta, alpha, LargerBetter))
		h2 := (math.Pow(2*alpha, -2./(n0-1)) - 1) * (n0 - 1)
		d := make([]float64, n0)
		for r := range d {
			d[r] = b[r] - a[r]
		}
		_, v := meanVariance(d)
		most := h2 * v / (delta * delta)
		sum, at, choice := 0.0, 0, 0
		for r := 1; at == 0; r++ {
			sum += b[r-1] - a[r-1]
			if r < n0 {
				continue
			}
			n := float64(r)
			if slack := math.Max(0, delta/(2*n)*(most-n)); math.Abs(sum/n) > slack || n > math.Floor(most) {
				at = r
				if sum > 0 {
					choice = 1
				}
			}
		}
		if s.Futures != at || s.Choice != choice || !s.Finished {
			t.Fatalf("rep %d: %+v, by hand at %d plan %d", rep, s, at, choice)
		}
		if at > n0 {
			late++
		}
	}
	if late < 100 {
		t.Errorf("only %d went beyond the first stage", late)
	}
}

func TestWarmUpVectors(t *testing.T) {
	y := series(t)
	w := must[WarmUp](t)(WarmUpEnd(y))
	if float64(w.Batches) != vector(t, "mser5", "Y", "d_batches") || float64(w.Drop) != vector(t, "mser5", "Y", "truncated") || w.TooShort {
		t.Errorf("%+v", w)
	}
	near(t, "MSER", w.Value, vector(t, "mser5", "Y", "MSER at d"), 1e-12)
	near(t, "MSER at 0", w.AtStart, vector(t, "mser5", "Y", "MSER at 0"), 1e-12)
	near(t, "mean", w.Mean, vector(t, "mser5", "Y", "mean after"), 1e-13)
	if vector(t, "mser5", "Y", "d over all") != float64(w.Batches) {
		t.Error("over all d")
	}
	m := must[[]float64](t)(MovingAverage(y, 5))
	if len(m) != 195 {
		t.Error(len(m))
	}
	for _, i := range []int{1, 3, 6, 100, 195} {
		near(t, "moving average", m[i-1], vector(t, "welch_moving_average", "Y", "at i="+strconv.Itoa(i)+" "), 1e-13)
	}
	// A series that still rises has not settled: say so.
	rising := make([]float64, 100)
	for i := range rising {
		rising[i] = float64(i)
	}
	if w := must[WarmUp](t)(WarmUpEnd(rising)); !w.TooShort {
		t.Errorf("rising: %+v", w)
	}
	// One cut for all plans: the longest.
	late := slices.Clone(y)
	for i := range 60 {
		late[i] -= 100
	}
	drop, short, err := CommonWarmUp([][][]float64{{y, y}, {late, late}})
	if l := must[WarmUp](t)(WarmUpEnd(late)); err != nil || drop != l.Drop || drop < 60 || short {
		t.Error(drop, short, err)
	}
	if _, err := WarmUpEnd(y[:9]); err == nil {
		t.Error("nine taken")
	}
	if _, err := MovingAverage(y[:4], 2); err == nil {
		t.Error("short series taken")
	}
}

func TestBatchVectors(t *testing.T) {
	y := series(t)[40:]
	n := 0
	for _, r := range table(t, "method_vectors.csv") {
		if r["method"] != "batch_means" {
			continue
		}
		n++
		want := number(t, r["value"])
		if r["parameters"] == "naive iid" {
			near(t, "naive", must[Mean](t)(MeanInterval(y, 0.95)).Half, want, 1e-9)
			continue
		}
		b := whole(t, strings.Fields(strings.TrimPrefix(r["parameters"], "b="))[0])
		m := must[Batched](t)(BatchMeans(y, b, 0.95))
		switch {
		case strings.HasPrefix(r["quantity"], "half_width"):
			near(t, r["parameters"], m.Mean.Half, want, 1e-9)
		case strings.HasPrefix(r["quantity"], "lag1"):
			near(t, r["parameters"], m.LagOne, want, 1e-12)
		default:
			near(t, r["parameters"], m.VonNeumann, want, 1e-12)
			if m.Longer != (want > 1.645) {
				t.Errorf("%s: longer %v", r["parameters"], m.Longer)
			}
		}
	}
	if n != 13 {
		t.Errorf("checked %d rows", n)
	}
	if _, err := BatchMeans(y, 2, 0.95); err == nil {
		t.Error("two batches taken")
	}
	// One server at load 0.5 and 0.8: 1 % at 95 % needs 0.92 and 4.3 million service
	// times (W. Whitt 1989; variance 2 r (1+r)/(1-r)^4, mean r/(1-r)).
	for _, r := range table(t, "asymptotic_variance.csv") {
		rho, v := number(t, r["rho"]), number(t, r["asyvar_L_formula"])
		near(t, "variance", 2*rho*(1+rho)/math.Pow(1-rho, 4), v, 1e-12)
		l := must[float64](t)(RunLength(rho/(1-rho), v, 0.01, 0.95))
		switch rho {
		case 0.5:
			nearAbs(t, "run length", l, 0.92e6, 0.005e6)
		case 0.8:
			nearAbs(t, "run length", l, 4.3e6, 0.05e6)
		}
	}
}

func TestNISTLagOne(t *testing.T) {
	for name, x := range nistSets(t) {
		for _, r := range table(t, "nist_univariate_certified.csv") {
			if r["dataset"] == name {
				tolerance := 1e-12
				switch name {
				case "NumAcc3":
					tolerance = 1e-9
				case "NumAcc4":
					tolerance = 1e-7
				}
				near(t, name+" lag 1", must[float64](t)(LagOne(x)), number(t, r["certified_lag1"]), tolerance)
			}
		}
	}
}

func TestControlVectors(t *testing.T) {
	y := plansABCD(t)
	c := must[Controlled](t)(ControlVariates(y[1], [][]float64{y[0]}, []float64{410}, 0.95))
	const method, name = "control_variate", "y=B x=A known mean of x 410"
	near(t, "beta", c.Coefficients[0], vector(t, method, name, "beta"), 1e-12)
	near(t, "estimate", c.Estimate, vector(t, method, name, "estimate"), 1e-13)
	near(t, "se", c.SE, vector(t, method, name, "se"), 1e-11)
	near(t, "half", c.Half, vector(t, method, name, "half"), 1e-9)
	// A control that explains everything, with a second one that adds nothing.
	x := []float64{1, 2, 3, 4, 5, 7}
	z := []float64{1, -1, 0, 2, -2, 1}
	v := make([]float64, len(x))
	for i := range v {
		v[i] = 10 + 2*x[i]
	}
	c = must[Controlled](t)(ControlVariates(v, [][]float64{x, z}, []float64{3, 0}, 0.95))
	near(t, "estimate", c.Estimate, 16, 1e-12)
	nearAbs(t, "half", c.Half, 0, 1e-12)
	nearAbs(t, "second", c.Coefficients[1], 0, 1e-12)
	for name, err := range map[string]error{
		"same":   second(ControlVariates(v, [][]float64{x, x}, []float64{3, 3}, 0.95)),
		"flat":   second(ControlVariates(v, [][]float64{{1, 1, 1, 1, 1, 1}}, []float64{3}, 0.95)),
		"few":    second(ControlVariates(v[:3], [][]float64{x[:3]}, []float64{3}, 0.95)),
		"means":  second(ControlVariates(v, [][]float64{x}, nil, 0.95)),
		"ragged": second(ControlVariates(v, [][]float64{x[:4]}, []float64{3}, 0.95)),
	} {
		if err == nil {
			t.Error(name, "taken")
		}
	}
}

// exp(U), the textbook case of S. M. Ross, Simulation: the closed forms of the table
// against what keyed luck gives, within 4.9 standard errors or so.
func TestVarianceReductionVectors(t *testing.T) {
	const n = 200000
	crude, u, pair, e1, e2 := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		u[i] = newLuck(20, uint64(i)).uniform()
		crude[i] = math.Exp(u[i])
		pair[i] = (math.Exp(u[i]) + math.Exp(1-u[i])) / 2
		e1[i], e2[i] = -math.Log1p(-u[i]), -math.Log(u[i])
	}
	variance := func(x []float64) float64 { m := must[Mean](t)(MeanInterval(x, 0.95)); return m.SD * m.SD }
	near(t, "crude", variance(crude), vector(t, "variance_reduction", "exp(U)", "variance"), 0.015)
	near(t, "antithetic", variance(pair), vector(t, "variance_reduction", "exp(U)", "variance of"), 0.015)
	c := must[Controlled](t)(ControlVariates(crude, [][]float64{u}, []float64{0.5}, 0.95))
	near(t, "coefficient", -c.Coefficients[0], vector(t, "variance_reduction", "exp(U)", "optimal"), 0.003)
	for _, r := range table(t, "method_vectors.csv") {
		if r["parameters"] == "control variate U, optimal coefficient" {
			near(t, "controlled", c.SE*c.SE*n, number(t, r["value"]), 0.015)
		}
	}
	near(t, "correlation", must[Pair](t)(Paired(e1, e2, 0.95)).Correlation, vector(t, "variance_reduction", "exponential pair", "correlation"), 0.02)
}

func TestQuantileTypes(t *testing.T) {
	a := plansABCD(t)[0]
	n := 0
	for _, r := range table(t, "method_vectors.csv") {
		if r["method"] != "quantile_estimate" {
			continue
		}
		f := strings.FieldsFunc(r["parameters"], func(c rune) bool { return c == '=' || c == ' ' })
		near(t, r["parameters"], must[float64](t)(QuantileOfType(a, number(t, f[1]), whole(t, f[3]))), number(t, r["value"]), 1e-14)
		n++
	}
	if n != 8 {
		t.Errorf("checked %d rows", n)
	}
	// 1..10 at 0.5 by every rule (Hyndman & Fan 1996, by hand from their table 1).
	ten := []float64{10, 1, 9, 2, 8, 3, 7, 4, 6, 5}
	for kind, want := range []float64{0, 5, 5.5, 5, 5, 5.5, 5.5, 5.5, 5.5, 5.5} {
		if kind > 0 {
			nearAbs(t, "type "+strconv.Itoa(kind), must[float64](t)(QuantileOfType(ten, 0.5, kind)), want, 1e-12)
		}
	}
	for kind, want := range []float64{0, 3, 3, 2, 2.5, 3, 2.75, 3.25, 2 + 11./12, 2.9375} {
		if kind > 0 {
			nearAbs(t, "quartile of type "+strconv.Itoa(kind), must[float64](t)(QuantileOfType(ten, 0.25, kind)), want, 1e-12)
		}
	}
	for _, kind := range []int{0, 10} {
		if _, err := QuantileOfType(ten, 0.5, kind); err == nil {
			t.Error("type taken", kind)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 40).Draw(t, "x")
		p := rapid.Float64Range(0, 1).Draw(t, "p")
		seven, err := QuantileOfType(x, p, 7)
		plain, _ := Quantile(x, p)
		if err != nil || math.Abs(seven-plain) > 1e-9*(1+math.Abs(plain)) {
			t.Fatal(seven, plain, err)
		}
		for kind := 1; kind <= 9; kind++ {
			v, err := QuantileOfType(x, p, kind)
			if err != nil || v < slices.Min(x) || v > slices.Max(x) {
				t.Fatal(kind, v, err)
			}
		}
	})
}

func TestExactProportions(t *testing.T) {
	n := 0
	for _, r := range table(t, "proportion_ci.csv") {
		x, m := whole(t, r["x"]), whole(t, r["n"])
		lo, hi, err := ClopperPearson(x, m, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		nearAbs(t, "exact lower", lo, number(t, r["exact_lower"]), 1e-13)
		nearAbs(t, "exact upper", hi, number(t, r["exact_upper"]), 1e-13)
		lo, hi, err = Jeffreys(x, m, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		nearAbs(t, "jeffreys lower", lo, number(t, r["jeffreys_lower"]), 1e-13)
		nearAbs(t, "jeffreys upper", hi, number(t, r["jeffreys_upper"]), 1e-13)
		n++
	}
	if n != 12 {
		t.Errorf("checked %d rows", n)
	}
	if _, _, err := ClopperPearson(3, 2, 0.95); err == nil {
		t.Error("3 of 2 taken")
	}
	if _, _, err := Jeffreys(1, 2, 1); err == nil {
		t.Error("level 1 taken")
	}
}

// Newcombe 1998, paired, tables of worked examples: 36, 12, 2, 0 gives 0.0569 to
// 0.3404 by method 10 (from memory). McNemar's statistic of Agresti's ratings of a
// prime minister, 794, 150, 86, 570: 17.36 (from memory; 64^2/236).
func TestPairedShares(t *testing.T) {
	p := must[PairedShares](t)(PairedDifference(Both{36, 12, 2, 0}, 0.95))
	nearAbs(t, "difference", p.Difference, 0.2, 1e-15)
	nearAbs(t, "low", p.Low, 0.0569, 5.001e-5)
	nearAbs(t, "high", p.High, 0.3404, 5.001e-5)
	p = must[PairedShares](t)(PairedDifference(Both{794, 150, 86, 570}, 0.95))
	nearAbs(t, "chi-square", p.ChiSquare, 17.36, 0.005)
	if p.Low <= 0 || p.High >= 0.08 || p.Differ != 236 || p.Futures != 1600 {
		t.Errorf("%+v", p)
	}
	// Airway measurements before and after a transplant, 1, 1, 7, 12: -0.507 to -0.026,
	// exact probability 0.070 (M. W. Fagerland, S. Lydersen, P. Laake, Statistics in
	// Medicine 33 (2014) 2850, from memory). Here the correlation is corrected to 0.
	p = must[PairedShares](t)(PairedDifference(Both{1, 1, 7, 12}, 0.95))
	nearAbs(t, "low", p.Low, -0.507, 5.001e-4)
	nearAbs(t, "high", p.High, -0.026, 5.001e-4)
	nearAbs(t, "exact", p.Chance, 0.070, 5.001e-4)
	// Exact: 1 against 5 of 6 differing: 2 (1+6)/64.
	p = must[PairedShares](t)(PairedDifference(Both{10, 5, 1, 10}, 0.95))
	near(t, "exact", p.Chance, 14./64, 1e-12)
	// Nothing differs: no difference, no evidence, limits around 0.
	p = must[PairedShares](t)(PairedDifference(Both{5, 0, 0, 15}, 0.95))
	if p.Difference != 0 || p.Chance != 1 || p.ChiSquare != 0 || p.Low > 0 || p.High < 0 {
		t.Errorf("%+v", p)
	}
	b := must[Both](t)(CountBoth([]bool{true, true, false, false}, []bool{true, false, true, false}))
	if b != (Both{1, 1, 1, 1}) {
		t.Error(b)
	}
	for name, err := range map[string]error{
		"lengths": second(CountBoth([]bool{true}, nil)), "none": second(PairedDifference(Both{}, 0.95)),
		"negative": second(PairedDifference(Both{-1, 2, 2, 2}, 0.95)), "level": second(PairedDifference(Both{1, 2, 2, 2}, 0)),
	} {
		if err == nil {
			t.Error(name, "taken")
		}
	}
}
