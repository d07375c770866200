package measure

import (
	"testing"

	"millrace/sim/record"
)

// pair is a works and its twin with a yard (band 1000 to 3000 t) that 300 t pass
// every hour. From 10 h to 16 h the yard of the works fills by 400 t an hour, from
// 16 h to 28 h it empties by 200 t an hour; the twin's stays at 2000 t.
func pair(tb *testing.T, hours int, start float64) (x, twin *Tally) {
	x, twin = newTally(tb, testSheet()), newTally(tb, testSheet())
	for _, k := range []*Tally{x, twin} {
		k.Put([]record.Event{move(0, opening, yard, start, stepOpening), move(0, opening, c1, 1e6, stepOpening)})
	}
	for h := 1; h <= hours; h++ {
		in, out := 300.0, 300.0
		switch {
		case h > 10 && h <= 16:
			in = 700
		case h > 16 && h <= 28:
			in = 100
		}
		at := float64(h) - 0.5
		if h == 10 {
			x.Put([]record.Event{plain(at, record.Upset, 0, 0)})
		}
		if h == 16 {
			x.Put([]record.Event{plain(at, record.Over, 0, 0)})
		}
		x.Put([]record.Event{move(at, c1, yard, in, stepOther), move(at, yard, coilers, out, stepOther)})
		twin.Put([]record.Event{move(at, c1, yard, 300, stepOther), move(at, yard, coilers, 300, stepOther)})
	}
	x.Settle(hour(float64(hours)))
	twin.Settle(hour(float64(hours)))
	return x, twin
}

func TestRecoveryByHand(tb *testing.T) {
	// From 2000 t the yard is at 2400 at 11 h, ... 4400 at 16 h, 4200 at 17 h, ...
	// 2000 at 28 h. The mean over the eight hours up to h is above 3000 t last at
	// 26 h: (3800+3600+3400+3200+3000+2800+2600+2400)/8 = 3100; at 27 h it is 2900.
	x, twin := pair(tb, 40, 2000)
	at, ok := Recovery(x, twin)
	if !ok || at != hour(27) {
		tb.Errorf("recovered %v at %v h, by hand at 27 h", ok, at.Hours())
	}
	// Cut off at 34 h it has not been normal for a shift yet.
	x, twin = pair(tb, 34, 2000)
	if _, ok := Recovery(x, twin); ok {
		tb.Error("seven hours of normal levels are called recovered")
	}
	x, twin = pair(tb, 35, 2000)
	if at, ok := Recovery(x, twin); !ok || at != hour(27) {
		tb.Errorf("eight hours of normal levels are not called recovered (%v h)", at.Hours())
	}
	// While the upset lasts nothing has recovered.
	x, twin = pair(tb, 15, 2000)
	if _, ok := Recovery(x, twin); ok {
		tb.Error("recovered before the upset was over")
	}
}

// A yard that stands above its band in the twin too is not the upset's doing: it
// has recovered when it is back within a tenth of the band's width (200 t) of the
// twin's.
func TestRecoveryIsMeasuredAgainstTheTwin(tb *testing.T) {
	x, twin := pair(tb, 60, 3500)
	// The difference to the twin is 400 t at 11 h, ... 2400 at 16 h, ... 0 at 28 h.
	// Hours 24 to 31 hold 800, 600, 400, 200 and four times 0: mean 250 t; hours 25
	// to 32 hold 600, 400, 200 and five times 0: mean 150 t.
	at, ok := Recovery(x, twin)
	if !ok || at != hour(32) {
		tb.Errorf("recovered %v at %v h, by hand at 32 h", ok, at.Hours())
	}
}

// A store that turns over within a shift says nothing: the torpedoes hold 800 t
// at their highest, and 900 t in them against the twin's 450 matter only when so
// little passes that they last longer.
func TestQuickStoresSayNothing(tb *testing.T) {
	for _, c := range []struct {
		perHour float64
		normal  bool
	}{{300, true}, {20, false}} {
		x, twin := pair(tb, 60, 2000)
		x.Put([]record.Event{move(60, blast, torpedoes, 900, stepOther)})
		twin.Put([]record.Event{move(60, blast, torpedoes, 450, stepOther)})
		for h := range 60 {
			e := []record.Event{move(float64(h)+60, blast, torpedoes, c.perHour, stepOther), move(float64(h)+60, torpedoes, shop, c.perHour, stepOther)}
			x.Put(e)
			twin.Put(e)
		}
		x.Settle(hour(120))
		twin.Settle(hour(120))
		if at, ok := Recovery(x, twin); ok != c.normal {
			tb.Errorf("%v t/h: recovered %v at %v h", c.perHour, ok, at.Hours())
		}
	}
}
