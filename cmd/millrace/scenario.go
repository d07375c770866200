package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"runtime"
	"sort"
	"strings"

	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/report"
	"millrace/sim/works"
)

const (
	defaultFutures = 100
	defaultSeed    = 1
)

// loadScenario reads a scenario with its works.
func loadScenario(file string) (*scripting.Scenario, error) {
	data, err := readInput(file)
	if err != nil {
		return nil, err
	}
	if opens(data, "works") && !opens(data, "scenario") {
		return nil, badInput("%s is a works, and a scenario is needed here; to test a works: millrace check %s", file, file)
	}
	s, err := scripting.LoadScenario(file, loader())
	if err != nil {
		return nil, &inputError{err}
	}
	return s, nil
}

// caseOf makes a case of a scenario.
func caseOf(s *scripting.Scenario, seed uint64, n, workers int) *futures.Case {
	c := &futures.Case{
		Scenario: s.Name, Plant: s.Works.Plant, Script: s.Script, SoldOut: s.SoldOut, Background: s.Background, Levels: s.Levels,
		Length: calendar.Dur(s.Length), MaxLength: calendar.Dur(s.Longest), Seed: seed, Futures: n, Workers: workers, Inputs: inputs(s),
	}
	for i := range s.Plans {
		p := &s.Plans[i]
		plan := futures.Plan{Name: p.Name}
		if !p.Empty {
			plan.New = p.Director
		}
		c.Plans = append(c.Plans, plan)
	}
	return c
}

// inputs is a fingerprint of every file read and of the program's version.
func inputs(s *scripting.Scenario) string {
	h := sha256.New()
	fmt.Fprintln(h, version)
	for _, f := range s.Files {
		fmt.Fprintln(h, f.Name, f.SHA256)
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

// checkWorkers refuses a number of workers that means nothing.
func checkWorkers(n int) error {
	if n < 0 || n > 1024 {
		return badInput("--workers: %d; give 1 to 1024, or 0 for one a processor", n)
	}
	return nil
}

func workersOr(n int) int {
	if n > 0 {
		return n
	}
	return runtime.GOMAXPROCS(0)
}

// extra is what a report says beside the numbers.
func extra(s *scripting.Scenario, command string) report.Extra {
	x := report.Extra{
		Title: s.Name, Command: command, Version: version, Currency: s.Works.Spec.Currency,
		LeftOut: []string{
			"customers' own stock, and sales of slabs or coils to others",
			"chemistry: any heat can be cast for any product of its caster",
			"crews, shifts and spares: repairs take the time drawn or told",
		},
	}
	if s.Works.Spec.Cold == nil {
		x.LeftOut = append(x.LeftOut, "the cold side behind the coil floor: pickling and dispatch are rates as given")
	}
	for _, f := range s.Files {
		x.Files = append(x.Files, report.File{Name: f.Name, SHA256: f.SHA256})
	}
	seen := map[works.UpsetKind]bool{}
	for i := range s.Script {
		k := s.Script[i].Kind
		if !seen[k] {
			seen[k] = true
			x.Cautions = append(x.Cautions, works.Kinds[k].Name+": "+works.Kinds[k].Caution)
		}
	}
	demand := "everything made can be sold"
	if !s.SoldOut {
		demand = "only what the order book asks for is sold; coils and slabs beyond it are worth no more than they cost"
	}
	x.Assumptions = append(x.Assumptions, "demand: "+demand)
	if s.Background {
		x.Assumptions = append(x.Assumptions, "other upsets happen at the rates of the works file")
	} else {
		x.Assumptions = append(x.Assumptions, "nothing else goes wrong")
	}
	if s.Works.Spec.Invented {
		x.Assumptions = append(x.Assumptions, s.Works.Spec.Name+" is invented; any likeness to a real works is chance")
	}
	for i := range s.Script {
		u := &s.Script[i]
		x.Marks = append(x.Marks, report.Mark{At: u.At / 3600, Label: u.Name})
	}
	return x
}

// planNamed finds a plan by name; "" is the first.
func planNamed(s *scripting.Scenario, name string) (int, error) {
	if name == "" {
		return 0, nil
	}
	var names []string
	for i := range s.Plans {
		if strings.EqualFold(s.Plans[i].Name, name) {
			return i, nil
		}
		names = append(names, s.Plans[i].Name)
	}
	sort.Strings(names)
	return 0, badInput("--plan: there is no plan %q in %s%s\n  plans: %s", name, s.File, near(name, names), strings.Join(names, "; "))
}
