package scripting

import (
	"slices"
	"strings"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

// planned reads a planned stop.
func (r *worksReader) planned(s *section) {
	p := more(&r.spec.Planned)
	s.text("unit", &p.Unit)
	if p.Unit != "" && !isUnit(&r.spec, p.Unit) {
		unknown(s.t, "unit", p.Unit, "unit", stopNames(&r.spec))
	}
	p.First = -1 // somewhere in its period, by luck
	if v, ok := s.t.Get("first"); ok {
		// "5 d" after the start, or a date.
		if _, err := quantity.Parse(v.Text, quantity.Time); err == nil {
			s.time("first", &p.First)
		} else if c, ok := s.t.Clock("first"); ok {
			p.First = c.Sub(r.from)
			for p.First < 0 && p.Every > 0 {
				p.First += p.Every
			}
		}
	}
	s.ask("first")
	s.time("every", &p.Every, within{"1 h", ""})
	for p.First < 0 && p.First != -1 && p.Every > 0 {
		p.First += p.Every // the rhythm counts, not the year
	}
	s.time("lasts", &p.Lasts, within{"1 min", ""})
	s.bool0("movable", &p.Movable)
	s.quantity0("earliest", quantity.Time, &p.Earliest)
	s.text0("note", new(string))
	s.end()
}

// unitNames are the names by which files call the units of a works.
func unitNames(s *works.Spec) []string {
	out := []string{"iron supply", "steel shop"}
	for i := range s.Casters {
		out = append(out, s.Casters[i].Name)
	}
	out = append(out, "slab cranes")
	for i := range s.Furnaces {
		out = append(out, s.Furnaces[i].Name)
	}
	out = append(out, "descaler", "rougher", "shear", "finishing train", "run-out table")
	for _, n := range s.Coilers.Names {
		out = append(out, "coiler "+n)
	}
	out = append(out, "conveyor", "pickle line", "dispatch")
	if s.Cold != nil {
		out = append(out, "outside pickling", "cold mill", "bell cranes", "anneal bases", "temper mill")
	}
	return out
}

// groupNames are the words for all units of a kind, and for the mill as a whole.
var groupNames = []string{"caster", "furnace", "coiler", "hot mill"}

// stopNames are all words for what can be made to stand: the groups first, for they are
// what is looked for where a unit's own name is not known.
func stopNames(s *works.Spec) []string { return append(slices.Clone(groupNames), unitNames(s)...) }

func isUnit(s *works.Spec, name string) bool {
	return slices.ContainsFunc(stopNames(s), func(n string) bool { return strings.EqualFold(n, name) })
}
