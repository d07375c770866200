package flow_test

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
)

// theory is a plant with the means that it must show and where they come from.
type theory struct {
	name string
	want []known
	run  func(k luck) []float64
}

func (c theory) hold(t *testing.T) {
	t.Run(c.name, func(t *testing.T) { accept(t, c.want, c.run) })
}

// exp draws an exponential time in hours.
func (l luck) exp(mean float64, purpose chance.Purpose, entity, index int) calendar.Time {
	return hours(-mean * math.Log(l.uniform(purpose, entity, index)))
}

// root finds where f changes sign between low and high.
func root(low, high float64, f func(x float64) float64) float64 {
	below := f(low) < 0
	for range 200 {
		mid := (low + high) / 2
		if (f(mid) < 0) == below {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// TestArrivalLaws has arrivals of any law before exponential servers. The number
// that an arrival finds is geometric with the root sigma of sigma = A*(mu(1-sigma)),
// A* the transform of the gap (D. G. Kendall, Annals of Mathematical Statistics 24
// (1953) 338; Gross & Harris, chapter on G/M/1; from memory): the mean wait is
// sigma/(mu(1-sigma)), the share that waits sigma.
func TestArrivalLaws(t *testing.T) {
	t.Parallel()
	const rho = 0.75 // service rate 1
	p := 0.887298334620742
	for _, c := range []struct {
		name      string
		gap       law
		transform func(s float64) float64
	}{
		{"D", fixed(1 / rho), func(s float64) float64 { return math.Exp(-s / rho) }},
		{"Erlang 3", erlang(3, 1/rho), func(s float64) float64 { return math.Pow(3*rho/(3*rho+s), 3) }},
		{"hyperexponential", func(u float64) float64 { return hyper2(p)(u) / rho }, func(s float64) float64 {
			return p*2*p*rho/(2*p*rho+s) + (1-p)*2*(1-p)*rho/(2*(1-p)*rho+s)
		}},
		{"uniform", uniform(0.2, 2/rho-0.2), func(s float64) float64 {
			a, b := 0.2, 2/rho-0.2
			return (math.Exp(-a*s) - math.Exp(-b*s)) / (s * (b - a))
		}},
	} {
		sigma := root(1e-9, 1-1e-6, func(x float64) float64 { return x - c.transform(1-x) })
		theory{c.name, []known{
			{"Wq", sigma / (1 - sigma), 0.06}, {"waits", sigma, 0.02}, {"L", rho / (1 - sigma), 0.05},
			{"waits above 1", sigma * math.Exp(-(1 - sigma)), 0.04},
		}, func(k luck) []float64 {
			q := newStation(k, station{gap: c.gap, work: exponential(1), waitsUpTo: []float64{0, 1}})
			q.play(t, 500, 500+longer(15000))
			return []float64{q.wait(), 1 - q.waitedUpTo(0), q.number(), 1 - q.waitedUpTo(1)}
		}}.hold(t)
	}
}
