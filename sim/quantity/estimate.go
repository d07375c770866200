package quantity

import (
	"math"
	"strings"
)

// Estimate is how long people say something will last, in seconds: one time in
// ten it is shorter than Low, half the time shorter than Likely, one time in
// ten longer than Bad.
type Estimate struct{ Low, Likely, Bad float64 }

// NewEstimate checks 0 < low < likely < bad (seconds).
func NewEstimate(low, likely, bad float64) (Estimate, error) {
	for _, v := range [...]float64{low, likely, bad} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v <= 0 {
			return Estimate{}, sentence("A told time is not above zero; write for example " + estimateExample + ".")
		}
	}
	if low >= likely {
		return Estimate{}, sentence("The low time (" + FormatDuration(low) + ") is not shorter than the likely one (" + FormatDuration(likely) + "); write low < likely < bad, for example " + estimateExample + ".")
	}
	if likely >= bad {
		return Estimate{}, sentence("The bad time (" + FormatDuration(bad) + ") is not longer than the likely one (" + FormatDuration(likely) + "); write low < likely < bad, for example " + estimateExample + ".")
	}
	return Estimate{low, likely, bad}, nil
}

const estimateExample = `"low 4 h, likely 8 h, bad 26 h"`

// ParseEstimate reads "low 4 h, likely 8 h, bad 26 h"; the three may stand in
// any order.
func ParseEstimate(text string) (Estimate, error) {
	var got [3]float64
	var seen [3]bool
	words := []string{"low", "likely", "bad"}
	for _, part := range splitEstimate(text) {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		word, rest, _ := strings.Cut(part, " ")
		word = strings.TrimRight(word, ":=")
		at := -1
		for i, w := range words {
			if w == word {
				at = i
			}
		}
		if at < 0 {
			msg := quote(text) + " has a word " + quote(word) + " that is none of low, likely, bad"
			if near, ok := Nearest(word, words); ok {
				msg += ", did you mean " + quote(near) + "?"
			} else {
				msg += ";"
			}
			return Estimate{}, sentence(msg + " write for example " + estimateExample + ".")
		}
		if seen[at] {
			return Estimate{}, sentence(quote(text) + " gives " + quote(word) + " twice; write for example " + estimateExample + ".")
		}
		v, err := ParsePositive(strings.TrimLeft(rest, " =:"), Time)
		if err != nil {
			return Estimate{}, sentence("In the told times, " + word + ": " + err.Error())
		}
		got[at], seen[at] = v, true
	}
	for i, w := range words {
		if !seen[i] {
			return Estimate{}, sentence(quote(text) + " does not say " + quote(w) + "; write for example " + estimateExample + ".")
		}
	}
	return NewEstimate(got[0], got[1], got[2])
}

// splitEstimate cuts at commas and semicolons that do not part thousands.
func splitEstimate(text string) []string {
	var parts []string
	from := 0
	for i := 0; i < len(text); i++ {
		thousands := text[i] == ',' && i > 0 && isDigit(text[i-1]) && i+1 < len(text) && isDigit(text[i+1])
		if text[i] == ';' || text[i] == ',' && !thousands {
			parts = append(parts, text[from:i])
			from = i + 1
		}
	}
	return append(parts, text[from:])
}

// String writes the estimate as ParseEstimate reads it.
func (e Estimate) String() string {
	return "low " + FormatDuration(e.Low) + ", likely " + FormatDuration(e.Likely) + ", bad " + FormatDuration(e.Bad)
}
