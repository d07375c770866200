package flow

import "slices"

// linkParts makes the units of a group takers of the stores of their parts.
func (p *Plant) linkParts(g int) {
	s := p.groups[g].spec
	if len(s.Parts) == 0 {
		return
	}
	for k, f := range append([]StoreID{s.From}, s.Parts...) {
		if f <= Outside || int(f) >= len(p.stores) {
			p.refuse("%s takes parts from a store that does not exist", s.Name)
			return
		}
		st := &p.stores[f]
		if n := partsOf(s, f); n > st.spec.Room {
			p.refuse("%s needs %d pieces at once from %s, which never holds more than %d", s.Name, n, st.spec.Name, st.spec.Room)
			return
		}
		// A piece that comes is kept until all are there, and of a conveyor each
		// arrival counts, not only that of the first piece.
		st.special, st.batched = true, true
		if k == 0 || f == s.From || slices.Contains(s.Parts[:k-1], f) {
			continue
		}
		for n := range p.groups[g].n {
			st.takers = append(st.takers, p.groups[g].first+n)
		}
	}
}

// partsOf returns how many pieces of a store an assembly needs at once.
func partsOf(s *UnitSpec, f StoreID) (n int) {
	if f == s.From {
		n = 1
	}
	for _, q := range s.Parts {
		if q == f {
			n++
		}
	}
	return n
}

// partsReady reports whether every part of an assembly is there.
func (p *Plant) partsReady(s *UnitSpec) bool {
	for _, f := range s.Parts {
		if p.ready(f) < partsOf(s, f) {
			return false
		}
	}
	return true
}

// buildIn takes the parts of a piece. The caller lets others give into the room.
func (p *Plant) buildIn(s *UnitSpec, piece int32) {
	for _, f := range s.Parts {
		id, _ := p.take(f)
		if s.Builds != nil {
			s.Builds(&p.pieces[piece], &p.pieces[id])
		}
		p.pieces[id].left = 0
		p.builtIn++
		p.gone(id)
	}
}
