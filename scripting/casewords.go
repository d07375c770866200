package scripting

import (
	"slices"
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/quantity"
)

// written are the changes of a layer, one a line, each with what the works file says:
// "upset stand wreck: lasts = lognormal { median = 10 h, one_in_ten = 22 h }, was
// lognormal { ... }". The works must have been read.
func (l *layer) written() []string {
	var out []string
	for _, x := range l.leaves() {
		out = append(out, x.text)
	}
	return out
}

// idle says that every value of a layer is the one it is laid over.
func (l *layer) idle() bool {
	return !slices.ContainsFunc(l.leaves(), func(x leaf) bool { return !x.same })
}

// leaf is a value that is changed, as written() says it, and whether it stays the same.
type leaf struct {
	text string
	same bool
}

func (l *layer) leaves() []leaf {
	var out []leaf
	if l.changes != nil {
		out = leaves(l.changes, l.seen.below, "")
	}
	if l.upsets != nil {
		for _, e := range l.upsets.Entries() {
			if e.Value.Kind != decl.TableValue {
				continue
			}
			for _, x := range leaves(e.Value.Table, l.seen.upset(e.Key), "") {
				out = append(out, leaf{"upset " + e.Key + ": " + x.text, x.same})
			}
		}
	}
	return out
}

// leaves are the values of a table and of the tables in it, each with what stands in its
// place in the table below; nil for none.
func leaves(t, below *decl.Table, above string) (out []leaf) {
	for _, e := range t.Entries() {
		var old decl.Value
		there := false
		if below != nil {
			old, there = below.Get(e.Key)
		}
		if v := e.Value; v.Kind == decl.TableValue && v.Tag == "" && len(v.Table.Entries()) > 0 {
			var in *decl.Table
			if there && old.Kind == decl.TableValue && old.Tag == "" {
				in = old.Table
			}
			out = append(out, leaves(v.Table, in, above+e.Key+", ")...)
			continue
		}
		now, was := writtenValue(e.Value), "none" // "none" takes away what need not be there
		s := above + e.Key + " = " + now
		if there {
			was = writtenValue(old)
			s += ", was " + was
		}
		out = append(out, leaf{s, now == was})
	}
	return out
}

func writtenValue(v decl.Value) string {
	s := ""
	switch v.Kind {
	case decl.TextValue:
		s = v.Text
	case decl.NumberValue:
		s = quantity.FormatNumber(v.Number, 0)
		if v.Number != float64(int64(v.Number)) {
			s = strings.TrimRight(quantity.FormatNumber(v.Number, 4), "0")
		}
	case decl.BoolValue:
		s = "no"
		if v.Bool {
			s = "yes"
		}
	case decl.TableValue:
		var parts []string
		for _, e := range v.Table.Entries() {
			parts = append(parts, e.Key+" = "+writtenValue(e.Value))
		}
		for _, i := range v.Table.Items() {
			parts = append(parts, writtenValue(i))
		}
		s = "{ " + strings.Join(parts, ", ") + " }"
	default:
		s = "..."
	}
	return strings.TrimSpace(v.Tag + " " + s)
}
