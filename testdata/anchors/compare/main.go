// Command compare runs the project's calendar and flow beside the anchor
// programs in turn, the first to start rotating, and prints for each goal the
// median over the rounds of the ratio inside one round. Times are CPU times of
// the process, but for replications, which are by the wall.
//
//	compare BIN ROUNDS PYTHON
//
// BIN holds the programs that .ci/bench builds; PYTHON is an interpreter with
// SimPy 3, or empty. It exits 1 when a goal is missed by more than a quarter: the
// band of a ratio is 5 to 15 % wide on a shared machine.
package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// entry is one program of a group.
type entry struct{ name, command string }

// goal holds the median ratio of two entries, over/under, against a limit.
type goal struct {
	text        string
	over, under string
	limit       float64
	atLeast     bool
}

type group struct {
	name    string
	unit    string
	wall    bool
	entries []entry
	goals   []goal
	equal   string // field that must be equal in all but SimPy
	maxima  []maximum
}

// maximum is a limit on a field of one entry.
type maximum struct {
	text, of, field string
	scale, limit    float64
	report          bool // does not gate
}

func main() {
	bin, python := os.Args[1], os.Args[3]
	rounds, err := strconv.Atoi(os.Args[2])
	if err != nil || rounds < 1 {
		fmt.Fprintln(os.Stderr, "how many rounds?")
		os.Exit(2)
	}
	here, err := filepath.Abs(filepath.Join(bin, "..", "py"))
	if err != nil {
		panic(err)
	}
	if p, err := os.ReadFile(filepath.Join(bin, "py.path")); err == nil {
		here = strings.TrimSpace(string(p))
	}
	missed := false
	for _, g := range groups(here, python) {
		if !g.run(bin, rounds) {
			missed = true
		}
	}
	if missed {
		os.Exit(1)
	}
}

func groups(py, python string) []group {
	var all []group
	for _, n := range []string{"10", "1000", "100000"} {
		all = append(all, group{
			name: "hold, " + n + " pending", unit: "ns a hold", equal: "check",
			entries: []entry{
				{"std::priority_queue", "hold_cpp stdpq " + n + " 4000000"},
				{"C++ 4-ary heap, 16 bytes", "hold_cpp quad16-replace " + n + " 4000000"},
				{"calendar", "plant hold " + n + " 4000000"},
			},
			goals: []goal{
				{"1", "calendar", "std::priority_queue", 1, false},
				{"1", "calendar", "C++ 4-ary heap, 16 bytes", 1.35, false},
			},
		})
	}
	mm1 := group{
		name: "M/M/1, 1,000,000 customers", unit: "ns a customer", equal: "mean",
		entries: []entry{{"C loop", "mm1_c 1000000"}, {"calendar", "plant mm1-calendar 1000000"}, {"flow", "plant mm1-flow 1000000"}},
		goals:   []goal{{"2", "calendar", "C loop", 1.5, false}, {"2, whole flow", "flow", "C loop", math.NaN(), false}},
		maxima:  []maximum{{"5: allocations an event", "flow", "allocs", 0.5, 0.01, false}},
	}
	line := group{
		name: "line of 12, 100,000 jobs, blocking, statistics on in flow", unit: "ns a job", equal: "flow",
		entries: []entry{{"C loop", "line_c 100000"}, {"flow", "plant line 100000 12 4"}},
		goals:   []goal{{"3", "flow", "C loop", 1.5, false}},
		maxima:  []maximum{{"5: allocations an event", "flow", "allocs", 1. / 12, 0.01, false}},
	}
	if python != "" {
		mm1.entries = append(mm1.entries, entry{"SimPy 3", python + " " + py + "/mm1.py store 50000"})
		mm1.goals = append(mm1.goals, goal{"2", "SimPy 3", "calendar", 100, true}, goal{"2, whole flow", "SimPy 3", "flow", math.NaN(), true})
		line.entries = append(line.entries, entry{"SimPy 3", python + " " + py + "/line.py 5000"})
		line.goals = append(line.goals, goal{"3", "SimPy 3", "flow", 60, true})
	}
	year := group{
		name: "a year: 16 units, 15,000,000 events", unit: "ns a job",
		entries: []entry{
			{"C loop", "line_c 937500 16"}, {"flow", "plant line 937500 16 4"},
			{"flow with a ring", "plant line 937500 16 4 ring"}, {"flow, lognormal", "plant line 937500 16 4 lognormal"},
		},
		goals: []goal{{"4", "flow", "C loop", 1.4, false}, {"4", "flow with a ring", "flow", 1.15, false}},
		maxima: []maximum{
			{"4: seconds", "flow", "cpu", 937500e-9, 1.2, true}, {"4: seconds, lognormal", "flow, lognormal", "cpu", 937500e-9, 1.5, true},
			{"5: allocations an event", "flow", "allocs", 1. / 16, 0.01, false},
		},
	}
	replications := group{
		name: "16 replications", unit: "ns by the wall", wall: true, equal: "check",
		entries: []entry{{"1 worker", "plant replications 1"}, {"2 workers", "plant replications 2"}, {"4 workers", "plant replications 4"}},
		goals:   []goal{{"6, on idle cores", "1 worker", "2 workers", math.NaN(), true}},
	}
	return append(all, mm1, line, year, replications)
}

type result map[string]any

func (g group) run(bin string, rounds int) bool {
	times := map[string][]float64{}
	last := map[string]result{}
	for r := range rounds {
		for i := range g.entries {
			e := g.entries[(i+r)%len(g.entries)]
			f := strings.Fields(e.command)
			if !strings.Contains(f[0], "/") {
				f[0] = filepath.Join(bin, f[0])
			}
			c := exec.Command(f[0], f[1:]...)
			c.Stderr = os.Stderr
			out, err := c.Output()
			var got result
			if err == nil {
				err = json.Unmarshal(out, &got)
			}
			if err != nil {
				fmt.Fprintln(os.Stderr, e.command, err)
				os.Exit(1)
			}
			field := "cpu"
			if g.wall {
				field = "ns"
			}
			times[e.name] = append(times[e.name], got[field].(float64))
			last[e.name] = got
		}
	}
	ok := true
	fmt.Printf("\n%s\n", g.name)
	for _, e := range g.entries {
		fmt.Printf("  %-28s %12.4g %s\n", e.name, quartile(times[e.name], 0.5), g.unit)
	}
	if g.equal != "" {
		first := last[g.entries[0].name][g.equal]
		for _, e := range g.entries {
			if v := last[e.name][g.equal]; v != first && e.name != "SimPy 3" {
				fmt.Printf("  %s: %s is %v, %s says %v\n", e.name, g.equal, v, g.entries[0].name, first)
				ok = false
			}
		}
	}
	for _, l := range g.goals {
		var ratio []float64
		for r := range rounds {
			ratio = append(ratio, times[l.over][r]/times[l.under][r])
		}
		m := quartile(ratio, 0.5)
		word := "at most"
		met, near := m <= l.limit, m <= 1.25*l.limit
		if l.atLeast {
			word = "at least"
			met, near = m >= l.limit, m >= l.limit/1.25
		}
		limit := fmt.Sprintf("%s %.4g", word, l.limit)
		if math.IsNaN(l.limit) {
			limit, met = "reported", true
		}
		fmt.Printf("  goal %s: %s / %s = %.3g (%.3g..%.3g), %s: %s\n", l.text, l.over, l.under, m, quartile(ratio, 0.25), quartile(ratio, 0.75), limit, verdict(met, near))
		ok = ok && (met || near)
	}
	for _, x := range g.maxima {
		v := last[x.of][x.field].(float64)
		if x.field == "cpu" {
			v = quartile(times[x.of], 0.5)
		}
		v *= x.scale
		fmt.Printf("  goal %s, %s: %.4g, at most %.4g: %s\n", x.text, x.of, v, x.limit, verdict(v <= x.limit, v <= 1.25*x.limit))
		ok = ok && (x.report || v <= 1.25*x.limit)
	}
	return ok
}

func verdict(met, near bool) string {
	switch {
	case met:
		return "met"
	case near:
		return "missed by less than a quarter"
	}
	return "MISSED"
}

// quartile takes the value at a share of the sorted ones, the lower of two.
func quartile(x []float64, share float64) float64 {
	s := slices.Clone(x)
	slices.Sort(s)
	return s[int(share*float64(len(s)-1)+0.5)]
}
