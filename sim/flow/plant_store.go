package flow

import "millrace/sim/calendar"

// store is a store of a plant.
type store struct {
	list    List
	room    int32
	special bool // has an order, patience, travel, or takers that need more than a glance
	// preempted: a taker lets pieces displace each other.
	preempted bool
	batched   bool // a taker wants several pieces at once
	takers    []int32
	givers    []int32 // blocked units, first come first served
	travel    calendar.Handle
	due       calendar.Time // of travel
	spec      *StoreSpec

	in, out, lost, gaveUp int64
	largest               int32
	waited                calendar.Time // of those that are out
	sum                   calendar.Time // times out less times in: with the level times now the integral of the level
}

// offer brings a piece to a store; false when there is no room.
func (p *Plant) offer(to StoreID, id int32) bool {
	s := &p.stores[to]
	now := p.net.Now()
	pc := &p.pieces[id]
	pc.Came = now
	if s.special {
		pc.joined = now
		return p.offerSlowly(to, id)
	}
	if s.list.N == 0 && p.through(to, id) {
		return true
	}
	if s.list.N >= s.room {
		return false
	}
	p.net.PushTail(&s.list, id)
	s.in++
	s.sum -= now
	if s.list.N > s.largest {
		s.largest = s.list.N
	}
	return true
}

// offerSlowly is offer for stores with an order, patience, travel, or takers
// that wait for batches or displace pieces.
func (p *Plant) offerSlowly(to StoreID, id int32) bool {
	s := &p.stores[to]
	if s.list.N >= s.room {
		switch {
		case s.list.N == 0 && p.through(to, id):
			return true
		case !s.preempted || !p.scraps(p.victim(to, id)) || s.list.N > 0 && !s.spec.Before(&p.pieces[id], &p.pieces[s.list.Head]):
			return false // a displaced piece would need the room that there is not
		}
	}
	p.put(to, id)
	p.call(to)
	if s.preempted && p.pieces[id].store == to {
		p.displace(to, id)
	}
	return true
}

// through hands a piece to a free taker of an empty store.
func (p *Plant) through(to StoreID, id int32) bool {
	s := &p.stores[to]
	for _, i := range s.takers {
		if p.free(i) {
			s.in++
			s.out++
			if s.preempted {
				p.pieces[id].home = to
			}
			p.begin(int(i), id)
			return true
		}
	}
	return false
}

// scraps reports whether unit i scraps the piece that it is made to drop.
func (p *Plant) scraps(i int32) bool {
	return i >= 0 && p.groups[p.units[i].group].spec.Displaced == Scrapped
}

// put places a piece in a store, where it belongs by order.
func (p *Plant) put(to StoreID, id int32) {
	s := &p.stores[to]
	now := p.net.Now()
	pc := &p.pieces[id]
	after := s.list.Tail
	if s.spec.Before != nil {
		// What goes before all others need not be compared with each of them.
		if s.list.Head >= 0 && s.spec.Before(pc, &p.pieces[s.list.Head]) {
			after = -1
		}
		for after >= 0 && s.spec.Before(pc, &p.pieces[after]) {
			after = p.net.Before(after)
		}
	}
	p.net.insertAfter(&s.list, after, id)
	pc.store = to
	s.in++
	s.sum -= now
	if s.list.N > s.largest {
		s.largest = s.list.N
	}
	if s.spec.Patience != nil {
		pc.deadline = p.net.Cal.Book(later(now, max(0, s.spec.Patience(pc))), calendar.Told, calendar.Event{Kind: kindPatience, A: id})
	}
	if s.spec.Travel != nil {
		pc.left = later(now, max(0, s.spec.Travel(pc)))
		if s.list.Head == id || s.batched && s.travel == 0 {
			p.bookTravel(to)
		}
	}
}

// call lets the free takers of a store try.
func (p *Plant) call(to StoreID) {
	for k := 0; k < len(p.stores[to].takers) && p.stores[to].list.N > 0; k++ {
		if i := p.stores[to].takers[k]; p.free(i) {
			p.feed(int(i))
		}
	}
}

// ready returns how many pieces of a store could be taken now.
func (p *Plant) ready(from StoreID) int {
	s := &p.stores[from]
	if s.spec.Travel == nil {
		n := int(s.list.N)
		if n == 0 && s.room == 0 {
			n = len(s.givers)
		}
		return n
	}
	n := 0
	for id := s.list.Head; id >= 0 && p.pieces[id].left <= p.net.Now(); id = p.net.After(id) {
		n++
	}
	return n
}

// take removes the first piece of a store, -1 when there is none to be had. From
// a store without room it is the piece of a blocked unit, giver, else -1. When
// the piece has found its place the caller calls taken.
func (p *Plant) take(from StoreID) (id, giver int32) {
	s := &p.stores[from]
	id = s.list.Head
	if id < 0 {
		if s.room > 0 || len(s.givers) == 0 {
			return -1, -1
		}
		giver = s.givers[0]
		s.givers = popFront(s.givers)
		id = p.net.Units[giver].Piece
		p.pieces[id].Came, p.pieces[id].joined = p.net.Now(), p.net.Now()
		s.in++
		s.out++
		return id, giver
	}
	pc := &p.pieces[id]
	if s.special {
		if s.spec.Travel != nil {
			if pc.left > p.net.Now() {
				return -1, -1
			}
			pc.left = 0
		}
		p.remove(from, id)
		if s.spec.Travel != nil {
			p.bookTravel(from)
		}
		return id, -1
	}
	now := p.net.Now()
	p.net.PopHead(&s.list)
	s.out++
	s.sum += now
	s.waited += now - pc.Came
	return id, -1
}

// pick is take for a unit that may choose among the pieces of a store.
func (p *Plant) pick(spec *UnitSpec, set int32, from StoreID) (id, giver int32) {
	s := &p.stores[from]
	if spec.Picks == nil || s.list.N < 2 {
		return p.take(from)
	}
	id = s.list.Head
	for k := p.net.After(id); k >= 0; k = p.net.After(k) {
		if spec.Picks(set, &p.pieces[k], &p.pieces[id]) {
			id = k
		}
	}
	p.remove(from, id)
	return id, -1
}

// taken lets others give after a piece was taken from a store.
func (p *Plant) taken(from StoreID, giver int32) {
	if giver >= 0 {
		p.gave(int(giver))
	} else if len(p.stores[from].givers) > 0 {
		p.admit(from)
	}
}

// remove takes a piece out of a store, wherever it stands in it.
func (p *Plant) remove(from StoreID, id int32) {
	s := &p.stores[from]
	now := p.net.Now()
	pc := &p.pieces[id]
	p.net.Remove(&s.list, id)
	p.net.Cal.Cancel(pc.deadline)
	pc.deadline, pc.store = 0, 0
	s.out++
	s.sum += now
	s.waited += now - pc.Came
}

// gave goes on with a unit that was blocked and has given its piece away.
func (p *Plant) gave(g int) {
	if p.handedOver(g) {
		p.deliver(g)
	} else {
		p.feed(g)
	}
}

// admit lets blocked units give into the room there now is.
func (p *Plant) admit(to StoreID) {
	for {
		s := &p.stores[to]
		if len(s.givers) == 0 || s.list.N >= s.room {
			return
		}
		g := int(s.givers[0])
		s.givers = popFront(s.givers)
		p.offer(to, p.net.Units[g].Piece)
		p.gave(g)
	}
}

func popFront(a []int32) []int32 {
	copy(a, a[1:])
	return a[:len(a)-1]
}

// insertAfter puts a piece behind another of the list, before the head when
// after is -1.
func (n *Net) insertAfter(l *List, after, id int32) {
	switch {
	case after == l.Tail:
		n.PushTail(l, id)
	case after < 0:
		n.PushHead(l, id)
	default:
		next := n.links[after].next
		n.links[id] = link{after, next}
		n.links[after].next = id
		n.links[next].prev = id
		l.N++
	}
}

// lostPatience takes a piece out that has waited long enough.
func (p *Plant) lostPatience(id int32) {
	from := p.pieces[id].store
	p.pieces[id].deadline = 0
	s := &p.stores[from]
	p.remove(from, id)
	s.out--
	s.gaveUp++
	to := s.spec.GivesUp
	if to == Outside {
		p.gaveUp++
		p.gone(id)
	} else {
		p.join(to, id)
	}
	p.admit(from)
}

// bookTravel books the moment at which the first piece of a conveyor arrives; of
// one before a unit that works on batches, the first that has not.
func (p *Plant) bookTravel(at StoreID) {
	s := &p.stores[at]
	if s.travel != 0 && s.due <= p.net.Now() {
		return // the first was taken in the moment of its arrival: others may take what has run up behind it
	}
	p.net.Cal.Cancel(s.travel)
	s.travel = 0
	id := s.list.Head
	for s.batched && id >= 0 && p.pieces[id].left <= p.net.Now() {
		id = p.net.After(id)
	}
	if id >= 0 {
		if t := p.pieces[id].left; t > p.net.Now() {
			s.due = t
			s.travel = p.net.Cal.Book(t, calendar.Finish, calendar.Event{Kind: kindTravel, A: int32(at)})
		}
	}
}

// travelled offers the piece that has come to the end of a conveyor.
func (p *Plant) travelled(at StoreID) {
	s := &p.stores[at]
	s.travel = 0
	p.call(at)
	if s.travel == 0 {
		p.bookTravel(at)
	}
}

// victim returns the taker of a store whose piece the piece displaces: of those
// it goes before the last in order, and of equals the last taken; -1 for none.
func (p *Plant) victim(to StoreID, id int32) int32 {
	s := &p.stores[to]
	best := int32(-1)
	for _, i := range s.takers {
		u := &p.net.Units[i]
		if !p.groups[p.units[i].group].spec.Preempts || !u.working || u.stops-uint16(u.cause[CauseShared]) != 0 {
			continue
		}
		if !s.spec.Before(&p.pieces[id], &p.pieces[u.Piece]) {
			continue
		}
		if p.units[i].has&hasAlso != 0 && p.groups[p.units[i].group].spec.Displaced != Scrapped {
			// It must have room where it came from.
			if h := p.pieces[u.Piece].home; h != to && p.stores[h].list.N >= p.stores[h].room {
				continue
			}
		}
		if best < 0 || !s.spec.Before(&p.pieces[u.Piece], &p.pieces[p.net.Units[best].Piece]) {
			best = i
		}
	}
	return best
}

// displace lets a piece in a store take the place of one in work.
func (p *Plant) displace(to StoreID, id int32) {
	i := p.victim(to, id)
	if i < 0 {
		return
	}
	p.remove(to, id)
	p.pieces[id].home = to
	u := &p.units[i]
	nu := &p.net.Units[i]
	rest := nu.left
	if !nu.paused {
		rest = lessWork(nu.left, p.net.Now()-nu.begun, nu.Pace)
	}
	if nu.changing {
		rest = nu.then
	}
	old := p.drop(int(i))
	spec := p.groups[u.group].spec
	pc := &p.pieces[old]
	back := to
	if u.has&hasAlso != 0 {
		back = pc.home
	}
	switch spec.Displaced {
	case Scrapped:
		p.scrap(spec.Scrap, old)
	case Restarts:
		pc.left, pc.whole = u.whole, u.whole
		p.putBack(back, old)
	default:
		pc.left, pc.whole = rest, u.whole
		p.putBack(back, old)
	}
	if s := &p.stores[to]; s.largest > s.room {
		s.largest = s.room // it only went through
	}
	p.begin(int(i), id)
	if back != to {
		p.call(back)
	}
}

// putBack returns a displaced piece to its store, ahead of its equals.
func (p *Plant) putBack(to StoreID, id int32) {
	s := &p.stores[to]
	pc := &p.pieces[id]
	pc.left = max(1, pc.left)
	before := s.list.Head
	for before >= 0 && s.spec.Before(&p.pieces[before], pc) {
		before = p.net.After(before)
	}
	after := s.list.Tail
	if before >= 0 {
		after = p.net.Before(before)
	}
	p.net.insertAfter(&s.list, after, id)
	pc.Came, pc.store = p.net.Now(), to
	s.in++
	s.sum -= p.net.Now()
	if s.list.N > s.largest {
		s.largest = s.list.N
	}
}

// scrap counts a piece out that was spoilt, or sends it where such pieces go.
func (p *Plant) scrap(to StoreID, id int32) {
	p.pieces[id].left = 0
	if to == Outside {
		p.scrapped++
		p.gone(id)
	} else {
		p.join(to, id)
	}
}
