package capital

import (
	"math"

	"millrace/sim/measure"
)

// Money is whole units of the works' currency; received is positive, spent negative.
type Money int64

func round(x float64) Money { return Money(math.Round(x)) }

// The lines of a year of an option.
const (
	LineCapital = iota
	LineTieIn
	LineRunning
	LineGain
	LineSalvage
	NLines
)

// LineNames name the lines of a year.
var LineNames = [NLines]string{"paid", "lost while it is built in", "running", "gain in the works", "sold at the end"}

// Flow is a year of an option against the first one, by line: year 0 is the day of
// the decision, everything else stands at the end of its year.
type Flow [NLines]Money

// Total adds the lines up.
func (f *Flow) Total() Money {
	s := Money(0)
	for _, v := range f {
		s += v
	}
	return s
}

// factors change what a case rests on, for tornado and flips; the zero value of none
// of them means unchanged: use plain.
type factors struct {
	contribution, gas, capex float64
}

var plain = factors{1, 1, 1}

// worth is what a year cost under changed prices: contribution multiplies what
// dispatched steel and stock earn, gas every line of fuel.
func (x factors) worth(a *measure.Account) float64 {
	s := 0.0
	for i, v := range a {
		switch i {
		case measure.Margin, measure.Stock:
			v *= x.contribution
		case measure.Fuel, measure.GasBought, measure.GasFlared:
			v *= x.gas
		}
		s += v
	}
	return s
}

// yearOf is the end of the year in which a moment lies, 0 for the decision itself.
func yearOf(s float64, life int) int {
	return min(life, int(math.Ceil(s/Year-1e-9)))
}

// service is the share of a year's gain that is had in year y (1 is the first after
// the decision): nothing while it is built, then the ramp, then all.
func (o *Option) service(y int) float64 {
	from, to := float64(y-1)*Year, float64(y)*Year
	at, had := o.Takes, 0.0
	overlap := func(a, b float64) float64 { return math.Max(0, math.Min(b, to)-math.Max(a, from)) }
	for _, r := range o.Ramp {
		had += r.Share * overlap(at, at+r.For)
		at += r.For
	}
	return (had + overlap(at, math.Inf(1))) / Year
}

// flows lays payments, running costs and what was gained in the years played over
// the life. base and own are the played years of the first option and of this one;
// years beyond those played are played ones again, in turn. tie is what the tie-in
// stops lost.
func (c *Case) flows(i int, base, own []measure.Account, tie float64, x factors) []Flow {
	o, first := &c.Options[i], &c.Options[0]
	out := make([]Flow, c.Life+1)
	pay := func(o *Option, sign float64) {
		for _, p := range o.Pays {
			out[yearOf(p.At, c.Life)][LineCapital] += round(-sign * p.Amount * x.capex)
		}
		for _, p := range o.Running {
			for y := 1; y <= c.Life; y++ {
				part := math.Max(0, math.Min(1, float64(y)-o.Takes/Year))
				out[y][LineRunning] += round(-sign * p.Amount * part)
			}
		}
		out[c.Life][LineSalvage] += round(sign * o.Salvage)
	}
	pay(o, 1)
	if i > 0 {
		pay(first, -1)
		for y := 1; y <= c.Life; y++ {
			k := (y - 1) % len(base)
			out[y][LineGain] = round((x.worth(&base[k]) - x.worth(&own[k])) * o.service(y))
		}
		out[yearOf(o.TieInAt, c.Life)][LineTieIn] += round(-tie)
	}
	return out
}

// totals are the sums of each year.
func totals(f []Flow) []float64 {
	out := make([]float64, len(f))
	for y := range f {
		out[y] = float64(f[y].Total())
	}
	return out
}
