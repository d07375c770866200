package main

import (
	"context"
	"os"
	"strings"
	"testing"

	"millrace/scripting"
	"millrace/sim/futures/capital"
)

// TestCaseLessons plays the shipped cases and holds what each of them is there to show.
// The whole takes many minutes: MILLRACE_NIGHTLY=1 runs it; without, two of them on a
// few years.
func TestCaseLessons(t *testing.T) {
	if testing.Short() {
		t.Skip("needs years of operation; run without -short")
	}
	decide := func(t *testing.T, name string, futures, years int) *capital.Answer {
		t.Helper()
		in, err := scripting.LoadCase("scenarios/larkfell/cases/"+name+".lua", loader())
		if err != nil {
			t.Fatal(err)
		}
		c, err := capitalCase(in)
		if err != nil {
			t.Fatal(err)
		}
		c.SmallFutures, c.Futures, c.Years = 0, futures, years
		a, err := capital.Decide(context.Background(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(a.Verdict)
		for i := range a.Options {
			t.Logf("%-40s %v", a.Options[i].Name, a.Options[i].NPV)
		}
		return a
	}
	if os.Getenv("MILLRACE_NIGHTLY") == "" {
		a := decide(t, "standby-coiler", 4, 1)
		if o := &a.Options[2]; o.NPV.High >= 0 || a.Best == 2 {
			t.Errorf("%q behind a standby is worth %+v", o.Name, o.NPV)
		}
		a = decide(t, "anneal-bell-or-crane", 2, 1)
		if bells, crane := a.Options[1].NPV.Mean, a.Options[2].NPV.Mean; bells <= 2*crane {
			t.Errorf("two bells are worth %d, a crane %d", bells, crane)
		}
		return
	}
	t.Run("a coiler behind a standby is not worth it", func(t *testing.T) {
		a := decide(t, "standby-coiler", 10, 3)
		if o := &a.Options[2]; o.NPV.High >= 0 || a.Best == 2 {
			t.Errorf("%q is worth %+v", o.Name, o.NPV)
		}
	})
	t.Run("without a standby and with ten times the stops it is", func(t *testing.T) {
		a := decide(t, "standby-coiler-worn", 10, 3)
		if o := &a.Options[2]; o.NPV.Low <= 0 || a.Best != 2 {
			t.Errorf("%q is worth %+v, best is %q", o.Name, o.NPV, a.Options[a.Best].Name)
		}
	})
	t.Run("room in the yard is for upsets, not for stock, and a rule makes more of it than a bay", func(t *testing.T) {
		a := decide(t, "larger-slab-yard", 10, 3)
		rule, trucks, kept, filled := &a.Options[1], &a.Options[2], &a.Options[3], &a.Options[4]
		if trucks.NPV.Low <= 0 || rule.NPV.Mean <= trucks.NPV.Mean || trucks.NPV.Mean <= kept.NPV.Mean {
			t.Errorf("a rule is worth %+v, hauliers %+v, a bay %+v", rule.NPV, trucks.NPV, kept.NPV)
		}
		if filled.NPV.High >= 0 || kept.Gain.Mean <= filled.Gain.Mean {
			t.Errorf("kept empty the room is worth %+v, filled %+v", kept.NPV, filled.NPV)
		}
	})
	t.Run("bells, not cranes or bases", func(t *testing.T) {
		a := decide(t, "anneal-bell-or-crane", 10, 3)
		bells, crane, bases := a.Options[1].NPV.Mean, a.Options[2].NPV.Mean, a.Options[3].NPV.Mean
		if !(bells > 3*crane && bells > 3*bases) {
			t.Errorf("two bells are worth %d, a crane %d, four bases %d", bells, crane, bases)
		}
	})
	t.Run("a short book takes most of the worth of spare parts", func(t *testing.T) {
		sold, short := decide(t, "spare-stand-parts", 20, 5), decide(t, "spare-stand-parts-short-book", 20, 5)
		g, s := sold.Options[2].Gain.Mean, short.Options[2].Gain.Mean
		if g <= 0 || s > g/2 {
			t.Errorf("a year gains %d when all can be sold, %d with a short book", g, s)
		}
		if !strings.Contains(short.Verdict, "Only 80 % of what the works can make is ordered") {
			t.Errorf("the verdict does not say why: %s", short.Verdict)
		}
	})
}
