package capital

import (
	"fmt"
	"math"
	"slices"

	"millrace/sim/futures/judge"
	"millrace/sim/works"
)

// node is what the rivals are worth when an assumption is at f, from new plays.
//
// The small budget is too small to answer alone; what it says is corrected by what the
// same futures said of the case as it is, against the whole budget (a control variate:
// Law, Simulation Modeling and Analysis, chapter on variance reduction, from memory).
type node struct {
	f      float64
	value  []float64   // by option
	column [][]float64 // corrected, by option and future
	beta   float64     // how far the correction goes
}

// at plays the rivals again with an assumption at f.
func (s *small) at(ch *change, f float64) (*node, error) {
	years, err := s.replay(s.options, s.futures, min(s.c.SmallYears, s.c.Years), func(i int) (*works.Plant, bool, error) {
		if ch.demand {
			return s.c.Demand(i, f)
		}
		p, err := s.built(i, func(spec *works.Spec) { ch.spec(spec, f) })
		return p, s.c.SoldOut, err
	})
	if err != nil {
		return nil, err
	}
	n := &node{f: f}
	var raw [][]float64
	with, of := 0.0, 0.0
	for k, i := range s.options {
		v, err := s.column(i, years[0], years[k])
		if err != nil {
			return nil, err
		}
		raw = append(raw, v)
		mv, mp := mean(v), mean(s.plain[k])
		for x := range v {
			with += (v[x] - mv) * (s.plain[k][x] - mp)
			of += (s.plain[k][x] - mp) * (s.plain[k][x] - mp)
		}
	}
	if of > 0 {
		n.beta = max(0, min(2, with/of))
	}
	for k := range raw {
		own := make([]float64, len(raw[k]))
		for x := range own {
			own[x] = raw[k][x] + n.beta*(s.full[k]-s.plain[k][x])
		}
		n.column = append(n.column, own)
		n.value = append(n.value, mean(own))
	}
	return n, nil
}

// luck is half the 95 % interval of what option k is worth at the node more than option
// over (none for -1), about what the futures and years of the whole budget would say: of
// these the small budget is a sample without replacement (Cochran, Sampling Techniques,
// finite population correction, from memory).
func (s *small) luck(n *node, k, over int) float64 {
	d := slices.Clone(n.column[k])
	if over >= 0 {
		for x := range d {
			d[x] -= n.column[over][x]
		}
	}
	m, err := judge.MeanInterval(d, level)
	if err != nil {
		return math.Inf(1) // a single future says nothing about luck
	}
	part := float64(len(d)*min(s.c.SmallYears, s.c.Years)) / float64(len(s.whole)*s.c.Years)
	return m.Half * math.Sqrt(max(0, 1-part))
}

// weights are those with which the nodes, in rising order with the case as it is among
// them, make the curve at f: a parabola through three, straight lines between more.
func weights(at []float64, f float64, straight bool) []float64 {
	w := make([]float64, len(at))
	if len(at) == 3 && !straight {
		for i := range at {
			w[i] = 1
			for j := range at {
				if j != i {
					w[i] *= (f - at[j]) / (at[i] - at[j])
				}
			}
		}
		return w
	}
	i := 1
	for i < len(at)-1 && f > at[i] {
		i++
	}
	w[i] = (f - at[i-1]) / (at[i] - at[i-1])
	w[i-1] = 1 - w[i]
	return w
}

// varyPlayed adds the bar of an assumption that must be played again and searches for
// the value that flips the answer. It is played far out, where what it does stands
// further out of the luck than at the ends of the bar; these lie on a curve between.
func (s *small) varyPlayed(a *Answer, ch *change) error {
	now := &node{f: ch.now, value: s.full}
	nodes := []*node{now}
	for _, f := range ch.nodes {
		n, err := s.at(ch, f)
		if err != nil {
			return err
		}
		nodes = append(nodes, n)
	}
	slices.SortStableFunc(nodes, func(x, y *node) int {
		if x.f < y.f {
			return -1
		}
		return 1
	})
	at := make([]float64, len(nodes))
	for i, n := range nodes {
		at[i] = n.f
	}
	lead := best(s.full)
	end := func(f float64, k int) (v, luck float64) {
		for i, w := range weights(at, f, ch.demand) {
			v += w * nodes[i].value[k]
			if nodes[i] != now && w != 0 {
				luck = math.Hypot(luck, w*s.luck(nodes[i], k, -1))
			}
		}
		return v, luck
	}
	s.bars(a, ch, func(k int) (float64, float64, float64) {
		low, l := end(ch.low, k)
		high, h := end(ch.high, k)
		return low, high, max(l, h)
	})

	home := slices.Index(nodes, now)
	var below, above []*node // outwards
	for i := home - 1; i >= 0; i-- {
		below = append(below, nodes[i])
	}
	above = nodes[home+1:]
	var found []Flip
	hidden := false
	for _, way := range [][]*node{below, above} {
		inside := now
		for _, n := range way {
			to, sure := lead, true
			for k := range n.value {
				ahead := n.value[k] - n.value[lead]
				if k != lead && math.Abs(ahead) <= s.luck(n, k, lead) {
					sure = false
				} else if ahead > 0 && (to == lead || n.value[k] > n.value[to]) {
					to = k
				}
			}
			if to == lead {
				hidden = hidden || !sure
				if best(n.value) == lead {
					inside = n
				}
				continue
			}
			f, to, err := s.flip(ch, lead, to, inside, n)
			if err != nil {
				return err
			}
			found = append(found, Flip{What: ch.what, Factor: f, Text: ch.text(f), Becomes: a.Options[s.options[to]].Name, Found: true})
			break
		}
	}
	a.Flips = append(a.Flips, eitherWay(found, ch.now)...)
	switch {
	case len(found) > 0:
	case hidden:
		s.noFlip(a, ch, fmt.Sprintf(" that stands out of the luck of %d futures of %d years", len(s.futures), min(s.c.SmallYears, s.c.Years)))
	default:
		s.noFlip(a, ch, "")
	}
	return nil
}

// eitherWay makes one of two flips to the same option so near to what is assumed, on both
// sides of it, that they say one thing: the lead is too small to hold against anything.
func eitherWay(found []Flip, now float64) []Flip {
	const near = 0.03
	if len(found) != 2 || found[0].Becomes != found[1].Becomes ||
		math.Abs(found[0].Factor-now) > near*now || math.Abs(found[1].Factor-now) > near*now {
		return found
	}
	one := found[0]
	one.Factor, one.Text = now, "the least change either way"
	return []Flip{one}
}

// flip narrows the value at which another option takes the lead: a straight line between
// two values says where to play, what is played there says where to draw the line again.
func (s *small) flip(ch *change, lead, to int, inside, outside *node) (float64, int, error) {
	ahead := func(n *node) float64 { return n.value[lead] - n.value[to] }
	cross := func() float64 {
		in, out := ahead(inside), ahead(outside)
		if in <= 0 {
			return inside.f
		}
		return inside.f + (outside.f-inside.f)*in/(in-out)
	}
	n, err := s.at(ch, cross())
	if err != nil {
		return 0, 0, err
	}
	if b := best(n.value); b == lead {
		inside = n
	} else {
		outside, to = n, b
	}
	return cross(), to, nil
}
