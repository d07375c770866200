package cashflow

import (
	"fmt"
	"math"
	"strconv"
)

// Ledger rounds amounts to a number of decimals, from 0 to 6, for printing and adds
// up what is printed: the total is exactly the sum of the lines, which the rounded
// sum of the amounts need not be. The sums are whole numbers, so nothing is lost in
// binary fractions. Amounts up to 9e12 are taken.
func Ledger(amounts []float64, decimals int) (lines []string, total string, err error) {
	if decimals < 0 || decimals > 6 {
		return nil, "", fmt.Errorf("%d decimals; 0 to 6 are possible", decimals)
	}
	unit := int64(math.Pow10(decimals))
	write := func(units int64) string {
		sign := ""
		if units < 0 {
			sign, units = "-", -units
		}
		s := sign + strconv.FormatInt(units/unit, 10)
		if decimals == 0 {
			return s
		}
		return s + fmt.Sprintf(".%0*d", decimals, units%unit)
	}
	var sum int64
	for k, a := range amounts {
		if !(math.Abs(a) <= 9e12/float64(max(1, len(amounts)))) {
			return nil, "", fmt.Errorf("amount %d: %w: %g", k, ErrNumber, a)
		}
		units, err := roundTo(a, decimals)
		if err != nil {
			return nil, "", err
		}
		lines = append(lines, write(units))
		sum += units
	}
	return lines, write(sum), nil
}

// roundTo reads the amount as the decimal number it prints as and rounds that, half
// away from zero, as people do: 2.675 is 2.68, though the double is just below.
func roundTo(a float64, decimals int) (int64, error) {
	s := strconv.FormatFloat(math.Abs(a), 'f', -1, 64)
	whole, fraction := s, ""
	for i := range s {
		if s[i] == '.' {
			whole, fraction = s[:i], s[i+1:]
			break
		}
	}
	for len(fraction) <= decimals {
		fraction += "0"
	}
	units, err := strconv.ParseInt(whole+fraction[:decimals], 10, 64)
	if err != nil {
		return 0, err
	}
	if fraction[decimals] >= '5' {
		units++
	}
	if a < 0 {
		units = -units
	}
	return units, nil
}
