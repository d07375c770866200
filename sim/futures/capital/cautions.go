package capital

import (
	"fmt"
	"strings"

	"millrace/sim/measure"
	"millrace/sim/quantity"
)

// plannedWork warns of options that lose planned work of the works as it is, which a
// list of planned stops with one line in it does, and of units more that have none.
func (c *Case) plannedWork() (out []string) {
	first := &c.Options[0].Plant.Spec
	for i := 1; i < len(c.Options); i++ {
		o := &c.Options[i]
		spec := &o.Plant.Spec
		planned := func(unit string) bool {
			for _, p := range spec.Planned {
				if strings.EqualFold(p.Unit, unit) {
					return true
				}
			}
			return false
		}
		var gone []string
		for _, p := range first.Planned {
			if !planned(p.Unit) {
				gone = append(gone, p.Unit)
			}
		}
		if len(gone) > 0 {
			out = append(out, fmt.Sprintf("%s takes away the planned stops of %s: a list in changes stands in place of the whole list of the works file; write all of it, or the gain is mostly planned work left undone",
				quoted(o.Name), strings.Join(gone, ", ")))
		}
		var had, have []string
		for k := range first.Casters {
			had = append(had, first.Casters[k].Name)
		}
		for k := range first.Furnaces {
			had = append(had, first.Furnaces[k].Name)
		}
		for k := range spec.Casters {
			have = append(have, spec.Casters[k].Name)
		}
		for k := range spec.Furnaces {
			have = append(have, spec.Furnaces[k].Name)
		}
		for _, unit := range have {
			if len(first.Planned) > 0 && !contains(had, unit) && !planned(unit) {
				out = append(out, fmt.Sprintf("%s is given no planned stop by %s, and runs the year through: where it must be repaired like the others, write the whole list of planned stops with it in changes", unit, quoted(o.Name)))
			}
		}
	}
	return out
}

func contains(list []string, name string) bool {
	for _, s := range list {
		if strings.EqualFold(s, name) {
			return true
		}
	}
	return false
}

// ironOf is the line of iron lost in a gain.
func (o *Outcome) ironOf() Money {
	for _, l := range o.GainBy {
		if l.Name == measure.LineNames[measure.IronLost] {
			return l.Amount
		}
	}
	return 0
}

// shortBook warns of what a short book makes of an answer: iron that finds no room while
// the casters wait for orders.
func (c *Case) shortBook(a *Answer) (out []string) {
	if c.SoldOut {
		if c.Book != nil && c.Share > 1 {
			out = append(out, fmt.Sprintf("%s of what the works can make is ordered, so that everything made is counted as sold; orders that cannot be met are not counted", quantity.FormatShare(c.Share)))
		}
		return out
	}
	for i := range a.Options {
		o := &a.Options[i]
		if iron := o.ironOf(); i > 0 && iron < 0 && 2*iron <= o.Gain.Mean && o.Gain.Mean < 0 {
			out = append(out, fmt.Sprintf("%s of what %s loses a year is iron that finds no room: done sooner with what is ordered, the casters stand longer; whether the iron side could be slowed further must be settled before you sign (without it the gain is %s a year)",
				quantity.FormatMoney(-float64(iron), a.Currency), quoted(o.Name), quantity.FormatMoney(float64(o.Gain.Mean-iron), a.Currency)))
		}
	}
	return out
}

// builtIn warns where what building an option in loses would be less in a works that
// plans for it: iron that finds no room.
func (c *Case) builtIn(a *Answer) (out []string) {
	for i := range a.Options {
		o := &a.Options[i]
		if o.TieIn == nil || o.TieIn.Mean <= 0 {
			continue
		}
		by := func(line int) Money {
			for _, l := range o.TieIn.By {
				if l.Name == measure.LineNames[line] {
					return l.Amount
				}
			}
			return 0
		}
		if iron := by(measure.IronLost); 4*iron > o.TieIn.Mean {
			out = append(out, fmt.Sprintf("%s of what building %s in loses is iron that finds no room: the wind goes to its least and no lower; a stop that is known months ahead is laid into one of the iron side, and loses less",
				quantity.FormatMoney(float64(iron), a.Currency), quoted(o.Name)))
		}
	}
	return out
}
