package quantity

import (
	"math"
	"strconv"
	"strings"
)

// absoluteZero in degrees Celsius.
const absoluteZero = -273.15

// Parse reads text as a quantity of the wanted kind and returns it in SI units
// (a Temperature in kelvin). Values below zero are refused where they have no
// meaning. Every error is a whole sentence that can be shown to the writer.
func Parse(text string, want Dimension) (float64, error) {
	v, _, err := parse(text, want)
	return v, err
}

// ParseMoney is Parse for the Money dimensions and also returns the currency
// word, so that the caller can insist on one currency.
func ParseMoney(text string, want Dimension) (value float64, currency string, err error) {
	if want.info().exp.money == 0 {
		return 0, "", sentence("Money was asked for as " + want.String() + ", which has no currency.")
	}
	return parse(text, want)
}

// ParsePositive is Parse for a quantity that must be above zero.
func ParsePositive(text string, want Dimension) (float64, error) {
	v, err := Parse(text, want)
	if err == nil && !(v > 0) {
		return 0, sentence(quote(text) + " is not above zero; " + needed(want))
	}
	return v, err
}

// ParseCelsius is Parse for a Temperature, in degrees Celsius.
func ParseCelsius(text string) (float64, error) {
	r, err := read(text, Temperature)
	if err != nil {
		return 0, err
	}
	if r.lastWord == "K" {
		return r.value + absoluteZero, nil
	}
	return r.value, nil
}

// ParseShare is Parse for a Fraction from 0 to 1.
func ParseShare(text string) (float64, error) {
	v, err := Parse(text, Fraction)
	if err == nil && (v < 0 || v > 1) {
		return 0, sentence(quote(text) + " is not between 0 % and 100 %; write a share of the whole, for example \"60 %\".")
	}
	return v, err
}

// ParseCount is Parse for a whole number of pieces.
func ParseCount(text string) (int, error) {
	v, err := Parse(text, Count)
	if err != nil {
		return 0, err
	}
	if v != math.Trunc(v) || v > 1e9 {
		return 0, sentence(quote(text) + " is not a whole number of pieces below 1,000,000,000; write for example \"12\".")
	}
	return int(v), nil
}

func parse(text string, want Dimension) (float64, string, error) {
	r, err := read(text, want)
	if err != nil {
		return 0, "", err
	}
	if want == Temperature && r.lastWord != "K" {
		r.value -= absoluteZero
	}
	return r.value, r.currency, nil
}

// reading is a quantity as read: value in SI, except that a temperature is
// still on the scale it was written in.
type reading struct {
	value    float64
	exp      exponents
	currency string
	lastWord string
	hasUnit  bool
}

func needed(want Dimension) string {
	return want.String() + " is needed here, for example " + quote(want.Example()) + "."
}

func quote(s string) string { return `"` + strings.TrimSpace(s) + `"` }

// read parses and checks kind, finiteness and sign.
func read(text string, want Dimension) (reading, error) {
	if want >= dimensions {
		return reading{}, sentence("The kind of quantity asked for is not known to the program.")
	}
	s := strings.TrimSpace(text)
	if s == "" {
		return reading{}, sentence("The value is empty; " + needed(want))
	}
	if want == Rate {
		if rest, ok := strings.CutPrefix(s, "every "); ok {
			s = "1 per " + rest
		} else if rest, ok := strings.CutPrefix(s, "once per "); ok {
			s = "1 per " + rest
		}
	}
	r, err := sum(s, want)
	if err != nil {
		return r, err
	}
	if !want.accepts(r.exp) {
		if (r.exp == exponents{}) {
			if r.hasUnit {
				return r, sentence(quote(text) + " is a plain number or share; " + needed(want))
			}
			return r, sentence(quote(text) + " has no unit; " + needed(want))
		}
		return r, sentence(quote(text) + " is " + r.exp.describe() + "; " + needed(want))
	}
	if want == Count && r.hasUnit && r.exp == (exponents{}) && r.value != math.Trunc(r.value) {
		return r, sentence(quote(text) + " is a share; " + needed(want))
	}
	if math.IsNaN(r.value) || math.IsInf(r.value, 0) {
		return r, sentence(quote(text) + " is too large a number; " + needed(want))
	}
	if r.value < 0 && !want.info().signed {
		return r, sentence(quote(text) + " is below zero, which has no meaning for " + want.String() + "; write for example " + quote(want.Example()) + ".")
	}
	if want == Temperature {
		zero := absoluteZero
		if r.lastWord == "K" {
			zero = 0
		}
		if r.value < zero {
			return r, sentence(quote(text) + " is below absolute zero (-273.15 C); write for example " + quote(want.Example()) + ".")
		}
	}
	return r, nil
}

// sum reads one quantity, or for times several to be added ("1 h 30 min").
func sum(s string, want Dimension) (reading, error) {
	total, rest, err := term(s, s, want)
	if err != nil || rest == "" {
		return total, err
	}
	for rest != "" {
		if want != Time {
			return total, sentence(quote(s) + " holds more than one number; " + needed(want))
		}
		var next reading
		next, rest, err = term(rest, s, want)
		if err != nil {
			return total, err
		}
		if next.exp != expTime || total.exp != expTime || next.value < 0 || total.value < 0 {
			return total, sentence(quote(s) + " is not a sum of times; write it like \"1 h 30 min\".")
		}
		total.value += next.value
	}
	return total, nil
}

// term reads a number and the unit after it, up to a number that starts the
// next term.
func term(s, whole string, want Dimension) (reading, string, error) {
	var r reading
	v, rest, err := number(s, whole, want)
	if err != nil {
		return r, "", err
	}
	r.value = v
	power := int8(1)
	afterSlash := false // the last thing read was the dividing line
	for {
		rest = strings.TrimLeft(rest, " \t*·().")
		if rest == "" {
			if afterSlash {
				return r, "", sentence(quote(whole) + " ends below the line; " + needed(want))
			}
			return r, "", nil
		}
		if rest[0] == '/' {
			if afterSlash {
				return r, "", sentence(quote(whole) + " has two dividing lines together; " + needed(want))
			}
			power, afterSlash, rest = -1, true, rest[1:]
			continue
		}
		if isNumberStart(rest) {
			if !afterSlash {
				if rest[0] == '1' && strings.HasPrefix(strings.TrimLeft(rest[1:], " "), "/") { // "20 1/h"
					rest = rest[1:]
					continue
				}
				return r, rest, nil
			}
			var d float64
			d, rest, err = number(rest, whole, want)
			if err != nil {
				return r, "", err
			}
			if d <= 0 {
				return r, "", sentence(quote(whole) + " divides by a number that is not above zero; " + needed(want))
			}
			r.value /= d
			afterSlash = false
			continue
		}
		word, exponent, after := unitWord(rest)
		rest = after
		if word == "per" {
			if afterSlash {
				return r, "", sentence(quote(whole) + " has two dividing lines together; " + needed(want))
			}
			power, afterSlash = -1, true
			continue
		}
		u, currency, ok := findUnit(word)
		if !ok {
			return r, "", unknownUnit(whole, s, word, want)
		}
		if currency != "" {
			if want.info().exp.money == 0 { // a unit in capitals rather than a currency
				if near, found := Nearest(word, unitWords); found {
					return r, "", sentence(quote(whole) + " has an unknown unit " + quote(word) + ", did you mean " + quote(near) + "? " + capital(needed(want)))
				}
			}
			if r.currency != "" {
				return r, "", sentence(quote(whole) + " names two currencies; " + needed(want))
			}
			r.currency = currency
		}
		r.hasUnit = true
		afterSlash = false
		r.lastWord = u.word
		p := power * exponent
		r.exp = r.exp.plus(u.exp, p)
		for ; p > 0; p-- {
			r.value *= u.factor
		}
		for ; p < 0; p++ {
			r.value /= u.factor
		}
	}
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func unknownUnit(whole, s, word string, want Dimension) error {
	msg := quote(whole) + " has an unknown unit " + quote(word)
	near, ok := Nearest(word, want.info().units)
	if !ok {
		near, ok = Nearest(word, unitWords)
	}
	if ok {
		return sentence(msg + ", did you mean " + quote(near) + "? " + capital(needed(want)))
	}
	return sentence(msg + "; " + needed(want))
}

func isNumberStart(s string) bool {
	if s == "" {
		return false
	}
	c := s[0]
	if (c == '-' || c == '+' || c == '.') && len(s) > 1 {
		c = s[1]
	}
	return c >= '0' && c <= '9'
}

// unitWord takes a unit word and its exponent off the front of s: "m2", "m^3",
// "s-1", "m²". The exponent is one digit from 1 to 4.
func unitWord(s string) (word string, exponent int8, rest string) {
	i := 0
	for i < len(s) {
		c := s[i]
		if c == '%' && i == 0 {
			i = 1
			break
		}
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80
		if c >= 0x80 && (strings.HasPrefix(s[i:], "²") || strings.HasPrefix(s[i:], "³") || strings.HasPrefix(s[i:], "·")) {
			letter = false
		}
		if !letter {
			break
		}
		i++
	}
	if i == 0 { // a sign that is no part of any unit
		for i < len(s) && !strings.ContainsRune(" \t/", rune(s[i])) {
			i++
		}
		return s[:i], 1, s[i:]
	}
	word, rest = s[:i], s[i:]
	if r, ok := strings.CutPrefix(rest, "²"); ok {
		return word, 2, r
	}
	if r, ok := strings.CutPrefix(rest, "³"); ok {
		return word, 3, r
	}
	e := strings.TrimPrefix(rest, "^")
	sign := int8(1)
	if strings.HasPrefix(e, "-") {
		sign, e = -1, e[1:]
	}
	if e != "" && e[0] >= '1' && e[0] <= '4' && (len(e) == 1 || !isDigit(e[1]) && e[1] != '.' && e[1] != ',') {
		return word, sign * int8(e[0]-'0'), e[1:]
	}
	return word, 1, rest
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// number takes a number off the front of s.
func number(s, whole string, want Dimension) (float64, string, error) {
	s = strings.TrimLeft(s, " \t")
	t := s
	if r, ok := strings.CutPrefix(t, "−"); ok { // the typographer's minus
		t = "-" + r
	}
	i := 0
	if i < len(t) && (t[i] == '-' || t[i] == '+') {
		i++
	}
	start := i
	for i < len(t) && (isDigit(t[i]) || t[i] == ',' && i > start && i+1 < len(t) && isDigit(t[i+1])) {
		i++
	}
	whole3 := t[start:i]
	if i < len(t) && t[i] == '.' && i+1 < len(t) && isDigit(t[i+1]) {
		i++
		for i < len(t) && isDigit(t[i]) {
			i++
		}
	} else if i < len(t) && t[i] == '.' && i > start {
		return 0, "", sentence(quote(whole) + " has a point with no digit after it; " + needed(want))
	}
	if i == start {
		return 0, "", sentence(quote(whole) + " does not start with a number; " + needed(want))
	}
	if !groupsOfThree(whole3) {
		return 0, "", sentence(quote(whole) + " has a comma that does not part thousands; write a decimal point, for example \"0.5\", or groups of three, for example \"19,500\".")
	}
	if i < len(t) && (t[i] == 'e' || t[i] == 'E') {
		j := i + 1
		if j < len(t) && (t[j] == '-' || t[j] == '+') {
			j++
		}
		if j < len(t) && isDigit(t[j]) {
			for j < len(t) && isDigit(t[j]) {
				j++
			}
			i = j
		}
	}
	if i < len(t) && (t[i] == ':' || t[i] == '.' || t[i] == ',') {
		if t[i] == ':' {
			return 0, "", sentence(quote(whole) + " looks like a clock time; " + needed(want))
		}
		return 0, "", sentence(quote(whole) + " is not written as a number; " + needed(want))
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(t[:i], ",", ""), 64)
	if err != nil {
		return 0, "", sentence(quote(whole) + " is too large a number; " + needed(want))
	}
	return v, t[i:], nil
}

// groupsOfThree says whether commas, if any, stand only between thousands.
func groupsOfThree(s string) bool {
	parts := strings.Split(s, ",")
	if len(parts) == 1 {
		return true
	}
	if len(parts[0]) == 0 || len(parts[0]) > 3 || parts[0] == "0" {
		return false
	}
	for _, p := range parts[1:] {
		if len(p) != 3 {
			return false
		}
	}
	return true
}
