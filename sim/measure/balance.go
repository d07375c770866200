package measure

import (
	"fmt"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

const gramsPerTonne = 1e6

func tonnes(g int64) float64 { return float64(g) / gramsPerTonne }

// Part is one part of a balance.
type Part struct {
	Name   string
	Tonnes float64
}

// Balance says where all mass went. In = Out + InWorks + Lost, to Difference.
// It is taken in whole grams; only the result is in tonnes.
type Balance struct {
	In, Out, InWorks, Lost, Difference float64
	Sources, Ways, Places, Causes      []Part // in the order of the route; what was returned is a cause
}

// Balance adds up what was moved. What left a source counts as in; what came
// back to one counts against it.
func (t *Tally) Balance() Balance {
	var b Balance
	var in, out, works, lost int64
	for i := range t.places {
		p := &t.places[i]
		name := t.route.Places[i].Name
		switch p.role {
		case record.Source:
			in += p.out - p.in
			b.Sources = append(b.Sources, Part{name, tonnes(p.out - p.in)})
		case record.Gone:
			out += p.in - p.out
			b.Ways = append(b.Ways, Part{name, tonnes(p.in - p.out)})
		case record.Loss, record.Returns:
			lost += p.in - p.out
			b.Causes = append(b.Causes, Part{name, tonnes(p.in - p.out)})
		default:
			works += p.mass
			b.Places = append(b.Places, Part{name, tonnes(p.mass)})
		}
	}
	b.In, b.Out, b.InWorks, b.Lost = tonnes(in), tonnes(out), tonnes(works), tonnes(lost)
	b.Difference = tonnes(in - out - works - lost)
	return b
}

// CheckMass compares the tally with the counters kept by whoever wrote the
// records, in grams by place. Places that differ, negative stores and records
// that named no place are errors.
func (t *Tally) CheckMass(mass []int64) error {
	if t.strays > 0 {
		return fmt.Errorf("measure: %d records name a place, unit, product or state that does not exist", t.strays)
	}
	if len(mass) != len(t.places) {
		return fmt.Errorf("measure: %d counters for %d places", len(mass), len(t.places))
	}
	for i := range t.places {
		if t.places[i].mass != mass[i] {
			return fmt.Errorf("measure: by the records %s holds %d g, by the works' own counter %d g", t.route.Places[i].Name, t.places[i].mass, mass[i])
		}
		if r := t.places[i].role; t.places[i].mass < 0 && r != record.Source {
			return fmt.Errorf("measure: %s holds %d g", t.route.Places[i].Name, t.places[i].mass)
		}
	}
	return nil
}

// CheckHours compares the state times of a unit, from the records, with those
// the works kept itself, by state number. Settle first, to the same moment. A
// unit with many places does not say in its records which of its running places
// are slowed: the two are compared together.
func (t *Tally) CheckHours(at int, spent []calendar.Time) error {
	if at < 0 || at >= len(t.units) || len(spent) != NStates {
		return fmt.Errorf("measure: there is no unit %d with %d states", at, len(spent))
	}
	u := &t.units[at]
	have := u.spent
	want := [NStates]calendar.Time(spent)
	if u.places > 1 {
		have[running], have[slowed] = have[running]+have[slowed], 0
		want[running], want[slowed] = want[running]+want[slowed], 0
	}
	for s := range have {
		if have[s] != want[s] {
			return fmt.Errorf("measure: by the records %s was %s for %v s, by the works' own tally %v s",
				t.route.Units[at].Name, States[s], have[s].Seconds(), want[s].Seconds())
		}
	}
	return nil
}

// Hours is how long a unit was in each state up to the last Settle, place-hours
// by state number.
func (t *Tally) Hours(at int) (h [NStates]float64) {
	for s, d := range t.units[at].spent {
		h[s] = d.Hours()
	}
	return h
}
