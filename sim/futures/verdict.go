package futures

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"millrace/sim/futures/judge"
	"millrace/sim/quantity"
)

// judge compares the plans by the cost of the upset.
func (c *Case) judge(out *Comparison) error {
	y := make([][]float64, len(out.Plans))
	for i := range out.Plans {
		y[i] = out.Plans[i].Cost
	}
	won, err := judge.ShareWon(y, judge.SmallerBetter)
	if err != nil {
		return err
	}
	chance := won // one future has no spread to say more from
	if c.Futures > 1 && len(y) > 1 {
		if chance, err = judge.ChanceMeanBest(y, judge.SmallerBetter); err != nil {
			return err
		}
	}
	for i := range out.Plans {
		p := &out.Plans[i]
		p.ChanceMeanBest, p.ShareWon = chance[i], won[i]
		if mean(p.Cost) < mean(out.Plans[out.Best].Cost) {
			out.Best = i
		}
	}
	out.Delta = math.Max(0.01*math.Abs(mean(out.Plans[out.Best].Cost)), c.Plant.Spec.Costs.Matters)
	if c.Futures > 1 && len(y) > 1 {
		out.Judged, err = judge.Best(y, judge.Options{Sense: judge.SmallerBetter, Level: level, Delta: out.Delta})
		if err != nil {
			return err
		}
		out.Decided = out.Judged.Decided
		out.Best = out.Judged.Leading[0]
		for i := range out.Plans {
			out.Plans[i].Standing = out.Judged.Standings[i]
		}
	}
	c.say(out)
	c.warn(out)
	return nil
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// say writes the verdict.
func (c *Case) say(out *Comparison) {
	best := &out.Plans[out.Best]
	cost := out.sayCost(best)
	group := out.leaders()
	switch {
	case len(c.Script) == 0:
		out.Verdict = "There is no upset in this scenario, so no plan can save anything."
	case len(out.Plans) == 1:
		out.Verdict = fmt.Sprintf("There is one plan, %s: the upset costs %s.", best.Name, cost)
	case c.Futures == 1:
		out.Verdict = fmt.Sprintf("In this one future %s costs least, %s; one future decides nothing.", best.Name, money(mean(best.Cost), out.Currency))
	case len(out.Judged.Groups) == 1:
		out.Verdict = fmt.Sprintf("The plans are the same: %s cost equally much in every future, %s.", list(names(out)), cost)
	case out.Decided:
		rival := out.rival()
		lead := fmt.Sprintf("%s costs least", capital(best.Name))
		if best.Orders == 0 {
			lead = fmt.Sprintf("Do nothing: %s costs least", best.Name)
		}
		same := ""
		if len(group) > 1 {
			same = fmt.Sprintf(" %s is the same.", capital(list(group[1:])))
			if len(group) > 2 {
				same = fmt.Sprintf(" %s are the same.", capital(list(group[1:])))
			}
		}
		by := ""
		if out.Judged.NoMatter && mean(rival.Cost)-mean(best.Cost) < out.Delta {
			by = ", which hardly matters"
		}
		out.Verdict = fmt.Sprintf("%s: %s; %s less than %s%s.%s", lead, cost, money(mean(rival.Cost)-mean(best.Cost), out.Currency), rival.Name, by, same)
	default:
		c.sayOpen(out)
	}
}

// sayOpen is the verdict when it is not clear which plan is best.
func (c *Case) sayOpen(out *Comparison) {
	best := &out.Plans[out.Best]
	open := []string{best.Name}
	var rival *PlanResult
	for i := range out.Plans {
		p := &out.Plans[i]
		if i == out.Best || p.Standing.Out || p.Standing.Group == best.Standing.Group {
			continue
		}
		open = append(open, p.Name)
		if rival == nil || mean(p.Cost) < mean(rival.Cost) {
			rival = p
		}
	}
	if rival == nil { // too few futures to leave any plan out for good
		rival = out.rival()
		open = append(open, rival.Name)
	}
	if out.Judged.NoMatter {
		out.Verdict = fmt.Sprintf("Either will do: %s differ by less than the %s that matters; %s costs %s.",
			list(open), money(out.Delta, out.Currency), best.Name, out.sayCost(best))
		out.Decider = ""
		return
	}
	out.Needed = out.Judged.NeededGap
	gap := money(mean(rival.Cost)-mean(best.Cost), out.Currency)
	futures := "some " + quantity.FormatNumber(round(float64(out.Needed), grain(float64(out.Needed))), 0) + " futures"
	if out.Needed > 20_000 {
		futures = "more futures than is sensible"
	}
	out.Decider = c.decider(best, rival)
	or := ""
	if out.Decider != "" {
		or = ", or " + out.Decider
	}
	out.Verdict = fmt.Sprintf("Cannot tell between %s: %s costs %s, %s only %s more on average; %s would decide%s.",
		list(open), best.Name, out.sayCost(best), rival.Name, gap, futures, or)
	if mean(rival.Cost)-mean(best.Cost) < out.Delta {
		out.Verdict += fmt.Sprintf(" A gap below %s does not matter: as it looks now, take the simpler.", money(out.Delta, out.Currency))
	}
}

// decider looks for the one thing on which the difference between two plans
// hangs: the length of the upset, when one plan is better for a short and the
// other for a long one; else the line of the account that swings it most.
func (c *Case) decider(best, rival *PlanResult) string {
	n := len(best.Cost)
	if n < judge.LeastFutures {
		return ""
	}
	d, long := make([]float64, n), make([]float64, n)
	for f := range n {
		d[f] = rival.Cost[f] - best.Cost[f]
		m, _ := best.Results[f].Measures.Get("upset")
		long[f] = m.Value
	}
	if r := correlation(long, d); math.Abs(r) >= 0.5 {
		// The line through the points crosses zero where the plans change places.
		slope := r * spread(d) / spread(long)
		cross := mean(long) - mean(d)/slope
		lo, _ := judge.P10(long)
		hi, _ := judge.P90(long)
		if cross > lo && cross < hi {
			short, longer := best.Name, rival.Name
			if slope > 0 { // the longer, the more the rival costs
				short, longer = rival.Name, best.Name
			}
			what := c.Script[0].Name
			if what == "" {
				what = "upset"
			}
			return fmt.Sprintf("a sure word on the %s (below about %s: %s, above: %s)", what, quantity.FormatDuration(cross*3600), short, longer)
		}
	}
	line, most := "", 0.0
	for i := range len(best.Results[0].Upset) - 1 {
		x := make([]float64, n)
		for f := range n {
			x[f] = rival.Results[f].Upset[i].Amount - best.Results[f].Upset[i].Amount
		}
		if v := correlation(x, d) * spread(x); v > most {
			line, most = best.Results[0].Upset[i].Name, v
		}
	}
	if line == "" {
		return ""
	}
	return "a surer figure for " + line + ", on which the difference hangs"
}

func spread(x []float64) float64 {
	m, s := mean(x), 0.0
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return math.Sqrt(s / float64(len(x)-1))
}

func correlation(x, y []float64) float64 {
	sx, sy := spread(x), spread(y)
	if !(sx > 0) || !(sy > 0) {
		return 0
	}
	mx, my, s := mean(x), mean(y), 0.0
	for i := range x {
		s += (x[i] - mx) * (y[i] - my)
	}
	return s / float64(len(x)-1) / sx / sy
}

// rival is the best plan outside the leading group.
func (out *Comparison) rival() *PlanResult {
	var r *PlanResult
	best := &out.Plans[out.Best]
	for i := range out.Plans {
		p := &out.Plans[i]
		if i != out.Best && p.Standing.Group != best.Standing.Group && (r == nil || mean(p.Cost) < mean(r.Cost)) {
			r = p
		}
	}
	if r == nil {
		r = best
	}
	return r
}

// leaders are the names of the plans that lead together.
func (out *Comparison) leaders() []string {
	var s []string
	for _, i := range out.Judged.Leading {
		s = append(s, out.Plans[i].Name)
	}
	return s
}

func names(out *Comparison) (s []string) {
	for i := range out.Plans {
		s = append(s, out.Plans[i].Name)
	}
	return s
}

// sayCost is "0.61 million EUR (95 % interval 0.50 to 0.72)".
func (out *Comparison) sayCost(p *PlanResult) string {
	m, low, high, _, err := interval(p.Cost)
	if err != nil || len(p.Cost) < 2 {
		return money(m, out.Currency)
	}
	per, decimals := 1.0, 0
	if math.Abs(math.Round(m)) >= 1e6 {
		per, decimals = 1e6, 2
	}
	step := grain(m)
	return fmt.Sprintf("%s (95 %% interval %s to %s)", money(m, out.Currency), quantity.FormatNumber(round(low, step)/per, decimals), quantity.FormatNumber(round(high, step)/per, decimals))
}

// money is an amount in two figures, or to a hundredth of a million: more would be
// false precision.
func money(v float64, currency string) string {
	return quantity.FormatMoney(round(v, grain(v)), currency)
}

func grain(v float64) float64 {
	v = math.Abs(v)
	if v >= 1e6 {
		return 1e4
	}
	if v < 1 {
		return 1
	}
	return math.Max(1, math.Pow(10, math.Floor(math.Log10(v))-1))
}

func round(v, step float64) float64 { return math.Round(v/step) * step }

func list(s []string) string {
	switch len(s) {
	case 0:
		return ""
	case 1:
		return s[0]
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// warnStock says so when the lead of the best plan is mostly what lies in stock at the
// end: that is worth what somebody pays for it.
func (out *Comparison) warnStock(add func(string, ...any)) {
	if len(out.Plans) < 2 {
		return
	}
	stock := func(p *PlanResult) (stock, total float64) {
		for _, l := range p.CostOfUpset {
			if l.Name == "stock at the end" {
				stock = l.Amount
			}
			total = l.Amount
		}
		return stock, total
	}
	best, rival := &out.Plans[out.Best], out.rival()
	bs, bt := stock(best)
	rs, rt := stock(rival)
	if lead := rt - bt; lead > 0 && rs-bs > lead/2 {
		add("Of the %s by which %s leads %s, %s is stock that lies in the works at the end, priced in the works file; without that line it leads by %s.",
			money(lead, out.Currency), s1(best.Name), s1(rival.Name), money(rs-bs, out.Currency), money(lead-(rs-bs), out.Currency))
	}
}

// warn says what a reader of the verdict should know.
func (c *Case) warn(out *Comparison) {
	add := func(format string, a ...any) { out.Warnings = append(out.Warnings, fmt.Sprintf(format, a...)) }
	if out.Capped > 0 {
		add("In %d of %d futures the hole had not gone through when the run was cut off after %s; what came later is not counted.",
			out.Capped, out.Futures, quantity.FormatDuration(max(c.Length, c.MaxLength).Seconds()))
	}
	if out.Futures < judge.LeastFutures && len(out.Plans) > 1 {
		add("%d futures are too few to decide anything; take at least %d.", out.Futures, judge.LeastFutures)
	}
	var skewed []string
	for i := range out.Plans {
		if i > 0 && slices.ContainsFunc(out.Plans[i].SameAs, func(n string) bool { return slices.Contains(names(out)[:i], n) }) {
			continue // said already
		}
		if s, ok := out.Plans[i].Measures.Get(CostOfUpset); ok && s.Skewed {
			skewed = append(skewed, s1(out.Plans[i].Name))
		}
	}
	if len(skewed) > 0 {
		what := list(skewed)
		if len(skewed) == len(out.Plans) {
			what = "all plans"
		}
		add("The costs of %s are lopsided: a few futures are far dearer than the rest, and intervals are a little too narrow.", what)
	}
	if out.Judged.Doubtful {
		add("The differences between plans vary unequally; %s varies most, without it the limits would be narrower.", s1(out.Plans[out.Judged.Loudest].Name))
	}
	out.warnStock(add)
	best := &out.Plans[out.Best]
	if len(out.Judged.Groups) > 1 {
		if p, err := judge.Paired(best.Cost, out.rival().Cost, level); err == nil && p.Poor {
			add("Common luck does not help much here: the plans' costs vary almost independently.")
		}
	}
}

func s1(name string) string { return `"` + name + `"` }
