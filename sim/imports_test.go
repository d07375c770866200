package sim_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "millrace"

// room is one package and the packages of ours that it may import.
type room struct {
	name string
	core bool
	may  string
}

// rooms is the policy. It is read from top to bottom: a room only imports rooms
// that stand above it. The core is a pure function of its input: no files, no
// network, no wall clock, no logging, no goroutine.
var rooms = []room{
	{"sim", false, ""},
	{"sim/quantity", true, ""},
	{"sim/calendar", true, ""},
	{"sim/chance", true, "sim/quantity"},
	{"sim/steel", true, "sim/quantity"},
	{"sim/steel/checktable", true, ""}, // for tests
	{"sim/propseed", true, ""},         // for tests
	{"sim/reftable", true, ""},         // for tests
	{"sim/steel/conduction", true, ""},
	{"sim/steel/casting", true, "sim/steel sim/quantity"},
	{"sim/steel/reheating", true, "sim/steel sim/quantity"},
	{"sim/steel/rolling", true, "sim/steel sim/quantity"},
	{"sim/steel/hotrolling", true, "sim/steel sim/steel/rolling sim/quantity"},
	{"sim/steel/coilheat", true, "sim/steel sim/quantity"},
	{"sim/steel/cooling", true, "sim/steel sim/steel/conduction sim/quantity sim/steel/coilheat"},
	{"sim/steel/pickling", true, "sim/steel sim/quantity"},
	{"sim/steel/coldrolling", true, "sim/steel sim/steel/rolling sim/quantity"},
	{"sim/steel/annealing", true, "sim/steel sim/steel/coilheat sim/quantity"},
	{"sim/flow", true, "sim/calendar sim/chance"},
	{"sim/record", true, "sim/calendar sim/quantity"},
	{"sim/works", true, "sim/calendar sim/quantity sim/chance sim/steel sim/steel/casting sim/steel/reheating sim/steel/hotrolling sim/steel/cooling sim/steel/pickling sim/steel/coldrolling sim/steel/annealing sim/flow sim/record"},
	{"sim/measure", true, "sim/record sim/calendar sim/quantity"},
	{"sim/futures/judge", false, "sim/chance sim/quantity"},
	{"sim/futures/cashflow", false, ""},
	{"sim/futures", false, "sim/futures/judge sim/works sim/measure sim/record sim/chance sim/calendar sim/quantity"},
	{"sim/futures/capital", false, "sim/futures sim/futures/judge sim/futures/cashflow sim/works sim/measure sim/record sim/calendar sim/quantity"},
	{"sim/files", false, "sim/futures sim/record sim/measure sim/works sim/calendar sim/quantity"},
	{"sim/report", false, "sim/futures sim/futures/judge sim/futures/capital sim/measure sim/record sim/calendar sim/quantity"},
	{"sim/bus", false, "sim/record sim/futures sim/calendar sim/quantity"},                                                     // never meets Lua
	{"sim/drill", false, "sim/futures sim/works sim/flow sim/measure sim/record sim/bus sim/chance sim/calendar sim/quantity"}, // no HTTP, no Lua
	{"viewer", false, "sim/record sim/bus sim/calendar sim/quantity"},
	{"scripting/sandbox", false, "sim/quantity"},
	{"scripting/decl", false, "scripting/sandbox sim/quantity"},
	{"scripting", false, "scripting/decl scripting/sandbox sim/works sim/record sim/chance sim/calendar sim/quantity"},
	{"scenarios", false, ""},
	{"cmd/millrace", false, "*"}, // the only place that wires the rest
}

// libraries are the packages of others and the rooms that may use them directly;
// a library that ends in "/..." stands for everything below it, and so does a
// room. "tests" is any test file.
var libraries = map[string]string{
	"github.com/cespare/xxhash/v2":               "sim/record sim/futures sim/futures/capital",
	"github.com/chromedp/...":                    "tests",
	"github.com/compose-spec/compose-go/v2/...":  "tests",
	"github.com/gorilla/websocket":               "viewer tests",
	"github.com/jedib0t/go-pretty/v6/...":        "cmd/millrace sim/report",
	"github.com/mattn/go-isatty":                 "cmd/millrace",
	"github.com/nats-io/...":                     "sim/bus viewer cmd/millrace tests",
	"github.com/rogpeppe/go-internal/testscript": "tests",
	"github.com/rs/zerolog":                      "cmd/millrace sim/bus viewer",
	"github.com/santhosh-tekuri/jsonschema/v6":   "tests",
	"github.com/spf13/...":                       "cmd/millrace",
	"github.com/xuri/excelize/v2":                "sim/report",
	"github.com/yuin/gopher-lua/...":             "scripting/...",
	"go.yaml.in/yaml/v4":                         "tests",
	"gonum.org/v1/gonum/...":                     "sim/chance sim/steel/... sim/measure sim/futures/... tests",
	"pgregory.net/rapid":                         "sim/propseed tests",
}

// banned says what the core may not import of the standard library, and why.
var banned = map[string]string{
	"context":       "nobody calls the core off",
	"io/fs":         "it reads no files",
	"log/...":       "it writes no log; what happens goes out as records",
	"math/rand/...": "luck is keyed: use sim/chance",
	"net/...":       "it knows no network",
	"os/...":        "it has no files, arguments or environment",
	"os/signal":     "it has no signals",
	"path/filepath": "it reads no files",
	"sync/...":      "it has no goroutines",
	"syscall":       "it knows no machine",
	"time":          "it has no wall clock; simulated time is calendar.Time",
	"unsafe":        "state is values",
}

// exempt are uses of banned packages that are allowed.
var exempt = map[string]string{
	"sim/quantity": "time",             // dates as people write them
	"sim/propseed": "os",               // whether it is night; only tests import it
	"sim/reftable": "os path/filepath", // testdata; only tests import it
}

// upward are imports by test files of the core from above the core, each with its
// reason. There are none.
var upward = map[string]string{}

// source is one file of ours.
type source struct {
	path, dir string
	test      bool
	file      *ast.File
}

// TestImports holds the whole tree against the table.
func TestImports(t *testing.T) {
	set := token.NewFileSet()
	for _, m := range check(sources(t, set), set, rooms) {
		t.Error(m)
	}
}

// check returns one line for every line of the policy that is crossed.
func check(files []source, set *token.FileSet, rooms []room) (wrong []string) {
	say := func(format string, a ...any) { wrong = append(wrong, fmt.Sprintf(format, a...)) }
	table := map[string]*room{}
	for i := range rooms {
		r := &rooms[i]
		if table[r.name] != nil {
			say("the table lists %s twice", r.name)
		}
		for _, may := range strings.Fields(r.may) {
			if may != "*" && table[may] == nil {
				say("the table lets %s import %s, which does not stand above it", r.name, may)
			}
		}
		table[r.name] = r
	}
	found := map[string]bool{}
	for _, f := range files {
		if !f.test && f.dir != "." {
			found[f.dir] = true
		}
	}
	for name := range table {
		if !found[name] {
			say("the table lists %s, but there is no such package", name)
		}
	}
	missing := map[string]bool{}
	for _, f := range files {
		r := table[f.dir]
		if r == nil {
			if !missing[f.dir] {
				missing[f.dir] = true
				say("package %s is not in the table: say there what it may import", f.dir)
			}
			continue
		}
		for _, spec := range f.file.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			if m := r.judge(name, f.test, table); m != "" {
				say("%s:%d: %s", f.path, set.Position(spec.Pos()).Line, m)
			}
		}
		if r.core && !f.test {
			ast.Inspect(f.file, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.GoStmt:
					say("%s:%d: a goroutine in the core: %s is a pure function of its input", f.path, set.Position(n.Pos()).Line, f.dir)
				case *ast.ChanType:
					say("%s:%d: a channel in the core: %s is a pure function of its input", f.path, set.Position(n.Pos()).Line, f.dir)
				}
				return true
			})
		}
	}
	for dir, first := range unseeded(files) {
		say("%s: tests of %s draw with rapid: one of them must import _ %q, or a commit is judged by luck", first, dir, seeds)
	}
	slices.Sort(wrong)
	return wrong
}

// seeds is what gives property tests the same draws in every run.
const seeds = module + "/sim/propseed"

// unseeded are the packages whose tests use rapid and not seeds, with the first file
// that does.
func unseeded(files []source) map[string]string {
	out, seeded := map[string]string{}, map[string]bool{}
	for _, f := range files {
		for _, spec := range f.file.Imports {
			switch name, _ := strconv.Unquote(spec.Path.Value); {
			case name == seeds:
				seeded[f.dir] = true
			case name == "pgregory.net/rapid" && f.test && out[f.dir] == "":
				out[f.dir] = f.path
			}
		}
	}
	for dir := range seeded {
		delete(out, dir)
	}
	return out
}

// judge says what is wrong with a file of the room importing name, "" if nothing.
func (r *room) judge(name string, test bool, table map[string]*room) string {
	if ours, ok := strings.CutPrefix(name, module+"/"); ok {
		switch {
		case ours == r.name: // an external test imports what it tests
		case table[ours] == nil:
			return fmt.Sprintf("%s imports %s, which is not in the table", r.name, ours)
		case test && !r.core:
		case test:
			if !table[ours].core && upward[r.name] != ours {
				return fmt.Sprintf("a test of %s (core) imports %s, which is above the core", r.name, ours)
			}
		case r.may != "*" && !slices.Contains(strings.Fields(r.may), ours):
			return fmt.Sprintf("%s may not import %s; of ours it may import: %s", r.name, ours, orNone(r.may))
		}
		return ""
	}
	if first, _, _ := strings.Cut(name, "/"); strings.Contains(first, ".") {
		rule := longest(libraries, name)
		if rule == "" {
			return fmt.Sprintf("%s imports %s, a library the policy does not know", r.name, name)
		}
		for _, who := range strings.Fields(libraries[rule]) {
			if who == "tests" && test || matches(who, r.name) {
				return ""
			}
		}
		return fmt.Sprintf("%s may not import %s; it is for: %s", r.name, name, libraries[rule])
	}
	if r.core && !test && !slices.Contains(strings.Fields(exempt[r.name]), name) {
		if rule := longest(banned, name); rule != "" {
			return fmt.Sprintf("%s (core) may not import %s: %s", r.name, name, banned[rule])
		}
	}
	return ""
}

func orNone(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

// matches says whether a name is the pattern, or below a pattern that ends in "/...".
func matches(pattern, name string) bool {
	if root, ok := strings.CutSuffix(pattern, "/..."); ok {
		return name == root || strings.HasPrefix(name, root+"/")
	}
	return name == pattern
}

// longest is the longest pattern that matches, "" if none does.
func longest(patterns map[string]string, name string) string {
	best := ""
	for p := range patterns {
		if matches(p, name) && len(p) > len(best) {
			best = p
		}
	}
	return best
}

// sources parses every Go file of the module, whatever its build tags say.
func sources(t *testing.T, set *token.FileSet) (out []source) {
	t.Helper()
	_, here, _, ok := runtime.Caller(0)
	if !ok {
		t.Fatal("this file does not know where it lies")
	}
	root := filepath.Dir(filepath.Dir(here))
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() {
			if p != root && (strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_") || name == "testdata" || name == "runs") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") {
			return nil
		}
		f, err := parser.ParseFile(set, p, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		out = append(out, source{path: rel, dir: path.Dir(rel), test: strings.HasSuffix(name, "_test.go"), file: f})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(out) < 100 {
		t.Fatalf("only %d files found below %s", len(out), root)
	}
	return out
}

// TestImportsAreRefused gives the check a tree in which every rule is broken once.
func TestImportsAreRefused(t *testing.T) {
	table := []room{
		{"low", true, ""},
		{"high", false, "low later"},
		{"gone", false, ""},
		{"scripting/x", false, ""},
		{"sim/quantity", true, ""},
	}
	tree := []struct{ path, text string }{
		{"low/a.go", "package low\nimport (\n\"fmt\"\n\"millrace/high\"\n\"os\"\n\"os/exec\"\n\"time\"\n\"math/rand/v2\"\n\"github.com/spf13/cobra\"\n\"example.org/x\"\n)\nfunc f() {\n\tgo f()\n}\nvar c chan int\n"},
		{"low/a_test.go", "package low_test\nimport (\n\"os\"\n\"millrace/low\"\n\"millrace/high\"\n\"pgregory.net/rapid\"\n)\n"},
		{"high/b.go", "package high\nimport (\n\"os\"\n\"millrace/low\"\n\"pgregory.net/rapid\"\n\"github.com/yuin/gopher-lua\"\n)\nfunc f() { go f() }\n"},
		{"high/b_test.go", "package high\nimport \"millrace/scripting/x\"\n"},
		{"scripting/x/x.go", "package x\nimport (\n\"millrace/low\"\n\"github.com/yuin/gopher-lua/parse\"\n)\n"},
		{"sim/quantity/q.go", "package quantity\nimport (\n\"time\"\n\"sync/atomic\"\n)\n"},
		{"new/n.go", "package new\n"},
	}
	set := token.NewFileSet()
	var files []source
	for _, f := range tree {
		parsed, err := parser.ParseFile(set, f.path, f.text, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, source{path: f.path, dir: path.Dir(f.path), test: strings.HasSuffix(f.path, "_test.go"), file: parsed})
	}
	want := []string{
		"high/b.go:5: high may not import pgregory.net/rapid; it is for: sim/propseed tests",
		"high/b.go:6: high may not import github.com/yuin/gopher-lua; it is for: scripting/...",
		"low/a.go:10: low imports example.org/x, a library the policy does not know",
		"low/a.go:13: a goroutine in the core: low is a pure function of its input",
		"low/a.go:15: a channel in the core: low is a pure function of its input",
		"low/a.go:4: low may not import high; of ours it may import: nothing",
		"low/a.go:5: low (core) may not import os: it has no files, arguments or environment",
		"low/a.go:6: low (core) may not import os/exec: it has no files, arguments or environment",
		"low/a.go:7: low (core) may not import time: it has no wall clock; simulated time is calendar.Time",
		"low/a.go:8: low (core) may not import math/rand/v2: luck is keyed: use sim/chance",
		"low/a.go:9: low may not import github.com/spf13/cobra; it is for: cmd/millrace",
		"low/a_test.go: tests of low draw with rapid: one of them must import _ \"millrace/sim/propseed\", or a commit is judged by luck",
		"low/a_test.go:5: a test of low (core) imports high, which is above the core",
		"package new is not in the table: say there what it may import",
		"scripting/x/x.go:3: scripting/x may not import low; of ours it may import: nothing",
		"sim/quantity/q.go:4: sim/quantity (core) may not import sync/atomic: it has no goroutines",
		"the table lets high import later, which does not stand above it",
		"the table lists gone, but there is no such package",
	}
	if got := check(files, set, table); !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
