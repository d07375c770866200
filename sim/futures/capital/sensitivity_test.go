package capital

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"millrace/sim/chance"
	"millrace/sim/measure"
	"millrace/sim/works"
)

// TestSensitivities holds tornado, flips and tail share against arithmetic: ten wrecks
// a year, each costing its hours times the margin of an hour, so that every answer is
// known in closed form from the lengths drawn.
func TestSensitivities(t *testing.T) {
	const perHour, stops, paid = 1000.0, 10, 150_000.0
	in := load(t, head+`option "shorter" { pays = { what = "x", amount = "150,000 EUR" }, upsets = { ["stand wreck"] = { lasts = lognormal { median = "6 h", one_in_ten = "12 h" } } } }`)
	c := &Case{Name: "x", Years: 2, Life: 2, Discount: 0, SoldOut: true, Options: options(in), Seed: 5, Futures: 30, Workers: 1, SmallFutures: 30, SmallYears: 2}
	wreck := -1
	for i, u := range in.Options[0].Works.Plant.Spec.Upsets {
		if u.Name == "stand wreck" {
			wreck = i
		}
	}
	every := in.Options[0].Works.Plant.Spec.Upsets[wreck].Every
	c.stub = func(j *job, _ int) {
		u := &j.plant.Spec.Upsets[wreck]
		luck := chance.Luck{Seed: c.Seed, Future: j.future}
		for y := range j.years {
			var a measure.Account
			for n := range stops {
				d := u.Lasts.Quantile(luck.Uniform(1, uint64(y), uint64(n)))
				a[measure.Margin] += d / 3600 * perHour * every / u.Every
			}
			j.to.years, j.to.out = append(j.to.years, a), append(j.to.out, 0)
		}
		j.to.done = true
	}
	a, err := Decide(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	// The same lengths again, in closed form.
	gain, capped := 0.0, 0.0
	long, short := in.Options[0].Works.Plant.Spec.Upsets[wreck].Lasts, in.Options[1].Works.Plant.Spec.Upsets[wreck].Lasts
	for f := range 30 {
		luck := chance.Luck{Seed: 5, Future: uint64(f)}
		for y := range 2 {
			for n := range stops {
				u := luck.Uniform(1, uint64(y), uint64(n))
				gain += (long.Quantile(u) - short.Quantile(u)) / 3600 * perHour / 30
				v := math.Min(u, 0.9)
				capped += (long.Quantile(v) - short.Quantile(v)) / 3600 * perHour / 30
			}
		}
	}
	near := func(what string, got, want, tolerance float64) {
		t.Helper()
		if math.Abs(got-want) > tolerance*math.Max(1, math.Abs(want)) {
			t.Errorf("%s is %.4g, by arithmetic %.4g", what, got, want)
		}
	}
	near("worth", float64(a.Options[1].NPV.Mean), gain-paid, 1e-4)
	if a.Options[1].TailShare == nil {
		t.Fatalf("no tail share: %q", a.Warnings)
	}
	near("tail share", *a.Options[1].TailShare, 1-capped/gain, 2e-3)
	for _, b := range a.Tornado {
		switch b.What {
		case "contribution per tonne":
			near("contribution low", float64(b.Low), 0.8*gain-paid, 1e-4)
			near("contribution high", float64(b.High), 1.2*gain-paid, 1e-4)
		case "what is paid":
			near("paid high", float64(b.High), gain-1.3*paid, 1e-4)
		case "how often units stop", "how long stops last":
			near(b.What+" low", float64(b.Low), 0.7*gain-paid, 1e-4)
			near(b.What+" high", float64(b.High), 1.3*gain-paid, 1e-4)
		case "gas and fuel price":
			near("gas", float64(b.High-b.Low), 0, 1)
		}
	}
	found := map[string]float64{}
	for _, f := range a.Flips {
		if f.Found {
			found[f.What] = f.Factor
			if f.Becomes != "carry on" {
				t.Errorf("%s: %q takes the lead", f.What, f.Becomes)
			}
		}
	}
	if f, want := found["contribution per tonne"], paid/gain; want > 0.25 {
		near("flip of contribution", f, want, 1e-3)
	} else if f != 0 {
		t.Errorf("contribution flips at %v, by arithmetic beyond the search", f)
	}
	if f, want := found["what is paid"], gain/paid; want < 4 {
		near("flip of what is paid", f, want, 1e-3)
	}
	for _, what := range []string{"how often units stop", "how long stops last"} {
		if want := paid / gain; want > 1./3 {
			near("flip of "+what, found[what], want, 0.1)
		}
	}
	if len(found) < 3 {
		t.Errorf("flips found: %v", found)
	}
}

// A share that luck hides is not told.
func TestTailShareHidden(t *testing.T) {
	if s, ok := tailShare([]float64{10, 11, 9, 10}, []float64{4, 4.5, 3.5, 4}); !ok || math.Abs(s-0.6) > 1e-9 {
		t.Errorf("got %v %v, by hand 0.6", s, ok)
	}
	for _, c := range [][2][]float64{
		{{5, -6, 3, 1}, {1, 1, 1, 1}},      // no gain
		{{10, 11, 9, 10}, {-9, 20, 30, 4}}, // a part that luck hides
		{{10, 10, 10, 10}, {25, 25, 25, 25}},
	} {
		if s, ok := tailShare(c[0], c[1]); ok {
			t.Errorf("%v told of %v", s, c)
		}
	}
}

// A turn that stands out of the luck of the few futures is told; what luck could make is
// not.
func TestFlipHiddenByLuck(t *testing.T) {
	in := load(t, head+`option "shorter" { pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "1 h" } } }`)
	wreck := slices.IndexFunc(in.Options[0].Works.Plant.Spec.Upsets, func(u works.UpsetSpec) bool { return u.Name == "stand wreck" })
	every := in.Options[0].Works.Plant.Spec.Upsets[wreck].Every
	for noise, told := range map[float64]bool{1: true, 4000: false} {
		c := &Case{Name: "x", Years: 2, Life: 2, Discount: 0, SoldOut: true, Options: options(in), Seed: 5, Futures: 20, Workers: 1, SmallFutures: 6, SmallYears: 1}
		c.stub = func(j *job, _ int) {
			u := &j.plant.Spec.Upsets[wreck]
			luck := chance.Luck{Seed: math.Float64bits(u.Every), Future: j.future}
			for y := range j.years {
				var a measure.Account
				if u.Lasts.Quantile(0.5) < 3*3600 { // the option gains 600 a year, and more where units stop more often
					a[measure.Margin] = -600 * every / u.Every
					if u.Every != every {
						a[measure.Margin] += noise * (luck.Uniform(2, uint64(y), 0) - 0.5)
					}
				}
				j.to.years, j.to.out = append(j.to.years, a), append(j.to.out, 0)
			}
			j.to.done = true
		}
		a, err := Decide(context.Background(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range a.Flips {
			if f.What != "how often units stop" {
				continue
			}
			if f.Found != told || f.Found && math.Abs(f.Factor-1./1.2) > 0.02 {
				t.Errorf("noise %g: %+v; by arithmetic x 0.83", noise, f)
			}
			if !told && !strings.Contains(f.Text, "luck") {
				t.Errorf("%q does not say why nothing is told", f.Text)
			}
		}
		for _, b := range a.Tornado {
			if b.What == "how often units stop" && (b.Luck > 200) == told {
				t.Errorf("noise %g: luck of the bar %d", noise, b.Luck)
			}
		}
	}
}

// The curve between plays is exact for a parabola, and for straight pieces.
func TestWeights(t *testing.T) {
	for _, f := range []float64{0.5, 0.7, 1, 1.3, 2} {
		v, at := 0.0, []float64{0.5, 1, 2}
		for i, w := range weights(at, f, false) {
			v += w * (3 - 2*at[i] + 5*at[i]*at[i])
		}
		if want := 3 - 2*f + 5*f*f; math.Abs(v-want) > 1e-12 {
			t.Errorf("at %g: %g, by hand %g", f, v, want)
		}
		v = 0
		for i, w := range weights(at, f, true) {
			v += w * math.Abs(at[i]-1)
		}
		if want := math.Abs(f - 1); math.Abs(v-want) > 1e-12 {
			t.Errorf("straight, at %g: %g, by hand %g", f, v, want)
		}
	}
}

// Where another option is the best, the proposal has bars of its own.
func TestTornadoOfTheProposal(t *testing.T) {
	in := load(t, head+`
option "less" { role = "do less", pays = { what = "x", amount = "100 EUR" }, upsets = { ["stand wreck"] = { lasts = "1 h" } } }
option "more" { pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "2 h" } } }`)
	c := &Case{Name: "x", Years: 1, Life: 1, SoldOut: true, Options: options(in), Seed: 5, Futures: 4, Workers: 1, SmallFutures: 4, SmallYears: 1}
	wreck := slices.IndexFunc(in.Options[0].Works.Plant.Spec.Upsets, func(u works.UpsetSpec) bool { return u.Name == "stand wreck" })
	every := in.Options[0].Works.Plant.Spec.Upsets[wreck].Every
	c.stub = func(j *job, _ int) {
		var a measure.Account
		u := &j.plant.Spec.Upsets[wreck]
		switch m := u.Lasts.Quantile(0.5); {
		case m < 1.5*3600:
			a[measure.Margin] = -600 * every / u.Every
		case m < 5*3600:
			a[measure.Margin] = -1200 * every / u.Every
		}
		j.to.years, j.to.out, j.to.done = []measure.Account{a}, []float64{0}, true
	}
	a, err := Decide(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][2]Money{ // by hand: 1,200 times the factor less what is paid
		"contribution per tonne": {-40, 440}, "what is paid": {400, -100}, "how often units stop": {-160, 560},
	}
	if a.Best != 1 || len(a.TornadoProposal) != len(a.Tornado) {
		t.Fatalf("best is %d; %d bars, %d of the proposal", a.Best, len(a.Tornado), len(a.TornadoProposal))
	}
	for _, b := range a.TornadoProposal {
		if w, ok := want[b.What]; b.Option != "more" || ok && (b.Low != w[0] || b.High != w[1]) {
			t.Errorf("%+v, by hand %v", b, w)
		}
	}
}
