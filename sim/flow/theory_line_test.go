package flow_test

import (
	"math"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// TestTandemBAS compares lines of exponential units with finite stores and
// blocking after service: throughput, pieces behind the first unit, and every
// unit's busy, blocked and starved share. Unequal units, and lines with their
// mirror image. References: testdata/tandem_bas.csv.
func TestTandemBAS(t *testing.T) {
	t.Parallel()
	table := readTable("tandem_bas.csv")
	rows := []row{
		find(t, table, "mu", "1 2", "buffers", "0"),
		find(t, table, "mu", "2 1", "buffers", "4"),
		find(t, table, "mu", "1 0.8 1", "buffers", "0 3"),
		find(t, table, "mu", "1 0.8 1", "buffers", "3 0"),
		find(t, table, "mu", "1.2 1 1.1", "buffers", "1 1"),
	}
	if nightly {
		rows = nil
		for _, r := range table {
			if r.num("stations") <= 3 || r["buffers"] == "0 0 0" || r["buffers"] == "0 0 0 0" {
				rows = append(rows, r)
			}
		}
	}
	for _, r := range rows {
		t.Run(r["mu"]+"/"+r["buffers"], func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			mu := r.nums("mu")
			var room []int64
			for _, b := range r.nums("buffers") {
				room = append(room, int64(b))
			}
			want := []known{{"throughput", r.num("throughput"), 0.005}, {"behind the first", r.num("wip_downstream"), 0.02}}
			states := map[string]flow.State{"busy": flow.Running, "blocked": flow.Blocked, "starved": flow.Starved}
			type place struct {
				unit  int
				state flow.State
			}
			var where []place
			never := map[place]bool{}
			for _, col := range []string{"busy", "blocked", "starved"} {
				for i, share := range r.nums(col) {
					p := place{i, states[col]}
					if share == 0 {
						never[p] = true
						continue
					}
					where = append(where, p)
					precision := 0.01
					switch {
					case share < 0.01:
						precision = 0.05
					case share < 0.1:
						precision = 0.03
					}
					want = append(want, known{col + " " + string(rune('1'+i)), share, precision})
				}
			}
			warm, end := hours(500), hours(500+longer(40000))
			accept(t, want, func(k luck) []float64 {
				l := newLine(room, -1, func(unit, piece int) calendar.Time {
					return hours(-math.Log(k.uniform(forWork, unit, piece)) / mu[unit])
				})
				l.run(warm)
				l.net.Settle()
				before := append([]flow.Unit(nil), l.net.Units...)
				out := l.out
				l.area = 0
				l.run(end)
				l.net.Settle()
				span := (end - warm).Hours()
				got := []float64{float64(l.out-out) / span, l.area / span}
				for _, p := range where {
					got = append(got, (l.net.Units[p.unit].Spent[p.state]-before[p.unit].Spent[p.state]).Hours()/span)
				}
				for p := range never {
					if d := l.net.Units[p.unit].Spent[p.state] - before[p.unit].Spent[p.state]; d != 0 {
						t.Errorf("unit %d was %s for %v h", p.unit+1, p.state, d.Hours())
					}
				}
				if msg := l.lawful(); msg != "" {
					t.Error(msg)
				}
				return got
			})
		})
	}
}

// TestTwoMachineSlotted compares a line of two units with equal constant cycles,
// geometric up times in cycles of work and geometric repairs in cycles. The
// table's level n counts what is between the units, on the second, and held by
// the first when it is blocked, so its N is the store's room and two. A unit
// that has just come back works at least one cycle, and one that fails does so
// before its next cycle: exactly what FailAt does with whole cycles. References:
// testdata/two_machine_slotted.csv.
func TestTwoMachineSlotted(t *testing.T) {
	t.Parallel()
	table := readTable("two_machine_slotted.csv")
	rows := []row{
		find(t, table, "p1", "0.05", "r1", "0.3", "N", "4"),
		find(t, table, "p1", "0.01", "p2", "0.02", "N", "10"),
		find(t, table, "p1", "0.005", "r1", "0.05", "N", "8"),
	}
	if nightly {
		rows = nil
		for _, r := range table {
			if r.num("N") <= 50 {
				rows = append(rows, r)
			}
		}
	}
	for _, r := range rows {
		t.Run(strings.Join([]string{r["p1"], r["r1"], r["p2"], r["r2"], r["N"]}, "/"), func(t *testing.T) {
			if nightly {
				t.Parallel()
			}
			up := []law{geometric(r.num("p1")), geometric(r.num("p2"))}
			repair := []law{geometric(r.num("r1")), geometric(r.num("r2"))}
			room := []int64{int64(r.num("N")) - 2}
			warm, end := hours(5000), hours(5000+longer(120000))
			accept(t, []known{
				{"throughput", r.num("E_closed"), 0.005}, {"level", r.num("n_mean_closed"), 0.03},
			}, func(k luck) []float64 {
				l := newLine(room, -1, func(int, int) calendar.Time { return calendar.Hour }).failing(
					func(unit, j int) calendar.Time { return hours(up[unit](k.uniform(forUp, unit, j))) },
					func(unit, j int) calendar.Time { return hours(repair[unit](k.uniform(forRepair, unit, j))) })
				l.run(warm)
				l.net.Settle()
				out, held := l.out, l.net.Units[0].Spent[flow.Blocked]
				l.area = 0
				l.run(end)
				l.net.Settle()
				span := (end - warm).Hours()
				level := (l.area + (l.net.Units[0].Spent[flow.Blocked] - held).Hours()) / span
				if l.wrong != "" {
					t.Error(l.wrong)
				}
				return []float64{float64(l.out-out) / span, level}
			})
		})
	}
}
