package bus

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"millrace/sim/calendar"
)

// Actions is the stream of a run's actions: the record of the run.
type Actions struct {
	js     jetstream.JetStream
	stream jetstream.Stream
	pub    *Publisher
	last   uint64 // sequence in the stream
	seq    uint64 // of the last action
}

// within is how long one call to the stream may take.
const within = 10 * time.Second

// OpenActions opens the stream of the publisher's run, and makes it when there is
// none.
func OpenActions(b *Bus, p *Publisher) (*Actions, error) {
	js, err := jetstream.New(b.Conn)
	if err != nil {
		return nil, fmt.Errorf("bus: %w", err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	s, err := js.CreateOrUpdateStream(ctx, jetstream.StreamConfig{
		Name: ActionStream(p.run), Description: "actions of a millrace run; they rebuild it", Subjects: []string{ActionSubject(p.run, "*")},
		Storage: jetstream.FileStorage, Retention: jetstream.LimitsPolicy, Discard: jetstream.DiscardNew, Duplicates: time.Hour,
	})
	if err != nil {
		return nil, fmt.Errorf("the stream of actions cannot be opened (does the bus have JetStream?): %w", err)
	}
	return &Actions{js: js, stream: s, pub: p}, nil
}

// Load reads all actions, in order. After it Append goes on behind the last.
func (a *Actions) Load() ([]Action, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 6*within)
	defer cancel()
	info, err := a.stream.Info(ctx)
	if err != nil {
		return nil, fmt.Errorf("the stream of actions: %w", err)
	}
	a.last, a.seq = info.State.LastSeq, 0
	if info.State.Msgs == 0 {
		return nil, nil
	}
	c, err := a.js.OrderedConsumer(ctx, ActionStream(a.pub.run), jetstream.OrderedConsumerConfig{DeliverPolicy: jetstream.DeliverAllPolicy})
	if err != nil {
		return nil, fmt.Errorf("the stream of actions: %w", err)
	}
	var out []Action
	for n := uint64(0); n < info.State.Msgs; {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("the stream of actions was not read to its end: %w", err)
		}
		batch, err := c.Fetch(int(min(info.State.Msgs-n, 1000)), jetstream.FetchMaxWait(time.Second))
		if err != nil {
			return nil, fmt.Errorf("the stream of actions: %w", err)
		}
		for m := range batch.Messages() {
			n++
			var e Envelope
			var one Action
			if err := json.Unmarshal(m.Data(), &e); err != nil {
				return nil, fmt.Errorf("action %d is no message of millrace: %w", n, err)
			}
			if err := json.Unmarshal(e.Data, &one); err != nil {
				return nil, fmt.Errorf("action %d: %w", n, err)
			}
			if one.Seq != a.seq+1 {
				return nil, fmt.Errorf("action %d is missing: number %d follows %d", a.seq+1, one.Seq, a.seq)
			}
			a.seq = one.Seq
			out = append(out, one)
		}
		if err := batch.Error(); err != nil && !errors.Is(err, nats.ErrTimeout) {
			return nil, fmt.Errorf("the stream of actions: %w", err)
		}
	}
	return out, nil
}

// Append writes the action, numbers it and returns when the stream has it. Only
// what was appended has happened. When somebody else has written to the stream it
// fails: a run has one host.
func (a *Actions) Append(x *Action) error {
	x.Seq = a.seq + 1
	body, err := a.pub.Wrap(TypeAction+x.Kind, "", calendar.Time(x.T), x)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	ack, err := a.js.PublishMsg(ctx, &nats.Msg{Subject: ActionSubject(a.pub.run, x.Kind), Data: body},
		jetstream.WithMsgID(a.pub.run+"/"+strconv.FormatUint(x.Seq, 10)), jetstream.WithExpectLastSequence(a.last))
	var api *jetstream.APIError
	switch {
	case errors.As(err, &api) && api.ErrorCode == jetstream.JSErrCodeStreamWrongLastSequence:
		return fmt.Errorf("another program has written to run %s; end one of the two", a.pub.run)
	case err != nil:
		return fmt.Errorf("the action could not be kept: %w", err)
	}
	a.last, a.seq = ack.Sequence, x.Seq
	return nil
}
