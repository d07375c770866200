// Package checktable reads the tables in which published values are kept beside the packages of sim/steel, and holds the public functions against them. Only tests use it.
//
// A table is CSV: comment lines with the citation, a line of column names, then id, quantity, inputs (numbers with spaces between, SI and C, "inf" allowed), expected, tolerance (absolute; "0.1%" of the
// expected), source, provenance. The quantity names the question; the test knows the function that answers it.
package checktable

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Row is one published value.
type Row struct {
	ID, Quantity       string
	In                 []float64
	Want, Tol          float64
	Source, Provenance string
}

// Parse reads a table. It refuses a row without source or provenance, a number that is none, a tolerance below 0 or none at all.
func Parse(text string) ([]Row, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	if len(lines) < 2 || len(lines[0]) != 7 {
		return nil, fmt.Errorf("table of checks: want a line of 7 column names and rows below it")
	}
	var rows []Row
	for _, l := range lines[1:] {
		row := Row{ID: l[0], Quantity: l[1], Source: l[5], Provenance: l[6]}
		bad := func(what string) error {
			return fmt.Errorf("table of checks, %s %s: %s", row.ID, row.Quantity, what)
		}
		if row.Source == "" || row.Provenance == "" {
			return nil, bad("no source or provenance")
		}
		for _, s := range strings.Fields(l[2]) {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				return nil, bad(err.Error())
			}
			row.In = append(row.In, v)
		}
		if row.Want, err = strconv.ParseFloat(l[3], 64); err != nil {
			return nil, bad(err.Error())
		}
		share, isShare := strings.CutSuffix(l[4], "%")
		if row.Tol, err = strconv.ParseFloat(share, 64); err != nil {
			return nil, bad(err.Error())
		}
		if isShare {
			row.Tol *= math.Abs(row.Want) / 100
		}
		if !(row.Tol >= 0) {
			return nil, bad("no tolerance")
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// Inputs hands out the inputs of a row in order.
type Inputs struct {
	left    []float64
	Missing bool // more was asked for than there is
}

// Next returns the next input, NaN when there is none left.
func (in *Inputs) Next() float64 {
	if len(in.left) == 0 {
		in.Missing = true
		return math.NaN()
	}
	x := in.left[0]
	in.left = in.left[1:]
	return x
}

// TB is what Check needs of a test.
type TB interface {
	Helper()
	Errorf(format string, args ...any)
}

// Check asks every row of a table and reports what is not within its tolerance, rows nobody can answer, quantities no row asks for, and inputs too few or too many. Every row is its own line in the
// report.
func Check(t TB, text string, quantities map[string]func(in *Inputs) float64) {
	t.Helper()
	rows, err := Parse(text)
	if err != nil {
		t.Errorf("%v", err)
		return
	}
	asked := map[string]bool{}
	for _, row := range rows {
		answer := quantities[row.Quantity]
		if answer == nil {
			t.Errorf("%s: nothing answers %q", row.ID, row.Quantity)
			continue
		}
		asked[row.Quantity] = true
		in := Inputs{left: row.In}
		got := answer(&in)
		if !(math.Abs(got-row.Want) <= row.Tol) {
			t.Errorf("%s %s %v = %.8g, want %.8g within %.3g (%s, %s)", row.ID, row.Quantity, row.In, got, row.Want, row.Tol, row.Source, row.Provenance)
		}
		if in.Missing || len(in.left) > 0 {
			t.Errorf("%s %s %v: inputs too few or too many", row.ID, row.Quantity, row.In)
		}
	}
	for q := range quantities {
		if !asked[q] {
			t.Errorf("no row asks for %q", q)
		}
	}
}
