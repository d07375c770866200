package decl

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"

	"millrace/scripting/sandbox"
	"millrace/sim/quantity"
)

// language is a small language for the tests. seen gets the blocks.
func language(seen func(Block)) *Language {
	l := NewLanguage()
	for _, kind := range []string{"works", "upset", "plan"} {
		l.RegisterBlock(kind, seen)
	}
	for _, tag := range []string{"lognormal", "fixed", "include"} {
		l.RegisterTag(tag)
	}
	l.RegisterFunc("hours", func(ls *lua.LState) int {
		ls.Push(ls.CheckNumber(1) * 3600)
		return 1
	})
	l.RegisterFunc("await", func(ls *lua.LState) int { return sandbox.Yield(ls, ls.Get(1)) })
	return l
}

func load(t testing.TB, file string) *Script {
	t.Helper()
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Compile(filepath.Base(file), source)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// read reads a file and gives its blocks by title.
func read(t testing.TB, s *Script) map[string]Block {
	t.Helper()
	blocks := map[string]Block{}
	if _, err := language(func(b Block) { blocks[b.Kind+" "+b.Name] = b }).Read(s, sandbox.Options{}); err != nil {
		t.Fatal(err)
	}
	return blocks
}

func TestPlaces(t *testing.T) {
	blocks := read(t, load(t, "testdata/wreck.lua"))
	works, upset := blocks["works Larkfell"].Table(), blocks["upset stand wreck"].Table()
	sub := func(t *Table, key string) *Table { s, _ := t.Sub(key); return s }
	casters := sub(works, "casters")
	lasts, _ := upset.Get("lasts")
	repair, _ := upset.Get("repair")
	orders, _ := works.Get("orders")
	heats, _ := works.Get("heats")
	for _, c := range []struct {
		what string
		got  Place
		line int
	}{
		{"works", blocks["works Larkfell"].Place, 9},
		{"works table", works.Place, 9},
		{"note", works.At("note"), 10},
		{"casters", works.At("casters"), 12},
		{"C2", casters.At("C2"), 12},
		{"C2, made by a function", sub(casters, "C2").Place, 3},
		{"C2.speed", sub(casters, "C2").At("speed"), 5},
		{"C1.strands", sub(casters, "C1").At("strands"), 4},
		{"C 3.strands", sub(casters, "C 3").At("strands"), 12},
		{"first heat", heats.Table.Items()[0].Place, 13},
		{"third heat", heats.Table.Items()[2].Place, 14},
		{"orders", orders.Place, 15},
		{"upset", blocks["upset stand wreck"].Place, 18},
		{"at", upset.At("at"), 19},
		{"lasts", lasts.Place, 20},
		{"lasts.median", lasts.Table.At("median"), 20},
		{"lasts.one_in_ten", lasts.Table.At("one_in_ten"), 21},
		{"told.low", sub(upset, "told").At("low"), 22},
		{"comes_back.for", sub(upset, "comes_back").At("for"), 24},
		{"repair", repair.Place, 26},
		{"missing key", upset.At("nothing"), 18},
		{"carry on", blocks["plan carry on"].Place, 30},
		{"wait a while", blocks["plan wait a while"].Place, 32},
		{"short form", blocks["plan short form"].Place, 37},
		{"short form act", blocks["plan short form"].Table().At("act"), 37},
	} {
		if c.got != (Place{"wreck.lua", c.line}) {
			t.Errorf("%s is at %v, want line %d", c.what, c.got, c.line)
		}
	}
}

func TestDecoding(t *testing.T) {
	blocks := read(t, load(t, "testdata/wreck.lua"))
	works, upset := blocks["works Larkfell"].Table(), blocks["upset stand wreck"].Table()
	lasts, _ := upset.Get("lasts")
	repair, _ := upset.Get("repair")
	orders, _ := works.Get("orders")
	told, _ := upset.Get("told")
	back, _ := upset.Sub("comes_back")
	at, _ := upset.Clock("at")
	estimate, _ := upset.Estimate("word")
	estimate2, _ := told.AsEstimate()
	heats, _ := works.Strings("heats")
	units, _ := upset.Strings("unit")
	slabs, _ := upset.Count("slabs")
	repeats, _ := upset.Int("repeats")
	chance, _ := upset.Number("chance")
	pace, _ := back.MustNumber("pace")
	hours, _ := back.MustQuantity("for", quantity.Time)
	sorry, _ := upset.Bool("sorry")
	median, _ := lasts.Table.Quantity("median", quantity.Time)
	_, missing := upset.Quantity("missing", quantity.Time)
	kind, _ := upset.Enum("unit", "caster", "finishing train")
	var casters []string
	c, _ := works.Sub("casters")
	for _, e := range c.Entries() {
		casters = append(casters, e.Key)
	}
	for _, c := range []struct{ got, want any }{
		{lasts.Tag, "lognormal"}, {median, 39600.0}, {repair.Tag + " " + repair.Text, "fixed 8 h"}, {orders.Tag + " " + orders.Text, "include orders.csv"},
		{at.String(), "2031-11-07 22:40"}, {estimate, quantity.Estimate{Low: 14400, Likely: 28800, Bad: 93600}}, {estimate2, estimate},
		{heats, []string{"first", "second", "third"}}, {units, []string{"finishing train"}}, {slabs, 120}, {repeats, 3}, {chance, 0.25},
		{pace, 0.6}, {hours, 7200.0}, {sorry, true}, {missing, false}, {kind, "finishing train"},
		{casters, []string{"C2", "C1", "C 3"}},
		{upset.QuantityOr("missing", quantity.Time, 5), 5.0}, {upset.StringOr("unit", "x"), "finishing train"}, {upset.StringOr("missing", "x"), "x"},
		{upset.IntOr("missing", 4), 4}, {upset.CountOr("slabs", 1), 120}, {upset.NumberOr("chance", 1), 0.25}, {upset.BoolOr("missing", true), true},
		{upset.EnumOr("missing", "a", "a", "b"), "a"}, {upset.Has("for"), false}, {back.Has("for"), true},
	} {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
}

func TestRecall(t *testing.T) {
	script := load(t, "testdata/wreck.lua")
	lang := language(func(Block) {})
	for range 2 {
		state, calls, err := lang.Recall(script, sandbox.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var titles []string
		for _, c := range calls {
			titles = append(titles, c.Kind+" "+c.Name)
		}
		want := []string{"works Larkfell", "upset stand wreck", "plan carry on", "plan wait a while", "plan short form"}
		if !reflect.DeepEqual(titles, want) {
			t.Fatalf("got %v", titles)
		}
		task := state.Start(calls[3].Value.(*lua.LFunction), lua.LString("handle"))
		out, done, err := task.Resume()
		if err != nil || done || !reflect.DeepEqual(out, []lua.LValue{lua.LNumber(7200)}) {
			t.Errorf("got %v %v %v", out, done, err)
		}
		out, done, err = task.Resume()
		if err != nil || !done || !reflect.DeepEqual(out, []lua.LValue{lua.LString("handle")}) {
			t.Errorf("got %v %v %v", out, done, err)
		}
		state.Close()
	}
}

// decodeAll asks for every kind of value, so that each test file can hold
// what is wrong with one.
func decodeAll(b Block) {
	if b.Kind != "upset" {
		return
	}
	t := b.Table()
	t.Known("unit", "at", "lasts", "length", "share", "sorry", "repeats", "slabs", "ruins", "told", "word", "for", "name", "heats", "act", "back", "fixed_for", "list", "count")
	t.MustString("unit")
	t.Clock("at")
	t.Quantity("lasts", quantity.Time)
	t.Quantity("length", quantity.Time)
	t.Number("share")
	t.Bool("sorry")
	t.Int("repeats")
	t.Count("slabs")
	t.Enum("ruins", "bars in the train", "nothing")
	t.Estimate("told")
	t.Estimate("word")
	t.String("for")
	t.String("name")
	t.Strings("heats")
	t.Fn("act")
	if back, ok := t.Sub("back"); ok {
		back.Known("pace", "for")
	}
	t.Quantity("fixed_for", quantity.Time)
	t.Quantities("list", quantity.Length)
	t.Quantity("count", quantity.Count)
}

// TestProblems reads each file under testdata/problems; the comments at its
// end say which problems, in order, it has: "-- line: text".
func TestProblems(t *testing.T) {
	files, err := filepath.Glob("testdata/problems/*.lua")
	if err != nil || len(files) == 0 {
		t.Fatal("no files", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			source, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			_, wanted, _ := strings.Cut(string(source), "\n-- problems\n")
			var want []string
			for _, line := range strings.Split(strings.TrimSpace(wanted), "\n") {
				line = strings.TrimPrefix(strings.TrimPrefix(line, "--"), " ")
				if text, more := strings.CutPrefix(line, "  "); more {
					want[len(want)-1] += "\n  " + text
					continue
				}
				want = append(want, filepath.Base(file)+":"+line)
			}
			_, err = language(decodeAll).Read(load(t, file), sandbox.Options{Limits: sandbox.Limits{Steps: 10_000}})
			var problems Problems
			if !errors.As(err, &problems) {
				t.Fatalf("got %v, want Problems", err)
			}
			for i := range max(len(want), len(problems)) {
				got, wanted := "(nothing)", "(nothing)"
				if i < len(problems) {
					got = problems[i].Error()
				}
				if i < len(want) {
					wanted = want[i]
				}
				if got != wanted {
					t.Errorf("problem %d\ngot  %s\nwant %s", i+1, got, wanted)
				}
			}
		})
	}
}

func TestProblemsAreCutOff(t *testing.T) {
	var p Problems
	for i := range 20 {
		p.At(Place{"f.lua", 20 - i}, fmt.Sprint("wrong ", i), "")
	}
	p.At(Place{"f.lua", 20}, "wrong 0", "")
	if len(p) != 20 {
		t.Errorf("%d problems: one was added twice", len(p))
	}
	text := p.Err().Error()
	if lines := strings.Split(text, "\n"); len(lines) != 13 || lines[0] != "f.lua:1: wrong 19" || lines[12] != "and 8 more" {
		t.Errorf("got\n%s", text)
	}
	var none Problems
	if none.Add(nil); none.Err() != nil {
		t.Error("no problems are an error")
	}
}

func BenchmarkRead(b *testing.B) {
	script := load(b, "testdata/wreck.lua")
	lang := language(func(Block) {})
	for b.Loop() {
		if _, err := lang.Read(script, sandbox.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRecall(b *testing.B) {
	script := load(b, "testdata/wreck.lua")
	lang := language(func(Block) {})
	for b.Loop() {
		s, _, err := lang.Recall(script, sandbox.Options{})
		if err != nil {
			b.Fatal(err)
		}
		s.Close()
	}
}
