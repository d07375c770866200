package capital

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/futures/cashflow"
	"millrace/sim/measure"
	"millrace/sim/works"
)

func load(t *testing.T, text string) *scripting.CaseFile {
	t.Helper()
	disk := scripting.DiskThen(scenarios.FS)
	c, err := scripting.LoadCase("case.lua", func(name string) ([]byte, error) {
		if name == "case.lua" {
			return []byte(text), nil
		}
		return disk("../../../" + name)
	})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const head = `case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 1, discount = "10 %" }
option "carry on" {}
`

func options(in *scripting.CaseFile) (out []Option) {
	for i := range in.Options {
		o := &in.Options[i]
		x := Option{Name: o.Name, Role: o.Role, Plant: o.Works.Plant, Takes: o.Takes, Salvage: o.Salvage, Changed: len(o.Changes) > 0}
		for _, p := range o.Pays {
			x.Pays = append(x.Pays, Payment{p.What, p.Amount, p.After})
		}
		for _, p := range o.Running {
			x.Running = append(x.Running, Payment{p.What, p.Amount, p.After})
		}
		for _, r := range o.Ramp {
			x.Ramp = append(x.Ramp, Ramp{r.Share, r.For})
		}
		out = append(out, x)
	}
	return out
}

// Options meet the same upsets: the n-th upset of a kind on a unit comes at the same
// operating age of the unit, also when the option has units more, so that the numbers
// of all others have moved.
func TestSameUpsetsAtTheSameAges(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a year of operation; run without -short")
	}
	in := load(t, head+`option "third furnace, shorter wrecks" {
  pays = { what = "x", amount = "1 EUR" },
  changes = { furnaces = { F3 = { like = "F1" } } },
  upsets = { ["stand wreck"] = { lasts = "2 h" } } }`)
	type key struct {
		spec int
		unit string
		no   int32
	}
	var ages [2]map[key]calendar.Time
	for i, o := range options(in) {
		ages[i] = map[key]calendar.Time{}
		c := &futures.Case{Scenario: "x", Plant: o.Plant, SoldOut: true, Background: true, Length: calendar.Day, Seed: 7}
		g, err := c.Game(false, 3, nil)
		if err != nil {
			t.Fatal(err)
		}
		g.Works().Ages = func(spec int, unit string, no int32, age calendar.Time) { ages[i][key{spec, unit, no}] = age }
		if err := g.Run(120 * calendar.Day); err != nil {
			t.Fatal(err)
		}
	}
	both, operating := 0, 0
	plant := in.Options[0].Works.Plant
	specs := plant.Spec.Upsets
	for k, a := range ages[0] {
		b, ok := ages[1][k]
		if !ok {
			continue
		}
		both++
		// Kinds by the calendar come at the same time, not at the same age; kinds by
		// use are drawn for each piece.
		if u := plant.UnitsNamed(k.unit); len(u) == 0 || plant.ClockOf(&specs[k.spec], u[0]) != works.ByOperating {
			continue
		}
		operating++
		if a != b {
			t.Errorf("%s on %s, number %d: after %v h of operation in one option, %v h in the other", specs[k.spec].Name, k.unit, k.no, a.Hours(), b.Hours())
		}
	}
	if operating < 200 || both < 300 {
		t.Errorf("only %d upsets in both, %d by operating time: the test says little", both, operating)
	}
	if n := len(ages[0]); float64(both) < 0.9*float64(n) {
		t.Errorf("%d of %d upsets in common", both, n)
	}
}

// With luck in common the interval is at most a third of that of separate samples.
func TestPairingPays(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a year of operation; run without -short")
	}
	in := load(t, head+`option "better" { pays = { what = "x", amount = "1 EUR" },
  upsets = { ["gauge, looper or drive trip"] = { lasts = lognormal { median = "8 min", one_in_ten = "45 min" } } } }`)
	c := &Case{Name: "x", Years: 1, Life: 1, Discount: 0.1, SoldOut: true, Options: options(in), Seed: 1, Futures: 6}
	a, err := Decide(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	if p := a.Options[1].Pairing; !(p > 0 && p <= 1./3) {
		t.Errorf("paired over unpaired half width is %.3f", p)
	}
	again := *c
	again.Workers = 1
	b, err := Decide(context.Background(), &again, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("the answer depends on the number of workers")
	}
}

// TestCoverage repeats 400 small cases whose worth is known: stops come at random and
// each costs money; the option makes them cost half. Ten futures of two years each. The
// 95 % interval must hold the true worth as often as it says, within the exact binomial
// limits of a chance of 0.95 (two in ten thousand are outside).
func TestCoverage(t *testing.T) {
	const n, futures, rate, cost = 400, 10, 8.0, 1000.0
	law, err := chance.Exponential(cost)
	if err != nil {
		t.Fatal(err)
	}
	c := &Case{Name: "x", Years: 2, Life: 2, Discount: 0.08, SoldOut: true, Futures: futures, Workers: 1, Options: make([]Option, 2)}
	in := load(t, head+`option "b" { pays = { what = "x", amount = "2000 EUR" }, changes = { coilers = { strip_out = "46 s" } } }`)
	c.Options = options(in)
	c.stub = func(j *job, option int) {
		luck := chance.Luck{Seed: c.Seed, Future: j.future}
		for y := range j.years {
			var a measure.Account
			stops := 0
			for left := 1.0; ; stops++ {
				if left += math.Log(luck.Uniform(1, uint64(y), uint64(stops))) / rate; left < 0 {
					break
				}
				x := law.Quantile(luck.Uniform(2, uint64(y), uint64(stops)))
				if option == 1 {
					x /= 2
				}
				a[measure.Scrap] += x
			}
			j.to.years, j.to.out = append(j.to.years, a), append(j.to.out, 0)
		}
		j.to.done = true
	}
	truth, err := cashflow.NPV(0.08, []float64{-2000, rate * cost / 2, rate * cost / 2})
	if err != nil {
		t.Fatal(err)
	}
	held := 0
	for k := range n {
		c.Seed = uint64(1000 + k)
		a, err := Decide(context.Background(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		if v := a.Options[1].NPV; float64(v.Low) <= truth && truth <= float64(v.High) {
			held++
		}
	}
	low, high := binomialBand(n, 0.95, 1e-4)
	t.Logf("%d of %d intervals hold the true worth (band %d to %d)", held, n, low, high)
	if held < low || held > high {
		t.Errorf("%d of %d intervals hold the true worth, outside %d to %d", held, n, low, high)
	}
}

// binomialBand gives counts that are below, and above, with a chance of at most tail.
func binomialBand(n int, p, tail float64) (low, high int) {
	lg := func(x int) float64 { v, _ := math.Lgamma(float64(x) + 1); return v }
	mass := func(k int) float64 {
		return math.Exp(lg(n) - lg(k) - lg(n-k) + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
	}
	for s := 0.0; s+mass(low) <= tail; low++ {
		s += mass(low)
	}
	high = n
	for s := 0.0; s+mass(high) <= tail; high-- {
		s += mass(high)
	}
	return low, high
}

// Printed totals are sums of printed lines, year by year and in all.
func TestMoneyAddsUp(t *testing.T) {
	in := load(t, strings.Replace(head, "years = 1", "years = 1, life = 5", 1)+`option "b" { pays = { { what = "x", amount = "1,234,567.89 EUR" }, { what = "y", amount = "333.33 EUR", after = "18 months" } },
  running = { what = "z", amount = "77,777.77 EUR/year" }, takes = "7 months", ramp = { share = "40 %", for_ = "4 months" }, salvage = "1000.5 EUR", changes = { coilers = { strip_out = "46 s" } } }`)
	c := &Case{Name: "x", Years: 3, Life: 5, Discount: 0.1, SoldOut: true, Options: options(in), Seed: 3, Futures: 4, Workers: 4}
	c.stub = func(j *job, option int) {
		for y := range j.years {
			var a measure.Account
			a[measure.Fuel] = 1e6 + 0.37*float64(y) + float64(j.future)/7 - 54321.987*float64(option)
			j.to.years, j.to.out = append(j.to.years, a), append(j.to.out, 0)
		}
		j.to.done = true
	}
	a, err := Decide(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	o := &a.Options[1]
	sum, npv := Money(0), Money(0)
	for _, y := range o.Flow {
		lines := Money(0)
		for _, v := range y.Lines {
			lines += v
		}
		if lines != y.Total {
			t.Errorf("year %d: lines add up to %d, total is %d", y.Year, lines, y.Total)
		}
		if sum += y.Total; sum != y.Cumulative {
			t.Errorf("year %d: sum so far is %d, said to be %d", y.Year, sum, y.Cumulative)
		}
		npv += y.Discounted
	}
	if d := npv - o.NPV.Mean; d < -2 || d > 2 {
		t.Errorf("discounted flows add up to %d, worth is %d", npv, o.NPV.Mean)
	}
	// By hand: the first year has 7 months of building, 4 of the ramp, 1 of all.
	if got, want := o.Flow[1].Lines[LineGain], round(54321.987*(4*0.4+1)/12); got != want {
		t.Errorf("gain of the first year is %d, by hand %d", got, want)
	}
	if got, want := o.Flow[1].Lines[LineRunning], round(-77777.77*5/12); got != want {
		t.Errorf("running cost of the first year is %d, by hand %d", got, want)
	}
	if o.Flow[0].Lines[LineCapital] != -1234568 || o.Flow[2].Lines[LineCapital] != -333 {
		t.Errorf("paid %d and %d", o.Flow[0].Lines[LineCapital], o.Flow[2].Lines[LineCapital])
	}
}

// A stopped case answers from the futures that are whole, and says so.
func TestStopped(t *testing.T) {
	in := load(t, head+`option "b" { pays = { what = "x", amount = "1 EUR" }, changes = { coilers = { strip_out = "46 s" } } }`)
	ctx, cancel := context.WithCancel(context.Background())
	c := &Case{Name: "x", Years: 1, Life: 1, Discount: 0.1, SoldOut: true, Options: options(in), Futures: 50, Workers: 1}
	plays := 0
	c.stub = func(j *job, option int) {
		if plays++; plays == 11 {
			cancel()
		}
		j.to.years, j.to.out, j.to.done = make([]measure.Account, 1), make([]float64, 1), true
	}
	a, err := Decide(ctx, c, nil)
	if err == nil || a == nil {
		t.Fatalf("answer %v, error %v", a, err)
	}
	if a.Futures != 5 || a.Wanted != 50 || !slices.ContainsFunc(a.Warnings, func(s string) bool {
		return s == fmt.Sprintf("stopped early: %d of %d futures are whole, and what was not finished is left out", 5, 50)
	}) {
		t.Errorf("answered from %d of %d futures, warnings %q", a.Futures, a.Wanted, a.Warnings)
	}
}

// BenchmarkWorksYear is one option's year of one future, with records, account and
// active spells: a case of 3 options, 20 futures and 5 years is 300 of them.
func BenchmarkWorksYear(b *testing.B) {
	in, err := scripting.LoadCase("../../../scenarios/larkfell/cases/spare-stand-parts.lua", scripting.DiskThen(scenarios.FS))
	if err != nil {
		b.Fatal(err)
	}
	c := &Case{Name: "x", SoldOut: true, Seed: 1, Workers: 1}
	for i := range b.N {
		var p played
		if err := c.run(context.Background(), []job{{plant: in.Options[0].Works.Plant, sold: true, future: uint64(i), years: 1, watch: true, to: &p}}, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// The verdict says no to a proposal that loses for sure, whoever leads, and why.
func TestNoToTheProposal(t *testing.T) {
	in := load(t, head+`option "less" { role = "do less", pays = { what = "x", amount = "10 EUR" }, changes = { coilers = { strip_out = "46 s" } } }
option "dear" { pays = { what = "x", amount = "1 MEUR" }, changes = { coilers = { strip_out = "46 s" } } }`)
	c := &Case{Name: "x", Years: 1, Life: 1, Discount: 0.1, SoldOut: true, Options: options(in), Futures: 12, Workers: 1}
	c.stub = func(j *job, option int) {
		var a measure.Account
		if option > 0 {
			a[measure.Scrap] = 1000 * (float64(j.future%2) - 0.6)
		}
		j.to.years, j.to.out, j.to.done = []measure.Account{a}, make([]float64, 1), true
	}
	a, err := Decide(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := `No to the proposal: "dear" is worth -999,`; !strings.Contains(a.Verdict, want) || !strings.Contains(a.Verdict, "hardly ever limits the works") {
		t.Errorf("got %s, want %s", a.Verdict, want)
	}
}
