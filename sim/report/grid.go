package report

import (
	"strings"
	"unicode/utf8"
)

// wide is the widest line of the tables for a terminal.
const wide = 100

// grid is a table in text: heads of several lines, a first column of words that
// wraps, the rest set to the right.
type grid struct {
	heads [][]string // by column, one string a line
	rows  [][]string
	first int // widest first column
}

func (g *grid) row(cells ...string) { g.rows = append(g.rows, cells) }

// width is how wide the table is.
func (g *grid) width() int {
	w := 0
	for _, l := range strings.Split(g.String(), "\n") {
		w = max(w, utf8.RuneCountInString(l))
	}
	return w
}

// String writes the table. Columns are parted by two spaces.
func (g *grid) String() string {
	width := make([]int, len(g.heads))
	lines := 0
	for c, h := range g.heads {
		lines = max(lines, len(h))
		for _, s := range h {
			width[c] = max(width[c], utf8.RuneCountInString(s))
		}
	}
	for _, r := range g.rows {
		for c, s := range r {
			if c > 0 {
				width[c] = max(width[c], utf8.RuneCountInString(s))
			}
		}
	}
	rest := 0
	for _, w := range width[1:] {
		rest += 2 + w
	}
	longest := width[0]
	for _, r := range g.rows {
		longest = max(longest, utf8.RuneCountInString(r[0]))
	}
	width[0] = min(longest, max(8, wide-rest))
	if g.first > 0 {
		width[0] = min(width[0], g.first)
	}
	var b strings.Builder
	put := func(cells []string) {
		var l strings.Builder
		for c, s := range cells {
			pad := strings.Repeat(" ", max(0, width[c]-utf8.RuneCountInString(s)))
			if c == 0 {
				l.WriteString(s + pad)
			} else {
				l.WriteString("  " + pad + s)
			}
		}
		b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
	}
	for i := range lines {
		cells := make([]string, len(g.heads))
		for c, h := range g.heads {
			if k := i - (lines - len(h)); k >= 0 {
				cells[c] = h[k]
			}
		}
		put(cells)
	}
	for _, r := range g.rows {
		names := []string{r[0]}
		if utf8.RuneCountInString(r[0]) > width[0] {
			names = fold(r[0], width[0], "  ")
		}
		cells := append([]string(nil), r...)
		for i, n := range names {
			if i > 0 {
				cells = make([]string, len(r))
			}
			cells[0] = n
			put(cells)
		}
	}
	return b.String()
}

// fold breaks text at spaces into lines of at most width runes, later lines
// indented; a word that is too long is cut.
func fold(s string, width int, indent string) []string {
	var out []string
	cur := ""
	for _, w := range unbroken(s) {
		for {
			lead := ""
			if len(out) > 0 {
				lead = indent
			}
			try := lead + w
			if cur != "" {
				try = cur + " " + w
			}
			if utf8.RuneCountInString(try) <= width {
				cur = try
				break
			}
			if cur != "" {
				out = append(out, cur)
				cur = ""
				continue
			}
			r := []rune(try)
			out = append(out, string(r[:width]))
			w = string(r[width:])
		}
	}
	if cur != "" || len(out) == 0 {
		out = append(out, cur)
	}
	return out
}

// unbroken are the words of s; a number and its unit are one word.
func unbroken(s string) []string {
	var out []string
	for _, w := range strings.Fields(s) {
		if n := len(out); n > 0 {
			last := out[n-1]
			if c := last[len(last)-1]; c >= '0' && c <= '9' && unitWords[strings.TrimRight(w, ".,;:)")] {
				out[n-1] += " " + w
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

var unitWords = map[string]bool{"%": true, "t": true, "h": true, "d": true, "min": true, "s": true, "C": true, "K": true, "GJ": true, "MW": true,
	"EUR": true, "million": true, "thousand": true, "heats": true, "coils": true, "futures": true}
