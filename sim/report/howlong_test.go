package report

import (
	"strings"
	"testing"

	"millrace/sim/works"
)

// TestPeopleFit: what concerns people is never cut short, whatever has happened.
func TestPeopleFit(t *testing.T) {
	for _, k := range works.Kinds {
		lines := wrap("PEOPLE  Headcount first: everybody accounted for? "+k.Caution, 8, 99)
		if len(lines) > 3 {
			t.Errorf("%s: %d lines, 3 fit:\n%s", k.Name, len(lines), strings.Join(lines, "\n"))
		}
	}
}
