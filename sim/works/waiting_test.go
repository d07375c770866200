package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// After a long stop of the train the slabs at the doors must be heated up again: the
// moment that Door names, while the gas is still coming back, is the one at which the slab
// is at heat.
func TestDoorNamesTheMoment(t *testing.T) {
	checked := 0
	u := UpsetSpec{Kind: StandWreck, Unit: "finishing train", Lasts: fixed(t, 9*3600)}
	var said [2]DoorView
	var head [2]int32
	stopped(t, u, hoursTo(21, 34, 0.05), func(w *Works, h float64) {
		for f := range 2 {
			k := &w.S.Furnaces[f]
			v := w.Door(f)
			if k.Row.N == 0 {
				if v.Slab || v.At != calendar.Never {
					t.Fatalf("an empty furnace: %+v", v)
				}
				continue
			}
			if k.DoorWait && v.At != w.Now() {
				t.Errorf("at %.2f h a slab waits at the door of furnace %d: %+v", h, f, v)
			}
			if s := said[f]; s.Slab && k.Row.Head == head[f] {
				if ready := k.DoorWait; ready != (s.At <= w.Now()) {
					t.Errorf("furnace %d at %.2f h: the slab is at heat %v, said was %v", f, h, ready, s.At)
				} else if ready {
					checked++
					said[f] = DoorView{}
				}
				continue
			}
			said[f] = DoorView{}
			if v.Below > 0 && k.Want == 0 && !k.DoorWait && v.At != calendar.Never {
				if v.TempC >= v.NeedC {
					t.Errorf("a slab of %.0f C is not at heat, and %.0f C is asked for", v.TempC, v.NeedC)
				}
				said[f], head[f] = v, k.Row.Head
			}
		}
	})
	if checked == 0 {
		t.Fatal("no slab had to wait for the gas: nothing was compared")
	}
}

// hoursTo lists the hours from a to b.
func hoursTo(a, b, step float64) (out []float64) {
	for n := 0; a+float64(n)*step <= b; n++ {
		out = append(out, a+float64(n)*step)
	}
	return out
}

// What keeps heats from being begun is said with its reason; a turnaround with its end;
// coils on the floor lie between what they were coiled at and what they may be pickled at.
func TestWhatUnitsWaitFor(t *testing.T) {
	s := testSpec()
	s.Standing.WindHigh = s.Iron.Torpedo.Room // hot metal never presses
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	w := Begin(p, Start{SoldOut: true})
	w.Sink = record.Discard
	spaced, turned, coils := 0, 0, 0
	until := [2]calendar.Time{calendar.Never, calendar.Never}
	if _, err := w.Inject(UpsetSpec{Kind: StandWreck, Unit: "finishing train", Lasts: fixed(t, 40*3600)}, 12*calendar.Hour); err != nil {
		t.Fatal(err)
	}
	for at := calendar.Time(0); at < 45*calendar.Hour; at += calendar.Minute {
		if err := w.Run(at); err != nil {
			t.Fatal(err)
		}
		for c := range 2 {
			if w.TapWait(c) == TapSpaced {
				spaced++
				if y := float64(w.S.Mass[w.P.p.yard])/grams + w.committed(); y <= w.P.Spec.Standing.YardHigh {
					t.Fatalf("spaced at %.0f t", y/1000)
				}
			}
			x := w.TurnedAt(c)
			if until[c] != calendar.Never && w.Now() >= until[c] && x == until[c] {
				t.Errorf("C%d is still turned round at %v, its end was said to be %v", c+1, w.Now(), until[c])
			} else if until[c] != calendar.Never && w.Now() < until[c] && x != until[c] {
				t.Errorf("C%d was turned round before %v", c+1, until[c])
			}
			if until[c] = x; x != calendar.Never {
				turned++
			}
		}
		if hot, cold, ok := w.CoilTemps(); ok {
			coils++
			if hot > 601 || cold > hot || cold < w.P.Spec.CoilYard.PickleMax-0.5 {
				t.Fatalf("coils of %.0f to %.0f C on the floor", cold, hot)
			}
			if next := w.CoolerAt(); next != calendar.Never && next-w.Now() < calendar.Minute && cold > w.P.Spec.CoilYard.DispatchMax+1 {
				t.Fatalf("the next coil is cool in %v, the coldest has %.1f C", next-w.Now(), cold)
			}
		}
	}
	if spaced == 0 || turned == 0 || coils == 0 || math.IsNaN(w.Door(0).TempC) {
		t.Errorf("spaced %d, turned %d, coils %d: nothing was compared", spaced, turned, coils)
	}
}
