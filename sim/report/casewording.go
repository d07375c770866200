package report

import (
	"fmt"
	"strings"
	"unicode"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/quantity"
)

// limitedBy says which unit limits the works, "" where nobody can tell.
func limitedBy(a *capitalcase.Answer) string {
	b := a.Bottleneck
	switch {
	case b.Before == "":
		return ""
	case b.Before == b.After:
		return "What limits the works: " + b.Before + ", as it is and afterwards."
	}
	return "What limits the works: " + b.Before + " as it is; " + b.After + " afterwards."
}

// limitsText says how much of the time each unit limits the works under the options.
func limitsText(a *capitalcase.Answer, options []int) string {
	var all []string
	for _, i := range options {
		o := &a.Options[i]
		var parts []string
		for _, l := range o.Limits[:min(3, len(o.Limits))] {
			parts = append(parts, l.Unit+" "+quantity.FormatShare(l.Share))
		}
		if len(parts) > 0 {
			all = append(all, letter(i)+": "+list(parts))
		}
	}
	return "Share of the time in which the unit holds up the works, which is the one that has been busy - at work, in repair, being set up - for longest without a break: " +
		strings.Join(all, "; ") + ". While one takes over from another both count, so shares may add up to more than 100 %."
}

// tieInText says what the stops for building an option in cost, "" where it needs none.
func tieInText(a *capitalcase.Answer, i int) string {
	t := a.Options[i].TieIn
	if t == nil {
		return ""
	}
	u := units(a)
	s := fmt.Sprintf("Lost while %s is built in: %s %s, 95 %% interval %s, mean of %s of %s days, each played with the stop and without it.",
		letter(i), u.text(t.Mean), a.Currency, u.span(t.Low, t.High), plural(t.Futures, "future", "futures"), quantity.FormatNumber(t.Days, 0))
	if len(t.By) > 0 {
		var parts []string
		rest := t.Mean
		for _, l := range t.By[:min(4, len(t.By))] {
			parts = append(parts, l.Name+" "+u.text(l.Amount))
			rest -= l.Amount
		}
		if rest != 0 {
			parts = append(parts, "all else "+u.text(rest))
		}
		s += " Of that: " + list(parts) + "; minus is spared."
	}
	switch {
	case t.Luck() && t.Mean < 0:
		s += " That the stop seems to earn money is luck: the interval contains 0, so the loss cannot be told from nothing with so few futures. Count on no gain from it."
	case t.Luck():
		s += " The interval contains 0: so few futures cannot tell the loss from nothing, and the figure may be luck."
	case t.Mean < 0:
		s += " The stop earns money, which the interval says is no luck: look for what it spares (planned work done in its shadow, stock sold off)."
	}
	return s
}

// bookText says how much is ordered, "" where everything made can be sold.
func bookText(a *capitalcase.Answer) string {
	b := a.Book
	if b == nil {
		return ""
	}
	s := fmt.Sprintf("%s t are ordered a week, %s of the %s t that the works could make as it is. An order is known %s before it is due, so %s t lie ahead on any day.",
		count(int64(b.Ordered)), quantity.FormatShare(b.Share), count(int64(b.CanMake)), plural(int(b.DaysAhead+0.5), "day", "days"), count(int64(b.Ahead)))
	if l := a.Options[0].Baseline; l != nil {
		s += fmt.Sprintf(" Played as it is, it sent out %s t a year, %s t a week.", quantity.FormatNumber(l.Dispatched, 0), quantity.FormatNumber(l.Dispatched*7/365, 0))
	}
	return s
}

// bookRows are the lines of the book and their total: ordered, could be made, beside it.
func bookRows(b *capitalcase.Book) (rows [][]string) {
	row := func(name, what string, ordered, can capitalcase.Tonnes) []string {
		return []string{strings.TrimSpace(name + " " + what), count(int64(ordered)), count(int64(can)), count(int64(can - ordered))}
	}
	for _, l := range b.Lines {
		rows = append(rows, row(l.Product, l.What, l.Ordered, l.CanMake))
	}
	return append(rows, row("total", "", b.Ordered, b.CanMake))
}

// book writes what is ordered.
func (t *text) book(a *capitalcase.Answer) {
	if a.Book == nil {
		return
	}
	t.gap()
	t.head("ORDERED, t a week; only this is sold")
	t.para(2, bookText(a))
	g := &grid{heads: [][]string{{"product"}, {"ordered"}, {"could be made"}, {"beside it"}}}
	for _, r := range bookRows(a.Book) {
		g.row(r...)
	}
	t.b.WriteString(g.String())
}

// luckNote says how far ends that were played can be relied on.
func luckNote(a *capitalcase.Answer) string {
	for i := range a.Tornado {
		if b := &a.Tornado[i]; b.Replayed && b.Luck > 0 {
			return luckMarked
		}
	}
	return luckUnmarked // played on all the case was played on, or not at all
}

const luckUnmarked = "Played: on the futures and years of the case itself. Computed: from the plays there are, without more luck."

const luckMarked = "Played on fewer futures: where an end differs from the value as the case stands by less than the \u00b1 beside it, that may be luck. Computed: from the plays there are, without more luck."

// noSensitivities says in a line why there are none.
func noSensitivities(a *capitalcase.Answer) string {
	for _, w := range a.Warnings {
		if strings.HasPrefix(w, "stopped early") {
			return "Left out: the play was stopped before what the answer hangs on was played."
		}
	}
	return "Left out: what the answer hangs on was not played (--quick)."
}

// theUnit is a unit in a sentence: the rougher, but C1.
func theUnit(name string) string {
	if name != "" && unicode.IsLower(rune(name[0])) {
		return "the " + name
	}
	return name
}
