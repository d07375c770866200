package works

import (
	"fmt"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// Say puts an event into the words of a shift log; "" for events that nobody
// would write down. at turns simulated time into the reader's clock.
func (p *Plant) Say(e *record.Event, at func(calendar.Time) string) string {
	unit := func() string {
		if e.From >= 0 && int(e.From) < len(p.Route.Units) {
			return p.Route.Units[e.From].Name
		}
		return "works"
	}
	t := func(g int64) string { return fmt.Sprintf("%.1f t", float64(g)/1e6) }
	switch e.Kind {
	case record.Upset:
		return unit() + ": " + Kinds[e.A].Name
	case record.Told:
		return fmt.Sprintf("%s: told back at %s at best, %s likely, %s at worst", unit(), at(calendar.Time(e.X)), at(calendar.Time(e.Y)), at(calendar.Time(e.Z)))
	case record.Over:
		return fmt.Sprintf("%s: %s is over", unit(), Kinds[e.A].Name)
	case record.Ordered:
		return "order: " + p.sayOrder(e)
	case record.Refused:
		return fmt.Sprintf("refused: %s (%s%s)", p.sayOrder(e), Reason(e.B), sayLimit(Reason(e.B), float64(e.Z)/1e6))
	case record.Due:
		return fmt.Sprintf("order line %s complete", p.Spec.Orders[e.B].ID)
	case record.Note:
		name := fmt.Sprint(e.Piece)
		if e.Piece < 0 {
			name = "from before the start"
		}
		switch Word(e.A) {
		case WordReturned:
			return fmt.Sprintf("%s: %s of heat %d poured back (%s)", unit(), t(e.X), e.Piece, Reason(e.Y))
		case WordReheat:
			return fmt.Sprintf("heat %d to the reheat stand at %.0f C", e.Piece, float64(e.X)/10)
		case WordReheated:
			return fmt.Sprintf("heat %d from the reheat stand at %.0f C", e.Piece, float64(e.X)/10)
		case WordDiverted:
			return fmt.Sprintf("heat %d given to %s", e.Piece, unit())
		case WordSpeed:
			return fmt.Sprintf("%s: casting speed %.2f m/min", unit(), float64(e.X)/1000)
		case WordSequence:
			return fmt.Sprintf("%s: sequence opened", unit())
		case WordSequenceEnds:
			if e.Y != 0 {
				return fmt.Sprintf("%s: sequence broken", unit())
			}
			return fmt.Sprintf("%s: sequence ended", unit())
		case WordSetBack:
			if e.X == 0 {
				return unit() + ": gas at set-point"
			}
			return fmt.Sprintf("%s: gas %d K below set-point", unit(), e.X)
		case WordRejected:
			return fmt.Sprintf("bar %s too cold, rejected (%s)", name, t(e.X))
		case WordCobbled:
			return fmt.Sprintf("strip %s lost (%s)", name, t(e.X))
		case WordScrapped:
			return fmt.Sprintf("%s: %s scrapped", unit(), t(e.X))
		case WordSlabBack:
			return fmt.Sprintf("slab %s back to the yard", name)
		case WordDowngraded:
			return fmt.Sprintf("%s: %s downgraded", unit(), t(e.X))
		case WordRolls:
			return fmt.Sprintf("%s: roll change after %d coils", unit(), e.X)
		case WordPlanned:
			return fmt.Sprintf("%s: planned stop until %s", unit(), at(calendar.Time(e.X)))
		case WordPlannedOver:
			return unit() + ": planned stop over"
		case WordFans:
			if e.X > 0 {
				return "coil yard: fans on, cool coils are few"
			}
			return "coil yard: fans off"
		case WordPulled:
			return fmt.Sprintf("%s: planned stop of %s pulled forward", unit(), at(calendar.Time(e.X)))
		}
	}
	return ""
}

func (p *Plant) sayOrder(e *record.Event) string {
	l := Lever(e.A)
	v := float64(e.X) / 1e6
	s := Levers[l].Name
	switch l {
	case SetCasterSpeed:
		s = fmt.Sprintf("%s %.2f m/min", s, v*60)
	case SetWind:
		if v < 0 {
			return "wind by the standing orders again"
		}
		s = fmt.Sprintf("%s %.0f %%", s, v*100)
	case SetFurnacesBack:
		s = fmt.Sprintf("%s, step %.0f", s, v)
	case ChargeRule:
		if v >= 0 && int(v) < len(ruleNames) {
			s += " " + ruleNames[int(v)]
		}
	case RestartRamp:
		s = fmt.Sprintf("%s at %.0f %% with %d slabs", s, v*100, e.Y)
	}
	if e.From >= 0 && int(e.From) < len(p.Route.Units) {
		s += " (" + p.Route.Units[e.From].Name + ")"
	}
	if e.Piece > 0 {
		s += fmt.Sprintf(", heat %d", e.Piece)
	}
	return s
}

// SayState puts a state change into words.
func (p *Plant) SayState(e *record.Event) string {
	return fmt.Sprintf("%s: %s", p.Route.Units[e.From].Name, flow.State(e.A))
}
