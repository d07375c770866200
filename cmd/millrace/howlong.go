package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/report"
	"millrace/sim/works"
)

type howLongFlags struct {
	works, now, horizon string
	down, since, back   []string
	levels              []string
	futures, workers    int
	seed                uint64
	json, noBackground  bool
}

func newHowLong() *cobra.Command {
	var f howLongFlags
	c := &cobra.Command{
		Use:   "howlong",
		Short: "What fills, what runs dry, and the last moment of each choice",
		Long: `howlong answers in the first ten minutes of a stop: how long has everybody got,
and what must be decided by when? Give what you know by telephone; what you do not
give is taken at its normal level and marked as assumed.`,
		Example: `  millrace howlong --works scenarios/larkfell/works.lua --now "2031-11-07 22:45" \
    --down "finishing train" --since 22:40 --back "low 4 h, likely 8 h, bad 26 h" \
    --level "slab yard=19500 t" --level "ladles=3"`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	fl := c.Flags()
	fl.StringVar(&f.works, "works", "scenarios/larkfell/works.lua", "works file")
	fl.StringVar(&f.now, "now", "", `date and time now, "2031-11-07 22:45"`)
	fl.StringArrayVar(&f.down, "down", nil, `the unit that stands, "finishing train"; repeat with --since and --back for another`)
	fl.StringArrayVar(&f.since, "since", nil, `when it stopped, "22:40"; now when left out`)
	fl.StringArrayVar(&f.back, "back", nil, `what you were told of its return, "low 4 h, likely 8 h, bad 26 h", from when it stopped`)
	fl.StringArrayVar(&f.levels, "level", nil, `what you know of a store, "slab yard=19500 t"; may be repeated`)
	fl.StringVar(&f.horizon, "horizon", "96 h", "how far to look ahead")
	fl.IntVar(&f.futures, "futures", 200, "futures to play")
	fl.Uint64Var(&f.seed, "seed", 1, "seed of the luck")
	fl.IntVar(&f.workers, "workers", 0, "futures at a time; 0: one a processor")
	fl.BoolVar(&f.noBackground, "no-background", false, "leave other upsets out of the look-ahead")
	fl.BoolVar(&f.json, "json", false, "the answer as JSON")
	return c
}

func (f *howLongFlags) run(c *cobra.Command) error {
	if f.now == "" || len(f.down) == 0 || len(f.back) == 0 {
		return badInput(`howlong needs --now, --down and --back; for example:
  millrace howlong --now "2031-11-07 22:45" --down "finishing train" --since 22:40 --back "low 4 h, likely 8 h, bad 26 h"`)
	}
	now, err := quantity.ParseClock(f.now)
	if err != nil {
		return badInput("--now: %v", err)
	}
	horizon, err := quantity.ParsePositive(f.horizon, quantity.Time)
	if err != nil {
		return badInput("--horizon: %v", err)
	}
	if horizon > 60*86400 {
		return badInput("--horizon: %s is further than a look-ahead means anything; at most 60 d", f.horizon)
	}
	if f.futures < 1 || f.futures > 100000 {
		return badInput("--futures: %d; give 1 to 100000", f.futures)
	}
	if err := checkWorkers(f.workers); err != nil {
		return err
	}
	plant, _, err := loadWorks(f.works, now)
	if err != nil {
		return err
	}
	stops, err := f.stops(plant, now)
	if err != nil {
		return err
	}
	levels, err := parseLevels(plant, f.levels)
	if err != nil {
		return err
	}
	a, err := futures.AskHowLong(c.Context(), &futures.Question{
		Plant: plant, Now: now, Stops: stops, Levels: levels, Futures: f.futures, Seed: f.seed,
		Workers: f.workers, Horizon: calendar.Dur(horizon), SoldOut: plant.Spec.Demand.SoldOut, Quiet: f.noBackground,
	})
	if err != nil {
		return err
	}
	if f.json {
		return printJSON(c, a)
	}
	_, err = fmt.Fprint(c.OutOrStdout(), report.HowLong(a))
	return err
}

// stops reads what is known of every unit that stands: --down, --since and --back
// belong together in the order given.
func (f *howLongFlags) stops(plant *works.Plant, now quantity.Clock) ([]futures.Stop, error) {
	if len(f.back) != len(f.down) || len(f.since) > len(f.down) || len(f.down) > 1 && len(f.since) != len(f.down) {
		return nil, badInput("%d --down, %d --since, %d --back; every unit that stands needs its own --down, --since and --back, in this order", len(f.down), len(f.since), len(f.back))
	}
	var out []futures.Stop
	for i := range f.down {
		st := futures.Stop{Since: now}
		var err error
		if i < len(f.since) {
			if st.Since, err = sinceClock(f.since[i], now); err != nil {
				return nil, err
			}
		}
		if st.Back, err = quantity.ParseEstimate(f.back[i]); err != nil {
			return nil, badInput("--back: %v", err)
		}
		if gone := float64(now-st.Since) / 1e6; gone > 3*st.Back.Bad {
			return nil, badInput("--since: the stop has lasted %s, three times the bad case and more; what you were told is out of date. Ask again, and give it as from --since",
				quantity.FormatDuration(gone))
		}
		if st.Unit, err = unitNamed(plant, f.down[i]); err != nil {
			return nil, err
		}
		for _, o := range out {
			if o.Unit == st.Unit {
				return nil, badInput("--down: %s is given twice", plant.Route.Units[st.Unit].Name)
			}
		}
		out = append(out, st)
	}
	return out, nil
}

// sinceClock reads when a unit stopped. A time of day alone means the last one before
// now; one that would lie far back is rather a slip.
func sinceClock(text string, now quantity.Clock) (quantity.Clock, error) {
	c, err := quantity.ParseClockNear(text, now)
	if err != nil {
		return 0, badInput("--since: %v", err)
	}
	if c > now {
		return 0, badInput("--since: %s lies after now; give the time at which the unit stopped", text)
	}
	if gone := float64(now-c) / 1e6; len(text) <= 5 && gone > 12*3600 {
		return 0, badInput("--since: the last %s before now was %s, %s ago; if you mean it, give the date too: --since \"%s\"", text,
			quantity.FormatClock(c, c), quantity.FormatDuration(gone), strings.Replace(c.ISO()[:16], "T", " ", 1))
	}
	return c, nil
}

func printJSON(c *cobra.Command, v any) error {
	e := json.NewEncoder(c.OutOrStdout())
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// unitNamed finds the unit that people mean.
func unitNamed(p *works.Plant, name string) (int, error) {
	name = strings.Join(strings.Fields(strings.ToLower(name)), " ")
	if us := p.UnitsNamed(name); len(us) > 0 {
		if len(us) > 1 {
			var which []string
			for _, u := range us {
				which = append(which, p.Route.Units[u].Name)
			}
			return 0, badInput("--down: %q may be any of %s; say which, for example --down %s", name, strings.Join(which, ", "), which[0])
		}
		if !p.CanStop(us[0]) {
			return 0, badInput("--down: a stop of the %s cannot be played; its supply is steered by levers", p.Route.Units[us[0]].Name)
		}
		return us[0], nil
	}
	// People say "furnace F2" and "caster C1".
	if words := strings.Fields(name); len(words) == 2 {
		if us := p.UnitsNamed(words[1]); len(us) > 0 {
			return us[0], nil
		}
	}
	var names []string
	for i := range p.Route.Units {
		names = append(names, p.Route.Units[i].Name)
	}
	hint := ""
	if near, ok := quantity.Nearest(name, names); ok {
		hint = fmt.Sprintf("; did you mean %q?", near)
	}
	return 0, badInput("--down: there is no unit %q%s\n  units: %s", name, hint, strings.Join(names, ", "))
}

// parseLevels reads "slab yard=19500 t" and "ladles=3".
func parseLevels(p *works.Plant, texts []string) (map[record.Place]int64, error) {
	out := map[record.Place]int64{}
	var names []string
	for _, at := range p.Settable() {
		names = append(names, p.StoreInfo(at).Name)
	}
	for _, text := range texts {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			return nil, badInput(`--level %q: write store=level, for example "slab yard=19500 t"`, text)
		}
		name = strings.Join(strings.Fields(strings.ToLower(name)), " ")
		at, ok := p.StoreNamed(name)
		if !ok || !p.CanSet(at) {
			hint := ""
			if near, ok := quantity.Nearest(name, names); ok {
				hint = fmt.Sprintf("; did you mean %q?", near)
			}
			return nil, badInput("--level: no level can be given for %q%s\n  stores: %s", name, hint, strings.Join(names, ", "))
		}
		if _, twice := out[at]; twice {
			return nil, badInput("--level: %s is given twice", name)
		}
		info := p.StoreInfo(at)
		var g float64
		if info.Amount == "GJ" {
			j, err := quantity.Parse(strings.TrimSpace(value), quantity.Energy)
			if err != nil {
				return nil, badInput("--level %s: %v", name, err)
			}
			g = j / 1000
		} else if info.Amount == "t" {
			kg, err := quantity.Parse(strings.TrimSpace(value), quantity.Mass)
			if err != nil {
				return nil, badInput("--level %s: %v", name, err)
			}
			g = kg * 1000
		} else {
			n, err := quantity.ParseCount(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(value), info.Amount)))
			if err != nil {
				return nil, badInput("--level %s: %q is no number of %s; write a whole number, for example \"%s=%s\"", name, strings.TrimSpace(value),
					info.Amount, name, quantity.FormatNumber(math.Round(float64(info.Normal)/info.PerAmount), 0))
			}
			g = float64(n) * info.PerAmount
		}
		if !(g >= 0) || math.IsInf(g, 0) {
			return nil, badInput("--level %s: a level is not below zero", name)
		}
		if info.Room > 0 && g > float64(info.Room)+1 {
			return nil, badInput("--level %s: %s is more than its room of %s %s", name, strings.TrimSpace(value),
				quantity.FormatNumber(float64(info.Room)/info.PerAmount, 0), info.Amount)
		}
		out[at] = int64(g)
	}
	return out, nil
}
