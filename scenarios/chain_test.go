package scenarios_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
	"millrace/sim/works"
)

// TestTheHoleTravels: a stop of the mill reaches the pickle line after the coils'
// cooling time, and starves it only for what the cool stock does not cover.
func TestTheHoleTravels(t *testing.T) {
	p := larkfell(t)
	pickle := p.UnitsNamed("pickle line")[0]
	starved := func(lasts float64) (first, hours float64) {
		first = -1
		const futures = 5
		for f := range futures {
			w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 8, Future: uint64(f)}, SoldOut: true, Script: wreck(10, lasts)})
			w.Sink = record.Discard
			for h := 0; h <= 10*24; h++ {
				if err := w.Run(calendar.Time(h) * calendar.Hour); err != nil {
					t.Fatal(err)
				}
				if w.StateOf(pickle) == flow.Starved {
					hours += 1.0 / futures
					if x := float64(h) - 10; first < 0 || x < first {
						first = x
					}
				}
			}
		}
		return first, hours
	}
	cooling := 0.0
	for _, v := range p.ProductViews() {
		for i := range p.Spec.Products {
			if p.Spec.Products[i].Name == v.Name && p.Spec.Products[i].Pickled {
				cooling = max(cooling, v.CoolH)
			}
		}
	}
	cover := p.Spec.CoilYard.Cool.Normal / p.Spec.Demand.Pickle / 3600 / (1 - p.Spec.Standing.PickleSwing)
	t.Logf("coils cool %.0f h, the cool stock covers %.0f h at the slowed feed", cooling, cover)
	if first, hours := starved(16); hours > 0 {
		t.Errorf("16 h starve the pickle line for %.1f h from hour %.0f on, though the cool stock covers it", hours, first)
	}
	first, hours := starved(60)
	t.Logf("a stop of 60 h starves the pickle line from hour %.0f on for %.0f h", first, hours)
	if hours <= 0 || first < cooling {
		t.Errorf("a stop of 60 h starves the pickle line from hour %.0f on (%.0f h): not before the coils' cooling time of %.0f h", first, hours, cooling)
	}
	if hours > 60-cover/2 {
		t.Errorf("the pickle line starves %.0f h: the cool stock covers nothing", hours)
	}
}

// TestRecoveryTakesDays: after a wreck of a day the surplus in the yard takes days
// to go, because mill and casters are nearly in balance.
func TestRecoveryTakesDays(t *testing.T) {
	p := larkfell(t)
	w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 8}, SoldOut: true, Script: wreck(10, 26)})
	w.Sink = record.Discard
	high := 0
	for h := 36; h <= 14*24; h++ {
		if err := w.Run(calendar.Time(h) * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		if float64(w.S.Mass[placeNamed(p, "slab yard")])/1e6 > 17500 {
			high = h
		}
	}
	if d := float64(high-36) / 24; d < 1 || d > 14 {
		t.Errorf("the yard is back under its quiet level after %.1f days", d)
	} else {
		t.Logf("the yard is back under its quiet level %.1f days after the restart", d)
	}
}

// TestAfterRestartTheFurnacesDecide: slabs soaked in a set-back furnace must come
// to heat again, so the first hours after a long stop roll less than later ones.
func TestAfterRestartTheFurnacesDecide(t *testing.T) {
	p := larkfell(t)
	script := fast(10, 16) // comes back at full pace: what is missing is heat
	rolled := func(from, to float64) float64 {
		s := mean(t, p, script, 60, false, nil, from, to)
		return s.rolledSoon / (to - from)
	}
	first, later := rolled(26, 29), rolled(34, 37)
	t.Logf("first three hours %.0f t/h, eight hours later %.0f t/h (8 futures)", first, later)
	if first > 0.8*later {
		t.Errorf("the first hours after the restart roll %.0f t/h, later ones %.0f", first, later)
	}
}

// TestSlowCastingIsColder: at the slowest speed a heat pours longer and needs more
// above liquidus when it is opened.
func TestSlowCastingIsColder(t *testing.T) {
	p := larkfell(t)
	over := func(v float64) float64 {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 1}, SoldOut: true, Speeds: [4]float64{v, v}})
		s := sums{p: p}
		n := 0
		w.Sink = sinkFunc(func(e []record.Event) {
			s.Put(e)
			for i := range e {
				if e[i].Kind == record.Note && works.Word(e[i].A) == works.WordOpened {
					n++
				}
			}
		})
		if err := w.Run(24 * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		return s.opened / float64(n)
	}
	normal, slow := over(p.Spec.Casters[0].Normal), over(p.Spec.Casters[0].Slowest)
	t.Logf("opened %.0f K above liquidus at normal speed, %.0f K at the slowest", normal, slow)
	// By hand: 250 t at 1.25 m/min pour 43 min, at 0.70 m/min 77 min; 34 min at
	// half a kelvin a minute are 17 K.
	if d := slow - normal; d < 8 || d > 26 {
		t.Errorf("slow casting needs %.1f K more, by hand about 17", d)
	}
}
