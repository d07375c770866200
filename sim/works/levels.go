package works

import (
	"strings"

	"millrace/sim/record"
)

// Stores that are no place of their own but whose level people know; they may be
// keys of Start.Levels beside places. The level of the gas is in kilojoules, those
// of coils in grams.
const (
	FuelGas      record.Place = -2
	CoolToPickle record.Place = -3
	CoolHotBand  record.Place = -4
)

// Settable lists the stores whose level a run may start with, in route order.
func (p *Plant) Settable() []record.Place {
	out := []record.Place{p.p.torpedoes, p.p.ladles, p.p.yard, p.p.conveyor, p.p.coilYard, CoolToPickle, CoolHotBand, FuelGas}
	if p.Spec.Cold != nil {
		out = append(out, p.p.pickled, p.p.hard, p.p.annealed, p.p.finished)
	}
	return out
}

// CanSet says whether a run may start with a level other than normal in the store.
func (p *Plant) CanSet(at record.Place) bool {
	for _, s := range p.Settable() {
		if s == at {
			return true
		}
	}
	return false
}

// StoreInfo describes a store, one that is no place included.
func (p *Plant) StoreInfo(at record.Place) record.PlaceInfo {
	coils := func(name string, b Band) record.PlaceInfo {
		return record.PlaceInfo{Name: name, Area: "hot", Role: record.Store, Amount: "t", PerAmount: 1e6,
			Room: int64(b.Room * grams), Low: int64(b.Low * grams), Normal: int64(b.Normal * grams), High: int64(b.High * grams)}
	}
	switch at {
	case FuelGas:
		b := p.Spec.Gas.Holder
		return record.PlaceInfo{Name: "fuel gas", Area: "iron", Role: record.Store, Amount: "GJ", PerAmount: 1e6,
			Room: int64(b.Room / 1e3), Low: int64(b.Low / 1e3), Normal: int64(b.Normal / 1e3), High: int64(b.High / 1e3)}
	case CoolToPickle:
		return coils("cool coils to pickle", p.Spec.CoilYard.Cool)
	case CoolHotBand:
		return coils("cool hot band", p.Spec.CoilYard.CoolHot)
	}
	return p.Route.Places[at]
}

// StoreNamed finds a store by its name.
func (p *Plant) StoreNamed(name string) (record.Place, bool) {
	for i := range p.Route.Places {
		if p.Route.Places[i].Role == record.Store && strings.EqualFold(p.Route.Places[i].Name, name) {
			return record.Place(i), true
		}
	}
	for _, at := range [...]record.Place{FuelGas, CoolToPickle, CoolHotBand} {
		if strings.EqualFold(p.StoreInfo(at).Name, name) {
			return at, true
		}
	}
	return record.Nowhere, false
}

// startLevel is the level a run starts with: what is given, or the normal level.
func (s *Start) startLevel(at record.Place, normal int64) int64 {
	if g, ok := s.Levels[at]; ok && g >= 0 {
		return g
	}
	return normal
}
