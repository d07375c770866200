package works

import "slices"

// What is planned above the need of a short book (chosen: less spare makes casters wait for
// iron and sequences short, more pools iron while casters wait for orders).
const (
	castSpare = 1.10
	ironSpare = 1.05
)

// PlanForBook slows casters and blast furnaces to an order book of a share of what the
// works can make, as people do who know the book weeks ahead: at the pace of a works that
// sells everything the casters stop again and again with nothing to cast, and the iron
// finds no room. use is the capacity of the works that sells everything. The wind keeps
// its lowest value, the casters theirs; a share of 1 or more changes nothing.
func (s *Spec) PlanForBook(use CapacityTable, share float64) {
	if !(share < 1) {
		return
	}
	of := func(unit string) float64 {
		for _, r := range use.Rows {
			if r.Unit == unit && r.NetTH > 0 {
				return r.LoadTH / r.NetTH
			}
		}
		return 1
	}
	cast := min(1, castSpare*of("casters")*share)
	s.Casters = slices.Clone(s.Casters)
	for c := range s.Casters {
		k := &s.Casters[c]
		k.Normal = max(k.Slowest, k.Normal*cast)
		k.Wanted = k.Normal // a yard that is low waits for orders, not for slabs
		k.Rate *= cast
	}
	iron := &s.Iron
	wind := min(1, max(iron.LowWind, ironSpare*of("iron supply")*share*iron.HotMetal/iron.HotLow))
	iron.Rate *= wind
	iron.LowWind = min(1, iron.LowWind/wind)
	s.Gas.Made *= wind
}
