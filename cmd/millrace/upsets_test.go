package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"millrace/sim/works"
)

// TestHelpUpsets: the topic names every kind with its caution and every row of Larkfell
// with its source, in lines of at most 100 columns.
func TestHelpUpsets(t *testing.T) {
	var out, bad bytes.Buffer
	if code := Main([]string{"help", "upsets"}, &out, &bad); code != exitDone {
		t.Fatalf("code %d, %s", code, bad.String())
	}
	text := out.String()
	for i, l := range strings.Split(text, "\n") {
		if utf8.RuneCountInString(l) > routeWidth {
			t.Errorf("line %d is too wide: %s", i+1, l)
		}
		if strings.TrimRight(l, " ") != l {
			t.Errorf("line %d ends in blanks", i+1)
		}
	}
	flat := strings.Join(strings.Fields(text), " ")
	for _, k := range works.Kinds {
		if !strings.Contains(text, "\n"+k.Name+" ") || !strings.Contains(flat, k.Caution) || !strings.Contains(flat, k.What) {
			t.Errorf("the help lacks %s, what it is or its caution", k.Name)
		}
	}
	out.Reset()
	if code := Main([]string{"upsets", "--json"}, &out, &bad); code != exitDone {
		t.Fatalf("code %d, %s", code, bad.String())
	}
	var a upsetList
	if err := json.Unmarshal(out.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	if len(a.Kinds) != int(works.NUpsetKinds) || len(a.Upsets) < 40 || len(a.Planned) < 10 || len(a.LeftOut) == 0 {
		t.Errorf("%d kinds, %d rows, %d planned stops, %d left out", len(a.Kinds), len(a.Upsets), len(a.Planned), len(a.LeftOut))
	}
	if !strings.Contains(flat, "dispatch blocked 60 d calendar 8 h 2 d 5 d dispatch") {
		t.Error("the row of dispatch does not say that it is over after 5 d at the latest")
	}
	for _, u := range a.Upsets {
		if !strings.Contains(text, "\n"+u.Name) || u.Source == "not said" || u.Caution == "" || u.Every == "" || u.Median == "" {
			t.Errorf("row %q: source %q, caution %q, every %q, median %q", u.Name, u.Source, u.Caution, u.Every, u.Median)
		}
		// Where lengths are cut the row says when, and its note what ends it.
		if (u.Longest != "") != strings.Contains(u.Note, "longest: ") || (u.Longest != "") != strings.Contains(u.Law, "longest = ") {
			t.Errorf("row %q: longest %q, law %s, note %q", u.Name, u.Longest, u.Law, u.Note)
		}
	}
}

// TestHelpUpsetsOfAWorks: another works' rows; a file that is not there is refused.
func TestHelpUpsetsOfAWorks(t *testing.T) {
	source, err := os.ReadFile("../../scenarios/larkfell/works.lua")
	if err != nil {
		t.Fatal(err)
	}
	orders, err := os.ReadFile("../../scenarios/larkfell/orders.csv")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "works.lua")
	text := strings.Replace(strings.Replace(string(source), `upset "shear jammed"`, `upset "the drum sticks"`, 1), `works "Larkfell"`, `works "Other"`, 1)
	for name, data := range map[string][]byte{"works.lua": []byte(text), "orders.csv": orders} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out, bad bytes.Buffer
	if code := Main([]string{"help", "upsets", "--works", file}, &out, &bad); code != exitDone {
		t.Fatalf("code %d, %s", code, bad.String())
	}
	if !strings.Contains(out.String(), "the drum sticks") || !strings.Contains(out.String(), "Other") || strings.Contains(out.String(), "shear jammed") {
		t.Error("the rows are not those of the file")
	}
	for _, args := range [][]string{{"help", "upsets", "--works", "nowhere.lua"}, {"help", "check", "--works", file}, {"upsets", "more"}} {
		bad.Reset()
		if code := Main(args, &out, &bad); code != exitInput || bad.Len() == 0 {
			t.Errorf("%v: code %d, %q", args, code, bad.String())
		}
	}
}
