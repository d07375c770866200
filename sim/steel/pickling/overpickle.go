package pickling

// DefaultPatience is how many times its pickling time strip may stand in acid
// before the surface is lost: 5 min at 20 s. Common practice, no source, says 2
// to 10 min; that the attack on steel slows with weaker and colder acid as
// pickling does is an assumption.
const DefaultPatience = 15.0

// Stop is what a stop of the process does to the strip in the tanks.
type Stop struct {
	Clock float64 // longest stop without loss, s
	Left  float64 // of the clock, s; 0 when it has run out
	Lost  float64 // strip overpickled, m; 0 before the clock has run out
}

// StopInAcid says what a stop of the process section of so many seconds costs.
// It supposes the acid stays in the tanks.
func (l Line) StopInAcid(seconds float64) Stop {
	s := Stop{Clock: l.patience() * l.kinetics().Time(l.AcidPercent, l.TempC)}
	s.Left = max(s.Clock-seconds, 0)
	if seconds > s.Clock {
		s.Lost = l.AcidLength()
	}
	return s
}

func (l *Line) patience() float64 {
	if l.Patience == 0 {
		return DefaultPatience
	}
	return l.Patience
}
