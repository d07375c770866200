package works

import "millrace/sim/record"

// coldRoute names places and units of the cold side.
func (p *Plant) coldRoute(put func(record.Place, string, string, record.Role), band func(record.Place, Band), unit func(int, string, string, int, bool)) {
	c := p.Spec.Cold
	q := &p.p
	put(q.outside, "outside pickling", "cold", record.OnUnit)
	put(q.pickled, "pickled coils", "cold", record.Store)
	band(q.pickled, c.Pickled)
	put(q.coldMill, "cold mill", "cold", record.OnUnit)
	put(q.hard, "hard coils", "cold", record.Store)
	band(q.hard, c.Hard)
	put(q.bases, "anneal bases", "cold", record.OnUnit)
	put(q.annealed, "annealed coils", "cold", record.Store)
	band(q.annealed, c.Annealed)
	put(q.temper, "temper mill", "cold", record.OnUnit)
	put(q.finished, "finished coils", "dispatch", record.Store)
	band(q.finished, c.Finished)
	put(q.acid, "dissolved in acid", "works", record.Loss)
	put(q.sideTrim, "side trim", "works", record.Loss)
	put(q.coldEnds, "cold mill ends", "works", record.Loss)
	put(q.temperEnds, "temper mill ends", "works", record.Loss)
	put(q.coldGone, "cold and pickled dispatched", "works", record.Gone)
	unit(p.u.outside, "outside pickling", "cold", 1, true)
	unit(p.u.coldMill, "cold mill", "cold", 1, c.Mill.Rate > 0)
	for i := range c.Anneal.Cranes {
		unit(p.u.bellCrane+i, "bell crane "+string(rune('1'+i)), "cold", 1, false)
	}
	unit(p.u.bases, "anneal bases", "cold", c.Anneal.Bases, c.Anneal.Rate > 0)
	unit(p.u.temper, "temper mill", "cold", 1, c.Temper.Rate > 0)
}
