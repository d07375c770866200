package decl

// Overlay gives the table with another laid over it: a key of over replaces that of
// t, tables under the same key are laid over each other in turn, and lists and
// tagged values are replaced whole. Every value keeps its own place, so a wrong one
// is reported in the file where it was written. Neither table is changed; problems
// found in the result go to over's list.
func (t *Table) Overlay(over *Table) *Table {
	out := &Table{Place: over.Place, What: t.What, problems: over.problems, index: make(map[string]int, len(t.entries)+len(over.entries))}
	out.items = t.items
	if len(over.items) > 0 {
		out.items = over.items
	}
	put := func(e Entry) {
		e.Value.problems = over.problems
		out.index[e.Key] = len(out.entries)
		out.entries = append(out.entries, e)
	}
	for _, e := range t.entries {
		o, ok := over.Get(e.Key)
		if !ok {
			put(e.under(over.problems))
			continue
		}
		if both(e.Value, o) {
			v := o
			v.Table = e.Value.Table.Overlay(o.Table)
			put(Entry{e.Key, v})
			continue
		}
		put(Entry{e.Key, o})
	}
	for _, e := range over.entries {
		if !t.Has(e.Key) {
			put(e)
		}
	}
	return out
}

// both says whether two values are tables with keys, which can be laid over each
// other; a list is replaced.
func both(a, b Value) bool {
	return a.Kind == TableValue && b.Kind == TableValue && a.Tag == "" && b.Tag == "" && len(a.Table.items) == 0 && len(b.Table.items) == 0
}

// under moves a value of the lower table, with all that is in it, to another list of
// problems.
func (e Entry) under(p *Problems) Entry {
	e.Value = e.Value.under(p)
	return e
}

func (v Value) under(p *Problems) Value {
	v.problems = p
	if v.Table != nil {
		t := *v.Table
		t.problems = p
		t.entries = make([]Entry, len(v.Table.entries))
		for i, e := range v.Table.entries {
			t.entries[i] = e.under(p)
		}
		t.items = make([]Value, len(v.Table.items))
		for i, item := range v.Table.items {
			t.items[i] = item.under(p)
		}
		v.Table = &t
	}
	return v
}

// Laid is a block with a table laid over its own.
func (b Block) Laid(over *Table) Block {
	t := b.Table().Overlay(over)
	b.Value.Kind, b.Value.Table, b.Value.problems = TableValue, t, t.problems
	return b
}

// Without gives the table without a key.
func (t *Table) Without(key string) *Table {
	out := *t
	out.entries, out.index = nil, map[string]int{}
	for _, e := range t.entries {
		if e.Key != key {
			out.index[e.Key] = len(out.entries)
			out.entries = append(out.entries, e)
		}
	}
	return &out
}

// With gives the table with the table under group and key replaced.
func (t *Table) With(group, key string, with *Table) *Table {
	swap := func(t *Table, key string, with *Table) *Table {
		out := *t
		out.entries = append([]Entry(nil), t.entries...)
		if i, ok := t.index[key]; ok {
			out.entries[i].Value.Table = with
		}
		return &out
	}
	g, ok := t.Get(group)
	if !ok || g.Table == nil {
		return t
	}
	return swap(t, group, swap(g.Table, key, with))
}
