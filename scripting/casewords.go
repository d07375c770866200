package scripting

import (
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/quantity"
)

// written are the changes of a layer as people wrote them, one a line: "upset stand
// wreck: lasts = lognormal { median = 10 h, one_in_ten = 22 h }".
func (l *layer) written() []string {
	var out []string
	if l.changes != nil {
		for _, e := range l.changes.Entries() {
			out = append(out, e.Key+" = "+writtenValue(e.Value))
		}
	}
	if l.upsets != nil {
		for _, e := range l.upsets.Entries() {
			if e.Value.Kind != decl.TableValue {
				continue
			}
			for _, k := range e.Value.Table.Entries() {
				out = append(out, "upset "+e.Key+": "+k.Key+" = "+writtenValue(k.Value))
			}
		}
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
