package flow_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// The queue tables are reproduced by simulation through Plant: some rows always,
// all of them with MILLRACE_NIGHTLY=1. Rows that a test leaves out say why.

// rows returns those of the table that are played: all at night, else those
// for which pick is true.
func rows(name string, pick func(r row) bool) []row {
	all := readTable(name)
	if nightly {
		return all
	}
	var out []row
	for _, r := range all {
		if pick(r) {
			out = append(out, r)
		}
	}
	return out
}

// span is the length in hours of each of the 30 replications that estimates the
// mean number of an M/M/1 queue, service rate 1, to the precision, with a margin:
// the variance constant is 2 rho (1+rho)/(1-rho)^4 (Whitt, Planning queueing
// simulations, Management Science 35 (1989), from memory; testdata/mm1.csv). That
// of the wait, by Daley (1968), is of the same order.
func span(rho, precision float64) float64 {
	l := rho / (1 - rho)
	asy := 2 * rho * (1 + rho) / math.Pow(1-rho, 4)
	wq := rho / (1 - rho)
	asyWq := rho * (2 + 5*rho - 4*rho*rho + rho*rho*rho) / math.Pow(1-rho, 4) / rho
	need := math.Max(asy/(l*l), asyWq/(wq*wq))
	return 2.6*t975df29*t975df29*need/(precision*precision)/stage1 + 2000
}

// forget is how long the queue needs to forget that it began empty: ten times
// its relaxation time 1/(1-sqrt(rho))^2.
func forget(rho float64) float64 { return 10 / math.Pow(1-math.Sqrt(rho), 2) }

// TestMM1 starts from the stationary law of the number in the system (N is
// geometric), so nothing has to be forgotten. References: testdata/mm1.csv.
func TestMM1(t *testing.T) {
	t.Parallel()
	for _, r := range rows("mm1.csv", func(r row) bool { return r["rho"] == "0.5" || r["rho"] == "0.7" }) {
		t.Run(r["rho"], func(t *testing.T) {
			rho := r.num("rho")
			accept(t, []known{
				{"Wq", r.num("Wq"), 0.03}, {"L", r.num("L"), 0.03}, {"idle", r.num("p0"), 0.02},
			}, func(k luck) []float64 {
				n := int(math.Log(k.uniform(forStart, 0, 0)) / math.Log(rho))
				q := newStation(k, station{there: n, gap: exponential(1 / rho), work: exponential(1)})
				q.play(t, 0, span(rho, 0.03))
				return []float64{q.wait(), q.number(), q.share(flow.Starved)}
			})
		})
	}
}

// TestMMc has several units that take from one store. References: testdata/mmc.csv
// (Erlang C).
func TestMMc(t *testing.T) {
	t.Parallel()
	for _, r := range rows("mmc.csv", func(r row) bool { return r["c"] == "3" && r["rho"] == "0.7" }) {
		t.Run(r["c"]+"/"+r["rho"], func(t *testing.T) {
			lambda, rho, c := r.num("lambda"), r.num("rho"), int(r.num("c"))
			coarse := 1.0
			if rho > 0.95 {
				coarse = 5 // at 0.99 runs to 3 % would take an hour
			}
			want := []known{{"L", r.num("L"), 0.03 * coarse}, {"busy", rho, 0.02}}
			wait := r.num("p_wait")
			if wait > 0.01 {
				want = append(want, known{"Wq", r.num("Wq"), 0.06 * coarse}, known{"waits", wait, 0.06})
			}
			accept(t, want, func(k luck) []float64 {
				q := newStation(k, station{servers: c, gap: exponential(1 / lambda), work: exponential(1), waitsUpTo: []float64{0}})
				q.play(t, forget(rho), forget(rho)+span(rho, 0.04*coarse)+20000/wait/100)
				return []float64{q.number(), q.share(flow.Running), q.wait(), 1 - q.waitedUpTo(0)}[:len(want)]
			})
		})
	}
}

// TestMMcK loses those who find all places taken. References: testdata/mmck.csv.
// Shares of less than 1 in 1,000 are not asserted: they would need runs of days.
func TestMMcK(t *testing.T) {
	t.Parallel()
	for _, r := range rows("mmck.csv", func(r row) bool {
		return r["lambda"] == "1.2" && r["c"] == "1" && r["K"] == "5" || r["c"] == "3" && r["K"] == "3" && r["lambda"] == "3"
	}) {
		t.Run(r["c"]+"/"+r["K"]+"/"+r["lambda"], func(t *testing.T) {
			c, places, lambda := int(r.num("c")), int(r.num("K")), r.num("lambda")
			length := 15000.0
			want := []known{{"L", r.num("L"), 0.04}, {"accepted", r.num("X"), 0.02}}
			block := r.num("p_block")
			if block > 1e-3 {
				want = append(want, known{"lost", block, 0.06})
				length = math.Max(length, 2*4.2/30/block/(0.06*0.06)*math.Min(float64(places), 12)/lambda)
			}
			if r.num("Wq") > 0.02 {
				want = append(want, known{"Wq", r.num("Wq"), 0.05})
			}
			accept(t, want, func(k luck) []float64 {
				room := places - c
				if room == 0 {
					room = -1
				}
				q := newStation(k, station{servers: c, room: room, gap: exponential(1 / lambda), work: exponential(1)})
				q.play(t, 1000, 1000+length)
				in := q.p.Store(q.queue).In
				got := []float64{q.number(), float64(in) / length}
				if block > 1e-3 {
					got = append(got, q.lost())
				}
				return append(got, q.wait())[:len(want)]
			})
		})
	}
}

// lossSystem plays servers without a place to wait.
func lossSystem(t *testing.T, load float64, servers int, b float64) {
	arrivals := 14 * 4.2 / 30 / (0.05 * 0.05) / b
	accept(t, []known{{"lost", b, 0.06}, {"busy", load * (1 - b) / float64(servers), 0.02}}, func(k luck) []float64 {
		q := newStation(k, station{servers: servers, room: -1, gap: exponential(1 / load), work: exponential(1)})
		q.play(t, 30, 30+math.Max(2000, arrivals/load))
		return []float64{q.lost(), q.share(flow.Running)}
	})
}

// TestErlangB: pieces that find all units at work are lost. Losses below 1 in 1,000 are
// left out. References: testdata/erlang_bc.csv, erlang_b_inverse.csv.
func TestErlangB(t *testing.T) {
	t.Parallel()
	for _, r := range rows("erlang_bc.csv", func(r row) bool { return r["A"] == "5" && r["c"] == "10" }) {
		if b := r.num("B"); b >= 1e-3 {
			t.Run(r["A"]+"/"+r["c"], func(t *testing.T) { lossSystem(t, r.num("A"), int(r.num("c")), b) })
		}
	}
	for _, r := range rows("erlang_b_inverse.csv", func(r row) bool { return r["blocking"] == "0.05" && r["c"] == "4" }) {
		t.Run("inverse/"+r["blocking"]+"/"+r["c"], func(t *testing.T) {
			lossSystem(t, r.num("A"), int(r.num("c")), r.num("blocking"))
		})
	}
}

// TestErlangC: the share that has to wait, where it is at least 1 in 100 and the
// load is at most 0.9 of the servers. References: testdata/erlang_bc.csv.
func TestErlangC(t *testing.T) {
	t.Parallel()
	for _, r := range rows("erlang_bc.csv", func(r row) bool { return r["A"] == "8" && r["c"] == "10" }) {
		load, c := r.num("A"), r.num("c")
		rho := load / c
		wait, err := strconv.ParseFloat(r["C"], 64)
		if err != nil || math.IsNaN(wait) || wait < 0.01 || rho > 0.9 {
			continue
		}
		t.Run(r["A"]+"/"+r["c"], func(t *testing.T) {
			accept(t, []known{{"waits", wait, 0.06}, {"Wq", wait / (c - load), 0.12}}, func(k luck) []float64 {
				q := newStation(k, station{servers: int(c), gap: exponential(1 / load), work: exponential(1), waitsUpTo: []float64{0}})
				q.play(t, forget(rho), forget(rho)+span(rho, 0.05)/c+20000/load/wait)
				return []float64{1 - q.waitedUpTo(0), q.wait()}
			})
		})
	}
}

// TestMG1 has services of any law. References: testdata/mg1.csv (Pollaczek and
// Khinchine).
func TestMG1(t *testing.T) {
	t.Parallel()
	for _, r := range rows("mg1.csv", func(r row) bool {
		return r["lambda"] == "0.7" && (r["dist"] == "deterministic" || r["dist"] == "hyperexp2_cv2" || r["dist"] == "uniform_0.5_1.5")
	}) {
		t.Run(r["dist"]+"/"+r["lambda"], func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			rho, work := r.num("lambda"), lawNamed(r["dist"], 1)
			// Longer for wide laws: the variance goes with the third moment.
			length := span(rho, 0.04) * math.Max(1, r.num("es3")/6)
			accept(t, []known{{"Wq", r.num("Wq"), 0.05}, {"L", r.num("L"), 0.04}, {"idle", r.num("p0"), 0.02}}, func(k luck) []float64 {
				q := newStation(k, station{gap: exponential(1 / rho), work: work})
				q.play(t, forget(rho), forget(rho)+length)
				return []float64{q.wait(), q.number(), q.share(flow.Starved)}
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
	case name == "erlang2":
		return erlang(2, mean)
	case name == "erlang4":
		return erlang(4, mean)
	case name == "hyperexp2_cv2":
		return hyper2(0.887298334620742)
	case name == "uniform_0.5_1.5":
		return uniform(0.5, 1.5)
	}
	panic(name)
}

// TestMD1 holds the whole distribution of the wait and of the number that an
// arrival finds. References: testdata/md1_distribution.csv (Erlang's series).
// Shares below 0.2 % and above 99.8 % are left out.
func TestMD1(t *testing.T) {
	t.Parallel()
	byLoad := map[string][]row{}
	var loads []string
	for _, r := range rows("md1_distribution.csv", func(r row) bool {
		return r["lambda"] == "0.7" && (r["argument"] == "0" || r["argument"] == "0.5" || r["argument"] == "2" || r["argument"] == "0.9")
	}) {
		if byLoad[r["lambda"]] == nil {
			loads = append(loads, r["lambda"])
		}
		byLoad[r["lambda"]] = append(byLoad[r["lambda"]], r)
	}
	for _, load := range loads {
		t.Run(load, func(t *testing.T) {
			var want []known
			var get []func(q *playedStation) float64
			s := station{work: fixed(1), numbers: 13}
			for _, r := range byLoad[load] {
				x, arg := r.num("value"), r.num("argument")
				name := r["quantity"] + " " + r["argument"]
				limit := math.NaN()
				switch r["quantity"] {
				case "mean_Wq":
					want = append(want, known{name, x, 0.04})
					get = append(get, (*playedStation).wait)
					continue
				case "P_N_eq":
					if x >= 0.002 {
						precision := 0.06
						if x < 0.01 {
							precision = 0.12
						}
						want = append(want, known{name, x, precision})
						get = append(get, func(q *playedStation) float64 { return q.foundThere(int(arg)) })
					}
					continue
				case "P_Wq_le":
					limit = arg
				case "Wq_quantile": // value is the wait, argument the share
					limit, x = x, arg
				}
				if 1-x > 0.002 && limit >= 0 {
					i := len(s.waitsUpTo)
					s.waitsUpTo = append(s.waitsUpTo, limit)
					want = append(want, known{name, x, 0.03})
					get = append(get, func(q *playedStation) float64 { return q.waitedUpTo(i) })
				}
			}
			rho := byLoad[load][0].num("lambda")
			s.gap = exponential(1 / rho)
			accept(t, want, func(k luck) (got []float64) {
				q := newStation(k, s)
				q.play(t, forget(rho), forget(rho)+2*span(rho, 0.03))
				for _, g := range get {
					got = append(got, g(q))
				}
				return got
			})
		})
	}
}

// TestMG1Breakdown has a unit that fails while it works and goes on with the
// same customer after the repair. References: testdata/mg1_breakdown.csv.
func TestMG1Breakdown(t *testing.T) {
	t.Parallel()
	table := readTable("mg1_breakdown.csv")
	list := []row{
		find(t, table, "service_dist", "deterministic", "lambda", "0.5", "mtbf_operating", "8", "mttr", "1", "repair_dist", "exp"),
		find(t, table, "service_dist", "lognormal_cv0.5", "lambda", "0.5", "mtbf_operating", "20", "mttr", "2", "repair_dist", "logn1.5"),
	}
	if nightly {
		list = table
	}
	for _, r := range list {
		name := strings.Join([]string{r["service_dist"], r["lambda"], r["mtbf_operating"], r["mttr"], r["repair_dist"]}, "/")
		t.Run(name, func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			lambda, mtbf, mttr, rho := r.num("lambda"), r.num("mtbf_operating"), r.num("mttr"), r.num("rho_completion")
			s := station{gap: exponential(1 / lambda), work: lawNamed(r["service_dist"], 1), up: exponential(mtbf), repair: lawNamed(r["repair_dist"], mttr)}
			precision, length := 0.03, span(rho, 0.04)*(1+r.num("EC2")/r.num("EC"))+30000*math.Max(1, mtbf/20)
			if mttr >= 10 { // rare long repairs
				precision = 0.08
				length *= 3
			}
			if rho > 0.8 {
				precision = 0.08
			}
			accept(t, []known{
				{"Wq", r.num("Wq"), precision}, {"L", r.num("L"), precision},
				{"busy", r.num("frac_busy"), 0.01}, {"down", r.num("frac_down"), precision}, {"idle", r.num("frac_idle"), 0.05},
			}, func(k luck) []float64 {
				q := newStation(k, s)
				q.play(t, 5000, 5000+length)
				return []float64{q.wait(), q.number(), q.share(flow.Running), q.share(flow.Down), q.share(flow.Starved)}
			})
		})
	}
}

// TestBatches has arrivals in groups, and pieces that wait until a batch is full.
// References: testdata/batch.csv.
func TestBatches(t *testing.T) {
	t.Parallel()
	for _, r := range rows("batch.csv", func(r row) bool {
		return r["K"] == "4" && (r["rho"] == "0.5" || !strings.HasPrefix(r["kind"], "M["))
	}) {
		n, rate := int(r.num("K")), r.num("batch_or_piece_rate")
		t.Run(fmt.Sprintf("%.8s/%d/%s", r["kind"], n, r["batch_or_piece_rate"]), func(t *testing.T) {
			if strings.HasPrefix(r["kind"], "M[") {
				rho := r.num("rho")
				accept(t, []known{{"L", r.num("L"), 0.05}, {"W", r.num("W"), 0.05}}, func(k luck) []float64 {
					q := newStation(k, station{group: n, gap: exponential(1 / rate), work: exponential(1)})
					q.play(t, forget(rho)*float64(n), forget(rho)*float64(n)+span(rho, 0.05)*float64(n))
					return []float64{q.number(), q.p.Count().MeanStay / 3600}
				})
				return
			}
			if n == 1 {
				return // alone is never waited for
			}
			accept(t, []known{{"L", r.num("L"), 0.02}, {"W", r.num("W"), 0.02}}, func(k luck) []float64 {
				p := flow.NewPlant()
				s := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
				p.AddSource(flow.SourceSpec{To: s, Gap: func(i int) calendar.Time { return hours(-math.Log(k.uniform(forGap, 0, i)) / rate) }})
				p.AddUnit(flow.UnitSpec{From: s, Batch: n, Work: func(*flow.Piece) calendar.Time { return 0 }})
				if err := p.Run(hours(30000 * float64(n) / rate / 4)); err != nil {
					t.Fatal(err)
				}
				return []float64{p.Store(s).MeanLevel, p.Store(s).MeanWait / 3600}
			})
		})
	}
}

// TestJackson is a network of five stations with ways back. References:
// testdata/jackson5.csv, whose header has the routing.
func TestJackson(t *testing.T) {
	t.Parallel()
	table := readTable("jackson5.csv")
	network := table[len(table)-1] // all stations together
	table = table[:len(table)-1]
	way := [5][5]float64{{0, .6, .3, 0, 0}, {0, 0, .2, .7, 0}, {0, .1, 0, .5, .3}, {0, 0, 0, 0, .9}, {.05, 0, 0, .1, 0}}
	var want []known
	for _, r := range table {
		want = append(want, known{"throughput " + r["station"], r.num("throughput"), 0.01},
			known{"utilisation " + r["station"], r.num("utilisation"), 0.02},
			known{"L " + r["station"], r.num("L"), 0.05}, known{"W " + r["station"], r.num("W_per_visit"), 0.05})
	}
	want = append(want, known{"network L", network.num("L"), 0.04}, known{"network W", network.num("W_per_visit"), 0.04})
	accept(t, want, func(k luck) (got []float64) {
		p := flow.NewPlant()
		var store []flow.StoreID
		var unit []flow.UnitID
		for range table {
			store = append(store, p.AddStore(flow.StoreSpec{Room: flow.Unlimited}))
		}
		for i, r := range table {
			if rate := r.num("ext_rate"); rate > 0 {
				p.AddSource(flow.SourceSpec{To: store[i], Gap: func(n int) calendar.Time {
					return hours(-math.Log(k.uniform(forGap, i, n)) / rate)
				}})
			}
			n := 0
			unit = append(unit, p.AddUnit(flow.UnitSpec{
				From: store[i], Places: int(r.num("servers")),
				Work: func(*flow.Piece) calendar.Time {
					n++
					return hours(-math.Log(k.uniform(forWork, i, n)) * r.num("mean_service"))
				},
				Route: func(pc *flow.Piece) flow.StoreID {
					u := k.uniform(forStart, int(pc.Number), int(pc.Works))
					for j, q := range way[i] {
						if u -= q; u < 0 {
							return store[j]
						}
					}
					return flow.Outside
				},
			}))
		}
		run := func(h float64) {
			if err := p.Run(hours(h)); err != nil {
				t.Fatal(err)
			}
		}
		run(500)
		p.Reset()
		length := longer(8000)
		run(500 + length)
		for i, r := range table {
			u, s := p.Unit(unit[i]), p.Store(store[i])
			l := s.MeanLevel + u.Share(flow.Running)*float64(u.Places)
			got = append(got, float64(u.Done)/length, u.Share(flow.Running), l, s.MeanWait/3600+r.num("mean_service"))
		}
		return append(got, p.Count().MeanInside, p.Count().MeanStay/3600)
	})
}

// longer is the length of a run, four times as long at night.
func longer(h float64) float64 {
	if nightly {
		return 4 * h
	}
	return h
}
