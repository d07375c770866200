package scenarios_test

import (
	"os"
	"testing"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

func larkfell(t testing.TB) *works.Plant {
	t.Helper()
	from, err := quantity.ParseClock("2031-11-07 06:00")
	if err != nil {
		t.Fatal(err)
	}
	w, err := scripting.LoadWorks("scenarios/larkfell/works.lua", scripting.DiskThen(scenarios.FS), from)
	if err != nil {
		t.Fatal(err)
	}
	return w.Plant
}

// TestQuietStart: no upsets, demand sold out. Over ten days and fifty futures the
// mean of no store at any hour leaves its normal band.
func TestQuietStart(t *testing.T) { quiet(t, 50, 240) }

// TestQuietColdSide: the same over sixty days, since annealing takes days and its
// stocks weeks to show a drift.
func TestQuietColdSide(t *testing.T) { quiet(t, 24, 60*24) }

func quiet(t *testing.T, futures, hours int) {
	p := larkfell(t)
	level := make([][]float64, len(p.Route.Places)+1)
	for i := range level {
		level[i] = make([]float64, hours+1)
	}
	cool := [2][]float64{make([]float64, hours+1), make([]float64, hours+1)}
	gone := 0.0
	for f := range futures {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 3, Future: uint64(f)}, SoldOut: true})
		for h := 0; h <= hours; h++ {
			if err := w.Run(calendar.Time(h) * calendar.Hour); err != nil {
				t.Fatal(err)
			}
			for i := range p.Route.Places {
				level[i][h] += float64(w.S.Mass[i]) / 1e6 / float64(futures)
			}
			level[len(p.Route.Places)][h] += w.S.Gas / 1e9 / float64(futures)
			cool[0][h] += float64(w.S.CoolPickG) / 1e6 / float64(futures)
			cool[1][h] += float64(w.S.CoolHotG) / 1e6 / float64(futures)
		}
		if errs := w.Check(); len(errs) > 0 {
			t.Fatal(errs)
		}
		for i := range p.Route.Places {
			if p.Route.Places[i].Role == record.Gone {
				gone += float64(w.S.Mass[i]) / 1e6 / float64(futures)
			}
		}
	}
	check := func(name string, x []float64, low, high float64) {
		least, most := x[0], x[0]
		for h, v := range x {
			least, most = min(least, v), max(most, v)
			if v < low-1e-6 || v > high+1e-6 {
				t.Errorf("%s: mean %.0f at hour %d, band %.0f to %.0f", name, v, h, low, high)
				break
			}
		}
		if testing.Verbose() || os.Getenv("TUNE") != "" {
			t.Logf("%-12s least %7.0f most %7.0f band %7.0f to %7.0f; every fifth %6.0f", name, least, most, low, high, []float64{x[0], x[hours/5], x[hours*2/5], x[hours*3/5], x[hours*4/5], x[hours]})
		}
	}
	for i := range p.Route.Places {
		r := &p.Route.Places[i]
		if r.Role == record.Store && r.High > 0 && r.Name != "overflow yard" {
			check(r.Name, level[i], float64(r.Low)/1e6, float64(r.High)/1e6)
		}
	}
	g := p.Spec.Gas.Holder
	check("fuel gas", level[len(p.Route.Places)], g.Low/1e9, g.High/1e9)
	c := p.Spec.CoilYard
	check("cool", cool[0], c.Cool.Low/1e3, c.Cool.High/1e3)
	check("cool hot band", cool[1], c.CoolHot.Low/1e3, c.CoolHot.High/1e3)
	t.Logf("out %.0f t/h", gone/float64(hours))
}
