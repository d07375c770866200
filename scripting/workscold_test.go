package scripting

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"millrace/scripting/decl"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/steel/annealing"
	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/pickling"
	"millrace/sim/works"
)

const coldFile = "testdata/cold/works.lua"

func coldfell(t testing.TB) *Works {
	t.Helper()
	w, err := LoadWorks(coldFile, DiskThen(nil), 0)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// coldEdited loads the works with a cold side after edits, each an old and a new
// text.
func coldEdited(t *testing.T, edits ...string) (*Works, string, error) {
	t.Helper()
	source, err := os.ReadFile(coldFile)
	if err != nil {
		t.Fatal(err)
	}
	text := string(source)
	line := 0
	for i := 0; i < len(edits); i += 2 {
		at := strings.Index(text, edits[i])
		if at < 0 {
			t.Fatalf("%q is not in the works file any more", edits[i])
		}
		line = 1 + strings.Count(text[:at], "\n")
		text = text[:at] + edits[i+1] + text[at+len(edits[i]):]
	}
	w, err := LoadWorks("w.lua", func(name string) ([]byte, error) {
		if name == "w.lua" {
			return []byte(text), nil
		}
		return nil, fs.ErrNotExist
	}, 0)
	return w, fmt.Sprintf("w.lua:%d: ", line), err
}

// without takes a table out of the text that begins with its key; it ends at the
// first line with the same indent.
func without(t *testing.T, key string) (old string) {
	t.Helper()
	source, err := os.ReadFile(coldFile)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(source), "\n    "+key+" = {\n")
	body, _, ok2 := strings.Cut(rest, "\n    },\n")
	if !ok || !ok2 {
		t.Fatalf("no table %s", key)
	}
	return "    " + key + " = {\n" + body + "\n    },\n"
}

// lineOf is the line of a table that an edit stands in.
var lineOf = regexp.MustCompile(`^w\.lua:[0-9]+: `)

// A cold side with one thing wrong says what, where, and what to write.
func TestBadCold(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`elongation = "1 %"`, `elongation = "1 %", enlongation = "1 %"`, `@unknown key 'enlongation' in temper_mill; did you mean 'elongation'?`},
		{`slot = "30 min"`, `slto = "30 min"`, `@dispatch needs 'slot'; add slot = "9 h"` + "\n" + `@unknown key 'slto' in dispatch; did you mean 'slot'?`},
		{`between_wraps = "20 um"`, `between_wraps = "20 kg"`, `@between_wraps: "20 kg" is a mass; a length is needed here, for example "230 mm"`},
		{`{ "26 m", "26 m", "26 m" }`, `{ "26 m", "26 t", "26 m" }`, `@item 2 of tanks: "26 t" is a mass; a length is needed here, for example "230 mm"`},
		{`{ "26 m", "26 m", "26 m" }`, `{ "26 m", "0 m", "26 m" }`, `@item 2 of tanks: "0 m" is out of range; write 1 m to 200 m`},
		{`normal = "4600 t"`, `normal = "-4600 t"`, `@normal: "-4600 t" is below zero, which has no meaning for a mass; write for example "23.2 t"`},
		{`normal = "4600 t"`, `normal = "900 t"`, `@normal: "900 t" is below low = "1500 t"; low, normal, high and room must rise in this order`},
		{`["full hard"] = {`, `["full haard"] = {`, `above: stores needs 'full hard'; add ["full hard"] = { ... }` + "\n" + `@unknown key 'full haard' in stores; did you mean 'full hard'?`},
		{`bases = 40`, `bases = 0`, `@bases: 0 is out of range; write a whole number from 1 to 80`},
		{`gas = "nitrogen-hydrogen"`, `gas = "nitrogen"`, `@gas: "nitrogen" is not known here; write "hydrogen" or "nitrogen-hydrogen"`},
		{`coldest_spot = "680 C"`, `coldest_spot = "700 C"`, `@coldest_spot: it is never as hot as the gas; write 10 to 30 C less than soak`},
		{`acid = "10 %"`, `acid = "30 %"`, `@acid: "30 %" is out of range; write 1 % to 20 %`},
		{`"180 MPa", "45 MPa" }`, `"180 MPa" }`, `@tensions: there are 5 for 5 stands; write one before the first stand, one between each two, one behind the last`},
		{`fee = "70 EUR/t"`, `fee = "70 USD/t"`, `@fee: "70 USD/t" is in USD, but the works counts in EUR; write every amount in one currency`},
		{`cold = "0.8 mm"`, `cold = "2.5 mm"`, `@cold: "2.5 mm" is no thinner than the hot band; write the thickness behind the cold mill`},
		{`cold = "0.8 mm", annealed`, `annealed`, `@annealed: only cold rolled strip is annealed; add cold = "0.8 mm", or take annealed out`},
		{`pickled = true, cold = "0.5 mm"`, `cold = "0.5 mm"`, `@cold: strip is cold rolled only when it has been pickled; add pickled = true`},
		{`forced_film = "60 W/m2K"`, `forced_film = "60 W/mK"`, `@forced_film: "60 W/mK" is a thermal conductivity; a heat transfer coefficient is needed here, for example "1500 W/m2K"`},
	} {
		_, at, err := coldEdited(t, c.old, c.new)
		var p decl.Problems
		if !errors.As(err, &p) {
			t.Errorf("%s: %v", c.new, err)
			continue
		}
		var lines []string
		for _, one := range p {
			lines = append(lines, lineOf.ReplaceAllString(strings.Replace(one.Error(), at, "@", 1), "above: "))
		}
		if got := strings.Join(lines, "\n"); got != c.want {
			t.Errorf("%s\ngot  %s\nwant %s", c.new, got, c.want)
		}
	}
}

// A product that is cold rolled needs a cold side.
func TestColdProductWithoutColdSide(t *testing.T) {
	source, err := os.ReadFile(coldFile)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(source), "  cold_side = {\n")
	body, _, _ := strings.Cut(rest, "\n  },\n")
	_, _, err = coldEdited(t, "  cold_side = {\n"+body+"\n  },\n", "")
	const want = `: products: C is cold rolled, but the works has no cold side; add cold_side = { ... }, or take cold out of the product`
	if err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("%v", err)
	}
}

// Numbers of the cold side arrive in SI units.
func TestColdUnits(t *testing.T) {
	w := coldfell(t)
	s, c := &w.Spec, w.Spec.Cold
	for _, k := range []struct {
		what      string
		got, want float64
	}{
		{"cold", s.Products[2].Cold, 0.8e-3},
		{"forced film", s.CoilYard.ForcedH, 60},
		{"tanks", c.Pickle.Line.AcidLength(), 78},
		{"acid", c.Pickle.Line.AcidPercent, 10},
		{"acid temperature", c.Pickle.Line.TempC, 80},
		{"scale", c.Pickle.Scale.Mass, 0.045},
		{"outside", c.Pickle.Outside, 60 / 3.6},
		{"outside fee", c.Pickle.OutFee, 0.07},
		{"back from outside", c.Pickle.OutBack, 259200},
		{"forced cost", s.CoilYard.ForcedCost, 150.0 / 3600},
		{"forced spoils", s.CoilYard.ForcedSpoil, 0.005},
		{"overtime in temper rolling", c.Temper.Overtime, 1.1},
		{"overtime in dispatch", c.Dispatch.Overtime, 1.15},
		{"hot coiled", c.Pickle.Line.Kinetics.CoilingFromC, 640},
		{"longer", c.Pickle.Line.Kinetics.CoilingPerK, 0.005},
		{"force", c.Mill.Mill.Stands[4].MaxForce, 20e6},
		{"load", c.Mill.Mill.Stands[4].LoadShare, 0.6},
		{"tension", c.Mill.Mill.Tensions[5], 45e6},
		{"flow stress", c.Mill.Law.K, 590e6},
		{"crop", c.Mill.Crop, 0.012},
		{"soak", c.Anneal.Recipe.GasC, 700},
		{"heat up", c.Anneal.Recipe.RampTime, 28800},
		{"film", c.Anneal.Recipe.Film, 45},
		{"gas", c.Anneal.Gas.Conductivity, 0.06},
		{"wraps", c.Anneal.Gap, 20e-6},
		{"purge after", c.Anneal.Handling.PostPurge, 1800},
		{"floor", c.Anneal.Floor, 216000},
		{"elongation", c.Temper.Elongation, 0.01},
		{"force of a metre", c.Temper.Mill.ForcePerWidth, 4.2e6},
		{"dispatch", c.Dispatch.Cold, 178 / 3.6},
		{"full hard", c.Hard.Normal, 4e6},
	} {
		if !(math.Abs(k.got-k.want) <= 1e-9*math.Abs(k.want)) {
			t.Errorf("%s is %g, want %g", k.what, k.got, k.want)
		}
	}
	if !s.Products[2].Annealed || s.Products[3].Annealed || c.Anneal.Gas.Name != annealing.HN().Name {
		t.Errorf("%+v %+v", s.Products[2:], c.Anneal.Gas)
	}
}

// What a file leaves out is what the packages of steel call common.
func TestColdDefaults(t *testing.T) {
	w, _, err := coldEdited(t,
		"      acid_law = { A = -4.6, B = -0.7, D = 4200, hot_coiled_from = \"640 C\", longer_a_kelvin = \"0.5 %\", longer_at_most = 1.5 },\n", "",
		`      scale = { a_face = "45 g/m2", iron = "75 %", steel_with_it = "4 g/m2" },`, "",
		`      flow_stress = { K = "590 MPa", prestrain = 0.0043, exponent = 0.25 },`, "",
		`gas = "nitrogen-hydrogen", film = "45 W/m2K", gas_conducts = "0.06 W/mK"`, `gas = "hydrogen"`,
		`, cooling_film = "50 W/m2K"`, "",
		`, back_after = "3 d"`, "", `, forced_cost = "150 EUR/h", forced_spoils = "0.5 %"`, "", `, overtime = 1.1,`, "", `, overtime = 1.15 }`, " }",
		`        load = "25 min", leak_test = "15 min", purge = "30 min", bell_on = "8 min", bell_off = "8 min",`, "",
		`        cooler_on = "8 min", purge_after = "30 min", cooler_off = "8 min", unload = "25 min",`, "")
	if err != nil {
		t.Fatal(err)
	}
	c := w.Spec.Cold
	for _, k := range []struct{ got, want any }{
		{c.Pickle.Line.Kinetics, pickling.Kinetics{}}, // which stands for the common one
		{c.Pickle.Scale, pickling.CommonScale()},
		{c.Anneal.Gas, annealing.Hydrogen()},
		{c.Anneal.Recipe, annealing.CommonRecipe(annealing.Hydrogen())},
		{c.Anneal.Handling, annealing.CommonHandling()},
		{c.Pickle.OutBack, 7 * 86400.0},
		{[]float64{w.Spec.CoilYard.ForcedCost, w.Spec.CoilYard.ForcedSpoil, c.Temper.Overtime, c.Dispatch.Overtime}, []float64{0, 0, 1, 1}},
	} {
		if !reflect.DeepEqual(k.got, k.want) {
			t.Errorf("got %+v, want %+v", k.got, k.want)
		}
	}
	if hn := annealing.HN(); gases[1].name != hn.Name || gases[1].conductivity != hn.Conductivity {
		t.Errorf("%+v, want %+v", gases[1], hn)
	}
	if got, want := c.Mill.Law, coldrolling.LowCarbon(); math.Abs(got.Stress(0.5)/want.Stress(0.5)-1) > 1e-12 || math.Abs(got.Stress(0)/want.Stress(0)-1) > 1e-12 {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// A cold side known by its rates alone is built and runs, and keeps its mass.
func TestColdByRates(t *testing.T) {
	w, _, err := coldEdited(t,
		without(t, "pickle_line"), `    pickle_line = { rate = "150 t/h" },`+"\n",
		without(t, "cold_mill"), `    cold_mill = { rate = "200 t/h" },`+"\n",
		without(t, "annealing"), `    annealing = { rate = "60 t/h" },`+"\n",
		without(t, "temper_mill"), `    temper_mill = { rate = "180 t/h" },`+"\n")
	if err != nil {
		t.Fatal(err)
	}
	run := works.Begin(w.Plant, works.Start{Luck: chance.Luck{Seed: 5}, SoldOut: true})
	var m record.Memory
	run.Sink = &m
	const days = 6
	if err := run.Run(days * calendar.Day); err != nil {
		t.Fatal(err)
	}
	for _, e := range run.Check() {
		t.Error(e)
	}
	pickled, _ := w.Plant.StoreNamed("pickled coils")
	annealed, _ := w.Plant.StoreNamed("annealed coils")
	in := map[record.Place]float64{}
	for _, e := range m.Events {
		if e.Kind == record.Move && e.From >= 0 && e.A != works.StepOpening {
			in[e.To] += float64(e.Mass) / 1e6 / (days * 24)
		}
	}
	t.Logf("pickled for the cold mill %.0f t/h, annealed %.0f t/h", in[pickled], in[annealed])
	if !(in[pickled] > 20 && in[pickled] <= 150 && in[annealed] > 15 && in[annealed] <= 75) {
		t.Errorf("pickled for the cold mill %.0f t/h, annealed %.0f t/h", in[pickled], in[annealed])
	}
	for _, u := range w.Plant.Route.Units {
		switch u.Name {
		case "cold mill", "anneal bases", "temper mill":
			if !u.RateGiven {
				t.Errorf("%s: the output does not say that its rate was given", u.Name)
			}
		}
	}
}

// A cold mill known by its rate rolls what is usual, beside a product of another
// reduction.
func TestColdMillByRate(t *testing.T) {
	mill := without(t, "cold_mill")
	for _, c := range [][2]string{{"4 mm", "3 mm"}, {"3 mm", "2 mm"}, {"2.5 mm", "0.4 mm"}, {"6 mm", "2 mm"}} {
		w, _, err := coldEdited(t, mill, `    cold_mill = { rate = "200 t/h" },`+"\n",
			`thickness = "2.5 mm", width = "1250 mm"`, `thickness = "`+c[0]+`", width = "1250 mm"`, `cold = "0.8 mm"`, `cold = "`+c[1]+`"`)
		if err != nil {
			t.Errorf("%s to %s: %v", c[0], c[1], err)
		} else if w.Spec.Cold.Mill.Rate != 200/3.6 {
			t.Errorf("rate %g kg/s", w.Spec.Cold.Mill.Rate)
		}
	}
}
