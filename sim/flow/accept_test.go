package flow_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"millrace/sim/reftable"
)

// The comparison of a simulated mean with a known one is made in two stages:
// 30 replications at level a1; only where that fails 120 fresh ones from other
// seeds at level a2, the first thrown away. An assertion fails when both do, so
// a correct model is refused with chance a1*a2 each and 1e-4 over the suite.
// That the replications are precise enough is asserted too.

const (
	stage1, stage2 = 30, 120
	seed1, seed2   = 20310711, 20310712 // never picked again to get green
	t975df29       = 2.045              // Student's t, 0.975, 29 degrees of freedom
)

var (
	nightly  = os.Getenv("MILLRACE_NIGHTLY") != ""
	asserted sync.Map // names of the comparisons made
	limits   = sync.OnceValue(readLimits)
)

// family is the number of comparisons for which the levels are chosen.
func family() int {
	if nightly {
		return 5000
	}
	return 500
}

// readLimits returns the critical values of the two-stage rule: level 1e-3 in
// the first stage, 1e-4 over the family in both together. Those of families of
// 100 and 500 are in the table, which TestLimits holds them against.
func readLimits() [2]float64 { return limitsFor(float64(family())) }

func limitsFor(m float64) [2]float64 {
	const a1 = 0.001
	t := func(df, a float64) float64 { return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(1 - a/2) }
	return [2]float64{t(stage1-1, a1), t(stage2-1, 1e-4/(m*a1))}
}

func TestLimits(t *testing.T) {
	for _, r := range readTable("acceptance_two_stage.csv") {
		if r.num("a1") != 0.001 || r.num("n1") != stage1 {
			continue
		}
		got := limitsFor(r.num("m_assertions"))
		for i, col := range []string{"t_crit1", "t_crit2"} {
			if math.Abs(got[i]-r.num(col)) > 1e-8 {
				t.Errorf("family of %s: %s is %v, the table says %s", r["m_assertions"], col, got[i], r[col])
			}
		}
	}
}

var onlySeed = flag.Uint64("seed", 0, "play only the random plant of this seed")

func TestMain(m *testing.M) {
	code := m.Run()
	n := 0
	asserted.Range(func(any, any) bool { n++; return true })
	if n > family() {
		fmt.Printf("FAIL: %d comparisons with known means, the levels allow %d\n", n, family())
		code = 1
	}
	if nightly {
		fmt.Printf("%d comparisons with known means\n", n)
	}
	os.Exit(code)
}

// known is a mean from theory and the half-width of the 95 % interval, as a
// share of it, that stage 1 must reach.
type known struct {
	name      string
	mean      float64
	precision float64
}

// deviation returns |mean-mu0| in standard errors and the standard error.
func deviation(y []float64, mu0 float64) (z, se, mean float64) {
	for _, v := range y {
		mean += v
	}
	mean /= float64(len(y))
	s := 0.0
	for _, v := range y {
		s += (v - mean) * (v - mean)
	}
	se = math.Sqrt(s / float64(len(y)-1) / float64(len(y)))
	return math.Abs(mean-mu0) / se, se, mean
}

// replicate returns for every known mean its value in each replication.
func replicate(seed uint64, n, k int, run func(luck) []float64) [][]float64 {
	y := make([][]float64, k)
	for r := range n {
		got := run(luck{Seed: seed, Future: uint64(r)})
		if len(got) != k {
			panic("run returns another number of values than there are known means")
		}
		for i, v := range got {
			y[i] = append(y[i], v)
		}
	}
	return y
}

// refusals returns what the two-stage rule says against the model, "" for
// every mean that is accepted.
func refusals(want []known, run func(luck) []float64) []string {
	out := make([]string, len(want))
	var fresh [][]float64
	first := replicate(seed1, stage1, len(want), run)
	for i, k := range want {
		z, se, mean := deviation(first[i], k.mean)
		if hw := t975df29 * se / math.Abs(k.mean); !(hw <= k.precision) {
			out[i] = fmt.Sprintf("%s: half-width %.2f %% of %g, wanted %.2f %%", k.name, 100*hw, k.mean, 100*k.precision)
			continue
		}
		if z <= limits()[0] {
			continue
		}
		if fresh == nil {
			fresh = replicate(seed2, stage2, len(want), run)
		}
		if z2, _, mean2 := deviation(fresh[i], k.mean); !(z2 <= limits()[1]) {
			out[i] = fmt.Sprintf("%s: %.6g and %.6g (%.1f and %.1f standard errors off), theory %.6g", k.name, mean, mean2, z, z2, k.mean)
		}
	}
	return out
}

func accept(t *testing.T, want []known, run func(luck) []float64) {
	t.Helper()
	for i, msg := range refusals(want, run) {
		asserted.Store(t.Name()+" "+want[i].name, true)
		if msg != "" {
			t.Error(msg)
		}
	}
}

// TestRuleRefuses makes sure that the rule can say no: to a mean that is 6 %
// off and to runs that are too short to tell.
func TestRuleRefuses(t *testing.T) {
	t.Parallel()
	run := func(l luck) []float64 {
		q := newStation(l, station{gap: exponential(2), work: exponential(1)})
		q.play(t, 500, 20500)
		return []float64{q.wait(), q.number()}
	}
	for _, tc := range []struct {
		share, precision float64
		says             string
	}{
		{1.06, 0.05, "standard errors off"},
		{0.94, 0.05, "standard errors off"},
		{1, 0.001, "half-width"},
		{1, 0.05, ""},
	} {
		for _, msg := range refusals([]known{{"Wq", 1 * tc.share, tc.precision}, {"L", 1 * tc.share, tc.precision}}, run) {
			if (tc.says == "") != (msg == "") || !strings.Contains(msg, tc.says) {
				t.Errorf("mean times %g, precision %g: the rule says %q", tc.share, tc.precision, msg)
			}
		}
	}
}

// row is a line of a reference table by column name.
type row map[string]string

func (r row) num(col string) float64 {
	x, err := strconv.ParseFloat(r[col], 64)
	if err != nil {
		panic(fmt.Sprintf("column %s: %v", col, err))
	}
	return x
}

// nums reads several numbers separated by spaces.
func (r row) nums(col string) []float64 {
	var out []float64
	for _, f := range strings.Fields(r[col]) {
		x, err := strconv.ParseFloat(f, 64)
		if err != nil {
			panic(fmt.Sprintf("column %s: %v", col, err))
		}
		out = append(out, x)
	}
	return out
}

func readTable(name string) []row {
	all, err := reftable.Named(name)
	if err != nil {
		panic(err)
	}
	out := make([]row, len(all))
	for i, r := range all {
		out[i] = r
	}
	return out
}

// find returns the only row whose columns have the values.
func find(t *testing.T, table []row, where ...string) row {
	t.Helper()
	var hit []row
next:
	for _, r := range table {
		for i := 0; i < len(where); i += 2 {
			if r[where[i]] != where[i+1] {
				continue next
			}
		}
		hit = append(hit, r)
	}
	if len(hit) != 1 {
		t.Fatalf("%d rows with %v", len(hit), where)
	}
	return hit[0]
}
