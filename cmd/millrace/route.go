package main

import (
	"fmt"
	"math"
	"os"

	"github.com/spf13/cobra"

	"millrace/sim/quantity"
)

func newRoute() *cobra.Command {
	var f struct {
		works, charge, plot string
		json                bool
	}
	c := &cobra.Command{
		Use:   "route PRODUCT",
		Short: "One slab of a product on its way from caster to cooled coil",
		Long: `route follows one slab of a product through the hot side with the full physics:
times, temperatures, forces as a share of their limits, and what limits each unit.`,
		Example: "  millrace route P05\n  millrace route P05 --charge-temp \"600 C\" --plot p05.svg",
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
			j, err := p.Journey(i, charge)
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
