package flow_test

import (
	"slices"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"
)

// pieceModel is a net with some lists and units, and the same as slices.
type pieceModel struct {
	net   flow.Net
	lists []flow.List
	want  [][]int32
	unit  []int32 // piece on each unit, -1
	hand  []int32 // pieces in nobody's list
	peak  int     // most pieces alive at once
	alive int
}

func (m *pieceModel) draw(t *rapid.T, name string, n int) int {
	return rapid.IntRange(0, n-1).Draw(t, name)
}

// fromHand takes a piece out of the hand, or skips.
func (m *pieceModel) fromHand(t *rapid.T) int32 {
	if len(m.hand) == 0 {
		t.Skip("needs a piece in the hand")
	}
	i := m.draw(t, "piece", len(m.hand))
	p := m.hand[i]
	m.hand = slices.Delete(m.hand, i, i+1)
	return p
}

func (m *pieceModel) check(t *rapid.T) {
	if msg := m.net.Check(m.lists...); msg != "" {
		t.Fatal(msg)
	}
	for i, want := range m.want {
		l := m.lists[i]
		var forth, back []int32
		for p := l.Head; p >= 0; p = m.net.After(p) {
			forth = append(forth, p)
		}
		for p := l.Tail; p >= 0; p = m.net.Before(p) {
			back = append(back, p)
		}
		slices.Reverse(back)
		if !slices.Equal(forth, want) || !slices.Equal(back, want) || int(l.N) != len(want) {
			t.Fatalf("list %d: forwards %v, backwards %v, number %d, want %v", i, forth, back, l.N, want)
		}
	}
	for i, p := range m.unit {
		if m.net.Units[i].Piece != p {
			t.Fatalf("unit %d holds %d, want %d", i, m.net.Units[i].Piece, p)
		}
	}
	if m.net.Slots() != m.peak || m.net.Slots()-m.net.FreeSlots() != m.alive {
		t.Fatalf("%d slots, %d free, want %d and %d alive", m.net.Slots(), m.net.FreeSlots(), m.peak, m.alive)
	}
}

// TestPiecesAreNeverLost moves pieces at random between hand, lists and units.
func TestPiecesAreNeverLost(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := &pieceModel{lists: []flow.List{flow.Empty, flow.Empty, flow.Empty}, want: make([][]int32, 3), unit: []int32{-1, -1}}
		m.net.AddUnit()
		m.net.AddUnit()
		for i := range m.lists { // long enough to take pieces out of the middle
			for range rapid.IntRange(0, 6).Draw(rt, "length") {
				p := m.net.NewPiece()
				m.net.PushTail(&m.lists[i], p)
				m.want[i] = append(m.want[i], p)
				m.alive++
			}
		}
		m.peak = m.alive
		whole := func(t *rapid.T) (int, *flow.List) {
			i := m.draw(t, "list", len(m.lists))
			return i, &m.lists[i]
		}
		pop := func(t *rapid.T, take func(*flow.List) int32, at func([]int32) int) {
			i, l := whole(t)
			p := take(l)
			if len(m.want[i]) == 0 {
				if p != -1 {
					t.Fatalf("an empty list gave %d", p)
				}
				return
			}
			k := at(m.want[i])
			if p != m.want[i][k] {
				t.Fatalf("got %d, want %d", p, m.want[i][k])
			}
			m.want[i] = slices.Delete(m.want[i], k, k+1)
			m.hand = append(m.hand, p)
		}
		rt.Repeat(map[string]func(*rapid.T){
			"": m.check,
			"new": func(t *rapid.T) {
				p := m.net.NewPiece()
				if slices.Contains(m.hand, p) {
					t.Fatalf("slot %d was given twice", p)
				}
				m.hand = append(m.hand, p)
				m.alive++
				m.peak = max(m.peak, m.alive)
			},
			"free": func(t *rapid.T) {
				m.net.FreePiece(m.fromHand(t))
				m.alive--
			},
			"push tail": func(t *rapid.T) {
				i, l := whole(t)
				p := m.fromHand(t)
				m.net.PushTail(l, p)
				m.want[i] = append(m.want[i], p)
			},
			"push head": func(t *rapid.T) {
				i, l := whole(t)
				p := m.fromHand(t)
				m.net.PushHead(l, p)
				m.want[i] = slices.Insert(m.want[i], 0, p)
			},
			"pop head": func(t *rapid.T) {
				pop(t, m.net.PopHead, func([]int32) int { return 0 })
			},
			"pop tail": func(t *rapid.T) {
				pop(t, m.net.PopTail, func(s []int32) int { return len(s) - 1 })
			},
			"remove": func(t *rapid.T) {
				i, l := whole(t)
				if len(m.want[i]) == 0 {
					t.Skip("needs a list with a piece")
				}
				k := m.draw(t, "which", len(m.want[i]))
				p := m.want[i][k]
				m.net.Remove(l, p)
				m.want[i] = slices.Delete(m.want[i], k, k+1)
				m.hand = append(m.hand, p)
			},
			"start": func(t *rapid.T) {
				u := m.draw(t, "unit", len(m.unit))
				p := m.fromHand(t)
				if !m.net.Start(u, p, calendar.Time(m.draw(t, "work", 5))) {
					if m.unit[u] < 0 && m.net.Units[u].Able() {
						t.Fatal("an idle unit refused a piece")
					}
					m.hand = append(m.hand, p)
					return
				}
				if m.unit[u] >= 0 {
					t.Fatal("a unit took a second piece")
				}
				m.unit[u] = p
			},
			"release": func(t *rapid.T) {
				u := m.draw(t, "unit", len(m.unit))
				if p := m.net.Release(u); p != m.unit[u] {
					t.Fatalf("unit gave %d, want %d", p, m.unit[u])
				} else if p >= 0 {
					m.hand = append(m.hand, p)
				}
				m.unit[u] = -1
			},
			"stop": func(t *rapid.T) { m.net.Set(m.draw(t, "unit", len(m.unit)), flow.CauseDown) },
			"go":   func(t *rapid.T) { m.net.Clear(m.draw(t, "unit", len(m.unit)), flow.CauseDown) },
			"time": func(t *rapid.T) { m.net.Next(m.net.Now() + calendar.Time(m.draw(t, "later", 4))) },
			"copy": func(*rapid.T) {
				var c flow.Net
				c.CopyFrom(&m.net)
				m.net = c
			},
		})
	})
}

// TestCheckFindsDisorder breaks each rule once.
func TestCheckFindsDisorder(t *testing.T) {
	for name, spoil := range map[string]func(n *flow.Net, l, o *flow.List){
		"a piece in two lists":         func(n *flow.Net, l, o *flow.List) { n.PushTail(o, l.Tail) },
		"a piece in a list and free":   func(n *flow.Net, l, _ *flow.List) { n.FreePiece(l.Head) },
		"a piece freed twice":          func(n *flow.Net, _, _ *flow.List) { p := n.NewPiece(); n.FreePiece(p); n.FreePiece(p) },
		"a piece in a list and a unit": func(n *flow.Net, l, _ *flow.List) { n.Start(0, l.Head, 1) },
		"a wrong number":               func(_ *flow.Net, l, _ *flow.List) { l.N++ },
		"a cut list":                   func(_ *flow.Net, l, _ *flow.List) { l.Tail = l.Head },
		"a zero list":                  func(_ *flow.Net, _, o *flow.List) { *o = flow.List{} },
		"a piece that does not exist":  func(n *flow.Net, _, _ *flow.List) { n.Start(0, 99, 1) },
		"too few places":               func(n *flow.Net, _, _ *flow.List) { n.Shift(1, flow.Running, flow.Starved, 1) },
		"hours out of nothing":         func(n *flow.Net, _, _ *flow.List) { n.Units[0].Spent[flow.Running]++ },
	} {
		var n flow.Net
		n.AddUnit()
		n.AddPlaces(3)
		l, o := flow.Empty, flow.Empty
		for range 3 {
			n.PushTail(&l, n.NewPiece())
		}
		if msg := n.Check(l, o); msg != "" {
			t.Fatalf("an orderly net: %s", msg)
		}
		spoil(&n, &l, &o)
		if n.Check(l, o) == "" {
			t.Errorf("%s was not found", name)
		}
	}
}

// TestStoreWakes looks at who gets a turn when a store changes.
func TestStoreWakes(t *testing.T) {
	var n flow.Net
	for range 4 {
		n.AddUnit()
	}
	s := n.AddStore(10)
	n.Link(s, 0, true)
	n.Link(s, 2, false)
	n.Link(s, 3, false)
	turns := func() (out []int) {
		for u, ok := n.Ready(); ok; u, ok = n.Ready() {
			out = append(out, u)
		}
		return out
	}
	turns()
	n.Put(s, 7)
	if got := turns(); !slices.Equal(got, []int{2, 3}) {
		t.Errorf("putting woke %v", got)
	}
	if st := n.Stores[s]; st.Level != 7 || st.Count != 1 || st.Free() != 3 || !n.Fits(s, 3) || n.Fits(s, 4) {
		t.Errorf("store after 7 of 10: %+v", st)
	}
	n.Take(s, 7)
	if got := turns(); !slices.Equal(got, []int{0}) {
		t.Errorf("taking woke %v", got)
	}
	if st := n.Stores[s]; st.Level != 0 || st.Count != 0 {
		t.Errorf("store after all was taken: %+v", st)
	}
}
