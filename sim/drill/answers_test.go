package drill

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/works"
)

const wreckAt = 16*calendar.Hour + 40*calendar.Minute // of the shipped scenario; its first word comes 20 min later

func rowsOf(t *testing.T, sc *Scenario) []row {
	t.Helper()
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// The forecast that everybody is shown is the same for the controller, whatever happened
// before; the one with the script comes apart from it, marked, to the controller alone.
func TestControllerIsShownWhatPlayersAre(t *testing.T) {
	dir := t.TempDir()
	b := openBus(t, dir)
	sc := wreck(t)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	sent := map[bus.Audience]*watched{}
	for _, to := range []bus.Audience{bus.ForAll, bus.ForStaff, bus.ForController} {
		sent[to] = watch(t, d, to)
	}
	same := func(when string) {
		t.Helper()
		var page, boss *bus.Snapshot
		waitFor(t, func() bool {
			page, boss = d.snapshot(bus.ForAll), d.snapshot(bus.ForController)
			if f := boss.Forecast; f != nil && (f.Script || f.Basis != bus.BasisTold) {
				t.Fatalf("%s: the controller is shown the forecast with the script", when)
			}
			return page.Forecast != nil && page.Forecast.T == page.T && boss.Forecast != nil && boss.Forecast.T == page.T && boss.ScriptForecast != nil && boss.ScriptForecast.T == page.T
		})
		if a, b := jsonOf(page.Forecast), jsonOf(boss.Forecast); a != b {
			t.Errorf("%s: the controller's forecast differs from the players':\n%s\n%s", when, around(b, a), around(a, b))
		}
		if page.ScriptForecast != nil {
			t.Errorf("%s: the page has the forecast with the script", when)
		}
		if f := boss.ScriptForecast; !f.Script || f.Basis != bus.BasisScript {
			t.Errorf("%s: the forecast with the script is not marked", when)
		}
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 16*60 + 50}) // ten minutes before the first word
	same("before any word")
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 30})
	same("after the first word")
	d.must(bus.Command{Kind: bus.CmdRewind, To: (wreckAt + 10*calendar.Minute).Seconds()})
	same("gone back")
	for to, w := range sent {
		x := w.texts(bus.WhatForecast)
		if marked := strings.Contains(x, `"script":true`); marked != (to == bus.ForController) || strings.Contains(x, `"script":false`) == (to == bus.ForController) && x != "" {
			t.Errorf("forecasts sent to %s: marked %v", to, marked)
		}
	}
	d.comeBack(b, h, dir, sc)
	same("come back")
}

// What stands and what is full is said at once and first.
func TestForecastSaysWhatIsNow(t *testing.T) {
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	s := at(t, &sc, rows, wreckAt+3*calendar.Hour)
	f, err := newLooker(&sc, rows, 8).forecast(s.copyForLook(nil), false)
	if err != nil {
		t.Fatal(err)
	}
	find := func(what string) *bus.Standing {
		for i := range f.Now {
			if f.Now[i].What == what {
				return &f.Now[i]
			}
		}
		return nil
	}
	v, _ := s.played.Works().Stop(s.calls[len(s.calls)-1].upset)
	for i := range s.played.Works().Stops() {
		if x, ok := s.played.Works().Stop(i); ok && !x.Over && x.Kind == works.StandWreck {
			v = x
		}
	}
	if x := find("finishing train"); x == nil || x.State != bus.StandDown || x.Since != wreckAt.Seconds() || x.ToldLikely == nil || *x.ToldLikely != v.Likely.Seconds() {
		t.Errorf("the finishing train: %s, told likely %v", jsonOf(x), v.Likely.Seconds())
	}
	if x := find("fuel gas"); x == nil || x.State != bus.StandFull || x.Since >= f.T || x.Since < wreckAt.Seconds() {
		t.Errorf("fuel gas: %s", jsonOf(x))
	}
	if len(f.Ranked) == 0 || f.Ranked[0].Name != "fuel gas" || !f.Ranked[0].Now {
		t.Errorf("what is full is not first: %s", jsonOf(f.Ranked))
	}
	// Every store at its end now is in the list, and nothing else.
	w := s.played.Works()
	n := 0
	for b, k := range w.P.Brinks() {
		if w.AtBrink(b) {
			n++
			if find(k.Name) == nil {
				t.Errorf("%s is at its end and not in the list", k.Name)
			}
		}
	}
	for _, k := range f.Now {
		if k.State == bus.StandFull || k.State == bus.StandDry {
			n--
		}
	}
	if n != 0 {
		t.Errorf("%d stores too few in the list", n)
	}
}

// Fuel gas rises when the furnaces stand, and people can work out by when it is full. The
// look-ahead must agree in every run in which the stop lasts that long. Before the first
// word most runs end sooner, as stops of the unit do; the middle of all then lies at a
// later occasion, and the forecast must say so.
func TestFuelGasByHand(t *testing.T) {
	alone(t)
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	s := at(t, &sc, rows, wreckAt+10*calendar.Minute)
	l := newLooker(&sc, rows, 20)
	gas := -1
	for b, k := range sc.Case.Plant.Brinks() {
		if k.Name == "fuel gas" && k.Full {
			gas = b
		}
	}
	check := func(known bool) {
		t.Helper()
		now := s.now()
		v, _ := s.played.Works().Stock("fuel gas")
		m := s.minutes[rowNamed(rows, "fuel gas")]
		rate := float64(m[len(m)-1]-m[len(m)-11]) / 1000 * v.Room / 600 // W over the last ten minutes
		soonest := v.Free / rate                                        // the power house takes more as it rises: later, not sooner
		f, err := l.forecast(s.copyForLook(nil), false)
		if err != nil {
			t.Fatal(err)
		}
		w, stop := s.played.Works(), -1
		for i := range w.Stops() {
			if x, ok := w.Stop(i); ok && !x.Over && x.Kind == works.StandWreck {
				stop = i
			}
		}
		during, later := 0, 0
		for k := range l.ahead {
			x := &l.ahead[k]
			first, ends := (x.first[gas] - now).Seconds(), (x.g.Works().S.Upsets[stop].Ends - now).Seconds()
			if ends > 2*soonest && (first > 2*soonest || first < soonest-300) {
				t.Errorf("run %d: the stop lasts %.0f min, by hand full in %.0f to %.0f min, and it is in %.0f", k, ends/60, soonest/60, 2*soonest/60, first/60)
			}
			if x.first[gas] <= x.g.Works().S.Upsets[stop].Ends {
				during++
			} else if first <= f.RankedTo {
				later++
			}
		}
		var r *bus.Trouble
		for k := range f.Ranked {
			if f.Ranked[k].Name == "fuel gas" {
				r = &f.Ranked[k]
			}
		}
		t.Logf("by hand %.0f min; %d runs during the stop, %d later; %s", soonest/60, during, later, jsonOf(r))
		if r == nil || r.Runs != during+later || r.Share != float64(r.Runs)/20 || r.Soon != (*r.Soonest <= 3600) {
			t.Fatalf("fuel gas: %s", jsonOf(r))
		}
		if known != (r.Note == "") {
			t.Errorf("the note is %q", r.Note)
		}
		if !known && (!strings.Contains(r.Note, fmt.Sprintf("In %d of 20 runs while finishing train stands, in %d at a later occasion", during, later)) || !strings.Contains(r.Note, "nothing is told yet")) {
			t.Errorf("the note is %q", r.Note)
		}
		if known && (*r.Likely > 2*soonest || during != 20) {
			t.Errorf("told hours, full by hand in %.0f min, likely in %.0f", soonest/60, *r.Likely/60)
		}
	}
	check(false)
	if err := s.runTo(wreckAt + 25*calendar.Minute); err != nil { // the first word: hours
		t.Fatal(err)
	}
	check(true)
}

// Planned stops are announced and counted as planned.
func TestPlannedStopsAreAnnounced(t *testing.T) {
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	s := at(t, &sc, rows, 0)
	w := s.played.Works()
	// The first at which a unit other than a caster is stopped.
	var next works.PlannedView
	for _, v := range w.Planned() {
		if v.Unit == sc.Case.Plant.TrainUnit() {
			next = v
		}
	}
	if next.At <= 0 || next.Active {
		t.Fatalf("planned %+v", w.Planned())
	}
	if d := next.At - plannedAhead - calendar.Minute; d > 0 {
		if err := s.runTo(d); err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(s.planned(), func(p bus.Planned) bool { return p.Unit == "finishing train" }) {
			t.Error("announced more than three days ahead")
		}
	}
	if err := s.runTo(next.At - calendar.Hour); err != nil {
		t.Fatal(err)
	}
	find := func() *bus.Planned {
		for _, p := range s.planned() {
			if p.Unit == "finishing train" {
				return &p
			}
		}
		return nil
	}
	p := find()
	if p == nil || p.At != next.At.Seconds() || p.Lasts != 12*3600 || !p.Movable || p.Now {
		t.Fatalf("an hour before: %s", jsonOf(p))
	}
	due := func() (out []bus.Planned) {
		for _, l := range s.leversNow() {
			out = append(out, l.Due...)
		}
		return out
	}
	if !slices.Contains(due(), *p) {
		t.Errorf("the lever does not say that it is due: %s", jsonOf(due()))
	}
	if !slices.ContainsFunc(s.settings(nil), func(x bus.Setting) bool {
		return x.Lever == "pull planned stop" && x.Unit == "finishing train" && x.Due != nil && *x.Due == p.At
	}) {
		t.Errorf("no setting says that it is due: %s", jsonOf(s.settings(nil)))
	}
	if err := s.runTo(next.At + 10*calendar.Minute); err != nil {
		t.Fatal(err)
	}
	p = find()
	if p == nil || !p.Now || p.At < next.At.Seconds() || p.Lasts != 12*3600 { // the line is rolled empty first
		t.Fatalf("ten minutes on: %s", jsonOf(p))
	}
	for _, unit := range []string{"finishing train", "rougher"} {
		if !slices.ContainsFunc(s.standing(), func(k bus.Standing) bool {
			return k.What == unit && k.State == bus.StandMaintenance && k.ToldLikely != nil && *k.ToldLikely == p.At+p.Lasts
		}) {
			t.Errorf("%s in maintenance is not in the list: %s", unit, jsonOf(s.standing()))
		}
	}
	// Each unit comes once as the next.
	seen := map[string]bool{}
	for _, p := range s.planned() {
		if !p.Now && seen[p.Unit] {
			t.Errorf("%s twice", p.Unit)
		}
		seen[p.Unit] = seen[p.Unit] || !p.Now
	}
}

// The rate of the cost is what it grew by in ten minutes, an hour.
func TestCostRate(t *testing.T) {
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	if s := at(t, &sc, rows, 5*calendar.Minute); s.costNow().Rate != 0 {
		t.Error("a rate before there are ten minutes")
	}
	now := wreckAt + 5*calendar.Hour
	before, after := at(t, &sc, rows, now-10*calendar.Minute), at(t, &sc, rows, now)
	want := 6 * ((after.played.Cost() - after.twin.Cost()) - (before.played.Cost() - before.twin.Cost()))
	if got := after.costNow().Rate; math.Abs(got-want) > 1 || got == 0 {
		t.Errorf("%v an hour, by two plays %v", got, want)
	}
	if c := after.costNow(); c.Rate == c.PerHour {
		t.Error("the rate now is the mean of the last hour: the check could not fail")
	}
}

// What was told and what the futures show are both given, with the reason for the
// difference; the futures agree with the law through what was told, given what has gone.
func TestToldAndRestart(t *testing.T) {
	alone(t)
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	gone := 40 * calendar.Minute
	s := at(t, &sc, rows, wreckAt+20*calendar.Minute+gone) // the first word comes after 20 min
	for _, n := range []int{20, 100} {
		f, err := newLooker(&sc, rows, n).forecast(s.copyForLook(nil), false)
		if err != nil {
			t.Fatal(err)
		}
		var k *bus.Back
		for i := range f.Backs {
			if rows[f.Backs[i].Row].Name == "finishing train" {
				k = &f.Backs[i]
			}
		}
		if k == nil || k.Told == nil || k.Told.From != (wreckAt+20*calendar.Minute).Seconds() {
			t.Fatalf("back: %s", jsonOf(k))
		}
		law, err := chance.Told(k.Told.Low, k.Told.Likely, k.Told.Bad)
		if err != nil {
			t.Fatal(err)
		}
		// Of n futures each has one n-th of the law: the k-th of them lies between (k-1)/n
		// and k/n of it.
		m := float64(n + 1)
		for _, q := range []struct {
			got *float64
			k   float64
		}{{k.Restart.Early, math.Floor(0.1 * m)}, {k.Restart.Likely, math.Ceil(0.5 * m)}, {k.Restart.Late, math.Ceil(0.9 * m)}} {
			low, high := law.Residual((q.k-1)/float64(n), gone.Seconds()), law.Residual(q.k/float64(n), gone.Seconds())
			if q.got == nil || *q.got < low-1 || *q.got > high+1 {
				t.Errorf("%d futures: number %v is back in %s, by the law %v to %v", n, q.k, jsonOf(q.got), low, high)
			}
		}
		half := s.clock(s.now() + calendar.Dur(*k.Restart.Likely))
		if want := "40 min of the " + fmtHours(k.Told.Likely) + " that were told likely have gone without a new word; half of such stops now last until " + half + "."; k.Why != want {
			t.Errorf("%q, not %q", k.Why, want)
		}
	}
	// Before the first word nothing is told, and there is nothing to explain.
	s = at(t, &sc, rows, wreckAt+10*calendar.Minute)
	f, err := newLooker(&sc, rows, 4).forecast(s.copyForLook(nil), false)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range f.Backs {
		if rows[k.Row].Name == "finishing train" && (k.Told != nil || k.Why != "" || k.Restart.Likely == nil) {
			t.Errorf("before the first word: %s", jsonOf(k))
		}
	}
}

func fmtHours(s float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", s/3600), ".0") + " h" }

// A trial tells of every trouble what the order does to it, and by when the lever must be
// pulled.
func TestTrialMovesEveryTrouble(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), func(c *Config) { c.Futures = 8 })
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 18 * 60})
	var told *bus.Forecast
	waitFor(t, func() bool { s := d.snapshot(bus.ForAll); told = s.Forecast; return told != nil && told.T == s.T })
	f, r := try(t, d, &bus.Order{Lever: "stop tapping"})
	if f == nil {
		t.Fatal(r.Why)
	}
	find := func(what string) *bus.Move {
		for i := range f.Moves {
			if f.Moves[i].What == what {
				return &f.Moves[i]
			}
		}
		return nil
	}
	for _, x := range told.Ranked {
		what := x.Name + " dry"
		if x.Full {
			what = x.Name + " full"
		}
		m := find(what)
		if m == nil {
			t.Errorf("%s is not in the trial", what)
			continue
		}
		if jsonOf(m.Before) != jsonOf(bus.Reach{Soonest: x.Soonest, Early: x.Early, Likely: x.Likely, Late: x.Late, Share: x.Share}) {
			t.Errorf("%s before: %s, the forecast says %s", what, jsonOf(m.Before), jsonOf(x))
		}
	}
	yard := find("slab yard full")
	if yard == nil || yard.Before.Share <= yard.After.Share && yard.Before.Share > 0 {
		t.Errorf("without new heats the slab yard: %s", jsonOf(yard))
	}
	if iron := find("torpedoes full"); iron == nil || iron.After.Likely == nil || iron.Before.Likely != nil && *iron.After.Likely >= *iron.Before.Likely {
		t.Errorf("without new heats iron backs up: %s", jsonOf(iron))
	}
	f, _ = try(t, d, slow("C1", "0.70 m/min"))
	for _, x := range d.snapshot(bus.ForAll).Settings {
		if x.Lever == "casting speed" && jsonOf(x.DecideBy) != jsonOf(f.DecideBy) {
			t.Errorf("%s: by %s in the list, by %s in the trial", x.Name, jsonOf(x.DecideBy), jsonOf(f.DecideBy))
		}
	}
	if f.DecideBy == nil || *f.DecideBy < f.T || f.DecideByWhy == "" {
		t.Errorf("slow by %s, %q", jsonOf(f.DecideBy), f.DecideByWhy)
	}
}

// The last moments are howlong's: cast full up to there and slow from there, the yard is
// full at the bad end.
func TestLastMoments(t *testing.T) {
	alone(t)
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	s := at(t, &sc, rows, wreckAt+80*calendar.Minute)
	l := newLooker(&sc, rows, 8)
	if _, err := l.forecast(s.copyForLook(nil), false); err != nil {
		t.Fatal(err)
	}
	w := s.played.Works()
	draw := 0.0
	for f := range l.ahead {
		draw += l.ahead[f].draw / 8
	}
	v, _ := w.Stop(l.ahead[0].lost)
	law, err := chance.Told((v.Low - v.LastWord).Seconds(), (v.Likely - v.LastWord).Seconds(), (v.Bad - v.LastWord).Seconds())
	if err != nil {
		t.Fatal(err)
	}
	left := law.Residual(0.9, (s.now() - v.LastWord).Seconds())
	n := len(w.P.Spec.Casters)
	seen := 0
	for _, m := range l.moments {
		var less float64
		switch m.lever {
		case works.SetCasterSpeed:
			less = w.CastRate(w.P.SlowestShare(), n)
		case works.EndSequence:
			less = w.CastRate(w.P.SlowestShare(), n-1)
		default:
			continue
		}
		seen++
		in := (m.at - s.now()).Seconds()
		put := (w.CastRate(1, n)-draw)*in + (less-draw)*(left-in)
		t.Logf("%s in %.2f h: %s", works.Levers[m.lever].Name, in/3600, m.why)
		if in == 0 && put < w.YardFree() || in > 0 && math.Abs(put-w.YardFree()) > 1e-3*w.YardFree() {
			t.Errorf("%s in %v s puts %.0f t into %.0f t of room", works.Levers[m.lever].Name, in, put/1e3, w.YardFree()/1e3)
		}
	}
	if seen == 0 {
		t.Error("no last moment of a cut to check")
	}
	// None without a word, none without a stop.
	for _, now := range []calendar.Time{wreckAt - calendar.Hour, wreckAt + 10*calendar.Minute} {
		if _, err := l.forecast(at(t, &sc, rows, now).copyForLook(nil), false); err != nil || len(l.moments) > 0 {
			t.Errorf("at %v: %v, %v", now.Hours(), l.moments, err)
		}
	}
}

// How many units stand within eight hours is counted in the futures.
func TestStoodIsCountedInTheFutures(t *testing.T) {
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	s := at(t, &sc, rows, wreckAt+calendar.Hour)
	const n = 8
	l := newLooker(&sc, rows, n)
	f, err := l.forecast(s.copyForLook(nil), false)
	if err != nil {
		t.Fatal(err)
	}
	x := f.Stood
	if x.Within != 8*3600 || x.Low > x.Units || x.Units > x.High || len(x.Rows) < x.High {
		t.Errorf("stood %s", jsonOf(x))
	}
	share := map[int]float64{}
	for _, r := range x.Rows {
		share[r.Row] = r.Share
	}
	if share[rowNamed(rows, "finishing train")] != 1 {
		t.Errorf("the train stands in %v of the runs", share[rowNamed(rows, "finishing train")])
	}
	// A unit that stands in so many runs in one cell does so within the hours at least.
	for _, k := range f.Stand {
		most := 0
		for c := 0; c < len(k.N) && float64(c+1)*f.Cell <= x.Within; c++ {
			most = max(most, k.N[c])
		}
		if f.Cell == baseCell.Seconds() && share[k.Row] < float64(most)/n {
			t.Errorf("%s: %v of the runs, and %d of %d in one cell", rows[k.Row].Name, share[k.Row], most, n)
		}
	}
	// The sum over units is the sum over runs.
	sum := 0.0
	for _, v := range share {
		sum += v * n
	}
	if m := sum / n; m < float64(x.Low) || m > float64(x.High)+1 {
		t.Errorf("on average %v units, %s", m, jsonOf(x))
	}
}

// Players do not see the upset in the title; staff see the scenario's.
func TestTitleGivesNothingAway(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	if got := d.snapshot(bus.ForAll); got.Scenario != "Drill, Friday 7 November 2031" || strings.Contains(strings.ToLower(jsonOf(got)), "wreck") || got.Run != publicRun {
		t.Errorf("players see %q, run %q", got.Scenario, got.Run)
	}
	if got := d.snapshot(bus.ForPlayer("mill")).Scenario; strings.Contains(strings.ToLower(got), "wreck") {
		t.Errorf("one player sees %q", got)
	}
	if got := d.snapshot(bus.ForStaff).Scenario; !strings.Contains(got, "Wreck") {
		t.Errorf("staff see %q", got)
	}
	if sc := (&Scenario{Public: "Night shift"}); sc.public() != "Night shift" {
		t.Error("the title that was given is not used")
	}
}

// A run to a moment holds there; the works is the one that was stepped there.
func TestRunTo(t *testing.T) {
	dir := t.TempDir()
	b := openBus(t, dir)
	sc := wreck(t)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	for _, c := range []struct {
		cmd  bus.Command
		want string
	}{
		{bus.Command{Kind: bus.CmdRunTo, Role: bus.Player, To: 3600}, "may not"},
		{bus.Command{Kind: bus.CmdRunTo}, "still to come"},
		{bus.Command{Kind: bus.CmdRunTo, To: math.NaN()}, ""},
		{bus.Command{Kind: bus.CmdRunTo, To: 1e9}, "ends before"},
		{bus.Command{Kind: bus.CmdRunTo, Until: "supper"}, "next inject"},
	} {
		if math.IsNaN(c.cmd.To) { // cannot be written as JSON
			continue
		}
		if r := d.do(c.cmd); r.OK || !strings.Contains(r.Why, c.want) {
			t.Errorf("%+v: %v %q", c.cmd, r.OK, r.Why)
		}
	}
	held := func() bool { return d.status().Held }
	begun := time.Now()
	d.must(bus.Command{Kind: bus.CmdRunTo, Until: bus.NextInject, Fast: true})
	waitFor(t, held)
	s := d.snapshot(bus.ForStaff)
	if s.T != wreckAt.Seconds() || !s.ToCome[0].Given || len(s.Stops) == 0 {
		t.Errorf("held at %v, the inject at %v given %v", s.T, wreckAt.Seconds(), s.ToCome[0].Given)
	}
	t.Logf("%.1f h in %v", s.T/3600, time.Since(begun))
	if r := d.do(bus.Command{Kind: bus.CmdRunTo, Until: bus.NextInject}); r.OK || !strings.Contains(r.Why, "no inject") {
		t.Errorf("to an inject that is not there: %+v", r)
	}
	// At a pace: it holds at the moment to the millisecond.
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 600})
	d.must(bus.Command{Kind: bus.CmdRunTo, To: s.T + 7200})
	waitFor(t, held)
	end := d.status()
	if end.T != s.T+7200 {
		t.Errorf("held at %v, want %v", end.T, s.T+7200)
	}
	// A hold ends it for good.
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 1})
	d.must(bus.Command{Kind: bus.CmdRunTo, To: end.T + 7200})
	d.must(bus.Command{Kind: bus.CmdHold})
	d.must(bus.Command{Kind: bus.CmdRewind, To: end.T})
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 180})
	if got := d.status(); got.T != end.T+180*60 {
		t.Errorf("stepped to %v", got.T)
	}
	d.must(bus.Command{Kind: bus.CmdRewind, To: end.T})
	// The same moment by steps alone, and rebuilt from the stream.
	_, h = d.comeBack(b, h, dir, sc)
	if got := d.status(); got.Digest != end.Digest || got.T != end.T {
		t.Errorf("come back at %v with %s, it was %v with %s", got.T, got.Digest, end.T, end.Digest)
	}
	if x := d.snapshot(bus.ForStaff).Branches; len(x) != 2 || x[1].Name != "B" || x[1].From != end.T || x[1].At != end.T+180*60 {
		t.Errorf("branches after coming back: %s", jsonOf(x))
	}
	h.Close()
	b2 := openBus(t, t.TempDir())
	defer b2.Close()
	h = openHost(t, b2, sc, nil)
	defer h.Close()
	d.c.NC = b2.Conn
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: wreckAt.Seconds()/60 + 120})
	if got := d.status(); got.Digest != end.Digest {
		t.Errorf("by steps %s, by runs %s", got.Digest, end.Digest)
	}
}

// A message for one player goes to that player and to staff, and to nobody else.
func TestMessageForOnePlayer(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), func(c *Config) { c.Players = []string{"Steel side", "hot mill"} })
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	all := []bus.Audience{bus.ForAll, bus.ForStaff, bus.ForController, bus.ForPlayer("Steel side"), bus.ForPlayer("hot mill")}
	got := map[bus.Audience]*watched{}
	for _, to := range all {
		got[to] = watch(t, d, to)
	}
	send := func(to, text string) *bus.Reply {
		return d.do(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, To: to, Text: text}})
	}
	if r := send("nobody", "x"); r.OK || !strings.Contains(r.Why, "hot mill") {
		t.Errorf("to nobody: %+v", r)
	}
	for to, text := range map[string]string{"steel side": "only-steel", "all": "to-everybody", "staff": "only-staff"} {
		if r := send(to, text); !r.OK {
			t.Fatal(r.Why)
		}
	}
	waitFor(t, func() bool {
		return strings.Contains(got[bus.ForPlayer("Steel side")].texts(bus.WhatTold), "only-steel")
	})
	time.Sleep(200 * time.Millisecond)
	for text, who := range map[string][]bus.Audience{
		"only-steel":   {bus.ForStaff, bus.ForPlayer("Steel side")},
		"to-everybody": {bus.ForAll},
		"only-staff":   {bus.ForStaff},
	} {
		for _, to := range all {
			if sent := strings.Contains(got[to].texts(bus.WhatTold), text); sent != slices.Contains(who, to) {
				t.Errorf("%s sent to %s: %v", text, to, sent)
			}
		}
		for to, sees := range map[bus.Audience]bool{
			bus.ForAll:                  text == "to-everybody",
			bus.ForPlayer("Steel side"): text != "only-staff",
			bus.ForPlayer("hot mill"):   text == "to-everybody",
			bus.ForController:           true,
		} {
			s := d.snapshot(to)
			if has := slices.ContainsFunc(s.Told, func(x bus.Told) bool { return x.Text == text }); has != sees {
				t.Errorf("%s in the snapshot of %s: %v", text, to, has)
			}
			if !sees && strings.Contains(jsonOf(s), text) {
				t.Errorf("%s is somewhere in the snapshot of %s", text, to)
			}
		}
	}
}

// A form opens with what is ordered now.
func TestSettingsSayWhatIsOrdered(t *testing.T) {
	sc := wreck(t)
	rows := rowsOf(t, &sc)
	s := at(t, &sc, rows, 2*calendar.Hour)
	find := func(lever, unit string) bus.Setting {
		for _, x := range s.settings(nil) {
			if x.Lever == lever && x.Unit == unit {
				return x
			}
		}
		t.Fatalf("no setting of %s %s", lever, unit)
		return bus.Setting{}
	}
	for _, x := range s.settings(nil) {
		if !x.AsUsual {
			t.Errorf("nothing is ordered, and %s is not as usual: %s", x.Name, jsonOf(x))
		}
	}
	for _, c := range []struct {
		order       bus.Order
		lever, unit string
		value       string
	}{
		{bus.Order{Lever: "set furnaces back", Unit: "F1", Value: "1"}, "set furnaces back", "F1", "1"},
		{*slow("C1", "0.70 m/min"), "casting speed", "C1", "0.70 m/min"},
		{bus.Order{Lever: "wind", Unit: "iron supply", Value: "80 %"}, "wind", "iron supply", "80 %"},
	} {
		was := find(c.lever, c.unit)
		if ok, why, err := s.apply(&bus.Action{Kind: bus.CmdOrder, T: int64(s.now()), Order: &c.order}); !ok || err != nil {
			t.Fatal(why, err)
		}
		if x := find(c.lever, c.unit); x.Value != c.value || x.AsUsual {
			t.Errorf("after %v: %s", c.order, jsonOf(x))
		}
		// What stood there before, ordered, brings it back as usual.
		back := c.order
		back.Value = was.Value
		if ok, why, err := s.apply(&bus.Action{Kind: bus.CmdOrder, T: int64(s.now()), Order: &back}); !ok || err != nil {
			t.Fatal(why, err)
		}
		if x := find(c.lever, c.unit); x.Value != was.Value || !x.AsUsual {
			t.Errorf("back by %q: %s", was.Value, jsonOf(x))
		}
	}
}
