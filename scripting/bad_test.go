package scripting

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/scripting/decl"
	"millrace/sim/calendar"
)

// TestBadInput reads every file under testdata/bad. Each begins with the messages
// it must give, one "-- want:" line for each, and nothing else may be said. A file
// that loads is played: its plan must fail.
func TestBadInput(t *testing.T) {
	alone(t)
	files, err := filepath.Glob("testdata/bad/*.lua")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			source, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var want []string
			for _, line := range strings.Split(string(source), "\n") {
				if w, ok := strings.CutPrefix(line, "-- want: "); ok {
					want = append(want, w)
				}
			}
			got := messages(t, file)
			if strings.Join(got, "\n") != strings.Join(want, "\n") {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		})
	}
}

// messages are what reading, or else playing, the file says; hints that stand on a
// line of their own come after " | ".
func messages(t *testing.T, file string) (out []string) {
	t.Helper()
	add := func(err error) {
		text := strings.ReplaceAll(err.Error(), filepath.ToSlash(filepath.Dir(file))+"/", "")
		out = append(out, strings.ReplaceAll(text, "\n  ", " | "))
	}
	sc, err := LoadScenario(file, DiskThen(scenarios.FS))
	if err != nil {
		var p decl.Problems
		if !errors.As(err, &p) {
			t.Fatalf("%T, want decl.Problems: %v", err, err)
		}
		for _, one := range p {
			add(one)
		}
		return out
	}
	for i := range sc.Plans {
		w := sc.begin(&sc.Plans[i], 0)
		if err := w.Run(calendar.Day); err != nil && (w.Director == nil || w.Director.(*Director).Err() == nil) {
			t.Fatal(err)
		}
		if d, ok := w.Director.(*Director); ok && d.Err() != nil {
			add(d.Err())
			if at, topics := d.Wants(); at != calendar.Never || topics != 0 {
				t.Error("a plan that failed wants to be asked again")
			}
		}
	}
	return out
}

// alone leaves a test of one goroutine out where only goroutines that meet are looked at:
// the race detector takes minutes over it and can find nothing.
func alone(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("one goroutine at work; run without -short")
	}
}
