package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/spf13/cobra"

	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

func newCheck() *cobra.Command {
	var asJSON, capacity bool
	c := &cobra.Command{
		Use:   "check FILE",
		Short: "What do my files say? Reads a works or a scenario and tests the laws on a day",
		Long: `check reads a works or a scenario, says what follows from it, and plays a quiet day
that must keep every law.

With --capacity it prints what every unit can give on the mean of the calendar and what
it is asked for when the works sells all it can make: the bottleneck and what follows it.
That table is arithmetic on the file, not a simulation.`,
		Example: "  millrace check scenarios/larkfell/works.lua\n  millrace check --capacity scenarios/larkfell/works.lua",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if capacity {
				p, _, err := checkPlant(args[0])
				if err != nil {
					return err
				}
				t := p.Capacity()
				if asJSON {
					return printJSON(c, t)
				}
				_, err = fmt.Fprint(c.OutOrStdout(), capacityText(&t))
				return err
			}
			a, err := checkFile(args[0])
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
	c.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	c.Flags().BoolVar(&capacity, "capacity", false, "the capacity table instead")
	return c
}

// checkPlant is the works of a works file or of a scenario, and the scenario.
func checkPlant(file string) (*works.Plant, *scripting.Scenario, error) {
	data, err := readInput(file)
	if err != nil {
		return nil, nil, err
	}
	if opens(data, "scenario") {
		s, err := loadScenario(file)
		if err != nil {
			return nil, nil, err
		}
		return s.Works.Plant, s, nil
	}
	from, _ := quantity.ParseClock("2031-11-07 06:00")
	p, _, err := loadWorks(file, from)
	return p, nil, err
}

// checked is what check found.
type checked struct {
	File     string              `json:"file"`
	Works    string              `json:"works"`
	Invented bool                `json:"invented"`
	Products []works.ProductView `json:"products"`
	Given    []string            `json:"rate_as_given"`
	Stores   []storeBand         `json:"stores"`
	Scenario string              `json:"scenario,omitempty"`
	Plans    []string            `json:"plans,omitempty"`
	Upsets   []string            `json:"upsets,omitempty"`
	Refused  []string            `json:"refused,omitempty"`
	Laws     string              `json:"laws"`
	Rolled   float64             `json:"rolled_quiet_day_t"`
}

type storeBand struct {
	Name   string  `json:"name"`
	Amount string  `json:"unit"`
	Low    float64 `json:"low"`
	Normal float64 `json:"normal"`
	High   float64 `json:"high"`
	Room   float64 `json:"room"`
}

func checkFile(file string) (*checked, error) {
	p, sc, err := checkPlant(file)
	if err != nil {
		return nil, err
	}
	a := &checked{File: file}
	if sc != nil {
		a.Scenario = sc.Name
		for i := range sc.Plans {
			a.Plans = append(a.Plans, sc.Plans[i].Name)
		}
		for i := range sc.Script {
			a.Upsets = append(a.Upsets, fmt.Sprintf("%s at %s", sc.Script[i].Name, quantity.FormatClock(sc.From.Add(sc.Script[i].At), sc.From)))
		}
	}
	a.Works, a.Invented = p.Spec.Name, p.Spec.Invented
	a.Products = p.ProductViews()
	for i := range p.Route.Units {
		if p.Route.Units[i].RateGiven {
			a.Given = append(a.Given, p.Route.Units[i].Name)
		}
	}
	for i := range p.Route.Places {
		r := &p.Route.Places[i]
		if r.Role == record.Store {
			a.Stores = append(a.Stores, storeBand{r.Name, r.Amount, float64(r.Low) / r.PerAmount, float64(r.Normal) / r.PerAmount, float64(r.High) / r.PerAmount, float64(r.Room) / r.PerAmount})
		}
	}
	if sc != nil {
		// Every plan once: a word that is wrong shows before a hundred futures do.
		c := caseOf(sc, defaultSeed, 1, 1)
		for i := range c.Plans {
			heard := &refusals{log: shiftLog{p: p, start: sc.From}}
			c.Sink = heard
			if _, err := futures.RunOne(context.Background(), c, i, 0); err != nil {
				return nil, &inputError{err}
			}
			for _, said := range heard.said {
				a.Refused = append(a.Refused, fmt.Sprintf("%s: %s", c.Plans[i].Name, said))
			}
		}
	}
	// A quiet day: whatever the files say, no tonne may be lost.
	w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 1}, SoldOut: true})
	w.Sink = record.Discard
	if err := w.Run(calendar.Day); err != nil {
		return nil, err
	}
	if errs := w.Check(); len(errs) > 0 {
		return nil, fmt.Errorf("a quiet day breaks a law: %w", errs[0])
	}
	for i := range p.Route.Places {
		if p.Route.Places[i].Role == record.Gone {
			a.Rolled += float64(w.S.Mass[i]) / 1e6
		}
	}
	a.Laws = "a quiet day keeps every law: mass to the gram, unit hours to the calendar"
	return a, nil
}

func (a *checked) text() string {
	var b strings.Builder
	inv := ""
	if a.Invented {
		inv = " (invented)"
	}
	fact := func(heading, text string) {
		for i, l := range routeWrap(text, 100-12) {
			if i > 0 {
				heading = ""
			}
			fmt.Fprintf(&b, "  %-10s%s\n", heading, l)
		}
	}
	fmt.Fprintf(&b, "%s\n", a.File)
	if a.Scenario != "" {
		fact("scenario", a.Scenario)
		fact("upsets", strings.Join(a.Upsets, "; "))
		fact("plans", strings.Join(a.Plans, "; "))
		for i, r := range a.Refused {
			if i == 6 {
				fact("", fmt.Sprintf("and %d more", len(a.Refused)-i))
				break
			}
			fact([...]string{"refused", "", "", "", "", ""}[i], r)
		}
	}
	fact("works", a.Works+inv)
	fact("laws", a.Laws)
	fact("rolled", quantity.FormatNumber(a.Rolled, 0)+" t on that day")
	if len(a.Given) > 0 {
		fact("rates", "as given: "+strings.Join(a.Given, ", ")+"; every other time is computed")
	}
	t := table.NewWriter()
	t.SetStyle(table.StyleLight)
	t.Style().Options.DrawBorder = false
	t.Style().Format.Header = text.FormatDefault
	t.AppendHeader(table.Row{"product", "mm x m", "slab t", "rough s", "held by", "roll s", "held by", "t/h", "cool h"})
	right := func(n int) table.ColumnConfig {
		return table.ColumnConfig{Number: n, Align: text.AlignRight, AlignHeader: text.AlignRight}
	}
	t.SetColumnConfigs([]table.ColumnConfig{right(3), right(4), right(6), right(8), right(9)})
	for _, p := range a.Products {
		t.AppendRow(table.Row{p.Name, fmt.Sprintf("%.1f x %.2f", p.ThicknessMM, p.WidthM), fmt.Sprintf("%.1f", p.SlabT), fmt.Sprintf("%.0f", p.RoughS), short(p.RoughLimit),
			fmt.Sprintf("%.0f", p.RollS), short(p.RollLimit), fmt.Sprintf("%.0f", p.RatePerHour), fmt.Sprintf("%.0f", p.CoolH)})
	}
	b.WriteString(t.Render() + "\n")
	u := table.NewWriter()
	u.SetStyle(table.StyleLight)
	u.Style().Options.DrawBorder = false
	u.Style().Format.Header = text.FormatDefault
	u.AppendHeader(table.Row{"store", "low", "normal", "high", "room", ""})
	u.SetColumnConfigs([]table.ColumnConfig{right(2), right(3), right(4), right(5)})
	n := func(x float64) string { return quantity.FormatNumber(x, 0) }
	for _, s := range a.Stores {
		u.AppendRow(table.Row{s.Name, n(s.Low), n(s.Normal), n(s.High), n(s.Room), s.Amount})
	}
	b.WriteString(u.Render() + "\n")
	return b.String()
}

func short(s string) string {
	if len(s) > 21 {
		return s[:21]
	}
	return s
}

// refusals keeps what the works refused in a run.
type refusals struct {
	log  shiftLog
	said []string
}

func (r *refusals) Put(events []record.Event) {
	for i := range events {
		if events[i].Kind == record.Refused {
			r.said = append(r.said, r.log.clock(events[i].T)+" "+strings.TrimPrefix(r.log.p.Say(&events[i], r.log.clock), "refused: "))
		}
	}
}
