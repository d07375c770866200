package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"

	"millrace/scenarios"
)

var update = flag.Bool("update", false, "write what the program says into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"millrace": main})
}

// TestScripts plays one story of a user a file: testdata/script/*.txtar. Beside the
// commands of testscript there are
//
//	exitcode N PROGRAM ARGS...  runs it; its exit code is N
//	fits ROWS COLUMNS FILE      the text has at most so many rows and columns
//	json FILE PATH...           every path is there: a.b, a[] for every element of a
//	                            list with at least one, a|b for either, a:string for
//	                            its sort (string number bool list object time null,
//	                            joined by |)
//	spoil FILE OLD NEW          writes the shipped works with its first OLD replaced
//	written N                   so many files and folders were made, or changed, by
//	                            the commands so far
//
// FILE may be stdout or stderr.
func TestScripts(t *testing.T) {
	p := testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exitcode": exitcode,
			"fits":     fits,
			"json":     jsonPaths,
			"spoil":    spoil,
			"written":  written,
		},
		Setup: func(e *testscript.Env) error {
			before, err := snapshot(e.WorkDir)
			e.Values[beforeKey{}] = before
			return err
		},
	}
	if testing.Short() { // the stories in which futures are played at the same time
		p.Dir = ""
		p.Files = []string{"testdata/script/howlong_json.txtar", "testdata/script/compare_json.txtar"}
	}
	testscript.Run(t, p)
}

func exitcode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exitcode N PROGRAM ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		var ended *exec.ExitError
		if !errors.As(err, &ended) {
			ts.Fatalf("%v", err)
		}
		got = ended.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d\nstdout: %sstderr: %s", got, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

func fits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: fits ROWS COLUMNS FILE")
	}
	rows, err := strconv.Atoi(args[0])
	ts.Check(err)
	columns, err := strconv.Atoi(args[1])
	ts.Check(err)
	text := ts.ReadFile(args[2])
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if text == "" || len(lines) > rows {
		ts.Fatalf("%s has %d rows, want 1 to %d", args[2], len(lines), rows)
	}
	for i, l := range lines {
		if n := utf8.RuneCountInString(l); n > columns {
			ts.Fatalf("%s row %d has %d columns, want at most %d: %s", args[2], i+1, n, columns, l)
		}
	}
}

func spoil(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: spoil FILE OLD NEW")
	}
	text, err := fs.ReadFile(scenarios.FS, "larkfell/works.lua")
	ts.Check(err)
	if !bytes.Contains(text, []byte(args[1])) {
		ts.Fatalf("the shipped works does not have %q", args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.Replace(text, []byte(args[1]), []byte(args[2]), 1), 0o600))
	orders, err := fs.ReadFile(scenarios.FS, "larkfell/orders.csv")
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs("orders.csv"), orders, 0o600))
}

func jsonPaths(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: json FILE PATH...")
	}
	d := json.NewDecoder(strings.NewReader(ts.ReadFile(args[0])))
	var v any
	if err := d.Decode(&v); err != nil {
		ts.Fatalf("%s is no JSON: %v", args[0], err)
	}
	if d.More() {
		ts.Fatalf("%s has something behind its JSON", args[0])
	}
	for _, path := range args[1:] {
		if m := walk(v, path); m != "" {
			ts.Fatalf("%s: %s: %s", args[0], path, m)
		}
	}
}

// walk follows a path into a JSON value; "" means that it is there.
func walk(v any, path string) string {
	step, rest, deeper := strings.Cut(path, ".")
	sorts := ""
	if !deeper {
		step, sorts, _ = strings.Cut(step, ":")
	}
	step, each := strings.CutSuffix(step, "[]")
	o, ok := v.(map[string]any)
	if !ok {
		return fmt.Sprintf("%q is asked of something that is no object", step)
	}
	for _, name := range strings.Split(step, "|") {
		if v, ok = o[name]; ok {
			break
		}
	}
	if !ok {
		var have []string
		for k := range o {
			have = append(have, k)
		}
		slices.Sort(have)
		return fmt.Sprintf("there is no %s; there is %s", step, strings.Join(have, ", "))
	}
	values := []any{v}
	if each {
		if values, ok = v.([]any); !ok || len(values) == 0 {
			return step + " is not a list with something in it"
		}
	}
	for i, v := range values {
		m := ""
		switch {
		case deeper:
			m = walk(v, rest)
		case sorts != "" && !slices.ContainsFunc(strings.Split(sorts, "|"), func(sort string) bool { return isSort(v, sort) }):
			m = fmt.Sprintf("%v is no %s", v, sorts)
		}
		if m != "" && each {
			return fmt.Sprintf("element %d: %s", i, m)
		}
		if m != "" {
			return m
		}
	}
	return ""
}

func isSort(v any, sort string) bool {
	switch x := v.(type) {
	case nil:
		return sort == "null"
	case string:
		return sort == "string" && x != "" || sort == "time" && len(x) >= 19 && x[10] == 'T'
	case float64:
		return sort == "number"
	case bool:
		return sort == "bool"
	case []any:
		return sort == "list"
	case map[string]any:
		return sort == "object"
	}
	return false
}

type beforeKey struct{}

// snapshot is a fingerprint of every file and folder below dir, but for those that
// the test machinery makes.
func snapshot(dir string) (map[string]string, error) {
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, p)
		if err != nil {
			return err
		}
		if rel == ".tmp" || rel == ".gocoverdir" {
			return filepath.SkipDir
		}
		out[rel] = "folder"
		if d.Type().IsRegular() {
			data, err := os.ReadFile(p)
			if err != nil {
				return err
			}
			out[rel] = fmt.Sprintf("%x", sha256.Sum256(data))
		}
		return nil
	})
	return out, err
}

func written(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: written N")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	after, err := snapshot(ts.Getenv("WORK"))
	ts.Check(err)
	before := ts.Value(beforeKey{}).(map[string]string)
	var changed []string
	for name, sum := range after {
		if before[name] != sum {
			changed = append(changed, name)
		}
	}
	for name := range before {
		if _, ok := after[name]; !ok {
			changed = append(changed, name+" (gone)")
		}
	}
	slices.Sort(changed)
	if len(changed) != want {
		ts.Fatalf("%d files and folders were made or changed, want %d: %s", len(changed), want, strings.Join(changed, ", "))
	}
}

// TestWalk shows that the path walker of the scripts can say no.
func TestWalk(t *testing.T) {
	var v any
	if err := json.NewDecoder(bytes.NewReader([]byte(`{"a":{"b":1,"at":"2031-11-07T22:45:00"},"l":[{"x":"y"},{"z":null}],"e":[]}`))).Decode(&v); err != nil {
		t.Fatal(err)
	}
	for path, good := range map[string]bool{
		"a.b": true, "a.b:number": true, "a.b:string": false, "a.c": false, "a.c|b": true, "a.at:time": true, "a.b.c": false,
		"l[]": true, "l[].x": false, "l[].x|z": true, "l[].x|z:string": false, "l[].x|z:string|null": true, "e[].x": false, "e": true, "e:list": true, "e[]": false,
	} {
		if m := walk(v, path); (m == "") != good {
			t.Errorf("%s: %q, want good %v", path, m, good)
		}
	}
}
