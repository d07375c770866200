package sandbox

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"
)

// TestMessages runs each script under testdata/errors. Its first lines say
// what the error must be, to the letter.
func TestMessages(t *testing.T) {
	files, err := filepath.Glob("testdata/errors/*.lua")
	if err != nil || len(files) < 20 {
		t.Fatalf("only %d scripts found: %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			source, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var want string
			for _, line := range strings.Split(string(source), "\n") {
				if text, ok := strings.CutPrefix(line, "-- want: "); ok {
					want = text
				}
				if text, ok := strings.CutPrefix(line, "-- hint: "); ok {
					want += "\n  " + text
				}
			}
			err = runSource(filepath.Base(file), source, Options{Limits: Limits{Steps: 100_000}})
			var scriptError *Error
			if !errors.As(err, &scriptError) {
				t.Fatalf("got %v (%T), want an *Error", err, err)
			}
			if err.Error() != want {
				t.Errorf("got\n%s\nwant\n%s", err, want)
			}
		})
	}
}

func runSource(file string, source []byte, o Options) error {
	p, err := Compile(file, source)
	if err != nil {
		return err
	}
	s := newTestState(p, o)
	defer s.Close()
	return s.Run()
}

// newTestState is a state with a function that waits.
func newTestState(p *Program, o Options) *State {
	s := NewState(p, o)
	s.Register("wait", func(l *lua.LState) int { return Yield(l, l.Get(1)) })
	return s
}

func TestErrorText(t *testing.T) {
	for _, c := range []struct {
		err  Error
		want string
	}{
		{Error{File: "a.lua", Line: 3, Msg: "wrong"}, "a.lua:3: wrong"},
		{Error{File: "a.lua", Msg: "wrong"}, "a.lua: wrong"},
		{Error{File: "a.lua", Line: 3, Msg: "wrong", Hint: "do right"}, "a.lua:3: wrong\n  do right"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestSourceLimits(t *testing.T) {
	deep := func(unit, end string, n int) []byte {
		return []byte("local x = " + strings.Repeat(unit, n) + end)
	}
	for _, c := range []struct {
		name   string
		source []byte
		want   string
	}{
		{"too long", bytes.Repeat([]byte("-"), MaxSource+1), "at most 65536 are allowed"},
		{"zero byte", []byte("local x\n\x00"), "f.lua:2: the file holds a zero byte"},
		{"nested not", deep("not ", "true", 16_000), "nested too deeply"},
		{"long sum", deep("1+", "1", 32_000), "nested too deeply"},
		{"nested brackets", deep("(", "1"+strings.Repeat(")", 30_000), 30_000), ""},
		{"nested tables", deep("{", strings.Repeat("}", 30_000), 30_000), "nested too deeply"},
		{"nested functions", []byte(strings.Repeat("do ", 9000) + strings.Repeat("end ", 9000)), "nested too deeply"},
		{"long join", deep("'a'..", "'a'", 10_000), "nested too deeply"},
		{"many locals", []byte(strings.Repeat("local a\n", 300)), "too many local names"},
		{"nested calls", []byte("local f\nlocal x = f" + strings.Repeat("()", 20_000)), "nested too deeply"},
		{"long comment open", []byte("--[[ never closed"), "f.lua:1: "},
		{"bytes", []byte("\xff\xfe\x01"), "f.lua:1: "},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Compile("f.lua", c.source)
			if c.want == "" {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Fatalf("got %v, want %q in it", err, c.want)
			}
		})
	}
	if _, err := Compile("f.lua", []byte("\xef\xbb\xbflocal x = 1")); err != nil {
		t.Errorf("a byte order mark is no reason to refuse a file: %v", err)
	}
}
