package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// orders gives orders at their hours.
type orders struct {
	at   []float64
	what []Order
}

func (o *orders) Wants() (calendar.Time, uint32) {
	if len(o.at) == 0 {
		return calendar.Never, 0
	}
	return calendar.Dur(o.at[0] * 3600), 0
}

func (o *orders) Ask(w *Works) {
	for len(o.at) > 0 && w.Now() >= calendar.Dur(o.at[0]*3600) {
		_ = w.Do(o.what[0])
		o.at, o.what = o.at[1:], o.what[1:]
	}
}

func playCold(t *testing.T, s Spec, days float64, d Director) (*Works, *record.Memory) {
	t.Helper()
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	w := Begin(p, Start{Luck: chance.Luck{Seed: 4}, SoldOut: true})
	m := &record.Memory{}
	w.Sink = m
	w.Director = d
	if err := w.Run(calendar.Dur(days * 86400)); err != nil {
		t.Fatal(err)
	}
	for _, e := range w.Check() {
		t.Error(e)
	}
	return w, m
}

// A coil that is sent outside comes back after the time of its truck and the time of
// the works file, no sooner, and no later while there is room; it has lost what every
// pickled coil loses, and none is forgotten outside.
func TestOutsidePicklingTakesDays(t *testing.T) {
	s := testColdSpec()
	out := Order{Lever: OutsidePickling, Unit: -1, Value: 1}
	in := out
	in.Value = 0
	w, m := playCold(t, s, 12, &orders{[]float64{6, 60}, []Order{out, in}})
	sent, mass := map[int32]calendar.Time{}, map[int32]int64{}
	back, lost, late := 0, int64(0), 0
	for i := range m.Events {
		e := &m.Events[i]
		if e.Kind != record.Move {
			continue
		}
		switch {
		case e.To == w.P.p.outside:
			sent[e.Piece], mass[e.Piece] = e.T, e.Mass
		case e.From == w.P.p.outside && e.To == w.P.p.pickled:
			away := (e.T - sent[e.Piece]).Seconds()
			truck := float64(mass[e.Piece]) / grams / s.Cold.Pickle.Outside
			if away < s.Cold.Pickle.OutBack+truck-1 {
				t.Fatalf("coil %d is back after %.1f h", e.Piece, away/3600)
			}
			if away > s.Cold.Pickle.OutBack+truck+1 {
				late++
			}
			if e.Mass >= mass[e.Piece] {
				t.Fatalf("coil %d has lost nothing outside", e.Piece)
			}
			back++
		case e.From == w.P.p.outside:
			lost += e.Mass
		}
	}
	if back < 50 || back != len(sent) || lost == 0 {
		t.Errorf("%d sent, %d back, %d g lost", len(sent), back, lost)
	}
	if late > back/2 {
		t.Errorf("%d of %d coils stood outside for want of room", late, back)
	}
	if g := w.S.Mass[w.P.p.outside]; g != 0 || w.S.Cold.AwayG != 0 {
		t.Errorf("%d g are outside still, %d by the count", g, w.S.Cold.AwayG)
	}
}

// Full stores hold returned coils outside; they come in when there is room again.
func TestOutsideWaitsForRoom(t *testing.T) {
	s := testColdSpec()
	s.Cold.Pickle.Outside, s.Cold.Pickle.OutBack = 60, 3600
	s.Cold.Pickled = Band{500e3, 600e3, 700e3, 800e3}
	w, m := playCold(t, s, 4, &orders{[]float64{2}, []Order{{Lever: OutsidePickling, Unit: -1, Value: 1}}})
	waited := 0
	sent := map[int32]calendar.Time{}
	for i := range m.Events {
		e := &m.Events[i]
		if e.Kind == record.Move && e.To == w.P.p.outside {
			sent[e.Piece] = e.T
		}
		if e.Kind == record.Move && e.From == w.P.p.outside && e.To == w.P.p.pickled && (e.T-sent[e.Piece]).Seconds() > 3600+1000 {
			waited++
		}
	}
	if waited == 0 {
		t.Error("no coil waited for room")
	}
	if g := w.S.Mass[w.P.p.pickled]; g > int64(s.Cold.Pickled.Room*grams) {
		t.Errorf("the store holds %d g, more than its room", g)
	}
}

// Overtime makes every line that has a factor faster than the stocks would let it run,
// and the tandem mill and the bases no faster.
func TestOvertimeIsNotPacedByStocks(t *testing.T) {
	moved := func(w *Works, m *record.Memory, to record.Place, from, until float64) float64 {
		g := 0.0
		for i := range m.Events {
			if e := &m.Events[i]; e.Kind == record.Move && e.To == to && e.A != stepOpening && e.T >= calendar.Dur(from*3600) && e.T < calendar.Dur(until*3600) {
				g += float64(e.Mass) / 1e6
			}
		}
		return g
	}
	s := testColdSpec()
	s.Demand.Pickle = 120 / 3.6 // the line could do far more: the order is what paces it
	work := func() Director { return &orders{[]float64{1}, []Order{{Lever: WorkOvertime, Unit: -1, Value: 1}}} }
	a, am := playCold(t, s, 2, nil)
	b, bm := playCold(t, s, 2, work())
	for _, l := range []struct {
		name        string
		at          record.Place
		from, until float64
		least, most float64
	}{
		{"pickle line", a.P.p.pickle, 2, 48, 1.07, 1.4}, // a stock below normal would have slowed it
		{"hot band dispatched", a.P.p.hotBand, 2, 24, 1.05, 1.5},
		{"cold dispatched", a.P.p.coldGone, 2, 24, 1.05, 1.5},
		{"anneal bases", a.P.p.bases, 2, 24, 0.97, 1.03},
	} {
		x, y := moved(a, am, l.at, l.from, l.until), moved(b, bm, l.at, l.from, l.until)
		t.Logf("%s: %.0f t, with overtime %.0f t", l.name, x, y)
		if !(y >= x*l.least && y <= x*l.most) {
			t.Errorf("%s: %.0f t, with overtime %.0f t", l.name, x, y)
		}
	}
	// The temper mill: seconds a coil.
	mean := func(w *Works) float64 {
		h := w.States(w.P.u.temper)
		n := 0.0
		m := am
		if w == b {
			m = bm
		}
		for i := range m.Events {
			if e := &m.Events[i]; e.Kind == record.Move && e.From == w.P.p.temper && e.To == w.P.p.finished {
				n++
			}
		}
		return h[6] / math.Max(1, n) // running
	}
	if x, y := mean(a), mean(b); !(math.Abs(x/y-s.Cold.Temper.Overtime) < 0.02) {
		t.Errorf("temper mill: %.4f h a coil, with overtime %.4f", x, y)
	}
	if n := a.P.OvertimeCrews(); n != 3 {
		t.Errorf("%d crews work overtime", n)
	}
}

// On Saturday slots are those of a weekday under overtime.
func TestOvertimeWorksTheWeekend(t *testing.T) {
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	// The route begins on a Monday or not: look at every day of a week.
	w := Begin(p, Start{Luck: chance.Luck{Seed: 4}, SoldOut: true})
	week := func() (lo, hi float64) {
		lo, hi = 9, 0
		at := p.Route.Start
		defer func() { p.Route.Start = at }()
		for d := range int64(7) {
			p.Route.Start = at + d*86400*1e6
			x := w.slotShare()
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
		return lo, hi
	}
	if lo, hi := week(); math.Abs(lo/hi-0.7) > 1e-9 {
		t.Errorf("weekend %g, weekday %g", lo, hi)
	}
	w.S.Cold.Overtime = true
	if lo, hi := week(); lo != hi {
		t.Errorf("with overtime weekend %g, weekday %g", lo, hi)
	}
}

// A share of the coils that are cooled by force is sold cheaper; without fans none is.
func TestForcedCoolingSpoilsCoils(t *testing.T) {
	s := testColdSpec()
	s.CoilYard.ForcedSpoil = 0.05
	count := func(d Director) (cool, spoiled float64) {
		_, m := playCold(t, s, 6, d)
		for i := range m.Events {
			e := &m.Events[i]
			switch {
			case e.Kind == record.Note && Word(e.A) == WordCool:
				cool++
			case e.Kind == record.Note && Word(e.A) == WordDowngraded && e.From < 0:
				spoiled++
			}
		}
		return cool, spoiled
	}
	if _, n := count(nil); n != 0 {
		t.Errorf("%.0f coils spoiled in still air", n)
	}
	n, k := count(&orders{[]float64{0.5}, []Order{{Lever: ForceCooling, Unit: -1, Value: 1}}})
	// Five standard deviations of a binomial of some hundreds.
	if sd := math.Sqrt(n * 0.05 * 0.95); math.Abs(k-0.05*n) > 5*sd || k == 0 {
		t.Errorf("%.0f of %.0f coils spoiled, 5 %% expected", k, n)
	}
}
