package drill

import (
	"context"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/futures"
)

// wreck is the shipped wreck of Larkfell, as a drill of three days.
func wreck(t testing.TB) Scenario {
	t.Helper()
	s, err := scripting.LoadScenario("../../scenarios/larkfell/stand-wreck.lua", scripting.DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	return Scenario{
		Start: s.From, Future: 3,
		Case: &futures.Case{Scenario: s.Name, Plant: s.Works.Plant, Script: s.Script, SoldOut: s.SoldOut, Background: s.Background, Levels: s.Levels,
			Length: 3 * calendar.Day, Seed: 1, Futures: 1, Inputs: "test"},
	}
}

func openBus(t testing.TB, dir string) *bus.Bus {
	t.Helper()
	b, err := bus.Open(bus.Options{StateDir: dir, Told: func(what string, err error) { t.Logf("fault: %s: %v", what, err) }})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func openHost(t testing.TB, b *bus.Bus, sc Scenario, change func(*Config)) *Host {
	t.Helper()
	cfg := Config{Scenario: sc, Run: "test", Version: "test", Inputs: "test", Futures: 4, NoRecords: true}
	if change != nil {
		change(&cfg)
	}
	h, err := New(b, cfg)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

var commands atomic.Int64

// desk is a person at a page.
type desk struct {
	t testing.TB
	c bus.Client
}

// comeBack ends the program and starts it again on what it kept in dir.
func (d *desk) comeBack(b *bus.Bus, h *Host, dir string, sc Scenario) (*bus.Bus, *Host) {
	d.t.Helper()
	h.Close()
	b.Close()
	b = openBus(d.t, dir)
	d.t.Cleanup(b.Close)
	h = openHost(d.t, b, sc, nil)
	d.t.Cleanup(h.Close)
	d.c.NC = b.Conn
	return b, h
}

func (d *desk) do(c bus.Command) *bus.Reply {
	d.t.Helper()
	if c.ID == "" {
		c.ID = "t-" + strconv.FormatInt(commands.Add(1), 10)
	}
	if c.Role == "" {
		c.Role = bus.Controller
	}
	if c.By == "" {
		c.By = "tester"
	}
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	if c.Epoch == 0 {
		s, err := d.c.Status(ctx)
		if err != nil {
			d.t.Fatal(err)
		}
		c.Epoch = s.Epoch
	}
	r, err := d.c.Do(ctx, &c)
	if err != nil {
		d.t.Fatal(err)
	}
	return r
}

// must is do for a command that has to be carried out.
func (d *desk) must(c bus.Command) *bus.Reply {
	d.t.Helper()
	r := d.do(c)
	if !r.OK {
		d.t.Fatalf("%s was refused: %s", c.Kind, r.Why)
	}
	return r
}

func (d *desk) status() *bus.Status {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	s, err := d.c.Status(ctx)
	if err != nil {
		d.t.Fatal(err)
	}
	if len(s.Broken) > 0 || len(s.Faults) > 0 {
		d.t.Fatalf("broken %v, faults %v", s.Broken, s.Faults)
	}
	return s
}

func (d *desk) snapshot(to bus.Audience) *bus.Snapshot {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	s, err := d.c.Snapshot(ctx, to, 0)
	if err != nil {
		d.t.Fatal(err)
	}
	return s
}

func slow(unit, speed string) *bus.Order {
	return &bus.Order{Lever: "casting speed", Unit: unit, Value: speed}
}

// alone leaves a test of one goroutine out where only goroutines that meet are looked at:
// the race detector takes minutes over it and can find nothing.
func alone(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("one goroutine at work; run without -short")
	}
}
