package bus

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/nats-io/nats.go"
)

// Client watches a run and sends commands to it; it works the same inside the
// program and outside. It is safe for concurrent use.
type Client struct {
	NC  *nats.Conn
	Run string
}

// ErrNoHost is the error of a request that nobody answers.
var ErrNoHost = errors.New("no drill of that name answers on the bus")

func (c *Client) request(ctx context.Context, subject string, body []byte) (*Envelope, error) {
	m, err := c.NC.RequestWithContext(ctx, subject, body)
	if errors.Is(err, nats.ErrNoResponders) {
		return nil, fmt.Errorf("%w (%s)", ErrNoHost, c.Run)
	}
	if err != nil {
		return nil, err
	}
	var e Envelope
	return &e, json.Unmarshal(m.Data, &e)
}

func (c *Client) ask(ctx context.Context, subject string, body []byte, to any) error {
	e, err := c.request(ctx, subject, body)
	if err != nil {
		return err
	}
	return json.Unmarshal(e.Data, to)
}

// Do sends a command.
func (c *Client) Do(ctx context.Context, cmd *Command) (*Reply, error) {
	body, err := json.Marshal(cmd)
	if err != nil {
		return nil, err
	}
	var r Reply
	return &r, c.ask(ctx, CommandSubject(c.Run), body, &r)
}

// Try asks what an order would do: a forecast, or a reply that says why it cannot be
// given.
func (c *Client) Try(ctx context.Context, cmd *Command) (*Forecast, *Reply, error) {
	body, err := json.Marshal(cmd)
	if err != nil {
		return nil, nil, err
	}
	e, err := c.request(ctx, TrySubject(c.Run), body)
	if err != nil {
		return nil, nil, err
	}
	if e.Type == TypeForecast {
		var f Forecast
		return &f, nil, json.Unmarshal(e.Data, &f)
	}
	var r Reply
	return nil, &r, json.Unmarshal(e.Data, &r)
}

// Snapshot asks for the whole picture for an audience, with so many hours of
// history by the minute (0: four).
func (c *Client) Snapshot(ctx context.Context, to Audience, hours float64) (*Snapshot, error) {
	body, err := json.Marshal(SnapshotRequest{Hours: hours})
	if err != nil {
		return nil, err
	}
	var s Snapshot
	return &s, c.ask(ctx, PageSubject(c.Run, to, WhatSnapshot), body, &s)
}

// Status asks how the drill's program does.
func (c *Client) Status(ctx context.Context) (*Status, error) {
	var s Status
	return &s, c.ask(ctx, StatusSubject(c.Run), nil, &s)
}

// Watch calls got for every message to an audience, in order, from one goroutine:
// what is the last part of the subject. Messages are lost when got is slow;
// their numbers (Head) show it.
func (c *Client) Watch(to Audience, got func(what string, e *Envelope)) (stop func(), err error) {
	prefix := PageSubject(c.Run, to, "")
	s, err := c.NC.Subscribe(prefix+"*", func(m *nats.Msg) {
		what := strings.TrimPrefix(m.Subject, prefix)
		if what == WhatSnapshot { // somebody's request
			return
		}
		var e Envelope
		if json.Unmarshal(m.Data, &e) == nil {
			got(what, &e)
		}
	})
	if err != nil {
		return nil, err
	}
	return func() { _ = s.Unsubscribe() }, nil
}
