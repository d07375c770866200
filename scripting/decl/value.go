package decl

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
)

// Kind is the kind of a value.
type Kind uint8

// The kinds of values. A tagged value has the kind of what the tag was given.
const (
	NoValue Kind = iota
	TextValue
	NumberValue
	BoolValue
	TableValue
	FuncValue
	OtherValue // something a Go function of the caller's made; see Raw
)

// Value is a value of a block, with its place.
type Value struct {
	Kind   Kind
	Tag    string // the word before it, such as lognormal; empty for none
	Text   string
	Number float64
	Bool   bool
	Table  *Table
	Fn     *lua.LFunction
	Raw    lua.LValue // as the script's state has it, without its tag
	Place  Place
	Name   string // what messages call it: its key, or "item 3 of heats"

	problems *Problems
	bad      bool // reported already when it was read
}

// Entry is a key of a table and its value.
type Entry struct {
	Key   string
	Value Value
}

// Bounds on what a block may hold: a script can make tables that contain each
// other.
const (
	maxDepth  = 20
	maxValues = 100_000
)

type converter struct {
	*reading
	budget int
}

func (c *converter) value(v lua.LValue, place Place, name string, depth int) Value {
	out := Value{Raw: v, Place: place, Name: name, problems: c.problems}
	if u, ok := v.(*lua.LUserData); ok {
		if t, ok := u.Value.(*tagged); ok {
			out = c.value(t.value, Place{place.File, t.line}, name, depth)
			if out.Tag != "" {
				c.problems.At(out.Place, fmt.Sprintf("%s: %s of %s means nothing", name, t.tag, out.Tag), "write one of the two")
				out.bad = true
			}
			out.Tag = t.tag
			return out
		}
	}
	switch v := v.(type) {
	case lua.LString:
		out.Kind, out.Text = TextValue, string(v)
	case lua.LNumber:
		out.Kind, out.Number = NumberValue, float64(v)
		if math.IsNaN(out.Number) || math.IsInf(out.Number, 0) {
			c.problems.At(place, name+" is not a number that can be used", "is something divided by zero?")
			out.Kind, out.bad = NoValue, true
		}
	case lua.LBool:
		out.Kind, out.Bool = BoolValue, bool(v)
	case *lua.LFunction:
		out.Kind, out.Fn = FuncValue, v
	case *lua.LTable:
		out.Kind, out.Table = TableValue, c.table(v, place, name, depth)
	case *lua.LNilType:
		out.Kind = NoValue
	default:
		out.Kind = OtherValue
	}
	return out
}

func (c *converter) table(t *lua.LTable, place Place, name string, depth int) *Table {
	out := &Table{Place: place, What: name, problems: c.problems, index: map[string]int{}}
	if depth >= maxDepth {
		c.problems.At(place, name+" holds tables inside tables too deeply", "does a table contain itself?")
		return out
	}
	lines := c.lines(t, out)
	n := t.Len()
	for k, v := t.Next(lua.LNil); k != lua.LNil; k, v = t.Next(k) {
		if c.budget--; c.budget < 0 {
			c.problems.At(place, name+" holds too many values", "keep large tables in CSV files")
			break
		}
		switch k := k.(type) {
		case lua.LNumber:
			i := int(k)
			if float64(k) != float64(i) || i < 1 || i > n || i != len(out.items)+1 {
				c.problems.At(out.Place, fmt.Sprintf("%s has an item numbered %s, which does not follow the one before", name, k.String()),
					"write the items one after the other, without numbers and without nil between them")
				continue
			}
			at := lines.item(i, out.Place)
			out.items = append(out.items, c.value(v, at, fmt.Sprintf("item %d of %s", i, name), depth+1))
		case lua.LString:
			key := plainKey(string(k))
			at, ok := lines.keys[string(k)]
			if !ok {
				at = out.Place
			}
			if _, twice := out.index[key]; twice {
				c.problems.At(at, fmt.Sprintf("%s is written twice in %s", quoted(key), name), "keep one of them")
				continue
			}
			out.index[key] = len(out.entries)
			out.entries = append(out.entries, Entry{key, c.value(v, at, key, depth+1)})
		default:
			c.problems.At(out.Place, fmt.Sprintf("%s has a key that is a %s", name, k.Type()), "keys are words or texts")
		}
	}
	return out
}

// reservedWords are those a key may be written as with an underscore behind.
var reservedWords = map[string]bool{}

func init() {
	for _, w := range strings.Fields("and break do else elseif end false for function goto if in local nil not or repeat return then true until while") {
		reservedWords[w] = true
	}
}

func plainKey(key string) string {
	if word, ok := strings.CutSuffix(key, "_"); ok && reservedWords[word] {
		return word
	}
	return key
}

// keyAsWritten is plainKey backwards, for messages.
func keyAsWritten(key string) string {
	if reservedWords[key] {
		return key + "_"
	}
	return key
}

// keyInTable is how a key stands before the equals sign.
func keyInTable(key string) string {
	if strings.ContainsAny(key, " -") {
		return `["` + key + `"]`
	}
	return keyAsWritten(key)
}

func quoted(key string) string { return "'" + keyAsWritten(key) + "'" }

// keyLines are the places of a table's keys and items.
type keyLines struct {
	keys  map[string]Place
	items []Place
}

func (k keyLines) item(i int, otherwise Place) Place {
	switch {
	case len(k.items) == 0:
		return otherwise
	case i <= len(k.items):
		return k.items[i-1]
	}
	return k.items[len(k.items)-1] // the last one was a call that gave several
}

// lines finds the constructor a table was made by, and takes the table's own
// place from it.
func (c *converter) lines(t *lua.LTable, out *Table) keyLines {
	lines := keyLines{keys: map[string]Place{}}
	made := c.origin[t]
	if made == nil {
		return lines
	}
	out.Place = Place{c.file, made.Line()}
	for _, f := range made.Fields {
		if f.Key == nil {
			lines.items = append(lines.items, Place{c.file, firstLine(f.Value)})
			continue
		}
		key, ok := f.Key.(*ast.StringExpr)
		if !ok {
			continue
		}
		at := Place{c.file, key.Line()}
		if before, twice := lines.keys[key.Value]; twice {
			c.problems.At(at, fmt.Sprintf("%s is written twice in %s, first on line %d", quoted(plainKey(key.Value)), out.What, before.Line),
				"keep one of them")
			continue
		}
		lines.keys[key.Value] = at
	}
	return lines
}

// firstLine is where an expression begins; operators carry the line of their
// left side already, calls that of the function.
func firstLine(e ast.Expr) int { return e.Line() }

// shown writes a value for a message.
func (v Value) shown() string {
	text := ""
	switch v.Kind {
	case TextValue:
		text = strconv.Quote(v.Text)
	case NumberValue:
		text = strconv.FormatFloat(v.Number, 'g', -1, 64)
	case BoolValue:
		text = strconv.FormatBool(v.Bool)
	case TableValue:
		text = "{ ... }"
	case FuncValue:
		text = "a function"
	case NoValue:
		text = "nothing"
	default:
		text = "something else"
	}
	if v.Tag != "" {
		return v.Tag + " " + text
	}
	return text
}

// Problem reports something wrong with the value.
func (v Value) Problem(what, do string) {
	if v.problems != nil {
		v.problems.At(v.Place, v.label()+what, do)
	}
}

// label begins a message about a value: "lasts: ".
func (v Value) label() string {
	if v.Name == "" {
		return ""
	}
	return keyAsWritten(v.Name) + ": "
}

// wrong reports a value of the wrong kind, unless it was reported already.
func (v Value) wrong(wanted, do string) {
	if !v.bad {
		v.Problem(fmt.Sprintf("%s is not %s", v.shown(), wanted), do)
	}
}
