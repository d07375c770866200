package quantity

import "strings"

// Nearest finds the valid word closest to one that was not recognised, for
// "did you mean". Closeness is the number of letters added, dropped, changed or
// swapped with their neighbour (optimal string alignment form of the
// Damerau-Levenshtein distance), letter case ignored. A word further away than
// a third of its length (one letter for words up to five) is no answer. Of
// equally near words the first in valid wins.
func Nearest(word string, valid []string) (string, bool) {
	w := []rune(strings.ToLower(strings.TrimSpace(word)))
	if len(w) == 0 {
		return "", false
	}
	best, bestAt := 1+max(1, len(w)/3), -1
	for i, v := range valid {
		r := []rune(strings.ToLower(v))
		if len(r)-len(w) >= best || len(w)-len(r) >= best {
			continue
		}
		d := editDistance(w, r)
		if d >= len(r) && d > 0 { // nothing in common
			continue
		}
		if d < best {
			best, bestAt = d, i
		}
	}
	if bestAt < 0 {
		return "", false
	}
	return valid[bestAt], true
}

func editDistance(a, b []rune) int {
	before := make([]int, len(b)+1)
	last := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
