package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

// capacityVerdict names the bottleneck and by how much the next ones follow.
func capacityVerdict(t *works.CapacityTable) string {
	s := fmt.Sprintf("%s: the bottleneck is the %s, %s t/h of slabs when %s", t.Works, t.Limits[0], quantity.FormatNumber(t.SlabTH, 0), t.Demand)
	if t.Invented {
		s = strings.Replace(s, ":", " (invented):", 1)
	}
	for i, name := range t.Limits[1:min(4, len(t.Limits))] {
		sep := ", "
		if i == 0 {
			sep = "; then "
		}
		s += fmt.Sprintf("%s%s with %.0f %% in use", sep, name, t.Row(name).Use*100)
	}
	return s
}

// capacityText writes the table: the verdict, a line a unit, what the tightest lose.
func capacityText(t *works.CapacityTable) string {
	w := routePage{}
	w.para("", capacityVerdict(t)+".")
	w.line("")
	w.line("%-19s %8s %8s %9s %8s %8s %6s  %s", "UNIT", "running", "planned", "unplanned", "net", "load", "use", "what sets the rate")
	for i := range t.Rows {
		r := &t.Rows[i]
		front := fmt.Sprintf("%-19s %8s %6.1f %% %7.1f %% %8s %8s %4.0f %%  ", r.Unit, quantity.FormatNumber(r.RunningTH, 0), r.Planned*100, r.Unplanned*100,
			quantity.FormatNumber(r.NetTH, 0), quantity.FormatNumber(r.LoadTH, 0), r.Use*100)
		pad := len([]rune(front))
		for k, l := range routeWrap(r.SetBy, routeWidth-pad) {
			if k > 0 {
				front = strings.Repeat(" ", pad)
			}
			w.line("%s%s", front, l)
		}
	}
	w.line("")
	w.para("", "All in t/h of what the unit takes: hot metal, liquid steel, slabs, coils. Running: nothing in its way. Planned and unplanned: shares of the calendar. "+
		"Net: what is left. Load: what the bottleneck lets through. Arithmetic on equipment, mix, planned stops and background upsets, without queues; no simulation.")
	for _, name := range t.Limits[:min(3, len(t.Limits))] {
		r := t.Row(name)
		if len(r.Losses) == 0 {
			continue
		}
		losses := slices.Clone(r.Losses)
		slices.SortStableFunc(losses, func(a, b works.CapacityLoss) int { return cmp.Compare(b.Share, a.Share) })
		var parts []string
		small := 0.0
		for _, l := range losses {
			if l.Share < 0.0005 {
				small += l.Share
				continue
			}
			parts = append(parts, fmt.Sprintf("%s %.1f", l.Cause, l.Share*100))
		}
		if math.Round(small*1000) > 0 {
			parts = append(parts, fmt.Sprintf("the rest %.1f", small*100))
		}
		w.para("", fmt.Sprintf("Lost by the %s, %% of the calendar: %s.", name, strings.Join(parts, "; ")))
	}
	w.para("", "Planning aid; it controls nothing.")
	return w.String()
}
