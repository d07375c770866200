package main

import (
	"fmt"
	"math"
	"os"

	"github.com/spf13/cobra"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

func newRoute() *cobra.Command {
	var f struct {
		works, charge, plot    string
		thickness, width, cold string
		json                   bool
	}
	c := &cobra.Command{
		Use:   "route PRODUCT",
		Short: "One slab of a product on its way from caster to dispatch",
		Long: `route follows one slab of a product through the works with the full physics, from
the mould through pickling, cold mill, annealing and temper mill where the product
takes them: times, temperatures, forces as a share of their limits, power, speed, and
what limits each unit. There are no queues: it is the shortest way. --thickness,
--width and --cold ask for other sizes than the order's.

A schedule that breaks a limit is told up to there, with which limit, by how much and
what would fit; the exit code is then 1. A works file with a product that can never be
made is refused when it is read (exit code 2).`,
		Example: "  millrace route P10\n  millrace route P05 --charge-temp \"600 C\" --plot p05.svg\n  millrace route P12 --cold \"0.25 mm\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			from, _ := quantity.ParseClock("2031-11-07 06:00")
			p, _, err := loadWorks(f.works, from)
			if err != nil {
				return err
			}
			i, ok := p.ProductNumber(args[0])
			if !ok {
				return badInput("there is no product %q in %s%s\n  products: %s", args[0], f.works, near(args[0], p.Route.Products), list(p.Route.Products))
			}
			charge := math.NaN()
			if f.charge != "" {
				if charge, err = quantity.ParseCelsius(f.charge); err != nil {
					return badInput("--charge-temp: %v", err)
				}
			}
			if f.plot != "" {
				if _, err := os.Stat(f.plot); err == nil {
					return badInput("--plot: %s exists already; nothing is overwritten", f.plot)
				}
			}
			var change works.Change
			for _, x := range []struct {
				flag, text string
				to         *float64
			}{{"thickness", f.thickness, &change.Thickness}, {"width", f.width, &change.Width}, {"cold", f.cold, &change.Cold}} {
				if x.text == "" {
					continue
				}
				if *x.to, err = quantity.ParsePositive(x.text, quantity.Length); err != nil {
					return badInput("--%s: %v", x.flag, err)
				}
			}
			j, err := p.JourneyChanged(i, charge, change)
			if err != nil && j.Broken == nil {
				return &inputError{err}
			}
			if f.json {
				if err := printJSON(c, j); err != nil {
					return err
				}
			} else {
				fmt.Fprint(c.OutOrStdout(), routeText(&j))
			}
			if f.plot != "" && j.Broken == nil {
				if err := os.WriteFile(f.plot, []byte(routePlot(&j)), 0o644); err != nil {
					return err
				}
				fmt.Fprintf(c.ErrOrStderr(), "picture: %s\n", f.plot)
			}
			if err != nil {
				return fmt.Errorf("%s cannot be made: %w", args[0], err)
			}
			return nil
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.works, "works", "scenarios/larkfell/works.lua", "works file")
	fl.StringVar(&f.charge, "charge-temp", "", `temperature of the slab as it is charged, "400 C"; from the yard's normal age when left out`)
	fl.StringVar(&f.thickness, "thickness", "", `what if the hot band were so thick, "1.6 mm"?`)
	fl.StringVar(&f.width, "width", "", `what if it were so wide, "1450 mm"?`)
	fl.StringVar(&f.cold, "cold", "", `what if it were cold rolled to this, "0.4 mm"?`)
	fl.StringVar(&f.plot, "plot", "", "write a picture of temperature and thickness to this file (SVG)")
	fl.BoolVar(&f.json, "json", false, "as JSON")
	return c
}

func list(words []string) string {
	s := ""
	for i, w := range words {
		if i > 0 {
			s += ", "
		}
		s += w
	}
	return s
}
