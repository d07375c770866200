package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// Over days full of upsets a unit is slowed when, and only when, something slows it, and
// each reason is true of the works.
func TestWhatSlowsAUnit(t *testing.T) {
	s := testSpec()
	s.Upsets = testUpsets()
	for i := range s.Upsets {
		s.Upsets[i].ComesBack, s.Upsets[i].BackFor = 0.6, 3600
	}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[SlowReason]int{}
	for future := range uint64(8) {
		w := Begin(p, Start{Luck: chance.Luck{Seed: 3, Future: future}, Background: true, SoldOut: true})
		w.Sink = record.Discard
		if future%2 == 1 {
			w.S.Casters[0].Aim = 0.7 * s.Casters[0].Normal
		}
		for at := calendar.Time(0); at < 12*calendar.Day; at += 7 * calendar.Minute {
			if err := w.Run(at); err != nil {
				t.Fatal(err)
			}
			for u := range p.Route.Units {
				v := w.Slowing(u)
				if n := w.S.Net.Units[u].Count[flow.Slowed]; n > 0 && v.Why == NotSlow {
					t.Fatalf("future %d at %v: nothing slows %s, which is slowed", future, at, p.Route.Units[u].Name)
				}
				seen[v.Why]++
				c := w.casterOf(u)
				switch v.Why {
				case SlowByUpset:
					if stop, ok := w.Stop(v.Upset); !ok || stop.Over || stop.Unit != u || w.upsetSpec(w.S.Upsets[v.Upset].Spec).slows() >= 1 {
						t.Fatalf("%s is slowed by %+v", p.Route.Units[u].Name, stop)
					}
				case SlowComing:
					if v.Until < at || v.Until > at+3*calendar.Hour {
						t.Fatalf("%s comes back at %v until %v", p.Route.Units[u].Name, at, v.Until)
					}
				case SlowOrdered:
					if c != 0 || future%2 == 0 {
						t.Fatalf("%s is slow as ordered, and nobody did", p.Route.Units[u].Name)
					}
				case SlowStanding:
					if u != p.u.iron || w.S.Wind >= 1 {
						t.Fatalf("%s: wind at %.2f", p.Route.Units[u].Name, w.S.Wind)
					}
				}
			}
		}
	}
	for r := NotSlow; r <= SlowStanding; r++ {
		if seen[r] == 0 {
			t.Errorf("reason %d never held: %v", r, seen)
		}
	}
	t.Log(seen)
}
