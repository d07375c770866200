package drill

import (
	"encoding/json"
	"slices"
	"testing"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/works"
)

// at plays a session to a time, with the script.
func at(t *testing.T, sc *Scenario, rows []row, until calendar.Time, orders ...*bus.Order) *session {
	t.Helper()
	s, err := newSession(sc, rows)
	if err != nil {
		t.Fatal(err)
	}
	for {
		i, due := s.dueScript()
		if i < 0 || due > until {
			break
		}
		if err := s.runTo(due); err != nil {
			t.Fatal(err)
		}
		if ok, why, err := s.apply(&bus.Action{Kind: bus.ActScript, T: int64(due), Inject: &bus.Inject{What: bus.InjectGive, ID: scriptID(i)}}); !ok || err != nil {
			t.Fatal(why, err)
		}
	}
	if err := s.runTo(until); err != nil {
		t.Fatal(err)
	}
	for _, o := range orders {
		if ok, why, err := s.apply(&bus.Action{Kind: bus.CmdOrder, T: int64(until), Order: o}); !ok || err != nil {
			t.Fatal(why, err)
		}
	}
	return s
}

// yardIn is the mean level of the slab yard so long from now, in thousandths.
func yardIn(t *testing.T, rows []row, f *bus.Forecast, in calendar.Time) float64 {
	t.Helper()
	k := int(in.Seconds() / f.Step)
	for _, p := range f.Paths {
		if p.Row != rowNamed(rows, "slab yard") {
			continue
		}
		sum := 0
		for _, v := range p.V {
			sum += v[k]
		}
		return float64(sum) / float64(len(p.V))
	}
	t.Fatal("there is no path of the slab yard")
	return 0
}

// A look-ahead changes after an order, in the direction that it must; it leaves the
// drill alone; and two of the same moment are equal.
func TestForecastFollowsOrders(t *testing.T) {
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	const n = 10
	look := func(s *session, script bool) *bus.Forecast {
		f, err := newLooker(&sc, rows, n).forecast(s.copyForLook(nil), script)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	now := 17 * calendar.Hour
	calm := at(t, &sc, rows, now)
	before := calm.played.Digest()
	f := look(calm, false)
	if again := look(calm, false); jsonOf(again) != jsonOf(f) {
		t.Error("two forecasts of one moment differ")
	}
	if calm.played.Digest() != before {
		t.Error("a look-ahead moved the drill")
	}
	slowed := at(t, &sc, rows, now, slow("C1", "0.70 m/min"), slow("C2", "0.70 m/min"))
	g := look(slowed, false)
	// Two casters at 0.70 instead of 1.25 m/min cast some 280 t/h less: 8 h make 2,200 t
	// of the yard's 26,000, less what sequences and turnarounds make of it.
	a, b := yardIn(t, rows, f, 8*calendar.Hour), yardIn(t, rows, g, 8*calendar.Hour)
	if a-b < 30 || a-b > 150 {
		t.Errorf("slowing both casters moves the yard in 8 h from %.0f to %.0f thousandths", a, b)
	}
	// What it says is well formed.
	if len(f.Bill) != n || len(f.Bill[0]) != pathPoints || f.Step*(pathPoints-1) != f.Horizon || f.Cell*standCells != f.Horizon {
		t.Errorf("bill %d x %d, step %v, cell %v, horizon %v", len(f.Bill), len(f.Bill[0]), f.Step, f.Cell, f.Horizon)
	}
	for _, e := range f.Ends {
		if !slices.IsSorted(e.In) || len(e.In) > n || e.Row < 0 && e.Name != "" {
			t.Errorf("end %+v", e)
		}
	}
	for _, k := range f.Stand {
		if len(k.N) != standCells || slices.Max(k.N) > n || slices.Min(k.N) < 0 {
			t.Errorf("stand %+v", k)
		}
	}
	if k := f.Backs; len(k) == 0 || k[len(k)-1].Row != rowNamed(rows, "finishing train") {
		t.Errorf("backs %+v", k)
	}
	start := calm.costNow().SoFar
	for _, bill := range f.Bill {
		if bill[0] != start {
			t.Errorf("a bill begins at %v, the cost so far is %v", bill[0], start)
		}
	}
}

// What people were told decides the page's forecast, not the truth: two drills
// whose truths differ and whose words do not have the same one. The controller's
// forecast tells them apart.
func TestForecastDoesNotKnowTheTruth(t *testing.T) {
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	forecasts := func(lasts float64) (told, script *bus.Forecast) {
		c := *sc.Case
		c.Script = slices.Clone(c.Script)
		c.Script[0].Lasts = c.Script[0].Lasts.Scale(lasts)
		my := Scenario{Case: &c, Start: sc.Start, Future: sc.Future}
		s := at(t, &my, rows, 17*calendar.Hour+30*calendar.Minute)
		l := newLooker(&my, rows, 5)
		told, err := l.forecast(s.copyForLook(nil), false)
		if err != nil {
			t.Fatal(err)
		}
		if script, err = l.forecast(s.copyForLook(nil), true); err != nil {
			t.Fatal(err)
		}
		return told, script
	}
	a, as := forecasts(1)
	b, bs := forecasts(0.3)
	if jsonOf(a) != jsonOf(b) {
		t.Error("the forecast made from what was told knows how long it really lasts")
	}
	if jsonOf(as) == jsonOf(bs) {
		t.Error("the controller's forecast does not know the truth")
	}
	// Before the wreck the page's knows nothing of it and the controller's does.
	s := at(t, &sc, rows, 16*calendar.Hour)
	from := s.copyForLook(nil)
	from.script = []comingUpset{{sc.Case.Script[0], s.script[0].at}}
	l := newLooker(&sc, rows, 5)
	told, err := l.forecast(from, false)
	if err != nil {
		t.Fatal(err)
	}
	script, err := l.forecast(from, true)
	if err != nil {
		t.Fatal(err)
	}
	stands := func(f *bus.Forecast) int {
		n := 0
		for _, k := range f.Stand {
			if k.Row == rowNamed(rows, "finishing train") {
				for c, v := range k.N {
					if k.S[c] == bus.UnitDown {
						n += v
					}
				}
			}
		}
		return n
	}
	if x, y := stands(told), stands(script); y < 5*5 || x > y/3 {
		t.Errorf("the train stands in %d cells by what was told, in %d by the script", x, y)
	}
}

// A redrawn stop ends by the law through what was told: the told quantiles come out.
func TestRedrawIsWhatWasTold(t *testing.T) {
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	s := at(t, &sc, rows, 17*calendar.Hour) // the first word, at 23:00
	w := s.played.Works()
	i := s.given[0].played
	v, ok := w.Stop(i)
	if !ok || !v.Told {
		t.Fatalf("stop %+v", v)
	}
	const n = 2000
	var copyOf works.Works
	var ends []calendar.Time
	luck := newLooker(&sc, rows, 1).luck
	for f := range n {
		copyOf.CopyFrom(w)
		copyOf.Redraw(luck.Branch(7, uint64(f)), false)
		ends = append(ends, copyOf.S.Upsets[i].Ends)
	}
	slices.Sort(ends)
	// Binomial: 4 standard errors of the share below each told quantile.
	for _, q := range []struct {
		p    float64
		told calendar.Time
	}{{0.1, v.Low}, {0.5, v.Likely}, {0.9, v.Bad}} {
		below := 0
		for _, e := range ends {
			if e < q.told {
				below++
			}
		}
		if share := float64(below) / n; share < q.p-0.045 || share > q.p+0.045 {
			t.Errorf("%.3f of the redrawn ends lie before the told %.0f %%", share, q.p*100)
		}
	}
	// Lives are redrawn too, and what is redrawn still keeps the laws.
	lives := map[calendar.Time]bool{}
	for f := range 20 {
		copyOf.CopyFrom(w)
		copyOf.Redraw(luck.Branch(7, uint64(f)), false)
		lives[copyOf.S.Lives[0].Due] = true
		if err := copyOf.Run(w.Now() + 2*calendar.Day); err != nil {
			t.Fatal(err)
		}
		for _, err := range copyOf.Check() {
			t.Error(err)
		}
	}
	if len(lives) != 20 {
		t.Errorf("%d different lives in 20 futures", len(lives))
	}
}

func jsonOf(v any) string {
	b, _ := json.Marshal(v)
	return string(b)
}
