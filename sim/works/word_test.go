package works

import (
	"errors"
	"math"
	"slices"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

func lawOf(t *testing.T, median, bad float64) chance.Law {
	t.Helper()
	l, err := chance.Lognormal(median, bad)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// wordsHeard keeps the words of a run.
type wordsHeard struct{ at, likely []calendar.Time }

func (h *wordsHeard) Put(events []record.Event) {
	for _, e := range events {
		if e.Kind == record.Told {
			h.at, h.likely = append(h.at, e.T), append(h.likely, calendar.Time(e.Y))
		}
	}
}

// A word that is given by hand stands: neither the first word nor the next that was
// promised comes over it, and only another that is given takes its place.
func TestAGivenWordStands(t *testing.T) {
	p, err := Build(testSpec())
	if err != nil {
		t.Fatal(err)
	}
	fixed, err := chance.Fixed(20 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	u := UpsetSpec{Kind: StandWreck, Unit: "finishing train", Lasts: fixed, Told: ToldSpec{Given: true, After: 1200, Low: 3600, Likely: 7200, Bad: 36000, NextWord: 3 * 3600, CauseFound: 5 * 3600}}
	for _, at := range []calendar.Time{10 * calendar.Minute, calendar.Hour, 4 * calendar.Hour} {
		w := Begin(p, Start{Luck: chance.Luck{Seed: 3}, SoldOut: true})
		var heard wordsHeard
		w.Sink = &heard
		if _, err := w.Inject(u, 0); err != nil {
			t.Fatal(err)
		}
		if err := w.Run(at); err != nil {
			t.Fatal(err)
		}
		before := len(heard.at)
		if err := w.Tell(0, 7200, 14400, 50000); err != nil {
			t.Fatal(err)
		}
		if err := w.Run(at + 12*calendar.Hour); err != nil {
			t.Fatal(err)
		}
		v, ok := w.Stop(0)
		if !ok || len(heard.at) != before+1 || v.Likely != at+4*calendar.Hour || v.NextWord != calendar.Never || v.LastWord != at {
			t.Errorf("told at %v s: words at %v, the stop is %+v", at.Seconds(), heard.at, v)
		}
		if err := w.Tell(0, 600, 1200, 5000); err != nil {
			t.Fatal(err)
		}
		if v, _ := w.Stop(0); v.LastWord != w.Now() || v.Likely != w.Now()+20*calendar.Minute {
			t.Errorf("told again: %+v", v)
		}
	}
	// Without a hand the promised words come.
	w := Begin(p, Start{Luck: chance.Luck{Seed: 3}, SoldOut: true})
	var heard wordsHeard
	w.Sink = &heard
	if _, err := w.Inject(u, 0); err != nil {
		t.Fatal(err)
	}
	if err := w.Run(7 * calendar.Hour); err != nil {
		t.Fatal(err)
	}
	if want := []calendar.Time{20 * calendar.Minute, 200 * calendar.Minute, 380 * calendar.Minute}; !slices.Equal(heard.at, want) {
		t.Errorf("words at %v, want %v", heard.at, want)
	}
}

// Work on a unit that stands for a reason not known yet cannot be ordered.
func TestUnknownStopsRefuseWork(t *testing.T) {
	p, err := Build(testSpec())
	if err != nil {
		t.Fatal(err)
	}
	w := Begin(p, Start{Luck: chance.Luck{Seed: 3}, SoldOut: true})
	w.Sink = record.Discard
	u := UpsetSpec{Kind: StandWreck, Unit: "finishing train", Lasts: lawOf(t, 9*3600, 20*3600), Told: ToldSpec{After: 1200}}
	if _, err := w.Inject(u, 0); err != nil {
		t.Fatal(err)
	}
	for _, o := range []Order{{Lever: ChangeRolls, Unit: p.TrainUnit()}, {Lever: PullPlanned, Unit: p.TrainUnit()}} {
		if err := w.Run(19 * calendar.Minute); err != nil {
			t.Fatal(err)
		}
		var no *Refusal
		if err := w.Do(o); !errors.As(err, &no) || no.Why != ReasonNotKnown {
			t.Errorf("%s before the first word: %v", Levers[o.Lever].Name, err)
		}
	}
	if err := w.Run(21 * calendar.Minute); err != nil {
		t.Fatal(err)
	}
	if err := w.Do(Order{Lever: ChangeRolls, Unit: p.TrainUnit()}); err != nil {
		t.Errorf("after the first word: %v", err)
	}
}

// Before the first word a look-ahead knows that the unit is down, since when, and
// nothing of its kind: two kinds that take the train down look alike to the last
// microsecond. What it draws is the mixture of all stops of the unit by their rates.
func TestBeforeTheFirstWordTheKindIsNotKnown(t *testing.T) {
	s := testSpec()
	wreck := UpsetSpec{Kind: StandWreck, Unit: "finishing train", Every: 200 * 3600, Lasts: lawOf(t, 12*3600, 40*3600)}
	short := UpsetSpec{Kind: ShortStop, Unit: "finishing train", Every: 20 * 3600, Lasts: lawOf(t, 600, 3600)}
	cobble := UpsetSpec{Kind: BadCobble, Unit: "finishing train", Every: 5000, Lasts: lawOf(t, 2700, 10800)}
	other := UpsetSpec{Kind: ShortStop, Unit: "rougher", Every: 3600, Lasts: lawOf(t, 60, 120)}
	s.Upsets = []UpsetSpec{wreck, short, cobble, other}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	gone := 40 * calendar.Minute
	ends := func(kind UpsetSpec, n int) (out []float64) {
		kind.Told = ToldSpec{After: 4 * 3600}
		fixed, err := chance.Fixed(30 * 3600)
		if err != nil {
			t.Fatal(err)
		}
		kind.Lasts = fixed
		w := Begin(p, Start{Luck: chance.Luck{Seed: 5}, SoldOut: true})
		w.Sink = record.Discard
		if _, err := w.Inject(kind, 0); err != nil {
			t.Fatal(err)
		}
		if err := w.Run(gone); err != nil {
			t.Fatal(err)
		}
		var look Works
		for f := range uint64(n) {
			look.CopyFrom(w)
			look.Redraw(chance.Luck{Seed: 77, Future: f}, false)
			out = append(out, (look.S.Upsets[0].Ends - w.Now()).Seconds())
		}
		return out
	}
	const n = 3000
	a := ends(wreck, n)
	for _, k := range []UpsetSpec{short, cobble} {
		if b := ends(k, n); !slices.Equal(a, b) {
			t.Errorf("%s is told from a wreck by its forecast", Kinds[k.Kind].Name)
		}
	}
	// By hand: the survivals of the three laws after 40 min, weighted by stops an hour.
	rate := []float64{1.0 / 200, 1.0 / 20, 3600 / (5000 * p.normalS)}
	laws := []chance.Law{wreck.Lasts, short.Lasts, cobble.Lasts}
	surv := func(x float64) (sum float64) {
		for i := range laws {
			sum += rate[i] * laws[i].Survival(x)
		}
		return sum
	}
	for _, x := range []float64{300, 1800, 2 * 3600, 12 * 3600} {
		want := 1 - surv(gone.Seconds()+x)/surv(gone.Seconds())
		below := 0
		for _, e := range a {
			if e <= x {
				below++
			}
		}
		got := float64(below) / n
		if se := math.Sqrt(want * (1 - want) / n); math.Abs(got-want) > 4*se {
			t.Errorf("%.4f of the ends within %.0f s, want %.4f", got, x, want)
		}
	}
	m := p.stopsOf(p.TrainUnit(), nil)
	for _, u := range []float64{0.01, 0.1, 0.5, 0.9, 0.999} {
		x := m.residual(u, gone.Seconds())
		if got := 1 - surv(gone.Seconds()+x)/surv(gone.Seconds()); math.Abs(got-u) > 1e-9 {
			t.Errorf("quantile %v is %v s, which is quantile %v", u, x, got)
		}
	}
}
