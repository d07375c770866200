package viewer

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go"

	"millrace/sim/bus"
)

const (
	ringSize    = 2400 // messages kept for pages that come back: two minutes at 20/s
	replayMost  = 400  // above that a new snapshot is cheaper than a replay
	askAgain    = time.Second
	askTimeout  = 4 * time.Second
	historyHour = 12
)

// item is one numbered message, ready to be sent; busQ is its number on the bus.
type item struct {
	q, busQ uint64
	aud     bus.Audience
	at      time.Time
	bytes   []byte
}

// message is what came from the bus.
type message struct {
	aud  bus.Audience
	what string
	head head
	data json.RawMessage
}

// level is what one set of audiences sees: the last snapshot of its highest
// audience and the messages since. All fields are guarded by mu, and so is the
// owed flag of its clients; the lock is never held while waiting for the bus or
// for a page.
//
// A snapshot may contain some of the messages sent behind it; pages take them
// twice without harm (an update older than the picture is ignored, everything else
// has a name).
type level struct {
	hub  *hub
	auds []bus.Audience
	top  bus.Audience

	mu      sync.Mutex
	begun   bool
	subs    []*nats.Subscription
	clients map[*client]bool
	ep      int                     // of the bus
	q       uint64                  // last number given out
	seen    map[bus.Audience]uint64 // last number of each audience in this epoch
	snap    json.RawMessage         // nil: none that can be used
	snapQ   uint64                  // everything up to this number is in snap
	ring    []item                  // ascending without gaps, the last is q
	news    time.Time               // when the bus last said anything
	asking  bool
	asked   time.Time
	await   []message // what came while there was no snapshot
}

func newLevel(h *hub, auds []bus.Audience) *level {
	return &level{hub: h, auds: auds, top: auds[len(auds)-1], clients: map[*client]bool{}, seen: map[bus.Audience]uint64{}}
}

func (l *level) fault(format string, a ...any) { l.hub.o.Fault(fmt.Errorf("viewer: "+format, a...)) }

// join adds a page, which may say where it stands, and subscribes for the first.
func (l *level) join(c *client, ep int, q uint64) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.begun {
		for _, a := range l.auds {
			sub, err := l.hub.o.Conn.Subscribe(bus.PageSubject(l.hub.o.Run, a, "*"), func(m *nats.Msg) { l.take(a, m) })
			if err != nil {
				return fmt.Errorf("viewer: %w", err)
			}
			l.subs = append(l.subs, sub)
		}
		if err := l.hub.o.Conn.Flush(); err != nil {
			return fmt.Errorf("viewer: %w", err)
		}
		l.begun = true
	}
	l.clients[c] = true
	if missed, ok := l.after(q); ok && l.snap != nil && ep == l.ep && q > 0 && len(missed) < queueSize {
		for _, it := range missed {
			c.offer(it.bytes)
		}
		return nil
	}
	c.owe()
	if l.snap == nil {
		l.ask()
	}
	return nil
}

// close ends the subscriptions.
func (l *level) close() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, s := range l.subs {
		_ = s.Unsubscribe() // fails only when the connection has gone
	}
	l.subs = nil
}

func (l *level) leave(c *client) {
	l.mu.Lock()
	delete(l.clients, c)
	l.mu.Unlock()
}

// after returns the messages behind number q, ok false when some are gone.
func (l *level) after(q uint64) (_ []item, ok bool) {
	switch {
	case q > l.q:
		return nil, false
	case q == l.q:
		return nil, true
	case len(l.ring) == 0 || q+1 < l.ring[0].q:
		return nil, false
	}
	return l.ring[q+1-l.ring[0].q:], true
}

// catchUp returns what brings a page that is owed a picture up to now, and marks it
// as served; nil when it must wait for a snapshot that has been asked for.
func (l *level) catchUp(c *client) [][]byte {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !c.owed {
		return nil
	}
	missed, ok := l.after(l.snapQ)
	if l.snap == nil || !ok || len(missed) > replayMost {
		l.ask()
		return nil
	}
	d := down{K: kSnap, Ep: l.ep, Q: l.snapQ, Age: time.Since(l.news).Milliseconds(), D: l.snap}
	out := [][]byte{d.bytes()}
	for _, it := range missed {
		out = append(out, it.bytes)
	}
	c.owed = false
	return out
}

// standing says whether a page that has seen message q of epoch ep looks at what
// is; why not otherwise.
func (l *level) standing(ep int, q uint64) (why string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if ep != l.ep {
		return "time was set back since; look again"
	}
	old := time.Since(l.news)
	if missed, ok := l.after(q); !ok {
		return "what you see is old; nothing was done"
	} else if len(missed) > 0 {
		old = time.Since(missed[0].at)
	}
	if old > tooOld {
		return fmt.Sprintf("what you see is %.0f s old; nothing was done", old.Seconds())
	}
	return ""
}

// take is called by the bus with a message of one audience.
func (l *level) take(a bus.Audience, m *nats.Msg) {
	what := m.Subject[strings.LastIndexByte(m.Subject, '.')+1:]
	if what == bus.WhatSnapshot { // somebody's request
		return
	}
	var e bus.Envelope
	var h head
	if err := json.Unmarshal(m.Data, &e); err != nil {
		l.fault("a message on %s cannot be read: %v", m.Subject, err)
		return
	}
	if err := json.Unmarshal(e.Data, &h); err != nil {
		l.fault("the data of a message on %s cannot be read: %v", m.Subject, err)
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.news = time.Now()
	msg := message{a, what, h, e.Data}
	if l.snap == nil {
		l.hold(msg)
		return
	}
	l.put(msg)
}

// hold keeps a message until there is a snapshot to put it behind.
func (l *level) hold(m message) {
	if len(l.await) >= ringSize {
		l.await = l.await[1:]
	}
	l.await = append(l.await, m)
	l.ask()
}

// put passes a message on, or asks for a snapshot when one before it was lost.
func (l *level) put(m message) {
	if m.head.Epoch < l.ep {
		return
	}
	if m.head.Epoch > l.ep {
		l.cut(m)
		return
	}
	last, known := l.seen[m.aud]
	if known && m.head.Q <= last {
		return
	}
	l.seen[m.aud] = m.head.Q
	if known && m.head.Q > last+1 {
		l.fault("%d messages to %s were lost", m.head.Q-last-1, m.aud)
		l.snap = nil
		l.hold(m)
		return
	}
	if m.what == bus.WhatCut { // of another audience; everybody knows
		return
	}
	l.send(m)
}

// send numbers a message and gives it to every page.
func (l *level) send(m message) {
	l.q++
	d := down{K: m.what, A: m.aud, Ep: l.ep, Q: l.q, D: m.data}
	it := item{q: l.q, busQ: m.head.Q, aud: m.aud, at: time.Now(), bytes: d.bytes()}
	if len(l.ring) >= ringSize {
		l.ring = append(l.ring[:0], l.ring[ringSize/4:]...)
	}
	l.ring = append(l.ring, it)
	for c := range l.clients {
		c.offer(it.bytes)
	}
}

// cut drops everything, for a new epoch has begun: with a cut, or with any message
// where the cut was lost.
func (l *level) cut(m message) {
	l.ep, l.q, l.snapQ = m.head.Epoch, 0, 0
	l.ring, l.snap, l.await = nil, nil, nil
	l.seen = map[bus.Audience]uint64{}
	d := down{K: bus.WhatCut, Ep: l.ep}
	if m.what == bus.WhatCut {
		d.D = m.data
	} else {
		l.hold(m)
	}
	b := d.bytes()
	for c := range l.clients {
		c.offer(b)
		c.owe()
	}
	l.asked = time.Time{}
	l.ask()
}

// ask asks for a snapshot: one at a time, and not too often.
func (l *level) ask() {
	if l.asking || l.hub.closed.Load() || l.hub.o.Conn.IsClosed() {
		return
	}
	l.asking = true
	pause := askAgain - time.Since(l.asked)
	l.asked = time.Now().Add(max(pause, 0))
	time.AfterFunc(max(pause, 0), l.fetch)
}

// fetch gets a snapshot and puts behind it what came meanwhile.
func (l *level) fetch() {
	data, s, err := l.request()
	l.mu.Lock()
	defer l.mu.Unlock()
	l.asking = false
	if l.hub.closed.Load() {
		return
	}
	if err != nil {
		l.failed(err)
		return
	}
	switch {
	case s.Epoch < l.ep: // it was on its way when time was set back
		l.asked = time.Time{}
		l.ask()
		return
	case s.Epoch > l.ep:
		l.ep, l.q, l.ring, l.snap = s.Epoch, 0, nil, nil
		l.seen = map[bus.Audience]uint64{}
	}
	renew := l.snap == nil // every page needs it, not only those that wait
	l.snap, l.snapQ, l.news = data, l.q, time.Now()
	if renew {
		l.seen = s.Qs
	} else {
		for i := range l.ring { // the first that the snapshot does not contain
			if it := &l.ring[i]; it.busQ > s.Qs[it.aud] {
				l.snapQ = it.q - 1
				break
			}
		}
	}
	for c := range l.clients {
		if renew || c.owed {
			c.owe()
		}
	}
	waiting := l.await
	l.await = nil
	for i, m := range waiting {
		if l.snap == nil { // one of them tells of a loss
			l.await = append(l.await, waiting[i:]...)
			break
		}
		l.put(m)
	}
}

// failed tells waiting pages why there is nothing to see, and tries again while
// there are any.
func (l *level) failed(err error) {
	l.fault("snapshot: %v", err)
	if l.snap != nil {
		return
	}
	d := down{K: kWait, Why: "The drill does not answer; it may not have begun. Trying again."}
	for c := range l.clients {
		c.note(d.bytes())
	}
	if len(l.clients) > 0 {
		l.ask()
	}
}

// stand is where a snapshot stands.
type stand struct {
	Epoch int                     `json:"ep"`
	Q     uint64                  `json:"q"`
	Qs    map[bus.Audience]uint64 `json:"qs"`
}

// request is the round trip to the drill.
func (l *level) request() (json.RawMessage, *stand, error) {
	ask, err := json.Marshal(bus.SnapshotRequest{Hours: historyHour})
	if err != nil {
		return nil, nil, err
	}
	r, err := l.hub.o.Conn.Request(bus.PageSubject(l.hub.o.Run, l.top, bus.WhatSnapshot), ask, askTimeout)
	if err != nil {
		return nil, nil, err
	}
	var e bus.Envelope
	if err := json.Unmarshal(r.Data, &e); err != nil {
		return nil, nil, err
	}
	if e.Type != bus.TypeSnapshot {
		return nil, nil, fmt.Errorf("the answer is a %q", e.Type)
	}
	s := stand{Qs: map[bus.Audience]uint64{}}
	if err := json.Unmarshal(e.Data, &s); err != nil {
		return nil, nil, err
	}
	if s.Qs == nil {
		s.Qs = map[bus.Audience]uint64{}
	}
	s.Qs[l.top] = max(s.Qs[l.top], s.Q)
	return e.Data, &s, nil
}
