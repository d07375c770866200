package flow_test

import (
	"reflect"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// moment is what can be seen of a line after an event.
type moment struct {
	at    calendar.Time
	event calendar.Event
	state [8]flow.State
	piece [8]int32
	level [8]int64
	odo   [8]calendar.Time
}

func (l *line) moments() []moment {
	var out []moment
	l.event = func(e calendar.Event) {
		m := moment{at: l.net.Now(), event: e}
		for i := range l.net.Units {
			u := &l.net.Units[i]
			m.state[i], m.piece[i], m.odo[i] = u.State(), u.Piece, l.net.Reading(i)
		}
		for i := range l.net.Stores {
			m.level[i] = l.net.Stores[i].Level
		}
		out = append(out, m)
	}
	l.finish()
	return out
}

// TestCopyHalfWay copies a line after some events. The copy, played first, must
// see what the original sees afterwards, and what a line sees that was never
// copied; the copy's memory was used by another net before.
func TestCopyHalfWay(t *testing.T) {
	used := usedLine()
	rapid.Check(t, func(rt *rapid.T) {
		p := drawPlant(rt)
		straight := p.line().moments()
		if len(straight) == 0 {
			rt.Fatal("a line without events")
		}
		half := rapid.IntRange(0, len(straight)-1).Draw(rt, "half")
		a, b := p.line(), used
		for range half {
			a.step(calendar.Never)
		}
		if rapid.Bool().Draw(rt, "settled") {
			a.settle()
		}
		b.copyFrom(a)
		before, after := new(flow.Net), new(flow.Net)
		before.CopyFrom(&a.net)
		theirs := b.moments()
		after.CopyFrom(&a.net)
		if !reflect.DeepEqual(before, after) {
			rt.Fatal("playing the copy moved the original")
		}
		ours := a.moments()
		if !reflect.DeepEqual(theirs, ours) {
			rt.Fatal("the copy saw other events than the original")
		}
		if !reflect.DeepEqual(ours, straight[half:]) {
			rt.Fatal("a line that was copied went another way than one that was not")
		}
	})
}

// usedLine is a line that has been played, for its memory.
func usedLine() *line {
	l := newLine([]int64{3, 3, 3, 3, 3}, 50, func(unit, piece int) calendar.Time { return calendar.Time(unit + piece%3) })
	l.finish()
	return l
}

// TestCopyIsIndependent changes each part of a copy and looks at the original.
func TestCopyIsIndependent(t *testing.T) {
	p := plant{luck: luck{Seed: 1, Future: 2}, room: []int64{2, 2}, pieces: 9, work: []int{5, 6, 7}, up: []int{9, 9, 9}, repair: []int{3, 3, 3}, share: 10}
	a := p.line()
	for range 10 {
		a.step(calendar.Never)
	}
	var keep, again, c flow.Net
	keep.CopyFrom(&a.net)
	c.CopyFrom(&a.net)
	c.WakeAll(7)
	for i := range c.Units {
		c.Set(i, flow.CauseDown)
		c.Release(i)
		c.SetFailAt(i, 1)
	}
	for i := range c.Stores {
		c.Put(i, 5)
	}
	c.FreePiece(c.NewPiece())
	c.NewPiece()
	c.Cal.Book(c.Now(), calendar.Order, calendar.Event{})
	c.Next(calendar.Never)
	for i := range a.queue {
		q := a.queue[i]
		for c.PopHead(&q) >= 0 {
		}
	}
	again.CopyFrom(&a.net)
	if !reflect.DeepEqual(keep, again) {
		t.Error("a copy shares memory with the original")
	}
}
