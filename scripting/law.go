package scripting

import (
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/chance"
	"millrace/sim/quantity"
)

// lawTags are the words for laws of chance.
var lawTags = []string{"lognormal", "exponential", "weibull", "triangular", "uniform", "fixed", "told"}

// readLaw decodes a law of chance of some dimension: lognormal { median = "11 h",
// one_in_ten = "26 h" }, or one value alone, which is then always so.
func readLaw(v decl.Value, d quantity.Dimension) (chance.Law, bool) {
	var law chance.Law
	var err error
	one := func(v decl.Value) (float64, bool) { v.Tag = ""; return readQuantity(v, d, nil) }
	if v.Tag == "" || v.Tag == "fixed" {
		x, ok := one(v)
		if !ok {
			return law, false
		}
		law, err = chance.Fixed(x)
		if err != nil {
			v.Problem(sentence(err), "")
			return law, false
		}
		return law, true
	}
	plain := v
	plain.Tag = ""
	t, ok := plain.AsTable()
	if !ok {
		return law, false
	}
	s := &section{t: t}
	var given []string // what was written, in the order in which a law names its numbers
	say := func(key string) {
		if v, there := t.Get(key); there {
			given = append(given, written(v))
		}
	}
	q := func(key string) float64 {
		x := 0.0
		say(key)
		if !s.quantity(key, d, &x) {
			ok = false
		}
		return x
	}
	switch v.Tag {
	case "lognormal":
		a, b := q("median"), q("one_in_ten")
		if ok {
			law, err = chance.Lognormal(a, b)
		}
	case "exponential":
		a := q("mean")
		if ok {
			law, err = chance.Exponential(a)
		}
	case "weibull":
		shape := 0.0
		s.number("shape", &shape, 0.1, 20)
		say("shape")
		a := q("mean")
		if ok {
			law, err = chance.WeibullMean(shape, a)
		}
	case "triangular":
		a, b, c := q("low"), q("likely"), q("high")
		if ok {
			law, err = chance.Triangular(a, b, c)
		}
	case "uniform":
		a, b := q("low"), q("high")
		if ok {
			law, err = chance.Uniform(a, b)
		}
	case "told":
		a, b, c := q("low"), q("likely"), q("bad")
		if ok {
			law, err = chance.Told(a, b, c)
		}
	default:
		v.Problem(v.Tag+" is no law of chance", "write for example lognormal { median = ..., one_in_ten = ... }")
		return law, false
	}
	s.end()
	if err != nil {
		what := sentence(err)
		if needs, _, ok := strings.Cut(what, ", not "); ok { // the law tells its numbers in SI
			what = needs + ", not " + strings.Join(given, " and ")
		}
		v.Problem(what, "")
		return law, false
	}
	return law, ok
}

// law reads a law of chance.
func (s *section) law(key string, d quantity.Dimension, to *chance.Law) bool {
	if missing, report := s.lacks(key); missing {
		if report {
			s.t.Need(key)
		}
		return false
	}
	return s.law0(key, d, to)
}

func (s *section) law0(key string, d quantity.Dimension, to *chance.Law) bool {
	s.ask(key)
	v, ok := s.t.Get(key)
	if !ok {
		return false
	}
	l, ok := readLaw(v, d)
	if ok {
		*to = l
	}
	return ok
}

// scatter reads a law of a factor with the value 1 in the middle.
func (s *section) scatter(key string, to *chance.Law) {
	*to, _ = chance.Fixed(1)
	s.law0(key, quantity.Fraction, to)
}
