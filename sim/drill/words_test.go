package drill

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/works"
)

// Whoever has read the caution of a stop that nobody can explain yet still cannot send
// people in.
func TestUnknownStopTakesNoRollChange(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 16*60 + 50}) // ten minutes before the first word
	order := bus.Command{Kind: bus.CmdOrder, Role: bus.Player, By: "mill", Order: &bus.Order{Lever: "change rolls"}}
	r := d.do(order)
	if r.OK || r.Call == "" {
		t.Fatalf("without the caution: %+v", r)
	}
	d.must(bus.Command{Kind: bus.CmdAck, Role: bus.Player, By: "mill", Call: r.Call})
	if r := d.do(order); r.OK || !strings.Contains(r.Why, "not yet known") {
		t.Errorf("with the caution read and the cause unknown: %+v", r)
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 20})
	r = d.do(order)
	if r.OK || r.Call == "" {
		t.Errorf("the caution of the cause has not been read: %+v", r)
	}
	d.must(bus.Command{Kind: bus.CmdAck, Role: bus.Player, By: "mill", Call: r.Call})
	d.must(order)
}

// A hold makes a forecast of its own moment; until that is there, pages are told that
// the one they have is of an earlier one.
func TestHoldForecastsItsOwnMoment(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	page := watch(t, d, bus.ForAll)
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 17 * 60})
	waitFor(t, func() bool { f := d.snapshot(bus.ForAll).Forecast; return f != nil && f.T == 17*3600 })
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 40})
	d.must(bus.Command{Kind: bus.CmdResume})
	waitFor(t, func() bool { return d.status().T > 17.5*3600 })
	d.must(bus.Command{Kind: bus.CmdHold})
	at := d.status().T
	if s := d.snapshot(bus.ForAll); s.Forecast != nil && (s.Forecast.Old != (s.Forecast.T != at) || s.Ahead.Old != s.Forecast.Old || *s.Ahead.Made != s.Forecast.T || s.Ahead.Old && !s.Ahead.Coming) {
		t.Errorf("at %v s the forecast is of %v, old %v; %+v", at, s.Forecast.T, s.Forecast.Old, s.Ahead)
	}
	waitFor(t, func() bool {
		s := d.snapshot(bus.ForAll)
		return s.Forecast.T == at && !s.Forecast.Old && !s.Ahead.Old && !s.Ahead.Coming
	})
	// What pages were sent: at the hold that theirs is old, in the end that it is not.
	waitFor(t, func() bool {
		page.mu.Lock()
		defer page.mu.Unlock()
		told, fresh, forecast := false, false, false
		for i := range page.all {
			switch page.what[i] {
			case bus.WhatUpdate:
				var u bus.Update
				if err := json.Unmarshal(page.all[i].Data, &u); err != nil {
					t.Fatal(err)
				}
				if a := u.Ahead; a != nil && u.T == at {
					told = told || a.Old && a.Coming
					fresh = told && !a.Old && *a.Made == at
				}
			case bus.WhatForecast:
				var f bus.Forecast
				if err := json.Unmarshal(page.all[i].Data, &f); err != nil {
					t.Fatal(err)
				}
				forecast = forecast || f.T == at && !f.Old && (f.After == "hold" || f.After == "time")
			}
		}
		return told && fresh && forecast
	})
}

// What was told of a stop goes when the stop is over, and stays in the log.
func TestWordsGoWithTheirStop(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	page := watch(t, d, bus.ForAll)
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 60})
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "descaling pump lost", Lasts: "2 h"}})
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, Text: "the mayor is here"}})
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 60})
	of := func() (out []bus.Told) {
		for _, x := range d.snapshot(bus.ForAll).Told {
			if x.Stop < 0 || strings.Contains(x.Text, "descaler") {
				out = append(out, x)
			}
		}
		return out
	}
	if x := of(); !slices.ContainsFunc(x, func(w bus.Told) bool { return w.Stop >= 0 }) || !slices.ContainsFunc(x, func(w bus.Told) bool { return w.Stop < 0 }) {
		t.Fatalf("told %+v", x)
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 90})
	if x := of(); len(x) != 1 || x[0].Stop >= 0 {
		t.Errorf("after its end: %+v", x)
	}
	waitFor(t, func() bool { return strings.Contains(page.texts(bus.WhatTold), `"over":true`) })
	if !slices.ContainsFunc(d.snapshot(bus.ForAll).Log, func(l bus.LogLine) bool {
		return strings.Contains(l.Text, "descaler") && strings.Contains(l.Text, "likely")
	}) {
		t.Error("the log lost the word")
	}
}

// Notes outlive a rewind: with the branch they were written in, their time and their
// tag; also a second rewind, and the program's end.
func TestNotesSurviveRewinds(t *testing.T) {
	dir := t.TempDir()
	b := openBus(t, dir)
	sc := wreck(t)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	note := func(text string) { d.must(bus.Command{Kind: bus.CmdNote, Role: bus.Evaluator, By: "eve", Text: text}) }
	step := func() { d.must(bus.Command{Kind: bus.CmdStep, Minutes: 30}) }
	notes := func() (out []string) {
		s := d.snapshot(bus.ForStaff)
		for _, l := range s.Log {
			if l.What == bus.LogNote {
				out = append(out, strings.Join([]string{l.Tag, l.Branch, l.Text, l.Clock[11:16], l.By}, " "))
			}
		}
		return out
	}
	step()
	note("one")
	step()
	d.must(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "0.70 m/min")})
	step()
	note("two")
	d.must(bus.Command{Kind: bus.CmdRewind, Mark: "A1"})
	want := []string{"N1  one 06:30 eve", "N2 A two 07:30 eve"}
	if got := notes(); !slices.Equal(got, want) {
		t.Fatalf("notes %q, want %q", got, want)
	}
	note("three")
	step()
	note("four")
	d.must(bus.Command{Kind: bus.CmdRewind, To: 20 * 60})
	want = []string{"N1 A one 06:30 eve", "N3 B three 07:00 eve", "N2 A two 07:30 eve", "N4 B four 07:30 eve"}
	got := notes()
	if slices.Sort(got); !slices.Equal(got, []string{want[0], want[2], want[1], want[3]}) {
		t.Fatalf("notes %q, want %q", got, want)
	}
	note("five")
	was := notes()
	d.comeBack(b, h, dir, sc)
	if got := notes(); !slices.Equal(got, was) || !slices.Contains(got, "N5  five 06:20 eve") {
		t.Errorf("come back: %q, were %q", got, was)
	}
	for _, l := range d.snapshot(bus.ForAll).Log {
		if l.What == bus.LogNote {
			t.Errorf("players see a note: %+v", l)
		}
	}
}

// Going back to a mark keeps what was done before it at the same moment: during one hold
// several orders are given.
func TestRewindWithinOneMoment(t *testing.T) {
	dir := t.TempDir()
	b := openBus(t, dir)
	sc := wreck(t)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 600})
	d.must(bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "open overflow"}})
	before := d.status().Digest
	d.must(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "0.70 m/min")})
	d.must(bus.Command{Kind: bus.CmdOrder, Order: slow("C2", "0.70 m/min")})
	check := func(when string) {
		t.Helper()
		if got := d.status(); got.Digest != before || got.T != 36000 {
			t.Errorf("%s: digest %s at %v s, was %s", when, got.Digest, got.T, before)
		}
		overflow, slowed := false, false
		for _, l := range d.snapshot(bus.ForAll).Log {
			overflow, slowed = overflow || strings.HasPrefix(l.Text, "open overflow"), slowed || strings.HasPrefix(l.Text, "casting speed")
		}
		if !overflow || slowed {
			t.Errorf("%s: the overflow order is there %v, the later ones %v", when, overflow, slowed)
		}
	}
	d.must(bus.Command{Kind: bus.CmdRewind, Mark: "A2"})
	check("gone back to A2")
	d.comeBack(b, h, dir, sc)
	check("come back")
}

// A look-ahead ranks the first troubles, not only the nearest, by the order statistics
// that answers use.
func TestLookAheadRanksTroubles(t *testing.T) {
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	s, err := newSession(&sc, rows)
	if err != nil {
		t.Fatal(err)
	}
	begun := 16*calendar.Hour + 40*calendar.Minute
	if err := s.runTo(begun); err != nil {
		t.Fatal(err)
	}
	if ok, why, err := s.apply(&bus.Action{Kind: bus.ActScript, T: int64(begun), Inject: &bus.Inject{What: bus.InjectGive, ID: "S1"}}); !ok || err != nil {
		t.Fatal(why, err)
	}
	if err := s.runTo(begun + calendar.Hour); err != nil {
		t.Fatal(err)
	}
	const n = 20
	f, err := newLooker(&sc, rows, n).forecast(s.copyForLook(nil), false)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Ranked) < 2 || len(f.Ranked) > rankedMost || f.RankedTo <= f.Horizon {
		t.Fatalf("%d troubles ranked up to %v s, horizon %v s", len(f.Ranked), f.RankedTo, f.Horizon)
	}
	for i, x := range f.Ranked {
		t.Logf("%s full %v now %v: %v %v %v in %d of %d", x.Name, x.Full, x.Now, show(x.Early), show(x.Likely), show(x.Late), x.Runs, n)
		if x.Likely != nil && (x.Early == nil || *x.Early > *x.Likely || *x.Likely > f.RankedTo || 2*x.Runs < n) {
			t.Errorf("%+v", x)
		}
		if p := f.Ranked[max(0, i-1)]; p.Now == x.Now && p.Soon == x.Soon && x.Likely != nil && (p.Likely == nil || *p.Likely > *x.Likely) {
			t.Errorf("%s before %s", p.Name, x.Name)
		}
		// The part within the picture's horizon is that of the ends.
		for _, e := range f.Ends {
			if e.Name != x.Name || e.Full != x.Full {
				continue
			}
			in := 0
			for _, t := range e.In {
				if x.Likely != nil && t < *x.Likely {
					in++
				}
			}
			if x.Likely != nil && *x.Likely <= f.Horizon && in > n/2 {
				t.Errorf("%s: %d of %d before the likely time", x.Name, in, n)
			}
			if len(e.In) > x.Runs {
				t.Errorf("%s: %d within the horizon, %d in all", x.Name, len(e.In), x.Runs)
			}
		}
	}
	// By hand: 20 futures, of which the moments are 1 to 15 h and 5 never come.
	l := &looker{rows: rows, n: n, ahead: make([]ahead, n)}
	brinks := len(sc.Case.Plant.Brinks())
	for k := range l.ahead {
		l.ahead[k].first = make([]calendar.Time, brinks)
		for b := range brinks {
			l.ahead[k].first[b] = calendar.Never
		}
		if k < 15 {
			l.ahead[k].first[0] = calendar.Time(15-k) * calendar.Hour
		}
	}
	// Another one is there already; a third comes in all after 2 h.
	for k := range l.ahead {
		l.ahead[k].first[3] = 2 * calendar.Hour
	}
	calm, err := newSession(&sc, rows)
	if err != nil {
		t.Fatal(err)
	}
	now := make([]bool, brinks)
	now[5] = true
	l.reaches = l.reachAll(now, 0, 40*calendar.Hour)
	got := l.ranked(calm.played.Works(), now)
	if len(got) != 3 || got[0].Row != brinkRow(rows, 5) || !got[0].Now || got[0].Soon || *got[0].Likely != 0 || got[0].Share != 1 {
		t.Fatalf("what is full does not come first: %s", jsonOf(got))
	}
	// One run reaches it within the hour: before what is likely sooner.
	if x := got[1]; x.Row != brinkRow(rows, 0) || !x.Soon || *x.Soonest != 3600 || x.Share != 0.75 || x.Runs != 15 || *x.Early != 2*3600 || *x.Likely != 11*3600 || x.Late != nil {
		t.Errorf("by hand: %s", jsonOf(got))
	}
	if x := got[2]; x.Soon || *x.Likely != 2*3600 || *x.Soonest != 2*3600 || x.Share != 1 {
		t.Errorf("by hand: %s", jsonOf(got))
	}
}

func show(v *float64) any {
	if v == nil {
		return "never"
	}
	return *v / 3600
}

// A black-out hits several units: each has its call, and the one word on it tells the
// cause of all, with the caution that its row has.
func TestBlackOutIsToldOnceForAllUnits(t *testing.T) {
	sc := wreck(t)
	c := *sc.Case
	c.Background = false
	u := c.Script[0]
	u.Kind, u.Name, u.Unit, u.With, u.At = works.SupplyLost, "power gone", "finishing train", []string{"C1", "pickle line"}, 3600
	u.Caution = "Headcount in the dark."
	c.Script = []works.UpsetSpec{u}
	sc.Case = &c
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, sc, nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	causes := func() (out []string) {
		for _, c := range d.snapshot(bus.ForAll).Calls {
			out = append(out, c.Unit+": "+c.Cause)
		}
		slices.Sort(out)
		return out
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 65})
	want := "C1: " + notYet + ", finishing train: " + notYet + ", pickle line: " + notYet
	if got := strings.Join(causes(), ", "); got != want {
		t.Errorf("before the word: %s", got)
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 40})
	if got := strings.Join(causes(), ", "); got != "C1: supply lost, finishing train: supply lost, pickle line: supply lost" {
		t.Errorf("after the word: %s", got)
	}
	for _, c := range d.snapshot(bus.ForAll).Calls {
		if !strings.HasPrefix(c.Caution, u.Caution) {
			t.Errorf("%s: caution %q", c.Unit, c.Caution)
		}
	}
}
