package calendar

import "math/bits"

// node is a pending event in the heap: 16 bytes, so four children share a
// cache line. key holds class, scheduling order and slot, high to low; equal
// times are therefore settled by class and then first come first served.
type node struct {
	t   Time
	key uint64
}

func nodeLess(a, b *node) bool { return a.t < b.t || (a.t == b.t && a.key < b.key) }

// nodeBorrow is 1 when a comes before b: the comparison as a borrow chain,
// without a branch. Times are never negative.
func nodeBorrow(a, b *node) uint64 {
	_, c := bits.Sub64(a.key, b.key, 0)
	_, c = bits.Sub64(uint64(a.t), uint64(b.t), c)
	return c
}

func siftUp(a []node, i int, e node) {
	for i > 0 {
		p := (i - 1) >> 2
		if !nodeLess(&e, &a[p]) {
			break
		}
		a[i] = a[p]
		i = p
	}
	a[i] = e
}

// siftDown places e from the root of a 4-ary heap.
func siftDown(a []node, e node) {
	n := len(a)
	i := 0
	for {
		c := 4*i + 1
		if c+3 < n {
			k := a[c : c+4 : c+4]
			m := nodeBorrow(&k[1], &k[0])
			m2 := 2 + nodeBorrow(&k[3], &k[2])
			m ^= (m ^ m2) & -nodeBorrow(&k[m2&3], &k[m&3])
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
