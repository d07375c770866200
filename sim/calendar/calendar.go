package calendar

const (
	slotBits  = 20 // a million pending events
	seqBits   = 40 // 1.1e12 events a run
	slotMask  = 1<<slotBits - 1
	classShft = slotBits + seqBits
)

// Calendar is the set of pending events. The zero value is ready to use. It
// holds no pointer but its slices: CopyFrom makes an independent calendar.
type Calendar struct {
	now    Time
	seq    uint64
	heap   []node
	live   []uint64 // by slot: key of the node that is still wanted, 0 when none
	event  []Event  // by slot
	free   []uint32
	vacant bool // the root has left and nothing has filled its place yet
}

// Now returns the time of the event taken last.
func (c *Calendar) Now() Time { return c.now }

// Len returns the number of booked events that were not cancelled.
func (c *Calendar) Len() int {
	n := 0
	for _, k := range c.live {
		if k != 0 {
			n++
		}
	}
	return n
}

// Book schedules e at time t. A time before now is taken as now: nothing ever
// happens in the past. Never books nothing and returns the zero Handle.
func (c *Calendar) Book(t Time, class Class, e Event) Handle {
	if t == Never {
		return 0
	}
	if t < c.now {
		t = c.now
	}
	var slot uint32
	if n := len(c.free); n > 0 {
		slot = c.free[n-1]
		c.free = c.free[:n-1]
	} else {
		slot = uint32(len(c.live))
		c.live = append(c.live, 0)
		c.event = append(c.event, Event{})
	}
	c.seq++
	key := uint64(class)<<classShft | c.seq<<slotBits | uint64(slot)
	c.live[slot] = key
	c.event[slot] = e
	nd := node{t, key}
	if c.vacant {
		// The commonest case: the handler of an event books its successor,
		// which takes the vacant root in one pass.
		c.vacant = false
		siftDown(c.heap, nd)
		return Handle(key)
	}
	c.heap = append(c.heap, nd)
	siftUp(c.heap, len(c.heap)-1, nd)
	return Handle(key)
}

// Cancel withdraws a booked event. It reports whether the event was still
// pending; cancelling the zero Handle or a past event does nothing.
func (c *Calendar) Cancel(h Handle) bool {
	slot := uint64(h) & slotMask
	if h == 0 || c.live[slot] != uint64(h) {
		return false
	}
	c.live[slot] = 0 // the node is dropped when it surfaces
	return true
}

// Pending reports whether the event of h is still booked.
func (c *Calendar) Pending(h Handle) bool {
	return h != 0 && c.live[uint64(h)&slotMask] == uint64(h)
}

func (c *Calendar) fill() {
	if !c.vacant {
		return
	}
	c.vacant = false
	n := len(c.heap) - 1
	e := c.heap[n]
	c.heap = c.heap[:n]
	if n > 0 {
		siftDown(c.heap, e)
	}
}

// Peek returns the time of the next event, or Never.
func (c *Calendar) Peek() Time {
	c.fill()
	for len(c.heap) > 0 {
		top := c.heap[0]
		if c.live[top.key&slotMask] == top.key {
			return top.t
		}
		c.free = append(c.free, uint32(top.key&slotMask))
		c.vacant = true
		c.fill()
	}
	return Never
}

// Next takes the next event no later than until and moves the clock to it. When
// there is none the clock moves to until and ok is false; an until of Never
// leaves the clock at the last event.
func (c *Calendar) Next(until Time) (e Event, ok bool) {
	if t := c.Peek(); t > until || t == Never {
		if until > c.now && until != Never {
			c.now = until
		}
		return Event{}, false
	}
	top := c.heap[0]
	slot := uint32(top.key & slotMask)
	c.live[slot] = 0
	c.free = append(c.free, slot)
	c.now = top.t
	c.vacant = true
	return c.event[slot], true
}

// CopyFrom makes c an independent copy of o, reusing c's memory.
func (c *Calendar) CopyFrom(o *Calendar) {
	heap, live, event, free := c.heap[:0], c.live[:0], c.event[:0], c.free[:0]
	*c = *o
	c.heap = append(heap, o.heap...)
	c.live = append(live, o.live...)
	c.event = append(event, o.event...)
	c.free = append(free, o.free...)
}

// Check reports the first broken rule of the calendar's own structure, or "".
func (c *Calendar) Check() string {
	for i := 1; i < len(c.heap); i++ {
		if c.vacant && (i-1)>>2 == 0 {
			continue
		}
		if nodeLess(&c.heap[i], &c.heap[(i-1)>>2]) {
			return "calendar: a child comes before its parent"
		}
	}
	for i := range c.heap {
		if i == 0 && c.vacant {
			continue
		}
		if c.heap[i].t < c.now && c.live[c.heap[i].key&slotMask] == c.heap[i].key {
			return "calendar: a pending event lies in the past"
		}
	}
	return ""
}
