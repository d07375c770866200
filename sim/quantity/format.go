package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Text for numbers that are none.
const (
	notKnown = "not known" // NaN
	never    = "never"     // an infinite time
)

// FormatNumber writes v with a fixed number of decimals and commas between
// thousands: 19500.04 with one decimal is "19,500.0". Ties go to the even
// digit of the binary value, as strconv rounds.
func FormatNumber(v float64, decimals int) string {
	if math.IsNaN(v) {
		return notKnown
	}
	if math.IsInf(v, 0) {
		if v < 0 {
			return "-unlimited"
		}
		return "unlimited"
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', max(0, decimals), 64)
	digits, frac, hasFrac := strings.Cut(s, ".")
	var b strings.Builder
	if v < 0 && strings.Trim(s, "0.") != "" { // no "-0"
		b.WriteByte('-')
	}
	for i := 0; i < len(digits); i++ {
		if i > 0 && (len(digits)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteByte(digits[i])
	}
	if hasFrac {
		b.WriteByte('.')
		b.WriteString(frac)
	}
	return b.String()
}

// trimmed is FormatNumber without zeros at the end of the decimals.
func trimmed(v float64, decimals int) string {
	s := FormatNumber(v, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// FormatDuration writes seconds as a person would say them: "45 s", "40 min",
// "18.7 h", "2.3 d". Seconds up to a minute and a half, minutes up to two
// hours, hours up to two days, then days.
func FormatDuration(seconds float64) string {
	if math.IsNaN(seconds) {
		return notKnown
	}
	if math.IsInf(seconds, 1) {
		return never
	}
	switch a := math.Abs(seconds); {
	case a < 10 && a != math.Round(a):
		return trimmed(seconds, 1) + " s"
	case a < 90:
		return FormatNumber(seconds, 0) + " s"
	case a < 2*3600:
		return FormatNumber(seconds/60, 0) + " min"
	case a < 48*3600:
		return trimmed(seconds/3600, 1) + " h"
	default:
		return trimmed(seconds/86400, 1) + " d"
	}
}

// FormatMass writes kilograms: "850 kg", "7.25 t", "23.2 t", "19,500 t".
func FormatMass(kg float64) string {
	switch a := math.Abs(kg); {
	case math.IsNaN(kg):
		return notKnown
	case a < 1:
		return trimmed(kg*1000, 0) + " g"
	case a < 1000:
		return trimmed(kg, 0) + " kg"
	case a < 10e3:
		return trimmed(kg/1000, 2) + " t"
	case a < 100e3:
		return trimmed(kg/1000, 1) + " t"
	default:
		return FormatNumber(kg/1000, 0) + " t"
	}
}

// FormatMoney writes an amount: "12.50 EUR", "84,000 EUR", "1.23 million EUR".
// Billions stay "1,230 million": the word means two different numbers.
func FormatMoney(amount float64, currency string) string {
	if math.IsNaN(amount) {
		return notKnown
	}
	var s string
	switch a := math.Abs(amount); {
	case math.Round(a) >= 1e6:
		s = FormatNumber(amount/1e6, 2) + " million"
	case a >= 100 || a == math.Round(a):
		s = FormatNumber(amount, 0)
	default:
		s = FormatNumber(amount, 2)
	}
	if currency == "" {
		return s
	}
	return s + " " + currency
}

// FormatShare writes a fraction of one as a percentage: "60 %", "0.4 %".
func FormatShare(f float64) string {
	if math.Abs(f) < 0.0995 {
		return trimmed(f*100, 1) + " %"
	}
	return trimmed(f*100, 0) + " %"
}

// Format writes an SI value of the given kind in the trade's usual unit with
// about four significant figures: Format(0.230, Length) is "230 mm". Money is
// written without a currency word; use FormatMoney where one is known.
func Format(v float64, d Dimension) string {
	switch d {
	case Fraction:
		return FormatShare(v)
	case Time:
		return FormatDuration(v)
	case Mass:
		return FormatMass(v)
	case Money:
		return FormatMoney(v, "")
	case Count:
		return significant(v)
	case Temperature:
		return significant(v+absoluteZero) + " C"
	case Length:
		if math.Abs(v) < 2 {
			return significant(v*1000) + " mm"
		}
		return significant(v) + " m"
	case Rate:
		return significant(v*3600) + " per h"
	}
	if d >= dimensions {
		return significant(v)
	}
	unit := d.info().units[0]
	r, err := sum("1 "+unit, d)
	if err != nil || r.value == 0 {
		return significant(v)
	}
	text := significant(v / r.value)
	if d.info().exp.money != 0 { // "EUR/t" without the currency
		return text + strings.TrimPrefix(unit, "EUR")
	}
	return text + " " + unit
}

// significant writes v with four significant figures, thousands parted.
func significant(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return FormatNumber(v, 0)
	}
	decimals := 3 - int(math.Floor(math.Log10(math.Abs(v))))
	return trimmed(v, min(max(decimals, 0), 12))
}
