package scripting

import (
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/scripting/decl"
)

func TestCaseFile(t *testing.T) {
	c, err := LoadCase("scenarios/larkfell/cases/spare-stand-parts.lua", DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Options) != 3 || c.Years != 5 || c.Life != 10 || c.Discount != 0.1 || !c.SoldOut {
		t.Fatalf("read as %+v", c)
	}
	base, better := c.Options[0].Works.Plant.Spec.Upsets, c.Options[2].Works.Plant.Spec.Upsets
	for i := range base {
		same := base[i].Lasts == better[i].Lasts
		if wreck := base[i].Name == "stand wreck"; wreck == same {
			t.Errorf("%s: changed %v", base[i].Name, !same)
		}
	}
	if got := strings.Join(c.Options[2].Changes, "; "); !strings.HasPrefix(got, "upset stand wreck: lasts = lognormal { median = 12 h, one_in_ten = 18 h }, was lognormal { median = ") {
		t.Errorf("what is changed reads %q", got)
	}
	if p := c.Options[2].Pays; len(p) != 1 || p[0].Amount != 3e6 || p[0].After != 0.75*365*86400 {
		t.Errorf("paid %+v", p)
	}
	if p := c.Options[2].Running; len(p) != 1 || p[0].Amount < 139999 || p[0].Amount > 140001 {
		t.Errorf("running %+v", p)
	}
}

// TestBadCases: what is wrong in a case is refused with file and line.
func TestBadCases(t *testing.T) {
	alone(t)
	const head = `case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %" }
option "carry on" {}
`
	for _, c := range []struct{ name, text, want string }{
		{"no capex", head + `option "b" { changes = { coilers = { in_use = 3 } } }`, `case.lua:3: option "b": it changes the works, and nothing is paid for it; add pays`},
		{"capex without amount", head + `option "b" { pays = { what = "w" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: pays needs 'amount'`},
		{"no discount", strings.Replace(head, `, discount = "10 %"`, "", 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: case "x" needs 'discount'; add discount = "8 %"`},
		{"longest of a fixed length", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["stand wreck"] = { lasts = "8 h", longest = "9 h" } } }`, `case.lua:3: longest: it always lasts 8 h, so there is nothing to cut; take it out`},
		{"median above the longest of the works", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["stand wreck"] = { lasts = "8 d" } } }`, `case.lua:3: lasts: half of the stops would exceed 8 d, but the works file lets none last longer than 7 d; write longest beside it, a time or "none"`},
		{"longest below the median", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["stand wreck"] = { longest = "11 h" } } }`, `case.lua:3: longest: "11 h" is not longer than 12 h, which half of the stops exceed`},
		{"longest of a row that has none", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["weld break"] = { longest = "none" } } }`, `case.lua:3: option "b": nothing is changed: every value is what it was; write another value, or leave the option out`},
		{"what stands in the works file", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { slab_yard = { cranes = 3, lift = "180 s" } }, upsets = { ["weld break"] = { every = "4 d" } } }`, `case.lua:3: option "b": nothing is changed`},
		{"lengths all alike", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["weld break"] = { lasts = lognormal { median = "8 h", one_in_ten = "8 h" } } } }`, `(at most 28,000 times the median), not "8 h" and "8 h"`},
		{"a key of a table further in", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { cold_side = { pickle_line = { looper = "600 m" } } } }`, `'looper' is a key of cold_side.pickle_line.entry and cold_side.pickle_line.exit; keys here are rate`},
		{"tie-in of the mill by a wrong name", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, tie_in = { unit = "hot strip mill", after = "1 d", lasts = "8 h" } }`, `there is no unit "hot strip mill"; write one of "caster", "furnace", "coiler", "hot mill", "iron supply"`},
		{"discount", strings.Replace(head, "10 %", "130 %", 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: discount: "130 %" is out of range; write 0 % to 100 %`},
		{"ramp", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, ramp = { share = "130 %", for_ = "3 months" } }`, `case.lua:3: share: "130 %" is out of range; write 0 % to 100 %`},
		{"twice", head + `option "carry on" {}`, `case.lua:3: option "carry on" is there twice, first on line 2; give each a name of its own`},
		{"unit", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { furnaces = { F9 = { hearth = "30 m" } } } }`, `case.lua:3: F9: the works has no "F9" among its furnaces; did you mean "F1"? If not, a new one says which it is like`},
		{"part", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { coiler = { in_use = 3 } } }`, `case.lua:3: unknown key 'coiler' in works "Larkfell"; did you mean 'coilers'?`},
		{"upset", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["stand wrck"] = { every = "9 d" } } }`, `case.lua:3: stand wrck: the works has no upset "stand wrck"; did you mean "stand wreck"?`},
		{"tie-in", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, tie_in = { unit = "F3", after = "1 d", lasts = "8 h" } }`, `case.lua:3: unit: there is no unit "F3"; did you mean "F1"?`},
		{"years 0", strings.Replace(head, "years = 2", "years = 0", 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: years: 0 is out of range; write a whole number from 1 to 30`},
		{"book", strings.Replace(head, "years = 2", `years = 2, demand = "book only"`, 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: demand: "book only" needs what is ordered; add book = "80 %"`},
		{"one option", head, `case.lua: a case compares options, and there are fewer than two`},
		{"currency", head + `option "b" { pays = { what = "w", amount = "1 USD" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: amount: "1 USD" is in USD, but the works counts in EUR`},
		{"once for yearly", head + `option "b" { running = { what = "w", amount = "85 kEUR" } }`, `case.lua:3: amount: "85 kEUR" is paid once, and here it is so much a year; write "85 kEUR/year", or put it under pays`},
		{"yearly for once", head + `option "b" { pays = { what = "w", amount = "85 kEUR/year" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: amount: "85 kEUR/year" comes every year, and pays are paid once; write`},
		{"blank name", head + `option "  " { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:3: this option has an empty name; give it a name of its own`},
		{"no name", head + `option "" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:3: this option has an empty name; give it a name of its own`},
		{"same name", head + `option "Carry on " { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:3: there is an option "Carry on " already, on line 2`},
		{"negative", head + `option "b" { pays = { what = "w", amount = "-1 EUR" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: amount: "-1 EUR" is negative; write it positive`},
		{"negative cost", head + `option "b" { running = { what = "w", amount = "-1 EUR/year" } }`, `saves = { what = "...", amount = "..." } is saved every year`},
		{"negative salvage", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, salvage = "-1 EUR" }`, `case.lua:3: salvage: "-1 EUR" is negative`},
		{"no number", head + `option "b" { pays = { what = "w", amount = "NaN EUR" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: amount: "NaN EUR" does not start with a number`},
		{"nothing by nothing", strings.Replace(head, "years = 2", "years = 0/0", 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: years is not a number that can be used`},
		{"role", head + `option "b" { role = "propsal", running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:3: role: "propsal" is not known here; did you mean "proposal"?`},
		{"two proposals", head + `option "b" { running = { what = "w", amount = "1 EUR/year" } }
option "c" { role = "proposal", running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:4: role: it is a second proposal beside "b" on line 3`},
		{"built too late", head + `option "b" { takes = "3 years", running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:3: takes: it would work only after the 2 years for which money is counted`},
		{"paid too late", head + `option "b" { pays = { what = "w", amount = "1 EUR", after = "3 years" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: after: it is paid after the 2 years for which money is counted`},
		{"part of", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { descaler = { pumps = 2 } } }`, `case.lua:3: unknown key 'descaler' in works "Larkfell"; in a works file the descaler is part of rougher.primary_sprays (pairs, cooling, footprint, speed)`},
		{"its upset", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { rougher = { pumps = 2 } } }`, `upsets = { ["descaling pump lost"] = { ... } }; keys here are rate, roll_radius`},
		{"elsewhere", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { bells = 52 } }`, `unknown key 'bells' in works "Larkfell"; 'bells' is a key of cold_side.annealing`},
		{"safety half said", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, safety = { hazards = "lifts" } }`, `case.lua:3: safety needs 'permits'`},
		{"test half said", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, test_after = { figure = "wrecks", read = "delay log", when = "two years after" } }`, `case.lua:3: test_after needs 'signs'`},
		{"nothing changed", head + `option "b" { pays = { what = "w", amount = "1 EUR" } }`, `case.lua:3: option "b": nothing is changed`},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := DiskThen(scenarios.FS)
			_, err := LoadCase("case.lua", func(name string) ([]byte, error) {
				if name == "case.lua" {
					return []byte(c.text), nil
				}
				return files(name)
			})
			if err == nil {
				t.Fatalf("accepted; want %s", c.want)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("got\n%v\nwant\n%s", err, c.want)
			}
		})
	}
}

// TestLongestInACase: an option's length keeps the longest of the works file, says one of
// its own, or takes it away.
func TestLongestInACase(t *testing.T) {
	alone(t)
	for text, want := range map[string]float64{
		`every = "300 d"`: 7 * 86400,
		`lasts = lognormal { median = "8 h", one_in_ten = "20 h" }`: 7 * 86400,
		`longest = "3 d"`:                 3 * 86400,
		`longest = "none"`:                math.Inf(1),
		`lasts = "2 h"`:                   math.Inf(1), // always so long
		`lasts = "8 d", longest = "none"`: math.Inf(1),
	} {
		c, err := loadText(`case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %" }
option "carry on" {}
option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["stand wreck"] = { ` + text + ` } } }`)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		for _, u := range c.Options[1].Works.Plant.Spec.Upsets {
			if u.Name == "stand wreck" && u.Lasts.Longest() != want {
				t.Errorf("%s: the longest is %v h, want %v h", text, u.Lasts.Longest()/3600, want/3600)
			}
		}
	}
}

// TestSaidInPoints: what the case says on safety and on the test afterwards is kept with
// the words it belongs to; what is saved is a running cost below nothing.
func TestSaidInPoints(t *testing.T) {
	files := DiskThen(scenarios.FS)
	c, err := LoadCase("case.lua", func(name string) ([]byte, error) {
		if name == "case.lua" {
			return []byte(`case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %" }
option "carry on" {}
option "b" { running = { what = "upkeep", amount = "2 kEUR/year" }, saves = { what = "a contract", amount = "5 kEUR/year", source = "the contract" },
  safety = { hazards = "lifts", permits = "hot work", crew = "two fitters more" },
  test_after = { figure = "wrecks over 8 h", read = "the delay log", when = "two years after", signs = "the mill manager" } }`), nil
		}
		return files(name)
	})
	if err != nil {
		t.Fatal(err)
	}
	o := &c.Options[1]
	if got := strings.Join(append(o.SafetyPoints, o.AfterPoints...), "; "); got != "changed hazards: lifts; permits: hot work; crew: two fitters more; the figure: wrecks over 8 h; read in: the delay log; when: two years after; signed by: the mill manager" {
		t.Errorf("said is %q", got)
	}
	if len(o.Running) != 2 || o.Running[1].What != "saved: a contract" || o.Running[1].Amount > -4999 || o.Running[1].Amount < -5001 || o.Running[1].Source != "the contract" {
		t.Errorf("running is %+v", o.Running)
	}
}

// TestLike: a new furnace is made like another and differs in what is said.
func TestLike(t *testing.T) {
	files := DiskThen(scenarios.FS)
	c, err := LoadCase("case.lua", func(name string) ([]byte, error) {
		if name == "case.lua" {
			return []byte(`case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %" }
option "carry on" {}
option "third furnace" { pays = { what = "w", amount = "60 MEUR" }, changes = { furnaces = { F3 = { like = "F1", hearth = "30 m" } } } }`), nil
		}
		return files(name)
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(c.Options[1].Changes, "; "); got != "furnaces, F3, like = F1; furnaces, F3, hearth = 30 m" {
		t.Errorf("what is changed reads %q", got)
	}
	f := c.Options[1].Works.Spec.Furnaces
	if len(f) != 3 || f[2].Name != "F3" || f[2].Length != 30 || f[2].Efficiency != f[0].Efficiency || f[0].Length != 42 {
		t.Errorf("furnaces are %+v", f)
	}
	if n := len(c.Options[0].Works.Spec.Furnaces); n != 2 {
		t.Errorf("carry on has %d furnaces", n)
	}
}

// Every case that comes with the program loads.
func TestShippedCasesLoad(t *testing.T) {
	alone(t)
	files, err := fs.Glob(scenarios.FS, "larkfell/cases/*.lua")
	if err != nil || len(files) == 0 {
		t.Fatalf("found %v %v", files, err)
	}
	for _, f := range files {
		if _, err := LoadCase("scenarios/"+f, DiskThen(scenarios.FS)); err != nil {
			t.Error(err)
		}
	}
}

// TestOneSlipOneMessage: a slip is told once, and lines without a slip are left in peace.
func TestOneSlipOneMessage(t *testing.T) {
	alone(t)
	head := `case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %" }
option "carry on" {}
option "b" { pays = { what = "w", amount = "1 USD" }, changes = { coilers = { in_use = 3 } } }
`
	for _, c := range []struct{ name, text string }{
		{"another currency first", head + `option "c" { role = "bigger", running = { what = "w", amount = "9 EUR/year" }, salvage = "5 EUR" }`},
		{"demand misspelt", strings.Replace(strings.Replace(head, "USD", "EUR", 1), "years = 2", `years = 2, demand = "books only", book = "80 %"`, 1)},
		{"role misspelt", strings.Replace(strings.Replace(head, "USD", "EUR", 1), `"b" {`, `"b" { role = "less",`, 1) + `option "c" { running = { what = "w", amount = "9 EUR/year" } }`},
		{"like none", strings.Replace(strings.Replace(head, "USD", "EUR", 1), "coilers = { in_use = 3 }", `furnaces = { F3 = { like = "F9" } }`, 1)},
		{"the same name", strings.Replace(head, "USD", "EUR", 1) + `option "b" { running = { what = "w", amount = "9 EUR/year" } }`},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := DiskThen(scenarios.FS)
			_, err := LoadCase("case.lua", func(name string) ([]byte, error) {
				if name == "case.lua" {
					return []byte(c.text), nil
				}
				return files(name)
			})
			var p decl.Problems
			if !errors.As(err, &p) || len(p) != 1 {
				t.Errorf("want one message:\n%v", err)
			}
		})
	}
}
