package scripting

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// shipped are the scenarios that come with the program.
func shipped(t testing.TB) (files []string) {
	t.Helper()
	err := fs.WalkDir(scenarios.FS, ".", func(name string, e fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(name, ".lua") && !strings.HasSuffix(name, "works.lua") && !strings.Contains(name, "/cases/") {
			files = append(files, "scenarios/"+name)
		}
		return err
	})
	if err != nil || len(files) < 5 {
		t.Fatalf("found %v %v", files, err)
	}
	return files
}

// begin lays out the works for a plan, nil for none, in one future.
func (sc *Scenario) begin(p *Plan, future uint64) *works.Works {
	s := sc.Start()
	s.Luck = chance.Luck{Seed: sc.Seed, Future: future}
	w := works.Begin(sc.Works.Plant, s)
	if p != nil {
		w.Director = p.Director(s.Luck)
	}
	return w
}

// play runs a plan, nil for none, in one future.
func play(t testing.TB, sc *Scenario, p *Plan, future uint64, length calendar.Time) (*works.Works, string, uint64) {
	t.Helper()
	w := sc.begin(p, future)
	var digest record.Digest
	w.Sink = &digest
	if err := w.Run(length); err != nil {
		t.Fatal(err)
	}
	if d, ok := w.Director.(*Director); ok && d.Err() != nil {
		t.Fatalf("%s: %v", p.Name, d.Err())
	}
	return w, digest.String(), digest.Count()
}

// Every scenario that comes with the program loads, and every plan of it runs to
// the end without an error.
func TestShippedScenariosRun(t *testing.T) {
	for _, file := range shipped(t) {
		t.Run(file, func(t *testing.T) {
			sc, err := LoadScenario(file, DiskThen(scenarios.FS))
			if err != nil {
				t.Fatal(err)
			}
			if len(sc.Plans) < 2 || !sc.Plans[0].Empty {
				t.Errorf("plans %v: the first should be carry on", sc.Plans)
			}
			for i := range sc.Plans {
				w, digest, n := play(t, sc, &sc.Plans[i], 0, 3*calendar.Day)
				t.Logf("%-50s %s %d events", sc.Plans[i].Name, digest, n)
				for _, e := range w.Check() {
					t.Error(e)
				}
			}
		})
	}
}

// A scenario may give the title that players of a drill see.
func TestPublicTitle(t *testing.T) {
	const head = "scenario \"Wreck at night\" {\n works = \"larkfell\", from = \"2031-11-07 06:00\", length = \"3 d\",%s\n}\nplan \"carry on\" {}\n"
	if sc := scenarioText(t, fmt.Sprintf(head, " public = \"Night shift\",")); sc.Public != "Night shift" || sc.Name != "Wreck at night" {
		t.Errorf("%q, %q", sc.Public, sc.Name)
	}
	if sc := scenarioText(t, fmt.Sprintf(head, "")); sc.Public != "" {
		t.Errorf("%q without one", sc.Public)
	}
}
