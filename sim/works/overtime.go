package works

import "math"

// Overtime puts more hands on the lines whose output hangs on hands: coil changes and
// welds of the pickle line, coil changes of the temper mill, loading, which is then
// done at weekends as on weekdays. The tandem mill follows the stock of pickled coils,
// and annealing takes what heat takes; neither goes faster for being watched by more
// people.

// overtime is the factor on a line's output: 1 while no overtime is worked.
func (w *Works) overtime(factor float64) float64 {
	if w.S.Cold.Overtime && factor > 1 {
		return factor
	}
	return 1
}

// paced is the factor on a line's usual rate: how standing orders follow the stock, and
// overtime. Who works overtime does not hold back for a low stock.
func (w *Works) paced(stock int64, b Band, over float64) float64 {
	f := feedFactor(stock, b, w.P.Spec.Standing.PickleSwing)
	if over > 1 {
		f = math.Max(1, f) * over
	}
	return f
}

// OvertimeCrews is how many lines work more under overtime.
func (p *Plant) OvertimeCrews() int {
	n := 0
	if c := p.Spec.Cold; c != nil {
		for _, f := range [...]float64{c.Pickle.Overtime, c.Temper.Overtime, c.Dispatch.Overtime} {
			if f > 1 {
				n++
			}
		}
	}
	return n
}
