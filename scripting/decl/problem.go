package decl

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"millrace/scripting/sandbox"
)

// Place is a line of a file; Line counts from 1, 0 is unknown.
type Place struct {
	File string
	Line int
}

// String gives "file:line".
func (p Place) String() string {
	if p.Line <= 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d", p.File, p.Line)
}

// Problem is one thing wrong in a file.
type Problem struct {
	Place Place
	What  string // what is wrong
	Do    string // what to do about it; may be empty
}

// Error gives "file:line: what; do".
func (p *Problem) Error() string {
	text := p.Place.String() + ": " + p.What
	if p.Do != "" {
		text += "; " + p.Do
	}
	return text
}

// Problems are all things wrong in a file.
type Problems []error

// mostShown is how many problems are written out; more would scroll the first
// ones, which often cause the rest, off the screen.
const mostShown = 12

// Error gives one problem a line, twelve at most.
func (p Problems) Error() string {
	var b strings.Builder
	for i, err := range p {
		if i == mostShown {
			fmt.Fprintf(&b, "\nand %d more", len(p)-mostShown)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(err.Error())
	}
	return b.String()
}

// Unwrap lets errors.Is and errors.As look at each problem.
func (p Problems) Unwrap() []error { return p }

// Add adds a problem; nil is ignored, and so is one that is there already.
func (p *Problems) Add(err error) {
	if err == nil {
		return
	}
	for _, have := range *p {
		if have.Error() == err.Error() {
			return
		}
	}
	*p = append(*p, err)
}

// At adds a problem at a place.
func (p *Problems) At(place Place, what, do string) { p.Add(&Problem{place, what, do}) }

// Err gives the problems in the order of their lines, nil when there are
// none.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	sort.SliceStable(p, func(i, j int) bool {
		a, b := placeOf(p[i]), placeOf(p[j])
		if a.File != b.File {
			return a.File < b.File
		}
		return a.Line < b.Line
	})
	return p
}

func placeOf(err error) Place {
	var problem *Problem
	if errors.As(err, &problem) {
		return problem.Place
	}
	var script *sandbox.Error
	if errors.As(err, &script) {
		return Place{script.File, script.Line}
	}
	return Place{}
}
