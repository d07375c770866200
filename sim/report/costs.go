package report

import (
	"fmt"
	"math"
	"strings"

	"millrace/sim/futures"
)

// spreadPicture shows the cost of the upset under every plan: the mean, its
// interval and the range of eight futures in ten.
func spreadPicture(c *futures.Comparison, m money) figure {
	const w, row, above, below = 400.0, 44.0, 8.0, 38.0
	order := ranked(c)
	h := above + below + row*float64(len(order))
	low, high := 0.0, 0.0
	for _, i := range order {
		k := costOf(&c.Plans[i])
		for _, v := range [...]float64{k.mean, k.low, k.high, k.p10, k.p90} {
			if !missing(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	if high == low {
		high = low + 1
	}
	const left, right = 10.0, 16.0
	at := func(v float64) float64 { return left + (w-left-right)*(v-low)/(high-low) }
	title := spreadTitle(c, m)
	var desc []string
	for _, i := range order {
		k := costOf(&c.Plans[i])
		desc = append(desc, fmt.Sprintf("%s: mean %s, interval of the mean %s, eight futures of ten %s", c.Plans[i].Name, m.text(k.mean), m.span(k.low, k.high), m.span(k.p10, k.p90)))
	}
	p := newPicture(w, h, title, strings.Join(desc, "; ")+".")
	xs := ticks(low/m.per, high/m.per, 5)
	for _, v := range xs {
		class := "gridline"
		if v == 0 {
			class = "axis"
		}
		p.line(class, at(v*m.per), above, at(v*m.per), h-below)
		p.text("tick", "middle", at(v*m.per), h-below+14, tickText(v, xs))
	}
	p.text("tick", "middle", w/2, h-5, "cost of the upset, "+m.unit())
	for n, i := range order {
		k := costOf(&c.Plans[i])
		y := above + row*float64(n)
		p.text("label halo", "start", min(at(0)+4, w/4), y+15, shorten(c.Plans[i].Name, 46))
		if missing(k.mean) {
			continue
		}
		y += 28
		if !missing(k.p10) && !missing(k.p90) {
			p.line("whisker", at(k.p10), y, at(k.p90), y)
		}
		p.line("interval", at(k.low), y, at(k.high), y)
		p.dot("meandot", at(k.mean), y, 4.5)
	}
	return figure{title, p.done()}
}

func spreadTitle(c *futures.Comparison, m money) string {
	best := &c.Plans[c.Best]
	k := costOf(best)
	s := fmt.Sprintf("With %s the upset costs %s on average", best.Name, m.text(k.mean))
	if r := beside(c); r >= 0 {
		o := costOf(&c.Plans[r])
		s += fmt.Sprintf(", with %s %s", c.Plans[r].Name, m.text(o.mean))
	}
	return s
}

func shorten(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	cut := string(r[:n-1])
	if i := strings.LastIndexByte(cut, ' '); i > n/2 {
		cut = cut[:i]
	}
	return cut + "\u2026"
}

// linePictures show what the money is made of under every plan, on one scale.
func linePictures(c *futures.Comparison, whole money) []figure {
	m := whole.finer()
	plans := make([]*futures.PlanResult, len(c.Plans))
	for i := range c.Plans {
		plans[i] = &c.Plans[i]
	}
	shown, small := shownLines(plans)
	low, high := 0.0, 0.0
	for _, p := range plans {
		for _, i := range shown {
			low, high = min(low, p.CostOfUpset[i].Low), max(high, p.CostOfUpset[i].High)
		}
	}
	if high == low {
		return nil
	}
	var out []figure
	for _, i := range ranked(c) {
		out = append(out, linePicture(plans[i], m, shown, small, low, high))
	}
	return out
}

func linePicture(plan *futures.PlanResult, m money, shown, small []int, low, high float64) figure {
	const w, left, right, row, above, below = 400.0, 122.0, 54.0, 22.0, 6.0, 36.0
	rest := 0.0
	for _, i := range small {
		rest += plan.CostOfUpset[i].Amount
	}
	rows := float64(len(shown))
	if rest != 0 {
		rows++
	}
	h := above + below + row*rows
	reserve := 0.0
	if low < 0 {
		reserve = 46 // numbers of what saves stand left of their bars
	}
	at := func(v float64) float64 { return left + reserve + (w-left-right-reserve)*(v-low)/(high-low) }
	title := capital(plan.Name) + ": " + linesFinding(plan, m)
	var desc []string
	for _, i := range shown {
		l := plan.CostOfUpset[i]
		desc = append(desc, l.Name+" "+m.text(l.Amount))
	}
	p := newPicture(w, h, title, "Cost by line, minus saves: "+strings.Join(desc, "; ")+".")
	xs := ticks(low/m.per, high/m.per, 3)
	for _, v := range xs {
		p.line("gridline", at(v*m.per), above, at(v*m.per), h-below)
		p.text("tick", "middle", at(v*m.per), h-below+14, tickText(v, xs))
	}
	p.text("tick", "middle", left+(w-left)/2, h-5, m.unit()+"; left of zero saves")
	y := above
	put := func(name string, v, lo, hi float64) {
		p.text("label", "end", left-6, y+15, shorten(name, 17))
		a, b := at(math.Min(v, 0)), at(math.Max(v, 0))
		class := "bar"
		if v < 0 {
			class = "bar saves"
		}
		p.rect(class, a, y+4, math.Max(b-a, 0.8), row-8)
		if hi > lo {
			p.line("errorhalo", at(lo), y+row/2, at(hi), y+row/2)
			p.line("error", at(lo), y+row/2, at(hi), y+row/2)
		}
		if v < 0 {
			p.text("number", "end", math.Min(at(lo), a)-4, y+15, m.number(v))
		} else {
			p.text("number", "start", math.Max(at(hi), b)+4, y+15, m.number(v))
		}
		y += row
	}
	for _, i := range shown {
		l := plan.CostOfUpset[i]
		put(l.Name, l.Amount, l.Low, l.High)
	}
	if rest != 0 {
		put("everything else", rest, rest, rest)
	}
	p.line("axis", at(0), above, at(0), h-below)
	return figure{title, p.done()}
}

// linesFinding names the largest line and its part in the total.
func linesFinding(plan *futures.PlanResult, m money) string {
	n := len(plan.CostOfUpset) - 1
	if n < 1 {
		return "no account"
	}
	at := 0
	for i := range n {
		if plan.CostOfUpset[i].Amount > plan.CostOfUpset[at].Amount {
			at = i
		}
	}
	l, total := plan.CostOfUpset[at], plan.CostOfUpset[n].Amount
	if l.Amount <= 0 {
		return "no line costs more than without the upset"
	}
	return fmt.Sprintf("the largest line is %s, %s of %s in all", l.Name, m.text(l.Amount), m.text(total))
}
