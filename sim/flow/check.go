package flow

import (
	"fmt"

	"millrace/sim/calendar"
)

// FreeSlots returns how many of the slots hold no piece.
func (n *Net) FreeSlots() int { return len(n.free) }

// Check reports the first broken rule of the net, or "": the calendar's own
// structure, tallies that do not add up, and pieces that stand in two places at
// once. lists are all queues whose pieces belong to the net; a piece that the
// caller keeps elsewhere is not looked for. It walks everything: for tests and
// for the end of a run.
func (n *Net) Check(lists ...List) string {
	if msg := n.Cal.Check(); msg != "" {
		return msg
	}
	for i := range n.Units {
		if msg := n.Units[i].Check(); msg != "" {
			return fmt.Sprintf("flow: unit %d: %s", i, msg)
		}
	}
	seen := make([]bool, len(n.links))
	take := func(p int32) string {
		if p < 0 || int(p) >= len(seen) {
			return fmt.Sprintf("flow: piece %d does not exist", p)
		}
		if seen[p] {
			return fmt.Sprintf("flow: piece %d stands in two places", p)
		}
		seen[p] = true
		return ""
	}
	for _, p := range n.free {
		if msg := take(p); msg != "" {
			return msg
		}
	}
	for i := range n.Units {
		if p := n.Units[i].Piece; p >= 0 {
			if msg := take(p); msg != "" {
				return msg
			}
		}
	}
	for i := range lists {
		l := &lists[i]
		before, count := int32(-1), int32(0)
		for p := l.Head; p >= 0; p = n.links[p].next {
			if msg := take(p); msg != "" {
				return msg
			}
			if n.links[p].prev != before {
				return fmt.Sprintf("flow: list %d is not the same from both ends at piece %d", i, p)
			}
			before = p
			count++
		}
		if l.Tail != before || l.N != count {
			return fmt.Sprintf("flow: list %d says %d pieces to %d, has %d to %d", i, l.N, l.Tail, count, before)
		}
	}
	return ""
}

// Check reports the first broken rule of the tally, or "": no state has fewer
// than no places, and the time in the states is the time of the places.
func (t *Tally) Check() string {
	var places int32
	var spent calendar.Time
	for s := range t.Count {
		if t.Count[s] < 0 {
			return fmt.Sprintf("%d places are %s", t.Count[s], State(s))
		}
		places += t.Count[s]
		spent += t.Spent[s]
	}
	if want := t.Since * calendar.Time(places); spent != want {
		return fmt.Sprintf("the states add up to %d us of %d", spent, want)
	}
	return ""
}
