package flow_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/flow"
)

// longer is the length of a run, four times as long at night.
func longer(h float64) float64 {
	if nightly {
		return 4 * h
	}
	return h
}

// TestMM1 starts from the stationary law of the number in the system (N is
// geometric), so nothing has to be forgotten. References: testdata/mm1.csv.
func TestMM1(t *testing.T) {
	t.Parallel()
	rhos := []string{"0.5", "0.7"}
	if nightly {
		rhos = []string{"0.3", "0.5", "0.7", "0.8"}
	}
	for _, rho := range rhos {
		t.Run(rho, func(t *testing.T) {
			r := find(t, readTable("mm1.csv"), "rho", rho)
			lambda := r.num("lambda")
			length := longer(80000)
			if lambda > 0.6 {
				length *= 3
			}
			accept(t, []known{
				{"Wq", r.num("Wq"), 0.02}, {"L", r.num("L"), 0.02}, {"idle", r.num("p0"), 0.01},
			}, func(l luck) []float64 {
				q := singleServer(l, lambda, exponential(1))
				for range int(math.Log(l.uniform(forStart, 0, 0)) / math.Log(lambda)) {
					q.join(-1)
				}
				q.play(0, hours(length))
				return []float64{q.meanWait(), q.meanNumber(), q.share(flow.Starved)}
			})
		})
	}
}

// TestMM3 has three units that take from one store. References:
// testdata/mmc.csv (Erlang C).
func TestMM3(t *testing.T) {
	t.Parallel()
	servers := []string{"3"}
	if nightly {
		servers = []string{"2", "3", "4", "5"}
	}
	for _, c := range servers {
		t.Run(c, func(t *testing.T) {
			r := find(t, readTable("mmc.csv"), "c", c, "rho", "0.7")
			lambda, n := r.num("lambda"), int(r.num("c"))
			accept(t, []known{
				{"Wq", r.num("Wq"), 0.02}, {"L", r.num("L"), 0.02},
				{"busy units", lambda, 0.01}, {"served at once", 1 - r.num("p_wait"), 0.02},
			}, func(l luck) []float64 {
				q := newQueue(l, n, exponential(1/lambda), exponential(1))
				q.play(hours(1000), hours(1000+longer(80000)))
				return []float64{q.meanWait(), q.meanNumber(), q.share(flow.Running), float64(q.waitUpTo[0]) / float64(q.waits)}
			})
		})
	}
}

// TestMD1 holds mean and distribution of the wait. References:
// testdata/mg1.csv (Pollaczek and Khinchine), testdata/md1_distribution.csv
// (Erlang's series).
func TestMD1(t *testing.T) {
	t.Parallel()
	r := find(t, readTable("mg1.csv"), "dist", "deterministic", "lambda", "0.7")
	dist := readTable("md1_distribution.csv")
	below := func(arg string) float64 {
		return find(t, dist, "lambda", "0.7", "quantity", "P_Wq_le", "argument", arg).num("value")
	}
	accept(t, []known{
		{"Wq", r.num("Wq"), 0.02}, {"L", r.num("L"), 0.02}, {"idle", r.num("p0"), 0.01},
		{"P(Wq<=0)", below("0"), 0.02}, {"P(Wq<=0.5)", below("0.5"), 0.02}, {"P(Wq<=2)", below("2"), 0.02},
	}, func(l luck) []float64 {
		q := singleServer(l, 0.7, fixed(1))
		q.play(hours(1000), hours(1000+longer(80000)))
		part := func(i int) float64 { return float64(q.waitUpTo[i]) / float64(q.waits) }
		return []float64{q.meanWait(), q.meanNumber(), q.share(flow.Starved), part(0), part(1), part(4)}
	})
}

// TestMG1 has services that are neither exponential nor constant, at night.
// References: testdata/mg1.csv.
func TestMG1(t *testing.T) {
	if !nightly {
		t.Skip("set MILLRACE_NIGHTLY=1 to run it; the queues that gate run always")
	}
	t.Parallel()
	for _, r := range readTable("mg1.csv") {
		if !strings.HasPrefix(r["dist"], "lognormal") || r.num("lambda") > 0.7 || r["dist"] == "lognormal_cv2" {
			continue
		}
		t.Run(r["dist"]+"/"+r["lambda"], func(t *testing.T) {
			lambda := r.num("lambda")
			work := lawNamed(r["dist"], 1)
			accept(t, []known{{"Wq", r.num("Wq"), 0.03}, {"L", r.num("L"), 0.02}}, func(l luck) []float64 {
				q := singleServer(l, lambda, work)
				q.play(hours(1000), hours(1000+longer(200000)))
				return []float64{q.meanWait(), q.meanNumber()}
			})
		})
	}
}

// lawNamed reads the names of laws of the reference tables.
func lawNamed(name string, mean float64) law {
	cv := func(prefix string) float64 {
		x, err := strconv.ParseFloat(strings.TrimPrefix(name, prefix), 64)
		if err != nil {
			panic(name)
		}
		return x
	}
	switch {
	case strings.HasPrefix(name, "exp"):
		return exponential(mean)
	case strings.HasPrefix(name, "det"):
		return fixed(mean)
	case strings.HasPrefix(name, "lognormal_cv"):
		return lognormal(mean, cv("lognormal_cv"))
	case strings.HasPrefix(name, "logn"):
		return lognormal(mean, cv("logn"))
	}
	panic(name)
}

// TestMG1Breakdown has a unit that fails while it works and goes on with the
// same customer after the repair. References: testdata/mg1_breakdown.csv.
func TestMG1Breakdown(t *testing.T) {
	t.Parallel()
	table := readTable("mg1_breakdown.csv")
	rows := []row{
		find(t, table, "service_dist", "deterministic", "lambda", "0.5", "mtbf_operating", "8", "mttr", "1", "repair_dist", "exp"),
		find(t, table, "service_dist", "exponential", "lambda", "0.5", "mtbf_operating", "20", "mttr", "2", "repair_dist", "det"),
		find(t, table, "service_dist", "lognormal_cv0.5", "lambda", "0.5", "mtbf_operating", "20", "mttr", "2", "repair_dist", "logn1.5"),
		find(t, table, "service_dist", "lognormal_cv0.5", "lambda", "0.5", "mtbf_operating", "100", "mttr", "25", "repair_dist", "exp"),
	}
	if nightly {
		rows = nil
		for _, r := range table {
			if r.num("rho_completion") < 0.8 {
				rows = append(rows, r)
			}
		}
	}
	for _, r := range rows {
		name := strings.Join([]string{r["service_dist"], r["lambda"], r["mtbf_operating"], r["mttr"], r["repair_dist"]}, "/")
		t.Run(name, func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			lambda, mtbf, mttr := r.num("lambda"), r.num("mtbf_operating"), r.num("mttr")
			work := lawNamed(r["service_dist"], 1)
			repair := lawNamed(r["repair_dist"], mttr)
			length := longer(150000 * math.Max(1, mtbf/25))
			precision := 0.02
			if mttr >= 10 { // rare long repairs
				precision = 0.04
			}
			accept(t, []known{
				{"Wq", r.num("Wq"), precision}, {"L", r.num("L"), precision},
				{"busy", r.num("frac_busy"), 0.01}, {"down", r.num("frac_down"), precision}, {"idle", r.num("frac_idle"), 0.02},
			}, func(l luck) []float64 {
				q := singleServer(l, lambda, work).failing(exponential(mtbf), repair)
				q.play(hours(5000), hours(5000+length))
				return []float64{q.meanWait(), q.meanNumber(), q.share(flow.Running), q.share(flow.Down), q.share(flow.Starved)}
			})
		})
	}
}
