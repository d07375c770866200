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
		louder  float64 // times the noise of a
		futures int
		says    string // begins with
		ends    string // and says so too
		decided bool
	}{
		{"one is best", [2]float64{3000, 9000}, 100, 1, 20, `Yes: "b" is worth 8,0`, ".", true},
		{"both pay, which is better is luck", [2]float64{9000, 9010}, 4000, 1, 20, "Yes, it pays to act: ", "is too close to tell; more futures will hardly decide it.", false},
		{"neither pays", [2]float64{200, 300}, 10, 1, 20, `No: "b" is worth -700`, ".", true},
		{"luck hides it", [2]float64{1000, 1010}, 9000, 1, 20, "Cannot tell which is best: ", "will hardly decide it.", false},
		{"one is clear of nothing, on few futures", [2]float64{-9000, 2000}, 100, 1, 8, `Cannot tell yet: "b" is worth 996 EUR`,
			"; that is clear of 0; 8 futures are too few to decide, play 10 or more (--futures 10).", false},
		{"both are, on few futures", [2]float64{2000, 2010}, 1000, 1, 8, `Cannot tell yet: "b" is worth`, "; that is clear of 0; 8 futures are too few to decide, play 20 or more (--futures 20).", false},
		{"luck hides it, few futures", [2]float64{-9000, 1100}, 3000, 1, 3, `Cannot tell which is best: "b" leads with`, `"carry on" is too close; 3 futures are too few to decide, play `, false},
		{"one is clear of nothing, beside a loud one that is far behind", [2]float64{-90000, 2000}, 1000, 60, 20, `Yes: "b" is worth 1,0`, ".", true},
		{"one is clear of nothing, beside one so loud that it may be better", [2]float64{-4000, 2000}, 1000, 60, 20, `Yes, it pays to act: "b" is worth `,
			"That no other option is better cannot be told", false},
	} {
		t.Run(test.name, func(t *testing.T) {
			in := load(t, head+`
option "a" { pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "2 h" } } }
option "b" { role = "bigger", pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "1 h" } } }`)
			c := &Case{Name: "x", Years: 1, Life: 1, Discount: 0, SoldOut: true, Options: options(in), Seed: 5, Futures: test.futures, Workers: 1}
			c.stub = func(j *job, option int) {
				var a measure.Account
				if option > 0 {
					luck := chance.Luck{Seed: 3, Future: j.future}
					noise := test.noise
					if option == 1 {
						noise *= test.louder
					}
					a[measure.Margin] = -test.gain[option-1] - noise*(luck.Uniform(1, uint64(option), 0)-luck.Uniform(1, uint64(option), 1))
				}
				j.to.years, j.to.out, j.to.done = []measure.Account{a}, []float64{0}, true
			}
			a, err := Decide(context.Background(), c, nil)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(a.Verdict, test.says) || !strings.Contains(a.Verdict, test.ends) || a.Decided != test.decided {
				t.Errorf("decided %v: %s\nwant it to begin with %q and to say %q", a.Decided, a.Verdict, test.says, test.ends)
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
