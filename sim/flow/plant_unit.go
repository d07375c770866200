package flow

import "millrace/sim/calendar"

// free reports whether unit i could take a piece now.
func (p *Plant) free(i int32) bool {
	u := &p.net.Units[i]
	return u.Piece < 0 && u.stops == 0
}

// feed lets a free unit take its next piece and begin. The unit's state is
// refreshed in any case.
func (p *Plant) feed(i int) {
	u := &p.units[i]
	if !p.free(int32(i)) {
		p.net.refresh(i)
		return
	}
	if u.has&(hasBatch|hasAlso|hasPicks|hasParts) != 0 {
		p.feedSlowly(i)
		return
	}
	if u.from != Outside {
		if id, giver := p.take(u.from); id >= 0 {
			p.begin(i, id)
			if giver >= 0 || len(p.stores[u.from].givers) > 0 {
				p.taken(u.from, giver)
			}
			return
		}
	} else if g := &p.groups[u.group]; g.spec.Limit == 0 || g.taken < g.spec.Limit {
		g.taken++
		p.begin(i, p.enter(g.spec.Mark))
		return
	}
	p.net.refresh(i)
}

// feedSlowly is feed for batches, assemblies and units with several stores.
func (p *Plant) feedSlowly(i int) {
	u := &p.units[i]
	spec := p.groups[u.group].spec
	from := u.from
	for k := 0; ; k++ {
		switch {
		case from == Outside:
			g := &p.groups[u.group]
			if g.spec.Limit == 0 || g.taken+max(1, spec.BatchMin) <= g.spec.Limit {
				id := p.enter(spec.Mark)
				g.taken++
				for range spec.Batch - 1 {
					if g.spec.Limit == 0 || g.taken < g.spec.Limit {
						g.taken++
						p.net.PushTail(&u.load, p.enter(spec.Mark))
					}
				}
				p.begin(i, id)
				return
			}
		case p.ready(from) >= max(1, spec.BatchMin) && p.partsReady(spec):
			set := u.last
			id, giver := p.pick(spec, set, from)
			p.pieces[id].home = from
			for range spec.Batch - 1 {
				if p.stores[from].list.N == 0 {
					break // a store before a batch has room: no hand-over
				}
				more, _ := p.pick(spec, p.pieces[id].Kind, from)
				if more < 0 {
					break
				}
				p.net.PushTail(&p.units[i].load, more)
			}
			p.buildIn(spec, id)
			p.begin(i, id)
			p.taken(from, giver)
			for _, part := range spec.Parts {
				p.taken(part, -1)
			}
			return
		}
		if k >= len(spec.Also) {
			break
		}
		from = spec.Also[k]
	}
	p.net.refresh(i)
}

// begin starts the work on a piece, or the changeover before it.
func (p *Plant) begin(i int, id int32) {
	u := &p.units[i]
	pc := &p.pieces[id]
	if u.has&^(hasRoute|hasEnds) == 0 {
		// The common case by itself: it cannot fail, and its pace is one.
		pc.Works++
		d := max(0, u.work(pc))
		now := p.net.Cal.Now()
		nu := &p.net.Units[i]
		nu.Piece, nu.working, nu.finished, nu.paused, nu.left, nu.begun = id, true, false, false, d, now
		nu.event = p.net.Cal.Book(later(now, d), calendar.Finish, calendar.Event{Kind: KindDone, Unit: uint16(i)})
		if nu.state != Running {
			nu.toState(now, Running)
		}
		return
	}
	p.beginSlowly(i, id)
}

// beginSlowly is begin for units that have more to them.
func (p *Plant) beginSlowly(i int, id int32) {
	u := &p.units[i]
	pc := &p.pieces[id]
	spec := p.groups[u.group].spec
	if spec.Begins != nil {
		spec.Begins(pc)
		for k := u.load.Head; k >= 0; k = p.net.After(k) {
			spec.Begins(&p.pieces[k])
		}
	}
	var d calendar.Time
	if pc.left > 0 {
		d, u.whole = pc.left, pc.whole
		pc.left = 0
	} else {
		pc.Works++
		for k := u.load.Head; k >= 0; k = p.net.After(k) {
			p.pieces[k].Works++
		}
		if spec.BatchWork != nil && u.has&hasBatch != 0 {
			d = max(0, spec.BatchWork(pc, 1+int(u.load.N)))
		} else {
			d = max(0, u.work(pc))
		}
		u.whole = d
	}
	setup := calendar.Time(0)
	if u.has&(hasSetup|hasPicks) != 0 {
		if u.has&hasSetup != 0 && !u.fresh {
			setup = max(0, spec.Setup(u.last, pc.Kind))
		}
		u.last, u.fresh = pc.Kind, false
	}
	if u.has&hasNeeds != 0 {
		u.setting = setup > 0
		p.claimAll(i, pc)
	}
	nu := &p.net.Units[i]
	if setup > 0 {
		nu.changing, nu.then, d = true, d, setup
	}
	if nu.stops > 0 { // waits for shared equipment
		nu.Piece, nu.working, nu.finished, nu.paused, nu.left = id, true, false, true, d
	} else {
		p.net.begin(i, id, d)
	}
	p.net.refresh(i)
}

// finished is what happens when the work on a piece is done.
func (p *Plant) finished(i int) {
	u, nu := &p.units[i], &p.net.Units[i]
	nu.done(p.net.Cal.Now())
	u.done++
	if u.has&(hasBatch|hasNeeds|hasEnds|hasRoute) != 0 || u.due > 0 {
		p.finishedSlowly(i)
	}
	if u.has&(hasBatch|hasNeeds) != 0 {
		p.deliver(i)
	} else if u.to != Outside && !p.offer(u.to, nu.Piece) {
		p.block(i)
	} else {
		if u.to == Outside {
			p.leave(nu.Piece)
		}
		nu.Piece, nu.finished = -1, false
		p.feed(i)
	}
}

// finishedSlowly sees to what a plain unit has not.
func (p *Plant) finishedSlowly(i int) {
	u := &p.units[i]
	u.done += int64(u.load.N)
	spec := p.groups[u.group].spec
	if spec.Ends != nil {
		spec.Ends(&p.pieces[p.net.Units[i].Piece])
		for k := u.load.Head; k >= 0; k = p.net.After(k) {
			spec.Ends(&p.pieces[k])
		}
	}
	if u.has&hasNeeds != 0 {
		p.releaseAll(i, false)
	}
	if u.has&hasRoute != 0 {
		u.to = p.known(spec.Route(&p.pieces[p.net.Units[i].Piece]))
	}
	if u.due > 0 {
		p.stopsDue(i)
	}
}

// deliver lets a unit give away what it has finished and take the next; a unit
// that finds no room is blocked.
func (p *Plant) deliver(i int) {
	u := &p.units[i]
	nu := &p.net.Units[i]
	for {
		if id := nu.Piece; u.to == Outside {
			p.leave(id)
		} else if !p.offer(u.to, id) {
			p.block(i)
			return
		}
		if !p.handedOver(i) {
			p.feed(i)
			return
		}
	}
}

// handedOver empties unit i after its piece has gone; of a batch the next piece
// comes up, and it reports true.
func (p *Plant) handedOver(i int) bool {
	u := &p.units[i]
	nu := &p.net.Units[i]
	if u.load.N > 0 {
		nu.Piece = p.net.PopHead(&u.load)
		if u.has&hasRoute != 0 {
			u.to = p.known(p.groups[u.group].spec.Route(&p.pieces[nu.Piece]))
		}
		return true
	}
	nu.Piece, nu.finished = -1, false
	if u.has&hasNeeds != 0 {
		p.releaseAll(i, true)
	}
	return false
}

// block puts a unit at the end of those that wait for room in a store.
func (p *Plant) block(i int) {
	s := &p.stores[p.units[i].to]
	s.givers = append(s.givers, int32(i))
	p.net.refresh(i)
	p.suspect(i)
}

// drop takes the piece in hand, and its batch, off a unit that is not blocked.
func (p *Plant) drop(i int) int32 {
	u := &p.units[i]
	nu := &p.net.Units[i]
	p.net.stopClock(nu)
	id := nu.Piece
	nu.Piece, nu.working, nu.finished, nu.paused, nu.changing, nu.left = -1, false, false, false, false, 0
	if u.has&hasNeeds != 0 {
		p.releaseAll(i, false)
		p.releaseAll(i, true)
	}
	return id
}
