package report

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"millrace/sim/futures"
	"millrace/sim/quantity"
)

// theme gathers measures that belong together, by the beginnings of their names.
type theme struct {
	head string
	are  []string
}

// themes in the order of the route; a measure goes to the first that names it,
// and what no theme names is shown last. Stores have a table of their own.
var themes = []theme{
	{"WHAT LEFT", []string{"dispatched", "secondary"}},
	{"ORDERS", []string{"order lines", "lateness"}},
	{"STEEL AND IRON", []string{"heats", "steel", "sequences", "tundishes", "casting speed", "iron pooled"}},
	{"LOST AND SPOILT", []string{"bars rejected", "strips cobbled", "pieces scrapped", "slabs back", "scrap", "downgraded", "scale"}},
	{"HEAT AND GAS", []string{"fuel", "gas ", "CO2", "charge", "reheat stand"}},
	{"UPSET AND RECOVERY", []string{"upset", "back to normal", "cost of the upset", "orders given", "orders refused", "hauled", "overtime", "horizon"}},
}

// Run writes what one run came to.
func Run(r *futures.Result, x Extra) string {
	t := text{}
	title := x.Title
	if title == "" {
		title = "One run"
	}
	t.para(0, fmt.Sprintf("%s. Plan %s, future %d, %s from %s.", title, quoted(r.Plan), r.Future, length(r.Horizon), begins(r.Start)))
	if !r.Recovered {
		t.para(0, "The works was not back to normal at the end of the run.")
	}
	used := make([]bool, len(r.Measures))
	stores := storeRows(r, used)
	for i, m := range r.Measures {
		if strings.HasPrefix(m.Name, "money: ") {
			used[i] = true // in the account
		}
	}
	show := func(head string, want func(string) bool) {
		var rows []futures.Measure
		for i, m := range r.Measures {
			if !used[i] && want(m.Name) {
				used[i] = true
				rows = append(rows, m)
			}
		}
		if len(rows) == 0 {
			return
		}
		t.gap()
		t.head(head)
		name := 26
		for _, m := range rows {
			name = max(name, min(len([]rune(m.Name)), 36))
		}
		for _, m := range rows {
			t.measure(m, name)
		}
	}
	for _, th := range themes {
		show(th.head, func(name string) bool {
			for _, p := range th.are {
				if strings.HasPrefix(name, p) {
					return true
				}
			}
			return false
		})
	}
	show("OTHER", func(string) bool { return true })

	if len(stores.rows) > 0 {
		t.gap()
		t.head("STORES")
		t.b.WriteString(stores.String())
	}
	t.balance(&r.MassBalance)
	t.units(r.Units)
	t.account("MONEY, cost of the run; minus earns", r.Money, x.Currency)
	t.account("MONEY, cost of the upset: beyond the same future without it; minus saves", r.Upset, x.Currency)
	if len(r.Moments) > 0 {
		t.gap()
		t.head("MOMENTS")
		for _, m := range r.Moments {
			t.para(2, fmt.Sprintf("%-18s %s", clockAt(r.Start, m.At.Hours()), m.What))
		}
	}
	var given []string
	if len(x.Given) > 0 {
		given = append(given, "Rate as given, not computed: "+strings.Join(x.Given, ", ")+".")
	}
	for _, a := range x.Assumptions {
		given = append(given, sentence(a))
	}
	t.list("ASSUMED", given)
	t.gap()
	t.head("TO REPEAT THIS")
	t.para(2, x.Command)
	s := "fingerprint " + r.Fingerprint
	if x.Version != "" {
		s += ", version " + x.Version
	}
	t.para(2, s)
	t.gap()
	for _, s := range x.Cautions {
		t.para(2, s)
	}
	t.para(2, planningAid)
	return t.String()
}

// measure writes one measure: name, number with unit, what it is.
func (t *text) measure(m futures.Measure, name int) {
	const number = 15
	l := fmt.Sprintf("  %-*s %*s", name, m.Name, number, reading(m.Value, m.Unit))
	indent := 2 + name + 1 + number + 2
	for i, what := range fold(m.What, wide-indent, "") {
		if i > 0 {
			l = ""
		}
		t.b.WriteString(strings.TrimRight(l+strings.Repeat(" ", max(2, indent-len([]rune(l))))+what, " ") + "\n")
	}
}

// reading writes a single measured value. One run is exact, so whole numbers
// are kept whole; what is not whole is cut to what a person can use.
func reading(v float64, unit string) string {
	switch {
	case missing(v):
		return none
	case isCurrency(unit):
		return quantity.FormatMoney(v, unit)
	case v == math.Trunc(v) || math.Abs(v) >= 100:
		return withUnit(quantity.FormatNumber(v, 0), unit)
	}
	return withUnit(trim(quantity.FormatNumber(v, 1)), unit)
}

func isCurrency(unit string) bool {
	if unit == "money" {
		return true
	}
	if len(unit) != 3 || unit == "CO2" {
		return false
	}
	return unit == strings.ToUpper(unit) && unit[0] >= 'A'
}

// storeRows gathers the measures of each store into a row and marks them used.
func storeRows(r *futures.Result, used []bool) *grid {
	g := &grid{heads: [][]string{{"store"}, {"lowest"}, {"highest"}, {"room"}, {"first full"}, {"first dry"}}}
	room := map[string]futures.Series{}
	for _, s := range r.Series {
		room[s.Store] = s
	}
	value := func(name string) (futures.Measure, bool) {
		for i, m := range r.Measures {
			if m.Name == name {
				used[i] = true
				return m, true
			}
		}
		return futures.Measure{Value: math.NaN()}, false
	}
	first := func(store, what string) string {
		y, ok := value(store + " " + what)
		at, timed := value(store + " " + what + " after")
		switch {
		case !ok:
			return none
		case y.Value == 0:
			return "never"
		case timed && !missing(at.Value):
			return clockAt(r.Start, at.Value)
		}
		return "yes"
	}
	for i, m := range r.Measures {
		store, ok := strings.CutPrefix(m.Name, "least ")
		if !ok {
			continue
		}
		used[i] = true
		peak, has := value("peak " + store)
		high := none
		if has {
			high = reading(peak.Value, peak.Unit)
		}
		full := none
		if s, ok := room[store]; ok && s.Room > 0 {
			full = reading(s.Room, s.Amount)
		}
		g.row(store, reading(m.Value, m.Unit), high, full, first(store, "full"), first(store, "dry"))
	}
	return g
}

// balance writes where the mass came from and went, in tonnes to the kilogram.
func (t *text) balance(b *futures.MassBalance) {
	t.gap()
	t.head("MASS BALANCE")
	g := &grid{heads: [][]string{{""}, {"t"}}}
	tonnes := func(v float64) string { return quantity.FormatNumber(v, 3) }
	block := func(total string, v float64, of map[string]float64) {
		g.row(total, tonnes(v))
		for _, name := range sortedBySize(of) {
			if of[name] != 0 {
				g.row("  "+name, tonnes(of[name]))
			}
		}
	}
	lost := 0.0
	for _, name := range sortedBySize(b.ByCause) {
		lost += b.ByCause[name]
	}
	block("in", b.In, b.BySource)
	block("out", b.Out, b.ByWay)
	block("in stores and on units", b.InStores, b.ByStore)
	block("lost or returned", lost, b.ByCause)
	g.row("difference", quantity.FormatNumber(b.Difference, 6))
	t.b.WriteString(g.String())
}

// sortedBySize are the keys, largest value first, by name among equals.
func sortedBySize(m map[string]float64) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := math.Abs(m[out[i]]), math.Abs(m[out[j]])
		return a > b || a == b && out[i] < out[j]
	})
	return out
}

// units writes the hours of every unit in the states that occur.
func (t *text) units(units futures.Units) {
	states := occurring(units)
	if len(states) == 0 {
		return
	}
	t.gap()
	t.head("UNITS, hours in each state; place-hours where a unit has places")
	g := &grid{heads: [][]string{{"unit"}}}
	for _, s := range states {
		g.heads = append(g.heads, []string{futures.StateNames[s]})
	}
	for _, u := range units {
		cells := []string{unitName(u)}
		for _, s := range states {
			cells = append(cells, hoursIn(u, s))
		}
		g.row(cells...)
	}
	t.b.WriteString(g.String())
}

func unitName(u futures.UnitHours) string {
	if u.Places > 1 {
		return fmt.Sprintf("%s (%d places)", u.Unit, u.Places)
	}
	return u.Unit
}

func hoursIn(u futures.UnitHours, s int) string {
	if s >= len(u.Hours) || u.Hours[s] == 0 {
		return none
	}
	if u.Hours[s] < 0.05 {
		return "<0.1"
	}
	if u.Hours[s] >= 1000 {
		return quantity.FormatNumber(u.Hours[s], 0)
	}
	return quantity.FormatNumber(u.Hours[s], 1)
}

// stateOrder is the order in which states are shown: work, waiting for others,
// own stops, planned.
var stateOrder = []string{"running", "slowed", "starved", "blocked", "down", "changeover", "maintenance", "off shift"}

// occurring are the numbers of the states that occur anywhere, in the order shown.
func occurring(units futures.Units) []int {
	var out []int
	for _, name := range stateOrder {
		for s, n := range futures.StateNames {
			if n != name {
				continue
			}
			for _, u := range units {
				if s < len(u.Hours) && u.Hours[s] != 0 {
					out = append(out, s)
					break
				}
			}
		}
	}
	return out
}

// account writes an account, largest lines first, the total last.
func (t *text) account(head string, lines []futures.Line, currency string) {
	if len(lines) == 0 {
		return
	}
	t.gap()
	t.head(head)
	g := &grid{heads: [][]string{{"line"}, {strings.TrimSpace(currency)}}}
	if currency == "" {
		g.heads[1][0] = "amount"
	}
	body := append([]futures.Line(nil), lines[:len(lines)-1]...)
	sort.SliceStable(body, func(i, j int) bool { return math.Abs(body[i].Amount) > math.Abs(body[j].Amount) })
	for _, l := range append(body, lines[len(lines)-1]) {
		if l.Amount != 0 || l.Name == "total" {
			g.row(l.Name, quantity.FormatNumber(math.Round(l.Amount), 0))
		}
	}
	t.b.WriteString(g.String())
}
