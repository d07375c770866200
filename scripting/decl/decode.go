package decl

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"

	"millrace/sim/quantity"
)

// The As functions decode a value. They report a problem and give false when
// it is not what is wanted. None of them accepts a tagged value.

func (v Value) is(k Kind) bool { return v.Kind == k && v.Tag == "" }

// fail reports what package quantity says about a text; that is a whole
// sentence with what to write.
func (v Value) fail(err error) { v.Problem(strings.TrimSuffix(err.Error(), "."), "") }

// AsQuantity gives a quantity in SI units. A number without a unit is taken
// where there is none to write: a count or a share.
func (v Value) AsQuantity(d quantity.Dimension) (float64, bool) {
	switch {
	case v.is(TextValue):
		x, err := quantity.Parse(v.Text, d)
		if err != nil {
			v.fail(err)
			return 0, false
		}
		return x, true
	case v.is(NumberValue) && d == quantity.Count:
		if v.Number < 0 {
			v.Problem(v.shown()+" is below zero", "write "+d.String()+", such as "+d.Example())
			return 0, false
		}
		return v.Number, true
	case v.is(NumberValue) && d == quantity.Fraction:
		return v.Number, true
	case v.is(NumberValue):
		v.Problem(v.shown()+" has no unit", fmt.Sprintf("write %s as a text with its unit, such as %q", d, d.Example()))
		return 0, false
	}
	v.wrong(d.String(), fmt.Sprintf("write for example %q", d.Example()))
	return 0, false
}

// AsNumber gives a number that has no unit, or a share ("80 %" is 0.8).
func (v Value) AsNumber() (float64, bool) {
	switch {
	case v.is(NumberValue):
		return v.Number, true
	case v.is(TextValue):
		x, err := quantity.Parse(v.Text, quantity.Fraction)
		if err != nil {
			v.fail(err)
			return 0, false
		}
		return x, true
	}
	v.wrong("a number", `write for example 0.8 or "80 %"`)
	return 0, false
}

// AsInt gives a whole number.
func (v Value) AsInt() (int, bool) {
	if v.is(NumberValue) && v.Number == math.Trunc(v.Number) && math.Abs(v.Number) < 1<<53 {
		return int(v.Number), true
	}
	v.wrong("a whole number", "write for example 3")
	return 0, false
}

// AsCount gives a whole number of things, 0 or more: 3, "3" or "3 slabs".
func (v Value) AsCount() (int, bool) {
	if v.is(TextValue) {
		n, err := quantity.ParseCount(v.Text)
		if err != nil {
			v.fail(err)
			return 0, false
		}
		return n, true
	}
	if v.is(NumberValue) && v.Number == math.Trunc(v.Number) && v.Number >= 0 && v.Number < 1e9 {
		return int(v.Number), true
	}
	v.wrong("a whole number, 0 or more", "write for example 3")
	return 0, false
}

// AsText gives a text that is not blank.
func (v Value) AsText() (string, bool) {
	if !v.is(TextValue) {
		v.wrong("a text", "write it in quotation marks")
		return "", false
	}
	if strings.TrimSpace(v.Text) == "" {
		v.Problem("the text is empty", "write something between the quotation marks or take the key out")
		return "", false
	}
	return v.Text, true
}

// AsBool gives true or false.
func (v Value) AsBool() (bool, bool) {
	if !v.is(BoolValue) {
		v.wrong("true or false", "write one of the two, without quotation marks")
		return false, false
	}
	return v.Bool, true
}

// AsClock gives a date and time.
func (v Value) AsClock() (quantity.Clock, bool) {
	if !v.is(TextValue) {
		v.wrong("a date and time", `write for example "2031-11-07 22:40"`)
		return 0, false
	}
	c, err := quantity.ParseClock(v.Text)
	if err != nil {
		v.fail(err)
		return 0, false
	}
	return c, true
}

// AsEstimate gives a told time: the text "low 4 h, likely 8 h, bad 26 h", or
// a table with those three keys, of which other keys are left to the caller.
func (v Value) AsEstimate() (quantity.Estimate, bool) {
	var e quantity.Estimate
	var err error
	switch {
	case v.is(TextValue):
		e, err = quantity.ParseEstimate(v.Text)
	case v.Kind == TableValue:
		low, ok1 := v.Table.MustQuantity("low", quantity.Time)
		likely, ok2 := v.Table.MustQuantity("likely", quantity.Time)
		bad, ok3 := v.Table.MustQuantity("bad", quantity.Time)
		if !ok1 || !ok2 || !ok3 {
			return e, false
		}
		e, err = quantity.NewEstimate(low, likely, bad)
	default:
		v.wrong("a told time", `write for example "low 4 h, likely 8 h, bad 26 h"`)
		return e, false
	}
	if err != nil {
		v.fail(err)
		return quantity.Estimate{}, false
	}
	return e, true
}

// AsEnum gives one of a few words.
func (v Value) AsEnum(allowed ...string) (string, bool) {
	if v.is(TextValue) {
		for _, a := range allowed {
			if v.Text == a {
				return a, true
			}
		}
		if near, ok := quantity.Nearest(v.Text, allowed); ok {
			v.Problem(v.shown()+" is not known here", fmt.Sprintf("did you mean %q?", near))
			return "", false
		}
	}
	if !v.bad {
		v.Problem(v.shown()+" is not known here", "write "+oneOf(allowed))
	}
	return "", false
}

func oneOf(words []string) string {
	q := make([]string, len(words))
	for i, w := range words {
		q[i] = strconv.Quote(w)
	}
	switch len(q) {
	case 0:
		return "nothing"
	case 1:
		return q[0]
	}
	return strings.Join(q[:len(q)-1], ", ") + " or " + q[len(q)-1]
}

// AsTable gives a table.
func (v Value) AsTable() (*Table, bool) {
	if !v.is(TableValue) {
		v.wrong("a table", "write { ... }")
		return nil, false
	}
	return v.Table, true
}

// AsFn gives a function of the script.
func (v Value) AsFn() (*lua.LFunction, bool) {
	if !v.is(FuncValue) {
		v.wrong("a function", "write function (...) ... end")
		return nil, false
	}
	return v.Fn, true
}

// list decodes the items of a list; a single value counts as a list of one.
// The result is nil when any item was wrong.
func list[T any](v Value, one func(Value) (T, bool)) ([]T, bool) {
	items := []Value{v}
	if v.Tag == "" && v.Kind == TableValue {
		items = v.Table.items
		for _, e := range v.Table.entries {
			e.Value.Problem("a list has no keys", "write the items one after the other, with commas between them")
			return nil, false
		}
	}
	out := make([]T, 0, len(items))
	for _, item := range items {
		x, ok := one(item)
		if ok {
			out = append(out, x)
		}
	}
	return out, len(out) == len(items)
}

// AsTexts gives a list of texts; one text alone is a list of one.
func (v Value) AsTexts() ([]string, bool) { return list(v, Value.AsText) }

// AsQuantities gives a list of quantities; one alone is a list of one.
func (v Value) AsQuantities(d quantity.Dimension) ([]float64, bool) {
	return list(v, func(v Value) (float64, bool) { return v.AsQuantity(d) })
}

// AsTables gives a list of tables.
func (v Value) AsTables() ([]*Table, bool) {
	if v.is(TableValue) && len(v.Table.items) == 0 && len(v.Table.entries) > 0 {
		return []*Table{v.Table}, true
	}
	return list(v, Value.AsTable)
}
