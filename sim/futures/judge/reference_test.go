package judge

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"millrace/sim/reftable"
)

var table, number, near, nearAbs = reftable.Rows, reftable.Number, reftable.NearRel, reftable.Near

func whole(t *testing.T, s string) int {
	t.Helper()
	v, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// vector finds one value of method_vectors.csv.
func vector(t *testing.T, method, name, quantity string) float64 {
	t.Helper()
	for _, r := range table(t, "method_vectors.csv") {
		if r["method"] == method && r["case"] == name && strings.HasPrefix(r["quantity"], quantity) {
			return number(t, r["value"])
		}
	}
	t.Fatalf("no vector %s %s %s", method, name, quantity)
	return 0
}

// plansABCD are the four data columns of method_vectors.csv.
func plansABCD(t *testing.T) [][]float64 {
	t.Helper()
	var y [][]float64
	for _, r := range table(t, "method_vectors.csv") {
		if (r["method"] == "replication_t_interval" && r["quantity"] == "mean") || r["method"] == "data" {
			var col []float64
			for _, s := range strings.Fields(r["input"]) {
				col = append(col, number(t, s))
			}
			y = append(y, col)
		}
	}
	if len(y) != 4 {
		t.Fatalf("have %d columns, want 4", len(y))
	}
	return y
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// luck is keyed by experiment and repetition: the order of use inside a
// repetition is the only state.
type luck struct{ src *rand.PCG }

func newLuck(experiment, repetition uint64) luck {
	return luck{rand.NewPCG(experiment, repetition*0x9e3779b97f4a7c15+1)}
}

// uniform lies strictly between 0 and 1.
func (l luck) uniform() float64 { return (float64(l.src.Uint64()>>11) + 0.5) / (1 << 53) }

func (l luck) normal() float64      { return distuv.UnitNormal.Quantile(l.uniform()) }
func (l luck) exponential() float64 { return -math.Log(l.uniform()) }
