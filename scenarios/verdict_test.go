package scenarios_test

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/futures"
)

func nightly() bool { return os.Getenv("MILLRACE_NIGHTLY") != "" }

// scenarioCase reads a shipped scenario and makes the case that compare plays.
func scenarioCase(t testing.TB, name string, n int) *futures.Case {
	t.Helper()
	s, err := scripting.LoadScenario("scenarios/larkfell/"+name, scripting.DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	c := &futures.Case{Scenario: s.Name, Plant: s.Works.Plant, Script: s.Script, SoldOut: s.SoldOut, Background: s.Background, Levels: s.Levels,
		Length: calendar.Dur(s.Length), MaxLength: calendar.Dur(s.Longest), Seed: s.Seed, Futures: n, Inputs: s.Inputs()}
	for i := range s.Plans {
		p := futures.Plan{Name: s.Plans[i].Name}
		if !s.Plans[i].Empty {
			p.New = s.Plans[i].Director
		}
		c.Plans = append(c.Plans, p)
	}
	return c
}

func compare(t testing.TB, c *futures.Case) *futures.Comparison {
	t.Helper()
	r, err := futures.Compare(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestExplore(t *testing.T) {
	if os.Getenv("EXPLORE") == "" {
		t.Skip()
	}
	for _, n := range []string{"simple-cobble", "furnace-jam", "breakout", "crane-out", "stand-wreck"} {
		t0 := time.Now()
		r := compare(t, scenarioCase(t, n+".lua", 20))
		show(n, r)
		fmt.Println(time.Since(t0))
	}
}

func show(n string, r *futures.Comparison) {
	fmt.Printf("== %s decided %v best %s needed %d ext %d capped %d longest %v\n  %s\n", n, r.Decided, r.Plans[r.Best].Name, r.Needed, r.Extended, r.Capped, r.Longest.Hours(), r.Verdict)
	for _, p := range r.Plans {
		m, _ := p.Measures.Get("cost of the upset")
		fmt.Printf("   %-40s %10.0f  [%9.0f %9.0f] won %.2f:", p.Name, m.Mean, m.Low, m.High, p.ShareWon)
		for _, l := range p.CostOfUpset {
			if l.Amount > 3000 || l.Amount < -3000 {
				fmt.Printf(" %s %.0fk", l.Name, l.Amount/1e3)
			}
		}
		fmt.Println()
	}
}
