package report

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; read the difference, then run with -update:\n%s", name, got)
	}
	for i, l := range strings.Split(got, "\n") {
		if n := utf8.RuneCountInString(l); n > wide {
			t.Errorf("%s line %d has %d columns: %s", name, i+1, n, l)
		}
		if strings.HasSuffix(l, " ") {
			t.Errorf("%s line %d ends in a space", name, i+1)
		}
	}
}

func TestTextIsAsRead(t *testing.T) {
	golden(t, "decided.txt", Compare(sample(), extra()))
	golden(t, "undecided.txt", Compare(undecided(), extra()))
	x := extra()
	x.Currency = "EUR"
	golden(t, "run.txt", Run(sampleRun(), x))
}
