package steel_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// readTable reads a reference table: first line the citation, second the columns, the rest numbers.
func readTable(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s holds no values", name)
	}
	var rows [][]float64
	for _, line := range lines[1:] {
		row := make([]float64, len(line))
		for i, s := range line {
			if row[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// near fails the test when got is not within tol of want; a NaN is never near.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if d := got - want; !(d <= tol && d >= -tol) {
		t.Errorf("%s = %.7g, want %.7g within %g", what, got, want, tol)
	}
}
