package files

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// WriteCSV writes a table: header first, comma, CRLF as RFC 4180 has it. Cells
// that are no numbers and that a spreadsheet would take for a formula get an
// apostrophe in front. Every row must be as long as the header.
func WriteCSV(w io.Writer, header []string, rows [][]string) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	line := make([]string, len(header))
	put := func(cells []string) error {
		for i, s := range cells {
			line[i] = Guard(s)
		}
		return c.Write(line)
	}
	if err := put(header); err != nil {
		return err
	}
	for i, r := range rows {
		if len(r) != len(header) {
			return fmt.Errorf("row %d has %d cells, the header %d", i+1, len(r), len(header))
		}
		if err := put(r); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// Guard puts an apostrophe before text that a spreadsheet would run as a
// formula: what begins with = + - @, their full-width forms, a tab or a line
// break, spaces before them not counted (OWASP, "CSV Injection", from memory).
// Numbers stay as they are.
func Guard(s string) string {
	t := strings.TrimLeft(s, " \u00a0")
	if t == "" || isNumber(s) {
		return s
	}
	if strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", []rune(t)[0]) {
		return "'" + s
	}
	return s
}

// isNumber takes plain decimal numbers only.
func isNumber(s string) bool {
	if strings.Trim(s, "0123456789.eE+-") != "" {
		return false
	}
	_, err := strconv.ParseFloat(s, 64)
	return err == nil
}

// Number writes v for a cell so that it is read back the same; empty for what
// does not exist.
func Number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
