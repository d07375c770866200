package drill

import (
	"slices"
	"strconv"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/works"
)

const notYet = "not yet known why"

// generalCaution stands until people know what has happened.
const generalCaution = "Nobody goes near before it is known what happened: headcount first, isolate and lock out, prove it. Site rules, local codes, licensed practice decide."

// call is one cause with its effects, as everybody sees it and as staff do.
type call struct {
	upset       int
	page, staff bus.Call
	changed     int // rises when a page must hear of it
	sent        int
}

// lookAtCalls raises a call for every new cause and folds effects beneath it.
func (s *session) lookAtCalls() {
	w := s.played.Works()
	seen := 0
	if n := len(s.calls); n > 0 {
		seen = s.calls[n-1].upset + 1
	}
	for i := seen; i < w.Stops(); i++ {
		v, ok := w.Stop(i)
		if !ok {
			continue
		}
		c := call{upset: i, changed: 1}
		c.staff = bus.Call{ID: "C" + strconv.Itoa(i+1), Row: rowOf(s.rows, v.Unit), Unit: s.plant.Route.Units[v.Unit].Name, Since: v.Began.Seconds(),
			Cause: works.Kinds[v.Kind].Name, Caution: v.Warning, Acked: []bus.Ack{}, Effects: []bus.Effect{}}
		c.staff.Text = c.staff.Unit + ": " + c.staff.Cause
		c.page = c.staff
		s.hide(&c)
		s.calls = append(s.calls, c)
	}
	if !slices.ContainsFunc(s.calls, func(c call) bool { return !c.page.Closed }) {
		return
	}
	effects := s.effects()
	for i := range s.calls {
		c := &s.calls[i]
		if c.page.Closed {
			continue
		}
		v, ok := w.Stop(c.upset)
		if ok && v.Part && v.Told {
			s.kinds[c.upset] = true // the word on what hit several units goes out once
		}
		was := c.page.Cause
		s.hide(c)
		if was == notYet && c.page.Cause != notYet {
			delete(s.acks, c.page.ID) // the caution of the cause is another one, to be read too
		}
		e := effects[c.upset]
		if e == nil {
			e = []bus.Effect{}
		}
		over := !ok || v.Over
		if over {
			e = []bus.Effect{}
		}
		if was != c.page.Cause || over || !sameEffects(e, c.page.Effects) || len(s.acks[c.page.ID]) != len(c.page.Acked) {
			c.changed++
		}
		acks := append([]bus.Ack{}, s.acks[c.page.ID]...)
		c.page.Effects, c.staff.Effects, c.page.Acked, c.staff.Acked = e, e, acks, acks
		if over {
			c.page.Closed, c.staff.Closed = true, true
			at, ok := s.ended[c.upset]
			if !ok {
				at = w.Now()
			}
			c.page.At, c.staff.At = at.Seconds(), at.Seconds()
		}
	}
}

// hide keeps from the page what people have not heard.
func (s *session) hide(c *call) {
	if s.kinds[c.upset] {
		c.page.Cause, c.page.Text, c.page.Caution = c.staff.Cause, c.staff.Text, c.staff.Caution
		return
	}
	c.page.Cause, c.page.Text, c.page.Caution = notYet, c.staff.Unit+": trouble, "+notYet, generalCaution
}

func sameEffects(a, b []bus.Effect) bool {
	return slices.EqualFunc(a, b, func(x, y bus.Effect) bool { return x.Row == y.Row && x.State == y.State })
}

// effects lists beneath each stop the units that wait because of it and the stores that it
// has made full or dry: those from which a chain of full (or dry) stores and waiting units
// leads to it. What waits for another reason, or did so all along, is not among them.
func (s *session) effects() map[int][]bus.Effect {
	out := map[int][]bus.Effect{}
	for i := range s.rows {
		x, now := &s.rows[i], &s.meter.last[i]
		word := ""
		switch {
		case x.unit >= 0 && (now.S == bus.UnitBlocked || now.S == bus.UnitStarved):
			word = bus.UnitStates[now.S]
		case x.unit < 0 && now.S != bus.StoreBetween:
			word = bus.StoreStates[now.S]
		default:
			continue
		}
		if r := s.reason(i); r.stop >= 0 {
			out[r.stop] = append(out[r.stop], bus.Effect{Row: i, Name: x.Name, State: word, Since: now.Since})
		}
	}
	return out
}

// callRate is how many calls were raised in the last ten minutes.
func (s *session) callRate() int {
	n := 0
	for i := range s.calls {
		if s.now().Seconds()-s.calls[i].page.Since <= 600 {
			n++
		}
	}
	return n
}

// callsFor are the open calls, and those closed within the last hour.
func (s *session) callsFor(staff bool) []bus.Call {
	out := []bus.Call{}
	for i := range s.calls {
		c := s.calls[i].page
		if staff {
			c = s.calls[i].staff
		}
		if c.Closed && s.now().Seconds()-c.At > 3600 {
			continue
		}
		c.Rate = s.callRate()
		c.Head = bus.Head{}
		out = append(out, c)
	}
	return out
}

// stops is what people know of the upsets that last.
func (s *session) stops(staff bool) []bus.Stop {
	out := []bus.Stop{}
	w := s.played.Works()
	for i := range s.calls {
		c := &s.calls[i]
		v, ok := w.Stop(c.upset)
		if !ok || v.Over {
			continue
		}
		x := bus.Stop{N: c.upset, Row: c.page.Row, Unit: c.page.Unit, Began: v.Began.Seconds(), Caution: c.page.Caution}
		if s.kinds[c.upset] || staff {
			x.Kind, x.Caution = c.staff.Cause, c.staff.Caution
		}
		if v.Told {
			x.Low, x.Likely, x.Bad = seconds(v.Low), seconds(v.Likely), seconds(v.Bad)
		}
		x.NextWord = seconds(v.NextWord)
		out = append(out, x)
	}
	return out
}

// seconds is a time for a message, nil for never.
func seconds(t calendar.Time) *float64 {
	if t == calendar.Never {
		return nil
	}
	x := t.Seconds()
	return &x
}

// unread is an open call on the units that an order sends people into, whose caution
// the person has not acknowledged; nil when there is none.
func (s *session) unread(units []int, who string) *call {
	for i := range s.calls {
		c := &s.calls[i]
		if c.page.Closed || !slices.ContainsFunc(units, func(u int) bool { return rowOf(s.rows, u) == c.page.Row }) {
			continue
		}
		if !slices.ContainsFunc(s.acks[c.page.ID], func(a bus.Ack) bool { return a.By == who }) {
			return c
		}
	}
	return nil
}
