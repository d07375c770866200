package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"millrace/scripting"
	"millrace/sim/bus"
	"millrace/sim/record"
)

// liveFlags are the flags of a run whose records are sent while it is played.
type liveFlags struct {
	live bool
	bus  string
	pace float64
}

func (f *liveFlags) add(c *cobra.Command) {
	fl := c.Flags()
	fl.BoolVar(&f.live, "live", false, "send every record of the run on the bus while it is played; needs --bus")
	fl.StringVar(&f.bus, "bus", "", "NATS server for --live, nats://HOST:4222")
	fl.Float64Var(&f.pace, "pace", 0, "simulated minutes a second for --live; 0 as fast as it goes")
}

// check refuses flags that do not go together.
func (f *liveFlags) check(c *cobra.Command) error {
	for _, name := range [...]string{"bus", "pace"} {
		if c.Flags().Changed(name) && !f.live {
			return badInput("--%s is for a run that is sent: add --live", name)
		}
	}
	switch {
	case !f.live:
		return nil
	case f.bus == "":
		// The bus inside the program opens no port: there is nobody it could reach.
		return badInput("--live: say with --bus on which NATS server, for example --bus nats://127.0.0.1:4222")
	case !(f.pace >= 0 && f.pace <= 600):
		return badInput("--pace: give simulated minutes a second, 0 to 600; 0 is as fast as it goes")
	}
	return nil
}

// liveName names a run on the bus by its scenario, plan and future.
func liveName(file string, plan int, future uint64) string {
	tail := fmt.Sprintf("-plan-%d-future-%d", plan+1, future)
	head := bus.Token("run " + strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
	return strings.TrimRight(head[:min(len(head), 64-len(tail))], "-") + tail
}

// liveRun sends the records of a run.
type liveRun struct {
	b    *bus.Bus
	name string
	sink *liveSink
}

// start joins the bus and says on standard error what is sent where.
func (f *liveFlags) start(c *cobra.Command, s *scripting.Scenario, file string, plan int, future uint64) (*liveRun, error) {
	log := logger(c)
	b, err := bus.Open(bus.Options{URL: f.bus, Told: func(what string, err error) { log.Warn().Err(err).Msg(what) }})
	if err != nil {
		return nil, badInput("--bus: %v", err)
	}
	l := &liveRun{b: b, name: liveName(file, plan, future)}
	// Nothing that this program sends comes from plant, and every message says so.
	p, err := bus.NewPublisher(b, l.name, s.From, true)
	if err != nil {
		b.Close()
		return nil, err
	}
	words := shiftLog{p: s.Works.Plant, start: s.From}
	l.sink = &liveSink{ctx: c.Context(), pub: p, pace: f.pace,
		to: &bus.Records{P: p, Route: &s.Works.Plant.Route, Say: func(e *record.Event) string { return words.p.Say(e, words.clock) }}}
	fmt.Fprintf(c.ErrOrStderr(), "EXERCISE run %s is sent on %s, subjects millrace.%s.>\n", l.name, b.Conn.ConnectedUrlRedacted(), l.name)
	return l, nil
}

// end waits until the bus has everything; that something was not sent is an error.
func (l *liveRun) end() error {
	l.sink.pub.Flush()
	faults := l.b.Faults.List()
	l.b.Close()
	if len(faults) > 0 {
		return fmt.Errorf("not every record of %s may have arrived: %s", l.name, faults[0].What)
	}
	return nil
}

// liveSink passes records on when their time has come by the wall clock. It belongs
// to the goroutine of the run.
type liveSink struct {
	ctx   context.Context
	pub   *bus.Publisher
	to    record.Sink
	pace  float64 // simulated minutes a second, 0 for no waiting
	begun time.Time
}

func (l *liveSink) Put(events []record.Event) {
	if l.begun.IsZero() {
		l.begun = time.Now()
	}
	for i := range events {
		if !l.wait(events[i].T.Seconds()) {
			return // the run is being ended
		}
		l.to.Put(events[i : i+1])
	}
}

// wait waits for a simulated time, s; false when the run was ended meanwhile.
func (l *liveSink) wait(t float64) bool {
	if l.ctx.Err() != nil {
		return false
	}
	if l.pace == 0 {
		return true
	}
	d := time.Until(l.begun.Add(time.Duration(t / (60 * l.pace) * float64(time.Second))))
	if d <= 0 {
		return true
	}
	l.pub.Flush() // what has happened is on its way before the wait
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-l.ctx.Done():
		return false
	}
}

// sinks passes records on to several.
type sinks []record.Sink

func (s sinks) Put(events []record.Event) {
	for _, one := range s {
		one.Put(events)
	}
}
