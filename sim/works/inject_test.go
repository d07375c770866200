package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// Every upset of a works can be given at any moment, on every unit that it happens
// on, also while others last, and no law is broken.
func TestInjectKeepsTheLaws(t *testing.T) {
	s := testSpec()
	s.Upsets = testUpsets()
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	given := 0
	for future := range uint64(6) {
		luck := chance.Luck{Seed: 11, Future: future}
		w := Begin(p, Start{Luck: luck, Background: true, SoldOut: true})
		w.Sink = record.Discard
		for k := range 60 {
			if err := w.Run(calendar.Time(k) * 53 * calendar.Minute); err != nil {
				t.Fatal(err)
			}
			u := s.Upsets[luck.Pick(len(s.Upsets), 99, uint64(k), 0)]
			units := p.UnitsMeant(u.Unit)
			if len(units) == 0 || p.CheckInject(&u) != nil {
				continue
			}
			u.Unit = p.Route.Units[units[luck.Pick(len(units), 99, uint64(k), 1)]].Name
			before := len(w.Script)
			n, err := w.Inject(u, w.Now()+calendar.Time(k%3)*calendar.Hour)
			if err != nil {
				t.Fatalf("%s on %s: %v", u.Name, u.Unit, err)
			}
			if len(w.Script) != before+1 || n != len(w.S.Upsets)-1 && !w.S.Upsets[n].Active {
				t.Errorf("upset %d", n)
			}
			given++
			if err := w.Run(w.Now()); err != nil {
				t.Fatal(err)
			}
			if k%7 == 0 && w.UpsetActive(n) {
				if err := w.Tell(n, 600, 1200, 7200); err != nil {
					t.Fatal(err)
				}
				if v, ok := w.Stop(n); !ok || !v.Told || v.Likely != w.Now()+20*calendar.Minute {
					t.Errorf("told %+v", v)
				}
			}
			for _, err := range w.Check() {
				t.Fatalf("after %s on %s: %v", u.Name, u.Unit, err)
			}
		}
		if err := w.Run(80 * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		for _, err := range w.Check() {
			t.Error(err)
		}
	}
	if given < 200 {
		t.Errorf("only %d were given", given)
	}
}

// A script that is given piece by piece lasts as long as one given whole, and does not
// touch the script that copies share.
func TestInjectIsTheScript(t *testing.T) {
	p, err := Build(testSpec())
	if err != nil {
		t.Fatal(err)
	}
	lasts, err := chance.Lognormal(8*3600, 20*3600)
	if err != nil {
		t.Fatal(err)
	}
	u := UpsetSpec{Kind: StandWreck, Name: "stand wreck", Unit: "finishing train", At: 7200, Lasts: lasts, Scripted: true,
		Told: ToldSpec{Given: true, After: 1200, Low: 3600, Likely: 7200, Bad: 36000}}
	start := Start{Luck: chance.Luck{Seed: 3}, SoldOut: true}
	given := Begin(p, start)
	start.Script = []UpsetSpec{u}
	whole := Begin(p, start)
	var other Works
	for _, w := range []*Works{whole, given} {
		if err := w.Run(2 * calendar.Hour); err != nil {
			t.Fatal(err)
		}
	}
	other.CopyFrom(given)
	if _, err := given.Inject(u, given.Now()); err != nil {
		t.Fatal(err)
	}
	if a, b := whole.S.Upsets[0], given.S.Upsets[0]; a.Ends != b.Ends || a.Began != b.Began || !b.Active {
		t.Errorf("given it ends at %d, in the script at %d", b.Ends, a.Ends)
	}
	if len(other.Script) != 0 || len(other.S.Upsets) != 0 {
		t.Error("a copy learned of it")
	}
	for _, bad := range []UpsetSpec{{Kind: LateHeat, Unit: "steel shop", Lasts: lasts}, {Kind: StandWreck, Unit: "nowhere", Lasts: lasts}, {Kind: NUpsetKinds, Unit: "F1", Lasts: lasts}, {Kind: StandWreck, Unit: "finishing train"}, {Kind: ShortStop, Unit: "iron supply", Lasts: lasts}} {
		if _, err := given.Inject(bad, 0); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
	if err := given.Tell(5, 1, 2, 3); err == nil {
		t.Error("a word on a stop that is not")
	}
	if err := given.Tell(0, 3, 2, 1); err == nil {
		t.Error("a word that falls")
	}
}
