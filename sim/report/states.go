package report

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"millrace/sim/futures"
	"millrace/sim/quantity"
)

// stateClass is the class that gives a state its fill in the page.
func stateClass(state string) string { return "s-" + strings.ReplaceAll(state, " ", "-") }

// stateTable is the hours behind a picture of states.
type stateTable struct {
	Plan   string
	States []string
	Rows   [][]string
}

// statePictures show what every unit did under every plan.
func statePictures(c *futures.Comparison) (figs []figure, tables []stateTable) {
	longest := 0.0
	for i := range c.Plans {
		for _, u := range c.Plans[i].Units {
			longest = max(longest, hoursAPlace(u))
		}
	}
	if longest == 0 {
		return nil, nil
	}
	for _, i := range ranked(c) {
		p := &c.Plans[i]
		figs = append(figs, statePicture(p, &c.Twin, longest))
		states := occurring(p.Units)
		t := stateTable{Plan: p.Name}
		for _, s := range states {
			t.States = append(t.States, futures.StateNames[s])
		}
		for _, u := range p.Units {
			row := []string{unitName(u)}
			for _, s := range states {
				row = append(row, hoursIn(u, s))
			}
			t.Rows = append(t.Rows, row)
		}
		tables = append(tables, t)
	}
	return figs, tables
}

func hoursAPlace(u futures.UnitHours) float64 {
	sum := 0.0
	for _, h := range u.Hours {
		sum += h
	}
	return sum / float64(max(u.Places, 1))
}

func statePicture(plan, twin *futures.PlanResult, longest float64) figure {
	const w, left, right, row, above, below = 400.0, 114.0, 10.0, 21.0, 4.0, 36.0
	h := above + below + row*float64(len(plan.Units))
	at := func(v float64) float64 { return left + (w-left-right)*v/longest }
	states := occurring(plan.Units)
	title := capital(plan.Name) + ": " + statesFinding(plan, twin)
	var desc []string
	for _, u := range plan.Units {
		var part []string
		for _, s := range states {
			if s < len(u.Hours) && u.Hours[s] > 0 {
				part = append(part, futures.StateNames[s]+" "+hoursIn(futures.UnitHours{Hours: u.Hours}, s)+" h")
			}
		}
		desc = append(desc, unitName(u)+" "+strings.Join(part, ", "))
	}
	p := newPicture(w, h, title, "Hours in each state, mean of all futures. "+strings.Join(desc, "; ")+".")
	xs := ticks(0, longest, 5)
	for _, v := range xs {
		p.line("gridline", at(v), above, at(v), h-below)
		p.text("tick", "middle", at(v), h-below+14, tickText(v, xs))
	}
	p.text("tick", "middle", left+(w-left-right)/2, h-5, "hours a place, mean of all futures")
	for n, u := range plan.Units {
		y := above + row*float64(n)
		p.text("label", "end", left-6, y+14.5, shorten(u.Unit, 16))
		x := 0.0
		for _, s := range states {
			if s >= len(u.Hours) {
				continue
			}
			v := u.Hours[s] / float64(max(u.Places, 1))
			if v <= 0 {
				continue
			}
			a, b := at(x), at(x+v)
			p.rect("seg "+stateClass(futures.StateNames[s]), a, y+3, b-a, row-5)
			word := futures.StateNames[s] + " " + segHours(v)
			if need := 6 + 5.3*float64(utf8.RuneCountInString(word)); b-a >= need {
				p.text("segword on-"+stateClass(futures.StateNames[s])[2:], "middle", (a+b)/2, y+14, word)
			} else if word = segHours(v); b-a >= 6+5.3*float64(len(word)) {
				p.text("segword on-"+stateClass(futures.StateNames[s])[2:], "middle", (a+b)/2, y+14, word)
			}
			x += v
		}
	}
	p.line("axis", left, above, left, h-below)
	return figure{title, p.done()}
}

func segHours(v float64) string {
	if v < 10 {
		return trim(quantity.FormatNumber(v, 1))
	}
	return quantity.FormatNumber(v, 0)
}

// statesFinding names the unit that waits longest with a piece it cannot give
// away beyond what it does without the upset.
func statesFinding(plan, twin *futures.PlanResult) string {
	at := -1
	for s, n := range futures.StateNames {
		if n == "blocked" {
			at = s
		}
	}
	name, most, all := "", 0.05, 0.0
	for i, u := range plan.Units {
		if at < 0 || at >= len(u.Hours) {
			continue
		}
		v := u.Hours[at]
		if i < len(twin.Units) && twin.Units[i].Unit == u.Unit && at < len(twin.Units[i].Hours) {
			v -= twin.Units[i].Hours[at]
		}
		v /= float64(max(u.Places, 1))
		if v > most {
			name, most, all = u.Unit, v, u.Hours[at]/float64(max(u.Places, 1))
		}
	}
	if name == "" {
		return "no unit is blocked longer than without the upset"
	}
	return fmt.Sprintf("%s is blocked for %s h, %s h more than without the upset", name, segHours(all), segHours(most))
}
