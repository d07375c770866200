package flow_test

import (
	"math"
	"testing"
)

// chain is the stationary law of a Markov chain in continuous time, solved from
// its rates alone: an answer that shares nothing with the plant.
type chain[S comparable] struct {
	states []S
	prob   []float64
}

// solve lists the states that can be reached from start and balances them by
// Gauss and Seidel's sweeps. moves tells each way out of a state and its rate.
func solve[S comparable](start S, moves func(s S, to func(S, float64))) chain[S] {
	type arc struct {
		from int
		rate float64
	}
	index := map[S]int{start: 0}
	c := chain[S]{states: []S{start}}
	var in [][]arc
	var out []float64
	for i := 0; i < len(c.states); i++ {
		out = append(out, 0)
		moves(c.states[i], func(s S, rate float64) {
			if rate <= 0 || s == c.states[i] {
				return
			}
			j, ok := index[s]
			if !ok {
				j = len(c.states)
				index[s] = j
				c.states = append(c.states, s)
			}
			for len(in) <= j {
				in = append(in, nil)
			}
			in[j] = append(in[j], arc{i, rate})
			out[i] += rate
		})
	}
	for len(in) < len(c.states) {
		in = append(in, nil)
	}
	c.prob = make([]float64, len(c.states))
	for i := range c.prob {
		c.prob[i] = 1 / float64(len(c.prob))
	}
	for range 100000 {
		change, sum := 0.0, 0.0
		for j := range c.prob {
			flow := 0.0
			for _, a := range in[j] {
				flow += c.prob[a.from] * a.rate
			}
			p := flow / out[j]
			change += math.Abs(p - c.prob[j])
			c.prob[j] = p
			sum += p
		}
		for j := range c.prob {
			c.prob[j] /= sum
		}
		if change < 1e-12*sum {
			break
		}
	}
	return c
}

// mean is the long-run mean of f.
func (c chain[S]) mean(f func(S) float64) (m float64) {
	for i, s := range c.states {
		m += c.prob[i] * f(s)
	}
	return m
}

// TestChain holds the solver against M/M/1/5.
func TestChain(t *testing.T) {
	t.Parallel()
	const rho = 0.8
	c := solve(0, func(n int, to func(int, float64)) {
		if n < 5 {
			to(n+1, rho)
		}
		if n > 0 {
			to(n-1, 1)
		}
	})
	for n := range 6 {
		want := math.Pow(rho, float64(n)) * (1 - rho) / (1 - math.Pow(rho, 6))
		if got := c.mean(func(s int) float64 { return indicator(s == n) }); math.Abs(got-want) > 1e-10 {
			t.Errorf("P(%d) is %v, want %v", n, got, want)
		}
	}
}
