package annealing

import (
	"fmt"
	"math"
)

// Table is the times of coils of one bore under one recipe, by conductivity
// across the wraps, outer diameter and width. Between nodes it is straight in
// the logarithms of conductivity and time and in diameter and width; with nodes
// as in [CommonTable] it is within 3 % of the solution it stands for. It may be
// shared.
type Table struct {
	recipe Recipe
	id     float64
	logK   []float64
	od     []float64
	width  []float64
	heat   []float64 // logarithms of s
	cool   []float64
}

// NewTable solves all combinations of the nodes: some milliseconds each.
func NewTable(r Recipe, id float64, radialK, od, width []float64) (*Table, error) {
	t := &Table{recipe: r, id: id, od: od, width: width}
	for _, k := range radialK {
		t.logK = append(t.logK, math.Log(k))
	}
	for _, x := range [][]float64{t.logK, od, width} {
		if len(x) < 2 {
			return nil, fmt.Errorf("annealing: a table needs two nodes each of conductivity, diameter and width")
		}
		for i := 1; i < len(x); i++ {
			if !(x[i] > x[i-1]) {
				return nil, fmt.Errorf("annealing: table nodes must rise")
			}
		}
	}
	for _, k := range radialK {
		for _, d := range od {
			for _, w := range width {
				x, err := CoilTimes(Coil{Width: w, OD: d, ID: id, RadialK: k}, r)
				if err != nil {
					return nil, err
				}
				t.heat = append(t.heat, math.Log(x.Heat))
				t.cool = append(t.cool, math.Log(x.Cool))
			}
		}
	}
	return t, nil
}

// CommonTable has nodes for strip of 0.4 to 2.5 mm in HN or hydrogen, coils of
// 1.1 to 2.1 m outside and 0.8 to 1.6 m wide, on a bore (m).
func CommonTable(r Recipe, id float64) (*Table, error) {
	return NewTable(r, id, []float64{1, 2.2, 5, 11, 25}, []float64{1.1, 1.35, 1.6, 1.85, 2.1}, []float64{0.8, 1.05, 1.3, 1.6})
}

// Times looks a coil up. A coil outside the table or of another bore is refused:
// solve it with [CoilTimes].
func (t *Table) Times(c Coil) (Times, error) {
	i, x, ok1 := find(t.logK, math.Log(c.RadialK))
	j, y, ok2 := find(t.od, c.OD)
	k, z, ok3 := find(t.width, c.Width)
	if !ok1 || !ok2 || !ok3 || math.Abs(c.ID-t.id) > 1e-6 {
		return Times{}, fmt.Errorf("annealing: a coil of %g W/mK, %g/%g m and %g m wide is outside the table", c.RadialK, c.ID, c.OD, c.Width)
	}
	var heat, cool float64
	for a, wa := range [2]float64{1 - x, x} {
		for b, wb := range [2]float64{1 - y, y} {
			for d, wd := range [2]float64{1 - z, z} {
				n := ((i+a)*len(t.od)+j+b)*len(t.width) + k + d
				w := wa * wb * wd
				heat += w * t.heat[n]
				cool += w * t.cool[n]
			}
		}
	}
	return Times{Heat: math.Exp(heat), Cool: math.Exp(cool)}, nil
}

// find is the interval of x and the share of it below x.
func find(nodes []float64, x float64) (i int, share float64, ok bool) {
	n := len(nodes)
	// A node read back through a logarithm may miss it by a rounding.
	const slack = 1e-9
	if !(x >= nodes[0]-slack && x <= nodes[n-1]+slack) {
		return 0, 0, false
	}
	for i = n - 2; i > 0 && x < nodes[i]; i-- {
	}
	return i, (x - nodes[i]) / (nodes[i+1] - nodes[i]), true
}
