package works

import "millrace/sim/record"

// number gives units and places their numbers, in the order of the route: the
// order in which ready units are tried within an instant.
func (p *Plant) number() {
	s := &p.Spec
	n := 0
	unit := func(k int) int { at := n; n += k; return at }
	p.u.iron = unit(1)
	p.u.shop = unit(1)
	p.u.reheatStand = unit(1)
	p.u.caster = unit(len(s.Casters))
	// Units nearer the customer are tried after those that feed them within an
	// instant; a second turn comes by waking.
	p.u.crane = unit(s.Yard.Cranes)
	p.u.haulage = unit(1)
	p.u.furnace = unit(len(s.Furnaces))
	p.u.descaler = unit(1)
	p.u.rougher = unit(1)
	p.u.shear = unit(1)
	p.u.train = unit(1)
	p.u.runOut = unit(1)
	p.u.coil = unit(len(s.Coilers.Names))
	p.u.conveyor = unit(1)
	p.u.pickle = unit(1)
	if c := s.Cold; c != nil {
		p.u.outside = unit(1)
		p.u.coldMill = unit(1)
		p.u.bellCrane = unit(c.Anneal.Cranes)
		p.u.bases = unit(1)
		p.u.temper = unit(1)
	}
	p.u.dispatch = unit(1)
	p.u.count = n

	m := 0
	place := func(k int) record.Place { at := m; m += k; return record.Place(at) }
	q := &p.p
	q.blast, q.scrapYard, q.opening = place(1), place(1), place(1)
	q.torpedoes, q.shop, q.ladles = place(1), place(1), place(1)
	q.caster = place(len(s.Casters))
	q.table = place(len(s.Casters))
	q.yard, q.overflow = place(1), place(1)
	q.charge = place(len(s.Furnaces))
	q.furnace = place(len(s.Furnaces))
	q.descaler, q.rougher, q.delay, q.shear, q.train = place(1), place(1), place(1), place(1), place(1)
	q.coiler = place(1)
	q.conveyor, q.coilYard, q.pickle, q.dispatch = place(1), place(1), place(1), place(1)
	if s.Cold != nil {
		q.outside, q.pickled, q.coldMill, q.hard, q.bases, q.annealed, q.temper, q.finished = place(1), place(1), place(1), place(1), place(1), place(1), place(1), place(1)
	}
	q.blow, q.skull, q.castCrop, q.trim = place(1), place(1), place(1), place(1)
	q.scale, q.crop, q.cobble, q.scrap, q.pooled, q.returned = place(1), place(1), place(1), place(1), place(1), place(1)
	if s.Cold != nil {
		q.acid, q.sideTrim, q.coldEnds, q.temperEnds, q.coldGone = place(1), place(1), place(1), place(1), place(1)
	}
	q.toPickle, q.hotBand = place(1), place(1)
	q.count = m
}

// route names everything for readers of records.
func (p *Plant) route() {
	s := &p.Spec
	r := &p.Route
	r.Works = s.Name
	r.Places = make([]record.PlaceInfo, p.p.count)
	r.Units = make([]record.UnitInfo, p.u.count)
	put := func(at record.Place, name, area string, role record.Role) {
		r.Places[at] = record.PlaceInfo{Name: name, Area: area, Role: role, Amount: "t", PerAmount: 1e6}
	}
	band := func(at record.Place, b Band) {
		i := &r.Places[at]
		i.Room, i.Low, i.Normal, i.High = int64(b.Room*grams), int64(b.Low*grams), int64(b.Normal*grams), int64(b.High*grams)
	}
	unit := func(at int, name, area string, places int, given bool) {
		r.Units[at] = record.UnitInfo{Name: name, Area: area, Places: int32(places), RateGiven: given}
	}
	q := &p.p
	put(q.blast, "blast furnace", "iron", record.Source)
	put(q.scrapYard, "scrap charged", "steel", record.Source)
	put(q.opening, "opening stock", "works", record.Source)
	put(q.torpedoes, "torpedoes", "iron", record.Store)
	band(q.torpedoes, s.Iron.Torpedo)
	r.Places[q.torpedoes].Dry = int64(p.hotMetalLow())
	put(q.shop, "steel shop", "steel", record.OnUnit)
	put(q.ladles, "ladles", "steel", record.Store)
	h := s.Shop.Heat
	band(q.ladles, Band{float64(s.Shop.LadlesLow) * h, float64(s.Shop.LadlesNorm) * h, float64(s.Shop.LadlesHigh) * h, float64(s.Shop.Ladles-len(s.Casters)) * h})
	r.Places[q.ladles].Amount, r.Places[q.ladles].PerAmount = "heats", h*grams
	for i := range s.Casters {
		put(q.caster+record.Place(i), s.Casters[i].Name, "steel", record.OnUnit)
		put(q.table+record.Place(i), s.Casters[i].Name+" run-out", "steel", record.OnUnit)
		unit(p.u.caster+i, s.Casters[i].Name, "steel", 1, s.Casters[i].Rate > 0)
	}
	put(q.yard, "slab yard", "hot", record.Store)
	b := s.Yard.Band
	b.Room *= s.Yard.Reachable
	band(q.yard, b)
	r.Places[q.yard].Dry = int64(s.Yard.MinStock * grams)
	put(q.overflow, "overflow yard", "hot", record.Store)
	band(q.overflow, Band{Room: s.Yard.Overflow, High: s.Yard.Overflow})
	for i := range s.Furnaces {
		put(q.charge+record.Place(i), s.Furnaces[i].Name+" charging table", "hot", record.OnUnit)
		put(q.furnace+record.Place(i), s.Furnaces[i].Name, "hot", record.OnUnit)
		unit(p.u.furnace+i, s.Furnaces[i].Name, "hot", p.hearth[i], s.Furnaces[i].Rate > 0)
	}
	for at, name := range map[record.Place]string{q.descaler: "descaler", q.rougher: "rougher", q.delay: "delay table", q.shear: "shear", q.train: "finishing train", q.coiler: "coilers"} {
		put(at, name, "hot", record.OnUnit)
	}
	put(q.conveyor, "conveyor", "hot", record.Store)
	mean := 0.0
	for i := range p.products {
		mean += p.products[i].Share * float64(p.products[i].slabMass-p.products[i].cropMass)
	}
	c := s.Conveyor.Normal
	band(q.conveyor, Band{c.Low * mean / grams, c.Normal * mean / grams, c.High * mean / grams, float64(s.Conveyor.Places) * mean / grams})
	r.Places[q.conveyor].Amount, r.Places[q.conveyor].PerAmount = "coils", mean
	put(q.coilYard, "coil yard", "hot", record.Store)
	band(q.coilYard, s.CoilYard.Band)
	put(q.pickle, "pickle line", "cold", record.OnUnit)
	put(q.dispatch, "dispatch", "dispatch", record.OnUnit)
	for _, l := range []struct {
		at   record.Place
		name string
		role record.Role
	}{
		{q.blow, "blown off", record.Loss}, {q.skull, "skull", record.Loss}, {q.castCrop, "casting crop", record.Loss},
		{q.trim, "trim", record.Loss}, {q.scale, "scale", record.Loss}, {q.crop, "crop", record.Loss}, {q.cobble, "cobble", record.Loss},
		{q.scrap, "scrap", record.Loss}, {q.pooled, "iron pooled", record.Loss}, {q.returned, "returned", record.Returns},
		{q.toPickle, "to pickling", record.Gone}, {q.hotBand, "hot band dispatched", record.Gone},
	} {
		put(l.at, l.name, "works", l.role)
	}
	if s.Cold != nil {
		p.coldRoute(put, band, unit)
	}
	unit(p.u.iron, "iron supply", "iron", 1, true)
	unit(p.u.shop, "steel shop", "steel", s.Shop.Vessels, s.Shop.Rate > 0)
	unit(p.u.reheatStand, "reheat stand", "steel", 1, false)
	for i := range s.Yard.Cranes {
		unit(p.u.crane+i, craneName(i), "hot", 1, false)
	}
	unit(p.u.haulage, "overflow haulage", "hot", 1, true)
	unit(p.u.descaler, "descaler", "hot", 1, false)
	unit(p.u.rougher, "rougher", "hot", 1, s.Rougher.Rate > 0)
	unit(p.u.shear, "shear", "hot", 1, false)
	unit(p.u.train, "finishing train", "hot", 1, s.Train.Rate > 0)
	unit(p.u.runOut, "run-out table", "hot", 1, false)
	for i, n := range s.Coilers.Names {
		unit(p.u.coil+i, "coiler "+n, "hot", 1, false)
	}
	unit(p.u.conveyor, "conveyor", "hot", 1, false)
	unit(p.u.pickle, "pickle line", "cold", 1, s.Cold == nil || s.Cold.Pickle.Rate > 0)
	unit(p.u.dispatch, "dispatch", "dispatch", 1, true)
	for i := range s.Products {
		r.Products = append(r.Products, s.Products[i].Name)
	}
	for i := range Kinds {
		r.Upsets = append(r.Upsets, Kinds[i].Name)
	}
	for i := range Levers {
		r.Levers = append(r.Levers, Levers[i].Name)
	}
	for i := range reasons {
		r.Reasons = append(r.Reasons, reasons[i])
	}
}

func craneName(i int) string { return "slab crane " + string(rune('1'+i)) }
