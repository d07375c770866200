package cashflow

import (
	"errors"
	"math"
	"strings"
	"testing"

	"millrace/sim/reftable"
)

var rows, number, near = reftable.Rows, reftable.Number, reftable.NearRel

func numbers(t *testing.T, s string) (v []float64) {
	t.Helper()
	for _, f := range strings.Fields(s) {
		v = append(v, number(t, f))
	}
	return v
}

// after finds the number behind a word in the parameters.
func after(t *testing.T, text, word string) float64 {
	t.Helper()
	_, rest, ok := strings.Cut(text, word)
	if !ok {
		t.Fatalf("no %q in %q", word, text)
	}
	return number(t, strings.TrimRight(strings.Fields(strings.TrimLeft(rest, "= "))[0], ";,"))
}

// printed is half a unit of the last digit shown.
func printed(s string) float64 {
	_, digits, _ := strings.Cut(s, ".")
	return 0.5001 * math.Pow(10, -float64(len(digits)))
}

// Every row of the table: the value to 1e-13 (it was computed with 50 digits and
// printed with 15), the published figure to its printed digits.
func TestTable(t *testing.T) {
	const exact = 1e-13
	seen := map[string]int{}
	for _, r := range rows(t, "dcf.csv") {
		p := r["parameters"]
		flows := numbers(t, r["flows"])
		what := r["measure"] + " " + p + " " + r["flows"]
		var got float64
		var err error
		switch r["measure"] {
		case "npv_end":
			got, err = NPVEnd(after(t, p, "rate"), flows)
		case "npv_end_minus_initial", "npv_begin":
			got, err = NPV(after(t, p, "rate"), flows)
		case "irr", "irr_all_roots":
			rates, e := IRR(flows)
			if e != nil {
				t.Fatal(what, e)
			}
			want := numbers(t, strings.ReplaceAll(r["value"], "none", ""))
			if _, all, ok := strings.Cut(r["source"], "all roots r>-1:"); ok {
				// the value is then the root nearest to zero of several printed ones
				for i, root := range numbers(t, all) {
					if i >= len(rates.All) {
						t.Fatalf("%s: only %v", what, rates.All)
					}
					near(t, what, rates.All[i], root, 1e-11)
					if math.Abs(root-want[0]) < 1e-9 {
						near(t, what, rates.All[i], want[0], exact)
					}
				}
				if len(numbers(t, all)) != len(rates.All) {
					t.Errorf("%s: %v", what, rates.All)
				}
			} else {
				if len(rates.All) != len(want) {
					t.Fatalf("%s: %v, want %v", what, rates.All, want)
				}
				for i := range want {
					near(t, what, rates.All[i], want[i], exact)
				}
			}
			if r["published"] != "" {
				best := math.Inf(1)
				for _, x := range rates.All {
					best = math.Min(best, math.Abs(x-number(t, r["published"])))
				}
				if best > printed(r["published"]) {
					t.Errorf("%s: published %s, have %v", what, r["published"], rates.All)
				}
			}
			seen[r["measure"]]++
			continue
		case "mirr":
			got, err = MIRR(flows, after(t, p, "finance"), after(t, p, "reinvest"))
		case "xnpv":
			days := p[strings.Index(p, "days")+4 : strings.Index(p, "(")]
			var dated []Dated
			for i, d := range numbers(t, days) {
				dated = append(dated, Dated{int(d), flows[i]})
			}
			got, err = XNPV(after(t, p, "rate"), dated)
			checkXIRR(t, dated)
		case "capital_recovery_A/P":
			got, err = CapitalRecovery(after(t, p, "i="), after(t, p, "n="))
		case "series_present_worth_P/A":
			got, err = SeriesPresentWorth(after(t, p, "i="), after(t, p, "n="))
		case "equivalent_annual_cost":
			got, err = EquivalentAnnualCost(after(t, p, "i="), after(t, p, "n="), after(t, p, "first cost"), after(t, p, "annual"), after(t, p, "salvage"))
		case "discounted_payback":
			var b Back
			b, err = DiscountedPayback(after(t, p, "rate"), flows)
			got = b.Periods
		case "equivalent_annual_worth":
			got, err = EquivalentAnnual(after(t, p, "rate"), flows)
		case "effective_rate":
			got, err = Effective(after(t, p, "nominal"), after(t, p, "m="))
		case "real_to_nominal":
			got, err = Nominal(after(t, p, "real"), after(t, p, "inflation"))
		default:
			t.Fatal("unknown measure ", r["measure"])
		}
		if err != nil {
			t.Fatal(what, err)
		}
		seen[r["measure"]]++
		near(t, what, got, number(t, r["value"]), exact)
		if r["published"] != "" {
			tolerance := printed(r["published"])
			if r["measure"] == "equivalent_annual_cost" {
				// printed from factors of five digits; the largest first cost
				// times half a unit of the fifth digit
				tolerance = 25000 * 0.5e-5
			}
			if math.Abs(got-number(t, r["published"])) > tolerance {
				t.Errorf("%s = %v, published %s", what, got, r["published"])
			}
		}
	}
	n := 0
	for _, k := range seen {
		n += k
	}
	if n != 30 {
		t.Errorf("checked %d rows: %v", n, seen)
	}
}

// The rate of the dated flows is printed as 0.373362535 in the documentation of
// spreadsheets; the root itself is 0.3733625335 (50-digit arithmetic).
func checkXIRR(t *testing.T, flows []Dated) {
	t.Helper()
	r, err := XIRR(flows)
	if err != nil || len(r.All) != 1 {
		t.Fatal(r, err)
	}
	if math.Abs(r.All[0]-0.373362535) > 1e-6 || math.Abs(r.All[0]-0.3733625335) > 5e-11 {
		t.Errorf("XIRR %.12g", r.All[0])
	}
	if v, _ := XNPV(r.All[0], flows); math.Abs(v) > 1e-9 {
		t.Errorf("value at the rate of return %g", v)
	}
}

func TestPaybackByHand(t *testing.T) {
	for _, c := range []struct {
		flows   []float64
		periods float64
		reached bool
		falls   bool
	}{
		{[]float64{-100, 39, 59, 55, 20}, 2 + 2./55, true, false},
		{[]float64{-100, 50, 50}, 2, true, false},
		{[]float64{-0.3, 0.1, 0.1, 0.1}, 3, true, false}, // sums in binary miss zero
		{[]float64{-100, 50, 49}, 0, false, false},
		{[]float64{100, -50}, 0, true, false},
		{[]float64{0, -100, 200}, 1.5, true, false}, // nothing to be back before the first spending
		{[]float64{-100, 200, -150, 100}, 0.5, true, true},
		{[]float64{-5}, 0, false, false},
	} {
		b, err := Payback(c.flows)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(b.Periods-c.periods) > 1e-12 || b.Reached != c.reached || b.FallsBack != c.falls {
			t.Errorf("%v: %+v", c.flows, b)
		}
	}
	// At rate 0 discounting changes nothing.
	a, _ := Payback([]float64{-100, 39, 59, 55, 20})
	b, _ := DiscountedPayback(0, []float64{-100, 39, 59, 55, 20})
	near(t, "discounted at 0", b.Periods, a.Periods, 1e-13)
}

// The factors are tied to each other by identities of any text.
func TestFactorIdentities(t *testing.T) {
	two := func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, i := range []float64{-0.3, -1e-9, 0, 1e-12, 1e-6, 0.08, 0.5, 3} {
		for _, n := range []float64{0.5, 1, 7, 40} {
			near(t, "A/P x P/A", two(CapitalRecovery(i, n))*two(SeriesPresentWorth(i, n)), 1, 1e-13)
			near(t, "A/F x F/A", two(SinkingFund(i, n))*two(SeriesCompoundAmount(i, n)), 1, 1e-13)
			near(t, "F/P x P/F", two(CompoundAmount(i, n))*two(PresentWorth(i, n)), 1, 1e-13)
			if d := two(CapitalRecovery(i, n)) - two(SinkingFund(i, n)) - i; math.Abs(d) > 1e-12*(1+i) {
				t.Errorf("A/P - A/F - i = %g at %g, %g", d, i, n)
			}
			if n == 7 {
				flows := []float64{0, 1, 1, 1, 1, 1, 1, 1}
				near(t, "P/A by NPV", two(NPV(i, flows)), two(SeriesPresentWorth(i, n)), 1e-12)
			}
			near(t, "nominal of effective", two(Effective(two(NominalOfEffective(i, n)), n)), i, 1e-9)
			near(t, "real of nominal", two(Real(two(Nominal(i, 0.03)), 0.03)), i, 1e-6)
		}
	}
	// Engineering-economy factor tables, 10 % and 8 %, from memory.
	for _, c := range []struct {
		got     float64
		printed string
	}{
		{two(GradientPresentWorth(0.10, 5)), "6.8618"}, {two(GradientSeries(0.10, 5)), "1.8101"},
		{two(SeriesCompoundAmount(0.08, 10)), "14.4866"}, {two(SinkingFund(0.08, 10)), "0.06903"},
		{two(CompoundAmount(0.08, 10)), "2.1589"}, {two(PresentWorth(0.08, 10)), "0.4632"},
		{two(EffectiveContinuous(0.10)), "0.10517"},
	} {
		if math.Abs(c.got-number(t, c.printed)) > printed(c.printed) {
			t.Errorf("%v, printed %s", c.got, c.printed)
		}
	}
	for _, i := range []float64{1e-9, 0.08, 0.5} { // the closed form where it holds its digits
		q := math.Pow(1+i, 7)
		if i > 0.01 {
			near(t, "P/G", two(GradientPresentWorth(i, 7)), ((q-1)/i-7)/(i*q), 1e-12)
		} else {
			near(t, "P/G", two(GradientPresentWorth(i, 7)), 21, 1e-7)
		}
	}
	near(t, "mid-year", two(NPVMid(0.1, []float64{0, 110, 121})), (110/1.1+121/1.21)*math.Sqrt(1.1), 1e-14)
	near(t, "end of year", two(NPVEnd(0.1, []float64{110, 121})), 200, 1e-14)
}

func TestRefusals(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	second := func(_ any, err error) error { return err }
	ok := []float64{-1, 2}
	for name, c := range map[string]struct{ err, want error }{
		"npv of none":    {second(NPV(0.1, nil)), ErrFlows},
		"npv nan":        {second(NPV(0.1, []float64{nan})), ErrNumber},
		"npv rate":       {second(NPV(-1, ok)), ErrRate},
		"npv rate nan":   {second(NPV(nan, ok)), ErrNumber},
		"irr of one":     {second(IRR(ok[:1])), ErrFlows},
		"irr inf":        {second(IRR([]float64{-1, inf})), ErrNumber},
		"irr zeros":      {second(IRR([]float64{0, 0})), ErrSign},
		"xirr of one":    {second(XIRR([]Dated{{0, 1}})), ErrFlows},
		"xirr zeros":     {second(XIRR([]Dated{{0, 0}, {1, 0}})), ErrSign},
		"xnpv nan":       {second(XNPV(0.1, []Dated{{0, nan}})), ErrNumber},
		"mirr one way":   {second(MIRR([]float64{1, 2}, 0.1, 0.1)), ErrSign},
		"mirr rate":      {second(MIRR(ok, -2, 0.1)), ErrRate},
		"payback none":   {second(Payback(nil)), ErrFlows},
		"payback rate":   {second(DiscountedPayback(-1, ok)), ErrRate},
		"a/p of nothing": {second(CapitalRecovery(0, 0)), ErrPeriods},
		"p/g none":       {second(GradientPresentWorth(0.1, 0)), ErrPeriods},
		"a/g rate":       {second(GradientSeries(-1, 4)), ErrRate},
		"a/p rate":       {second(CapitalRecovery(-1, 5)), ErrRate},
		"effective":      {second(Effective(0.1, 0)), ErrPeriods},
		"annual of one":  {second(EquivalentAnnual(0.1, ok[:1])), ErrFlows},
		"overflow":       {second(NPV(-0.999999, append(make([]float64, 1000), 1))), ErrNumber},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: %v, want %v", name, c.err, c.want)
		}
	}
	if _, err := IRR(make([]float64, mostFlows+1)); err == nil {
		t.Error("too many flows taken")
	}
}
