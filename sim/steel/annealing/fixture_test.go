package annealing

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, tol)
	}
}

func nearRel(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	near(t, what, got, want, rel*math.Abs(want))
}

// table reads numbers below a citation and a header.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(lines), err)
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

func coil(k float64) Coil { return Coil{Width: 1.2, OD: 1.7, ID: 0.508, RadialK: k} }

// strip is the winding of cold strip, gaps of 20 um (assumption).
func strip(mm float64) Wrap { return Wrap{Strip: mm / 1e3, Gap: 20e-6} }

func radialK(t testing.TB, w Wrap, gas Atmosphere) float64 {
	t.Helper()
	k, err := RadialConductivity(w, gas)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// solved is CoilTimes as a TimesFunc.
func solved(r Recipe) TimesFunc { return func(c Coil) (Times, error) { return CoilTimes(c, r) } }

// base takes four coils of 1.25 m (an invented but ordinary base; common
// practice, no source).
func base() Base {
	return Base{Handling: CommonHandling(), MaxHeight: 5.4, MaxOD: 2.0, MaxMass: 100e3, Convector: 0.07}
}
