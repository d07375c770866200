package viewer

import (
	"encoding/json"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"

	"millrace/sim/bus"
)

const (
	queueSize  = 16
	writeLimit = 5 * time.Second
	pingEvery  = 20 * time.Second
	silence    = 60 * time.Second
	readMost   = 8 << 10
	tooOld     = 10 * time.Second

	statusEvery = 5 * time.Second
)

// hub joins pages and levels.
type hub struct {
	o      Options
	id     string
	watch  sync.Once
	closed atomic.Bool
	up     websocket.Upgrader
	levels map[bus.Audience]*level // by last audience: a player has one of its own

	mu   sync.Mutex
	here map[*client]bool
}

func newHub(o Options) *hub {
	h := &hub{o: o, id: NewKey()[:8], levels: map[bus.Audience]*level{}, here: map[*client]bool{}}
	h.up = websocket.Upgrader{
		ReadBufferSize: 1 << 10, WriteBufferSize: 4 << 10, WriteBufferPool: &sync.Pool{},
		CheckOrigin: sameOrigin,
	}
	for _, s := range o.Seats {
		if auds := bus.SeatAudiences(s.Role, s.Name); h.levels[auds[len(auds)-1]] == nil {
			h.levels[auds[len(auds)-1]] = newLevel(h, auds)
		}
	}
	return h
}

func (h *hub) level(s Seat) *level {
	auds := bus.SeatAudiences(s.Role, s.Name)
	return h.levels[auds[len(auds)-1]]
}

// close ends every page's line and the subscriptions.
func (h *hub) close() {
	h.closed.Store(true)
	h.mu.Lock()
	for c := range h.here {
		c.conn.Close()
	}
	h.mu.Unlock()
	for _, l := range h.levels {
		l.close()
	}
}

// serve runs one page's line until it ends.
func (h *hub) serve(w http.ResponseWriter, r *http.Request, seat Seat) {
	if h.closed.Load() {
		http.Error(w, "the server is going down", http.StatusServiceUnavailable)
		return
	}
	conn, err := h.up.Upgrade(w, r, nil)
	if err != nil { // Upgrade has answered
		return
	}
	c := &client{hub: h, seat: seat, conn: conn, level: h.level(seat),
		queue: make(chan []byte, queueSize), notes: make(chan []byte, queueSize), wake: make(chan struct{}, 1), quit: make(chan struct{})}
	hello := down{K: kHello, Hub: h.id, Role: seat.Role, Name: seat.Name}
	if c.put(hello.bytes()) != nil { // first of all, before the writer
		conn.Close()
		return
	}
	ep, q := where(r, h.id)
	if err := c.level.join(c, ep, q); err != nil {
		h.o.Fault(err)
		conn.Close()
		return
	}
	h.count(c, true)
	h.watch.Do(func() { go h.status() })
	go c.write()
	c.read()
	c.level.leave(c)
	h.count(c, false)
	close(c.quit)
	conn.Close()
}

// who is here, by role.
type who struct {
	Count map[bus.Role]int `json:"count"`
	Names []string         `json:"names"`
}

// count keeps who is here and tells staff.
func (h *hub) count(c *client, comes bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if comes {
		h.here[c] = true
	} else {
		delete(h.here, c)
	}
	w := who{Count: map[bus.Role]int{}, Names: []string{}}
	for o := range h.here {
		w.Count[o.seat.Role]++
	}
	for _, s := range h.o.Seats { // in the order of the seats
		for o := range h.here {
			if o.seat.Key == s.Key && s.Name != "" {
				w.Names = append(w.Names, s.Name)
				break
			}
		}
	}
	data, err := json.Marshal(w)
	if err != nil {
		return
	}
	d := down{K: kWho, D: data}
	b := d.bytes()
	for o := range h.here {
		if o.seat.Role == bus.Controller || o.seat.Role == bus.Evaluator {
			o.note(b)
		}
	}
}

// status asks the drill's program every few seconds how it does and tells staff;
// it ends with the connection to the bus.
func (h *hub) status() {
	tick := time.NewTicker(statusEvery)
	defer tick.Stop()
	for range tick.C {
		if h.closed.Load() || h.o.Conn.IsClosed() {
			return
		}
		staff := h.staff()
		if len(staff) == 0 {
			continue
		}
		r, err := h.o.Conn.Request(bus.StatusSubject(h.o.Run), nil, askTimeout)
		if err != nil { // pages see by themselves that news stop
			continue
		}
		var e bus.Envelope
		if json.Unmarshal(r.Data, &e) != nil {
			continue
		}
		d := down{K: kState, D: e.Data}
		for _, c := range staff {
			c.note(d.bytes())
		}
	}
}

func (h *hub) staff() []*client {
	h.mu.Lock()
	defer h.mu.Unlock()
	var out []*client
	for c := range h.here {
		if c.seat.Role == bus.Controller || c.seat.Role == bus.Evaluator {
			out = append(out, c)
		}
	}
	return out
}
