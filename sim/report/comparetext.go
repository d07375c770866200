package report

import (
	"fmt"
	"math"
	"strings"

	"millrace/sim/calendar"
	"millrace/sim/futures"
)

// Compare writes the answer for a terminal: the verdict, the plans, what the
// money is made of, what would decide, what to know before using it. No line is
// wider than 100 columns.
func Compare(c *futures.Comparison, x Extra) string {
	t := text{}
	if len(c.Plans) == 0 {
		t.para(0, c.Verdict)
		t.para(0, "There is no plan to show.")
		return t.String()
	}
	m := moneyOf(c)
	t.para(0, verdict(c, m))
	t.gap()
	t.para(2, setting(c, x))
	t.gap()

	t.head("PLANS, least cost first; " + m.unit())
	t.b.WriteString(costGrid(c, m).String())
	t.para(2, costNote(c))
	t.gap()
	t.head("WHAT HAPPENS, mean of all futures")
	g, notes := effectGrid(c)
	t.b.WriteString(g.String())
	for _, n := range notes {
		t.para(2, n)
	}
	t.gap()
	t.head("WHAT THE MONEY IS MADE OF, " + m.finer().unit() + "; minus saves")
	t.b.WriteString(lineGrid(c, m.finer()).String())

	t.list("WHAT WOULD DECIDE", decides(c))
	t.list("SAME PLANS", same(c))
	t.list("TAKE CARE", warnings(c))
	t.list("ASSUMED", assumed(c, x))
	t.gap()
	t.head("TO REPEAT THIS")
	for _, l := range recipe(c, x) {
		t.para(2, l)
	}
	t.gap()
	for _, s := range x.Cautions {
		t.para(2, s)
	}
	t.para(2, planningAid)
	return t.String()
}

// verdict is the comparison's own sentence; the leader's cost follows where the
// sentence names no interval.
func verdict(c *futures.Comparison, m money) string {
	s := strings.TrimSpace(c.Verdict)
	if strings.Contains(s, "95 %") || c.Best < 0 || c.Best >= len(c.Plans) {
		return s
	}
	k := costOf(&c.Plans[c.Best])
	if missing(k.mean) {
		return s
	}
	return s + " " + leaderCost(c, m)
}

// leaderCost says what the upset costs with the leader.
func leaderCost(c *futures.Comparison, m money) string {
	p := &c.Plans[c.Best]
	k := costOf(p)
	s := fmt.Sprintf("With %s the upset costs %s", quoted(p.Name), m.text(k.mean))
	if k.high > k.low {
		s += fmt.Sprintf(" on average (95 %% interval %s)", m.span(k.low, k.high))
	}
	return s + "."
}

func quoted(s string) string { return `"` + s + `"` }

func setting(c *futures.Comparison, x Extra) string {
	title := x.Title
	if title == "" {
		title = c.Scenario
	}
	s := capital(c.Works) + ": " + title + ". "
	if c.Works == "" {
		s = title + ". "
	}
	return s + timesOf(c)
}

func length(t calendar.Time) string {
	d := t.Hours() / 24
	if d < 2 {
		return trimmedHours(t.Hours()) + " h"
	}
	return trimmedHours(d) + " d"
}

func trimmedHours(v float64) string { return trim(fmt.Sprintf("%.1f", v)) }

func costGrid(c *futures.Comparison, m money) *grid {
	g := &grid{heads: [][]string{
		{"plan"}, {"cost of the", "upset, mean"}, {"95 % interval", "of the mean"}, {"8 of 10", "futures lie in"},
		{"more than", "the best"}, {"chance its", "mean is best"}, {"futures", "won"},
	}}
	best := costOf(&c.Plans[c.Best]).mean
	for _, i := range ranked(c) {
		p := &c.Plans[i]
		k := costOf(p)
		behind := m.number(k.mean - best)
		if i == c.Best {
			behind = none
		}
		g.row(p.Name+mark(p), m.number(k.mean), m.span(k.low, k.high), m.span(k.p10, k.p90), behind, percent(p.ChanceMeanBest), percent(p.ShareWon))
	}
	return g
}

// mark tells a plan that never came to anything from one that was tried.
func mark(p *futures.PlanResult) string {
	if p.Orders > 0 && p.Refused >= p.Orders {
		return " (all refused)"
	}
	return ""
}

func costNote(c *futures.Comparison) string {
	s := "Cost of the upset: what the run costs beyond the same future without the upset."
	if c.Delta > 0 {
		s += " A difference below " + moneyFor(c.Currency, []float64{c.Delta}, nil).text(c.Delta) + " does not matter."
	}
	return s
}

func effectGrid(c *futures.Comparison) (g *grid, notes []string) {
	g = &grid{heads: [][]string{
		{"plan"}, {"lost to", "dispatch", "t"}, {"heats", "returned"}, {"strips", "cobbled"}, {"bars", "rejected"}, {"other", "scrapped"},
		{"iron", "pooled", "t"}, {"order", "lines late"}, {"back to", "normal", "d"},
	}}
	put := func(name string, p *futures.PlanResult, twin bool) {
		e := effectsOf(p, &c.Twin, c.Futures)
		lost, back := amount(e.lost), amount(e.back)
		if twin {
			lost, back = none, none
		} else if e.notBack > 0 {
			back += "*"
		} else {
			back += " " // the numbers stay below one another
		}
		g.row(name, lost, amount(e.heats), amount(e.cobbled), amount(e.rejected), amount(e.scrapped), amount(e.iron), amount(e.late), back)
		if e.notBack > 0 && !twin {
			notes = append(notes, fmt.Sprintf("* %s: not back to normal at the end of %s of %d; the mean is of the others.",
				name, plural(e.notBack, "future", "futures"), c.Futures))
		}
	}
	for _, i := range ranked(c) {
		put(c.Plans[i].Name, &c.Plans[i], false)
	}
	if len(c.Twin.Measures) > 0 {
		put(withoutUpset, &c.Twin, true)
	}
	return g, notes
}

// shownLines are the numbers of the lines of an account worth a row, by size,
// and of those that are not: below half a per cent of the largest in every plan.
func shownLines(plans []*futures.PlanResult) (shown, small []int) {
	if len(plans) == 0 || len(plans[0].CostOfUpset) == 0 {
		return nil, nil
	}
	n := len(plans[0].CostOfUpset) - 1 // without the total
	size := make([]float64, n)
	largest := 0.0
	for _, p := range plans {
		for i := range min(n, len(p.CostOfUpset)-1) {
			size[i] = max(size[i], math.Abs(p.CostOfUpset[i].Amount))
			largest = max(largest, size[i])
		}
	}
	for i := range size {
		if size[i] == 0 || size[i] < 0.005*largest {
			small = append(small, i)
			continue
		}
		at := len(shown)
		for at > 0 && size[shown[at-1]] < size[i] {
			at--
		}
		shown = append(shown[:at], append([]int{i}, shown[at:]...)...)
	}
	return shown, small
}

func lineGrid(c *futures.Comparison, m money) *grid {
	plans := []*futures.PlanResult{&c.Plans[c.Best]}
	if b := beside(c); b >= 0 {
		plans = append(plans, &c.Plans[b])
	}
	g := &grid{heads: [][]string{{"line"}}}
	for _, p := range plans {
		name := fold(p.Name, 24, "")
		g.heads = append(g.heads, append(name, "mean"), []string{"95 % interval"})
	}
	shown, small := shownLines(plans)
	for _, i := range shown {
		cells := []string{plans[0].CostOfUpset[i].Name}
		for _, p := range plans {
			l := p.CostOfUpset[i]
			cells = append(cells, m.number(l.Amount), m.span(l.Low, l.High))
		}
		g.row(cells...)
	}
	rest := make([]float64, len(plans))
	any := false
	for k, p := range plans {
		for _, i := range small {
			rest[k] += p.CostOfUpset[i].Amount
			any = any || p.CostOfUpset[i].Amount != 0
		}
	}
	if any {
		cells := []string{"everything else"}
		for _, v := range rest {
			cells = append(cells, m.number(v), "")
		}
		g.row(cells...)
	}
	cells := []string{"total"}
	for _, p := range plans {
		k := costOf(p)
		cells = append(cells, m.number(k.mean), m.span(k.low, k.high))
	}
	g.row(cells...)
	return g
}

// manyFutures is more than anybody plays: beyond it more futures are no answer.
const manyFutures = 100_000

// decides says what would decide an undecided comparison.
func decides(c *futures.Comparison) []string {
	if c.Decided {
		return nil
	}
	var s []string
	if c.Decider != "" {
		s = append(s, sentence(c.Decider))
	}
	switch {
	case c.Needed > manyFutures:
		s = append(s, "Not more futures: the means are as good as equal.")
	case c.Needed > 0:
		s = append(s, fmt.Sprintf("More futures: about %s in all, if the gap is what it looks like now (a guess).", amount(float64(c.Needed))))
	}
	return s
}

func sentence(s string) string {
	s = capital(strings.TrimSpace(s))
	if s != "" && !strings.ContainsAny(s[len(s)-1:], ".!?") {
		s += "."
	}
	return s
}

// same names the plans that are the same, once a group.
func same(c *futures.Comparison) []string {
	done := map[string]bool{}
	var out []string
	for i := range c.Plans {
		p := &c.Plans[i]
		if len(p.SameAs) == 0 || done[p.Name] {
			continue
		}
		names := []string{quoted(p.Name)}
		for _, n := range p.SameAs {
			done[n] = true
			names = append(names, quoted(n))
		}
		out = append(out, list(names)+" did the same in every future, record for record; they are not ranked among themselves.")
	}
	return out
}

// warnings are the comparison's own and what the plans' orders came to.
func warnings(c *futures.Comparison) []string {
	var out []string
	for _, w := range c.Warnings {
		out = append(out, sentence(w))
	}
	for i := range c.Plans {
		p := &c.Plans[i]
		if p.Refused > 0 {
			out = append(out, fmt.Sprintf("%s: %d of %s over all futures were refused by the works: they asked for what could not be done just then.", capital(p.Name), p.Refused, plural(p.Orders, "order", "orders")))
		}
	}
	return out
}

func assumed(c *futures.Comparison, x Extra) []string {
	var out []string
	if g := givenOf(c, x); len(g) > 0 {
		out = append(out, "Rate as given, not computed: "+strings.Join(g, ", ")+".")
	}
	for _, a := range x.Assumptions {
		out = append(out, sentence(a))
	}
	return out
}

// recipe is what it takes to get this answer again.
func recipe(c *futures.Comparison, x Extra) []string {
	var out []string
	if x.Command != "" {
		out = append(out, x.Command)
	}
	s := fmt.Sprintf("seed %d, %s, fingerprint %s", c.Seed, plural(c.Futures, "future", "futures"), c.Fingerprint)
	if x.Version != "" {
		s += ", version " + x.Version
	}
	out = append(out, s)
	if c.RunFolder != "" {
		out = append(out, "run folder "+c.RunFolder)
	}
	return out
}

// text is an answer under way.
type text struct{ b strings.Builder }

func (t *text) String() string { return t.b.String() }

func (t *text) gap() { t.b.WriteByte('\n') }

func (t *text) head(s string) { t.para(0, s) }

// para writes a paragraph, every line indented.
func (t *text) para(indent int, s string) {
	if s == "" {
		return
	}
	lead := strings.Repeat(" ", indent)
	for _, l := range fold(s, wide-indent, "") {
		t.b.WriteString(lead + l + "\n")
	}
}

// list writes a heading and its points, nothing when there are none.
func (t *text) list(head string, points []string) {
	if len(points) == 0 {
		return
	}
	t.gap()
	t.head(head)
	for _, p := range points {
		t.b.WriteString("  - ")
		for i, l := range fold(p, wide-4, "") {
			if i > 0 {
				t.b.WriteString("    ")
			}
			t.b.WriteString(l + "\n")
		}
	}
}
