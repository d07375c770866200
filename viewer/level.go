package viewer

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go"

	"millrace/sim/bus"
)

const (
	ringSize    = 2400 // messages kept for pages that come back: two minutes at 20/s
	replayMost  = 400  // above that a new page gets a new snapshot in place of a replay
	askAgain    = time.Second
	askTimeout  = 4 * time.Second
	historyHour = 12
)

// item is one numbered message, ready to be sent.
type item struct {
	q     uint64
	at    time.Time
	bytes []byte
}

// level is what one set of audiences sees: the last snapshot of its highest
// audience and what came since. All fields are guarded by mu; the lock is never
// held while waiting for the bus or for a page.
type level struct {
	hub  *hub
	auds []bus.Audience
	top  bus.Audience

	mu      sync.Mutex
	started bool
	clients map[*client]bool
	ep      int // of the bus
	q       uint64
	seen    map[bus.Audience]uint64 // last number of each audience in this epoch
	snap    json.RawMessage         // nil until the first
	snapQ   uint64                  // the number the snapshot stands at
	ring    []item                  // items snapQ+1.. and older ones, ascending
	news    time.Time               // when the bus last said anything
	asking  bool
	asked   time.Time
	await   []held // what came while the snapshot was on its way
	subs    []*nats.Subscription
}

// held is a message that waits for the snapshot.
type held struct {
	aud  bus.Audience
	what string
	h    head
	data json.RawMessage
}

func (l *level) fault(format string, a ...any) { l.hub.o.Fault(fmt.Errorf(format, a...)) }

// start subscribes and asks for the first snapshot.
func (l *level) start() error {
	for _, a := range l.auds {
		sub, err := l.hub.o.Conn.Subscribe(bus.PageSubject(l.hub.o.Run, a, "*"), func(m *nats.Msg) { l.take(a, m) })
		if err != nil {
			return fmt.Errorf("viewer: %w", err)
		}
		l.subs = append(l.subs, sub)
	}
	return nil
}

// take is called by the bus with a message of one audience.
func (l *level) take(a bus.Audience, m *nats.Msg) {
	what := m.Subject[strings.LastIndexByte(m.Subject, '.')+1:]
	if what == bus.WhatSnapshot { // a request of somebody else
		return
	}
	var e bus.Envelope
	var h head
	if err := json.Unmarshal(m.Data, &e); err != nil {
		l.fault("viewer: message on %s cannot be read: %v", m.Subject, err)
		return
	}
	if err := json.Unmarshal(e.Data, &h); err != nil {
		l.fault("viewer: data on %s cannot be read: %v", m.Subject, err)
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.news = time.Now()
	if l.asking || l.snap == nil {
		l.await = append(l.await, held{a, what, h, e.Data})
		if len(l.await) > ringSize {
			l.await = l.await[1:]
		}
		l.ask()
		return
	}
	l.put(held{a, what, h, e.Data})
}

// put passes a message on, or asks for a snapshot when one was lost. The lock is
// held.
func (l *level) put(m held) {
	switch {
	case m.h.Epoch < l.ep:
		return
	case m.h.Epoch > l.ep:
		if m.what != bus.WhatCut { // the cut itself was lost
			m.what, m.data = bus.WhatCut, json.RawMessage(`{"why":"time was set back"}`)
		}
		l.cut(m)
		return
	case m.what == bus.WhatCut:
		l.seen[m.aud] = m.h.Q
		return
	}
	last, known := l.seen[m.aud]
	if known && m.h.Q <= last {
		return
	}
	if known && m.h.Q > last+1 {
		l.fault("viewer: %d messages to %s were lost", m.h.Q-last-1, m.aud)
		l.seen[m.aud] = m.h.Q
		l.snap = nil
		l.await = append(l.await, m)
		l.ask()
		return
	}
	l.seen[m.aud] = m.h.Q
	l.send(m.what, m.aud, m.data)
}

// send numbers a message and gives it to every page. The lock is held.
func (l *level) send(what string, a bus.Audience, data json.RawMessage) {
	l.q++
	d := down{K: what, A: a, Ep: l.ep, Q: l.q, D: data}
	it := item{l.q, time.Now(), d.bytes()}
	if len(l.ring) >= ringSize {
		l.ring = append(l.ring[:0], l.ring[ringSize/4:]...)
	}
	l.ring = append(l.ring, it)
	for c := range l.clients {
		c.offer(it.bytes)
	}
}

// cut drops everything: a new epoch has begun. The lock is held.
func (l *level) cut(m held) {
	l.ep = m.h.Epoch
	l.q = 0
	l.ring = nil
	l.snap = nil
	l.await = nil
	l.seen = map[bus.Audience]uint64{m.aud: m.h.Q}
	d := down{K: bus.WhatCut, Ep: l.ep, D: m.data}
	for c := range l.clients {
		c.offer(d.bytes())
	}
	l.asked = time.Time{}
	l.ask()
}

// ask asks for a snapshot, once at a time and not too often. The lock is held.
func (l *level) ask() {
	if l.asking || time.Since(l.asked) < askAgain {
		return
	}
	l.asking, l.asked = true, time.Now()
	go l.fetch()
}

// fetch gets a snapshot and puts what came meanwhile behind it.
func (l *level) fetch() {
	data, s, err := l.request()
	l.mu.Lock()
	defer l.mu.Unlock()
	l.asking = false
	if err != nil {
		why := "the drill does not answer: " + err.Error()
		if errors.Is(err, nats.ErrNoResponders) {
			why = "the drill has not begun, or its program is not there"
		}
		l.fault("viewer: snapshot: %v", err)
		d := down{K: kWait, Why: why}
		if l.snap == nil {
			for c := range l.clients {
				c.offer(d.bytes())
			}
		}
		return
	}
	if s.Epoch < l.ep {
		l.asked = time.Time{}
		l.ask()
		return
	}
	if s.Epoch > l.ep {
		l.ep, l.q, l.ring = s.Epoch, 0, nil
		l.seen = map[bus.Audience]uint64{}
	}
	renew := l.snap == nil // pages have nothing to go on from
	l.snap = data
	l.seen[l.top] = max(s.Q, 0)
	l.q++ // a number of its own, so that no page takes it for what it had
	l.snapQ = l.q
	l.ring = append(l.ring, item{q: l.q, at: time.Now()}) // no bytes: cannot be replayed
	l.news = time.Now()
	waiting := l.await
	l.await = nil
	for c := range l.clients {
		if renew || c.owed() {
			c.owe()
		} else {
			c.skip()
		}
	}
	for _, m := range waiting {
		if l.snap == nil {
			l.await = append(l.await, m)
			continue
		}
		l.put(m)
	}
}

// request is the round trip to the drill.
func (l *level) request() (json.RawMessage, *bus.Snapshot, error) {
	ask, _ := json.Marshal(bus.SnapshotRequest{Hours: historyHour})
	r, err := l.hub.o.Conn.Request(bus.PageSubject(l.hub.o.Run, l.top, bus.WhatSnapshot), ask, askTimeout)
	if err != nil {
		return nil, nil, err
	}
	var e bus.Envelope
	if err := json.Unmarshal(r.Data, &e); err != nil {
		return nil, nil, err
	}
	var s bus.Snapshot
	if err := json.Unmarshal(e.Data, &s); err != nil {
		return nil, nil, err
	}
	return e.Data, &s, nil
}
