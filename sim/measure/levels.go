package measure

import (
	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Levels is the level of one store at every full hour from the start.
type Levels struct {
	Store                   string
	Amount                  string
	Low, Normal, High, Room float64
	Level                   []float64
}

// Levels returns the hourly levels of the stores asked for, then of the cool
// coils and the fuel gas holder where they are recorded, in the store's own
// amount. Settle first.
func (t *Tally) Levels() []Levels {
	out := make([]Levels, 0, len(t.series))
	for i := range t.series {
		s := &t.series[i]
		l := Levels{Amount: "t", Level: make([]float64, len(s.level))}
		per := gramsPerTonne
		band := func(low, normal, high, room int64) {
			l.Low, l.Normal, l.High, l.Room = float64(low)/per, float64(normal)/per, float64(high)/per, float64(room)/per
		}
		switch s.at {
		case coolCoils:
			l.Store = "cool coils"
			band(t.sheet.CoolLow, t.sheet.CoolNormal, t.sheet.CoolHigh, 0)
		case gasHolder:
			l.Store, l.Amount, per = "fuel gas", "GJ", 1e6
			band(t.sheet.GasLow, t.sheet.GasNormal, t.sheet.GasHigh, t.sheet.GasRoom)
		default:
			p := &t.route.Places[s.at]
			l.Store = p.Name
			if p.PerAmount > 0 {
				l.Amount, per = p.Amount, p.PerAmount
			}
			band(p.Low, p.Normal, p.High, p.Room)
		}
		for k, v := range s.level {
			l.Level[k] = float64(v) / per
		}
		out = append(out, l)
	}
	return out
}

// First is the first time something happened to a store.
type First struct {
	Store string
	At    calendar.Time
	Full  bool // else dry
}

// Firsts lists when stores were first full and first dry, in the order of the
// route.
func (t *Tally) Firsts() []First {
	var out []First
	for i := range t.places {
		p := &t.places[i]
		if p.role != record.Store {
			continue
		}
		if f := p.firstFull; f != calendar.Never {
			out = append(out, First{t.route.Places[i].Name, f, true})
		}
		if f := p.firstDry; f != calendar.Never {
			out = append(out, First{t.route.Places[i].Name, f, false})
		}
	}
	if f := t.firstCoolDry; f != calendar.Never {
		out = append(out, First{"cool coils", f, false})
	}
	return out
}
