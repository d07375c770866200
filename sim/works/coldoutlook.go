package works

// hotBrinks is how many ends the stores of the hot side have; those of the cold
// side follow.
const hotBrinks = 10

// coldBrinks lists the ends of the cold side's stores in the order of the route.
func (p *Plant) coldBrinks() []Brink {
	return []Brink{
		{"pickled coils", true, "pickling stops", 0, p.p.pickled},
		{"pickled coils", false, "the cold mill starves", 0, p.p.pickled},
		{"hard coils", true, "the cold mill stops", 0, p.p.hard},
		{"hard coils", false, "anneal bases stand empty", 0, p.p.hard},
		{"annealed coils", true, "bases are not unloaded", 0, p.p.annealed},
		{"finished coils", true, "temper mill and pickling stop", 0, p.p.finished},
		{"finished coils", false, "dispatch starves", 0, p.p.finished},
	}
}

// coldBand is the store of brink i of the cold side and what it holds, g.
func (w *Works) coldBand(i int) (b *Band, holds int64) {
	c, s := w.P.Spec.Cold, &w.S.Cold
	switch i {
	case 0, 1:
		return &c.Pickled, s.PickledG
	case 2, 3:
		return &c.Hard, s.HardG
	case 4:
		return &c.Annealed, s.AnnealG
	case 5, 6:
		return &c.Finished, s.FinishG
	}
	return nil, 0
}

// atColdBrink: a coil more does not fit, or less than one is left.
func (w *Works) atColdBrink(i int) bool {
	b, holds := w.coldBand(i)
	if b == nil {
		return false
	}
	coil := w.P.meanSlab()
	if w.P.coldBrinks()[i].Full {
		return holds+coil > int64(b.Room*grams)
	}
	return holds < coil
}

func (w *Works) coldBrinkLevel(i int) (level, room float64, amount string) {
	b, holds := w.coldBand(i)
	if b == nil {
		return 0, 0, ""
	}
	return float64(holds) / 1e6, b.Room / 1e3, "t"
}
