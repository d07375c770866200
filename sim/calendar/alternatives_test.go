package calendar

import (
	"fmt"
	"math"
	"math/bits"
	"testing"
)

// What a calendar could be made of instead, to be measured in the same run:
//
//	go test ./sim/calendar -bench Hold
//
// A structure takes its earliest event out and puts one in.
type structure interface {
	put(node)
	take() node // the place of the event stays vacant until the next call
}

// quadHeap is a 4-ary heap of 16-byte nodes with a vacant root and a branch-free
// choice of the least child.
type quadHeap struct {
	a      []node
	vacant bool
}

func (q *quadHeap) put(e node) {
	if q.vacant {
		q.vacant = false
		q.down(e)
		return
	}
	q.a = append(q.a, e)
	i := len(q.a) - 1
	for i > 0 {
		p := (i - 1) >> 2
		if !nodeLess(&e, &q.a[p]) {
			break
		}
		q.a[i] = q.a[p]
		i = p
	}
	q.a[i] = e
}

func (q *quadHeap) take() node {
	if q.vacant {
		e := q.a[len(q.a)-1]
		q.a = q.a[:len(q.a)-1]
		if len(q.a) > 0 {
			q.down(e)
		}
	}
	q.vacant = true
	return q.a[0]
}

func (q *quadHeap) down(e node) {
	a, n, i := q.a, len(q.a), 0
	for {
		c := 4*i + 1
		if c+3 < n {
			k := a[c : c+4 : c+4]
			m := before(&k[1], &k[0])
			m2 := 2 + before(&k[3], &k[2])
			m ^= (m ^ m2) & -before(&k[m2&3], &k[m&3])
			b := k[m&3]
			if !nodeLess(&b, &e) {
				break
			}
			a[i] = b
			i = c + int(m)
			continue
		}
		if c >= n {
			break
		}
		m := c
		for j := c + 1; j < n; j++ {
			if nodeLess(&a[j], &a[m]) {
				m = j
			}
		}
		if !nodeLess(&a[m], &e) {
			break
		}
		a[i] = a[m]
		i = m
	}
	a[i] = e
}

// binaryHeap is the textbook's, with ordinary comparisons.
type binaryHeap struct{ a []node }

func (b *binaryHeap) put(e node) {
	b.a = append(b.a, e)
	i := len(b.a) - 1
	for i > 0 && nodeLess(&e, &b.a[(i-1)/2]) {
		b.a[i] = b.a[(i-1)/2]
		i = (i - 1) / 2
	}
	b.a[i] = e
}

func (b *binaryHeap) take() node {
	top, n := b.a[0], len(b.a)-1
	e := b.a[n]
	b.a = b.a[:n]
	i := 0
	for c := 1; c < n; c = 2*i + 1 {
		if c+1 < n && nodeLess(&b.a[c+1], &b.a[c]) {
			c++
		}
		if !nodeLess(&b.a[c], &e) {
			break
		}
		b.a[i] = b.a[c]
		i = c
	}
	if n > 0 {
		b.a[i] = e
	}
	return top
}

// branchyTree is the tree of rise with an ordinary comparison.
type branchyTree struct{ treeOf2 }

func (t *branchyTree) put(e node) {
	i := uint(t.leaves) + uint(e.key&slotMask)
	t.a[i] = e
	for i > 1 {
		if s := t.a[i^1]; nodeLess(&s, &e) {
			e = s
		}
		i >>= 1
		t.a[i] = e
	}
}

// treeOf2 is the tree of rise without handles and events; here each event books
// one successor, which keeps its slot.
type treeOf2 struct {
	a      []node
	leaves int
}

func (t *treeOf2) put(e node) { rise(t.a, uint(t.leaves)+uint(e.key&slotMask), e) }
func (t *treeOf2) take() node { return t.a[1] }

// treeOf4 has matches of four: half as many levels, three comparisons each.
type treeOf4 struct {
	a      []node
	leaves int
}

func (t *treeOf4) put(e node) {
	i := uint(t.leaves) + uint(e.key&slotMask)
	t.a[i] = e
	for i > 1 {
		e = first(e, first(t.a[i^1], first(t.a[i^2], t.a[i^3])))
		i >>= 2
		t.a[i] = e
	}
}

func (t *treeOf4) take() node { return t.a[1] }

func nodeLess(a, b *node) bool { return a.t < b.t || (a.t == b.t && a.key < b.key) }

// before is 1 when a comes before b, without a branch.
func before(a, b *node) uint64 {
	_, c := bits.Sub64(a.key, b.key, 0)
	_, c = bits.Sub64(uint64(a.t), uint64(b.t), c)
	return c
}

// first is the earlier of two nodes, without a branch.
func first(a, b node) node {
	m := -before(&b, &a)
	a.t ^= (a.t ^ b.t) & Time(m)
	a.key ^= (a.key ^ b.key) & m
	return a
}

var stepTable = func() (t [1 << 14]Time) {
	for i := range t {
		t[i] = Time(-math.Log((float64(i)+0.5)/float64(len(t))) * 1e9)
	}
	return t
}()

func empty(n, fan int) ([]node, int) {
	leaves := 1
	for leaves < n {
		leaves *= fan
	}
	a := make([]node, 2*leaves)
	for i := range a {
		a[i] = nothing
	}
	return a, leaves
}

var structures = []struct {
	name string
	make func(n int) structure
}{
	{"binary heap", func(int) structure { return &binaryHeap{} }},
	{"4-ary heap, vacant root, branch-free", func(int) structure { return &quadHeap{} }},
	{"tree of matches, with branches", func(n int) structure { a, l := empty(n, 2); return &branchyTree{treeOf2{a, l}} }},
	{"tree of matches", func(n int) structure { a, l := empty(n, 2); return &treeOf2{a, l} }},
	{"tree of matches of four", func(n int) structure { a, l := empty(n, 4); return &treeOf4{a, l} }},
}

// steps are exponential steps from a table, so that drawing costs next to
// nothing.
type steps uint64

func (s *steps) next() Time {
	*s += 0x9e3779b97f4a7c15
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return stepTable[z%uint64(len(stepTable))] + Time(z>>48)
}

// TestStructuresAgree takes the same events from each structure and from the
// calendar itself.
func TestStructuresAgree(t *testing.T) {
	for _, n := range []int{1, 2, 10, 100, 3000} {
		var want []Time
		for _, s := range structures {
			q, x, seq := s.make(n), steps(1), uint64(0)
			for i := range n {
				q.put(node{x.next(), seq<<slotBits | uint64(i)})
				seq++
			}
			for i := range 5000 {
				e := q.take()
				if len(want) <= i {
					want = append(want, e.t)
				}
				if want[i] != e.t {
					t.Fatalf("%s, %d pending: event %d at %d, the others say %d", s.name, n, i, e.t, want[i])
				}
				q.put(node{e.t + x.next(), seq<<slotBits | e.key&slotMask})
				seq++
			}
		}
		var c Calendar
		x := steps(1)
		for range n {
			c.Book(x.next(), Finish, Event{})
		}
		for i := range want {
			c.Next(Never)
			if c.Now() != want[i] {
				t.Fatalf("calendar, %d pending: event %d at %d, the others say %d", n, i, c.Now(), want[i])
			}
			c.Book(c.Now()+x.next(), Finish, Event{})
		}
	}
}

// BenchmarkHold takes the next event and books its successor; "calendar" is what
// the package gives, with handles, classes and events.
func BenchmarkHold(b *testing.B) {
	for _, n := range []int{10, 100, 1000, 100000} {
		for _, s := range structures {
			b.Run(fmt.Sprintf("%d/%s", n, s.name), func(b *testing.B) {
				q, x, seq := s.make(n), steps(1), uint64(0)
				for i := range n {
					q.put(node{x.next(), seq<<slotBits | uint64(i)})
					seq++
				}
				b.ReportAllocs()
				b.ResetTimer()
				for range b.N {
					e := q.take()
					q.put(node{e.t + x.next(), seq<<slotBits | e.key&slotMask})
					seq++
				}
			})
		}
		b.Run(fmt.Sprintf("%d/calendar", n), func(b *testing.B) {
			var c Calendar
			x := steps(1)
			for range n {
				c.Book(x.next(), Finish, Event{})
			}
			b.ReportAllocs()
			b.ResetTimer()
			for range b.N {
				e, _ := c.Next(Never)
				c.Book(c.Now()+x.next(), Finish, e)
			}
		})
	}
}
