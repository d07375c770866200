package capital

import (
	"math"
	"testing"

	"millrace/sim/futures/cashflow"
)

// Money is not back before the option works, and what was never paid is back at once.
func TestPaybackFromTheDecision(t *testing.T) {
	for _, x := range []struct {
		name  string
		flows []float64 // from the first that is not 0
		begin int
		works float64 // years from the decision
		want  float64 // by hand; -1 for never
	}{
		{"works at once", []float64{-150, 600}, 0, 0, 0.25},
		{"works after four months", []float64{-150, 600}, 0, 4. / 12, 4./12 + 0.25*8/12},
		{"works after fourteen, back in the third year", []float64{-300, 100, 400}, 1, 14. / 12, 2.5},
		{"works after fourteen, back in the second", []float64{-300, 400}, 1, 14. / 12, 14./12 + 0.75*10/12},
		{"works after a year to the day", []float64{-300, 400}, 1, 1, 1.75},
		{"nothing was ever paid", []float64{200, 200}, 1, 0.5, 0},
		{"never", []float64{-300, 100}, 0, 0.5, -1},
	} {
		p, err := cashflow.Payback(x.flows)
		if err != nil {
			t.Fatal(err)
		}
		got := -1.0
		if v := years(p, x.begin, x.works); v != nil {
			got = *v
		}
		if math.Abs(got-x.want) > 1e-4 {
			t.Errorf("%s: %g, want %g", x.name, got, x.want)
		}
	}
}
