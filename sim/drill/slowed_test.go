package drill

import (
	"math"
	"slices"
	"strings"
	"testing"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/works"
)

// A row that is slowed says what slows it: the upset, as far as people know it, the return
// from a stop and until when, the next heat, the torpedoes, or an order.
func TestRowsSayWhatSlowsThem(t *testing.T) {
	alone(t)
	seen := map[string]int{}
	comes := map[int]float64{} // until when a row said that it comes back
	eachTen(t, 61*calendar.Hour, func(s *session) {
		w, now, waits := s.played.Works(), s.now().Seconds(), s.waits()
		if s.now() <= wreckAt+10*calendar.Minute {
			clear(comes)
		}
		for i := range s.rows {
			x := &s.rows[i]
			if x.unit < 0 || s.meter.last[i].S != bus.UnitSlowed {
				continue
			}
			v := w.Slowing(x.unit)
			k := slices.IndexFunc(waits, func(x bus.Wait) bool { return x.Row == i })
			if v.Why == works.NotSlow {
				continue // its state is that of the last minutes
			}
			if k < 0 {
				t.Errorf("at %.1f h %s is slowed (%d) and does not say why", now/3600, x.Name, v.Why)
				continue
			}
			why := waits[k]
			switch {
			case strings.HasPrefix(why.Why, "coming back"):
				seen["back"]++
				if why.Until == nil || *why.Until < now {
					t.Errorf("at %.1f h %s comes back until %v", now/3600, x.Name, why.Until)
				} else {
					comes[i] = *why.Until
				}
			case why.Call != "" && why.Why == notYet:
				seen["not yet known"]++
			case why.Call != "":
				seen["upset"]++
				stop, _ := w.Stop(v.Upset)
				if why.Why != stop.Name || stop.Told != why.Told || stop.Told && math.Abs(*why.Until-stop.Likely.Seconds()) > 30 {
					t.Errorf("%s: %+v, the stop is %+v", x.Name, why, stop)
				}
			default:
				seen[why.Why]++
			}
		}
		for i, end := range comes {
			if v := w.Slowing(s.rows[i].unit); now > end+1 && v.Why == works.SlowComing && v.Until.Seconds() <= end {
				t.Errorf("%s still comes back at %.1f h, it said until %.1f h", s.rows[i].Name, now/3600, end/3600)
			}
		}
	}, 1, 2, 3)
	t.Log(seen)
	for _, want := range []string{"back", "upset", "wind cut by standing order: torpedoes fill"} {
		if seen[want] == 0 {
			t.Errorf("nobody is slowed by: %s", want)
		}
	}
}

// What people ordered is said to be so.
func TestRowsSayTheyAreSlowAsOrdered(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 60})
	for _, o := range []*bus.Order{slow("C1", "0.70 m/min"), {Lever: "wind", Unit: "iron supply", Value: "80 %"}} {
		d.must(bus.Command{Kind: bus.CmdOrder, Role: bus.Player, By: "ops", Order: o})
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 40})
	snap, said := d.snapshot(bus.ForAll), 0
	for _, w := range snap.Waits {
		if name := snap.Route[w.Row].Name; w.Why == "as ordered" && (name == "C1" || name == "iron supply") {
			said++
		}
	}
	if said != 2 {
		t.Errorf("%d of 2 rows are slow as ordered: %s", said, jsonOf(snap.Waits))
	}
}
