package hotrolling_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	hr "millrace/sim/steel/hotrolling"
)

// What a refusal names as fitting fits, each change alone.
func TestNearestFits(t *testing.T) {
	found := [2][3]int{}
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		if tried++; tried > 50 { // some 20 ms each
			return
		}
		m, tr := rougher(), train()
		weak := rapid.Float64Range(0.3, 0.8).Draw(t, "weak")
		m.MaxTorque *= weak
		m.MaxForce *= weak
		for i := range tr.Stands {
			tr.Stands[i].MaxForce *= weak
			tr.Stands[i].MaxPower *= weak
		}
		s := hr.Slab{Width: rapid.Float64Range(1.2, 1.85).Draw(t, "width"), Thickness: rapid.Float64Range(0.2, 0.3).Draw(t, "thickness"), Length: 10,
			TempC: rapid.Float64Range(1000, 1200).Draw(t, "temp"), Grade: grade("x", 0.12, rapid.Float64Range(1, 1.5).Draw(t, "factor"))}
		exit := rapid.Float64Range(0.025, 0.04).Draw(t, "exit")
		var l *hr.LimitError
		if _, err := hr.Rough(m, s, exit); errors.As(err, &l) {
			n := l.Nearest
			if n.Thickness > 0 {
				found[0][0]++
				if _, err := hr.Rough(m, s, n.Thickness); err != nil || n.Thickness <= exit {
					t.Fatalf("%v: %g mm does not fit: %v", l, n.Thickness*1e3, err)
				}
			}
			if n.Width > 0 {
				found[0][1]++
				o := s
				o.Width = n.Width
				if _, err := hr.Rough(m, o, exit); err != nil || n.Width >= s.Width {
					t.Fatalf("%v: %g m wide does not fit: %v", l, n.Width, err)
				}
			}
			if n.TempC > 0 {
				found[0][2]++
				o := s
				o.TempC = n.TempC
				if _, err := hr.Rough(m, o, exit); err != nil || n.TempC <= s.TempC {
					t.Fatalf("%v: %g C does not fit: %v", l, n.TempC, err)
				}
			}
		}
		b := hr.Bar{Width: s.Width, Thickness: 0.034, Length: 67, HeadC: s.TempC - 100, TailC: s.TempC - 100, Wait: 30, Grade: s.Grade}
		o := hr.Target{Thickness: rapid.Float64Range(0.0015, 0.006).Draw(t, "strip"), FinishTempMinC: 820, FinishTempMaxC: 900, CoilTempC: 600}
		if _, err := hr.Finish(tr, b, o); errors.As(err, &l) {
			n := l.Nearest
			if n.Thickness > 0 {
				found[1][0]++
				p := o
				p.Thickness = n.Thickness
				if _, err := hr.Finish(tr, b, p); err != nil || p.Thickness <= o.Thickness {
					t.Fatalf("%v: %g mm does not fit: %v", l, p.Thickness*1e3, err)
				}
			}
			if n.Width > 0 {
				found[1][1]++
				c := b
				c.Width = n.Width
				if _, err := hr.Finish(tr, c, o); err != nil || c.Width >= b.Width {
					t.Fatalf("%v: %g m wide does not fit: %v", l, n.Width, err)
				}
			}
			if n.TempC > 0 {
				found[1][2]++
				c := b
				c.HeadC, c.TailC = n.TempC, n.TempC
				if _, err := hr.Finish(tr, c, o); err != nil {
					t.Fatalf("%v: a bar of %g C does not fit: %v", l, n.TempC, err)
				}
			}
		}
	})
	if found[0][0] == 0 || found[1][0] == 0 || found[0][1]+found[1][1] == 0 || found[0][2]+found[1][2] == 0 {
		t.Errorf("some kind was never found: the test is empty: %v", found)
	}
}
