package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/report"
	"millrace/sim/works"
)

func newRun() *cobra.Command {
	var f struct {
		plan         string
		future, seed uint64
		json, log    bool
		out          string
		events       bool
		live         liveFlags
	}
	c := &cobra.Command{
		Use:   "run SCENARIO",
		Short: "Play one plan in one future: shift log, measures, mass balance",
		Args:  cobra.ExactArgs(1),
		Example: "  millrace run scenarios/larkfell/stand-wreck.lua --plan \"slow the casters early\" --log\n" +
			"  millrace run scenarios/larkfell/stand-wreck.lua --future 17 --json\n" +
			"  millrace run scenarios/larkfell/stand-wreck.lua --future 17 --out runs/wreck-17 --events\n" +
			"  millrace run scenarios/larkfell/stand-wreck.lua --live --bus nats://127.0.0.1:4222 --pace 10",
		RunE: func(c *cobra.Command, args []string) error {
			if err := f.live.check(c); err != nil {
				return err
			}
			s, err := loadScenario(args[0])
			if err != nil {
				return err
			}
			plan, err := planNamed(s, f.plan)
			if err != nil {
				return err
			}
			if f.events && f.out == "" {
				return badInput("--events: the log of all events goes into a run folder; name one with --out")
			}
			if f.out != "" {
				if err := freeFolder(f.out); err != nil {
					return err
				}
			}
			seed := f.seed
			if !c.Flags().Changed("seed") && s.Seed != 0 {
				seed = s.Seed
			}
			k := caseOf(s, seed, 1, 1)
			var to sinks
			var live *liveRun
			if f.live.live {
				if live, err = f.live.start(c, s, args[0], plan, f.future); err != nil {
					return err
				}
				to = append(to, live.sink)
			}
			if f.log && !f.json {
				to = append(to, &shiftLog{p: s.Works.Plant, start: s.From, w: c.OutOrStdout()})
			}
			x := extra(s, fmt.Sprintf("millrace run %s --plan %q --seed %d --future %d", args[0], s.Plans[plan].Name, seed, f.future))
			play := func(log record.Sink) (*futures.Result, error) {
				if log != nil {
					to = append(to, log)
				}
				if len(to) > 0 {
					k.Sink = to
				}
				return futures.RunOne(c.Context(), k, plan, f.future)
			}
			var r *futures.Result
			if f.out == "" {
				r, err = play(nil)
			} else {
				r, err = runFolder(f.out, f.events, s, x, play)
			}
			if live != nil {
				if lost := live.end(); err == nil {
					err = lost
				}
			}
			if err != nil {
				return err
			}
			if f.json {
				return printJSON(c, r)
			}
			fmt.Fprint(c.OutOrStdout(), report.Run(r, x))
			if f.out != "" {
				fmt.Fprintf(c.OutOrStdout(), "\nReport with pictures: %s\n", filepath.Join(f.out, "report.html"))
			}
			return nil
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.plan, "plan", "", "the plan to play; the first when left out")
	fl.Uint64Var(&f.future, "future", 0, "which future")
	fl.Uint64Var(&f.seed, "seed", defaultSeed, "seed of the luck")
	fl.BoolVar(&f.log, "log", false, "print the shift log")
	fl.StringVar(&f.out, "out", "", "a new folder for report, tables and inputs; none is written when left out")
	fl.BoolVar(&f.events, "events", false, "keep the log of all events in the folder too")
	fl.BoolVar(&f.json, "json", false, "the result as JSON")
	f.live.add(c)
	return c
}

// shiftLog prints what people would have written down.
type shiftLog struct {
	p     *works.Plant
	start quantity.Clock
	w     io.Writer
}

func (l *shiftLog) clock(t calendar.Time) string {
	return quantity.FormatClock(l.start.Add(t.Seconds()), l.start)
}

func (l *shiftLog) Put(events []record.Event) {
	for i := range events {
		if s := l.p.Say(&events[i], l.clock); s != "" {
			fmt.Fprintf(l.w, "%s  %s\n", l.clock(events[i].T), s)
		}
	}
}
