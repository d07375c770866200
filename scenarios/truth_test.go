package scenarios_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// TestNobodyKnowsTheTruthEarly plays one plan under two truths with the same words:
// the records are equal one by one until the first that follows from the earlier
// end.
func TestNobodyKnowsTheTruthEarly(t *testing.T) {
	p := larkfell(t)
	early, late := 9.0, 21.0
	play := func(lasts float64) []record.Event {
		m := &record.Memory{}
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 4, Future: 3}, SoldOut: true, Background: true, Script: wreck(16.6667, lasts)})
		w.Sink = m
		w.Director = plan(17.5, order(works.Order{Lever: works.SetCasterSpeed, Unit: p.UnitsNamed("C1")[0], Value: 0.8 / 60}),
			20.0, order(works.Order{Lever: works.RestartRamp, Unit: -1, Value: 0.7, N: 6}))()
		if err := w.Run(72 * calendar.Hour); err != nil {
			t.Fatal(err)
		}
		return m.Events
	}
	a, b := play(early), play(late)
	first := 0
	for first < len(a) && first < len(b) && a[first] == b[first] {
		first++
	}
	end := calendar.Dur((16.6667 + early) * 3600)
	if first == len(a) || first == len(b) {
		t.Fatal("the two truths make no difference at all")
	}
	if a[first].T < end-calendar.Second {
		t.Fatalf("record %d differs at %.4f h, before the earlier end at %.4f h: %+v and %+v", first, a[first].T.Hours(), end.Hours(), a[first], b[first])
	}
	if a[first].Kind != record.Over {
		t.Errorf("the first record that differs is %v, not the end of the stop", a[first].Kind)
	}
	words := 0
	for _, e := range a[:first] {
		if e.Kind == record.Told {
			words++
		}
	}
	if words < 3 {
		t.Errorf("only %d words before the end: the test sees too little", words)
	}
	t.Logf("%d records are equal, %d words among them", first, words)
}

// TestYardFillsWhenCountedByHand: with the mill standing and no slab withdrawn the
// yard fills at the hour that counting sequences and turnarounds by hand gives.
func TestYardFillsWhenCountedByHand(t *testing.T) {
	p := plantWith(t, func(s *works.Spec) {
		s.Standing.YardHigh = s.Yard.Room
		s.Planned = nil
		s.Standing.SlowWhenFull = false
	})
	s := &p.Spec
	// By hand: a caster's two strands of mean width draw so many kg/s; ten heats a
	// tundish less what stays in ladle and tundish; then the strand is drawn out
	// (28 m at casting speed) and the caster is turned round (45 min). Slabs of one
	// sequence over the time of one sequence, two casters.
	width := 0.0
	for i := range s.Products {
		width += s.Products[i].Share * s.Products[i].Width
	}
	c := s.Casters[0]
	draw := float64(c.Strands) * s.SlabThick * width * 7850 * c.Normal // kg/s
	steel := float64(c.HeatsMax)*s.Shop.Heat*(1-s.Shop.Skull) - c.TundishMin
	perSequence := steel/draw + c.Supported/c.Normal + c.Turnaround
	rate := float64(len(s.Casters)) * steel * 0.99 / perSequence // 1 %: crops and kerf
	// The charging tables and the last free hearth places still take slabs.
	tables := 0
	for i := range s.Furnaces {
		tables += s.Furnaces[i].TableSlabs + 2
	}
	hand := (p.Usable() - s.Yard.Normal + float64(tables)*p.MeanSlab()) / rate / 3600
	const futures = 40
	sum := 0.0
	for f := range futures {
		w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 9, Future: uint64(f)}, SoldOut: true, Script: wreck(0, 60)})
		w.Sink = record.Discard
		at := math.NaN()
		for m := 0; m < 60*40; m += 5 {
			if err := w.Run(calendar.Time(m) * calendar.Minute); err != nil {
				t.Fatal(err)
			}
			if w.AtBrink(3) {
				at = float64(m) / 60
				break
			}
		}
		sum += at / futures
	}
	t.Logf("by hand %.1f h at %.0f t/h, in the works %.1f h", hand, rate*3.6, sum)
	if math.Abs(sum-hand) > 0.05*hand {
		t.Errorf("the yard fills after %.2f h, by hand %.2f h", sum, hand)
	}
}

// TestTraceSimpleCobble: eight minutes on a quiet morning.
func TestTraceSimpleCobble(t *testing.T) {
	script := []works.UpsetSpec{{Kind: works.SimpleCobble, Name: "simple cobble", Unit: "finishing train", Scripted: true, At: 3.25 * 3600, Lasts: fixed(480), Ruins: works.RuinPiece,
		Told: works.ToldSpec{Given: true, After: 120, Low: 240, Likely: 480, Bad: 1200}}}
	w, _, log := play(t, script, 12, 1, nil)
	golden(t, "simple-cobble.txt", log)
	if at := placeNamed(w.P, "returned"); w.S.Mass[at] != 0 {
		t.Errorf("%d g of steel were poured back", w.S.Mass[at])
	}
}

// TestCraneTakesAQuarter: a lost crane takes a quarter to a third of the furnace feed.
func TestCraneTakesAQuarter(t *testing.T) {
	// Lifts long enough that three cranes are just enough for casters and furnaces.
	p := plantWith(t, func(s *works.Spec) { s.Yard.MinStock = 0; s.Yard.LiftTime = 225 })
	crane := []works.UpsetSpec{{Kind: works.SlabCraneOut, Name: "slab crane out", Unit: "slab cranes", Scripted: true, At: 6 * 3600, Lasts: fixed(48 * 3600), Told: works.ToldSpec{Bias: 1}}}
	feed := func(script []works.UpsetSpec) float64 {
		n := 0.0
		for f := range 8 {
			w := works.Begin(p, works.Start{Luck: chance.Luck{Seed: 2, Future: uint64(f)}, SoldOut: true, Script: script})
			w.Sink = sinkFunc(func(events []record.Event) {
				for i := range events {
					if e := &events[i]; e.Kind == record.Note && works.Word(e.A) == works.WordCharged && e.T > 12*calendar.Hour && e.T < 48*calendar.Hour {
						n++
					}
				}
			})
			if err := w.Run(48 * calendar.Hour); err != nil {
				t.Fatal(err)
			}
		}
		return n
	}
	a, b := feed(nil), feed(crane)
	t.Logf("slabs charged in 36 h, 8 futures: %.0f with three cranes, %.0f with two: %.0f %% less", a, b, (1-b/a)*100)
	// Counting digging, two of three cranes leave 62 to 75 % of the feed.
	if b > 0.76*a || b < 0.60*a {
		t.Errorf("two cranes charge %.0f slabs against %.0f of three", b, a)
	}
}

type sinkFunc func([]record.Event)

func (f sinkFunc) Put(e []record.Event) { f(e) }

func placeNamed(p *works.Plant, name string) int {
	for i := range p.Route.Places {
		if p.Route.Places[i].Name == name {
			return i
		}
	}
	return -1
}
