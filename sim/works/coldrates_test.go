package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// Sixty quiet days: every law holds, steel comes through, and no line is faster than
// its seconds a coil. Standing orders pace pickle line and cold mill by their stocks;
// the temper mill is paced by nothing.
func TestTheColdSideIn60Days(t *testing.T) {
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	w := Begin(p, Start{Luck: chance.Luck{Seed: 1}, SoldOut: true})
	m := &record.Memory{}
	w.Sink = m
	for d := calendar.Time(10); d <= 60; d += 10 {
		if err := w.Run(d * calendar.Day); err != nil {
			t.Fatal(err)
		}
		for _, e := range w.Check() {
			t.Error(e)
		}
	}
	out, coils := map[record.Place]float64{}, map[record.Place]float64{}
	for i := range m.Events {
		if e := &m.Events[i]; e.Kind == record.Move && e.A != stepOpening {
			out[e.To] += float64(e.Mass) / 1e6
			coils[e.To]++
		}
	}
	for name, at := range map[string]record.Place{"pickled": p.p.pickled, "cold rolled": p.p.coldMill, "annealed": p.p.bases, "tempered": p.p.temper, "dispatched cold": p.p.coldGone} {
		if out[at] < 60*1000 {
			t.Errorf("%s: %.0f t in 60 days", name, out[at])
		}
	}
	for _, l := range []struct {
		unit    int
		at      record.Place
		seconds func(*product) float64
	}{
		{p.u.pickle, p.p.pickle, func(pr *product) float64 { return pr.pickleS }},
		{p.u.coldMill, p.p.coldMill, func(pr *product) float64 { return pr.millS }},
		{p.u.temper, p.p.temper, func(pr *product) float64 { return pr.temperS }},
	} {
		least, most := math.Inf(1), 0.0
		for i := range p.products {
			if s := l.seconds(&p.products[i]); s > 0 {
				least, most = min(least, s), max(most, s)
			}
		}
		hours := w.States(l.unit)
		ran := hours[flow.Running] + hours[flow.Slowed]
		if n := coils[l.at]; ran < n*least/3600*0.97 || l.unit == p.u.temper && ran > n*most/3600*1.03 {
			t.Errorf("%s ran %.0f h for %.0f coils of %.0f to %.0f s", p.Route.Units[l.unit].Name, ran, n, least, most)
		}
	}
}
