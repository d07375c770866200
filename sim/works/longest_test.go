package works

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// Played, no stop of a row lasts longer than its longest, as many as were above it last
// just so long, and their mean is the one that the capacity table takes.
func TestNoStopIsLongerThanItsLongest(t *testing.T) {
	const longest, every = 5 * 86400.0, 4 * 3600.0
	whole := lawOf(t, 8*3600, 48*3600)
	s := capacitySpec(t)
	s.Upsets = []UpsetSpec{{Kind: DispatchBlocked, Unit: "dispatch", Every: every, Lasts: whole.Cut(longest), Told: ToldSpec{After: 600}}}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	n, cut, sum, squares := 0.0, 0.0, 0.0, 0.0
	for f := range uint64(4) {
		w := Begin(p, Start{Luck: chance.Luck{Seed: 9, Future: f}, SoldOut: true, Background: true})
		w.Sink = record.Discard
		if err := w.Run(100 * calendar.Day); err != nil {
			t.Fatal(err)
		}
		for i := range w.S.Upsets {
			d := (w.S.Upsets[i].Ends - w.S.Upsets[i].Began).Seconds()
			if d > longest {
				t.Fatalf("future %d: a stop of %.1f d", f, d/86400)
			}
			if d == longest {
				cut++
			}
			n, sum, squares = n+1, sum+d, squares+d*d
		}
	}
	if n < 2000 {
		t.Fatalf("only %v stops", n)
	}
	share := whole.Survival(longest)
	if z := (cut - n*share) / math.Sqrt(n*share*(1-share)); math.Abs(z) > 4 {
		t.Errorf("%v of %v stops last the longest, expected %.1f", cut, n, n*share)
	}
	// What the table loses, with a rarer row so that the shares do not run over.
	s.Upsets[0].Every = 1000 * 86400
	loss := 0.0
	c := table(t, s)
	for _, l := range c.Row("dispatch, the rest").Losses {
		if l.Cause == "dispatch blocked" {
			loss = l.Share * s.Upsets[0].Every
		}
	}
	mean := sum / n
	if z := (mean - loss) / math.Sqrt((squares/n-mean*mean)/n); loss == 0 || math.Abs(z) > 4 {
		t.Errorf("a stop lasts %.2f h on average, in the table %.2f h", mean/3600, loss/3600)
	}
	if loss > whole.Mean()-3600 {
		t.Errorf("the table takes %.2f h, the mean without a longest is %.2f h", loss/3600, whole.Mean()/3600)
	}
}

// Nobody is told of an end later than the longest allows, and no forecast has one, from
// the first moment to the last, whatever bias and law of words.
func TestNoWordGoesBeyondTheLongest(t *testing.T) {
	const longest = 30 * 3600.0
	latest := calendar.Dur(longest)
	p, err := Build(testSpec())
	if err != nil {
		t.Fatal(err)
	}
	fixed, err := chance.Fixed(29.5 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	law := lawOf(t, 8*3600, 24*3600).Cut(longest)
	for name, u := range map[string]UpsetSpec{
		"honest":      {Lasts: law, Told: ToldSpec{After: 600, NextWord: 3600}},
		"gloomy":      {Lasts: law, Told: ToldSpec{After: 600, NextWord: 3600, Bias: 5}},
		"told":        {Lasts: law, Told: ToldSpec{After: 600, NextWord: 1800, Given: true, Low: 20 * 3600, Likely: 26 * 3600, Bad: 29 * 3600}},
		"cause found": {Lasts: law, Told: ToldSpec{After: 600, NextWord: 3600, CauseFound: 2 * 3600}},
		"by hand":     {Lasts: fixed.Cut(longest), Told: ToldSpec{After: 600, NextWord: 3600, Given: true, Low: 3600, Likely: 9 * 3600, Bad: 90 * 3600}},
	} {
		u.Kind, u.Unit = StandWreck, "finishing train"
		capped, heard := 0, 0
		for f := range uint64(12) {
			w := Begin(p, Start{Luck: chance.Luck{Seed: 3, Future: f}, SoldOut: true})
			w.Sink = record.Discard
			if _, err := w.Inject(u, 0); err != nil {
				t.Fatal(err)
			}
			var look Works
			for at := calendar.Time(0); at <= latest+calendar.Hour; at += 5 * calendar.Hour / 2 {
				if err := w.Run(at); err != nil {
					t.Fatal(err)
				}
				v, _ := w.Stop(0)
				if v.Over {
					break
				}
				if up := &w.S.Upsets[0]; up.Ends > latest {
					t.Fatalf("%s: it ends at %v h", name, up.Ends.Hours())
				} else if up.Told {
					heard++
					if up.Low > up.Likely || up.Likely > up.Bad || up.Bad > latest {
						t.Fatalf("%s, after %v h: told %v, %v, %v h", name, at.Hours(), up.Low.Hours(), up.Likely.Hours(), up.Bad.Hours())
					}
					if up.Bad == latest {
						capped++
					}
					for k := range uint64(20) {
						look.CopyFrom(w)
						look.Redraw(chance.Luck{Seed: 4, Future: k}, false)
						if e := look.S.Upsets[0].Ends; e > latest || e < w.Now() {
							t.Fatalf("%s, after %v h: a forecast ends at %v h", name, at.Hours(), e.Hours())
						}
					}
				}
			}
		}
		if always := name == "gloomy" || name == "by hand"; capped == 0 || always != (heard == capped) {
			t.Errorf("%s: %d words, %d of them at the longest", name, heard, capped)
		}
	}
}

// A stop that has lasted for a while has what is left of its longest.
func TestTheLongestCountsFromTheBeginning(t *testing.T) {
	p, err := Build(testSpec())
	if err != nil {
		t.Fatal(err)
	}
	most := 0.0
	for f := range uint64(60) {
		w := Begin(p, Start{Luck: chance.Luck{Seed: 8, Future: f}, SoldOut: true})
		w.Sink = record.Discard
		if _, err := w.Inject(UpsetSpec{Kind: StandWreck, Unit: "finishing train", Elapsed: 20 * 3600, Lasts: lawOf(t, 8*3600, 60*3600).Cut(30 * 3600)}, 0); err != nil {
			t.Fatal(err)
		}
		most = math.Max(most, w.S.Upsets[0].Ends.Hours())
	}
	if math.Abs(most-10) > 1e-9 {
		t.Errorf("the longest of 60 lasts %v h more, want 10", most)
	}
}
