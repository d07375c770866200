package flow

import "millrace/sim/calendar"

// beat counts an event that comes by the clock, whatever the plant does.
func (p *Plant) beat(h calendar.Handle) {
	if h != 0 {
		p.beats++
	}
}

// atRest reports that the clocks alone go on: the plant is empty and stays so, or
// all units could work and none has what it needs.
func (p *Plant) atRest() bool {
	if p.Inside() > 0 {
		if p.net.Cal.Len() > p.beats {
			return false
		}
		for i := range p.units {
			if u := &p.net.Units[i]; u.stops > uint16(u.cause[CauseShared]) {
				return false
			}
		}
		return true
	}
	for i := range p.sources {
		if p.net.Cal.Pending(p.sources[i].next) {
			return false
		}
	}
	for g := range p.groups {
		if s := p.groups[g].spec; s.From == Outside && (s.Limit == 0 || p.groups[g].taken+max(1, s.BatchMin) <= s.Limit) {
			return false
		}
	}
	return true
}
