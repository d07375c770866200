package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

// shippedWorks is the works whose rows are shown where no file is named.
const shippedWorks = "scenarios/larkfell/works.lua"

// newUpsets lists what can go wrong; `millrace help upsets` says the same.
func newUpsets() *cobra.Command {
	var file string
	var asJSON bool
	c := &cobra.Command{
		Use:   "upsets",
		Short: "What can go wrong: the kinds of upset, and how often and how long in a works",
		Example: "  millrace help upsets\n  millrace help upsets --works my/works.lua\n" +
			"  millrace upsets --works my/works.lua --json",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := listUpsets(file)
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(c, a)
			}
			_, err = fmt.Fprint(c.OutOrStdout(), a.text())
			return err
		},
	}
	c.Flags().StringVar(&file, "works", shippedWorks, "works file whose upsets are listed")
	c.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	return c
}

// helpOnUpsets lets the help command take the topic with a works file; root has all
// its commands.
func helpOnUpsets(root, c *cobra.Command) {
	root.InitDefaultHelpCmd()
	if help, _, err := root.Find([]string{"help"}); err == nil && help != root {
		help.Flags().String("works", shippedWorks, "with upsets: works file whose upsets are listed")
		_ = help.Flags().MarkHidden("works")
		other := help.Run
		help.RunE = func(h *cobra.Command, args []string) error {
			if len(args) == 1 && args[0] == c.Name() {
				file, _ := h.Flags().GetString("works")
				_ = c.Flags().Set("works", file)
				return c.RunE(h, nil)
			}
			if h.Flags().Changed("works") {
				return &usageError{err: fmt.Errorf("--works goes with help upsets"), path: ""}
			}
			other(h, args)
			return nil
		}
	}
}

// upsetList is what is listed.
type upsetList struct {
	Kinds   []kindRow    `json:"kinds"`
	Works   string       `json:"works"`
	File    string       `json:"file"`
	Upsets  []upsetRow   `json:"upsets"`
	Planned []plannedRow `json:"planned_stops"`
	LeftOut []string     `json:"left_out"`
}

type kindRow struct {
	Name    string `json:"name"`
	Unit    string `json:"unit"`
	Clock   string `json:"clock"`
	What    string `json:"what"`
	Ruins   string `json:"ruins"`
	Caution string `json:"caution"`
}

type upsetRow struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind"`
	Units   []string `json:"units"`
	Each    int      `json:"each,omitempty"` // so many units, each by itself
	Every   string   `json:"every"`
	Clock   string   `json:"clock"`
	Law     string   `json:"lasts"`
	Median  string   `json:"median"`
	OneIn10 string   `json:"one_in_ten"`
	Longest string   `json:"longest,omitempty"`
	Does    []string `json:"does,omitempty"`
	Note    string   `json:"note,omitempty"`
	Caution string   `json:"caution"`
	Source  string   `json:"source"`
}

type plannedRow struct {
	Unit  string `json:"unit"`
	Every string `json:"every"`
	Lasts string `json:"lasts"`
}

// leftOut is what a usual catalogue of upsets holds and the language cannot say.
var leftOut = []string{
	"a heat that comes cold: heats have their treatment's temperature; what waits too long is reheated or poured back",
	"one converter of several out: a stop of the steel shop is one of the whole shop",
	"slabs of odd length after a torch fault: slabs are cut to length or are tail slabs",
	"slabs ruined under fallen refractory: a jam scales the whole hearth and ruins no single slab",
	"rows of the coil yard full within a crane's reach: the floor is one room",
	"rolling at another works after a fire, and slots made up after a closed road: the works has no such partner",
	"a preference for easy gauges while set-up computers are down: the pace falls, the programme stays",
	"a stop of the iron side: a blast furnace is slowed by its wind, which is a lever and no upset",
}

func listUpsets(file string) (*upsetList, error) {
	from, _ := quantity.ParseClock("2031-11-07 06:00")
	p, _, err := loadWorks(file, from)
	if err != nil {
		return nil, err
	}
	a := &upsetList{Works: p.Spec.Name, File: file, LeftOut: leftOut}
	if p.Spec.Invented {
		a.Works += " (invented)"
	}
	for i, k := range works.Kinds {
		a.Kinds = append(a.Kinds, kindRow{k.Name, k.On, k.Clock.String(), k.What, works.UpsetKind(i).Ruins(), k.Caution})
	}
	for i := range p.Spec.Upsets {
		a.Upsets = append(a.Upsets, rowOfUpset(p, &p.Spec.Upsets[i]))
	}
	for i := range p.Spec.Planned {
		s := &p.Spec.Planned[i]
		a.Planned = append(a.Planned, plannedRow{s.Unit, span(s.Every), span(s.Lasts)})
	}
	return a, nil
}

// span is a length of time in its largest unit that leaves it a short number.
func span(s float64) string {
	switch {
	case s >= 2*86400:
		if s < 10*86400 {
			return short1(s/86400) + " d"
		}
		return quantity.FormatNumber(s/86400, 0) + " d"
	case s >= 2*3600:
		return short1(s/3600) + " h"
	}
	return quantity.FormatNumber(s/60, 0) + " min"
}

func short1(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0") }

func rowOfUpset(p *works.Plant, s *works.UpsetSpec) upsetRow {
	r := upsetRow{Name: s.Title(), Kind: works.Kinds[s.Kind].Name, Units: append([]string{s.Unit}, s.With...), Law: s.Lasts.String(),
		Median: span(s.Lasts.Median()), OneIn10: span(s.Lasts.Quantile(0.9)), Note: s.Note, Caution: s.Warning(), Source: s.Source}
	if l := s.Lasts.Longest(); !math.IsInf(l, 1) {
		r.Longest = span(l)
	}
	if r.Source == "" {
		r.Source = "not said"
	}
	us := p.UnitsNamed(s.Unit)
	if len(us) > 1 && len(s.With) == 0 {
		r.Each = len(us)
	}
	clock := clockOf(p, s)
	r.Clock = clock.String()
	r.Every = span(s.Every)
	if clock == works.ByUse {
		r.Every = quantity.FormatNumber(s.Every, 0)
	}
	for i, w := range works.RuinWords {
		if s.Ruins&(1<<i) != 0 {
			if i == 0 && works.Kinds[s.Kind].On == "a unit" {
				w = "piece in the unit"
			}
			r.Does = append(r.Does, "ruins "+w)
		}
	}
	if s.Slow > 0 {
		r.Does = append(r.Does, fmt.Sprintf("slows to %.0f %%", s.Slow*100))
	}
	if s.StopsAfter > 0 {
		r.Does = append(r.Does, "stands after "+span(s.StopsAfter))
	}
	if s.Downgrades > 0 {
		r.Does = append(r.Does, fmt.Sprintf("downgrades %d", s.Downgrades))
	}
	if s.ComesBack > 0 && s.ComesBack < 1 {
		r.Does = append(r.Does, fmt.Sprintf("comes back at %.0f %% for %s", s.ComesBack*100, span(s.BackFor)))
	}
	return r
}

func (a *upsetList) text() string {
	w := routePage{}
	hang := func(indent int, text string) {
		for _, l := range routeWrap(text, routeWidth-indent) {
			w.line("%s%s", strings.Repeat(" ", indent), l)
		}
	}
	hang(0, "What can go wrong. An upset makes a unit stand or slow, costs what it ruins and is told of as people learn of it. "+
		`In a works file it comes by luck, once in so much of its clock: upset "name" { kind, unit or units, every, lasts, longest, told, ruins, slow, stops_after, downgrades, comes_back, caution, source, note }. `+
		"In a scenario it comes at a time. lasts = lognormal { median, one_in_ten } has a long tail; longest says when such a stop is over at the latest (a hired crane, a spare, another road), and what would last longer lasts so long.")
	w.line("")
	w.line("KINDS")
	w.line("%-26s %-18s %s", "kind", "unit", "clock")
	for _, k := range a.Kinds {
		w.line("%-26s %-18s %s", k.Name, k.Unit, k.Clock)
		hang(4, k.What+". Costs: "+k.Ruins+".")
		hang(4, "Caution: "+k.Caution)
	}
	w.line("")
	hang(0, "Clocks: operating is the unit's own working time, the calendar runs always, pieces are strips or heats. Casters, furnaces, steel shop, run-out table, bases and dispatch keep no operating time: their upsets, and those of several units at once, go by the calendar.")
	w.line("")
	w.line("%s, %s", strings.ToUpper("rows of ")+a.Works, a.File)
	w.line("%-37s %8s %-9s %7s %7s %7s  %s", "upset", "every", "clock", "median", "1 in 10", "longest", "unit")
	for _, u := range a.Upsets {
		units := strings.Join(u.Units, ", ")
		if u.Each > 0 {
			units = fmt.Sprintf("each of %d %ss", u.Each, units)
		}
		front := fmt.Sprintf("%-37s %8s %-9s %7s %7s %7s  ", u.Name, u.Every, u.Clock, u.Median, u.OneIn10, u.Longest)
		if n := len([]rune(front)); n+len(units) > routeWidth {
			w.line("%sseveral", front)
			hang(4, "Units: "+units+".")
		} else {
			w.line("%s%s", front, units)
		}
		does := strings.Join(u.Does, ", ")
		if u.Kind != u.Name {
			does = strings.TrimSuffix("a "+u.Kind+", "+does, ", ")
		}
		if does != "" {
			does = strings.ToUpper(does[:1]) + does[1:] + ". "
		}
		source := u.Source
		if u.Note != "" {
			source += "; " + u.Note
		}
		hang(4, does+"Source: "+source+".")
		if c := u.Caution; c != a.cautionOf(u.Kind) {
			hang(4, "Caution: "+c)
		}
	}
	if len(a.Planned) > 0 {
		w.line("")
		w.line("PLANNED STOPS, from the maintenance calendar")
		for _, s := range a.Planned {
			w.line("%-38s %9s %19s", s.Unit, s.Every, s.Lasts)
		}
	}
	w.line("")
	w.line("LEFT OUT, because the language cannot say it")
	for _, l := range a.LeftOut {
		hang(4, "- "+l)
	}
	w.line("")
	w.para("", "Cautions are planning notes and no procedures. Planning aid; it controls nothing. Another works: millrace help upsets --works FILE; as JSON: millrace upsets --json.")
	return w.String()
}

func (a *upsetList) cautionOf(kind string) string {
	for _, k := range a.Kinds {
		if k.Name == kind {
			return k.Caution
		}
	}
	return ""
}

// clockOf is what wears towards an upset of the works, on the first of its units.
func clockOf(p *works.Plant, s *works.UpsetSpec) works.Clock {
	if us := p.UnitsNamed(s.Unit); len(us) > 0 {
		return p.ClockOf(s, us[0])
	}
	return works.Kinds[s.Kind].Clock
}
