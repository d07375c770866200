package drill

import (
	"fmt"
	"testing"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

func BenchmarkForecast(b *testing.B) {
	sc := wreck(b)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		b.Fatal(err)
	}
	s, err := newSession(&sc, rows)
	if err != nil {
		b.Fatal(err)
	}
	if err := s.runTo(10 * calendar.Hour); err != nil {
		b.Fatal(err)
	}
	l := newLooker(&sc, rows, 20)
	for b.Loop() {
		if _, err := l.forecast(s.copyForLook(nil), false); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDrillDay(b *testing.B) {
	sc := wreck(b)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s, err := newSession(&sc, rows)
		if err != nil {
			b.Fatal(err)
		}
		if err := s.runTo(calendar.Day); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReplay rebuilds a drill of thirty hours with an order each half hour from its
// actions, as a rewind and a restart do.
func BenchmarkReplay(b *testing.B) {
	sc := wreck(b)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		b.Fatal(err)
	}
	s, err := newSession(&sc, rows)
	if err != nil {
		b.Fatal(err)
	}
	const until = 30 * calendar.Hour
	var actions []bus.Action
	for at := calendar.Time(0); at <= until; at += 10 * calendar.Minute {
		if err := s.runTo(at); err != nil {
			b.Fatal(err)
		}
		a := bus.Action{Kind: bus.CmdOrder, By: "steel", T: int64(at), Events: s.handled(), OK: true, Order: slow("C1", fmt.Sprintf("%.2f m/min", 0.7+0.01*float64(at/(30*calendar.Minute)%30)))}
		if at == 16*calendar.Hour+40*calendar.Minute {
			a.Kind, a.Order, a.Inject = bus.ActScript, nil, &bus.Inject{What: bus.InjectGive, ID: "S1"}
		} else if at%(30*calendar.Minute) != 0 {
			continue
		}
		if a.OK, a.Why, err = s.apply(&a); err != nil {
			b.Fatal(err)
		}
		actions = append(actions, a)
	}
	for b.Loop() {
		again, err := newSession(&sc, rows)
		if err != nil {
			b.Fatal(err)
		}
		if err := again.play(actions, until); err != nil {
			b.Fatal(err)
		}
		if again.played.Digest() != s.played.Digest() {
			b.Fatal("another drill")
		}
	}
}
