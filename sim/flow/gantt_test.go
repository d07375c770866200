package flow_test

import (
	"fmt"
	"slices"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestGantt plays a schedule worked out by hand with pencil and ruler, in
// minutes. Units A, B, C; one place between A and B, none between B and C; four
// pieces. A takes 3, B takes 5, C takes 2 but 8 for the third piece. B fails at
// 7 of operating time and is down for 4.
//
//	A  1: 0-3   2: 3-6   3: 6-9   4: 9-12, held to 17 (the place is taken)
//	B  1: 3-8   2: 8-10, down 10-14, 14-17   3: 17-22   4: 22-27, held to 30
//	C  1: 8-10  2: 17-19  3: 22-30  4: 30-32
func TestGantt(t *testing.T) {
	const min = calendar.Minute
	l := newLine([]int64{1, 0}, 4, func(unit, piece int) calendar.Time {
		switch {
		case unit == 0:
			return 3 * min
		case unit == 1:
			return 5 * min
		case piece == 2:
			return 8 * min
		}
		return 2 * min
	})
	l.up = func(_, j int) calendar.Time { return []calendar.Time{7 * min, calendar.Hour}[j] }
	l.repair = func(int, int) calendar.Time { return 4 * min }
	l.net.SetFailAt(1, 7*min)

	var left []string
	l.left = func(unit, piece int, at calendar.Time) {
		left = append(left, fmt.Sprintf("%c%d@%d", 'A'+unit, piece+1, at/min))
	}
	var log []string
	state := []flow.State{flow.Starved, flow.Starved, flow.Starved}
	note := func() {
		for u, ok := l.net.Changed(); ok; u, ok = l.net.Changed() {
			if s := l.net.Units[u].State(); s != state[u] {
				state[u] = s
				log = append(log, fmt.Sprintf("%d %c %s", l.net.Now()/min, 'A'+u, s))
			}
		}
	}
	l.event = func(calendar.Event) { note() }
	l.settle()
	note()
	l.finish()
	l.net.Settle()

	if want := []string{
		"A1@3", "A2@6", "B1@8", "A3@9", "C1@10", "B2@17", "A4@17", "C2@19", "B3@22", "C3@30", "B4@30", "C4@32",
	}; !slices.Equal(left, want) {
		t.Errorf("pieces left\n%v, by hand\n%v", left, want)
	}
	if want := []string{
		"0 A running", "3 B running", "8 C running", "10 C starved", "10 B down", "12 A blocked", "14 B running",
		"17 A starved", "17 C running", "19 C starved", "22 C running", "27 B blocked",
		// At 10 pieces finish before units fail; at 30 C is given the fourth piece
		// in the moment in which it finishes the third.
		"30 B starved", "32 C starved",
	}; !slices.Equal(log, want) {
		t.Errorf("states\n%q, by hand\n%q", log, want)
	}
	want := [][flow.NStates]calendar.Time{
		{flow.Running: 12, flow.Blocked: 5, flow.Starved: 15},
		{flow.Running: 20, flow.Down: 4, flow.Blocked: 3, flow.Starved: 5},
		{flow.Running: 14, flow.Starved: 18},
	}
	for i, w := range want {
		for s, d := range w {
			if got := l.net.Units[i].Spent[s]; got != d*min {
				t.Errorf("unit %c was %s for %d min, by hand %d", 'A'+i, flow.State(s), got/min, d)
			}
		}
	}
	if msg := l.lawful(); msg != "" {
		t.Error(msg)
	}
}

// TestTiesFinishFirst has a piece that is done in the very microsecond in which
// the operating time runs out: the piece is finished, the unit fails when it
// next works.
func TestTiesFinishFirst(t *testing.T) {
	var n flow.Net
	u := n.AddUnit()
	n.SetFailAt(u, 10)
	a, b := n.NewPiece(), n.NewPiece()
	n.Start(u, a, 10)
	if e, _ := n.Next(100); e.Kind != flow.KindDone || n.Now() != 10 {
		t.Fatalf("kind %d at %d, want a finished piece at 10", e.Kind, n.Now())
	}
	if _, ok := n.Next(50); ok {
		t.Fatal("a unit that does not work failed")
	}
	n.Release(u)
	n.Start(u, b, 10)
	if e, _ := n.Next(100); e.Kind != flow.KindFail || n.Now() != 50 || n.Units[u].Odometer != 10 {
		t.Fatalf("kind %d at %d, want the failure at 50", e.Kind, n.Now())
	}
}
