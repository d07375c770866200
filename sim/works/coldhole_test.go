package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// fans switches the forced cooling of coils on when the mill stops.
type fans struct{ on calendar.Time }

func (f *fans) Wants() (calendar.Time, uint32) { return f.on, 0 }

func (f *fans) Ask(w *Works) {
	f.on = calendar.Never
	_ = w.Do(Order{Lever: ForceCooling, Unit: -1, Value: 1})
}

// starvedPickling plays a stop of the finishing train that begins after three days
// and says how long the pickle line had nothing to pickle in the twelve days after,
// and when that began.
func starvedPickling(t *testing.T, stop float64, forced bool) (hours float64, from calendar.Time) {
	t.Helper()
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	start := 3 * calendar.Day
	s := Start{Luck: chance.Luck{Seed: 3}, SoldOut: true}
	if stop > 0 {
		s.Script = []UpsetSpec{{Kind: ShortStop, Unit: "finishing train", At: start.Seconds(), Lasts: law(chance.Fixed(stop * 3600)), Scripted: true}}
	}
	w := Begin(p, s)
	m := &record.Memory{}
	w.Sink = m
	if forced {
		w.Director = &fans{on: start}
	}
	if err := w.Run(start); err != nil {
		t.Fatal(err)
	}
	before := w.States(p.u.pickle)[flow.Starved]
	from = calendar.Never
	for h := calendar.Hour; h <= 12*calendar.Day; h += calendar.Hour {
		was := w.States(p.u.pickle)[flow.Starved]
		if err := w.Run(start + h); err != nil {
			t.Fatal(err)
		}
		if from == calendar.Never && w.States(p.u.pickle)[flow.Starved]-was > 0.5 {
			from = h
		}
	}
	for _, e := range w.Check() {
		t.Error(e)
	}
	return w.States(p.u.pickle)[flow.Starved] - before, from
}

// A stop of the hot mill reaches the pickle line after the coil cooling time and
// starves it for what the stock of cool coils does not cover: the stop less the
// hours from when cool coils cease to come to when the line is empty. Fans on the
// coil floor close the gap, and a short stop starves nobody.
func TestTheHoleReachesPickling(t *testing.T) {
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	cool, share := 0.0, 0.0 // mean cooling time of what is pickled, h
	for i := range p.products {
		if pr := &p.products[i]; pr.Pickled {
			cool += pr.Share * pr.coolTime / 3600
			share += pr.Share
		}
	}
	cool /= share
	for _, c := range []struct{ stop, most float64 }{{0, 0}, {16, 0}, {44, 12}, {70, 40}} {
		h, from := starvedPickling(t, c.stop, false)
		f, _ := starvedPickling(t, c.stop, true)
		t.Logf("stop %2.0f h: starved %.1f h from %.0f h; with fans %.1f h", c.stop, h, from.Hours(), f)
		if f > 0.5 {
			t.Errorf("stop of %.0f h: pickling starves %.1f h in spite of the fans", c.stop, f)
		}
		if c.most == 0 {
			if h > 0.5 {
				t.Errorf("stop of %.0f h: pickling starves %.1f h, the cool stock covers it", c.stop, h)
			}
			continue
		}
		if from == calendar.Never || h < 1 || h > c.most {
			t.Errorf("stop of %.0f h: pickling starves %.1f h, expected 1 to %.0f", c.stop, h, c.most)
			continue
		}
		covered := from.Hours() - cool
		if want := c.stop - covered; covered < 0 || math.Abs(h-want) > 5 {
			t.Errorf("stop of %.0f h: starved %.1f h from %.0f h on; cool stock covers %.0f h, so %.1f h are left", c.stop, h, from.Hours(), covered, want)
		}
	}
}
