package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"

	"millrace/scripting"
	"millrace/sim/files"
	"millrace/sim/futures"
	"millrace/sim/report"
)

func newCompare() *cobra.Command {
	var f struct {
		futures, workers int
		seed             uint64
		json, noReport   bool
		out              string
	}
	c := &cobra.Command{
		Use:   "compare SCENARIO",
		Short: "Which plan costs least? Plays every plan over the same futures",
		Long: `compare plays every plan of a scenario over the same futures, and each future also
without the upset. The cost of the upset under a plan is the difference. It says which
plan costs least, with an interval, or that it cannot tell and what would decide.`,
		Example: "  millrace compare scenarios/larkfell/stand-wreck.lua\n  millrace compare my-scenario.lua --futures 300 --json",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := loadScenario(args[0])
			if err != nil {
				return err
			}
			if f.futures < 0 || f.futures > 1_000_000 {
				return badInput("--futures: %d; give 1 to 1000000", f.futures)
			}
			if err := checkWorkers(f.workers); err != nil {
				return err
			}
			n, seed := firstOf(f.futures, s.Futures, defaultFutures), f.seed
			if !c.Flags().Changed("seed") && s.Seed != 0 {
				seed = s.Seed
			}
			dir := f.out
			if dir == "" && !f.noReport {
				dir = filepath.Join("runs", slug(s.Name)+"-"+time.Now().Format("20060102-150405"))
			}
			if dir != "" {
				if _, err := os.Stat(dir); err == nil {
					return badInput("--out: %s exists already; give a folder that does not, nothing is overwritten", dir)
				}
			}
			notes := logger(c)
			for _, in := range s.Files {
				notes.Debug().Str("file", in.Name).Str("sha256", in.SHA256).Msg("read")
			}
			begun := time.Now()
			bar := newProgress(c.ErrOrStderr())
			cmp, err := futures.Compare(c.Context(), caseOf(s, seed, n, workersOr(f.workers)), bar.show)
			bar.done()
			if err != nil {
				return err
			}
			notes.Info().Str("scenario", s.Name).Int("plans", len(s.Plans)).Int("futures", n).Uint64("seed", seed).Int("workers", workersOr(f.workers)).
				Dur("took_ms", time.Since(begun)).Str("fingerprint", cmp.Fingerprint).Msg("compared")
			for _, w := range cmp.Warnings {
				notes.Debug().Msg(w)
			}
			command := fmt.Sprintf("millrace compare %s --seed %d --futures %d", args[0], seed, n)
			x := extra(s, command)
			if dir != "" {
				if err := writeFolder(dir, s, cmp, x); err != nil {
					return err
				}
				cmp.RunFolder = dir
			}
			if f.json {
				if err := printJSON(c, cmp); err != nil {
					return err
				}
			} else {
				fmt.Fprint(c.OutOrStdout(), report.Compare(cmp, x))
				if dir != "" {
					fmt.Fprintf(c.OutOrStdout(), "\nReport with pictures: %s\n", filepath.Join(dir, "report.html"))
				}
			}
			return held(s, cmp)
		},
	}
	fl := c.Flags()
	fl.IntVar(&f.futures, "futures", 0, "futures to play; the scenario's own, else 100")
	fl.Uint64Var(&f.seed, "seed", defaultSeed, "seed of the luck")
	fl.IntVar(&f.workers, "workers", 0, "futures at a time; 0: one a processor")
	fl.StringVar(&f.out, "out", "", "folder for report and tables; a new one under runs/ when left out")
	fl.BoolVar(&f.noReport, "no-report", false, "write no folder")
	fl.BoolVar(&f.json, "json", false, "the answer as JSON")
	return c
}

func firstOf(values ...int) int {
	for _, v := range values {
		if v > 0 {
			return v
		}
	}
	return 0
}

// slug makes a folder name of a title.
func slug(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}

func writeFolder(dir string, s *scripting.Scenario, cmp *futures.Comparison, x report.Extra) error {
	cmp.RunFolder = dir
	html, err := report.HTML(cmp, x)
	if err != nil {
		return err
	}
	return files.WriteRunFolder(dir, func(d *files.Folder) error {
		for _, in := range s.Files {
			if err := d.Input(in.Name, in.Data); err != nil {
				return err
			}
		}
		if err := d.JSON("comparison.json", cmp); err != nil {
			return err
		}
		for _, t := range report.Tables(cmp) {
			if err := d.Table(t.Name+".csv", t.Header, t.Rows); err != nil {
				return err
			}
		}
		return d.Write("report.html", html)
	})
}

// held compares a scenario's own expectation with the outcome.
func held(s *scripting.Scenario, c *futures.Comparison) error {
	e := s.Expect
	if !e.Given {
		return nil
	}
	if e.Best == scripting.CannotTell {
		if c.Decided {
			return errors.New("the scenario expects that no plan is shown to be best, but: " + c.Verdict)
		}
		return nil
	}
	if e.Best != "" {
		if !c.Decided {
			return &undecided{fmt.Sprintf("the scenario expects %q to cost least; that is undecided: %s", e.Best, c.Verdict)}
		}
		if got := c.Plans[c.Best].Name; got != e.Best {
			return fmt.Errorf("the scenario expects %q to cost least, but it is %q", e.Best, got)
		}
	}
	if e.Worst != "" && len(c.Plans) > 1 {
		worst, most := "", math.Inf(-1)
		for i := range c.Plans {
			if n := len(c.Plans[i].CostOfUpset); n > 0 && c.Plans[i].CostOfUpset[n-1].Amount > most {
				worst, most = c.Plans[i].Name, c.Plans[i].CostOfUpset[n-1].Amount
			}
		}
		if worst != e.Worst {
			return fmt.Errorf("the scenario expects %q to cost most, but it is %q", e.Worst, worst)
		}
	}
	return nil
}

// progress writes one line that counts, on a terminal only.
type progress struct {
	w     interface{ Write([]byte) (int, error) }
	on    bool
	begun time.Time
	last  time.Time
	what  string // what is counted; futures when empty
}

func newProgress(w interface{ Write([]byte) (int, error) }) *progress {
	p := &progress{w: w, begun: time.Now()}
	if f, ok := w.(*os.File); ok {
		p.on = isatty.IsTerminal(f.Fd())
	}
	return p
}

func (p *progress) show(done, total int) {
	if !p.on || time.Since(p.last) < 200*time.Millisecond && done < total {
		return
	}
	p.last = time.Now()
	left := ""
	if done > 0 && done < total {
		d := time.Duration(float64(time.Since(p.begun)) / float64(done) * float64(total-done)).Round(time.Second)
		left = ", about " + d.String() + " left"
	}
	what := p.what
	if what == "" {
		what = "futures"
	}
	fmt.Fprintf(p.w, "\r\033[K%d of %d %s%s", done, total, what, left)
}

// stage is show for work of several kinds, whose whole may not be known (0).
func (p *progress) stage(what string, done, total int) {
	if what != p.what {
		p.what, p.begun = what, time.Now()
	}
	if total > 0 {
		p.show(done, total)
		return
	}
	if !p.on || time.Since(p.last) < 200*time.Millisecond {
		return
	}
	p.last = time.Now()
	fmt.Fprintf(p.w, "\r\033[K%d %s", done, what)
}

func (p *progress) done() {
	if p.on {
		fmt.Fprint(p.w, "\r\033[K")
	}
}
