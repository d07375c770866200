package checktable_test

import (
	"fmt"
	"strings"
	"testing"

	"millrace/sim/steel/checktable"
)

// heard collects what a check reports.
type heard struct{ lines []string }

func (h *heard) Helper() {}
func (h *heard) Errorf(format string, args ...any) {
	h.lines = append(h.lines, fmt.Sprintf(format, args...))
}

const head = "# cited\nid,quantity,inputs,expected,tolerance,source,provenance\n"

func TestCheck(t *testing.T) {
	sum := map[string]func(in *checktable.Inputs) float64{"sum": func(in *checktable.Inputs) float64 { return in.Next() + in.Next() }}
	for _, c := range []struct{ rows, want string }{
		{"A,sum,1 2,3,0,book,read\n", ""},
		{"A,sum,1 2,3.02,1%,book,read\n", ""},
		{"A,sum,1 2,3.02,0.01,book,read\n", "A sum [1 2] = 3, want 3.02"},
		{"A,sum,1 nan,3,9,book,read\n", "= NaN"},
		{"A,sum,1,3,9,book,read\n", "inputs too few"},
		{"A,sum,1 2 3,3,9,book,read\n", "too many"},
		{"A,product,1 2,2,0,book,read\n", "nothing answers"},
		{"A,sum,1 2,3,,book,read\n", "invalid syntax"},
		{"A,sum,1 2,3,-1,book,read\n", "no tolerance"},
		{"A,sum,1 x,3,0,book,read\n", "invalid syntax"},
		{"A,sum,1 2,x,0,book,read\n", "invalid syntax"},
		{"A,sum,1 2,3,0,,read\n", "no source"},
		{"", "want a line"},
	} {
		var h heard
		checktable.Check(&h, head+c.rows, sum)
		got := strings.Join(h.lines, "\n")
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%q gives %q, want %q", c.rows, got, c.want)
		}
	}
}
