package report

import (
	"strconv"

	"millrace/sim/futures"
	"millrace/sim/quantity"
)

// Table is a table for a file: all digits, empty cells for what does not exist.
type Table struct {
	Name   string // of the file, without its ending
	Header []string
	Rows   [][]string
}

// Tables are the tables of a comparison: measures, cost by line, hourly levels,
// hours of the units and, where single results were kept, every measure of
// every future.
func Tables(c *futures.Comparison) []Table {
	out := []Table{measuresTable(c), costTable(c), levelsTable(c), unitsTable(c)}
	if t := futuresTable(c); len(t.Rows) > 0 {
		out = append(out, t)
	}
	return out
}

// cell writes a number so that it is read back the same.
func cell(v float64) string {
	if missing(v) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// all are the plans and the twin, which is named as on the page.
func all(c *futures.Comparison) []*futures.PlanResult {
	var out []*futures.PlanResult
	for i := range c.Plans {
		out = append(out, &c.Plans[i])
	}
	twin := c.Twin
	twin.Name = withoutUpset
	return append(out, &twin)
}

// withoutUpset names the twin where people read it.
const withoutUpset = "without the upset"

func measuresTable(c *futures.Comparison) Table {
	t := Table{Name: "measures", Header: []string{"plan", "measure", "unit", "futures", "mean", "mean_low_95", "mean_high_95", "p10", "p90", "what"}}
	for _, p := range all(c) {
		for _, m := range p.Measures {
			t.Rows = append(t.Rows, []string{p.Name, m.Name, m.Unit, strconv.Itoa(m.N), cell(m.Mean), cell(m.Low), cell(m.High), cell(m.P10), cell(m.P90), m.What})
		}
	}
	return t
}

func costTable(c *futures.Comparison) Table {
	t := Table{Name: "cost", Header: []string{"plan", "line", "currency", "mean", "mean_low_95", "mean_high_95", "what"}}
	for i := range c.Plans {
		for _, l := range c.Plans[i].CostOfUpset {
			t.Rows = append(t.Rows, []string{c.Plans[i].Name, l.Name, c.Currency, cell(l.Amount), cell(l.Low), cell(l.High), l.What})
		}
	}
	return t
}

func levelsTable(c *futures.Comparison) Table {
	t := Table{Name: "levels", Header: []string{"plan", "store", "amount", "hour", "clock", "mean", "p10", "p90"}}
	for _, p := range all(c) {
		for _, b := range p.Bands {
			for h := range b.Mean {
				at := quantity.Clock(c.Start).Add(float64(h) * 3600).ISO()
				t.Rows = append(t.Rows, []string{p.Name, b.Store, b.Amount, strconv.Itoa(h), at, cell(b.Mean[h]), cell(b.P10[h]), cell(b.P90[h])})
			}
		}
	}
	return t
}

func unitsTable(c *futures.Comparison) Table {
	t := Table{Name: "units", Header: []string{"plan", "unit", "places", "state", "place_hours_mean"}}
	for _, p := range all(c) {
		for _, u := range p.Units {
			for s, h := range u.Hours {
				if s < len(futures.StateNames) {
					t.Rows = append(t.Rows, []string{p.Name, u.Unit, strconv.Itoa(u.Places), futures.StateNames[s], cell(h)})
				}
			}
		}
	}
	return t
}

func futuresTable(c *futures.Comparison) Table {
	t := Table{Name: "futures", Header: []string{"plan", "future", "measure", "unit", "value"}}
	for _, p := range all(c) {
		for _, r := range p.Results {
			if r == nil {
				continue
			}
			for _, m := range r.Measures {
				t.Rows = append(t.Rows, []string{p.Name, strconv.FormatUint(r.Future, 10), m.Name, m.Unit, cell(m.Value)})
			}
		}
	}
	return t
}
