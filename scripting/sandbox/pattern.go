package sandbox

import (
	"errors"
	"fmt"
	"strings"
)

// Matching of Lua 5.1 patterns (Reference Manual 5.4.1), written here rather
// than taken from the host library because that one cannot be stopped: a
// pattern such as ".-.-.-x" takes time with a power of the text's length.
// Every try of a single character counts against the script's budget.

const maxCaptures = 32

// Marks of a capture that is not a plain stretch of the text.
const (
	captureOpen     = -1
	capturePosition = -2
)

var errOutOfSteps = errors.New("out of steps")

type matcher struct {
	src, pat string
	captures []capture
	try      func() bool // counts one try; false stops the match
}

type capture struct{ start, size int }

type patternError string

// findFrom looks for the first match at or after a position.
func (m *matcher) findFrom(at int) (start, end int, found bool, err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case patternError:
			err = errors.New(string(r))
		case error:
			if !errors.Is(r, errOutOfSteps) {
				panic(r)
			}
			err = r
		default:
			panic(r)
		}
	}()
	p := 0
	anchored := strings.HasPrefix(m.pat, "^")
	if anchored {
		p = 1
	}
	for s := at; s <= len(m.src); s++ {
		m.captures = m.captures[:0]
		if e := m.match(s, p); e >= 0 {
			return s, e, true, nil
		}
		if anchored {
			break
		}
	}
	return 0, 0, false, nil
}

// match matches the pattern from p against the text from s and gives the end
// of the match, -1 for none.
func (m *matcher) match(s, p int) int {
	for p < len(m.pat) {
		switch m.pat[p] {
		case '(':
			if p+1 < len(m.pat) && m.pat[p+1] == ')' {
				return m.open(s, p+2, capturePosition)
			}
			return m.open(s, p+1, captureOpen)
		case ')':
			return m.shut(s, p+1)
		case '$':
			if p+1 == len(m.pat) {
				if s == len(m.src) {
					return s
				}
				return -1
			}
		case '%':
			if p+1 < len(m.pat) {
				switch c := m.pat[p+1]; {
				case c == 'b':
					if s = m.balanced(s, p+2); s < 0 {
						return -1
					}
					p += 4
					continue
				case c == 'f':
					q := p + 2
					if q >= len(m.pat) || m.pat[q] != '[' {
						panic(patternError("missing '[' after '%f' in pattern"))
					}
					end := m.classEnd(q)
					var before, here byte
					if s > 0 {
						before = m.src[s-1]
					}
					if s < len(m.src) {
						here = m.src[s]
					}
					if m.inSet(before, q, end-1) || !m.inSet(here, q, end-1) {
						return -1
					}
					p = end
					continue
				case c >= '0' && c <= '9':
					if s = m.again(s, c); s < 0 {
						return -1
					}
					p += 2
					continue
				}
			}
		}
		end := m.classEnd(p)
		var suffix byte
		if end < len(m.pat) {
			suffix = m.pat[end]
		}
		switch suffix {
		case '?':
			if m.single(s, p, end) {
				if e := m.match(s+1, end+1); e >= 0 {
					return e
				}
			}
			p = end + 1
		case '+':
			if !m.single(s, p, end) {
				return -1
			}
			return m.longest(s+1, p, end)
		case '*':
			return m.longest(s, p, end)
		case '-':
			for {
				if e := m.match(s, end+1); e >= 0 {
					return e
				}
				if !m.single(s, p, end) {
					return -1
				}
				s++
			}
		default:
			if !m.single(s, p, end) {
				return -1
			}
			s++
			p = end
		}
	}
	return s
}

func (m *matcher) longest(s, p, end int) int {
	n := 0
	for m.single(s+n, p, end) {
		n++
	}
	for ; n >= 0; n-- {
		if e := m.match(s+n, end+1); e >= 0 {
			return e
		}
	}
	return -1
}

func (m *matcher) open(s, p, size int) int {
	if len(m.captures) >= maxCaptures {
		panic(patternError("too many captures in pattern"))
	}
	n := len(m.captures)
	m.captures = append(m.captures, capture{s, size})
	e := m.match(s, p)
	if e < 0 {
		m.captures = m.captures[:n]
	}
	return e
}

func (m *matcher) shut(s, p int) int {
	for i := len(m.captures) - 1; i >= 0; i-- {
		if m.captures[i].size != captureOpen {
			continue
		}
		m.captures[i].size = s - m.captures[i].start
		e := m.match(s, p)
		if e < 0 {
			m.captures[i].size = captureOpen
		}
		return e
	}
	panic(patternError("a ')' without its '(' in pattern"))
}

func (m *matcher) balanced(s, p int) int {
	if p+1 >= len(m.pat) {
		panic(patternError("'%b' in a pattern needs two characters"))
	}
	if s >= len(m.src) || m.src[s] != m.pat[p] {
		return -1
	}
	first, last, depth := m.pat[p], m.pat[p+1], 1
	for i := s + 1; i < len(m.src); i++ {
		m.count()
		switch m.src[i] {
		case last:
			if depth--; depth == 0 {
				return i + 1
			}
		case first:
			depth++
		}
	}
	return -1
}

// again matches what an earlier capture matched.
func (m *matcher) again(s int, digit byte) int {
	i := int(digit) - '1'
	if i < 0 || i >= len(m.captures) || m.captures[i].size == captureOpen {
		panic(patternError(fmt.Sprintf("no capture %%%c in pattern", digit)))
	}
	m.count()
	text := m.text(i)
	if !strings.HasPrefix(m.src[s:], text) {
		return -1
	}
	return s + len(text)
}

func (m *matcher) text(i int) string {
	c := m.captures[i]
	if c.size < 0 {
		return ""
	}
	return m.src[c.start : c.start+c.size]
}

func (m *matcher) count() {
	if !m.try() {
		panic(errOutOfSteps)
	}
}

// single says whether the character at s is in the class from p to end.
func (m *matcher) single(s, p, end int) bool {
	m.count()
	if s >= len(m.src) {
		return false
	}
	c := m.src[s]
	switch m.pat[p] {
	case '.':
		return true
	case '%':
		return inClass(c, m.pat[p+1])
	case '[':
		return m.inSet(c, p, end-1)
	}
	return m.pat[p] == c
}

// classEnd is the position after the single-character class at p.
func (m *matcher) classEnd(p int) int {
	c := m.pat[p]
	p++
	switch c {
	case '%':
		if p >= len(m.pat) {
			panic(patternError("a pattern ends with '%'"))
		}
		return p + 1
	case '[':
		if p < len(m.pat) && m.pat[p] == '^' {
			p++
		}
		for first := true; ; first = false {
			if p >= len(m.pat) {
				panic(patternError("a '[' without its ']' in pattern"))
			}
			c := m.pat[p]
			p++
			if c == '%' {
				p++
			}
			if c == ']' && !first {
				return p
			}
		}
	}
	return p
}

// inSet says whether c is in the set from '[' at p to ']' at end.
func (m *matcher) inSet(c byte, p, end int) bool {
	yes := true
	p++
	if m.pat[p] == '^' {
		yes = false
		p++
	}
	for ; p < end; p++ {
		switch {
		case m.pat[p] == '%' && p+1 < end:
			p++
			if inClass(c, m.pat[p]) {
				return yes
			}
		case p+2 < end && m.pat[p+1] == '-':
			if m.pat[p] <= c && c <= m.pat[p+2] {
				return yes
			}
			p += 2
		case m.pat[p] == c:
			return yes
		}
	}
	return !yes
}

func inClass(c, class byte) bool {
	var in bool
	switch class | 0x20 {
	case 'a':
		in = isLetter(c)
	case 'c':
		in = c < 32 || c == 127
	case 'd':
		in = isDigit(c)
	case 'l':
		in = c >= 'a' && c <= 'z'
	case 'p':
		in = c > 32 && c < 127 && !isLetter(c) && !isDigit(c)
	case 's':
		in = c == ' ' || c >= '\t' && c <= '\r'
	case 'u':
		in = c >= 'A' && c <= 'Z'
	case 'w':
		in = isLetter(c) || isDigit(c)
	case 'x':
		in = isDigit(c) || c|0x20 >= 'a' && c|0x20 <= 'f'
	case 'z':
		in = c == 0
	default:
		return class == c
	}
	if !isLetter(class) {
		return class == c
	}
	if class >= 'A' && class <= 'Z' {
		return !in
	}
	return in
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }
func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
