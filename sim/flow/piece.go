package flow

// Pieces are numbers of slots. A piece stands in at most one List at a time;
// the links live in the net, so lists are plain values and copying a net copies
// every queue.

type link struct{ prev, next int32 }

// List is a queue of pieces. The zero value is not empty: use Empty.
type List struct {
	Head, Tail int32
	N          int32
}

// Empty is a list without pieces.
var Empty = List{-1, -1, 0}

// NewPiece returns a free slot.
func (n *Net) NewPiece() int32 {
	if k := len(n.free); k > 0 {
		p := n.free[k-1]
		n.free = n.free[:k-1]
		n.links[p] = link{-1, -1}
		return p
	}
	n.links = append(n.links, link{-1, -1})
	return int32(len(n.links) - 1)
}

// FreePiece gives the slot back.
func (n *Net) FreePiece(p int32) { n.free = append(n.free, p) }

// Slots returns how many slots have ever been used.
func (n *Net) Slots() int { return len(n.links) }

// PushTail puts the piece behind the last.
func (n *Net) PushTail(l *List, p int32) {
	n.links[p] = link{l.Tail, -1}
	if l.Tail >= 0 {
		n.links[l.Tail].next = p
	} else {
		l.Head = p
	}
	l.Tail = p
	l.N++
}

// PushHead puts the piece before the first.
func (n *Net) PushHead(l *List, p int32) {
	n.links[p] = link{-1, l.Head}
	if l.Head >= 0 {
		n.links[l.Head].prev = p
	} else {
		l.Tail = p
	}
	l.Head = p
	l.N++
}

// Remove takes the piece out of the list it stands in.
func (n *Net) Remove(l *List, p int32) {
	k := n.links[p]
	if k.prev >= 0 {
		n.links[k.prev].next = k.next
	} else {
		l.Head = k.next
	}
	if k.next >= 0 {
		n.links[k.next].prev = k.prev
	} else {
		l.Tail = k.prev
	}
	n.links[p] = link{-1, -1}
	l.N--
}

// PopHead takes the first piece, -1 when there is none.
func (n *Net) PopHead(l *List) int32 {
	p := l.Head
	if p < 0 {
		return p
	}
	next := n.links[p].next
	if next >= 0 {
		n.links[next].prev = -1
	} else {
		l.Tail = -1
	}
	n.links[p] = link{-1, -1}
	l.Head = next
	l.N--
	return p
}

// PopTail takes the last piece, -1 when there is none.
func (n *Net) PopTail(l *List) int32 {
	p := l.Tail
	if p >= 0 {
		n.Remove(l, p)
	}
	return p
}

// After returns the piece behind p, -1 at the end.
func (n *Net) After(p int32) int32 { return n.links[p].next }

// Before returns the piece before p, -1 at the front.
func (n *Net) Before(p int32) int32 { return n.links[p].prev }
