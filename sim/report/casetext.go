package report

import (
	"fmt"
	"math"
	"strconv"
	"unicode/utf8"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/quantity"
)

// Case writes the answer of a capital case for a terminal. No line is wider than 100
// columns. Options have letters; amounts are rounded to thousands (millions where they
// are large), a line once, and totals are the sums of the lines as they are printed.
func Case(a *capitalcase.Answer, x Extra) string {
	t := text{}
	s := scaleOf(a)
	t.para(0, a.Verdict)
	t.gap()
	t.para(2, caseSetting(a))
	t.gap()
	t.head("OPTIONS against " + letter(0) + "; " + s.unit)
	for i := range a.Options {
		t.para(2, optionLegend(a, i))
	}
	t.b.WriteString(optionGrid(a, s).String())
	for i := range a.Options {
		if a.Options[i].TailShare != nil {
			t.para(2, "From the long stops: the part of the gain that is gone when no stop lasts longer than one in ten of its kind does.")
			break
		}
	}
	t.gap()
	shown := shownOption(a)
	t.para(0, fmt.Sprintf("MEAN FLOW of %s, %s, at year ends; %s. Each line is rounded once; totals are the sums of the lines as printed, and the whole amounts are in the request.",
		letter(shown), quoted(a.Options[shown].Name), s.unit))
	t.b.WriteString(flowGrid(&a.Options[shown], s).String())
	if b := a.Bottleneck; b.Before != "" {
		t.gap()
		w := "What limits the works: " + b.Before + " as it is; " + b.After + " afterwards"
		if b.Before == b.After {
			w = "What limits the works: " + b.Before + ", as it is and afterwards"
		}
		t.para(0, w+".")
		t.para(2, limitsText(a))
	}
	t.losses(a.Options[0].Baseline)
	if len(a.Tornado) > 0 {
		t.gap()
		t.head("WHAT IT HANGS ON, net present value of " + letterOf(a, a.Tornado[0].Option) + "; " + s.unit)
		t.b.WriteString(tornadoGrid(a, s).String())
		t.para(2, "Played on a small budget: an end closer to the middle than the \u00b1 behind it says nothing.")
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

// letter names an option in tables: A, B, ... Z, then by number.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return strconv.Itoa(i + 1)
}

func letterOf(a *capitalcase.Answer, name string) string {
	for i := range a.Options {
		if a.Options[i].Name == name {
			return letter(i)
		}
	}
	return quoted(name)
}

func optionLegend(a *capitalcase.Answer, i int) string {
	s := letter(i) + "  " + a.Options[i].Name
	if r := a.Options[i].Role; r != "" && r != a.Options[i].Name {
		s += " (" + r + ")"
	}
	if utf8.RuneCountInString(s) > wide-2 {
		s = shorten(s, wide-2)
	}
	return s
}

// scale is how a table writes money.
type scale struct {
	per  float64
	unit string
}

// scaleOf takes thousands, and millions where an amount has more than six digits of
// thousands.
func scaleOf(a *capitalcase.Answer) scale {
	most := 0.0
	for i := range a.Options {
		o := &a.Options[i]
		for _, m := range []capitalcase.Money{o.NPV.Low, o.NPV.High, o.NPV.P10, o.NPV.P90} {
			most = math.Max(most, math.Abs(float64(m)))
		}
		for y := range o.Flow {
			most = math.Max(most, math.Abs(float64(o.Flow[y].Cumulative)))
		}
	}
	if most >= 999.5e6 {
		return scale{1e6, "million " + a.Currency}
	}
	return scale{1e3, "thousand " + a.Currency}
}

// whole is the amount in whole units of the scale.
func (s scale) whole(m capitalcase.Money) int64 { return int64(math.Round(float64(m) / s.per)) }

func (s scale) text(m capitalcase.Money) string { return count(s.whole(m)) }

func (s scale) span(low, high capitalcase.Money) string { return s.text(low) + " to " + s.text(high) }

func count(n int64) string { return quantity.FormatNumber(float64(n), 0) }

// flowRow is a year of a flow as it is printed.
type flowRow struct {
	year                          int
	lines                         [capitalcase.NLines]int64
	total, discounted, cumulative int64
	low, high                     capitalcase.Money
}

// flowRows rounds every line and every discounted total once; totals, sums so far and
// the last row are sums of what is printed.
func flowRows(o *capitalcase.Outcome, s scale) (rows []flowRow, sum flowRow) {
	for i := range o.Flow {
		y := &o.Flow[i]
		r := flowRow{year: y.Year, low: y.Low, high: y.High, discounted: s.whole(y.Discounted)}
		for l, m := range y.Lines {
			r.lines[l] = s.whole(m)
			r.total += r.lines[l]
			sum.lines[l] += r.lines[l]
		}
		sum.total += r.total
		sum.discounted += r.discounted
		r.cumulative = sum.total
		rows = append(rows, r)
	}
	sum.cumulative = sum.total
	return rows, sum
}

// worth is the net present value as it is printed: the sum of the discounted years.
func worth(o *capitalcase.Outcome, s scale) string {
	if len(o.Flow) == 0 {
		return s.text(o.NPV.Mean)
	}
	_, sum := flowRows(o, s)
	return count(sum.discounted)
}

// usedLines are the lines of the account that are not empty in every year.
func usedLines(o *capitalcase.Outcome) (used []int) {
	for l := range capitalcase.NLines {
		for i := range o.Flow {
			if o.Flow[i].Lines[l] != 0 {
				used = append(used, l)
				break
			}
		}
	}
	return used
}

func caseSetting(a *capitalcase.Answer) string {
	demand := "everything made can be sold"
	if !a.SoldOut {
		demand = "only what is ordered is sold"
	}
	return fmt.Sprintf("%s. %s of operation in each of %s, the same for every option; money counted for %s at %s a year; %s.",
		a.Case, plural(a.Years, "year", "years"), plural(a.Futures, "future", "futures"), plural(a.Life, "year", "years"), quantity.FormatShare(a.Discount), demand)
}

func optionGrid(a *capitalcase.Answer, s scale) *grid {
	g := &grid{heads: [][]string{
		{"option"}, {"net present", "value, mean"}, {"95 % interval", "of the mean"}, {"8 of 10 futures", "lie in"}, {"chance", "above 0"},
		{"rate of", "return"}, {"back after", "(discounted)"}, {"from the", "long stops"},
	}}
	for i := range a.Options {
		o := &a.Options[i]
		if i == 0 {
			g.row(letter(i), "0", none, none, none, none, none, none)
			continue
		}
		g.row(letter(i), worth(o, s), s.span(o.NPV.Low, o.NPV.High), s.span(o.NPV.P10, o.NPV.P90),
			quantity.FormatShare(o.ChancePositive), rates(o), backAfter(o), tailShare(o))
	}
	return g
}

func tailShare(o *capitalcase.Outcome) string {
	if o.TailShare == nil {
		return none
	}
	return quantity.FormatShare(*o.TailShare)
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
func shownOption(a *capitalcase.Answer) int {
	b := a.Best
	if b == 0 {
		for i := 1; i < len(a.Options); i++ {
			if b == 0 || a.Options[i].NPV.Mean > a.Options[b].NPV.Mean {
				b = i
			}
		}
	}
	return b
}

func flowGrid(o *capitalcase.Outcome, s scale) *grid {
	g := &grid{heads: [][]string{{"year"}}}
	used := usedLines(o)
	for _, l := range used {
		g.heads = append(g.heads, fold(capitalcase.LineNames[l], 12, ""))
	}
	g.heads = append(g.heads, []string{"total"})
	band := len(used) <= 3 // there is room for it
	if band {
		g.heads = append(g.heads, []string{"8 of 10 lie in"})
	}
	g.heads = append(g.heads, []string{"discounted"}, []string{"sum so far"})
	rows, sum := flowRows(o, s)
	put := func(name string, r *flowRow, last string) {
		row := []string{name}
		for _, l := range used {
			row = append(row, count(r.lines[l]))
		}
		row = append(row, count(r.total))
		if band {
			span := none
			if r.low != r.high {
				span = s.span(r.low, r.high)
			}
			row = append(row, span)
		}
		g.row(append(row, count(r.discounted), last)...)
	}
	for i := range rows {
		put(strconv.Itoa(rows[i].year), &rows[i], count(rows[i].cumulative))
	}
	put("total", &sum, "")
	return g
}

func limitsText(a *capitalcase.Answer) string {
	say := func(i int) string {
		o := &a.Options[i]
		var parts []string
		for _, l := range o.Limits[:min(3, len(o.Limits))] {
			parts = append(parts, l.Unit+" "+quantity.FormatShare(l.Share))
		}
		return letter(i) + ": " + list(parts)
	}
	return "Share of the time in which the unit's spell of work, repair and set-up is the longest under way: " +
		say(0) + "; " + say(shownOption(a)) + "."
}

// losses writes what the hours of the limiting unit were lost to.
func (t *text) losses(b *capitalcase.Baseline) {
	if b == nil || len(b.Lost) == 0 {
		return
	}
	t.gap()
	t.para(0, fmt.Sprintf("LOST A YEAR on %s as it is, %s t for each hour it does not work", b.Limit, quantity.FormatNumber(b.PerHour, 0)))
	g := &grid{heads: [][]string{{"cause"}, {"h"}, {"t"}}}
	rows, sum := lossRows(b, 8)
	for _, r := range append(rows, sum) {
		g.row(r.cause, tenth(r.tenths), count(r.tonnes))
	}
	t.b.WriteString(g.String())
}

// tenth writes tenths of an hour.
func tenth(n int64) string { return quantity.FormatNumber(float64(n)/10, 1) }

// lossRow is a cause as it is printed: tenths of an hour and whole tonnes.
type lossRow struct {
	cause, group   string
	tenths, tonnes int64
}

// lossRows are the largest n causes, the others in one line, and the sums of what is
// printed.
func lossRows(b *capitalcase.Baseline, n int) (rows []lossRow, sum lossRow) {
	sum.cause = "total"
	var rest lossRow
	for i, l := range b.Lost {
		r := lossRow{l.Cause, l.Group, int64(math.Round(10 * l.Hours)), int64(math.Round(l.Tonnes))}
		sum.tenths += r.tenths
		sum.tonnes += r.tonnes
		if i < n || len(b.Lost) == n+1 {
			rows = append(rows, r)
			continue
		}
		rest.tenths += r.tenths
		rest.tonnes += r.tonnes
	}
	if k := len(b.Lost) - len(rows); k > 0 {
		rest.cause = plural(k, "other cause", "other causes")
		rows = append(rows, rest)
	}
	return rows, sum
}

func tornadoGrid(a *capitalcase.Answer, s scale) *grid {
	g := &grid{heads: [][]string{{"assumption"}, {"low end"}, {"worth"}, {"high end"}, {"worth"}, {"how"}}}
	for _, b := range a.Tornado {
		g.row(b.What, b.LowText, s.text(b.Low), b.HighText, s.text(b.High), howFound(b, s))
	}
	return g
}

func howFound(b capitalcase.Bar, s scale) string {
	if b.Replayed && b.Luck > 0 {
		return "played \u00b1" + s.text(b.Luck)
	}
	if b.Replayed {
		return "played"
	}
	return "computed"
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
