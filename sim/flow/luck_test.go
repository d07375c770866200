package flow_test

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/chance"

	"gonum.org/v1/gonum/stat/distuv"
)

// luck is the keyed luck of the engine: the same key gives the same number,
// whatever was drawn before.
type luck chance.Luck

// What a draw is for.
const (
	forGap chance.Purpose = iota + 1
	forWork
	forUp
	forRepair
	forStart
)

// uniform lies strictly between 0 and 1.
func (l luck) uniform(purpose chance.Purpose, entity, index int) float64 {
	return chance.Luck(l).Uniform(purpose, uint64(entity), uint64(index))
}

// upTo is a whole number from 0 to n.
func (l luck) upTo(n int, purpose chance.Purpose, entity, index int) int {
	return chance.Luck(l).Pick(n+1, purpose, uint64(entity), uint64(index))
}

// law is the inverse distribution function of a quantity.
type law func(u float64) float64

func exponential(mean float64) law { return func(u float64) float64 { return -mean * math.Log(u) } }

func fixed(x float64) law { return func(float64) float64 { return x } }

// lognormal has the mean and the coefficient of variation.
func lognormal(mean, cv float64) law {
	v := math.Log(1 + cv*cv)
	mu, sigma := math.Log(mean)-v/2, math.Sqrt(v)
	return func(u float64) float64 { return math.Exp(mu + sigma*math.Sqrt2*math.Erfinv(2*u-1)) }
}

// erlang has k exponential phases and the mean.
func erlang(k int, mean float64) law {
	g := distuv.Gamma{Alpha: float64(k), Beta: float64(k) / mean}
	return g.Quantile
}

// hyper2 is exponential with rate 2p by chance p, else 2(1-p): balanced means,
// mean 1.
func hyper2(p float64) law {
	return func(u float64) float64 {
		if u < p {
			return -math.Log(u/p) / (2 * p)
		}
		return -math.Log((1-u)/(1-p)) / (2 * (1 - p))
	}
}

func uniform(low, high float64) law { return func(u float64) float64 { return low + (high-low)*u } }

// geometric counts trials up to the first success, at least one.
func geometric(p float64) law {
	return func(u float64) float64 { return math.Max(1, math.Ceil(math.Log(u)/math.Log1p(-p))) }
}

// hours is the unit of time of the reference tables: mean service is one hour, so rounding
// to a millisecond is below 3e-7 of it.
func hours(x float64) calendar.Time { return calendar.Dur(3600 * x) }
