package report

import (
	"fmt"
	"strings"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/quantity"
)

// Case writes the answer of a capital case for a terminal. No line is wider than 100
// columns.
func Case(a *capitalcase.Answer, x Extra) string {
	t := text{}
	t.para(0, a.Verdict)
	t.gap()
	t.para(2, caseSetting(a))
	t.gap()
	t.head("OPTIONS against " + quoted(a.Options[0].Name) + "; " + caseUnit(a))
	t.b.WriteString(optionGrid(a).String())
	t.gap()
	t.head("MEAN FLOW of the best option that is not the first, at year ends; " + caseUnit(a))
	t.b.WriteString(flowGrid(a).String())
	if b := a.Bottleneck; b.Before != "" {
		t.gap()
		s := "What limits the works: " + b.Before + " as it is; " + b.After + " afterwards"
		if b.Before == b.After {
			s = "What limits the works: " + b.Before + ", as it is and afterwards"
		}
		t.para(0, s+".")
		t.para(2, limitsText(a))
	}
	if len(a.Tornado) > 0 {
		t.gap()
		t.head("WHAT IT HANGS ON, net present value of the option named; " + caseUnit(a))
		t.b.WriteString(tornadoGrid(a).String())
	}
	t.list("WHAT WOULD FLIP THE ANSWER", flips(a))
	t.list("TAKE CARE", a.Warnings)
	t.list("ASSUMED", x.Assumptions)
	t.gap()
	t.head("TO REPEAT THIS")
	t.para(2, x.Command)
	t.para(2, "fingerprint "+a.Fingerprint+", version "+x.Version)
	t.gap()
	t.para(2, planningAid)
	return t.String()
}

func caseUnit(a *capitalcase.Answer) string { return "thousand " + a.Currency }

// thousands writes whole units as thousands; amounts are rounded once, here.
func thousands(m capitalcase.Money) string { return quantity.FormatNumber(float64(m)/1000, 0) }

func caseSetting(a *capitalcase.Answer) string {
	demand := "everything made can be sold"
	if !a.SoldOut {
		demand = "only what is ordered is sold"
	}
	return fmt.Sprintf("%s. %d years of operation in each of %d futures, the same for every option; money counted for %d years at %s a year; %s.",
		a.Case, a.Years, a.Futures, a.Life, quantity.FormatShare(a.Discount), demand)
}

func optionGrid(a *capitalcase.Answer) *grid {
	g := &grid{heads: [][]string{
		{"option"}, {"net present", "value, mean"}, {"95 % interval", "of the mean"}, {"8 of 10 futures", "lie in"}, {"chance", "above 0"},
		{"rate of", "return"}, {"back after", "(discounted)"}, {"from longest", "tenth of stops"},
	}}
	for i := range a.Options {
		o := &a.Options[i]
		if i == 0 {
			g.row(o.Name, "0", none, none, none, none, none, none)
			continue
		}
		tail := none
		if o.TailShare != nil {
			tail = quantity.FormatShare(*o.TailShare)
		}
		g.row(o.Name, thousands(o.NPV.Mean), thousands(o.NPV.Low)+" to "+thousands(o.NPV.High), thousands(o.NPV.P10)+" to "+thousands(o.NPV.P90),
			quantity.FormatShare(o.ChancePositive), rates(o), backAfter(o), tail)
	}
	return g
}

func rates(o *capitalcase.Outcome) string {
	switch len(o.IRR) {
	case 0:
		return "none"
	case 1:
		return quantity.FormatShare(o.IRR[0])
	}
	return plural(len(o.IRR), "rate", "rates")
}

func backAfter(o *capitalcase.Outcome) string {
	if o.PaybackSimple == nil {
		return "never"
	}
	s := quantity.FormatNumber(*o.PaybackSimple, 1) + " y"
	if o.PaybackDiscounted == nil {
		return s + " (never)"
	}
	return s + " (" + quantity.FormatNumber(*o.PaybackDiscounted, 1) + " y)"
}

// shownOption is the option whose flow is written out: the best, or the best but the
// first.
func shownOption(a *capitalcase.Answer) *capitalcase.Outcome {
	b := a.Best
	if b == 0 {
		for i := 1; i < len(a.Options); i++ {
			if b == 0 || a.Options[i].NPV.Mean > a.Options[b].NPV.Mean {
				b = i
			}
		}
	}
	return &a.Options[b]
}

func flowGrid(a *capitalcase.Answer) *grid {
	o := shownOption(a)
	g := &grid{heads: [][]string{{o.Name}}}
	used := []int{}
	for l := range capitalcase.NLines {
		for _, y := range o.Flow {
			if y.Lines[l] != 0 {
				used = append(used, l)
				g.heads = append(g.heads, strings.SplitN(capitalcase.LineNames[l], " ", 2))
				break
			}
		}
	}
	g.heads = append(g.heads, []string{"total"}, []string{"8 of 10 lie in"}, []string{"discounted"}, []string{"sum so far"})
	for _, y := range o.Flow {
		row := []string{fmt.Sprintf("year %d", y.Year)}
		for _, l := range used {
			row = append(row, thousands(y.Lines[l]))
		}
		span := none
		if y.Low != y.High {
			span = thousands(y.Low) + " to " + thousands(y.High)
		}
		g.row(append(row, thousands(y.Total), span, thousands(y.Discounted), thousands(y.Cumulative))...)
	}
	return g
}

func limitsText(a *capitalcase.Answer) string {
	say := func(o *capitalcase.Outcome) string {
		var parts []string
		for _, l := range o.Limits[:min(3, len(o.Limits))] {
			parts = append(parts, l.Unit+" "+quantity.FormatShare(l.Share))
		}
		return o.Name + ": " + strings.Join(parts, ", ")
	}
	return "Share of the time in which the unit's spell of work, repair and set-up is the longest under way: " +
		say(&a.Options[0]) + "; " + say(shownOption(a)) + "."
}

func tornadoGrid(a *capitalcase.Answer) *grid {
	g := &grid{heads: [][]string{{"assumption"}, {"low end"}, {"worth"}, {"high end"}, {"worth"}, {"how"}}}
	for _, b := range a.Tornado {
		how := "computed"
		if b.Replayed {
			how = "played"
		}
		g.row(b.What, b.LowText, thousands(b.Low), b.HighText, thousands(b.High), how)
	}
	return g
}

func flips(a *capitalcase.Answer) []string {
	var out []string
	for _, f := range a.Flips {
		if f.Found {
			out = append(out, fmt.Sprintf("%s: at %s %s becomes the best", f.What, f.Text, quoted(f.Becomes)))
			continue
		}
		out = append(out, f.What+": "+f.Text)
	}
	return out
}
