package scenarios_test

import (
	"math"
	"os"
	"slices"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// arrived sums what comes to a place from a time on.
type arrived struct {
	place  record.Place
	from   calendar.Time
	tonnes float64
}

func (a *arrived) Put(events []record.Event) {
	for i := range events {
		if e := &events[i]; e.Kind == record.Move && e.To == a.place && e.T >= a.from {
			a.tonnes += float64(e.Mass) / 1e6
		}
	}
}

// simulated is the mean flow into a place over 28 days, after two to settle, and its
// standard error, t/h.
func simulated(t *testing.T, p *works.Plant, name string, futures int, background bool) (mean, se float64) {
	t.Helper()
	at := record.Nowhere
	for i := range p.Route.Places {
		if p.Route.Places[i].Name == name {
			at = record.Place(i)
		}
	}
	if at == record.Nowhere {
		t.Fatalf("there is no %s", name)
	}
	sum, sq := 0.0, 0.0
	for f := range futures {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 11, Future: uint64(f)}, SoldOut: true, Background: background})
		a := &arrived{place: at, from: 2 * calendar.Day}
		w.Sink = a
		if err := w.Run(30 * calendar.Day); err != nil {
			t.Fatal(err)
		}
		x := a.tonnes / (28 * 24)
		sum += x
		sq += x * x
	}
	n := float64(futures)
	return sum / n, math.Sqrt(max(0, sq/n-sum*sum/n/n) / n)
}

// The capacity table is arithmetic; the works is played. What comes off the hot mill in
// 28 days, sold out, agrees with the table within 3 %, quiet and with background upsets;
// so do the slabs of a Larkfell whose casters are made the bottleneck. Stops that come
// once a year are left out of both: a month has them or has them not.
func TestCapacityAgainstTheWorks(t *testing.T) {
	// The light version leaves two standard errors to chance.
	quiet, busy, chanceLeft := 3, 16, 2.0
	if os.Getenv("MILLRACE_NIGHTLY") != "" {
		quiet, busy, chanceLeft = 12, 200, 0
	}
	p := larkfell(t)
	p.Spec.Planned = slices.DeleteFunc(slices.Clone(p.Spec.Planned), func(s works.PlannedSpec) bool { return s.Every > 60*86400 })
	calm := *p
	calm.Spec.Upsets = nil
	slow := p.Spec
	slow.Casters = append([]works.CasterSpec(nil), slow.Casters...)
	for i := range slow.Casters {
		slow.Casters[i].Turnaround *= 4
		slow.Casters[i].Wanted = slow.Casters[i].Normal // no hurry while the yard runs low
	}
	late, err := works.Build(slow)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name       string
		plant      *works.Plant
		limit, at  string
		row        string
		futures    int
		background bool
	}{
		{"quiet", &calm, "hot mill", "conveyor", "conveyor", quiet, false},
		{"background upsets", p, "hot mill", "conveyor", "conveyor", busy, true},
		{"slow casters", late, "casters", "slab yard", "casters", busy, true},
	} {
		tab := c.plant.Capacity()
		if tab.Limits[0] != c.limit {
			t.Errorf("%s: the bottleneck is the %s", c.name, tab.Limits[0])
		}
		want := tab.Row(c.row).LoadTH
		got, se := simulated(t, c.plant, c.at, c.futures, c.background)
		t.Logf("%-18s table %.1f t/h, played %.1f with a standard error of %.1f, off %+.2f %%", c.name, want, got, se, (got/want-1)*100)
		if math.Abs(got-want) > 0.03*want+chanceLeft*se {
			t.Errorf("%s: played %.1f t/h, the table says %.1f", c.name, got, want)
		}
		if se > 0.015*want {
			t.Errorf("%s: a standard error of %.1f t/h is too much to tell 3 %%", c.name, se)
		}
	}
}
