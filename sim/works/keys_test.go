package works

import (
	"fmt"
	"slices"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

type drawn struct {
	p             chance.Purpose
	entity, index uint64
}

// TestPlansMeetTheSameLuck logs every draw of two plans that act differently: equal
// keys have equal values, and most keys are met by both.
func TestPlansMeetTheSameLuck(t *testing.T) {
	s := testSpec()
	s.Upsets = testUpsets()
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	luck := chance.Luck{Seed: 5, Future: 2}
	play := func(d Director) map[drawn]float64 {
		w := Begin(p, Start{Luck: luck, Background: true, SoldOut: true})
		got := map[drawn]float64{}
		w.Keys = func(p chance.Purpose, entity, index uint64, v float64) {
			k := drawn{p, entity, index}
			if old, ok := got[k]; ok && old != v {
				t.Fatalf("key %v gave %v and then %v", k, old, v)
			}
			got[k] = v
		}
		w.Sink = record.Discard
		w.Director = d
		if err := w.Run(10 * calendar.Day); err != nil {
			t.Fatal(err)
		}
		return got
	}
	a, b := play(nil), play(&slowDown{})
	common, differ := 0, 0
	for k, v := range a {
		if x, ok := b[k]; ok {
			common++
			if x != v {
				differ++
			}
		}
	}
	share := float64(common) / float64(max(len(a), len(b)))
	t.Logf("%d and %d draws, %.1f %% of the keys in common", len(a), len(b), share*100)
	if differ > 0 {
		t.Errorf("%d keys gave other values under the other plan", differ)
	}
	if share < 0.9 {
		t.Errorf("only %.0f %% of the keys are met by both plans", share*100)
	}
	if len(a) < 1000 {
		t.Errorf("only %d draws: the log does not see them", len(a))
	}
}

// slowDown slows both casters for half a day.
type slowDown struct{ slowed, done bool }

func (s *slowDown) Wants() (calendar.Time, uint32) {
	if s.done {
		return calendar.Never, 0
	}
	if s.slowed {
		return 36 * calendar.Hour, 0
	}
	return calendar.Day, 0
}

func (s *slowDown) Ask(w *Works) {
	v := 0.8 / 60
	if s.slowed {
		s.done = true
		v = w.P.Spec.Casters[0].Normal
	}
	s.slowed = true
	for c := range w.P.Spec.Casters {
		_ = w.Do(Order{Lever: SetCasterSpeed, Unit: w.P.u.caster + c, Value: v})
	}
}

// A row or a unit put into the works leaves the luck of all others as it was.
func TestLuckGoesByName(t *testing.T) {
	play := func(s Spec) (map[string]float64, string) {
		p, err := Build(s)
		if err != nil {
			t.Fatal(err)
		}
		w := Begin(p, Start{Luck: chance.Luck{Seed: 5, Future: 2}, Background: true, SoldOut: true})
		var d record.Digest
		w.Sink = &d
		ages := map[string]float64{}
		w.Ages = func(spec int, unit string, no int32, age calendar.Time) {
			if Kinds[p.Spec.Upsets[spec].Kind].Clock == ByOperating {
				ages[fmt.Sprint(p.Spec.Upsets[spec].Name, unit, no)] = age.Seconds()
			}
		}
		if err := w.Run(20 * calendar.Day); err != nil {
			t.Fatal(err)
		}
		w.Flush()
		return ages, d.String()
	}
	s := testSpec()
	s.Upsets = testUpsets()
	for i := range s.Upsets {
		s.Upsets[i].Name = fmt.Sprint("row ", i)
	}
	plain, digest := play(s)
	if len(plain) < 10 {
		t.Fatalf("only %d upsets", len(plain))
	}

	more := s
	never := s.Upsets[0]
	never.Name, never.Every = "never", 1e15
	more.Upsets = slices.Insert(slices.Clone(s.Upsets), 0, never)
	if _, got := play(more); got != digest {
		t.Error("a row that never happens, put first, changes the run")
	}

	cranes := s
	cranes.Yard.Cranes++
	got, other := play(cranes)
	if other == digest {
		t.Fatal("a crane more changes nothing: the test sees nothing")
	}
	common := 0
	for k, age := range plain {
		if x, ok := got[k]; ok {
			common++
			if x != age {
				t.Errorf("%s at operating age %.0f s, with a crane more at %.0f s", k, age, x)
			}
		}
	}
	if common < len(plain)*9/10 {
		t.Errorf("only %d of %d upsets are met by both", common, len(plain))
	}
}
