package viewer

import (
	"encoding/json"
	"net/http"
	"strconv"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"
)

// client is one open page.
type client struct {
	hub   *hub
	seat  Seat
	level *level
	conn  *websocket.Conn
	queue chan []byte // numbered messages
	notes chan []byte // answers and the like, without number
	wake  chan struct{}
	quit  chan struct{}
	looks atomic.Int32 // look-aheads under way
	owed  bool         // guarded by level.mu: it gets a snapshot next and nothing before
}

// where says what a page that comes back has seen.
func where(r *http.Request, hub string) (ep int, q uint64) {
	v := r.URL.Query()
	if v.Get("hub") != hub {
		return 0, 0
	}
	ep, err := strconv.Atoi(v.Get("ep"))
	if err != nil {
		return 0, 0
	}
	q, err = strconv.ParseUint(v.Get("q"), 10, 64)
	if err != nil {
		return 0, 0
	}
	return ep, q
}

// offer queues a numbered message; a page that cannot keep up gets a snapshot when
// its queue is empty. The level's lock is held.
func (c *client) offer(b []byte) {
	if c.owed {
		return
	}
	select {
	case c.queue <- b:
	default:
		c.owe()
	}
}

// owe makes the next thing the page gets a snapshot. The level's lock is held.
func (c *client) owe() {
	c.owed = true
	select {
	case c.wake <- struct{}{}:
	default:
	}
}

// note queues a message without number; one that finds no room is lost, like the
// answer to somebody who has gone.
func (c *client) note(b []byte) {
	select {
	case c.notes <- b:
	default:
	}
}

// write sends what is queued until the line ends.
func (c *client) write() {
	ping := time.NewTicker(pingEvery)
	defer ping.Stop()
	defer c.conn.Close()
	for {
		var err error
		select {
		case b := <-c.queue:
			err = c.put(b)
		case b := <-c.notes:
			err = c.put(b)
		case <-c.wake:
			for len(c.queue) > 0 && err == nil { // what is older than the snapshot
				err = c.put(<-c.queue)
			}
			for _, b := range c.level.catchUp(c) {
				if err == nil {
					err = c.put(b)
				}
			}
		case <-ping.C:
			err = c.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(writeLimit))
		case <-c.quit:
			return
		}
		if err != nil {
			return
		}
	}
}

func (c *client) put(b []byte) error {
	if err := c.conn.SetWriteDeadline(time.Now().Add(writeLimit)); err != nil {
		return err
	}
	return c.conn.WriteMessage(websocket.TextMessage, b)
}

// read takes what the page sends until the line ends.
func (c *client) read() {
	c.conn.SetReadLimit(readMost)
	alive := func(string) error { return c.conn.SetReadDeadline(time.Now().Add(silence)) }
	if alive("") != nil {
		return
	}
	c.conn.SetPongHandler(alive)
	for {
		kind, b, err := c.conn.ReadMessage()
		if err != nil || alive("") != nil {
			return
		}
		var u up
		if kind != websocket.TextMessage || json.Unmarshal(b, &u) != nil {
			c.refuse(&up{}, "message", "it cannot be read")
			continue
		}
		c.command(&u)
	}
}
