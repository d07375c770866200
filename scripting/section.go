package scripting

import (
	"fmt"
	"math"
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/quantity"
)

// section reads one table of a works file. It remembers which keys it was asked
// for; end reports all others.
//
// Functions that end in 0 read a key that may be missing and then leave what the
// destination holds; the others report a missing key, unless the section is
// loose: a measured rate stands in for the equipment, whose keys may be left out.
type section struct {
	t     *decl.Table
	money *currency
	keys  []string
	loose bool
}

// currency is the one currency word of a works.
type currency struct{ word string }

// within are the limits of a value, as written in files; an empty text is none.
type within struct{ low, high string }

func (s *section) ask(key string) { s.keys = append(s.keys, key) }

// end reports unknown keys.
func (s *section) end() { s.t.Known(s.keys...) }

// lacks says whether a key is missing, and that it must be reported.
func (s *section) lacks(key string) (missing, report bool) {
	s.ask(key)
	missing = !s.t.Has(key)
	return missing, missing && !s.loose
}

// sub opens a table inside this one; nil when it is missing or wrong.
func (s *section) sub(key string) *section {
	if missing, report := s.lacks(key); missing {
		if report {
			s.t.MustSub(key)
		}
		return nil
	}
	return s.sub0(key)
}

func (s *section) sub0(key string) *section {
	s.ask(key)
	if t, ok := s.t.Sub(key); ok {
		return &section{t: t, money: s.money, loose: s.loose}
	}
	return nil
}

// quantity reads a quantity in SI units; a temperature in C.
func (s *section) quantity(key string, d quantity.Dimension, to *float64, limits ...within) bool {
	if missing, report := s.lacks(key); missing {
		if report {
			s.t.MustQuantity(key, d)
		}
		return false
	}
	return s.quantity0(key, d, to, limits...)
}

func (s *section) quantity0(key string, d quantity.Dimension, to *float64, limits ...within) bool {
	s.ask(key)
	v, there := s.t.Get(key)
	if !there {
		return false
	}
	x, ok := readQuantity(v, d, s.money)
	if !ok {
		return false
	}
	for _, l := range limits {
		if !l.check(v, d, x) {
			return false
		}
	}
	*to = x
	return true
}

// readQuantity is Value.AsQuantity with temperatures in C and one currency.
func readQuantity(v decl.Value, d quantity.Dimension, money *currency) (float64, bool) {
	x, ok := v.AsQuantity(d)
	if !ok {
		return 0, false
	}
	if d == quantity.Temperature {
		x, _ = quantity.ParseCelsius(v.Text)
	}
	if d >= quantity.Money && d <= quantity.MoneyPerVolume && v.Kind == decl.TextValue {
		if _, word, err := quantity.ParseMoney(v.Text, d); err == nil && money != nil {
			if money.word == "" {
				money.word = word
			}
			if word != money.word {
				v.Problem(fmt.Sprintf("%q is in %s, but the works counts in %s", v.Text, word, money.word), "write every amount in one currency")
				return 0, false
			}
		}
	}
	return x, true
}

func (l within) check(v decl.Value, d quantity.Dimension, x float64) bool {
	parse := func(text string, otherwise float64) float64 {
		if text == "" {
			return otherwise
		}
		y, err := quantity.Parse(text, d)
		if d == quantity.Temperature {
			y, err = quantity.ParseCelsius(text)
		}
		if err != nil {
			panic(err) // a limit in this program is spelt wrong: every test meets it
		}
		return y
	}
	low, high := parse(l.low, math.Inf(-1)), parse(l.high, math.Inf(1))
	if x >= low && x <= high {
		return true
	}
	switch {
	case l.high == "":
		v.Problem(fmt.Sprintf("%s is too little", written(v)), "write "+l.low+" or more")
	case l.low == "":
		v.Problem(fmt.Sprintf("%s is too much", written(v)), "write "+l.high+" or less")
	default:
		v.Problem(fmt.Sprintf("%s is out of range", written(v)), "write "+l.low+" to "+l.high)
	}
	return false
}

func written(v decl.Value) string {
	if v.Kind == decl.TextValue {
		return `"` + v.Text + `"`
	}
	return fmt.Sprintf("%g", v.Number)
}

// Short forms.

func (s *section) length(key string, to *float64, l ...within) {
	s.quantity(key, quantity.Length, to, l...)
}
func (s *section) mass(key string, to *float64, l ...within) {
	s.quantity(key, quantity.Mass, to, l...)
}
func (s *section) time(key string, to *float64, l ...within) {
	s.quantity(key, quantity.Time, to, l...)
}
func (s *section) celsius(key string, to *float64, l ...within) {
	s.quantity(key, quantity.Temperature, to, l...)
}
func (s *section) kelvin(key string, to *float64, l ...within) {
	s.quantity(key, quantity.TempDiff, to, l...)
}
func (s *section) speed(key string, to *float64, l ...within) {
	s.quantity(key, quantity.Speed, to, l...)
}
func (s *section) massRate(key string, to *float64, l ...within) {
	s.quantity(key, quantity.MassRate, to, l...)
}
func (s *section) power(key string, to *float64, l ...within) {
	s.quantity(key, quantity.Power, to, l...)
}

// share reads "60 %" or 0.6, from 0 to 1.
func (s *section) share(key string, to *float64) {
	s.quantity(key, quantity.Fraction, to, within{"0 %", "100 %"})
}

func (s *section) share0(key string, to *float64) {
	s.quantity0(key, quantity.Fraction, to, within{"0 %", "100 %"})
}

// number reads a plain number.
func (s *section) number(key string, to *float64, low, high float64) {
	if missing, report := s.lacks(key); missing {
		if report {
			s.t.MustNumber(key)
		}
		return
	}
	s.number0(key, to, low, high)
}

func (s *section) number0(key string, to *float64, low, high float64) {
	s.ask(key)
	x, ok := s.t.Number(key)
	if !ok {
		return
	}
	if !(x >= low && x <= high) {
		s.t.Problem(key, fmt.Sprintf("%g is out of range", x), fmt.Sprintf("write a number from %g to %g", low, high))
		return
	}
	*to = x
}

// count reads a whole number of things.
func (s *section) count(key string, to *int, low, high int) {
	if missing, report := s.lacks(key); missing {
		if report {
			s.t.MustCount(key)
		}
		return
	}
	s.count0(key, to, low, high)
}

func (s *section) count0(key string, to *int, low, high int) {
	s.ask(key)
	n, ok := s.t.Count(key)
	if !ok {
		return
	}
	if n < low || n > high {
		s.t.Problem(key, fmt.Sprintf("%d is out of range", n), fmt.Sprintf("write a whole number from %d to %d", low, high))
		return
	}
	*to = n
}

func (s *section) text(key string, to *string) {
	if missing, report := s.lacks(key); missing {
		if report {
			s.t.MustString(key)
		}
		return
	}
	s.text0(key, to)
}

func (s *section) text0(key string, to *string) {
	s.ask(key)
	if x, ok := s.t.String(key); ok {
		*to = x
	}
}

func (s *section) bool0(key string, to *bool) {
	s.ask(key)
	if x, ok := s.t.Bool(key); ok {
		*to = x
	}
}

func (s *section) word0(key string, to *string, allowed ...string) {
	s.ask(key)
	if x, ok := s.t.Enum(key, allowed...); ok {
		*to = x
	}
}

// each opens the tables of a key that names things: { C1 = { ... }, C2 = { ... } }.
func (s *section) each(key string, one func(name string, s *section)) {
	list := s.sub(key)
	if list == nil {
		return
	}
	if len(list.t.Items()) > 0 {
		list.t.Problem("", "holds things without a name", "write "+key+" = { name = { ... } }")
		return
	}
	for _, e := range list.t.Entries() {
		if t, ok := e.Value.AsTable(); ok {
			one(e.Key, &section{t: t, money: s.money})
		}
	}
}

// list opens the tables of a key that lists things: { { ... }, { ... } }.
func (s *section) list0(key string, one func(s *section)) {
	s.ask(key)
	tables, ok := s.t.Tables(key)
	if !ok {
		return
	}
	for _, t := range tables {
		one(&section{t: t, money: s.money})
	}
}

// more adds an empty element to a slice and gives it to be filled; it spares this
// package the names of the steel packages' types.
func more[T any](list *[]T) *T {
	var zero T
	*list = append(*list, zero)
	return &(*list)[len(*list)-1]
}

func sentence(err error) string { return strings.TrimSuffix(err.Error(), ".") }
