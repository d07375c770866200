package pickling

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// 400 m in the looper, 3 m/s: 133.3 s are carried at full speed, longer stops at
// less, and very long ones at least speed until the process stands (plain
// arithmetic).
func TestOutage(t *testing.T) {
	l, c := line(), coil()
	l.MaxProcess, l.EntryLooper, l.EntrySpeed, l.MinProcess = 3, 400, 8, 0.5
	for _, x := range []struct{ seconds, process, bridged, halted, missed, recovery float64 }{
		{90, 3, 90, 0, 0, 54},
		{133, 3, 133, 0, 0, 79.8},
		{400, 1, 400, 0, 800, 80},
		{800, 0.5, 800, 0, 2000, 80},
		{1000, 0.5, 800, 200, 2600, 80},
	} {
		o, err := l.EntryStop(c, 400, x.seconds)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "process", o.Process, x.process, 1e-9)
		near(t, "bridged", o.Bridged, x.bridged, 1e-9)
		near(t, "halted", o.Halted, x.halted, 1e-9)
		near(t, "missed", o.Missed, x.missed, 1e-9)
		near(t, "recovery", o.Recovery, x.recovery, 1e-9)
		if o.Overpickled != 0 {
			t.Errorf("%g m lost in %g s", o.Overpickled, x.seconds)
		}
	}
	// Five minutes standing lose what is in the tanks.
	o, err := l.EntryStop(c, 400, 1200)
	if err != nil || o.Overpickled != 78 || o.Halted != 400 {
		t.Errorf("%+v, %v", o, err)
	}
	// The exit side, from its room.
	if o, err = l.ExitStop(c, 90, 60); err != nil || o.Process != 1.5 || o.Halted != 0 {
		t.Errorf("%+v, %v", o, err)
	}
	for i, f := range []func() error{
		func() error { _, err := l.EntryStop(c, 401, 10); return err }, func() error { _, err := l.EntryStop(c, math.NaN(), 10); return err },
		func() error { _, err := l.EntryStop(c, 100, math.NaN()); return err }, func() error { _, err := l.ExitStop(Coil{}, 100, 10); return err },
	} {
		if f() == nil {
			t.Errorf("accepted %d", i)
		}
	}
}

// Equal coils in an endless row run at the speed of one; short ones in a row empty
// the looper before that.
func TestSequence(t *testing.T) {
	l, c := line(), coil()
	short := c
	short.Length = 250
	many := func(n int, c Coil) (all []Coil) {
		for range n {
			all = append(all, c)
		}
		return all
	}
	one, err := l.Coil(c)
	if err != nil {
		t.Fatal(err)
	}
	r, err := l.Sequence(many(50, c))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "long coils", r.ProcessSpeed, one.ProcessSpeed, 1e-9)
	// 250/(250/8.33 + 105) = 1.85 m/s for ever; a few in a row draw on the looper.
	always := SustainableSpeed(250, l.EntrySpeed, l.WeldTime)
	r, err = l.Sequence(many(2000, short))
	if err != nil || r.LimitedBy != LimitEntryLooper {
		t.Fatalf("%+v, %v", r, err)
	}
	near(t, "short coils for ever", r.ProcessSpeed, always, 0.01)
	mixed := append(many(3, c), append(many(4, short), many(3, c)...)...)
	m, err := l.Sequence(mixed)
	if err != nil || !(m.ProcessSpeed > always && m.ProcessSpeed < one.ProcessSpeed) || m.At != 7 {
		t.Errorf("%+v, %v", m, err)
	}
	near(t, "emptied", m.Least, 0, 1e-6)
	// The weld behind the four short coils is the fifth in a row and the lowest:
	// 420 - 5 v 105 + 4 x 250 (1 - v/8.33) = 0 gives v = 1420/645.
	near(t, "four in a row", m.ProcessSpeed, 1420.0/645, 1e-6)
	l.MinProcess = 2.5
	var e *LimitError
	if _, err := l.Sequence(mixed); !errors.As(err, &e) || e.Suggest == "" {
		t.Errorf("%v", err)
	}
	if _, err := l.Sequence(nil); err == nil {
		t.Error("no coils")
	}
	rapid.Check(t, func(t *rapid.T) {
		l := line()
		l.MinProcess = 0
		var all []Coil
		for range rapid.IntRange(1, 12).Draw(t, "coils") {
			c := coil()
			c.Length = rapid.Float64Range(100, 1500).Draw(t, "length")
			all = append(all, c)
		}
		a, err := l.Sequence(all)
		if err != nil || !(a.ProcessSpeed > 0) || a.Least < -1e-6 {
			t.Fatalf("%+v, %v", a, err)
		}
		l.EntryLooper += 50
		b, err := l.Sequence(all)
		if err != nil || b.ProcessSpeed < a.ProcessSpeed-1e-9 {
			t.Fatalf("a longer looper: %+v then %+v, %v", a, b, err)
		}
	})
}

// FuzzLine: an error, or finite numbers (recovery may be never).
func FuzzLine(f *testing.F) {
	f.Add(10.0, 80.0, 920.0, 2.5e-3, 1.25, 600.0, 8.0, 105.0, 420.0, 400.0, 300.0)
	f.Add(math.NaN(), 0.0, -1.0, 1e300, math.Inf(1), 900.0, 1e-300, 1e5, 0.0, -1.0, 1e9)
	f.Fuzz(func(t *testing.T, acid, temp, length, h, w, coiling, entry, weld, looper, stored, seconds float64) {
		l := line()
		l.AcidPercent, l.TempC, l.EntrySpeed, l.WeldTime, l.EntryLooper = acid, temp, entry, weld, looper
		c := Coil{Length: length, Thickness: h, Width: w, CoilingTempC: coiling}
		fine := func(v ...float64) {
			for _, x := range v {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%+v %+v: %v", l, c, v)
				}
			}
		}
		if r, err := l.Coil(c); err == nil {
			fine(r.ProcessSpeed, r.Time, r.Rate, r.Need, r.InAcid, r.Entry, r.Drawn, r.Reserve)
			if math.IsNaN(r.Refill) {
				t.Fatalf("%+v", r)
			}
		}
		if o, err := l.EntryStop(c, stored, seconds); err == nil {
			fine(o.Process, o.Bridged, o.Halted, o.Missed, o.Overpickled)
			if !(o.Recovery >= 0) || !(o.Bridged >= 0 && o.Halted >= -1e-9*seconds) {
				t.Fatalf("%+v", o)
			}
		}
		if r, err := l.Sequence([]Coil{c, coil(), c}); err == nil {
			fine(r.ProcessSpeed, r.Least)
		}
	})
}
