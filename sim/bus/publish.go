package bus

import (
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"github.com/nats-io/nats.go"

	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/record"
)

// Publisher sends what a run does. It belongs to one goroutine.
type Publisher struct {
	nc       *nats.Conn
	faults   *Faults
	run      string
	start    quantity.Clock
	exercise bool
	n        uint64
	born     string
	now      func() time.Time
}

// NewPublisher makes the publisher of a run whose simulated time zero is start.
// Exercise marks every message as one of a drill.
func NewPublisher(b *Bus, run string, start quantity.Clock, exercise bool) (*Publisher, error) {
	if !CheckRun(run) {
		return nil, fmt.Errorf("%q cannot name a run: use up to 64 lower case letters, digits and dashes", run)
	}
	// Numbers start anew with the program, so they carry the moment it began.
	return &Publisher{nc: b.Conn, faults: b.Faults, run: run, start: start, exercise: exercise,
		born: strconv.FormatInt(time.Now().UnixNano(), 36), now: time.Now}, nil
}

// Run is the run's name.
func (p *Publisher) Run() string { return p.run }

// Wrap puts data into an envelope. t is simulated time; about is area/unit or "".
func (p *Publisher) Wrap(kind, about string, t calendar.Time, data any) ([]byte, error) {
	d, err := json.Marshal(data)
	if err != nil {
		return nil, err
	}
	p.n++
	return json.Marshal(&Envelope{
		SpecVersion: SpecVersion, ID: p.born + "-" + strconv.FormatUint(p.n, 10), Source: "/millrace/" + p.run, Type: kind,
		Time: p.now().UTC().Format(time.RFC3339Nano), Subject: about, DataContentType: "application/json",
		SimTime: ClockISO(p.start, t), Exercise: p.exercise, Data: d,
	})
}

// ClockISO is the clock time of a simulated time, ISO 8601.
func ClockISO(start quantity.Clock, t calendar.Time) string { return start.Add(t.Seconds()).ISO() }

// Send publishes data on a subject. An error is counted and, since watching is no
// record, not returned.
func (p *Publisher) Send(subject, kind, about string, t calendar.Time, data any) {
	body, err := p.Wrap(kind, about, t, data)
	if err != nil {
		p.faults.Add("message "+kind, err)
		return
	}
	if err := p.nc.Publish(subject, body); err != nil {
		p.faults.Add("publishing "+kind, err)
	}
}

// Flush waits until the server has what was published.
func (p *Publisher) Flush() {
	if err := p.nc.FlushTimeout(5 * time.Second); err != nil {
		p.faults.Add("flushing", err)
	}
}

// Records is a sink that publishes every record on its own subject, a batch at a
// time. Say, if set, gives the words of a shift log.
type Records struct {
	P     *Publisher
	Route *record.Route
	Say   func(e *record.Event) string
}

// Put publishes the events.
func (r *Records) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		m, area, unit := r.Record(e)
		r.P.Send(RecordSubject(r.P.run, area, unit, m.Kind), TypeRecord+m.Kind, Token(area)+"/"+Token(unit), e.T, m)
	}
}

// Record is the message of an event, with the area and unit of its subject: where
// the steel went for a move, the unit for what happens to one, else the works.
func (r *Records) Record(e *record.Event) (m *Record, area, unit string) {
	m = &Record{T: int64(e.T), Kind: e.Kind.String(), Mass: e.Mass, Piece: e.Piece, From: int16(e.From), To: int16(e.To), A: e.A, B: e.B, X: e.X, Y: e.Y, Z: e.Z}
	area, unit = "works", "works"
	name := func(list []string, i int32) string {
		if i >= 0 && int(i) < len(list) {
			return list[i]
		}
		return ""
	}
	place := func(at record.Place) *record.PlaceInfo {
		if at >= 0 && int(at) < len(r.Route.Places) {
			return &r.Route.Places[at]
		}
		return nil
	}
	if e.Kind == record.Move {
		if p := place(e.From); p != nil {
			m.FromPlace = p.Name
		}
		if p := place(e.To); p != nil {
			m.ToPlace = p.Name
			area, unit = p.Area, p.Name
		}
	} else if e.From >= 0 && int(e.From) < len(r.Route.Units) {
		u := &r.Route.Units[e.From]
		m.Unit, area, unit = u.Name, u.Area, u.Name
	}
	switch e.Kind {
	case record.State:
		m.State = name(flowStates, e.A)
	case record.Upset, record.Told, record.Over:
		m.Upset = name(r.Route.Upsets, e.A)
	case record.Ordered:
		m.Lever = name(r.Route.Levers, e.A)
	case record.Refused:
		m.Lever, m.Reason = name(r.Route.Levers, e.A), name(r.Route.Reasons, e.B)
	case record.Level:
		area, unit = "works", "fuel gas"
	}
	if r.Say != nil {
		m.Text = r.Say(e)
	}
	return m, area, unit
}

// flowStates are the words for the A of a State record, in its own order (that of
// sim/flow: the first that holds counts).
var flowStates = []string{"off shift", "maintenance", "down", "changeover", "blocked", "starved", "running", "slowed"}
