package capital

import (
	"fmt"
	"math"
	"strings"

	"millrace/sim/futures/judge"
	"millrace/sim/quantity"
)

// say writes the verdict and its warnings.
func (c *Case) say(a *Answer, values [][]float64, b *judge.Comparison) {
	money := func(m Money) string { return quantity.FormatMoney(float64(m), a.Currency) }
	top := &a.Options[a.Best]
	next := a.Best // the option that the verdict begins with
	between := fmt.Sprintf("(95 %% interval %s to %s)", money(top.NPV.Low), money(top.NPV.High))
	switch {
	case a.Best == 0:
		if next = a.rival(); !a.Decided && a.couldPay() {
			next = a.hopeful() // the one that luck leaves open, which need not be the next best
		}
		n := &a.Options[next]
		s := fmt.Sprintf("No: %s is worth %s against %q %s", quoted(n.Name), money(n.NPV.Mean), top.Name,
			fmt.Sprintf("(95 %% interval %s to %s)", money(n.NPV.Low), money(n.NPV.High)))
		if why := c.why(n); why != "" {
			s += "; " + why
		}
		if !a.Decided && a.couldPay() {
			s = fmt.Sprintf("Cannot tell: %s is worth %s against %q %s, and luck alone could make that", quoted(n.Name), money(n.NPV.Mean), top.Name,
				fmt.Sprintf("(95 %% interval %s to %s)", money(n.NPV.Low), money(n.NPV.High)))
			if next == a.rival() { // it is the two best that are asked how many futures part them
				s += needed(b, values[next])
			}
		}
		a.Verdict = s + "."
	case a.Decided:
		a.Verdict = fmt.Sprintf("Yes: %s is worth %s against %q %s", quoted(top.Name), money(top.NPV.Mean), a.Options[0].Name, between)
		if r := a.rival(); r != 0 {
			a.Verdict += fmt.Sprintf(", and %s more than %s", money(top.NPV.Mean-a.Options[r].NPV.Mean), quoted(a.Options[r].Name))
		}
		a.Verdict += "."
	default:
		r := a.rival()
		led := fmt.Sprintf("%s is worth %s against %q %s", quoted(top.Name), money(top.NPV.Mean), a.Options[0].Name, between)
		switch pays := a.pays(values); {
		case pays && b.Futures < judge.LeastFutures:
			a.Verdict = fmt.Sprintf("Cannot tell yet: %s; that is clear of 0%s.", led, needed(b, values[a.Best]))
		case pays && r == 0: // it is the rest that keeps the choice open, with worse means than doing nothing
			a.Verdict = fmt.Sprintf("Yes, it pays to act: %s. That no other option is better cannot be told%s.", led, needed(b, values[a.Best]))
		case pays:
			a.Verdict = fmt.Sprintf("Yes, it pays to act: %s. Whether it is better than %s, worth %s, is too close to tell%s.", led,
				quoted(a.Options[r].Name), money(a.Options[r].NPV.Mean), needed(b, values[a.Best]))
		default:
			a.Verdict = fmt.Sprintf("Cannot tell which is best: %s leads with %s %s, but %s is too close%s.", quoted(top.Name), money(top.NPV.Mean), between,
				quoted(a.Options[r].Name), needed(b, values[a.Best]))
		}
	}
	if p := a.proposal(); p > 0 && p != a.Best && p != next {
		o := &a.Options[p]
		if o.NPV.High < 0 {
			a.Verdict += fmt.Sprintf(" No to the proposal: %s is worth %s (95 %% interval %s to %s)", quoted(o.Name), money(o.NPV.Mean), money(o.NPV.Low), money(o.NPV.High))
			if why := c.why(o); why != "" {
				a.Verdict += "; " + why
			}
			a.Verdict += "."
		}
	}
	if !c.SoldOut && c.Share > 0 && c.Share < 1 {
		a.Verdict += fmt.Sprintf(" Only %s of what the works can make is ordered: tonnes that a stop loses are caught up later, and an hour saved is worth little.", quantity.FormatShare(c.Share))
	}
	a.Warnings = append(a.Warnings, c.plannedWork()...)
	a.Warnings = append(a.Warnings, c.builtIn(a)...)
	a.Warnings = append(a.Warnings, c.shortBook(a)...)
	for i := range values {
		if i == 0 {
			continue
		}
		if c.Options[i].Changed && a.Options[i].idle() {
			a.Warnings = append(a.Warnings, fmt.Sprintf("%s makes no difference in any future: what it changes is never used when the works runs by its standing orders, as it does here; it may still help a plan", quoted(a.Options[i].Name)))
		}
		if g, err := judge.Skewness(values[i]); err == nil && judge.SkewWarning(len(values[i]), g) {
			a.Warnings = append(a.Warnings, fmt.Sprintf("a few futures with rare long stops decide the worth of %s: with %d futures its interval is too narrow to rely on; play %d or more (--futures %d)",
				quoted(a.Options[i].Name), len(values[i]), judge.SkewFutures(g), judge.SkewFutures(g)))
		}
		if p := a.Options[i].Pairing; p > 1./3 {
			a.Warnings = append(a.Warnings, fmt.Sprintf("%s changes the works so much that meeting the same stops helps little: its interval is still %.0f %% as wide as if each option had met stops of its own; more futures narrow it", quoted(a.Options[i].Name), 100*p))
		}
	}
	if c.Years < c.Life {
		a.Warnings = append(a.Warnings, fmt.Sprintf("money is counted for %d years, of which %s played in each future: the later years repeat the played ones in turn", c.Life, played1(c.Years)))
	}
}

// why says in a few words where a gain went that was hoped for.
func (c *Case) why(o *Outcome) string {
	paid := Money(0)
	for i := range o.Flow {
		paid -= o.Flow[i].Lines[LineCapital] + o.Flow[i].Lines[LineRunning] + o.Flow[i].Lines[LineTieIn]
	}
	if o.idle() {
		return "what it changes is never used, so it gains nothing"
	}
	if o.Gain.Low <= 0 && o.Gain.High >= 0 {
		return "what it changes hardly ever limits the works, so it gains nothing that could be told from luck"
	}
	if o.Gain.Mean < 0 {
		s := fmt.Sprintf("it makes the works earn %s a year less", quantity.FormatMoney(-float64(o.Gain.Mean), c.Options[0].Plant.Spec.Currency))
		if l := worst(o.GainBy); l >= 0 {
			s += fmt.Sprintf(", most of it by %q: %s", o.GainBy[l].Name, quantity.FormatMoney(float64(o.GainBy[l].Amount), c.Options[0].Plant.Spec.Currency))
		}
		return s
	}
	return fmt.Sprintf("it gains %s a year in the works, too little for %s over the life", quantity.FormatMoney(float64(o.Gain.Mean), c.Options[0].Plant.Spec.Currency),
		quantity.FormatMoney(float64(paid), c.Options[0].Plant.Spec.Currency))
}

// idle says that not a coin was gained or lost in the works in any future.
func (o *Outcome) idle() bool { return o.Gain == Spread{} && len(o.GainBy) == 0 }

// worst is the line that loses most, if that is half of all that is lost or more; else -1.
func worst(lines []LineGainOf) int {
	at, lost := -1, Money(0)
	for i, l := range lines {
		if l.Amount < 0 {
			lost += l.Amount
			if at < 0 || l.Amount < lines[at].Amount {
				at = i
			}
		}
	}
	if at >= 0 && 2*lines[at].Amount > lost {
		return -1
	}
	return at
}

// couldPay says whether the interval of any option reaches above nothing.
func (a *Answer) couldPay() bool {
	for i := 1; i < len(a.Options); i++ {
		if a.Options[i].NPV.High >= 0 {
			return true
		}
	}
	return false
}

// hopeful is the option with the best mean of those whose interval reaches above nothing,
// -1 for none.
func (a *Answer) hopeful() int {
	r := -1
	for i := 1; i < len(a.Options); i++ {
		if o := &a.Options[i]; o.NPV.High >= 0 && (r < 0 || o.NPV.Mean > a.Options[r].NPV.Mean) {
			r = i
		}
	}
	return r
}

// rival is the option with the best mean but one.
func (a *Answer) rival() int {
	r := -1
	for i := range a.Options {
		if i != a.Best && (r < 0 || a.Options[i].NPV.Mean > a.Options[r].NPV.Mean) {
			r = i
		}
	}
	return r
}

// proposal is the first option with that role, -1 for none.
func (a *Answer) proposal() int {
	for i := range a.Options {
		if i > 0 && a.Options[i].Role == "proposal" {
			return i
		}
	}
	return -1
}

// pays says whether the leading option is worth more than doing nothing for sure: it has
// been picked as the best of several, so each of them gets its part of the risk
// (Bonferroni), and its limits are never narrower than the interval that is printed.
func (a *Answer) pays(values [][]float64) bool {
	one := level
	if k := len(values) - 1; k > 2 {
		one = 1 - 2*(1-level)/float64(k)
	}
	p, err := judge.Paired(values[0], values[a.Best], one)
	return err == nil && p.Difference.Low > 0
}

// needed says how many futures would decide: those that bring the limits down to the gaps,
// and as many as the leading option's lopsided worths need for an interval to be relied on.
// Of very few futures it says first that they are too few.
func needed(b *judge.Comparison, leader []float64) string {
	n := b.NeededGap
	hardly, few := n > 100*b.Futures || n >= math.MaxInt32, b.Futures < judge.LeastFutures
	if hardly && few { // a guess from so few is none
		n = 2 * judge.LeastFutures
	}
	if g, err := judge.Skewness(leader); err == nil {
		n = max(n, judge.SkewFutures(g))
	}
	switch {
	case few:
		return fmt.Sprintf("; %d futures are too few to decide, play %d or more (--futures %d)", b.Futures, n, n)
	case n <= b.Futures:
		return ""
	case hardly:
		return "; more futures will hardly decide it"
	}
	return fmt.Sprintf("; about %d futures would decide it", n)
}

func quoted(s string) string { return `"` + strings.TrimSpace(s) + `"` }

func played1(years int) string {
	if years == 1 {
		return "1 is"
	}
	return fmt.Sprintf("%d are", years)
}

func yearsOf(n int) string {
	if n == 1 {
		return "1 year"
	}
	return fmt.Sprintf("%d years", n)
}
