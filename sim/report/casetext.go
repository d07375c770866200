package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/quantity"
)

// Case writes the answer of a capital case for a terminal. No line is wider than 100
// columns. Options have letters; amounts are whole units of the currency (thousands where
// an amount has ten digits), and totals are the sums of the lines as they are printed.
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
	for _, n := range optionNotes(a) {
		t.para(2, n)
	}
	t.gap()
	t.head("HOW FAR IT SPREADS, net present value over the futures; " + s.unit)
	t.b.WriteString(spreadGrid(a, s).String())
	for _, n := range spreadNotes(a) {
		t.para(2, n)
	}
	t.book(a)
	for _, i := range shownOptions(a) {
		t.gap()
		t.para(0, fmt.Sprintf("MEAN FLOW of %s, %s, at year ends; %s", letter(i), quoted(a.Options[i].Name), s.unit))
		for _, g := range flowGrids(&a.Options[i], s) {
			t.b.WriteString(g.String())
		}
		t.para(2, tieInText(a, i))
	}
	if w := limitedBy(a); w != "" {
		t.gap()
		t.para(0, w)
		t.para(2, limitsText(a, append([]int{0}, shownOptions(a)...)))
	}
	t.losses(a.Options[0].Baseline)
	if len(a.Tornado) > 0 {
		t.gap()
		t.head("WHAT IT HANGS ON, net present value of " + letterOf(a, a.Tornado[0].Option) + "; " + s.unit)
		t.b.WriteString(tornadoGrid(a.Tornado, s).String())
		t.para(2, luckNote(a))
	}
	if len(a.TornadoProposal) > 0 {
		t.gap()
		t.head("THE SAME for the proposal, " + letterOf(a, a.TornadoProposal[0].Option) + "; " + s.unit)
		t.b.WriteString(tornadoGrid(a.TornadoProposal, s).String())
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

// scaleOf takes whole units of the currency, and thousands where an amount has ten digits:
// no table would hold them.
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
	if most >= 999_999_999.5 {
		return scale{1e3, "thousand " + a.Currency}
	}
	return units(a)
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
		{"option"}, {"net present", "value, mean"}, {"95 % interval", "of the mean"}, {"chance", "above 0"}, {"rate of return", "a year"}, {"paid back", "after"}, {"the same,", "discounted"},
	}}
	for i := range a.Options {
		o := &a.Options[i]
		if i == 0 {
			g.row(letter(i), "0", none, none, none, none, none)
			continue
		}
		g.row(letter(i), worth(o, s), s.span(o.NPV.Low, o.NPV.High), quantity.FormatShare(o.ChancePositive), rates(o), yearsText(o.PaybackSimple), yearsText(o.PaybackDiscounted))
	}
	return g
}

// optionNotes say what the columns of the options mean.
func optionNotes(a *capitalcase.Answer) []string {
	return []string{
		"95 % interval: of 100 such studies with other luck, about 95 would find the mean within theirs.",
		fmt.Sprintf("Paid back: years from the decision until what came in has covered what was paid; discounted: with every year's money at its worth on the day of the decision, at %s a year.", quantity.FormatShare(a.Discount)),
	}
}

func spreadGrid(a *capitalcase.Answer, s scale) *grid {
	g := &grid{heads: [][]string{{"option"}, {"one future in ten", "is below"}, {"mean"}, {"one in ten", "is above"}}}
	tails := anyTail(a)
	if tails {
		g.heads = append(g.heads, []string{"of the gain, from", "the longest stops"})
	}
	for i := 1; i < len(a.Options); i++ {
		o := &a.Options[i]
		row := []string{letter(i), s.text(o.NPV.P10), worth(o, s), s.text(o.NPV.P90)}
		if tails {
			row = append(row, tailShare(o))
		}
		g.row(row...)
	}
	return g
}

func spreadNotes(a *capitalcase.Answer) (out []string) {
	if anyTail(a) {
		out = append(out, "From the longest stops: the part of the gain that is gone when no stop lasts longer than one in ten of its kind does.")
	}
	return out
}

func anyTail(a *capitalcase.Answer) bool {
	for i := range a.Options {
		if a.Options[i].TailShare != nil {
			return true
		}
	}
	return false
}

func tailShare(o *capitalcase.Outcome) string {
	if o.TailShare == nil {
		return none
	}
	return quantity.FormatShare(*o.TailShare)
}

// rates are the rates of return; one at which money is only lost is none.
func rates(o *capitalcase.Outcome) string {
	above := 0
	for _, r := range o.IRR {
		if r > 0 {
			above++
		}
	}
	switch {
	case above == 0 && neverPaid(o):
		return "nothing paid"
	case above == 0:
		return "none above 0"
	case len(o.IRR) == 1:
		return rate(o.IRR[0])
	}
	return plural(len(o.IRR), "rate", "rates")
}

// neverPaid says that money only comes in, so that there is nothing on which to earn a rate.
func neverPaid(o *capitalcase.Outcome) bool {
	return !slices.ContainsFunc(o.Flow, func(y capitalcase.YearFlow) bool { return y.Total < 0 })
}

func rate(r float64) string { return quantity.FormatNumber(100*r, 1) + " %" }

// yearsText writes a payback.
func yearsText(v *float64) string {
	if v == nil {
		return "never"
	}
	if *v == 0 {
		return "at once"
	}
	return quantity.FormatNumber(*v, 1) + " years"
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

// shownOptions are the leader and, where that is another, what is proposed.
func shownOptions(a *capitalcase.Answer) []int {
	out := []int{shownOption(a)}
	for i := 1; i < len(a.Options); i++ {
		if a.Options[i].Role == "proposal" {
			if i != out[0] {
				out = append(out, i)
			}
			break
		}
	}
	return out
}

// flowGrids are the table of a flow, in two where one would be too wide.
func flowGrids(o *capitalcase.Outcome, s scale) []*grid {
	for _, band := range []bool{true, false} {
		if g := flowGrid(o, s, true, band, true); g.width() <= wide {
			return []*grid{g}
		}
	}
	return []*grid{flowGrid(o, s, true, false, false), flowGrid(o, s, false, true, true)}
}

// flowGrid is the flow by year: its lines, the range of the total, what it is worth.
func flowGrid(o *capitalcase.Outcome, s scale, lines, band, sums bool) *grid {
	g := &grid{heads: [][]string{{"year"}}}
	used := usedLines(o)
	if !lines {
		used = nil
	}
	for _, l := range used {
		g.heads = append(g.heads, fold(capitalcase.LineNames[l], 12, ""))
	}
	g.heads = append(g.heads, []string{"total"})
	if band {
		g.heads = append(g.heads, []string{"in 8 of 10 futures", "between"})
	}
	if sums {
		g.heads = append(g.heads, []string{"discounted"}, []string{"sum so far"})
	}
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
		if sums {
			row = append(row, count(r.discounted), last)
		}
		g.row(row...)
	}
	for i := range rows {
		put(strconv.Itoa(rows[i].year), &rows[i], count(rows[i].cumulative))
	}
	put("total", &sum, "")
	return g
}

// losses writes what the hours of the limiting unit were lost to.
func (t *text) losses(b *capitalcase.Baseline) {
	if b == nil || len(b.Lost) == 0 {
		return
	}
	t.gap()
	t.para(0, fmt.Sprintf("LOST A YEAR on %s as it is, %s t for each hour it does not work", b.Limit, quantity.FormatNumber(b.PerHour, 0)))
	g := &grid{heads: [][]string{{"cause"}, {"h"}, {"t"}, {"how it is counted"}}}
	rows, sum := lossRows(b, 10)
	for _, r := range append(rows, sum) {
		g.row(r.cause, tenth(r.tenths), count(r.tonnes), r.group)
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

func tornadoGrid(bars []capitalcase.Bar, s scale) *grid {
	g := &grid{heads: [][]string{{"assumption"}, {"low end"}, {"worth"}, {"high end"}, {"worth"}, {"how"}}}
	for _, b := range bars {
		g.row(b.What, short(b.LowText), s.text(b.Low), short(b.HighText), s.text(b.High), howFound(b, s))
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
	if !a.Decided && anyFlip(a) {
		out = append(out, "the options in front are too close to tell apart: little is needed to change which of them leads, and a flip near what is assumed says no more than that")
	}
	for _, f := range a.Flips {
		if f.Found {
			out = append(out, fmt.Sprintf("%s: at %s %s becomes the best", f.What, f.Text, quoted(f.Becomes)))
			continue
		}
		out = append(out, f.What+": "+f.Text)
	}
	return out
}
