package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"millrace/sim/works"
)

// The capacity table of the demo works, kept: who retunes it sees what moves.
// TestCapacityAgainstTheWorks in the scenarios' folder holds it against play.
func TestCapacityOfLarkfell(t *testing.T) {
	const golden = "testdata/capacity-larkfell.txt"
	var out, errs bytes.Buffer
	if code := Main([]string{"check", "--capacity", "scenarios/larkfell/works.lua"}, &out, &errs); code != exitDone {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	if *update {
		if err := os.WriteFile(golden, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if out.String() != string(want) {
		t.Errorf("the capacity table is not the one that is kept; if that is meant: go test ./cmd/millrace -run Capacity -update\n%s", out.String())
	}
	lines := strings.Split(out.String(), "\n")
	readme, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, shown, ok := strings.Cut(string(readme), "    $ millrace check --capacity scenarios/larkfell/works.lua\n")
	shown, _, _ = strings.Cut(shown, "\n\n")
	if !ok || strings.Count(shown, "\n") < 5 {
		t.Fatalf("the README shows no table: %q", shown)
	}
	for l := range strings.SplitSeq(shown, "\n") {
		if !slices.Contains(lines, strings.TrimPrefix(l, "    ")) {
			t.Errorf("the README shows a line that is not in the table: %s", l)
		}
	}
	for _, l := range lines {
		if len([]rune(l)) > routeWidth {
			t.Errorf("too wide: %s", l)
		}
	}
	if bad := routeNonsense(out.String()); bad != "" {
		t.Errorf("%q in the table", bad)
	}
}

func TestCapacityAsJSON(t *testing.T) {
	var out, errs bytes.Buffer
	// A scenario names its works.
	if code := Main([]string{"check", "--capacity", "--json", "scenarios/larkfell/stand-wreck.lua"}, &out, &errs); code != exitDone {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	var c works.CapacityTable
	if err := json.Unmarshal(out.Bytes(), &c); err != nil {
		t.Fatal(err)
	}
	if c.Works != "Larkfell" || !c.Invented || len(c.Rows) != len(c.Limits) || c.Row(c.Limits[0]).Use < 0.999 || len(c.Row("hot mill").Losses) == 0 {
		t.Errorf("%+v", c)
	}
}
