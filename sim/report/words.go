package report

import (
	"math"
	"sort"
	"strings"

	"millrace/sim/futures"
	"millrace/sim/futures/judge"
	"millrace/sim/quantity"
)

// none stands for a number that does not exist.
const none = "-"

// money writes amounts of one table in one unit and to one resolution, so that
// they can be compared by eye.
type money struct {
	currency string
	per      float64 // amounts in one unit
	step     float64 // resolution, in amounts
	decimals int
	largest  float64
}

// moneyFor chooses unit and resolution: the unit by the largest amount, the
// resolution by the smallest half width above zero, of which about two digits
// are worth writing, but never more than three digits of the largest amount.
func moneyFor(currency string, amounts, halves []float64) money {
	m := money{currency: currency, per: 1, step: 1}
	largest, half := 0.0, math.Inf(1)
	for _, v := range amounts {
		if a := math.Abs(v); a > largest && !math.IsInf(a, 0) {
			largest = a
		}
	}
	for _, h := range halves {
		if h > 0 {
			half = min(half, h)
		}
	}
	m.largest = largest
	switch {
	case largest >= 1e6:
		m.per = 1e6
	case largest >= 1e5:
		m.per = 1e3
	}
	if largest == 0 {
		return m
	}
	finest := math.Pow(10, math.Floor(math.Log10(largest))-2)
	m.step = finest
	if !math.IsInf(half, 1) {
		m.step = math.Pow(10, math.Floor(math.Log10(half/3)))
	}
	m.step = max(m.step, finest, 1)
	if m.step < m.per {
		m.decimals = int(math.Round(math.Log10(m.per / m.step)))
	}
	return m
}

// finer is for the parts of an amount: millions become thousands, while they
// have few digits.
func (m money) finer() money {
	if m.per == 1e6 && m.largest < 1e8 {
		return money{currency: m.currency, per: 1e3, step: 1e3, largest: m.largest}
	}
	return m
}

// unit is what the numbers are in.
func (m money) unit() string {
	switch m.per {
	case 1e6:
		return strings.TrimSpace("million " + m.currency)
	case 1e3:
		return strings.TrimSpace("thousand " + m.currency)
	}
	return m.currency
}

// number writes an amount without its unit.
func (m money) number(v float64) string {
	if missing(v) {
		return none
	}
	return quantity.FormatNumber(math.Round(v/m.step)*m.step/m.per, m.decimals)
}

// text writes an amount with its unit.
func (m money) text(v float64) string {
	if missing(v) {
		return none
	}
	return strings.TrimSpace(m.number(v) + " " + m.unit())
}

// span writes a range without its unit.
func (m money) span(low, high float64) string {
	if missing(low) || missing(high) {
		return none
	}
	return m.number(low) + " to " + m.number(high)
}

func missing(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }

// amount writes a mean of tonnes, pieces or the like: one decimal below ten,
// whole numbers below a thousand, then three digits that count.
func amount(v float64) string {
	if missing(v) {
		return none
	}
	a := math.Abs(v)
	switch {
	case a < 0.05:
		return "0"
	case a < 9.95:
		return quantity.FormatNumber(v, 1)
	case a < 1000:
		return quantity.FormatNumber(v, 0)
	}
	step := math.Pow(10, math.Floor(math.Log10(a))-2)
	return quantity.FormatNumber(math.Round(v/step)*step, 0)
}

func trim(s string) string { return strings.TrimSuffix(s, ".0") }

// withUnit adds a unit; counts ("-") have none.
func withUnit(number, unit string) string {
	if unit == "" || unit == "-" || number == none {
		return number
	}
	return number + " " + unit
}

// percent writes a share of one; a share is never rounded to all or nothing.
func percent(f float64) string {
	switch {
	case missing(f):
		return none
	case f <= 0:
		return "0 %"
	case f >= 1:
		return "100 %"
	case f < 0.005:
		return "<1 %"
	case f > 0.995:
		return ">99 %"
	}
	return quantity.FormatNumber(100*f, 0) + " %"
}

// clockAt writes the clock time so many hours after the start, with its date.
func clockAt(start int64, hours float64) string {
	if missing(hours) {
		return "never"
	}
	c := quantity.Clock(start).Add(hours * 3600)
	return quantity.FormatClock(c, quantity.Clock(start))
}

// hourAt is clockAt to the full hour: what comes from many futures is not known
// to the minute.
func hourAt(start int64, hours float64) string {
	if missing(hours) {
		return "never"
	}
	c := quantity.Clock(start).Add(hours * 3600)
	return quantity.FormatClock((c+quantity.Hour/2)/quantity.Hour*quantity.Hour, quantity.Clock(start))
}

// plain writes a number that was given: as it is, without needless decimals.
func plain(v float64) string {
	if v == math.Trunc(v) {
		return quantity.FormatNumber(v, 0)
	}
	return amount(v)
}

// begins writes a start as day, date and time.
func begins(start int64) string {
	c := quantity.Clock(start)
	return days[c.Weekday()] + " " + c.String()
}

// list joins words as people do.
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return quantity.FormatNumber(float64(n), 0) + " " + many
}

// capital makes the first letter large.
func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// cost is the total of an upset's account with its interval and spread.
type cost struct{ mean, low, high, p10, p90 float64 }

func (c cost) half() float64 { return (c.high - c.low) / 2 }

func costOf(p *futures.PlanResult) cost {
	nan := math.NaN()
	c := cost{nan, nan, nan, nan, nan}
	if n := len(p.CostOfUpset); n > 0 {
		l := p.CostOfUpset[n-1]
		c.mean, c.low, c.high = l.Amount, l.Low, l.High
	}
	if s, ok := p.Measures.Get(futures.CostOfUpset); ok {
		c.p10, c.p90 = s.P10, s.P90
	} else if len(p.Cost) > 0 {
		c.p10, _ = judge.P10(p.Cost)
		c.p90, _ = judge.P90(p.Cost)
	}
	return c
}

// moneyOf is how the costs of the plans are written.
func moneyOf(c *futures.Comparison) money {
	var amounts, halves []float64
	for i := range c.Plans {
		k := costOf(&c.Plans[i])
		amounts = append(amounts, k.mean, k.low, k.high)
		if !missing(k.half()) {
			halves = append(halves, k.half())
		}
	}
	return moneyFor(c.Currency, amounts, halves)
}

// ranked are the numbers of the plans, least mean cost first, the order given
// among equals.
func ranked(c *futures.Comparison) []int {
	at := make([]int, len(c.Plans))
	for i := range at {
		at[i] = i
	}
	sort.SliceStable(at, func(i, j int) bool {
		a, b := costOf(&c.Plans[at[i]]).mean, costOf(&c.Plans[at[j]]).mean
		return a < b || math.IsNaN(b) && !math.IsNaN(a)
	})
	// Plans that tie with the leader do not go before it.
	for i, p := range at {
		if p == c.Best && costOf(&c.Plans[p]).mean == costOf(&c.Plans[at[0]]).mean {
			copy(at[1:i+1], at[:i])
			at[0] = p
			break
		}
	}
	return at
}

// beside is the plan that the leader is shown beside: "carry on" where there is
// one, else the next in cost; -1 when there is none.
func beside(c *futures.Comparison) int {
	for i := range c.Plans {
		if strings.EqualFold(c.Plans[i].Name, "carry on") && i != c.Best {
			return i
		}
	}
	for _, i := range ranked(c) {
		if i != c.Best {
			return i
		}
	}
	return -1
}

// mean is the mean of a measure, NaN when there is none.
func mean(m futures.Summaries, name string) float64 {
	if s, ok := m.Get(name); ok {
		return s.Mean
	}
	return math.NaN()
}

// effects is what an upset does under one plan, in the measures people ask for
// first. Lost tonnes are against the twin.
type effects struct {
	lost, heats, cobbled, rejected, scrapped, iron, late, back float64
	notBack                                                    int // futures in which the works was not back to normal
}

func effectsOf(p, twin *futures.PlanResult, n int) effects {
	e := effects{
		lost:     mean(twin.Measures, "dispatched") - mean(p.Measures, "dispatched"),
		heats:    mean(p.Measures, "heats returned"),
		cobbled:  mean(p.Measures, "strips cobbled"),
		rejected: mean(p.Measures, "bars rejected"),
		scrapped: mean(p.Measures, "pieces scrapped"),
		iron:     mean(p.Measures, "iron pooled"),
		late:     mean(p.Measures, "order lines late"),
		back:     math.NaN(),
	}
	if s, ok := p.Measures.Get("back to normal"); ok {
		e.notBack = n - s.N
		if s.N > 0 {
			e.back = s.Mean / 24
		}
	}
	return e
}

// givenOf are the units whose rate was given.
func givenOf(c *futures.Comparison, x Extra) []string {
	if x.Given != nil || c.Route == nil {
		return x.Given
	}
	var out []string
	for _, u := range c.Route.Units {
		if u.RateGiven {
			out = append(out, u.Name)
		}
	}
	return out
}
