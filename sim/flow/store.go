package flow

// Store is a place where pieces wait. Level and Room are in one measure of the
// caller's choice: grams, or pieces.
type Store struct {
	Room, Level int64
	Count       int32
	// Givers and Takers are the units, one bit each, that put into the store and
	// take from it: they are woken when it changes.
	Givers, Takers uint64
}

// Free returns the room that is left.
func (s *Store) Free() int64 { return s.Room - s.Level }

// AddStore adds an empty store and returns its number.
func (n *Net) AddStore(room int64) int {
	n.Stores = append(n.Stores, Store{Room: room})
	return len(n.Stores) - 1
}

// Link makes unit u a giver or a taker of the store.
func (n *Net) Link(store, u int, gives bool) {
	if gives {
		n.Stores[store].Givers |= 1 << uint(u)
	} else {
		n.Stores[store].Takers |= 1 << uint(u)
	}
}

// Fits reports whether the amount can be put into the store.
func (n *Net) Fits(store int, amount int64) bool {
	s := &n.Stores[store]
	return s.Level+amount <= s.Room
}

// Put adds one piece of the amount and wakes the takers. The caller has asked
// Fits where the store is finite.
func (n *Net) Put(store int, amount int64) {
	s := &n.Stores[store]
	s.Level += amount
	s.Count++
	n.ready |= s.Takers
}

// Take removes one piece of the amount and wakes the givers.
func (n *Net) Take(store int, amount int64) {
	s := &n.Stores[store]
	s.Level -= amount
	s.Count--
	n.ready |= s.Givers
}
