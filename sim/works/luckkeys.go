package works

import (
	"hash/fnv"
	"io"
	"strings"
)

// keys are the names under which upsets and planned stops draw their luck. They are made
// of the names in the works file and not of places in its lists, so that a row or a unit
// added or taken away leaves the luck of all others as it was.
type keys struct {
	units   []uint64
	upsets  []uint64
	planned []uint64
}

func hashName(parts ...string) uint64 {
	h := fnv.New64a()
	for _, s := range parts {
		_, _ = io.WriteString(h, strings.ToLower(s)) // a hash takes everything
		_, _ = h.Write([]byte{0})
	}
	return h.Sum64()
}

// upsetKey names an upset of a list; the second of the same name has another key.
func upsetKey(list []UpsetSpec, i int) uint64 {
	name := func(s *UpsetSpec) string {
		if s.Name != "" {
			return s.Name
		}
		return Kinds[s.Kind].Name
	}
	own, again := name(&list[i]), uint64(0)
	for k := range i {
		if strings.EqualFold(name(&list[k]), own) {
			again++
		}
	}
	return hashName(own) + again
}

func (p *Plant) nameLuck() {
	k := &p.keys
	for i := range p.Route.Units {
		k.units = append(k.units, hashName(p.Route.Units[i].Name))
	}
	for i := range p.Spec.Upsets {
		k.upsets = append(k.upsets, upsetKey(p.Spec.Upsets, i))
	}
	for i := range p.Spec.Planned {
		again := uint64(0)
		for j := range i {
			if strings.EqualFold(p.Spec.Planned[j].Unit, p.Spec.Planned[i].Unit) {
				again++
			}
		}
		k.planned = append(k.planned, hashName(p.Spec.Planned[i].Unit)+again)
	}
}

// luckKey names an upset of a unit for its luck.
func (w *Works) luckKey(spec int32, unit int16) uint64 {
	of := &w.P.keys
	// What a script says goes by its number: a name would tell a forecast from another
	// before anybody knows what has happened.
	row := 1<<63 + uint64(spec) - uint64(len(of.upsets))
	if int(spec) < len(of.upsets) {
		row = of.upsets[spec]
	}
	// An odd factor keeps (row, unit) and (unit, row) apart.
	return row*0x9e3779b97f4a7c15 + of.units[unit]
}
