package chance

import (
	"math"
	"os"
	"sort"
	"strconv"
	"testing"
)

// Exact quantiles of D: two independent programs agree to 1e-13 of each other in
// the file, and so must this.
func TestKolmogorovTable(t *testing.T) {
	n := 0
	for _, r := range rows(t, "ks_critical.csv") {
		size, _ := strconv.Atoi(r[0])
		p, _ := strconv.ParseFloat(r[1], 64)
		want, _ := strconv.ParseFloat(r[2], 64)
		got, err := KolmogorovQuantile(size, p)
		if err != nil {
			t.Fatal(err)
		}
		n++
		if math.Abs(got-want) > 5e-14 {
			t.Errorf("n %d p %v: %.16g, want %.16g", size, p, got, want)
		}
		if r[4] != "" {
			if printed, _ := strconv.ParseFloat(r[4], 64); math.Abs(got-printed) > 5.001e-6 {
				t.Errorf("n %d p %v: %v, published %s", size, p, got, r[4])
			}
		}
	}
	if n != 36 {
		t.Error(n, "rows")
	}
	// The exact law and its limit meet.
	for _, x := range []float64{0.6, 0.9, 1.1, 1.36, 1.63, 2.5} {
		d := x / math.Sqrt(mostExact)
		if a, b := KolmogorovCDF(mostExact, d), KolmogorovCDF(mostExact+1, d*math.Sqrt(mostExact/(mostExact+1.))); math.Abs(a-b) > 3.5e-5 {
			t.Errorf("%v: exact %v, limit %v", x, a, b)
		}
	}
	// One value: D is the larger of u and 1-u, uniform from 1/2 to 1.
	for _, d := range []float64{0.3, 0.6, 0.75, 0.99, 1} {
		if got := KolmogorovCDF(1, d); math.Abs(got-math.Max(0, 2*d-1)) > 1e-15 {
			t.Error(d, got)
		}
	}
	if !math.IsNaN(KolmogorovCDF(0, 0.5)) || !math.IsNaN(KolmogorovCDF(5, math.NaN())) {
		t.Error("nonsense")
	}
}

// The Monte Carlo table is a band: its own standard error is 0.3 to 0.6 % (A2) and
// 0.2 to 0.3 % (D) at the 5 % point and more in the 1 % tail.
func TestCriticalValuesInTheirBand(t *testing.T) {
	cases := map[string]Case{"known": Known, "exponential": FittedExponential, "normal_or_lognormal": FittedLognormal, "weibull": FittedWeibull}
	factor := map[string]func(n float64) float64{
		"known":               func(float64) float64 { return 1 },
		"exponential":         func(n float64) float64 { return 1 + 0.6/n },
		"normal_or_lognormal": func(n float64) float64 { return 1 + 0.75/n + 2.25/(n*n) },
		"weibull":             func(n float64) float64 { return 1 + 0.2/math.Sqrt(n) },
	}
	seen := 0
	for _, r := range rows(t, "gof_critical_montecarlo.csv") {
		c := cases[r[0]]
		n, _ := strconv.Atoi(r[1])
		var v [7]float64
		for i, s := range r[2:] {
			v[i], _ = strconv.ParseFloat(s, 64)
		}
		p, a2, modified, published, d := v[0], v[1], v[2], v[3], v[4]
		if f := factor[r[0]](float64(n)); !close(a2*f, modified, 1e-12) {
			t.Errorf("%v: factor", r)
		}
		gotA, err := CriticalA2(c, n, p)
		if err != nil {
			t.Fatal(err)
		}
		gotD, err := CriticalD(c, n, p)
		if err != nil {
			t.Fatal(err)
		}
		bandA, bandD := 0.012, 0.008
		if p > 0.95 {
			bandA, bandD = 0.02, 0.012
		}
		if c == Known {
			bandA += 0.05 / float64(n) // one point for all n of 5 and more
		}
		if !close(gotA, a2, bandA) {
			t.Errorf("%s n %d p %v: A2 %.4f, Monte Carlo %.4f (%+.2f %%)", r[0], n, p, gotA, a2, 100*(gotA/a2-1))
		}
		if !close(gotD, d, bandD) {
			t.Errorf("%s n %d p %v: D %.4f, Monte Carlo %.4f (%+.2f %%)", r[0], n, p, gotD, d, 100*(gotD/d-1))
		}
		// The published points are for large n.
		if limit, _ := CriticalA2(c, 1000000, p); r[5] != "" && !close(limit, published, 0.008) {
			t.Errorf("%v: %v for large n, published %v", r[:3], limit, published)
		}
		seen++
	}
	if seen != 60 {
		t.Error(seen, "rows")
	}
}

// The cases differ as they must, whatever n, and what is not tabled is refused.
func TestCriticalValuesOrder(t *testing.T) {
	for n := 10; n < 3000; n = n*3/2 + 1 {
		last := [4][2]float64{}
		for _, p := range confidences {
			var a, d [4]float64
			for c := Known; c <= FittedWeibull; c++ {
				var e1, e2 error
				a[c], e1 = CriticalA2(c, n, p)
				d[c], e2 = CriticalD(c, n, p)
				if e1 != nil || e2 != nil {
					t.Fatal(e1, e2)
				}
				if a[c] <= last[c][0] || d[c] <= last[c][1] {
					t.Errorf("%v n %d: falls with confidence", c, n)
				}
				last[c] = [2]float64{a[c], d[c]}
			}
			if !(a[Known] > a[FittedExponential] && a[FittedExponential] > a[FittedLognormal] && d[Known] > d[FittedExponential] && d[FittedExponential] > d[FittedWeibull]) {
				t.Errorf("n %d p %v: %v %v", n, p, a, d)
			}
		}
	}
	for _, bad := range []error{
		second(CriticalA2(Known, 4, 0.95)), second(CriticalA2(FittedWeibull, 9, 0.95)), second(CriticalD(Known, 50, 0.94)),
		second(CriticalD(Case(9), 50, 0.95)), second(KolmogorovQuantile(0, 0.5)), second(KolmogorovQuantile(5, 1)),
		second(KolmogorovQuantile(5, math.NaN())),
	} {
		if bad == nil {
			t.Error("taken")
		}
	}
	if _, err := Distance(must(Exponential(1)), nil); err == nil {
		t.Error("distance of nothing")
	}
	if FittedWeibull.String() != "fitted weibull" || Known.String() != "known" {
		t.Error("names")
	}
}

func second[T any](_ T, err error) error { return err }

// A sample of the law itself is rejected at the 5 % point in 5 % of cases in every
// case; the points for a known law, used on fitted ones, hardly ever reject: that
// is the trap. The counts are binomial: 4.9 standard errors.
func TestCriticalValuesReject(t *testing.T) {
	samples := 4000
	if os.Getenv("MILLRACE_NIGHTLY") != "" {
		samples = 200000
	}
	const n = 25
	for c, law := range map[Case]Law{Known: must(Exponential(2)), FittedExponential: must(Exponential(2)), FittedLognormal: must(Lognormal(2, 5)), FittedWeibull: must(Weibull(1.7, 3))} {
		a, _ := CriticalA2(c, n, 0.95)
		d, _ := CriticalD(c, n, 0.95)
		knownD, _ := CriticalD(Known, n, 0.95)
		var far, farD, trap int
		x, s := make([]float64, n), make([]Spell, n)
		for k := range uint64(samples) {
			for i := range x {
				x[i] = Luck{77, uint64(c)}.Draw(law, 1, k, uint64(i))
				s[i] = Spell{Length: x[i]}
			}
			l := law
			if c != Known {
				f, err := FitLaw(law.Kind(), s)
				if err != nil {
					t.Fatal(err)
				}
				l = f.Law
				if c == FittedLognormal { // the tabled case has divisor n-1
					l.b *= math.Sqrt(float64(n) / (n - 1))
				}
			}
			g, err := Distance(l, x)
			if err != nil {
				t.Fatal(err)
			}
			if g.A2 > a {
				far++
			}
			if g.D > d {
				farD++
			}
			if g.D > knownD {
				trap++
			}
		}
		m := float64(samples)
		// 1 % of the value is about 3 % of the share
		limit := 4.9*math.Sqrt(m*0.05*0.95) + 0.03*0.05*m
		if math.Abs(float64(far)-0.05*m) > limit || math.Abs(float64(farD)-0.05*m) > limit {
			t.Errorf("%v: %d and %d rejected of %d", c, far, farD, samples)
		}
		if c != Known && float64(trap) > 0.02*m {
			t.Errorf("%v: the points of the known law reject %d", c, trap)
		}
	}
}

// The points of the Weibull case come from this; the nightly run repeats it with
// other luck.
func TestWeibullPoints(t *testing.T) {
	if os.Getenv("MILLRACE_NIGHTLY") == "" {
		t.Skip("needs two minutes; set MILLRACE_NIGHTLY=1")
	}
	for _, n := range []int{10, 25, 60, 300} {
		samples := min(200000, 8000000/n)
		a2, d := make([]float64, samples), make([]float64, samples)
		x, s := make([]float64, n), make([]Spell, n)
		law := must(Weibull(1.4, 5))
		for j := range samples {
			for i := range x {
				x[i] = Luck{2031, 8}.Draw(law, Purpose(n), uint64(j), uint64(i))
				s[i] = Spell{Length: x[i]}
			}
			f, err := FitWeibull(s)
			if err != nil {
				t.Fatal(err)
			}
			g, _ := Distance(f.Law, x)
			a2[j], d[j] = g.A2, g.D
		}
		sort.Float64s(a2)
		sort.Float64s(d)
		for _, p := range confidences {
			at := int(p * float64(samples))
			wantA, _ := CriticalA2(FittedWeibull, n, p)
			wantD, _ := CriticalD(FittedWeibull, n, p)
			if !close(a2[at], wantA, 0.02) || !close(d[at], wantD, 0.01) {
				t.Errorf("n %d p %v: A2 %.4f for %.4f, D %.4f for %.4f", n, p, wantA, a2[at], wantD, d[at])
			}
		}
	}
}

// The bootstrap agrees with the critical values: the 5 % point has a share of
// 5 %; the bearings look Weibull, gamma and lognormal, not exponential.
func TestBootstrap(t *testing.T) {
	bearings := lengths(sets(t)["ball_bearings"])
	luck := Luck{5, 6}
	e, err := Bootstrap(KindExponential, bearings, 999, luck, 3)
	if err != nil || e.ShareA2 > 0.01 || e.ShareD > 0.05 || e.Samples != 999 {
		t.Errorf("exponential: %+v %v", e, err)
	}
	samples := 199
	for _, k := range []Kind{KindWeibull, KindLognormal, KindGamma} {
		g, err := Bootstrap(k, bearings, samples, luck, 3)
		if err != nil || g.ShareA2 < 0.1 || g.ShareD < 0.1 || g.ShareW2 < 0.1 {
			t.Errorf("%v: %+v %v", k, g, err)
		}
		again, _ := Bootstrap(k, bearings, samples, luck, 3)
		if again != g {
			t.Errorf("%v: not the same twice", k)
		}
	}
	// Exponential data with A2 scaled to its 5 % point: shares near it.
	a, _ := CriticalA2(FittedExponential, len(bearings), 0.95)
	far := 0
	for s := range 999 {
		x := make([]float64, len(bearings))
		for i := range x {
			x[i] = luck.Draw(e.Fit.Law, 3, uint64(s), uint64(i))
		}
		f, _ := FitExponential(Spells(x...))
		if d, _ := Distance(f.Law, x); d.A2 > a {
			far++
		}
	}
	if math.Abs(float64(far)-0.05*999) > 4.9*math.Sqrt(999*0.05*0.95) {
		t.Errorf("%d of 999 bootstrap samples beyond the 5 %% point", far)
	}
	if _, err := Bootstrap(KindWeibull, bearings, 5, luck, 3); err == nil {
		t.Error("five samples")
	}
	if _, err := Bootstrap(KindPert, bearings, 99, luck, 3); err == nil {
		t.Error("pert")
	}
}
