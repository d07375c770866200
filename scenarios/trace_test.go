package scenarios_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

var rewrite = flag.Bool("rewrite", false, "write the traces anew")

// trace is a log that a person can read: what people would have written down,
// and every few hours how the works stands.
type trace struct {
	p     *works.Plant
	b     strings.Builder
	start quantity.Clock
	quiet map[works.Word]bool
}

func (l *trace) clock(t calendar.Time) string {
	return quantity.FormatClock(l.start.Add(t.Seconds()), l.start)
}

func (l *trace) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		if e.Kind == record.Note && l.quiet[works.Word(e.A)] || e.Kind == record.Due {
			continue
		}
		if s := l.p.Say(e, l.clock); s != "" {
			fmt.Fprintf(&l.b, "%s  %s\n", l.clock(e.T), s)
		}
	}
}

// state writes how the works stands.
func (l *trace) state(w *works.Works) {
	c := func(name string) string {
		us := l.p.UnitsNamed(name)
		return w.StateOf(us[0]).String()
	}
	level := func(name string) float64 {
		at, _ := l.p.StoreNamed(name)
		return float64(w.S.Mass[at]) / 1e6
	}
	fmt.Fprintf(&l.b, "%s  -- yard %.0f t, torpedoes %.0f t, coil yard %.0f t, cool %.0f t, gas %.0f GJ | C1 %s, C2 %s, rougher %s, train %s, pickle line %s\n",
		l.clock(w.Now()), level("slab yard"), level("torpedoes"), level("coil yard"), float64(w.S.CoolPickG)/1e6, w.S.Gas/1e9,
		c("C1"), c("C2"), c("rougher"), c("finishing train"), c("pickle line"))
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *rewrite {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range g {
			if i >= len(w) || g[i] != w[i] {
				t.Fatalf("%s line %d:\n got  %s\n want %s\n(go test ./scenarios -rewrite writes the traces anew; read the difference before you keep it)", file, i+1, g[i], at(w, i))
			}
		}
		t.Fatalf("%s: the trace ends early", file)
	}
}

func at(s []string, i int) string {
	if i < len(s) {
		return s[i]
	}
	return "(nothing)"
}

// play runs Larkfell with one scripted upset and nothing else going wrong.
func play(t *testing.T, script []works.UpsetSpec, hours, every int, d works.Director) (*works.Works, *record.Memory, string) {
	t.Helper()
	p := larkfell(t)
	start, _ := quantity.ParseClock("2031-11-07 06:00")
	l := &trace{p: p, start: start, quiet: map[works.Word]bool{works.WordSpeed: true, works.WordRolls: true}}
	m := &record.Memory{}
	w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 11}, SoldOut: true, Script: script})
	w.Sink = record.Both(l, m)
	w.Director = d
	for h := 0; h <= hours; h += every {
		if err := w.Run(calendar.Time(h) * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		l.state(w)
	}
	if errs := w.Check(); len(errs) > 0 {
		t.Fatal(errs)
	}
	return w, m, l.b.String()
}

func fixed(seconds float64) chance.Law {
	l, err := chance.Fixed(seconds)
	if err != nil {
		panic(err)
	}
	return l
}

func wreck(at, lasts float64) []works.UpsetSpec {
	return []works.UpsetSpec{{Kind: works.StandWreck, Name: "stand wreck", Unit: "finishing train", Scripted: true, At: at * 3600, Lasts: fixed(lasts * 3600),
		Ruins: works.RuinPiece | works.RuinRolls, ComesBack: 0.7, BackFor: 2 * 3600,
		Told: works.ToldSpec{Given: true, After: 1200, Low: 4 * 3600, Likely: 8 * 3600, Bad: 26 * 3600, NextWord: 3 * 3600}}}
}

// TestTraceWreckOfADay: a wreck that lasts a day, nobody does anything.
func TestTraceWreckOfADay(t *testing.T) {
	_, _, log := play(t, wreck(16.6667, 26), 96, 4, nil)
	golden(t, "wreck-of-a-day.txt", log)
}
