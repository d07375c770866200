package decl

import (
	"fmt"
	"strings"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/quantity"
)

// Table is a table of a block: values with a key, in the order of the file,
// and items without one.
//
// For each kind of value there are a plain function, which gives false when
// the key is missing or wrong, and a Must function, which reports a missing
// key as a problem. Both report a wrong value.
type Table struct {
	Place Place
	What  string // what messages call it: upset "stand wreck", or its key

	problems *Problems
	entries  []Entry
	items    []Value
	index    map[string]int
}

// Items, given to Known, says that values without a key are welcome.
const Items = "[]"

// Known reports every key that is not among those given, with the nearest
// one that is. Values without a key are reported unless Items is given.
func (t *Table) Known(keys ...string) {
	valid := make(map[string]bool, len(keys))
	words := make([]string, 0, len(keys))
	for _, k := range keys {
		if !valid[k] && k != Items {
			words = append(words, k)
		}
		valid[k] = true
	}
	for _, e := range t.entries {
		if valid[e.Key] {
			continue
		}
		do := "keys here are " + strings.Join(written(words), ", ")
		if near, ok := quantity.Nearest(e.Key, words); ok {
			do = fmt.Sprintf("did you mean %s?", quoted(near))
		} else if len(words) == 0 {
			do = "take it out"
		}
		t.problems.At(e.Value.Place, fmt.Sprintf("unknown key %s in %s", quoted(e.Key), t.What), do)
	}
	if len(t.items) > 0 && !valid[Items] {
		v := t.items[0]
		t.problems.At(v.Place, fmt.Sprintf("%s stands in %s without a key", v.shown(), t.What), "write key = value")
	}
}

func written(keys []string) []string {
	out := make([]string, len(keys))
	for i, k := range keys {
		out[i] = keyAsWritten(k)
	}
	return out
}

// Has says whether a key is there.
func (t *Table) Has(key string) bool { _, ok := t.index[key]; return ok }

// Get gives the value of a key.
func (t *Table) Get(key string) (Value, bool) {
	i, ok := t.index[key]
	if !ok {
		return Value{}, false
	}
	return t.entries[i].Value, true
}

// Entries are the values with a key, in the order of the file.
func (t *Table) Entries() []Entry { return t.entries }

// Items are the values without a key, in their order.
func (t *Table) Items() []Value { return t.items }

// At is the place of a key, that of the table when the key is missing.
func (t *Table) At(key string) Place {
	if v, ok := t.Get(key); ok {
		return v.Place
	}
	return t.Place
}

// Problem reports something wrong at a key, or with the table as a whole when
// the key is missing or empty.
func (t *Table) Problem(key, what, do string) {
	if v, ok := t.Get(key); ok {
		v.Problem(what, do)
		return
	}
	t.problems.At(t.Place, t.What+": "+what, do)
}

// Need reports keys that are missing.
func (t *Table) Need(keys ...string) bool {
	all := true
	for _, k := range keys {
		if !t.Has(k) {
			t.missing(k, "...")
			all = false
		}
	}
	return all
}

// NeedLike is Need of one key with an example of what may stand there.
func (t *Table) NeedLike(key, example string) bool {
	if !t.Has(key) {
		t.missing(key, example)
		return false
	}
	return true
}

func (t *Table) missing(key, example string) {
	t.problems.At(t.Place, fmt.Sprintf("%s needs %s", t.What, quoted(key)), fmt.Sprintf("add %s = %s", keyInTable(key), example))
}

// get decodes the value of a key that may be missing.
func get[T any](t *Table, key string, one func(Value) (T, bool)) (x T, ok bool) {
	v, there := t.Get(key)
	if !there {
		return x, false
	}
	return one(v)
}

// must decodes the value of a key that may not be missing.
func must[T any](t *Table, key, example string, one func(Value) (T, bool)) (x T, ok bool) {
	v, there := t.Get(key)
	if !there {
		t.missing(key, example)
		return x, false
	}
	return one(v)
}

func or[T any](x T, ok bool, def T) T {
	if ok {
		return x
	}
	return def
}

func asQuantity(d quantity.Dimension) func(Value) (float64, bool) {
	return func(v Value) (float64, bool) { return v.AsQuantity(d) }
}

// Quantity gives a quantity in SI units.
func (t *Table) Quantity(key string, d quantity.Dimension) (float64, bool) {
	return get(t, key, asQuantity(d))
}

// MustQuantity is Quantity of a key that may not be missing.
func (t *Table) MustQuantity(key string, d quantity.Dimension) (float64, bool) {
	return must(t, key, fmt.Sprintf("%q", d.Example()), asQuantity(d))
}

// QuantityOr is Quantity with a default.
func (t *Table) QuantityOr(key string, d quantity.Dimension, def float64) float64 {
	x, ok := t.Quantity(key, d)
	return or(x, ok, def)
}

// String gives a text that is not blank.
func (t *Table) String(key string) (string, bool) { return get(t, key, Value.AsText) }

// MustString is String of a key that may not be missing.
func (t *Table) MustString(key string) (string, bool) { return must(t, key, `"..."`, Value.AsText) }

// StringOr is String with a default.
func (t *Table) StringOr(key, def string) string { x, ok := t.String(key); return or(x, ok, def) }

// Bool gives true or false.
func (t *Table) Bool(key string) (bool, bool) { return get(t, key, Value.AsBool) }

// BoolOr is Bool with a default.
func (t *Table) BoolOr(key string, def bool) bool { x, ok := t.Bool(key); return or(x, ok, def) }

// Int gives a whole number.
func (t *Table) Int(key string) (int, bool) { return get(t, key, Value.AsInt) }

// MustInt is Int of a key that may not be missing.
func (t *Table) MustInt(key string) (int, bool) { return must(t, key, "3", Value.AsInt) }

// IntOr is Int with a default.
func (t *Table) IntOr(key string, def int) int { x, ok := t.Int(key); return or(x, ok, def) }

// Count gives a whole number of things, 0 or more.
func (t *Table) Count(key string) (int, bool) { return get(t, key, Value.AsCount) }

// MustCount is Count of a key that may not be missing.
func (t *Table) MustCount(key string) (int, bool) { return must(t, key, "3", Value.AsCount) }

// CountOr is Count with a default.
func (t *Table) CountOr(key string, def int) int { x, ok := t.Count(key); return or(x, ok, def) }

// Number gives a number without a unit, or a share ("80 %" is 0.8).
func (t *Table) Number(key string) (float64, bool) { return get(t, key, Value.AsNumber) }

// MustNumber is Number of a key that may not be missing.
func (t *Table) MustNumber(key string) (float64, bool) { return must(t, key, "0.8", Value.AsNumber) }

// NumberOr is Number with a default.
func (t *Table) NumberOr(key string, def float64) float64 {
	x, ok := t.Number(key)
	return or(x, ok, def)
}

// Clock gives a date and time.
func (t *Table) Clock(key string) (quantity.Clock, bool) { return get(t, key, Value.AsClock) }

// MustClock is Clock of a key that may not be missing.
func (t *Table) MustClock(key string) (quantity.Clock, bool) {
	return must(t, key, `"2031-11-07 22:40"`, Value.AsClock)
}

// Estimate gives a told time.
func (t *Table) Estimate(key string) (quantity.Estimate, bool) {
	return get(t, key, Value.AsEstimate)
}

// MustEstimate is Estimate of a key that may not be missing.
func (t *Table) MustEstimate(key string) (quantity.Estimate, bool) {
	return must(t, key, `"low 4 h, likely 8 h, bad 26 h"`, Value.AsEstimate)
}

// Enum gives one of a few words.
func (t *Table) Enum(key string, allowed ...string) (string, bool) {
	return get(t, key, func(v Value) (string, bool) { return v.AsEnum(allowed...) })
}

// MustEnum is Enum of a key that may not be missing.
func (t *Table) MustEnum(key string, allowed ...string) (string, bool) {
	return must(t, key, oneOf(allowed), func(v Value) (string, bool) { return v.AsEnum(allowed...) })
}

// EnumOr is Enum with a default.
func (t *Table) EnumOr(key, def string, allowed ...string) string {
	x, ok := t.Enum(key, allowed...)
	return or(x, ok, def)
}

// Sub gives a table inside this one.
func (t *Table) Sub(key string) (*Table, bool) { return get(t, key, Value.AsTable) }

// MustSub is Sub of a key that may not be missing.
func (t *Table) MustSub(key string) (*Table, bool) { return must(t, key, "{ ... }", Value.AsTable) }

// Fn gives a function of the script.
func (t *Table) Fn(key string) (*lua.LFunction, bool) { return get(t, key, Value.AsFn) }

// MustFn is Fn of a key that may not be missing.
func (t *Table) MustFn(key string) (*lua.LFunction, bool) {
	return must(t, key, "function (...) ... end", Value.AsFn)
}

// Strings gives a list of texts; one text alone is a list of one.
func (t *Table) Strings(key string) ([]string, bool) { return get(t, key, Value.AsTexts) }

// Quantities gives a list of quantities; one alone is a list of one.
func (t *Table) Quantities(key string, d quantity.Dimension) ([]float64, bool) {
	return get(t, key, func(v Value) ([]float64, bool) { return v.AsQuantities(d) })
}

// Tables gives a list of tables; one table with keys alone is a list of one.
func (t *Table) Tables(key string) ([]*Table, bool) { return get(t, key, Value.AsTables) }

// MustTables is Tables of a key that may not be missing.
func (t *Table) MustTables(key string) ([]*Table, bool) {
	return must(t, key, "{ { ... }, { ... } }", Value.AsTables)
}
