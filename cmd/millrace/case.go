package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"millrace/scripting"
	"millrace/sim/futures/capital"
	"millrace/sim/report"
	"millrace/sim/works"
)

const defaultCaseFutures = 20

func newCase() *cobra.Command {
	var f struct {
		futures, years, workers int
		seed                    uint64
		json, noReport, quick   bool
		out                     string
	}
	c := &cobra.Command{
		Use:     "case FILE",
		Short:   "Is it worth its money? Plays years of operation with and without a change",
		Long:    caseHelp(),
		Example: "  millrace case scenarios/larkfell/cases/spare-stand-parts.lua\n  millrace case my-case.lua --futures 40 --json",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(c.Context(), syscall.SIGTERM) // Ctrl-C is in it already
			defer stop()
			data, err := readInput(args[0])
			if err != nil {
				return err
			}
			if !opens(data, "case") && (opens(data, "scenario") || opens(data, "works")) {
				return badInput("%s is no case; a case begins with: case \"name\" { ... }", args[0])
			}
			in, err := scripting.LoadCase(args[0], loader())
			if err != nil {
				return &inputError{err}
			}
			if c.Flags().Changed("futures") && (f.futures < 2 || f.futures > 100_000) {
				return badInput("--futures: %d; give 2 to 100000", f.futures)
			}
			if c.Flags().Changed("years") && (f.years < 1 || f.years > 30) {
				return badInput("--years: %d; give 1 to 30", f.years)
			}
			if err := checkWorkers(f.workers); err != nil {
				return err
			}
			cs, err := capitalCase(in)
			if err != nil {
				return err
			}
			cs.Futures = firstOf(f.futures, in.Futures, defaultCaseFutures)
			if c.Flags().Changed("seed") {
				cs.Seed = f.seed
			}
			if f.years > 0 {
				cs.Years, cs.Life = f.years, max(f.years, cs.Life)
			}
			cs.Workers = workersOr(f.workers)
			if f.quick {
				cs.SmallFutures = 0
			}
			dir := f.out
			if dir == "" && !f.noReport {
				dir = filepath.Join("runs", slug(in.Name)+"-"+time.Now().Format("20060102-150405"))
			}
			if dir != "" {
				if _, err := os.Stat(dir); err == nil {
					return badInput("--out: %s exists already; give a folder that does not, nothing is overwritten", dir)
				}
			}
			bar := newProgress(c.ErrOrStderr())
			a, err := capital.Decide(ctx, cs, bar.stage)
			bar.done()
			stopped := errors.Is(err, context.Canceled)
			if a == nil && stopped {
				return errors.New("stopped before two futures were whole: there is no answer, and nothing was written")
			}
			if err != nil && !stopped {
				return err
			}
			command := fmt.Sprintf("millrace case %s --seed %d --futures %d --years %d", args[0], cs.Seed, cs.Futures, cs.Years)
			if f.quick {
				command += " --quick"
			}
			x := caseExtra(in, command)
			// The answer first: it took long, and a folder that cannot be written loses it.
			if f.json {
				if err := printJSON(c, a); err != nil {
					return err
				}
			} else {
				fmt.Fprint(c.OutOrStdout(), report.Case(a, x))
			}
			if dir != "" {
				if err := writeCaseFolder(dir, in, a, x); err != nil {
					return err
				}
				if !f.json {
					fmt.Fprintf(c.OutOrStdout(), "\nThe request: %s, as a workbook: %s\n", filepath.Join(dir, "request.html"), filepath.Join(dir, "request.xlsx"))
				}
			}
			if stopped {
				return errors.New("stopped; the answer above is of what was finished")
			}
			return nil
		},
	}
	fl := c.Flags()
	fl.IntVar(&f.futures, "futures", 0, "futures to play; the case's own, else 20")
	fl.IntVar(&f.years, "years", 0, "years of operation to play; the case's own when left out")
	fl.Uint64Var(&f.seed, "seed", defaultSeed, "seed of the luck")
	fl.IntVar(&f.workers, "workers", 0, "plays at a time; 0: one a processor")
	fl.BoolVar(&f.quick, "quick", false, "without tornado and flips")
	fl.StringVar(&f.out, "out", "", "folder for the request; a new one under runs/ when left out")
	fl.BoolVar(&f.noReport, "no-report", false, "write no folder")
	fl.BoolVar(&f.json, "json", false, "the answer as JSON")
	return c
}

// The budget of one play of the sensitivities.
const smallFutures, smallYears = 7, 2

// capitalCase makes a case to be played of one that was read.
func capitalCase(in *scripting.CaseFile) (*capital.Case, error) {
	c := &capital.Case{
		Name: in.Name, Years: in.Years, Life: in.Life, Discount: in.Discount, SoldOut: in.SoldOut, Seed: in.Seed,
		Inputs: caseInputs(in), SmallFutures: smallFutures, SmallYears: smallYears, Share: 1,
	}
	share := 1.0
	if !in.SoldOut {
		share = in.BookShare
		if share == 0 {
			share = in.Book / coilCapacity(in.Options[0].Works.Plant)
		}
	}
	for i := range in.Options {
		o := &in.Options[i]
		x := capital.Option{Name: o.Name, Role: o.Role, Plant: o.Works.Plant, Takes: o.Takes, Salvage: o.Salvage, Changed: len(o.Changes) > 0}
		for _, p := range o.Pays {
			x.Pays = append(x.Pays, capital.Payment{What: p.What, Amount: p.Amount, At: p.After})
		}
		for _, p := range o.Running {
			x.Running = append(x.Running, capital.Payment{What: p.What, Amount: p.Amount})
		}
		for _, r := range o.Ramp {
			x.Ramp = append(x.Ramp, capital.Ramp{Share: r.Share, For: r.For})
		}
		if len(o.TieIns) > 0 {
			var err error
			if x.TieIn, x.TieInAt, x.TieInLength, err = tieIn(in, o, share); err != nil {
				return nil, err
			}
		}
		c.Options = append(c.Options, x)
	}
	c.Demand = func(i int, share float64) (*works.Plant, bool, error) { return demanded(in, i, share) }
	if in.SoldOut {
		return c, nil
	}
	c.Share = share
	c.Book = orderBook(in, c.Share)
	for i := range c.Options {
		p, all, err := demanded(in, i, c.Share)
		if err != nil {
			return nil, err
		}
		c.SoldOut = all // more is ordered than can be made
		c.Options[i].Plant = p
		if t := c.Options[i].TieIn; t != nil {
			plan := &c.Options[0].Plant.Spec
			t.Spec.Orders, t.Spec.Casters, t.Spec.Iron, t.Spec.Gas = plan.Orders, plan.Casters, plan.Iron, plan.Gas
			if c.Options[i].TieIn, err = works.Build(t.Spec); err != nil {
				return nil, err
			}
			c.Options[i].TieIn.Route.Start = p.Route.Start
		}
	}
	return c, nil
}

// orderBook says what is ordered where that is a share of what the works as it is can
// make.
func orderBook(in *scripting.CaseFile, share float64) *capital.Book {
	const week = 7 * 86400 / 1000.0 // kg/s in t a week
	spec := &in.Options[0].Works.Plant.Spec
	var mix []capital.Product
	for i := range spec.Products {
		p := &spec.Products[i]
		mix = append(mix, capital.Product{Name: p.Name, What: fmt.Sprintf("%.1f x %.0f mm", p.Thickness*1e3, p.Width*1e3), Share: p.Share})
	}
	can := coilCapacity(in.Options[0].Works.Plant) * week
	return capital.NewBook(mix, share*can, can, in.OrdersAhead/86400)
}

// coilCapacity is what the works can send to customers when everything can be sold,
// kg/s: what its bottleneck lets through of slabs, as coils.
func coilCapacity(p *works.Plant) float64 {
	t := p.Capacity()
	load := 0.0
	for _, r := range t.Rows {
		if strings.HasPrefix(r.Unit, "dispatch") || r.Unit == "pickle line" && p.Spec.Cold == nil {
			load += r.LoadTH
		}
	}
	return load / 3.6
}

// demanded is the works of an option when a share of what the works as it is can
// make is ordered, week by week; with a share of 1 everything can be sold.
func demanded(in *scripting.CaseFile, i int, share float64) (*works.Plant, bool, error) {
	old := in.Options[i].Works.Plant
	spec := old.Spec
	soldOut := share >= 1
	spec.Orders = nil
	if !soldOut {
		spec.PlanForBook(in.Options[0].Works.Plant.Capacity(), share)
		spec.Orders = works.RepeatingBook(&spec, share*coilCapacity(in.Options[0].Works.Plant), float64(in.Years), in.OrdersAhead)
	}
	p, err := works.Build(spec)
	if err != nil {
		return nil, false, err
	}
	p.Route.Start = old.Route.Start
	return p, soldOut, nil
}

func caseInputs(in *scripting.CaseFile) string {
	h := sha256.New()
	fmt.Fprintln(h, version, in.Inputs())
	return hex.EncodeToString(h.Sum(nil))[:16]
}

// tieIn is the first option's works with the stops that building an option needs,
// from the fifth day on, and how long it must be played until they are over: four weeks
// more, and with a short book until what was not made is made up, half a year at most.
func tieIn(in *scripting.CaseFile, o *scripting.Option, share float64) (p *works.Plant, at, length float64, err error) {
	const lead, least, most = 5 * 86400, 28 * 86400, 182 * 86400
	spec := in.Options[0].Works.Plant.Spec
	spec.Planned = slices.Clone(spec.Planned)
	at = math.Inf(1)
	for _, s := range o.TieIns {
		at = math.Min(at, s.After)
	}
	for _, s := range o.TieIns {
		first := lead + s.After - at
		spec.Planned = append(spec.Planned, works.PlannedSpec{Unit: s.Unit, First: first, Every: 100 * capital.Year, Lasts: s.Lasts})
		after := float64(least)
		if share < 1 {
			after = min(most, max(least, 1.5*s.Lasts*share/(1-share)))
		}
		length = math.Max(length, first+s.Lasts+after)
	}
	p, err = works.Build(spec)
	if err != nil {
		return nil, 0, 0, err
	}
	p.Route.Start = in.Options[0].Works.Plant.Route.Start
	return p, at, length, nil
}

// caseExtra is what the request says beside the numbers.
func caseExtra(in *scripting.CaseFile, command string) report.Extra {
	x := report.Extra{Title: in.Name, Command: command, Version: version, Currency: in.Options[0].Works.Spec.Currency}
	for _, f := range in.Files {
		x.Files = append(x.Files, report.File{Name: f.Name, SHA256: f.SHA256})
	}
	for _, s := range in.Sources {
		x.Assumptions = append(x.Assumptions, s.What+" ("+s.Source+")")
	}
	x.Assumptions = append(x.Assumptions, ruleAssumptions(in)...)
	return x
}
