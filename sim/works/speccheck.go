package works

import "math"

// check refuses what no works can be, naming the part. Dimensions have been
// checked where the file was read.
func (s *Spec) check() error {
	type limit struct {
		part, what string
		v          float64
		lo, hi     float64
	}
	if len(s.Products) == 0 {
		return bad("products", "there are none; give at least one product")
	}
	if len(s.Products) > maxProducts {
		return bad("products", "%d products; at most %d", len(s.Products), maxProducts)
	}
	if n := len(s.Casters); n == 0 || n > maxCasters {
		return bad("casters", "%d casters; give 1 to %d", n, maxCasters)
	}
	if n := len(s.Furnaces); n == 0 || n > maxFurnaces {
		return bad("furnaces", "%d furnaces; give 1 to %d", n, maxFurnaces)
	}
	if n := len(s.Coilers.Names); n == 0 || n > maxCoilers {
		return bad("coilers", "%d coilers; give 1 to %d", n, maxCoilers)
	}
	share := 0.0
	for i := range s.Products {
		pr := &s.Products[i]
		if pr.Grade < 0 || pr.Grade >= len(s.Grades) {
			return bad(pr.Name, "its grade is not in the list of grades")
		}
		if !(pr.Share >= 0) {
			return bad(pr.Name, "share %v; a share is at least 0", pr.Share)
		}
		share += pr.Share
	}
	if math.Abs(share-1) > 0.005 {
		return bad("products", "the shares add up to %.1f %%, not to 100 %%", share*100)
	}
	for i := range s.Products {
		s.Products[i].Share /= share
	}
	c := &s.Casters
	lim := []limit{
		{"works", "slab thickness (m)", s.SlabThick, 0.1, 0.4},
		{"works", "slab length (m)", s.SlabLen, 3, 16},
		{"iron supply", "rate (kg/s)", s.Iron.Rate, 0.1, 1000},
		{"iron supply", "yield", s.Iron.Yield, 0.5, 1},
		{"steel shop", "heat (kg)", s.Shop.Heat, 1e4, 6e5},
		{"steel shop", "vessels", float64(s.Shop.Vessels), 1, 6},
		{"steel shop", "ladles", float64(s.Shop.Ladles), 2, 20},
		{"slab yard", "cranes", float64(s.Yard.Cranes), 1, 8},
		{"slab yard", "lift (s)", s.Yard.LiftTime, 1, 3600},
		{"slab yard", "reachable share", s.Yard.Reachable, 0.1, 1},
		{"slab yard", "pile", float64(s.Yard.Pile), 1, 40},
		{"finishing train", "programme (coils)", float64(s.Train.Programme), 1, 1000},
		{"coilers", "in use", float64(s.Coilers.InUse), 1, maxCoilers},
		{"conveyor", "places", float64(s.Conveyor.Places), 1, 1000},
		{"conveyor", "cycle (s)", s.Conveyor.Cycle, 1, 3600},
		{"demand", "pickling (kg/s)", s.Demand.Pickle, 0, 1000},
		{"demand", "dispatch (kg/s)", s.Demand.Dispatch, 0, 1000},
	}
	for i := range *c {
		k := &(*c)[i]
		lim = append(lim,
			limit{k.Name, "strands", float64(k.Strands), 1, 8},
			limit{k.Name, "normal speed (m/s)", k.Normal, 0.002, 0.12},
			limit{k.Name, "slowest speed (m/s)", k.Slowest, 0.001, k.Normal},
			limit{k.Name, "heats a tundish", float64(k.HeatsMax), 1, 100},
			limit{k.Name, "tundish (kg)", k.Tundish, 1000, 2e5},
			limit{k.Name, "least tundish (kg)", k.TundishMin, 0, k.Tundish * 0.95},
			limit{k.Name, "places on the run-out table", float64(k.TableSlabs), float64(k.Strands), 200})
	}
	for i := range s.Furnaces {
		k := &s.Furnaces[i]
		z := 0.0
		for j := range k.Zones {
			z += k.Zones[j].Share
		}
		if len(k.Zones) == 0 || len(k.Zones) > maxZones {
			return bad(k.Name, "%d zones; give 1 to %d", len(k.Zones), maxZones)
		}
		if math.Abs(z-1) > 0.01 {
			return bad(k.Name, "the zones' shares add up to %.0f %%, not to 100 %%", z*100)
		}
		if len(k.SetBacks) >= maxSetBacks {
			return bad(k.Name, "%d set-back steps; at most %d", len(k.SetBacks), maxSetBacks-1)
		}
		lim = append(lim,
			limit{k.Name, "hearth (m)", k.Length, 5, 120},
			limit{k.Name, "discharge (C)", k.Discharge, 900, 1350},
			limit{k.Name, "efficiency", k.Efficiency, 0.05, 1})
	}
	if s.Cold != nil {
		a, d := &s.Cold.Anneal, &s.Cold.Dispatch
		lim = append(lim,
			limit{"anneal bases", "bases", float64(a.Bases), 1, maxBases},
			limit{"anneal bases", "bells", float64(a.Bells), 1, maxBases},
			limit{"anneal bases", "coolers", float64(a.Coolers), 1, maxBases},
			limit{"anneal bases", "cranes", float64(a.Cranes), 1, maxBellCranes},
			limit{"anneal bases", "coils a stack", float64(a.StackCoils), 1, maxStack},
			limit{"anneal bases", "floor (s)", a.Floor, 0, 30 * 86400},
			limit{"pickle line", "overtime", s.Cold.Pickle.Overtime, 0, 1.5},
			limit{"pickle line", "outside (kg/s)", s.Cold.Pickle.Outside, 0, 300},
			limit{"pickle line", "back from outside (s)", s.Cold.Pickle.OutBack, 0, 60 * 86400},
			limit{"temper mill", "overtime", s.Cold.Temper.Overtime, 0, 1.5},
			limit{"dispatch", "overtime", d.Overtime, 0, 1.5},
			limit{"dispatch", "slot (s)", d.Slot, 60, 86400},
			limit{"dispatch", "hot band (kg/s)", d.Hot, 0, 1000},
			limit{"dispatch", "cold (kg/s)", d.Cold, 0, 1000},
			limit{"dispatch", "weekend", d.Weekend, 0, 1})
	}
	lim = append(lim,
		limit{"coil yard", "forced cooling (money/s)", s.CoilYard.ForcedCost, 0, 1e6},
		limit{"coil yard", "spoiled by forced cooling", s.CoilYard.ForcedSpoil, 0, 1})
	type store struct {
		part string
		b    Band
	}
	stores := []store{
		{"torpedoes", s.Iron.Torpedo}, {"slab yard", s.Yard.Band}, {"conveyor", s.Conveyor.Normal},
		{"coil yard", s.CoilYard.Band}, {"fuel gas", s.Gas.Holder},
	}
	if k := s.Cold; k != nil {
		stores = append(stores, store{"pickled coils", k.Pickled}, store{"hard coils", k.Hard}, store{"annealed coils", k.Annealed}, store{"finished coils", k.Finished})
	}
	for _, b := range stores {
		room := b.b.Room
		if b.part == "conveyor" {
			room = float64(s.Conveyor.Places)
		}
		if !(room > 0) {
			return bad(b.part, "its room is %g; room must be more than nothing", room)
		}
		if !(b.b.Low <= b.b.Normal && b.b.Normal <= b.b.High && b.b.High <= room) {
			return bad(b.part, "low %g, normal %g, high %g and room %g must rise in this order", b.b.Low, b.b.Normal, b.b.High, room)
		}
	}
	for _, l := range lim {
		if !(l.v >= l.lo && l.v <= l.hi) {
			return bad(l.part, "%s is %.4g; it must be between %.4g and %.4g", l.what, l.v, l.lo, l.hi)
		}
	}
	return nil
}
