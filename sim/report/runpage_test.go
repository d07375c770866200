package report

import (
	"strings"
	"testing"
)

// The page of a run is closed everywhere, needs nothing from outside, draws every store
// that has levels, says the same as the text, and keeps what a name may hold out of its
// markup. Its tables have every level and every line of money.
func TestRunPage(t *testing.T) {
	r := sampleRun()
	r.Plan = `<script>"slow" & wait`
	r.Series[0].Level = []float64{15_800, 21_000, 26_000, 11_204.5}
	data, err := RunHTML(r, Extra{Title: "A <b>run", Currency: "EUR", Files: []File{{Name: "a & b.lua", SHA256: "77"}}})
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	root, err := parse(text)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(root.all("svg")); n != 1 {
		t.Errorf("%d pictures of one store", n)
	}
	if len(root.all("script")) > 0 || len(root.all("b")) > 0 || strings.Contains(text, "href=") || strings.Contains(text, "src=") {
		t.Error("the page runs or fetches something")
	}
	pre := root.all("pre")
	if len(pre) != 1 || pre[0].text != Run(r, Extra{Title: "A <b>run", Currency: "EUR", Files: []File{{Name: "a & b.lua", SHA256: "77"}}}) {
		t.Error("the page does not say what the text says")
	}
	rows := map[string]int{}
	for _, k := range RunTables(r, "EUR") {
		rows[k.Name] = len(k.Rows)
		for _, row := range k.Rows {
			if len(row) != len(k.Header) {
				t.Errorf("%s: a row of %d cells under %d heads", k.Name, len(row), len(k.Header))
			}
		}
	}
	if rows["levels"] != 4 || rows["cost"] != len(r.Money)+len(r.Upset) || rows["measures"] != len(r.Measures) || rows["units"] != 16 {
		t.Errorf("rows: %v", rows)
	}
	if _, err := RunHTML(nil, Extra{}); err == nil {
		t.Error("a page of no run")
	}
}
