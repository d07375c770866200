package drill

import (
	"testing"

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
