package annealing

import (
	"fmt"
	"math"
)

// Table is the times of coils of one bore under one recipe, by conductivity
// across the wraps, outer diameter and width. Between nodes it is straight in
// the logarithms of all; with nodes as in [CommonTable] it is within 2 % of the
// solution it stands for. It may be shared.
type Table struct {
	recipe Recipe
	id     float64
	k      []float64 // logarithms, and so all below
	od     []float64
	width  []float64
	heat   []float64 // s
	cool   []float64
}

// NewTable solves all combinations of the nodes: some milliseconds each.
func NewTable(r Recipe, id float64, radialK, od, width []float64) (*Table, error) {
	t := &Table{recipe: r, id: id, k: logs(radialK), od: logs(od), width: logs(width)}
	for _, x := range [][]float64{t.k, t.od, t.width} {
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
				t.heat = append(t.heat, math.Log(max(x.Heat, 1)))
				t.cool = append(t.cool, math.Log(max(x.Cool, 1)))
			}
		}
	}
	return t, nil
}

// CommonTable has nodes for strip of 0.4 to 2.5 mm in HN or hydrogen, coils of
// 1.1 to 2.1 m outside and 0.8 to 1.6 m wide, on a bore (m). It takes a third of a
// second.
func CommonTable(r Recipe, id float64) (*Table, error) {
	return NewTable(r, id, []float64{1, 1.8, 3.2, 5.6, 10, 18, 30}, []float64{1.1, 1.3, 1.5, 1.75, 2.1}, []float64{0.8, 1.0, 1.25, 1.6})
}

// Times looks a coil up. A coil outside the table or of another bore is refused:
// solve it with [CoilTimes].
func (t *Table) Times(c Coil) (Times, error) {
	i, x, ok1 := find(t.k, math.Log(c.RadialK))
	j, y, ok2 := find(t.od, math.Log(c.OD))
	k, z, ok3 := find(t.width, math.Log(c.Width))
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
	return Times{Heat: math.Exp(heat), Still: t.recipe.StillTime, Cool: math.Exp(cool)}, nil
}

func logs(x []float64) []float64 {
	var y []float64
	for _, v := range x {
		y = append(y, math.Log(v))
	}
	return y
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
