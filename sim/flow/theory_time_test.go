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

// block is one replication of something short: the mean over n plays with keys
// of their own.
func block(k luck, n int, play func(k luck) []float64) []float64 {
	var sum []float64
	for i := range n {
		got := play(luck{Seed: k.Seed + 1e6*uint64(i+1), Future: k.Future})
		if sum == nil {
			sum = make([]float64, len(got))
		}
		for j, v := range got {
			sum[j] += v / float64(n)
		}
	}
	return sum
}

// TestTransientByCustomer follows the mean wait of customer n of M/M/1 that
// begins with some customers there. References: testdata/mm1_transient_customer.csv.
func TestTransientByCustomer(t *testing.T) {
	t.Parallel()
	list := rows("mm1_transient_customer.csv", func(r row) bool {
		return r["rho"] == "0.9" && r["init"] == "0" && (r["n"] == "10" || r["n"] == "25" || r["n"] == "100")
	})
	for _, part := range groupBy(list, "rho", "init") {
		t.Run(part[0]["rho"]+"/"+part[0]["init"], func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			rho, there, last := part[0].num("rho"), int(part[0].num("init")), int(part[len(part)-1].num("n"))
			// Steady state is reached late, so the precision is that of the spread.
			var want []known
			for _, r := range part {
				if r.num("ED_n") > 0 {
					want = append(want, known{"wait of " + r["n"], r.num("ED_n"), 0.08}, known{"first " + r["n"], r.num("mean_first_n"), 0.08})
				}
				if p := r.num("p_nowait"); p > 0.04 && p < 1 {
					want = append(want, known{"no wait of " + r["n"], p, 0.15})
				}
			}
			plays := 60
			if nightly {
				plays = 300
			}
			accept(t, want, func(k luck) []float64 {
				return block(k, plays, func(k luck) (got []float64) {
					wait := make([]float64, 0, last)
					q := newStation(k, station{there: there, atOnce: true, limit: last, work: exponential(1), gap: exponential(1 / rho)})
					q.began = func(pc *flow.Piece, w float64) {
						if int(pc.Number) >= there {
							wait = append(wait, w)
						}
					}
					if err := q.p.Run(calendar.Never); err != nil {
						t.Fatal(err)
					}
					sum, i := 0.0, 0
					for _, r := range part {
						for n := int(r.num("n")); i < n; i++ {
							sum += wait[i]
						}
						if r.num("ED_n") > 0 {
							got = append(got, wait[i-1], sum/float64(i))
						}
						if p := r.num("p_nowait"); p > 0.04 && p < 1 {
							got = append(got, indicator(wait[i-1] == 0))
						}
					}
					return got
				})
			})
		})
	}
}

func indicator(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// groupBy splits rows that stand together by the values of some columns.
func groupBy(list []row, cols ...string) [][]row {
	var out [][]row
	last := ""
	for _, r := range list {
		key := ""
		for _, c := range cols {
			key += r[c] + "/"
		}
		if key != last || len(out) == 0 {
			out = append(out, nil)
		}
		last = key
		out[len(out)-1] = append(out[len(out)-1], r)
	}
	return out
}

// TestTransientByTime follows the number in M/M/1. References:
// testdata/mm1_transient_time.csv.
func TestTransientByTime(t *testing.T) {
	t.Parallel()
	list := rows("mm1_transient_time.csv", func(r row) bool {
		return r["rho"] == "0.8" && r["init"] == "20" && r.num("t") <= 20 && r.num("t") >= 2
	})
	for _, part := range groupBy(list, "rho", "init") {
		t.Run(part[0]["rho"]+"/"+part[0]["init"], func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			rho, there := part[0].num("rho"), int(part[0].num("init"))
			var want []known
			plays := 150
			if nightly {
				plays = 400
			}
			// Shares too small for the plays are left out.
			share := func(x float64) bool { return 1.4*t975df29*math.Sqrt((1-x)/x/30/float64(plays)) < 0.15 }
			for _, r := range part {
				want = append(want, known{"EN at " + r["t"], r.num("EN"), 0.08})
				for _, col := range []string{"p0", "p1", "p5", "p10"} {
					if share(r.num(col)) {
						want = append(want, known{col + " at " + r["t"], r.num(col), 0.15})
					}
				}
			}
			accept(t, want, func(k luck) []float64 {
				return block(k, plays, func(k luck) (got []float64) {
					q := newStation(k, station{there: there, work: exponential(1), gap: exponential(1 / rho)})
					for _, r := range part {
						q.run(t, r.num("t"))
						n := q.p.Inside()
						got = append(got, float64(n))
						for i, col := range []string{"p0", "p1", "p5", "p10"} {
							if share(r.num(col)) {
								got = append(got, indicator(n == []int{0, 1, 5, 10}[i]))
							}
						}
					}
					return got
				})
			})
		})
	}
}

// TestDrain measures how long a queue needs to be empty for the first time.
// References: testdata/mm1_drain.csv.
func TestDrain(t *testing.T) {
	t.Parallel()
	for _, r := range rows("mm1_drain.csv", func(r row) bool { return r["rho"] == "0.7" && r["n_start"] == "20" }) {
		t.Run(r["rho"]+"/"+r["n_start"], func(t *testing.T) {
			rho, n, mean, v := r.num("rho"), int(r.num("n_start")), r.num("mean_time_to_empty"), r.num("var_time_to_empty")
			precision := 0.06
			plays := max(4, int(2*4.2*v/(mean*mean)/(precision*precision)/30))
			if plays > 4000 {
				plays, precision = 4000, 0.1
			}
			accept(t, []known{{"time to empty", mean, precision}}, func(k luck) []float64 {
				return block(k, plays, func(k luck) []float64 {
					q := newStation(k, station{there: n, work: exponential(1), gap: exponential(1 / rho)})
					empty := calendar.Time(-1)
					q.p.OnLeave(func(*flow.Piece) {
						if empty < 0 && q.p.Inside() == 1 { // the one that leaves now
							empty = q.p.Now()
						}
					})
					for h := mean; empty < 0; h *= 1.5 {
						q.run(t, h)
					}
					return []float64{empty.Hours()}
				})
			})
		})
	}
}

// upAndDown is a unit that always works and fails by the law of the table.
func upAndDown(k luck, places int, clock flow.Clock, mtbf, mttr []float64, crews int) (*flow.Plant, []flow.UnitID) {
	p := flow.NewPlant()
	var crew flow.SharedID
	if crews > 0 {
		crew = p.AddShared(flow.SharedSpec{Count: crews})
	}
	var units []flow.UnitID
	for i := range mtbf {
		units = append(units, p.AddUnit(flow.UnitSpec{
			Places: places, Work: func(*flow.Piece) calendar.Time { return calendar.Never },
			Fails: []flow.FailSpec{{
				Clock: clock, Crew: flow.Need{Shared: crew},
				Up: func(place, j int) calendar.Time { return hours(-math.Log(k.uniform(forUp, 10*i+place, j)) * mtbf[i]) },
				Repair: func(place, j int) calendar.Time {
					return hours(-math.Log(k.uniform(forRepair, 10*i+place, j)) * mttr[i])
				},
			}},
		}))
	}
	return p, units
}

// TestAvailability holds up and down times against the table: at a moment, over
// an interval, in the long run, the law of the down time over a week and a
// month, several units in series, and one of two. The rows of the variance
// constant are of long runs; TestUpTimeVariance has them. References:
// testdata/availability.csv.
func TestAvailability(t *testing.T) {
	t.Parallel()
	list := rows("availability.csv", func(r row) bool {
		return r["mtbf"] == "100" && r["mttr"] == "8" && (r["arg"] == "24" || r["arg"] == "168" && strings.HasPrefix(r["quantity"], "q")) ||
			r["quantity"] == "series_stop_together 100/8 200/5 50/4" || r["quantity"] == "one_of_two_cold_one_crew"
	})
	for i, r := range list {
		t.Run(fmt.Sprintf("%s/%s/%s/%s", r["quantity"], r["mtbf"], r["mttr"], r["arg"]), func(t *testing.T) {
			want, run := availability(t, r, []flow.Clock{flow.Operating, flow.ByCalendar}[i%2])
			if run != nil {
				accept(t, want, run)
			}
		})
	}
}

func availability(t *testing.T, r row, clock flow.Clock) ([]known, func(luck) []float64) {
	value := r.num("value")
	play := func(p *flow.Plant, h float64) {
		if err := p.Run(hours(h)); err != nil {
			t.Fatal(err)
		}
	}
	// joint samples two or more units each hour and returns the share of the hours
	// in which good holds.
	joint := func(build func(k luck) (*flow.Plant, []flow.UnitID, int), good func(up int, n int) bool) func(luck) []float64 {
		return func(k luck) []float64 {
			p, units, places := build(k)
			hit, hoursOf := 0, int(longer(40000))
			play(p, 1000)
			for h := range hoursOf {
				play(p, 1001+float64(h))
				up := 0
				for _, u := range units {
					for place := range places {
						up += int(indicator(p.State(u, place) == flow.Running))
					}
				}
				hit += int(indicator(good(up, len(units)*places)))
			}
			return []float64{float64(hit) / float64(hoursOf)}
		}
	}
	name, what, _ := strings.Cut(r["quantity"], " ")
	switch name {
	case "series_independent", "series_stop_together":
		var mtbf, mttr []float64
		for _, f := range strings.Fields(what) {
			var a, b float64
			if _, err := fmt.Sscanf(f, "%g/%g", &a, &b); err != nil {
				t.Fatal(err)
			}
			mtbf, mttr = append(mtbf, a), append(mttr, b)
		}
		if name == "series_independent" {
			return []known{{r["quantity"], value, 0.01}}, joint(func(k luck) (*flow.Plant, []flow.UnitID, int) {
				p, u := upAndDown(k, 1, flow.ByCalendar, mtbf, mttr, 0)
				return p, u, 1
			}, func(up, n int) bool { return up == n })
		}
		// One unit that several things can stop; it is worn only while it works.
		return []known{{r["quantity"], value, 0.01}}, func(k luck) []float64 {
			p := flow.NewPlant()
			s := flow.UnitSpec{Work: func(*flow.Piece) calendar.Time { return calendar.Never }}
			for i := range mtbf {
				s.Fails = append(s.Fails, flow.FailSpec{
					Up:     func(_, j int) calendar.Time { return hours(-math.Log(k.uniform(forUp, i, j)) * mtbf[i]) },
					Repair: func(_, j int) calendar.Time { return hours(-math.Log(k.uniform(forRepair, i, j)) * mttr[i]) },
				})
			}
			u := p.AddUnit(s)
			play(p, 1000)
			p.Reset()
			play(p, 1000+longer(40000))
			return []float64{p.Unit(u).Share(flow.Running)}
		}
	}
	if strings.HasPrefix(name, "asyvar_uptime") {
		return nil, nil
	}
	mtbf, mttr := []float64{r.num("mtbf")}, []float64{r.num("mttr")}
	switch name {
	case "one_of_two_hot_two_crews", "one_of_two_hot_one_crew":
		crews := 0
		if strings.HasSuffix(name, "one_crew") {
			crews = 1
		}
		return []known{{name, value, 0.005}}, joint(func(k luck) (*flow.Plant, []flow.UnitID, int) {
			p, u := upAndDown(k, 2, flow.Operating, mtbf, mttr, crews)
			return p, u, 2
		}, func(up, _ int) bool { return up > 0 })
	case "one_of_two_cold_one_crew":
		// Only one works at a time: there is one permit, and a unit that fails drops
		// its work and with it the permit.
		return []known{{name, value, 0.005}}, func(k luck) []float64 {
			p := flow.NewPlant()
			permit, crew := p.AddShared(flow.SharedSpec{}), p.AddShared(flow.SharedSpec{})
			u := p.AddUnit(flow.UnitSpec{
				Places: 2, Work: func(*flow.Piece) calendar.Time { return calendar.Never }, Needs: flow.Need{Shared: permit},
				Fails: []flow.FailSpec{{
					Crew: flow.Need{Shared: crew}, Piece: flow.Scrapped,
					Up:     func(place, j int) calendar.Time { return hours(-math.Log(k.uniform(forUp, place, j)) * mtbf[0]) },
					Repair: func(place, j int) calendar.Time { return hours(-math.Log(k.uniform(forRepair, place, j)) * mttr[0]) },
				}},
			})
			play(p, 1000)
			p.Reset()
			play(p, 1000+longer(40000))
			return []float64{2 * p.Unit(u).Share(flow.Running)}
		}
	}
	single := func(k luck) (*flow.Plant, flow.UnitID) {
		p, u := upAndDown(k, 1, clock, mtbf, mttr, 0)
		return p, u[0]
	}
	if name == "steady_availability" {
		return []known{{name, value, 0.01}}, func(k luck) []float64 {
			p, u := single(k)
			play(p, 1000)
			p.Reset()
			play(p, 1000+longer(40000))
			return []float64{p.Unit(u).Share(flow.Running)}
		}
	}
	horizon := r.num("arg")
	plays := 1000
	if nightly {
		plays = 2000
	}
	var of func(p *flow.Plant, u flow.UnitID, failures int) float64
	precision := 0.02
	downUpTo := func(limit float64) func(p *flow.Plant, u flow.UnitID, failures int) float64 {
		return func(p *flow.Plant, u flow.UnitID, _ int) float64 {
			return indicator(p.Unit(u).Spent[flow.Down].Hours() <= limit)
		}
	}
	switch {
	case name == "point_availability_at_t":
		of = func(p *flow.Plant, u flow.UnitID, _ int) float64 { return indicator(p.State(u, 0) == flow.Running) }
	case name == "interval_availability_0_t":
		of = func(p *flow.Plant, u flow.UnitID, _ int) float64 { return p.Unit(u).Share(flow.Running) }
	case name == "expected_failures_0_t":
		of = func(_ *flow.Plant, _ flow.UnitID, failures int) float64 { return float64(failures) }
		precision = math.Max(0.03, math.Min(0.3, 2.5*2.045/math.Sqrt(value*float64(plays)*30)))
	case name == "P_no_downtime_0_T":
		of = downUpTo(0)
		if value < 0.005 {
			return nil, nil // too rare to be measured
		}
		precision = 0.1
	case name == "P_downtime_0_T_le_0.08T":
		of = downUpTo(0.08 * horizon)
		precision = 0.05
	case strings.HasPrefix(name, "quantile_"):
		limit := value
		var err error
		if value, err = strconv.ParseFloat(strings.Split(name, "_")[1], 64); err != nil {
			t.Fatal(err)
		}
		if limit == 0 {
			return nil, nil // more than that share has no down time at all
		}
		of = downUpTo(limit)
		precision = 0.03
	default:
		t.Fatalf("no such quantity: %s", name)
	}
	return []known{{name, value, precision}}, func(k luck) []float64 {
		return block(k, plays, func(k luck) []float64 {
			failures := 0
			p := flow.NewPlant()
			u := p.AddUnit(flow.UnitSpec{Work: func(*flow.Piece) calendar.Time { return calendar.Never }, Fails: []flow.FailSpec{{
				Clock: clock,
				Up:    func(_, j int) calendar.Time { return hours(-math.Log(k.uniform(forUp, 0, j)) * mtbf[0]) },
				Repair: func(_, j int) calendar.Time {
					failures++
					return hours(-math.Log(k.uniform(forRepair, 0, j)) * mttr[0])
				},
			}}})
			play(p, horizon)
			return []float64{of(p, u, failures)}
		})
	}
}

// TestUpTimeVariance holds the variance of the up time of a long run against the
// renewal constant. The sample variance of 600 replications has a relative
// deviation of 6 %; 5 of them refuse. References: testdata/availability.csv.
func TestUpTimeVariance(t *testing.T) {
	t.Parallel()
	weibull2 := func(mean float64) law {
		return func(u float64) float64 { return mean / math.Gamma(1.5) * math.Sqrt(-math.Log(u)) }
	}
	list := rows("availability.csv", func(r row) bool { return r["quantity"] == "asyvar_uptime_per_unit_time" && r["mtbf"] == "20" })
	for _, r := range list {
		if !strings.HasPrefix(r["quantity"], "asyvar") {
			continue
		}
		t.Run(r["quantity"]+"/"+r["mtbf"]+"/"+r["mttr"], func(t *testing.T) {
			mtbf, mttr := r.num("mtbf"), r.num("mttr")
			up, repair := exponential(mtbf), exponential(mttr)
			if strings.Contains(r["quantity"], "weibull2_up") {
				up, repair = weibull2(mtbf), lognormal(mttr, 1.5)
			}
			if strings.Contains(r["quantity"], "det_up") {
				up, repair = fixed(mtbf), fixed(mttr)
			}
			const n = 600
			length := 150 * (mtbf + mttr)
			sum, squares := 0.0, 0.0
			for f := range uint64(n) {
				q := newStation(luck{Seed: seed1, Future: f}, station{gap: fixed(1e9), there: 1, work: fixed(1e8), up: up, repair: repair})
				q.run(t, length)
				x := q.p.Unit(q.unit).Spent[flow.Running].Hours() - length*mtbf/(mtbf+mttr)
				sum += x
				squares += x * x
			}
			got := (squares - sum*sum/n) / (n - 1) / length
			if want := r.num("value"); math.Abs(got-want) > 0.3*want+1e-9 {
				t.Errorf("variance of the up time by length %.4f, theory %.4f", got, want)
			}
		})
	}
}
