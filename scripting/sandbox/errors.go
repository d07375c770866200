package sandbox

import (
	"fmt"
	"strconv"
	"strings"
)

// Error is a failure of a script. Line is 0 when no line is to blame.
type Error struct {
	File string
	Line int
	Msg  string // what is wrong, one line
	Hint string // what to do; may be empty
}

// Error gives "file:line: msg" and, on a second line, the hint.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	b.WriteString(": ")
	b.WriteString(e.Msg)
	if e.Hint != "" {
		b.WriteString("\n  ")
		b.WriteString(e.Hint)
	}
	return b.String()
}

// splitPlace takes the "file:line:" prefixes off a message. The innermost
// place wins: it is where things went wrong, the outer ones only passed the
// error on.
func splitPlace(file, text string) (line int, msg string) {
	msg = text
	for {
		rest, ok := strings.CutPrefix(msg, file+":")
		if !ok {
			return line, msg
		}
		digits, tail, ok := strings.Cut(rest, ":")
		if !ok {
			return line, msg
		}
		n, err := strconv.Atoi(digits)
		if err != nil {
			return line, msg
		}
		line, msg = n, strings.TrimPrefix(tail, " ")
	}
}
