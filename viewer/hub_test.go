package viewer

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"millrace/sim/bus"
)

// line opens a seat's websocket; query may be "" or "?hub=..".
func line(tb testing.TB, base string, s Seat, query string) *websocket.Conn {
	tb.Helper()
	c, r, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(base, "http")+s.Path()+"line"+query, nil)
	if err != nil {
		tb.Fatalf("%v (%v)", err, r)
	}
	tb.Cleanup(func() { c.Close() })
	return c
}

func next(tb testing.TB, c *websocket.Conn) down {
	tb.Helper()
	if err := c.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
		tb.Fatal(err)
	}
	_, b, err := c.ReadMessage()
	if err != nil {
		tb.Fatal(err)
	}
	var d down
	if err := json.Unmarshal(b, &d); err != nil {
		tb.Fatal(err)
	}
	return d
}

// until reads on to a message of a kind.
func until(tb testing.TB, c *websocket.Conn, kind string) down {
	tb.Helper()
	for {
		if d := next(tb, c); d.K == kind {
			return d
		}
	}
}

func send(tb testing.TB, c *websocket.Conn, u up) {
	tb.Helper()
	if err := c.WriteJSON(u); err != nil {
		tb.Fatal(err)
	}
}

// follow reads n numbered messages and fails at a gap or a step back.
func follow(c *websocket.Conn, n int) error {
	var ep int
	var q uint64
	for got := 0; got < n; {
		if err := c.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
			return err
		}
		_, b, err := c.ReadMessage()
		if err != nil {
			return err
		}
		var d down
		if err := json.Unmarshal(b, &d); err != nil {
			return err
		}
		switch {
		case d.K == kSnap:
			ep, q = d.Ep, d.Q
		case d.Q > 0:
			if d.Ep != ep || d.Q != q+1 {
				return fmt.Errorf("after epoch %d number %d came %d %d", ep, q, d.Ep, d.Q)
			}
			q = d.Q
			got++
		}
	}
	return nil
}

// TestFiftyPages: fifty pages of all roles at twenty updates a second see every
// number once, in order, whenever they join.
func TestFiftyPages(t *testing.T) {
	d := newFakeDrill(t)
	d.play(90)
	d.goOn()
	s, _, _ := serve(t, d)
	d.run(700 * time.Millisecond)
	seats := []Seat{controllerSeat, playerSeat, evaluatorSeat, observerSeat}
	var wait sync.WaitGroup
	errs := make(chan error, 50)
	for i := range 50 {
		c := line(t, s.URL, seats[i%4], "")
		wait.Go(func() { errs <- follow(c, 60) })
		if i%10 == 9 {
			time.Sleep(100 * time.Millisecond)
		}
	}
	wait.Wait()
	close(errs)
	for err := range errs {
		if err != nil {
			t.Error(err)
		}
	}
}

// TestSlowPage: a page that does not read is left out, gets one snapshot when it
// reads again, and goes on from there; a page that reads misses nothing meanwhile.
func TestSlowPage(t *testing.T) {
	d := newFakeDrill(t)
	d.play(90)
	s, _, srv := serve(t, d)
	slow, quick := line(t, s.URL, playerSeat, ""), line(t, s.URL, observerSeat, "")
	until(t, slow, kSnap)
	ok := make(chan error, 1)
	go func() { ok <- follow(quick, 600) }()
	until := time.Now().Add(15 * time.Second)
	l := srv.hub.level(playerSeat)
	behind := func() bool {
		l.mu.Lock()
		defer l.mu.Unlock()
		for c := range l.clients {
			if c.seat.Key == playerSeat.Key {
				return c.owed
			}
		}
		return false
	}
	fat := strings.Repeat("x", 60<<10) // fills the kernel's buffers sooner
	pad := func() {
		d.mu.Lock()
		d.publish(bus.ForAll, bus.WhatLog, bus.TypeLog, &bus.LogLine{Head: d.head(bus.ForAll), What: bus.LogWorks, Row: -1, Text: fat})
		d.mu.Unlock()
	}
	for !behind() && time.Now().Before(until) {
		pad()
		time.Sleep(4 * time.Millisecond)
	}
	if !behind() {
		t.Fatal("the page that does not read never fell behind")
	}
	var ep int
	var q uint64
	snaps, after := 0, 0
	for after < 20 {
		pad()
		m := next(t, slow)
		switch {
		case m.K == kSnap:
			snaps++
			ep, q = m.Ep, m.Q
		case m.Q > 0 && snaps > 0:
			if m.Ep != ep || m.Q != q+1 {
				t.Fatalf("behind the snapshot at %d came %d", q, m.Q)
			}
			q = m.Q
			after++
		}
	}
	if snaps != 1 {
		t.Errorf("%d snapshots, want 1", snaps)
	}
	for {
		select {
		case err := <-ok:
			if err != nil {
				t.Error(err)
			}
			return
		default:
			d.tick(0)
			time.Sleep(2 * time.Millisecond)
		}
	}
}

// TestComeBack: a page that says where it stood gets exactly what it missed; one
// from before a rewind, or of another server, gets a snapshot.
func TestComeBack(t *testing.T) {
	d := newFakeDrill(t)
	d.play(90)
	s, _, _ := serve(t, d)
	stay := line(t, s.URL, observerSeat, "") // keeps the level awake
	until(t, stay, kSnap)
	c := line(t, s.URL, playerSeat, "")
	hub := until(t, c, kHello).Hub
	until(t, c, kSnap)
	for range 3 {
		d.tick(1)
	}
	var last down
	for range 3 {
		last = until(t, c, bus.WhatUpdate)
	}
	c.Close()
	for range 5 {
		d.tick(1)
	}
	for until(t, stay, bus.WhatUpdate).Q < last.Q+5 {
	}
	where := func(hub string, ep int) string { return fmt.Sprintf("?hub=%s&ep=%d&q=%d", hub, ep, last.Q) }
	back := line(t, s.URL, playerSeat, where(hub, last.Ep))
	until(t, back, kHello)
	for i := range 5 {
		if m := next(t, back); m.K != bus.WhatUpdate || m.Q != last.Q+uint64(i)+1 {
			t.Fatalf("message %d after coming back: %s %d, want update %d", i, m.K, m.Q, last.Q+uint64(i)+1)
		}
	}
	other := line(t, s.URL, playerSeat, where("another", last.Ep))
	until(t, other, kHello)
	if m := next(t, other); m.K != kSnap {
		t.Errorf("from another server: %s, want a snapshot", m.K)
	}
	d.rewind()
	if m := until(t, back, bus.WhatCut); m.Ep != last.Ep+1 {
		t.Errorf("cut to epoch %d, want %d", m.Ep, last.Ep+1)
	}
	if m := until(t, back, kSnap); m.Ep != last.Ep+1 {
		t.Errorf("snapshot of epoch %d behind the cut, want %d", m.Ep, last.Ep+1)
	}
	late := line(t, s.URL, playerSeat, where(hub, last.Ep))
	until(t, late, kHello)
	if m := next(t, late); m.K != kSnap || m.Ep != last.Ep+1 {
		t.Errorf("from before the rewind: %s of %d, want a snapshot of %d", m.K, m.Ep, last.Ep+1)
	}
}

// TestLostOnTheBus: when the bus loses messages, pages get a new picture.
func TestLostOnTheBus(t *testing.T) {
	d := newFakeDrill(t)
	s, _, _ := serve(t, d)
	c := line(t, s.URL, playerSeat, "")
	until(t, c, kSnap)
	d.tick(1)
	until(t, c, bus.WhatUpdate)
	d.mu.Lock()
	d.q[bus.ForAll] += 3
	d.mu.Unlock()
	d.tick(1)
	until(t, c, kSnap)
	d.tick(1)
	until(t, c, bus.WhatUpdate)
}

// TestRoles: what a role may not do never reaches the drill, whatever the page
// says; who sent it comes from the link.
func TestRoles(t *testing.T) {
	d := newFakeDrill(t)
	d.play(90)
	s, refused, _ := serve(t, d)
	order := &bus.Order{Lever: "open overflow"}
	for _, c := range []struct {
		seat Seat
		cmd  bus.Command
		ok   bool
	}{
		{observerSeat, bus.Command{Kind: bus.CmdOrder, Order: order}, false},
		{observerSeat, bus.Command{Kind: bus.CmdHold, Role: bus.Controller, By: "controller"}, false},
		{observerSeat, bus.Command{Kind: bus.CmdAck, Call: "c1"}, false},
		{observerSeat, bus.Command{Kind: bus.CmdNote, Text: "x"}, false},
		{playerSeat, bus.Command{Kind: bus.CmdHold}, false},
		{playerSeat, bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage}}, false},
		{playerSeat, bus.Command{Kind: bus.CmdRewind, Mark: "start"}, false},
		{playerSeat, bus.Command{Kind: bus.CmdPace, Pace: 600}, false},
		{playerSeat, bus.Command{Kind: bus.CmdNote, Text: "x"}, false},
		{playerSeat, bus.Command{Kind: bus.CmdOrder, Order: order, As: "somebody else"}, false},
		{evaluatorSeat, bus.Command{Kind: bus.CmdOrder, Order: order}, false},
		{evaluatorSeat, bus.Command{Kind: bus.CmdResume}, false},
		{controllerSeat, bus.Command{Kind: "no such thing"}, false},
		{controllerSeat, bus.Command{Kind: bus.CmdTry, Order: order}, false},
		{playerSeat, bus.Command{Kind: bus.CmdOrder, Order: order, By: "the owner", Role: bus.Controller}, true},
		{playerSeat, bus.Command{Kind: bus.CmdAck, Call: "c1"}, true},
		{evaluatorSeat, bus.Command{Kind: bus.CmdNote, Text: "seen"}, true},
		{controllerSeat, bus.Command{Kind: bus.CmdResume}, true},
		{controllerSeat, bus.Command{Kind: bus.CmdHold}, true},
		{observerSeat, bus.Command{Kind: bus.CmdStop}, true},
	} {
		name := string(c.seat.Role) + " " + c.cmd.Kind
		l := line(t, s.URL, c.seat, "")
		at := until(t, l, kSnap)
		before := len(d.commands())
		cmd := c.cmd
		send(t, l, up{K: "do", ID: "x-1", Ep: at.Ep, Q: at.Q, Cmd: &cmd})
		ack := until(t, l, kAck)
		got := d.commands()[before:]
		if ack.OK != c.ok || ack.ID != "x-1" {
			t.Errorf("%s: ok %v (%s), want %v", name, ack.OK, ack.Why, c.ok)
		}
		switch {
		case !c.ok && (len(got) != 0 || ack.Why == ""):
			t.Errorf("%s: %d commands reached the drill, why %q", name, len(got), ack.Why)
		case c.ok && (len(got) != 1 || got[0].By != c.seat.Name || got[0].Role != c.seat.Role):
			t.Errorf("%s: the drill got %+v, want it from %s", name, got, c.seat.Name)
		}
		l.Close()
	}
	if n := len(refused.all()); n != 14 {
		t.Errorf("%d refusals were told, want 14: %v", n, refused.all())
	}
}

// TestSecrets: what is only for staff is never sent to a player's line.
func TestSecrets(t *testing.T) {
	d := newFakeDrill(t)
	d.play(30)
	s, _, _ := serve(t, d)
	player, boss := line(t, s.URL, playerSeat, ""), line(t, s.URL, controllerSeat, "")
	if m := until(t, player, kSnap); strings.Contains(string(m.D), "slab crane 2 stops") {
		t.Error("an inject to come is in the player's snapshot")
	}
	if m := until(t, boss, kSnap); !strings.Contains(string(m.D), "slab crane 2 stops") {
		t.Error("no inject to come in the controller's snapshot")
	}
	d.mu.Lock()
	d.publish(bus.ForStaff, bus.WhatLog, bus.TypeLog, &bus.LogLine{Head: d.head(bus.ForStaff), What: bus.LogNote, Row: -1, Text: "for staff"})
	d.publish(bus.ForController, bus.WhatForecast, bus.TypeForecast, &bus.Forecast{Head: d.head(bus.ForController), Basis: bus.BasisScript, N: 20})
	d.mu.Unlock()
	for want := map[string]bus.Audience{bus.WhatLog: bus.ForStaff, bus.WhatForecast: bus.ForController}; len(want) > 0; { // in either order
		m := next(t, boss)
		if to, ok := want[m.K]; ok && m.A != to {
			t.Errorf("%s is for %q, want %q", m.K, m.A, to)
		}
		delete(want, m.K)
	}
	d.tick(1)
	for {
		m := next(t, player)
		if m.K == bus.WhatLog || m.K == bus.WhatForecast || m.A != "" && m.A != bus.ForAll {
			t.Fatalf("the player got %s for %s", m.K, m.A)
		}
		if m.K == bus.WhatUpdate {
			break
		}
	}
}

// TestOldNews: who looks at an old picture orders nothing, but may stop time.
func TestOldNews(t *testing.T) {
	d := newFakeDrill(t)
	d.play(90)
	s, _, srv := serve(t, d)
	c := line(t, s.URL, playerSeat, "")
	at := until(t, c, kSnap)
	l := srv.hub.level(playerSeat)
	l.mu.Lock()
	l.news = l.news.Add(-2 * tooOld)
	l.mu.Unlock()
	send(t, c, up{K: "do", ID: "a", Ep: at.Ep, Q: at.Q, Cmd: &bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "open overflow"}}})
	if a := until(t, c, kAck); a.OK || !strings.Contains(a.Why, "old") {
		t.Errorf("an order on old news: %v %q", a.OK, a.Why)
	}
	send(t, c, up{K: "do", ID: "b", Ep: at.Ep, Q: at.Q, Cmd: &bus.Command{Kind: bus.CmdStop}})
	if a := until(t, c, kAck); !a.OK {
		t.Errorf("the stop word on old news was refused: %s", a.Why)
	}
	d.tick(1)
	m := until(t, c, bus.WhatUpdate)
	send(t, c, up{K: "do", ID: "c", Ep: m.Ep + 1, Q: m.Q, Cmd: &bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "open overflow"}}})
	if a := until(t, c, kAck); a.OK {
		t.Error("an order of another epoch was taken")
	}
}

// TestTry: a look-ahead with an order comes back to the page that asked.
func TestTry(t *testing.T) {
	d := newFakeDrill(t)
	d.play(90)
	s, _, _ := serve(t, d)
	c := line(t, s.URL, playerSeat, "")
	at := until(t, c, kSnap)
	send(t, c, up{K: bus.CmdTry, ID: "t", Ep: at.Ep, Q: at.Q, Order: &bus.Order{Lever: "open overflow"}})
	m := until(t, c, kTrial)
	var f bus.Forecast
	if err := json.Unmarshal(m.D, &f); err != nil || f.N != 20 || len(f.Stand) == 0 {
		t.Errorf("trial: %v, %d futures", err, f.N)
	}
	if len(d.commands()) != 0 {
		t.Error("looking ahead did something")
	}
}

// TestNoDrill: a page that comes before the drill is told so, and gets a picture
// when there is one.
func TestNoDrill(t *testing.T) {
	b, err := bus.Open(bus.Options{StateDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.Close)
	s, _, _ := serve(t, &fakeDrill{bus: b})
	c := line(t, s.URL, playerSeat, "")
	if m := until(t, c, kWait); m.Why == "" {
		t.Error("no reason given")
	}
}

// TestHTTP: headers, hosts, origins, methods and paths.
func TestHTTP(t *testing.T) {
	d := newFakeDrill(t)
	s, _, _ := serve(t, d)
	do := func(method, path string, change func(*http.Request)) *http.Response {
		r, err := http.NewRequest(method, s.URL+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		if change != nil {
			change(r)
		}
		w, err := http.DefaultTransport.RoundTrip(r)
		if err != nil {
			t.Fatal(err)
		}
		w.Body.Close()
		return w
	}
	upgrade := func(origin string) func(*http.Request) {
		return func(r *http.Request) {
			for k, v := range map[string]string{"Connection": "Upgrade", "Upgrade": "websocket", "Sec-Websocket-Version": "13", "Sec-Websocket-Key": "dGhlIHNhbXBsZSBub25jZQ=="} {
				r.Header.Set(k, v)
			}
			if origin != "" {
				r.Header.Set("Origin", origin)
			}
		}
	}
	for _, c := range []struct {
		method, path string
		change       func(*http.Request)
		want         int
	}{
		{"GET", "/", nil, 200},
		{"HEAD", "/", nil, 200},
		{"POST", "/", nil, 405},
		{"GET", "/at/play/", nil, 200},
		{"GET", "/at/plau/", nil, 404},
		{"GET", "/at/play/x", nil, 404},
		{"GET", "/at//", nil, 404},
		{"GET", "/page/main.js", nil, 200},
		{"GET", "/page/", nil, 404},
		{"GET", "/page/index.html", nil, 404},
		{"GET", "/page/../server.go", nil, 404},
		{"GET", "/", func(r *http.Request) { r.Host = "strange.example" }, 421},
		{"GET", "/line", upgrade(""), 101},
		{"GET", "/line", upgrade(s.URL), 101},
		{"GET", "/line", upgrade("http://strange.example"), 403},
		{"GET", "/line", upgrade("null"), 403},
		{"GET", "/line", nil, 400},
	} {
		if r := do(c.method, c.path, c.change); r.StatusCode != c.want {
			t.Errorf("%s %s: %d, want %d", c.method, c.path, r.StatusCode, c.want)
		} else if csp := r.Header.Get("Content-Security-Policy"); r.StatusCode != 101 && (strings.Contains(csp, "unsafe") || !strings.Contains(csp, "default-src 'none'") || !strings.Contains(csp, "script-src 'self'")) {
			t.Errorf("%s: policy %q", c.path, csp)
		}
	}
}

func TestNewRefuses(t *testing.T) {
	d := newFakeDrill(t)
	for name, o := range map[string]Options{
		"no bus":       {Run: fakeRun, Seats: []Seat{playerSeat}},
		"bad run":      {Conn: d.bus.Conn, Run: "a b", Seats: []Seat{playerSeat}},
		"no seats":     {Conn: d.bus.Conn, Run: fakeRun},
		"bad role":     {Conn: d.bus.Conn, Run: fakeRun, Seats: []Seat{{"k", "owner", ""}}},
		"twice":        {Conn: d.bus.Conn, Run: fakeRun, Seats: []Seat{playerSeat, playerSeat}},
		"slash in key": {Conn: d.bus.Conn, Run: fakeRun, Seats: []Seat{{"a/b", bus.Player, ""}}},
	} {
		if _, err := New(o); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if a, b := NewKey(), NewKey(); a == b || len(a) != 24 {
		t.Errorf("keys %q and %q", a, b)
	}
}

// TestClose: closing ends the pages' lines and lets no new ones in.
func TestClose(t *testing.T) {
	d := newFakeDrill(t)
	s, _, srv := serve(t, d)
	c := line(t, s.URL, playerSeat, "")
	until(t, c, kSnap)
	if err := srv.Close(); err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.ReadMessage(); err == nil {
		t.Error("the line is still open")
	}
	if _, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(s.URL, "http")+"/line", nil); err == nil {
		t.Error("a new line was opened")
	}
}
