package capital

import (
	"cmp"
	"math"
	"slices"

	"millrace/sim/futures/judge"
	"millrace/sim/measure"
)

// Book is what is ordered where only that is sold, beside what the works could make; t
// of steel sent out a week. Lines are whole tonnes and the totals are their sums.
type Book struct {
	Ordered   Tonnes     `json:"ordered_t_a_week"`
	CanMake   Tonnes     `json:"can_make_t_a_week"` // the works as it is, its own stops taken off
	Share     float64    `json:"share_ordered"`     // of what it can make
	DaysAhead float64    `json:"days_ahead"`        // from when an order is known until it is due
	Ahead     Tonnes     `json:"ahead_t"`           // known and not yet due on any day
	Lines     []BookLine `json:"by_product"`
}

// BookLine is one product of a book.
type BookLine struct {
	Product string `json:"product"`
	What    string `json:"what,omitempty"`
	Ordered Tonnes `json:"ordered_t_a_week"`
	CanMake Tonnes `json:"can_make_t_a_week"` // at the mix of the works
}

// Tonnes are whole tonnes.
type Tonnes int64

// Product is a product of a mix, with its share of it.
type Product struct {
	Name, What string
	Share      float64
}

// NewBook makes the book of a mix of which so many t a week are ordered and could be
// made, known so many days before it is due.
func NewBook(mix []Product, ordered, can, days float64) *Book {
	b := &Book{Share: ordered / can, DaysAhead: days}
	all := 0.0
	for _, p := range mix {
		all += p.Share
	}
	for _, p := range mix {
		l := BookLine{p.Name, p.What, Tonnes(math.Round(ordered * p.Share / all)), Tonnes(math.Round(can * p.Share / all))}
		b.Ordered, b.CanMake = b.Ordered+l.Ordered, b.CanMake+l.CanMake
		b.Lines = append(b.Lines, l)
	}
	b.Ahead = Tonnes(math.Round(float64(b.Ordered) * days / 7))
	return b
}

// TieIn is what the stops for building an option in cost, positive for money lost: the
// same weeks of the same futures with the stops and without.
type TieIn struct {
	Futures int     `json:"futures"`
	Days    float64 `json:"days_played"` // of each
	Mean    Money   `json:"mean"`
	Low     Money   `json:"low"` // 95 % interval of the mean
	High    Money   `json:"high"`
	// By is the mean by line of the account, positive for money lost, largest first.
	By []LineGainOf `json:"by_line"`
}

// Luck says whether the interval contains nothing lost: the mean may be luck.
func (t *TieIn) Luck() bool { return t.Low <= 0 && t.High >= 0 }

// tieIn measures what the stops of an option lost; nil where it needs none.
func (c *Case) tieIn(i int, ties [][][2]played, whole []int) (*TieIn, error) {
	if c.Options[i].TieIn == nil {
		return nil, nil
	}
	var lost []float64
	for _, f := range whole {
		lost = append(lost, tieLoss(&ties[i][f]))
	}
	m, err := judge.MeanInterval(lost, level)
	if err != nil {
		return nil, err
	}
	t := &TieIn{Futures: len(lost), Days: c.Options[i].TieInLength / 86400, Mean: round(m.Mean), Low: round(m.Low), High: round(m.High)}
	var by measure.Account
	for _, f := range whole {
		d := ties[i][f][1].years[0].Less(&ties[i][f][0].years[0])
		for l := range d {
			by[l] += d[l] / float64(len(whole))
		}
	}
	amounts, _ := split(by[:])
	for l, v := range amounts {
		if v != 0 {
			t.By = append(t.By, LineGainOf{measure.LineNames[l], v})
		}
	}
	slices.SortStableFunc(t.By, func(x, y LineGainOf) int { return cmp.Compare(max(y.Amount, -y.Amount), max(x.Amount, -x.Amount)) })
	return t, nil
}

// split rounds a column to whole units so that it adds up to the rounded sum: those
// that lose most by being rounded down are rounded up (largest remainders, the method
// of Hamilton for seats, from memory).
func split(x []float64) (out []Money, total Money) {
	sum := 0.0
	for _, v := range x {
		sum += v
		out = append(out, Money(math.Floor(v)))
		total += out[len(out)-1]
	}
	for want := round(sum); total < want; total++ {
		k := 0
		for i := range x {
			if x[i]-float64(out[i]) > x[k]-float64(out[k]) {
				k = i
			}
		}
		out[k]++
	}
	return out, total
}
