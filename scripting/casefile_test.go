package scripting

import (
	"io/fs"
	"strings"
	"testing"

	"millrace/scenarios"
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
	if p := c.Options[2].Pays; len(p) != 1 || p[0].Amount != 3e6 || p[0].After != 0.75*365*86400 {
		t.Errorf("paid %+v", p)
	}
	if p := c.Options[2].Running; len(p) != 1 || p[0].Amount < 139999 || p[0].Amount > 140001 {
		t.Errorf("running %+v", p)
	}
}

// TestBadCases: what is wrong in a case is refused with file and line.
func TestBadCases(t *testing.T) {
	const head = `case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %" }
option "carry on" {}
`
	for _, c := range []struct{ name, text, want string }{
		{"no capex", head + `option "b" { changes = { coilers = { in_use = 3 } } }`, `case.lua:3: option "b": it changes the works, and nothing is paid for it; add pays`},
		{"capex without amount", head + `option "b" { pays = { what = "w" }, changes = { coilers = { in_use = 3 } } }`, `case.lua:3: pays needs 'amount'`},
		{"discount", strings.Replace(head, "10 %", "130 %", 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: discount: "130 %" is out of range; write 0 % to 100 %`},
		{"ramp", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, ramp = { share = "130 %", for_ = "3 months" } }`, `case.lua:3: share: "130 %" is out of range; write 0 % to 100 %`},
		{"twice", head + `option "carry on" {}`, `case.lua:3: there is an option "carry on" already, on line 2; give each option a name of its own`},
		{"unit", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { furnaces = { F9 = { hearth = "30 m" } } } }`, `case.lua:3: F9: the works has no "F9" among its furnaces; did you mean "F1"? If not, a new one says which it is like`},
		{"part", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, changes = { coiler = { in_use = 3 } } }`, `case.lua:3: unknown key 'coiler' in works "Larkfell"; did you mean 'coilers'?`},
		{"upset", head + `option "b" { pays = { what = "w", amount = "1 EUR" }, upsets = { ["stand wrck"] = { every = "9 d" } } }`, `case.lua:3: stand wrck: the works has no upset "stand wrck"; did you mean "stand wreck"?`},
		{"tie-in", head + `option "b" { running = { what = "w", amount = "1 EUR/year" }, tie_in = { unit = "F3", after = "1 d", lasts = "8 h" } }`, `case.lua:3: unit: there is no unit "F3"; did you mean "F1"?`},
		{"years 0", strings.Replace(head, "years = 2", "years = 0", 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: years: 0 is out of range; write a whole number from 1 to 30`},
		{"book", strings.Replace(head, "years = 2", `years = 2, demand = "book only"`, 1) + `option "b" { running = { what = "w", amount = "1 EUR/year" } }`, `case.lua:1: demand: "book only" needs what is ordered; add book = "80 %"`},
		{"one option", head, `case.lua: a case compares options, and there are fewer than two`},
		{"currency", head + `option "b" { pays = { what = "w", amount = "1 USD" }, changes = { coilers = { in_use = 3 } } }`, `in USD, but the works counts in EUR`},
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
