package scripting

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"millrace/scenarios"
)

func loadText(text string) (*CaseFile, error) {
	files := DiskThen(scenarios.FS)
	return LoadCase("case.lua", func(name string) ([]byte, error) {
		if name == "case.lua" {
			return []byte(text), nil
		}
		return files(name)
	})
}

// caseWith is a case with one more thing written in a table of it.
func caseWith(table, text string) string {
	in := map[string]string{"case": "", "option": "", "pays": "", "running": "", "ramp": "", "tie_in": "", "upset": "", "descaling": ""}
	in[table] = text
	return fmt.Sprintf(`case "x" { works = "larkfell", from = "2031-01-06 06:00", years = 2, discount = "10 %%", %s }
option "a" {}
option "b" { %s pays = { what = "w", amount = "1 EUR", %s }, running = { what = "w", amount = "1 EUR/year", %s },
  ramp = { share = "50 %%", for_ = "2 d", %s }, tie_in = { unit = "rougher", after = "1 d", lasts = "8 h", %s }, upsets = { ["simple cobble"] = { every = "800 coils" }, ["torch-cut machine down"] = { %s } } }`,
		in["case"], in["option"], in["pays"], in["running"], in["ramp"], in["tie_in"], in["upset"])
}

// TestCaseKeysAreAll holds the keys that help tells against those that the reader knows,
// as its message on an unknown key lists them, and every range against a refusal.
func TestCaseKeysAreAll(t *testing.T) {
	alone(t)
	if _, err := loadText(caseWith("", "")); err != nil {
		t.Fatal(err)
	}
	if _, err := loadText(CaseExample); err != nil {
		t.Fatal(err)
	}
	for _, table := range []string{"case", "option", "pays", "running", "ramp", "tie_in", "upset"} {
		_, err := loadText(caseWith(table, "qqqqqqqq = 1, "))
		if err == nil {
			t.Fatalf("%s takes any key", table)
		}
		_, list, ok := strings.Cut(err.Error(), "keys here are ")
		if !ok {
			t.Fatalf("%s: %v", table, err)
		}
		list, _, _ = strings.Cut(list, "\n")
		var told []string
		for _, k := range CaseKeys {
			if k.Table == table {
				told = append(told, k.Name)
			}
		}
		var known []string
		for _, k := range strings.Split(list, ", ") {
			known = append(known, strings.TrimSuffix(k, "_"))
		}
		slices.Sort(told)
		slices.Sort(known)
		if !slices.Equal(told, known) {
			t.Errorf("%s: help tells\n%v\nthe reader knows\n%v", table, told, known)
		}
	}
	for _, k := range CaseKeys {
		if (k.Range == "") != (k.beyond == "") {
			t.Errorf("%s.%s: range %q, beyond it %q", k.Table, k.Name, k.Range, k.beyond)
		}
		if k.beyond == "" {
			continue
		}
		name, more := k.Name, ""
		if name == "for" {
			name = "for_"
		}
		if name == "book" {
			more = `demand = "book only", `
		}
		text := caseWith(k.Table, more+name+" = "+k.beyond+", ")
		_, err := loadText(text)
		if err == nil {
			t.Errorf("%s.%s = %s is accepted; help says %s", k.Table, k.Name, k.beyond, k.Range)
			continue
		}
		want := k.Range
		if want == "0 or more" {
			want = "is negative"
		}
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%s.%s = %s: %v; help says %s", k.Table, k.Name, k.beyond, err, k.Range)
		}
	}
}
