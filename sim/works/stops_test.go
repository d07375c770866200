package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// stopped plays the cold test works with one scripted upset at 12 h and without luck's
// upsets; at calls what is to be seen at hours, in rising order.
func stopped(t *testing.T, u UpsetSpec, hours []float64, see func(w *Works, h float64)) *Works {
	t.Helper()
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	u.Scripted, u.At = true, 12*3600
	w := Begin(p, Start{Luck: chance.Luck{Seed: 6}, SoldOut: true, Script: []UpsetSpec{u}})
	w.Sink = record.Discard
	for _, h := range hours {
		if err := w.Run(calendar.Dur(h * 3600)); err != nil {
			t.Fatal(err)
		}
		see(w, h)
		if errs := w.Check(); len(errs) > 0 {
			t.Fatalf("at %g h: %v", h, errs)
		}
	}
	return w
}

func TestSlowDownSlowsAndThenStands(t *testing.T) {
	// A flow unit works at the pace and is given back.
	u := UpsetSpec{Kind: SlowDown, Unit: "rougher", Lasts: fixed(t, 4*3600), Slow: .6}
	stopped(t, u, []float64{11.9, 12.1, 15.9, 16.1}, func(w *Works, h float64) {
		want := 1.0
		if h > 12 && h < 16 {
			want = .6
		}
		if got := w.S.Net.Units[w.P.u.rougher].Pace; got != want {
			t.Errorf("at %g h the rougher's pace is %g, want %g", h, got, want)
		}
	})
	// A caster slows, not below its slowest speed, and its sequence ends when it lasts.
	u = UpsetSpec{Kind: SlowDown, Unit: "C1", Lasts: fixed(t, 4*3600), Slow: .3, StopsAfter: 1800, ComesBack: .8, BackFor: 3600}
	held := false
	stopped(t, u, []float64{11.9, 12.1, 14.5, 16.1, 20}, func(w *Works, h float64) {
		k := &w.S.Casters[0]
		switch {
		case h == 12.1 && k.Phase == phCasting && k.Speed != w.P.Spec.Casters[0].Slowest:
			t.Errorf("C1 casts at %g m/s, its slowest is %g", k.Speed, w.P.Spec.Casters[0].Slowest)
		case h == 14.5:
			held = k.Holds == 1 && (k.Phase == phDown || k.Phase == phEmptying || k.Phase == phTurn)
		case h == 16.1 && (k.Holds != 0 || k.Cap != .8):
			t.Errorf("after the stop C1 has %d holds and a cap of %g", k.Holds, k.Cap)
		case h == 20 && (k.Phase != phCasting || k.Cap != 1):
			t.Errorf("at 20 h C1 is in phase %d with a cap of %g", k.Phase, k.Cap)
		}
	})
	if !held {
		t.Error("a slow-down of 4 h that stands after 30 min did not end the sequence")
	}
}

func TestSequenceBrokenReturnsOrLosesTheHeat(t *testing.T) {
	for _, lost := range []bool{false, true} {
		u := UpsetSpec{Kind: SequenceBroken, Unit: "C1", Lasts: fixed(t, 3*3600)}
		if lost {
			u.Ruins = RuinHeat
		}
		var scrap, returned int64
		w := stopped(t, u, []float64{11.999, 12.001, 14.9, 19}, func(w *Works, h float64) {
			q := &w.P.p
			k := &w.S.Casters[0]
			switch h {
			case 11.999:
				if k.Phase != phCasting || k.Open < 0 {
					t.Fatal("C1 does not cast at 12 h: choose another seed")
				}
				scrap, returned = w.S.Mass[q.scrap], w.S.Mass[q.returned]
			case 12.001:
				scrap, returned = w.S.Mass[q.scrap]-scrap, w.S.Mass[q.returned]-returned
			case 14.9:
				if k.Phase != phDown || w.unitState(w.P.u.caster) != flow.Down {
					t.Errorf("turned round and held, C1 is in phase %d, not down", k.Phase)
				}
			}
		})
		if lost != (scrap > 1e6) || lost == (returned > 1e6) {
			t.Errorf("heat lost %v: %d g are scrap, %d g are returned", lost, scrap, returned)
		}
		if p := w.S.Casters[0].Phase; p != phCasting {
			t.Errorf("four hours after the stop C1 is in phase %d", p)
		}
	}
}

func TestSupplyLostStopsEverythingAtOnce(t *testing.T) {
	names := []string{"C1", "C2", "steel shop", "F1", "F2", "hot mill", "coiler A", "conveyor", "slab cranes", "pickle line", "cold mill", "bell cranes", "anneal bases", "temper mill", "dispatch"}
	u := UpsetSpec{Kind: SupplyLost, Unit: names[0], With: names[1:], Lasts: fixed(t, 3*3600), Ruins: RuinPiece | RuinBehind}
	rolled, heating := 0, 0
	w := stopped(t, u, []float64{12.001, 14.99, 15.01, 24}, func(w *Works, h float64) {
		k := &w.P.u
		n := &w.S.Net
		out := h < 15
		for _, x := range []int{k.rougher, k.train, k.shear, k.descaler, k.runOut, k.coil, k.conveyor, k.crane, k.crane + 1, k.pickle, k.coldMill, k.bellCrane, k.temper, k.dispatch, k.shop} {
			if n.Units[x].Has(flow.CauseDown) != out {
				t.Errorf("at %g h the %s is down: %v", h, w.P.Route.Units[x].Name, !out)
			}
		}
		for f := range w.P.Spec.Furnaces {
			if (w.S.Furnaces[f].Jams > 0) != out {
				t.Errorf("at %g h furnace %d has %d jams", h, f, w.S.Furnaces[f].Jams)
			}
		}
		if (w.S.Cold.GasOut > 0) != out {
			t.Errorf("at %g h gas out %d", h, w.S.Cold.GasOut)
		}
		if h == 12.001 {
			rolled = int(w.S.Mass[w.P.p.cobble])
			if n.Units[k.train].Piece >= 0 || n.Units[k.rougher].Piece >= 0 || w.S.Delay.N > 0 {
				t.Error("strips and bars outlived the loss of power")
			}
			for b := range w.P.Spec.Cold.Anneal.Bases {
				if w.S.Cold.Bases[b].Stage == bsHeating {
					heating++
				}
			}
		}
	})
	if rolled == 0 || heating == 0 {
		t.Errorf("%d g of cobbles and %d heating bases: the test sees too little", rolled, heating)
	}
	if w.S.Casters[0].Phase != phCasting || w.S.Net.Units[w.P.u.train].Count[flow.Running]+w.S.Net.Units[w.P.u.rougher].Count[flow.Running] == 0 {
		t.Error("nine hours later the works does not run")
	}
	ends := w.S.Upsets[0].Ends
	for i := range w.S.Upsets {
		if w.S.Upsets[i].Ends != ends || w.S.Upsets[i].Active {
			t.Errorf("unit %d came back at %v, not at %v", w.S.Upsets[i].Unit, w.S.Upsets[i].Ends, ends)
		}
	}
}

// A base that fails heats its charge again, from the end of the repair.
func TestBaseFaultBeginsHeatingAnew(t *testing.T) {
	u := UpsetSpec{Kind: ShortStop, Unit: "anneal bases", Lasts: fixed(t, 5*3600)}
	var before [maxBases]base
	stopped(t, u, []float64{11.9999, 12.0001}, func(w *Works, h float64) {
		if h < 12 {
			before = w.S.Cold.Bases
			return
		}
		anew := 0
		for b := range w.P.Spec.Cold.Anneal.Bases {
			k := &w.S.Cold.Bases[b]
			if k.Stage != bsHeating || before[b].Stage != bsHeating || k.At == before[b].At {
				continue
			}
			anew++
			if got := k.At.Seconds(); math.Abs(got-17*3600) > 1 {
				t.Errorf("base %d heats anew from %g s, want 17 h", b, got)
			}
		}
		if anew != 1 {
			t.Errorf("%d bases begin anew, want 1", anew)
		}
	})
}

// A furnace is run empty before its planned stop, stands for its length, takes slabs after.
func TestPlannedFurnaceStop(t *testing.T) {
	s := testColdSpec()
	s.Planned = []PlannedSpec{{Unit: "F1", First: 12 * 3600, Every: 300 * 86400, Lasts: 48 * 3600}}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	w := Begin(p, Start{Luck: chance.Luck{Seed: 5}, SoldOut: true})
	m := &record.Memory{}
	w.Sink = m
	if err := w.Run(5 * calendar.Day); err != nil {
		t.Fatal(err)
	}
	if errs := w.Check(); len(errs) > 0 {
		t.Fatal(errs)
	}
	begun, over, inside, after := calendar.Never, calendar.Never, 0, 0
	for _, e := range m.Events {
		switch on := int(e.From) == p.u.furnace; {
		case e.Kind == record.Note && Word(e.A) == WordPlanned && on:
			begun = e.T
		case e.Kind == record.Note && Word(e.A) == WordPlannedOver && on:
			over = e.T
		case e.Kind == record.Note && Word(e.A) == WordCharged && on && over != calendar.Never:
			after++
		case e.Kind == record.Note && Word(e.A) == WordCharged && on && e.T > 12*calendar.Hour:
			inside++
		}
	}
	if begun == calendar.Never || over-begun != 48*calendar.Hour {
		t.Fatalf("the stop lasts from %v to %v", begun, over)
	}
	if begun < 13*calendar.Hour || begun > 20*calendar.Hour {
		t.Errorf("run empty at %.1f h: a hearth of slabs takes hours from 12 h on", begun.Hours())
	}
	if inside > 0 || after == 0 {
		t.Errorf("%d slabs were charged before the end, %d after it", inside, after)
	}
	w.S.Net.Settle()
	if h := w.States(p.u.furnace)[flow.Maintenance] / float64(p.hearth[0]); math.Abs(h-48) > 0.01 {
		t.Errorf("every place is %.2f h in maintenance, want 48", h)
	}
}

// A look-ahead redraws the end of an upset on several units once, for all of them.
func TestRedrawKeepsUnitsTogether(t *testing.T) {
	u := UpsetSpec{Kind: SupplyLost, Unit: "C1", With: []string{"rougher", "F1"}, Lasts: fixed(t, 30*3600), Told: ToldSpec{Given: true, After: 600, Low: 3600, Likely: 7200, Bad: 5 * 3600}}
	w := stopped(t, u, []float64{13}, func(*Works, float64) {})
	was := w.S.Upsets[0].Ends
	var c Works
	c.CopyFrom(w)
	c.Redraw(chance.Luck{Seed: 77}, false)
	for i := range 3 {
		if a := c.S.Upsets[i]; !a.Active || a.Ends == was || a.Ends != c.S.Upsets[0].Ends {
			t.Errorf("unit %d ends at %v, the first at %v, the truth was %v", a.Unit, a.Ends, c.S.Upsets[0].Ends, was)
		}
	}
	c.RedrawEnd(0, 0.9)
	end := c.S.Upsets[0].Ends
	c.RedrawEnd(1, 0.1) // a part: it ends with the first
	if c.S.Upsets[0].Ends != end || c.S.Upsets[2].Ends != end {
		t.Error("a part was given an end of its own")
	}
	c.Sink = record.Discard
	if err := c.Run(end + calendar.Second); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		if c.S.Upsets[i].Active {
			t.Errorf("unit %d still stands", c.S.Upsets[i].Unit)
		}
	}
}
