package files

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"

	"millrace/sim/calendar"
	"millrace/sim/measure"
	"millrace/sim/quantity"
	"millrace/sim/record"
)

// logFormat is the version of the event log's lines.
const logFormat = 1

// head is the first line of a log, tail its last: a log without tail was cut off.
type head struct {
	Format int           `json:"millrace_events"`
	Start  string        `json:"start"`
	Route  *record.Route `json:"route"`
}

type tail struct {
	End    *uint64 `json:"end"` // events
	Digest string  `json:"digest"`
}

// EventWriter writes events as lines of JSON, compressed with gzip: one line
// with the route, one an event, one with their number and digest. A line has the
// fields of record.Event by number (left out where they say nothing) and, for
// people, the clock time and the names of what the numbers mean.
type EventWriter struct {
	route  *record.Route
	zip    *gzip.Writer
	buf    *bufio.Writer
	line   []byte
	digest record.Digest
	err    error
	closed bool
}

// NewEventWriter begins a log. The route is only read.
func NewEventWriter(w io.Writer, route *record.Route) (*EventWriter, error) {
	if route == nil {
		return nil, errors.New("event log: there is no route")
	}
	z := gzip.NewWriter(w)
	e := &EventWriter{route: route, zip: z, buf: bufio.NewWriterSize(z, 1<<16)}
	first, err := json.Marshal(head{logFormat, quantity.Clock(route.Start).ISO(), route})
	if err != nil {
		return nil, fmt.Errorf("event log: %w", err)
	}
	e.write(append(first, '\n'))
	return e, e.err
}

func (e *EventWriter) write(b []byte) {
	if e.err == nil {
		if _, err := e.buf.Write(b); err != nil {
			e.err = fmt.Errorf("event log: %w", err)
		}
	}
}

// Put writes the events. An error is kept for Close.
func (e *EventWriter) Put(events []record.Event) {
	if e.closed {
		e.err = errors.New("event log: it is closed")
	}
	if e.err != nil {
		return
	}
	e.digest.Put(events)
	for i := range events {
		e.line = e.append(e.line[:0], &events[i])
		e.write(e.line)
	}
}

// Close writes the last line and returns the first error there was.
func (e *EventWriter) Close() error {
	if e.closed {
		return e.err
	}
	n := e.digest.Count()
	last, err := json.Marshal(tail{&n, e.digest.String()})
	if err != nil {
		return err
	}
	e.write(append(last, '\n'))
	e.closed = true
	if err := errors.Join(e.buf.Flush(), e.zip.Close()); err != nil && e.err == nil {
		e.err = fmt.Errorf("event log: %w", err)
	}
	return e.err
}

func (e *EventWriter) append(b []byte, v *record.Event) []byte {
	number := func(name string, n, unsaid int64) {
		if n != unsaid {
			b = append(b, `,"`...)
			b = append(b, name...)
			b = append(b, `":`...)
			b = strconv.AppendInt(b, n, 10)
		}
	}
	word := func(name string, words int, at int64, say func(int) string) {
		if at < 0 || at >= int64(words) {
			return
		}
		b = append(b, `,"`...)
		b = append(b, name...)
		b = append(b, `":`...)
		s, _ := json.Marshal(say(int(at)))
		b = append(b, s...)
	}
	r := e.route
	place := func(i int) string { return r.Places[i].Name }
	unit := func(i int) string { return r.Units[i].Name }
	of := func(s []string) func(int) string { return func(i int) string { return s[i] } }

	b = append(b, `{"t":`...)
	b = strconv.AppendInt(b, int64(v.T), 10)
	b = append(b, `,"at":"`...)
	b = append(b, (quantity.Clock(r.Start) + quantity.Clock(v.T)).ISO()...)
	b = append(b, `","kind":"`...)
	b = append(b, v.Kind.String()...)
	b = append(b, '"')
	number("mass", v.Mass, 0)
	number("piece", int64(v.Piece), -1)
	number("from", int64(v.From), int64(record.Nowhere))
	number("to", int64(v.To), int64(record.Nowhere))
	number("a", int64(v.A), 0)
	number("b", int64(v.B), 0)
	number("x", v.X, 0)
	number("y", v.Y, 0)
	number("z", v.Z, 0)
	switch v.Kind {
	case record.Move:
		word("from_place", len(r.Places), int64(v.From), place)
		word("to_place", len(r.Places), int64(v.To), place)
	case record.State:
		word("unit", len(r.Units), int64(v.From), unit)
		word("state", len(measure.States), int64(v.A), of(measure.States[:]))
	case record.Upset:
		word("unit", len(r.Units), int64(v.From), unit)
		word("upset", len(r.Upsets), int64(v.A), of(r.Upsets))
	case record.Ordered, record.Refused:
		word("lever", len(r.Levers), int64(v.A), of(r.Levers))
		if v.Kind == record.Refused {
			word("reason", len(r.Reasons), int64(v.B), of(r.Reasons))
		}
	}
	return append(b, "}\n"...)
}

// kinds are the kinds of event by their word.
var kinds = func() map[string]record.Kind {
	m := map[string]record.Kind{}
	for k := record.Kind(1); k.String() != "unknown"; k++ {
		m[k.String()] = k
	}
	return m
}()

// logged is a line as it is read.
type logged struct {
	T     *int64       `json:"t"`
	Kind  string       `json:"kind"`
	Mass  int64        `json:"mass"`
	Piece int32        `json:"piece"`
	From  record.Place `json:"from"`
	To    record.Place `json:"to"`
	A     int32        `json:"a"`
	B     int32        `json:"b"`
	X     int64        `json:"x"`
	Y     int64        `json:"y"`
	Z     int64        `json:"z"`
	tail
}

// longestLine bounds what is read as one line.
const longestLine = 4 << 20

// ReadEvents reads a log and hands the events to put, in order, in batches that
// are only lent. The events may have been handed over before a fault of the log
// is found: an error says that they are not to be used. It checks the number and
// digest at the log's end.
func ReadEvents(r io.Reader, put record.Sink) (*record.Route, error) {
	z, err := gzip.NewReader(r)
	if err != nil {
		return nil, fmt.Errorf("event log: %w", err)
	}
	defer z.Close()
	in := bufio.NewScanner(z)
	in.Buffer(make([]byte, 0, 1<<16), longestLine)
	if !in.Scan() {
		return nil, fmt.Errorf("event log: it has no first line: %w", errOr(in.Err()))
	}
	var h head
	if err := json.Unmarshal(in.Bytes(), &h); err != nil {
		return nil, fmt.Errorf("event log line 1: %w", err)
	}
	if h.Format != logFormat || h.Route == nil {
		return nil, fmt.Errorf("event log line 1: format %d is none this program reads (it reads %d)", h.Format, logFormat)
	}
	var digest record.Digest
	batch := make([]record.Event, 0, 256)
	flush := func() {
		digest.Put(batch)
		put.Put(batch)
		batch = batch[:0]
	}
	for n := 2; in.Scan(); n++ {
		l := logged{Piece: -1, From: record.Nowhere, To: record.Nowhere}
		d := json.NewDecoder(bytes.NewReader(in.Bytes()))
		if err := d.Decode(&l); err != nil {
			return nil, fmt.Errorf("event log line %d: %w", n, err)
		}
		if l.End != nil {
			flush()
			if *l.End != digest.Count() || l.Digest != digest.String() {
				return nil, fmt.Errorf("event log: %d events with digest %s were written, %d with %s are read; the log was changed", *l.End, l.Digest, digest.Count(), digest.String())
			}
			if in.Scan() {
				return nil, fmt.Errorf("event log: there are lines behind its end")
			}
			return h.Route, in.Err()
		}
		k, ok := kinds[l.Kind]
		if !ok || l.T == nil {
			return nil, fmt.Errorf("event log line %d: no event of kind %q", n, l.Kind)
		}
		batch = append(batch, record.Event{T: calendar.Time(*l.T), Kind: k, Mass: l.Mass, Piece: l.Piece, From: l.From, To: l.To, A: l.A, B: l.B, X: l.X, Y: l.Y, Z: l.Z})
		if len(batch) == cap(batch) {
			flush()
		}
	}
	return nil, fmt.Errorf("event log: it is cut off: %w", errOr(in.Err()))
}

func errOr(err error) error {
	if err == nil {
		return io.ErrUnexpectedEOF
	}
	return err
}
