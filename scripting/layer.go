package scripting

import (
	"millrace/scripting/decl"
	"millrace/sim/quantity"
)

// layer is what a case lays over a works file: other values for keys that the file
// has, for the works and for its upsets by name.
type layer struct {
	changes, upsets *decl.Table // nil for none
	met             map[string]bool
	seen            *seen // filled while the works is read
}

// over lays every layer over the block of the works.
func (r *worksReader) over(b decl.Block) decl.Block {
	for i := range r.layers {
		r.layers[i].seen.below = b.Table()
		if t := r.layers[i].changes; t != nil {
			below := b.Table()
			t = alike(below, t, "casters", "furnaces")
			b = b.Laid(t)
		}
	}
	return b
}

// overUpset lays what the layers say about an upset over its block.
func (r *worksReader) overUpset(b decl.Block) decl.Block {
	was := b.Table()
	for i := range r.layers {
		l := &r.layers[i]
		l.seen.upsets, l.seen.tables = append(l.seen.upsets, b.Name), append(l.seen.tables, was)
		if l.upsets == nil || !l.upsets.Has(b.Name) {
			continue
		}
		l.met[b.Name] = true
		if t, ok := l.upsets.Sub(b.Name); ok {
			b = b.Laid(t)
		}
	}
	return b
}

// unmet reports changes of upsets that the works does not have.
func (r *worksReader) unmet() {
	var names []string
	for i := range r.spec.Upsets {
		names = append(names, r.spec.Upsets[i].Name)
	}
	for i := range r.layers {
		l := &r.layers[i]
		if l.upsets == nil {
			continue
		}
		for _, e := range l.upsets.Entries() {
			if !l.met[e.Key] {
				do := "upsets of " + r.file + ": " + joined(names)
				if near, ok := quantity.Nearest(e.Key, names); ok {
					do = `did you mean "` + near + `"?`
				}
				l.upsets.Problem(e.Key, `the works has no upset "`+e.Key+`"`, do)
			}
		}
	}
}

// alike resolves like = "F1" in new units of the groups: the unit named is taken
// first, then what else is said. A new unit without it is a slip of the pen.
func alike(below, over *decl.Table, groups ...string) *decl.Table {
	for _, g := range groups {
		have, ok := below.Sub(g)
		if !ok || !over.Has(g) {
			continue
		}
		new_, ok := over.Sub(g)
		if !ok {
			continue
		}
		var names []string
		for _, e := range have.Entries() {
			names = append(names, e.Key)
		}
		for _, e := range new_.Entries() {
			if e.Value.Kind != decl.TableValue || have.Has(e.Key) {
				continue
			}
			t := e.Value.Table
			model, ok := t.String("like")
			if !ok {
				do := `a new one says which it is like: ["` + e.Key + `"] = { like = "` + names[0] + `" }`
				if near, close := quantity.Nearest(e.Key, names); close {
					do = `did you mean "` + near + `"? If not, ` + do
				}
				new_.Problem(e.Key, `the works has no "`+e.Key+`" among its `+g, do)
				continue
			}
			v, there := have.Get(model)
			if !there || v.Kind != decl.TableValue {
				unknown(t, "like", model, "unit among the "+g, names)
				v, _ = have.Get(names[0]) // so that nothing more is said of what it lacks
			}
			over = over.With(g, e.Key, v.Table.Overlay(t.Without("like")))
		}
	}
	return over
}
