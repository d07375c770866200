package bus

import (
	"encoding/json"
	"strings"

	"github.com/nats-io/nats.go"

	"millrace/sim/calendar"
)

// Host answers for a run. Its methods are called from goroutines of the bus, each
// method from one of its own for each subject.
type Host interface {
	Command(c *Command) *Reply
	Snapshot(to Audience, q *SnapshotRequest) *Snapshot
	// Try looks ahead as if the order had been given now; the reply says why not.
	Try(c *Command) (*Forecast, *Reply)
	Status() *Status
}

// Serve answers requests for a run until stop is called. Replies have a publisher
// of their own, since p belongs to the run's goroutine.
func Serve(b *Bus, p *Publisher, h Host) (stop func(), err error) {
	var subs []*nats.Subscription
	stop = func() {
		for _, s := range subs {
			_ = s.Unsubscribe()
		}
	}
	serve := func(subject string, answer func(out *Publisher, subject string, body []byte) (kind string, t float64, data any)) error {
		out := *p // each handler runs in one goroutine
		out.born += "r" + Token(subject)
		s, err := b.Conn.Subscribe(subject, func(m *nats.Msg) {
			if m.Reply == "" {
				return
			}
			kind, t, data := answer(&out, m.Subject, m.Data)
			body, err := out.Wrap(kind, "", calendar.Dur(t), data)
			if err == nil {
				err = m.Respond(body)
			}
			b.Faults.Add("answering "+kind, err)
		})
		if err == nil {
			subs = append(subs, s)
		}
		return err
	}
	err = serve(CommandSubject(p.run), func(_ *Publisher, _ string, body []byte) (string, float64, any) {
		var c Command
		if err := json.Unmarshal(body, &c); err != nil {
			return TypeReply, 0, &Reply{Why: "the command could not be read: " + err.Error()}
		}
		r := h.Command(&c)
		return TypeReply, r.T, r
	})
	if err == nil {
		err = serve(TrySubject(p.run), func(_ *Publisher, _ string, body []byte) (string, float64, any) {
			var c Command
			if err := json.Unmarshal(body, &c); err != nil {
				return TypeReply, 0, &Reply{Why: "the question could not be read: " + err.Error()}
			}
			f, r := h.Try(&c)
			if f == nil {
				return TypeReply, r.T, r
			}
			return TypeForecast, f.T, f
		})
	}
	if err == nil { // of every audience, players' own too
		err = serve(PageSubject(p.run, "*", WhatSnapshot), func(_ *Publisher, subject string, body []byte) (string, float64, any) {
			var q SnapshotRequest
			if len(body) > 0 {
				if err := json.Unmarshal(body, &q); err != nil {
					q = SnapshotRequest{}
				}
			}
			parts := strings.Split(subject, ".")
			s := h.Snapshot(Audience(parts[len(parts)-2]), &q)
			return TypeSnapshot, s.T, s
		})
	}
	if err == nil {
		err = serve(StatusSubject(p.run), func(*Publisher, string, []byte) (string, float64, any) {
			s := h.Status()
			return TypeStatus, s.T, s
		})
	}
	if err != nil {
		stop()
		return nil, err
	}
	return stop, b.Conn.Flush()
}
