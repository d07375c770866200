package viewer

import (
	"context"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/drill"
	"millrace/sim/futures"
)

// larkfellFuture is the future of the drills of these tests.
const larkfellFuture = 2

// realDrill is the shipped wreck of Larkfell played by a real drill, with its pages.
type realDrill struct {
	*httptest.Server
	bus *bus.Bus
	k   *futures.Case
	srv *server
	do  func(bus.Command) *bus.Reply // by the controller; it must succeed
}

// larkfell begins one, held at its start, for a controller, a player, observers and those
// that are named.
func larkfell(t *testing.T, more ...Seat) *realDrill {
	t.Helper()
	return larkfellWith(t, false, more...)
}

// larkfellWith begins one; records says whether single records go on the bus as well.
func larkfellWith(t *testing.T, records bool, more ...Seat) *realDrill {
	t.Helper()
	s, err := scripting.LoadScenario("../scenarios/larkfell/stand-wreck.lua", scripting.DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	b, err := bus.Open(bus.Options{StateDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.Close)
	k := &futures.Case{Scenario: s.Name, Plant: s.Works.Plant, Script: s.Script, SoldOut: s.SoldOut, Background: s.Background, Levels: s.Levels, Length: 3 * calendar.Day, Seed: 1, Futures: 1, Inputs: "test"}
	h, err := drill.New(b, drill.Config{Run: "larkfell", Version: "test", Inputs: "test", NoRecords: !records, Scenario: drill.Scenario{Start: s.From, Future: larkfellFuture, Case: k}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(h.Close)
	c := bus.Client{NC: b.Conn, Run: "larkfell"}
	d := &realDrill{bus: b, k: k}
	d.Server, d.srv = serveDrill(t, Options{Conn: b.Conn, Run: "larkfell", Seats: append([]Seat{controllerSeat, playerSeat, observerSeat}, more...)})
	d.do = func(cmd bus.Command) *bus.Reply {
		t.Helper()
		ctx, stop := context.WithTimeout(context.Background(), 60*time.Second)
		defer stop()
		st, err := c.Status(ctx)
		if err != nil {
			t.Fatal(err)
		}
		cmd.ID, cmd.By, cmd.Role, cmd.Epoch = NewKey(), "controller", bus.Controller, st.Epoch
		r, err := c.Do(ctx, &cmd)
		if err != nil || !r.OK {
			t.Fatalf("%s: %v %+v", cmd.Kind, err, r)
		}
		return r
	}
	return d
}

// page opens the page of a seat.
func (d *realDrill) page(t *testing.T, b *browser, s Seat, l look) *tab {
	t.Helper()
	return b.open(t, d.URL+s.Path(), l)
}

// snapshot is the whole picture that everybody is sent.
func (d *realDrill) snapshot(t *testing.T) *bus.Snapshot {
	t.Helper()
	s, err := (&bus.Client{NC: d.bus.Conn, Run: "larkfell"}).Snapshot(t.Context(), bus.ForAll, 0)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestLarkfell shows the shipped wreck, played by a real drill: the page says what
// stands, what goes next and what it costs, a lever can be looked ahead with and
// taken, and the word of a player reaches the works.
func TestLarkfell(t *testing.T) {
	b := newBrowser(t)
	d := larkfell(t)
	do := d.do
	do(bus.Command{Kind: bus.CmdStep, Minutes: 18*60 + 40}) // two hours into the wreck
	p := d.page(t, b, playerSeat, desk)
	p.wait("the wreck", `document.querySelector('#glance').textContent.includes('Finishing train') && document.querySelector('#old').hidden`)
	p.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent)`)
	time.Sleep(500 * time.Millisecond)
	p.shot("larkfell-desk")
	p.fits("larkfell", desk)
	// one unit of a folded line is named, and stands as long as the answer on top says
	if w, row := p.text("#glance .big small"), p.text("tr[data-id=descaler]"); w == "" || !strings.Contains(row, "finishing train down "+w) {
		t.Errorf("on top it is %q, in its row %q", w, row)
	}
	// what comes beyond the paths is said as well
	snap := d.snapshot(t)
	if snap.Forecast == nil {
		t.Fatal("no forecast")
	}
	words := map[bool]string{true: "full in ", false: "dry in "}
	far := 0
	for _, x := range snap.Forecast.Ranked {
		if x.Now || x.Likely == nil || *x.Likely < snap.Forecast.Horizon {
			continue
		}
		far++
		if w := p.text("tr[data-id=" + snap.Route[x.Row].ID + "]"); !strings.Contains(w, words[x.Full]) && !strings.Contains(w, words[!x.Full]) {
			t.Errorf("%s will likely be %sin %.0f h: its row says %q", x.Name, words[x.Full], *x.Likely/3600, w)
		}
	}
	t.Logf("%d of %d ranked troubles lie beyond the paths", far, len(snap.Forecast.Ranked))
	p.click(`[data-lever="casting speed"]`)
	p.wait("the look-ahead", `document.querySelector('canvas').dataset.trial === '1'`)
	time.Sleep(500 * time.Millisecond)
	p.shot("larkfell-preview")
	p.click(`[data-take="casting speed"]`)
	p.click(`[data-take="casting speed"]`)
	p.wait("the order in the log", `document.querySelector('#log').textContent.includes('A1')`)
	boss := d.page(t, b, controllerSeat, desk)
	boss.wait("the controller's part", `document.querySelector('#holdB') && document.querySelector('#old').hidden`)
	time.Sleep(500 * time.Millisecond)
	boss.shot("larkfell-controller")
	boss.fits("larkfell controller", desk)
	ph := d.page(t, b, playerSeat, phone)
	ph.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent)`)
	time.Sleep(500 * time.Millisecond)
	ph.shot("larkfell-phone")
	ph.fits("larkfell phone", phone)
	boss.click("#holdB")
	first := strings.TrimSpace(p.text("#clock b"))
	p.wait("time to go on", `document.querySelector('#clock b').textContent !== `+"'"+first+"'")
	for _, x := range []*tab{p, boss, ph} {
		x.quiet()
	}
}
