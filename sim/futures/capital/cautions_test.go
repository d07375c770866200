package capital

import (
	"context"
	"strings"
	"testing"

	"millrace/sim/measure"
)

// play answers a case with an account that every year of an option has, in every future.
func play(t *testing.T, text string, year func(option int, future uint64) measure.Account, set func(*Case)) *Answer {
	t.Helper()
	in := load(t, text)
	c := &Case{Name: "x", Years: 1, Life: 4, Discount: 0, SoldOut: true, Options: options(in), Seed: 5, Futures: 4, Workers: 1}
	c.stub = func(j *job, option int) {
		j.to.years, j.to.out, j.to.done = []measure.Account{year(option, j.future)}, []float64{0}, true
	}
	if set != nil {
		set(c)
	}
	a, err := Decide(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func nothing(int, uint64) measure.Account { return measure.Account{} }

// A list of planned stops with one line takes the others away, and a furnace made like
// another has none: both are told.
func TestPlannedWorkLost(t *testing.T) {
	const furnace = `option "third" { pays = { what = "x", amount = "1 EUR" }, changes = { furnaces = { F3 = { like = "F1" } }%s } }`
	for _, x := range []struct {
		name, changes string
		gone, none    bool
	}{
		{"like another", "", false, true},
		{"with a list of one", `, planned_stops = { { unit = "F3", every = "365 d", lasts = "10 d" } }`, true, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			all := strings.Join(play(t, head+strings.Replace(furnace, "%s", x.changes, 1), nothing, nil).Warnings, "\n")
			if got := strings.Contains(all, `"third" takes away the planned stops of hot mill, C1, C2, F1, F2, slab cranes`); got != x.gone {
				t.Errorf("planned stops taken away: told %v\n%s", got, all)
			}
			if got := strings.Contains(all, `F3 is given no planned stop by "third"`); got != x.none {
				t.Errorf("no planned stop: told %v\n%s", got, all)
			}
		})
	}
	same := head + `option "b" { pays = { what = "x", amount = "1 EUR" }, changes = { coilers = { in_use = 3 } } }`
	if all := strings.Join(play(t, same, nothing, nil).Warnings, "\n"); strings.Contains(all, "planned stop") {
		t.Errorf("told of an option that keeps them all:\n%s", all)
	}
}

// What is lost as iron because the casters wait for orders is told with its amount; not
// where everything can be sold.
func TestShortBook(t *testing.T) {
	text := head + `option "b" { pays = { what = "x", amount = "1 EUR" }, changes = { coilers = { in_use = 3 } } }`
	year := func(option int, _ uint64) (a measure.Account) {
		if option == 1 {
			a[measure.IronLost], a[measure.Fuel] = 1_200_000, -200_000
		}
		return a
	}
	const iron = `1.20 million EUR of what "b" loses a year is iron that finds no room`
	for _, x := range []struct {
		name  string
		set   func(*Case)
		short bool
		over  bool
	}{
		{"sold out", nil, false, false},
		{"short", func(c *Case) { c.SoldOut, c.Share = false, 0.8 }, true, false},
		{"more than can be made", func(c *Case) { c.Share, c.Book = 1.4, &Book{} }, false, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			a := play(t, text, year, x.set)
			all := strings.Join(a.Warnings, "\n")
			if strings.Contains(all, iron) != x.short {
				t.Errorf("want told %v:\n%s", x.short, all)
			}
			if x.short && !strings.Contains(all, "without it the gain is 200,000 EUR a year") {
				t.Errorf("the rest of the gain is missing:\n%s", all)
			}
			if strings.Contains(all, "everything made is counted as sold") != x.over {
				t.Errorf("a book beyond what can be made, told %v:\n%s", !x.over, all)
			}
		})
	}
}

// A sure loss is not said to be luck because another option might be: the option that
// luck leaves open is the one that is named.
func TestUndecidedNamesTheOpenOne(t *testing.T) {
	text := head + `option "sure loss" { role = "do less", pays = { what = "x", amount = "800 EUR" }, upsets = { ["stand wreck"] = { lasts = "2 h" } } }
option "open" { pays = { what = "x", amount = "1,000 EUR" }, upsets = { ["stand wreck"] = { lasts = "1 h" } } }`
	a := play(t, text, func(option int, future uint64) (y measure.Account) {
		if option == 2 {
			y[measure.Margin] = 400 * float64(int(future)%2*2-1)
		}
		return y
	}, nil)
	if !strings.HasPrefix(a.Verdict, `Cannot tell: "open" is worth -1,000`) {
		t.Errorf("%s", a.Verdict)
	}
}

// What building in loses as iron is told where it is more than a quarter.
func TestBuiltIn(t *testing.T) {
	for iron, told := range map[Money]bool{300: true, 200: false} {
		a := &Answer{Currency: "EUR", Options: []Outcome{{}, {Name: "b", TieIn: &TieIn{Days: 36, Mean: 1000,
			By: []LineGainOf{{"margin dispatched", 1000 - iron}, {"iron lost", iron}}}}}}
		all := strings.Join((&Case{}).builtIn(a), "\n")
		if strings.Contains(all, "is laid into one of the iron side") != told {
			t.Errorf("%d of 1000: %q", iron, all)
		}
	}
	if none := (&Case{}).builtIn(&Answer{Options: []Outcome{{}, {}}}); none != nil {
		t.Errorf("nothing is built in: %q", none)
	}
}

// An option that changes the works and makes no difference in any future is told of; not
// one that only costs, nor one that makes a difference.
func TestNeverUsed(t *testing.T) {
	const text = head + `option "trucks" { role = "do less", pays = { what = "x", amount = "1 EUR" }, changes = { slab_yard = { overflow = { room = "20000 t" } } } }
option "watchman" { role = "do less", running = { what = "x", amount = "1 EUR/year" } }
option "shorter" { pays = { what = "x", amount = "1 EUR" }, upsets = { ["stand wreck"] = { lasts = "2 h" } } }`
	a := play(t, text, func(option int, _ uint64) (m measure.Account) {
		if option == 3 {
			m[measure.Margin] = -900
		}
		return m
	}, nil)
	var told []string
	for _, w := range a.Warnings {
		if name, _, ok := strings.Cut(w, " makes no difference in any future"); ok {
			told = append(told, name)
		}
	}
	if len(told) != 1 || told[0] != `"trucks"` {
		t.Errorf("told of %q; want the trucks alone", told)
	}
	no := play(t, head+`option "trucks" { pays = { what = "x", amount = "1 EUR" }, changes = { slab_yard = { overflow = { room = "20000 t" } } } }`, nothing, nil)
	if !strings.Contains(no.Verdict, "what it changes is never used, so it gains nothing") {
		t.Errorf("the verdict is %q", no.Verdict)
	}
}
