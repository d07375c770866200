package scenarios_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// poissonTails are P(N <= n) and P(N >= n) for a Poisson count of mean m.
func poissonTails(n int, m float64) (low, high float64) {
	term := func(k int) float64 {
		l, _ := math.Lgamma(float64(k) + 1)
		return math.Exp(float64(k)*math.Log(m) - m - l)
	}
	for k := 0; k <= n; k++ {
		low += term(k)
	}
	return low, 1 - low + term(n)
}

// The tails against the closed forms of small counts: e^-m, 1 and m e^-m.
func TestPoissonTails(t *testing.T) {
	for _, m := range []float64{0.01, 0.7, 3, 40} {
		if low, high := poissonTails(0, m); math.Abs(low-math.Exp(-m)) > 1e-12 || math.Abs(high-1) > 1e-12 {
			t.Errorf("mean %g: tails %g and %g at 0", m, low, high)
		}
		if low, high := poissonTails(1, m); math.Abs(low-(1+m)*math.Exp(-m)) > 1e-12 || math.Abs(high-(1-math.Exp(-m))) > 1e-12 {
			t.Errorf("mean %g: tails %g and %g at 1", m, low, high)
		}
	}
}

// begun is an upset seen in the records.
type begun struct {
	at, end calendar.Time // end Never while it lasts
	unit    int
	kind    works.UpsetKind
}

// watch keeps the upsets of one future and counts what use wears.
type watch struct {
	by             map[int32]*begun
	late           int
	strips, heats  int
	ladles, trains record.Place
}

func (o *watch) Put(events []record.Event) {
	for i := range events {
		switch e := &events[i]; {
		case e.Kind == record.Upset && e.B < 0:
			o.late++
		case e.Kind == record.Upset:
			o.by[e.B] = &begun{at: e.T, end: calendar.Never, unit: int(e.From), kind: works.UpsetKind(e.A)}
		case e.Kind == record.Over:
			o.by[e.B].end = e.T
		case e.Kind == record.Move && e.To == o.ladles:
			o.heats++
		case e.Kind == record.Move && e.To == o.trains:
			o.strips++
		}
	}
}

// TestUpsetsComeAtTheirRates: over many months of Larkfell every row of its upsets, on
// every unit, begins as often as its clock says: the count lies in the exact Poisson
// interval of 99.9 % for all rows together, and its lengths follow their law
// (Kolmogorov's distance, asymptotic with Stephens's factor, J. Roy. Stat. Soc. B 32
// (1970) 115, from memory). All units of an upset that hits several begin and end with
// it.
func TestUpsetsComeAtTheirRates(t *testing.T) {
	futures := 24
	if os.Getenv("MILLRACE_NIGHTLY") != "" {
		futures = 400
	}
	p := larkfell(t)
	rows := p.Spec.Upsets
	type cell struct{ row, unit int }
	counts, exposure := map[cell]int{}, map[cell]float64{}
	pit := make([][]float64, len(rows))
	met := map[works.UpsetKind]bool{}
	const days = 30
	for f := range futures {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 23, Future: uint64(f)}, SoldOut: true, Background: true})
		o := &watch{by: map[int32]*begun{}, ladles: record.Place(placeNamed(p, "ladles")), trains: record.Place(placeNamed(p, "finishing train"))}
		w.Sink = o
		if err := w.Run(days * calendar.Day); err != nil {
			t.Fatal(err)
		}
		w.Flush()
		main := begun{}
		for i := range w.Stops() {
			v, ok := w.Stop(i)
			if !ok {
				continue
			}
			b := o.by[int32(i)]
			if v.Part {
				if b.at != main.at || b.end != main.end {
					t.Fatalf("future %d: %s on unit %d lasts from %d to %d, on the first from %d to %d", f, v.Name, v.Unit, b.at, b.end, main.at, main.end)
				}
				continue
			}
			main = *b
			met[v.Kind] = true
			unit := v.Unit
			if strings.Contains(rows[v.Row].Unit, "cranes") {
				unit = p.UnitsNamed(rows[v.Row].Unit)[0] // any crane, one life
			}
			counts[cell{v.Row, unit}]++
			law := rows[v.Row].Lasts
			if d := (b.end - b.at).Seconds(); b.end != calendar.Never && d > law.Longest() {
				t.Fatalf("future %d: %s lasts %.1f h, longer than its longest", f, v.Name, d/3600)
			} else if b.end != calendar.Never && d == law.Longest() { // somewhere above where it is cut
				pit[v.Row] = append(pit[v.Row], (1+law.CDF(d-1))/2)
			} else if b.end != calendar.Never {
				pit[v.Row] = append(pit[v.Row], law.CDF((b.end - b.at).Seconds()))
			} else { // somewhere above what it has lasted
				pit[v.Row] = append(pit[v.Row], (1+law.CDF((w.Now()-b.at).Seconds()))/2)
			}
		}
		for r := range rows {
			s := &rows[r]
			for k, u := range p.UnitsNamed(s.Unit) {
				if len(s.With) > 0 && k > 0 {
					break
				}
				c := cell{r, u}
				switch {
				case s.Kind == works.LateHeat:
					exposure[c] += float64(o.heats)
					counts[c] += o.late
				case works.Kinds[s.Kind].Clock == works.ByUse:
					exposure[c] += float64(o.strips)
				case p.ClockOf(s, u) == works.ByOperating:
					exposure[c] += w.Operated(u)
				default:
					exposure[c] += days * 86400
				}
			}
		}
	}
	alpha := 0.001 / float64(len(exposure))
	for r := range rows {
		for _, u := range p.UnitsNamed(rows[r].Unit) {
			c := cell{r, u}
			x, ok := exposure[c]
			if !ok {
				continue
			}
			mean := x / rows[r].Every
			low, high := poissonTails(counts[c], mean)
			if testing.Verbose() {
				t.Logf("%-40s %-16s begun %5d, expected %8.1f", rows[r].Title(), p.Route.Units[u].Name, counts[c], mean)
			}
			if low < alpha/2 || high < alpha/2 {
				t.Errorf("%s on %s: begun %d times, %.1f were expected", rows[r].Title(), p.Route.Units[u].Name, counts[c], mean)
			}
			delete(counts, c)
		}
		n := float64(len(pit[r]))
		if n < 8 {
			continue
		}
		slices.Sort(pit[r])
		d := 0.0
		for i, x := range pit[r] {
			d = math.Max(d, math.Max(x-float64(i)/n, float64(i+1)/n-x))
		}
		stat := (math.Sqrt(n) + 0.12 + 0.11/math.Sqrt(n)) * d
		if limit := math.Sqrt(-math.Log(0.0005/float64(len(rows))) / 2); stat > limit {
			t.Errorf("%s: lengths of %d upsets are %.2f from their law, limit %.2f", rows[r].Title(), len(pit[r]), stat, limit)
		}
	}
	for c, n := range counts {
		t.Errorf("%d upsets of row %d on unit %d that it does not name", n, c.row, c.unit)
	}
	for _, k := range []works.UpsetKind{works.SlowDown, works.SequenceBroken, works.SupplyLost, works.ShortStop, works.FurnaceTrip, works.ColdMillBreak} {
		if !met[k] {
			t.Errorf("no %s began in %d months: the test sees too little", works.Kinds[k].Name, futures)
		}
	}
}

// Every row and every kind says how to keep people from harm and where its figures are from.
func TestUpsetsAreCautiousAndSourced(t *testing.T) {
	p := larkfell(t)
	for i, k := range works.Kinds {
		if k.Caution == "" || k.What == "" || works.UpsetKind(i).Ruins() == "" {
			t.Errorf("%s: caution %q, what %q, ruins %q", k.Name, k.Caution, k.What, works.UpsetKind(i).Ruins())
		}
		if !strings.Contains(k.Caution, "ite rules") {
			t.Errorf("%s: its caution does not say who decides", k.Name)
		}
	}
	for i := range p.Spec.Upsets {
		s := &p.Spec.Upsets[i]
		if s.Source == "" || !strings.Contains(s.Warning(), "ite rules") {
			t.Errorf("%s: source %q, caution %q", s.Title(), s.Source, s.Warning())
		}
		if works.Kinds[s.Kind].On == "a unit" && s.Caution == "" && s.Kind != works.ShortStop {
			t.Errorf("%s: a %s of no unit in particular has no caution of its own", s.Title(), works.Kinds[s.Kind].Name)
		}
	}
}
