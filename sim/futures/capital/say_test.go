package capital

import (
	"context"
	"strings"
	"testing"

	"millrace/sim/chance"
	"millrace/sim/measure"
)

// The verdict answers what is asked: does it pay, and is it the best?
func TestVerdict(t *testing.T) {
	for _, test := range []struct {
		name    string
		gain    [2]float64 // a year, of the two options that cost 1,000
		noise   float64
		says    string // begins with
		decided bool
	}{
		{"one is best", [2]float64{3000, 9000}, 100, `Yes: "b" is worth 8,0`, true},
		{"both pay, which is better is luck", [2]float64{9000, 9010}, 4000, "Yes, it pays to act: ", false},
		{"neither pays", [2]float64{200, 300}, 10, `No: "b" is worth -700`, true},
		{"luck hides it", [2]float64{1000, 1010}, 9000, "Cannot tell", false},
	} {
		t.Run(test.name, func(t *testing.T) {
			in := load(t, head+`
option "a" { pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "2 h" } } }
option "b" { role = "bigger", pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "1 h" } } }`)
			c := &Case{Name: "x", Years: 1, Life: 1, Discount: 0, SoldOut: true, Options: options(in), Seed: 5, Futures: 20, Workers: 1}
			c.stub = func(j *job, option int) {
				var a measure.Account
				if option > 0 {
					luck := chance.Luck{Seed: 3, Future: j.future}
					a[measure.Margin] = -test.gain[option-1] - test.noise*(luck.Uniform(1, uint64(option), 0)-luck.Uniform(1, uint64(option), 1))
				}
				j.to.years, j.to.out, j.to.done = []measure.Account{a}, []float64{0}, true
			}
			a, err := Decide(context.Background(), c, nil)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(a.Verdict, test.says) || a.Decided != test.decided {
				t.Errorf("decided %v: %s\nwant it to begin with %q", a.Decided, a.Verdict, test.says)
			}
		})
	}
}

// TestCouldPay: where no interval reaches above nothing the answer is no, whatever else
// is undecided.
func TestCouldPay(t *testing.T) {
	below, above := Outcome{NPV: Spread{Mean: -9, Low: -12, High: -6}}, Outcome{NPV: Spread{Mean: -9, Low: -30, High: 12}}
	for _, x := range []struct {
		options []Outcome
		could   bool
	}{{[]Outcome{{}, below, below}, false}, {[]Outcome{{}, below, above}, true}} {
		if a := (&Answer{Options: x.options}); a.couldPay() != x.could {
			t.Errorf("%+v: could pay %v", x.options, a.couldPay())
		}
	}
}
