package calendar

const (
	slotBits  = 20
	seqBits   = 40 // 1.1e12 events a run
	slotMask  = 1<<slotBits - 1
	classShft = slotBits + seqBits

	// MaxPending is the largest number of events that can be booked at a time.
	MaxPending = 1 << slotBits
)

// Calendar is the set of pending events. The zero value is ready to use. It
// holds no pointer but its slices: CopyFrom makes an independent calendar.
type Calendar struct {
	now    Time
	seq    uint64
	tree   []node  // see rise; the leaf of slot s is len(event)+s
	event  []Event // by slot, as many as there are leaves
	free   []uint32
	used   uint32 // slots that have ever held an event
	vacant uint32 // one above the slot whose event was taken last, until it is filled; 0: none
	lost   bool   // an event beyond MaxPending was refused
}

// Now returns the time of the event taken last.
func (c *Calendar) Now() Time { return c.now }

// Len returns the number of booked events that were not cancelled.
func (c *Calendar) Len() int {
	n := int(c.used) - len(c.free)
	if c.vacant != 0 {
		n--
	}
	return n
}

// Book schedules e at time t. A time before now is taken as now: nothing ever
// happens in the past. Never books nothing and returns the zero Handle; so does
// an event beyond MaxPending, which Check reports from then on.
func (c *Calendar) Book(t Time, class Class, e Event) Handle {
	if t == Never {
		return 0
	}
	if t < c.now {
		t = c.now
	}
	var slot uint32
	switch {
	case c.vacant != 0:
		// The commonest case: the handler of an event books its successor, which
		// takes the leaf that has just been left; one pass serves both.
		slot = c.vacant - 1
		c.vacant = 0
	case len(c.free) > 0:
		slot = c.free[len(c.free)-1]
		c.free = c.free[:len(c.free)-1]
	default:
		if c.used == MaxPending {
			c.lost = true
			return 0
		}
		slot = c.used
		if c.used++; int(slot) >= len(c.event) {
			c.grow()
		}
	}
	c.seq++
	key := uint64(class)<<classShft | c.seq<<slotBits | uint64(slot)
	c.event[slot] = e
	rise(c.tree, uint(len(c.event))+uint(slot), node{t, key})
	return Handle(key)
}

// Again books the event taken last once more, after a delay: that of a unit which
// goes on with its next piece, or of the next arrival. It is Book for an event that
// stands in its place still and need not be handed over nor stored. A delay below
// zero counts as none; Never, or one that leads beyond it, books nothing and
// returns the zero Handle. Again does nothing and ok is false when the place has gone
// to an event that was booked since: then Book it.
func (c *Calendar) Again(delay Time, class Class) (h Handle, ok bool) {
	if c.vacant == 0 {
		return 0, false
	}
	t := c.now + max(delay, 0)
	if uint64(t) >= uint64(Never) { // the sum may have overflown
		return 0, true
	}
	slot := c.vacant - 1
	c.vacant = 0
	c.seq++
	key := uint64(class)<<classShft | c.seq<<slotBits | uint64(slot)
	rise(c.tree, uint(len(c.event))+uint(slot), node{t, key})
	return Handle(key), true
}

// leaf returns the place in the tree of the event of h, 0 when it is not
// pending.
func (c *Calendar) leaf(h Handle) uint {
	slot := uint(h) & slotMask
	i := uint(len(c.event)) + slot
	if h == 0 || i >= uint(len(c.tree)) || c.tree[i].key != uint64(h) || slot+1 == uint(c.vacant) {
		return 0
	}
	return i
}

// Cancel withdraws a booked event. It reports whether the event was still
// pending; cancelling the zero Handle or a past event does nothing.
func (c *Calendar) Cancel(h Handle) bool {
	i := c.leaf(h)
	if i == 0 {
		return false
	}
	c.free = append(c.free, uint32(h&slotMask))
	rise(c.tree, i, nothing)
	return true
}

// Pending reports whether the event of h is still booked.
func (c *Calendar) Pending(h Handle) bool { return c.leaf(h) != 0 }

// fill empties the leaf that was left by the event taken last.
func (c *Calendar) fill() {
	slot := c.vacant - 1
	c.vacant = 0
	c.free = append(c.free, slot)
	rise(c.tree, uint(len(c.event))+uint(slot), nothing)
}

// Peek returns the time of the next event, or Never.
func (c *Calendar) Peek() Time {
	if c.vacant != 0 {
		c.fill()
	}
	if len(c.tree) == 0 {
		return Never
	}
	return c.tree[1].t
}

// Next takes the next event no later than until and moves the clock to it. When
// there is none the clock moves to until and ok is false; an until of Never
// leaves the clock at the last event.
func (c *Calendar) Next(until Time) (e Event, ok bool) {
	if c.vacant != 0 {
		c.fill()
	}
	if len(c.tree) < 2 || c.tree[1].t > until || c.tree[1].t == Never {
		if until > c.now && until != Never {
			c.now = until
		}
		return Event{}, false
	}
	top := c.tree[1]
	slot := uint32(top.key & slotMask)
	c.now = top.t
	c.vacant = slot + 1 // its leaf, and the matches it has won, stay until they are filled
	return c.event[slot], true
}

// CopyFrom makes c an independent copy of o, reusing c's memory.
func (c *Calendar) CopyFrom(o *Calendar) {
	tree, event, free := c.tree[:0], c.event[:0], c.free[:0]
	*c = *o
	c.tree = append(tree, o.tree...)
	c.event = append(event, o.event...)
	c.free = append(free, o.free...)
}

// Refused reports whether an event was ever refused because MaxPending were
// booked already.
func (c *Calendar) Refused() bool { return c.lost }

// Check reports the first broken rule of the calendar's own structure, or "".
func (c *Calendar) Check() string {
	if c.lost {
		return "calendar: an event was refused, there were MaxPending already"
	}
	leaves := uint(len(c.event))
	stale := uint(0) // on the way up from the leaf that is still to be filled
	if c.vacant != 0 {
		stale = leaves + uint(c.vacant-1)
	}
	count := 0
	for i := uint(len(c.tree)) - 1; i >= 1 && i < uint(len(c.tree)); i-- {
		if i >= leaves {
			if c.tree[i] == nothing || i == stale {
				continue
			}
			count++
			if c.tree[i].t < c.now {
				return "calendar: a pending event lies in the past"
			}
			continue
		}
		onTheWay := false
		for k := stale; k > i; {
			k >>= 1
			onTheWay = k == i
		}
		if !onTheWay && c.tree[i] != earlier(c.tree[2*i], c.tree[2*i+1]) {
			return "calendar: a node is not the earlier of its children"
		}
	}
	if count != c.Len() {
		return "calendar: events were lost or counted twice"
	}
	return ""
}
