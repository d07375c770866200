package calendar

import "math/bits"

// node is a pending event in the tree. key holds class, order of booking and
// slot, high to low: equal times are therefore settled by class and then first
// come first served.
type node struct {
	t   Time
	key uint64
}

// nothing stands in the leaf of a slot without a pending event.
var nothing = node{Never, 1<<64 - 1}

// rise plays the matches from leaf i up to the root after the leaf has become
// e. tree[1] is the root, the children of i are 2i and 2i+1, and every inner
// node is a copy of the earlier of its children. Each match is a borrow chain
// and a mask, without a branch: which of two events is earlier cannot be
// guessed, and the siblings on the way up do not depend on who wins, so they
// are loaded ahead. Times are never negative.
func rise(tree []node, i uint, e node) {
	tree[i] = e
	for i > 1 {
		s := tree[i^1]
		_, c := bits.Sub64(s.key, e.key, 0)
		_, c = bits.Sub64(uint64(s.t), uint64(e.t), c)
		m := -c
		e.t ^= (e.t ^ s.t) & Time(m)
		e.key ^= (e.key ^ s.key) & m
		i >>= 1
		tree[i] = e
	}
}

// grow doubles the number of leaves, 2 at first, and plays all matches anew.
func (c *Calendar) grow() {
	old := len(c.event) // no leaf is vacant: it would have been taken
	leaves := max(2, 2*old)
	tree := make([]node, 2*leaves)
	for i := range tree {
		tree[i] = nothing
	}
	copy(tree[leaves:], c.tree[old:])
	for i := leaves - 1; i >= 1; i-- {
		tree[i] = earlier(tree[2*i], tree[2*i+1])
	}
	c.tree = tree
	event := make([]Event, leaves)
	copy(event, c.event)
	c.event = event
}

func earlier(a, b node) node {
	if b.t < a.t || (b.t == a.t && b.key < a.key) {
		return b
	}
	return a
}
