package measure

import (
	"math"

	"millrace/sim/calendar"
)

// Point is a value from a moment on.
type Point struct {
	At    calendar.Time
	Value float64
}

// Steps is a quantity that jumps: each value holds until the next point. Points
// are in order of time; of several at one moment the last one counts and the
// others have no weight. Before the first point the quantity has its value.
type Steps []Point

// walk hands f every stretch of positive length between from and to.
func (s Steps) walk(from, to calendar.Time, f func(value float64, d calendar.Time)) {
	if len(s) == 0 {
		return
	}
	for i := range s {
		a, b := s[i].At, to
		if i == 0 {
			a = min(a, from)
		}
		if i+1 < len(s) {
			b = min(b, s[i+1].At)
		}
		if a = max(a, from); b > a {
			f(s[i].Value, b-a)
		}
	}
}

// Area is the integral from `from` to `to`, in the unit of the value times seconds;
// the last value is taken on to `to`. To leave out a warm-up start at its end: the
// level stays, the area begins anew.
func (s Steps) Area(from, to calendar.Time) float64 {
	sum := 0.0
	s.walk(from, to, func(v float64, d calendar.Time) { sum += v * d.Seconds() })
	return sum
}

// Average is the time-weighted mean (Law, Simulation Modeling and Analysis, ch. 1,
// from memory); the mean of values at events is something else, unless the events
// are Poisson. NaN for an empty stretch.
func (s Steps) Average(from, to calendar.Time) float64 {
	if to <= from {
		return math.NaN()
	}
	return s.Area(from, to) / (to - from).Seconds()
}

// Spread is the time-weighted variance.
func (s Steps) Spread(from, to calendar.Time) float64 {
	mean := s.Average(from, to)
	sum := 0.0
	s.walk(from, to, func(v float64, d calendar.Time) { sum += (v - mean) * (v - mean) * d.Seconds() })
	return sum / (to - from).Seconds()
}

// Range is the least and the greatest value that lasted; NaN for an empty stretch.
func (s Steps) Range(from, to calendar.Time) (least, most float64) {
	least, most = math.NaN(), math.NaN()
	s.walk(from, to, func(v float64, _ calendar.Time) {
		if !(least <= v) {
			least = v
		}
		if !(most >= v) {
			most = v
		}
	})
	return least, most
}

// ShareOf is the share of the time in which the value satisfies is.
func (s Steps) ShareOf(from, to calendar.Time, is func(v float64) bool) float64 {
	sum := 0.0
	s.walk(from, to, func(v float64, d calendar.Time) {
		if is(v) {
			sum += d.Seconds()
		}
	})
	return sum / (to - from).Seconds()
}

// Loss is the area between a reference and what there was, from the incident to
// the horizon: with output in per cent of normal and a reference of 100 the
// resilience loss R of M. Bruneau and others (Earthquake Spectra 19 (2003) 733). It
// is net: making up for it later, above the reference, counts against it.
func (s Steps) Loss(reference float64, from, to calendar.Time) float64 {
	sum := 0.0
	s.walk(from, to, func(v float64, d calendar.Time) { sum += (reference - v) * d.Seconds() })
	return sum
}

// GrossLoss counts only what lies below the reference.
func (s Steps) GrossLoss(reference float64, from, to calendar.Time) float64 {
	sum := 0.0
	s.walk(from, to, func(v float64, d calendar.Time) { sum += math.Max(0, reference-v) * d.Seconds() })
	return sum
}

// Recovered is how long after the incident the value is back at level or above and
// stays so for hold (a shift, say: without a hold the first good minute ends it). ok
// is false when that has not happened by `to`: a hold that reaches beyond it is not
// known to be kept.
func (s Steps) Recovered(level float64, hold, incident, to calendar.Time) (after calendar.Time, ok bool) {
	good := calendar.Never
	at := incident
	done := false
	s.walk(incident, to, func(v float64, d calendar.Time) {
		end := at + d
		if !done {
			if v < level {
				good = calendar.Never
			} else {
				if good == calendar.Never {
					good = at
				}
				done = end-good >= hold
			}
		}
		at = end
	})
	if !done {
		return 0, false
	}
	return good - incident, true
}

// NetLoss is what a run has made less up to a moment than its twin, the same future
// without the incident: both cumulative, in the unit of the values.
func NetLoss(twin, actual Steps, at calendar.Time) float64 { return twin.value(at) - actual.value(at) }

func (s Steps) value(at calendar.Time) float64 {
	v := 0.0
	for _, p := range s {
		if p.At > at {
			break
		}
		v = p.Value
	}
	return v
}

// Lines is a quantity that moves in straight lines from point to point and is
// constant after the last.
type Lines []Point

// Loss is Steps.Loss for a line: trapezoids from the incident to the horizon.
func (l Lines) Loss(reference float64, from, to calendar.Time) float64 {
	sum := 0.0
	for i := range l {
		a, b := l[i].At, to
		va, vb := l[i].Value, l[i].Value
		if i+1 < len(l) {
			b, vb = l[i+1].At, l[i+1].Value
		}
		if b <= a {
			continue
		}
		slope := (vb - va) / (b - a).Seconds()
		f, t := max(a, from), min(b, to)
		if t <= f {
			continue
		}
		mid := va + slope*((f-a).Seconds()+(t-a).Seconds())/2
		sum += (reference - mid) * (t - f).Seconds()
	}
	return sum
}
