package reftable

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Read returns the column names and the rows of testdata/name. It refuses a table
// without rows.
func Read(name string) (columns []string, rows [][]string, err error) {
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(all) < 2 {
		return nil, nil, fmt.Errorf("%s holds no rows", name)
	}
	for i, row := range all[1:] {
		if len(row) > len(all[0]) {
			return nil, nil, fmt.Errorf("%s: row %d has %d values for %d columns", name, i+1, len(row), len(all[0]))
		}
	}
	return all[0], all[1:], nil
}

// Named returns the rows of testdata/name, each keyed by the column names.
func Named(name string) ([]map[string]string, error) {
	columns, rows, err := Read(name)
	if err != nil {
		return nil, err
	}
	out := make([]map[string]string, len(rows))
	for i, row := range rows {
		out[i] = map[string]string{}
		for k, v := range row {
			out[i][columns[k]] = v
		}
	}
	return out, nil
}

// Records returns the rows of testdata/name.
func Records(tb testing.TB, name string) [][]string {
	tb.Helper()
	_, rows, err := Read(name)
	if err != nil {
		tb.Fatal(err)
	}
	return rows
}

// Rows is [Named] for a test.
func Rows(tb testing.TB, name string) []map[string]string {
	tb.Helper()
	rows, err := Named(name)
	if err != nil {
		tb.Fatal(err)
	}
	return rows
}

// Numbers returns the rows of a table of nothing but numbers.
func Numbers(tb testing.TB, name string) [][]float64 {
	tb.Helper()
	rows := Records(tb, name)
	out := make([][]float64, len(rows))
	for i, row := range rows {
		for _, s := range row {
			out[i] = append(out[i], Number(tb, s))
		}
	}
	return out
}

// Number reads one value.
func Number(tb testing.TB, s string) float64 {
	tb.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		tb.Fatal(err)
	}
	return v
}

// Reporter is what comparing needs of a test; rapid's T is one too.
type Reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

// Near reports a value that is not within tol of want; NaN never is.
func Near(t Reporter, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %.3g", what, got, want, tol)
	}
}

// NearRel is Near with the tolerance as a share of want.
func NearRel(t Reporter, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Max(math.Abs(want), 1e-300)) {
		t.Errorf("%s = %.16g, want %.16g within %.3g of it", what, got, want, share)
	}
}
