package chance

import (
	"errors"
	"fmt"
)

// Spell is one observed length: a life, a repair, a changeover. Open marks one
// that had not ended when the record did (right-censored): it lasted at least
// Length. Leaving open repairs out makes repairs look short.
type Spell struct {
	Length float64
	Open   bool
}

// Spells makes closed spells of plain lengths.
func Spells(lengths ...float64) []Spell {
	s := make([]Spell, len(lengths))
	for i, x := range lengths {
		s[i].Length = x
	}
	return s
}

// ErrSpells says that there are too few closed or different spells to go by.
var ErrSpells = errors.New("too few different closed spells")

// checkSpells counts the closed spells and refuses lengths that are not above
// zero.
func checkSpells(spells []Spell) (closed int, err error) {
	for i, s := range spells {
		if !finite(s.Length) || s.Length <= 0 {
			return 0, fmt.Errorf("spell %d: a length must be above 0 and at most 1e15, not %s", i, number(s.Length))
		}
		if !s.Open {
			closed++
		}
	}
	return closed, nil
}

// differ says whether the closed spells have at least two lengths.
func differ(spells []Spell) bool {
	first := -1.0
	for _, s := range spells {
		switch {
		case s.Open:
		case first < 0:
			first = s.Length
		case s.Length != first:
			return true
		}
	}
	return false
}
