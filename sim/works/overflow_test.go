package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// By standing order trucks take slabs away above a level of the yard without being
// asked, and bring them back when it is below its normal; without one nobody comes.
func TestTrucksByStandingOrder(t *testing.T) {
	lasts, err := chance.Fixed(60 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	for _, above := range []float64{0, 22e6} {
		s := testSpec()
		s.Standing.OverflowAbove = above
		p, err := Build(s)
		if err != nil {
			t.Fatal(err)
		}
		// The mill stands for two days, which fills the yard.
		w := Begin(p, Start{Luck: chance.Luck{Seed: 5}, SoldOut: true, Script: []UpsetSpec{{Kind: StandWreck, Name: "stand wreck", Unit: "finishing train", At: 6 * 3600, Lasts: lasts, Scripted: true}}})
		w.Sink = record.Discard
		most, top := int64(0), int64(0)
		for at := calendar.Time(0); at <= 30*calendar.Day; at += calendar.Hour {
			if err := w.Run(at); err != nil {
				t.Fatal(err)
			}
			if over := w.S.Mass[p.p.overflow]; over > most {
				if level := float64(w.S.Mass[p.p.yard]) / grams; level < above-200e3 {
					t.Fatalf("at %v trucks take slabs away from %.0f kg", at, level)
				}
				most = over
			}
			top = max(top, w.S.Mass[p.p.yard])
			for _, err := range w.Check() {
				t.Fatal(err)
			}
		}
		t.Logf("above %.0f t: overflow %.0f t at most, yard %.0f t, %.0f t left outside", above/1e3, float64(most)/grams/1e3, float64(top)/grams/1e3, float64(w.S.Mass[p.p.overflow])/grams/1e3)
		if got := most > 0; got != (above > 0) {
			t.Errorf("standing order at %.0f kg: %d g were taken away", above, most)
		}
		if above > 0 && w.S.Mass[p.p.overflow] >= most {
			t.Errorf("nothing came back")
		}
		if w.OverflowOpen() {
			t.Error("a standing order opens nothing for people to close")
		}
	}
}
