package drill

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// figures is everything a page can be shown of a session, as it is sent.
func figures(t testing.TB, s *session) map[string]string {
	t.Helper()
	out := map[string]string{}
	var ever []bus.Call
	for i := range s.calls {
		ever = append(ever, s.calls[i].page, s.calls[i].staff)
	}
	for name, v := range map[string]any{
		"rows": s.meter.last, "spans": s.meter.spans, "history": s.history(48), "cost": s.costNow(), "cost line": s.costs, "nothing line": s.nothin,
		"calls ever": ever, "calls": s.callsFor(false), "staff calls": s.callsFor(true), "stops": s.stops(false), "staff stops": s.stops(true), "settings": s.settings(nil), "heats": s.heats(),
		"log": s.logs[bus.ForAll], "staff log": s.logs[bus.ForStaff], "told": s.told, "marks": s.marks, "to come": s.toCome(), "digest": s.played.Digest(),
	} {
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = string(text)
	}
	return out
}

func sameFigures(t testing.TB, what string, got, want map[string]string) {
	t.Helper()
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s: %s differ:\n%s\n%s", what, name, around(got[name], want[name]), around(want[name], got[name]))
		}
	}
}

// around cuts a text to where it begins to differ from another.
func around(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	return a[max(0, i-120):min(len(a), i+80)]
}

// However the ticks of the wall clock fall, every figure of an instant is the same as
// in a session that was played there without a stop: the figures of an instant are a
// function of the instant.
func TestEveryFigureIsOfItsInstant(t *testing.T) {
	alone(t)
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	begun := 16*calendar.Hour + 40*calendar.Minute
	inject := bus.Action{Kind: bus.ActScript, T: int64(begun), Inject: &bus.Inject{What: bus.InjectGive, ID: "S1"}}
	order := bus.Action{Kind: bus.CmdOrder, By: "steel", Order: slow("C1", "0.70 m/min")}
	ordered := begun + 17*calendar.Minute + 11*calendar.Second
	order.T = int64(ordered)
	play := func(until calendar.Time, tick func() calendar.Time) *session {
		s, err := newSession(&sc, rows)
		if err != nil {
			t.Fatal(err)
		}
		to := func(end calendar.Time) {
			for tick != nil && s.now() < end {
				if err := s.runTo(min(end, s.now()+tick())); err != nil {
					t.Fatal(err)
				}
				for i := range s.rows { // the records say what the works says of itself
					if u := s.rows[i].unit; u >= 0 {
						if got, want := s.meter.hard[i], hardOf(&s.played.Works().S.Net.Units[u].Count); got != want {
							t.Fatalf("%s at %v s: state %d by its records, %d by itself", s.rows[i].Name, s.now().Seconds(), got, want)
						}
					}
				}
			}
			if err := s.runTo(end); err != nil {
				t.Fatal(err)
			}
		}
		for _, a := range []bus.Action{inject, order} {
			if calendar.Time(a.T) > until {
				break
			}
			to(calendar.Time(a.T))
			if ok, why, err := s.apply(&a); !ok || err != nil {
				t.Fatal(why, err)
			}
		}
		to(until)
		return s
	}
	r := rand.New(rand.NewPCG(1, 2))
	for _, until := range []calendar.Time{begun + 3*calendar.Minute + 7*calendar.Second + 41*calendar.Millisecond, ordered, ordered + 50*calendar.Minute + 33*calendar.Second, 52*calendar.Hour + 1*calendar.Second} {
		want := figures(t, play(until, nil))
		for _, pace := range []int64{1, 20, 700} { // ticks of about so many tenths of a minute
			got := play(until, func() calendar.Time { return calendar.Time(1+r.Int64N(2*pace*6000)) * calendar.Millisecond })
			sameFigures(t, fmt.Sprintf("at %v s, ticks of about %d s", until.Seconds(), pace*6), figures(t, got), want)
		}
	}
}

// onePage keeps what a page keeps: a snapshot and the updates since.
type onePage struct {
	mu    sync.Mutex
	epoch int
	q     uint64
	t     float64
	rows  []bus.RowState
	spans [][]bus.Span
	later []bus.Update
	from  float64 // time of the first point of past
	past  [][]int // by row: thousandths, minute by minute
}

// points undoes the differences of a history.
func points(v []int) (out []int) {
	sum := 0
	for _, d := range v {
		sum += d
		out = append(out, sum)
	}
	return out
}

func (p *onePage) watch(t testing.TB, d *desk) {
	t.Helper()
	stop, err := d.c.Watch(bus.ForAll, func(what string, e *bus.Envelope) {
		var u bus.Update
		if json.Unmarshal(e.Data, &u) != nil {
			return
		}
		if what != bus.WhatUpdate {
			u.Rows = nil
		}
		p.mu.Lock()
		defer p.mu.Unlock()
		p.later = append(p.later, u)
		p.fold()
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
}

func (p *onePage) start(s *bus.Snapshot) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.epoch, p.q, p.t = s.Epoch, s.Q, s.T
	p.rows, p.spans = slices.Clone(s.Rows), s.Spans
	p.from, p.past = s.History.From, nil
	for _, v := range s.History.V {
		p.past = append(p.past, points(v))
	}
	p.fold()
}

func (p *onePage) fold() {
	if p.rows == nil {
		return
	}
	for _, u := range p.later {
		if u.Epoch != p.epoch || u.Q <= p.q {
			continue
		}
		p.q, p.t = u.Q, u.T
		for _, r := range u.Rows {
			if p.rows[r.I].S != r.S {
				p.spans[r.I] = append(p.spans[r.I], bus.Span{At: r.Since, S: r.S})
			}
			p.rows[r.I] = r
		}
		if u.Past != nil && u.Past.From != p.from+60*float64(len(p.past[0])) {
			p.past = nil // a hole: the test sees it
		}
		for i := range p.past {
			if u.Past != nil {
				p.past[i] = append(p.past[i], points(u.Past.V[i])...)
			}
		}
	}
	p.later = nil
}

func (p *onePage) upTo(q uint64) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.q >= q
}

// picture is a snapshot without what belongs to the message and the branch, not to
// the instant.
func picture(t testing.TB, s *bus.Snapshot) string {
	t.Helper()
	x := *s
	x.Head = bus.Head{T: x.T}
	x.Qs, x.Clock, x.Log, x.Marks, x.Forecast, x.Ahead = nil, bus.Clock{}, nil, nil, nil, bus.Ahead{}
	x.Settings = slices.Clone(x.Settings)
	for i := range x.Settings { // last moments are the forecast's
		x.Settings[i].DecideBy, x.Settings[i].DecideByWhy = nil, ""
	}
	text, err := json.MarshalIndent(&x, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// What a page has put together while time ran, what a snapshot of the held instant
// says, what comes after going back to that instant, and what a program that came
// back from the stream says, are one and the same to the last figure.
func TestLiveAndReplayShowTheSame(t *testing.T) {
	sc := wreck(t)
	dir := t.TempDir()
	b := openBus(t, dir)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	page := &onePage{}
	page.watch(t, d)
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 16*60 + 35})
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 33})
	page.start(d.snapshot(bus.ForAll))
	d.must(bus.Command{Kind: bus.CmdResume})
	waitFor(t, func() bool { return d.status().T > 17.1*3600 })
	d.must(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "0.70 m/min")})
	waitFor(t, func() bool { return d.status().T > 18.2*3600 })
	d.must(bus.Command{Kind: bus.CmdHold})
	live := d.snapshot(bus.ForAll)
	waitFor(t, func() bool { return page.upTo(live.Q) })
	for i := range live.Rows {
		if page.rows[i] != live.Rows[i] {
			t.Errorf("%s: the page has %+v, it is %+v", live.Route[i].Name, page.rows[i], live.Rows[i])
		}
		if !slices.Equal(page.spans[i], live.Spans[i]) {
			t.Errorf("%s: the page has the states %v, they were %v", live.Route[i].Name, page.spans[i], live.Spans[i])
		}
	}
	if len(page.past) != len(live.Rows) {
		t.Fatal("the page's minutes have a hole")
	}
	for i, v := range live.History.V {
		want, skip := points(v), int((live.History.From-page.from)/60)
		if got := page.past[i][skip:]; !slices.Equal(got, want) {
			t.Errorf("%s: the page's past is %v, it was %v", live.Route[i].Name, got, want)
		}
	}
	forecast := func() *bus.Forecast {
		var f *bus.Forecast
		waitFor(t, func() bool { f = d.snapshot(bus.ForAll).Forecast; return f != nil && f.T == live.T })
		x := *f
		x.Head, x.After = bus.Head{T: f.T}, ""
		return &x
	}
	ahead, _ := json.Marshal(forecast())
	same := func(what string) {
		t.Helper()
		s := d.snapshot(bus.ForAll)
		if got, want := picture(t, s), picture(t, live); got != want {
			t.Errorf("%s: the picture differs:\n%s\nwas\n%s", what, around(got, want), around(want, got))
		}
		if again, _ := json.Marshal(forecast()); !bytes.Equal(again, ahead) {
			t.Errorf("%s: the forecast differs:\n%s\nwas\n%s", what, around(string(again), string(ahead)), around(string(ahead), string(again)))
		}
	}
	d.must(bus.Command{Kind: bus.CmdRewind, To: live.T})
	same("gone back")
	// A longer way back: through the past once more, to the same instant by steps.
	d.must(bus.Command{Kind: bus.CmdRewind, To: live.T})
	d.comeBack(b, h, dir, sc)
	same("come back")
}
