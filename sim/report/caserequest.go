package report

import (
	"bytes"
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/quantity"
)

// Request is what a written capital request says beside the answer: what was read
// from the case and its works. Options are in the order of the answer.
type Request struct {
	Extra
	Options []RequestOption
	Sources []Sourced   // what the case assumes
	Upsets  []UpsetRate // what goes wrong on its own in the works
}

// RequestOption is what the case says about an option.
type RequestOption struct {
	Note, Source  string
	Changes       []string // to the works, as written
	Pays, Running []RequestPayment
	Takes, Ramp   string // "" for at once
	Full          string // when all of the gain is had
	TieIns        []string
	Salvage       capitalcase.Money
	Safety, After string   // in the case's own words
	SafetyPoints  []string // of what the case must say on hazards, permits and crew: what it says
	AfterPoints   []string // the figure, where it is read, when, who signs
	Cautions      []string // of the kinds of upset that it changes, and of units it stops
}

// RequestPayment is money paid once, or every year, with where the figure comes from.
type RequestPayment struct {
	What   string
	Amount capitalcase.Money
	When   string
	Source string // "" for none given
}

// Sourced is an assumption with where it comes from.
type Sourced struct{ What, Source string }

// UpsetRate is how often a kind of upset comes and how long it lasts, as the works
// file says.
type UpsetRate struct{ Name, Unit, Every, Median, OneInTen, Longest, Source string }

//go:embed caserequest.html
var requestHTML string

//go:embed caserequest.css
var requestCSS string

var requestPage = newPage("request", requestHTML)

// sheet is a table of a page. The first column holds names; with Cards every row is a
// card of its own on a narrow screen.
type sheet struct {
	Label string
	Head  []string
	Rows  [][]string
	Total bool  // the last row is a sum
	Sums  []int // rows that add up those since the last sum
	Words bool  // the columns are words, not numbers
	Cards bool
	Lead  int // row to be marked, -1 for none
	Notes []string
}

// Body are the rows with what a row is.
func (s sheet) Body() (out []sheetRow) {
	for i, r := range s.Rows {
		row := sheetRow{Name: r[0]}
		switch {
		case s.Total && i == len(s.Rows)-1, slices.Contains(s.Sums, i):
			row.Class = "total"
		case i == s.Lead:
			row.Class = "lead"
		}
		for k, c := range r[1:] {
			row.Cells = append(row.Cells, tableCell{s.Head[k+1], c})
		}
		out = append(out, row)
	}
	return out
}

// Class is the class of the table.
func (s sheet) Class() string {
	c := "board"
	if s.Cards {
		c += " plans"
	}
	if len(s.Head) > 0 && s.Head[0] == "year" {
		c += " years"
	}
	if s.Words {
		c += " wordy"
	}
	return c
}

type sheetRow struct {
	Class, Name string
	Cells       []tableCell
}

// requestView is what the page shows, in its order.
type requestView struct {
	Title, Setting, PlanningAid string
	CSS                         template.CSS
	Verdict                     []string
	Options                     sheet
	Need                        needView
	Choices                     []choiceView
	Timing                      sheet
	Flows                       []flowView
	NoSensitivity               string
	Measures                    sheet
	Notes                       []string
	Tornados                    []tornado
	Flips                       []string
	Risks                       []figure
	Risk                        sheet
	Warnings                    []string
	Safety, After               []pointView
	Assumed, Works              sheet
	Command                     string
	Recipe                      []string
	Files                       []File
}

type needView struct {
	Text    []string
	Book    sheet
	Shown   string // the option that the picture shows beside what is
	Picture *figure
	Lost    sheet
	Units   sheet
}

type choiceView struct {
	Title, Note string
	Points      []string
	Pays        sheet
}

type flowView struct {
	Title   string
	TieIn   string
	Picture figure
	Table   sheet
	Gain    sheet
}

type pointView struct {
	Title  string
	Points []string
}

// CaseHTML writes the capital request as one page that needs nothing else: no file, no
// network, no script. It is well-formed XML too. Amounts are whole units of the
// currency; totals are sums of what is printed.
func CaseHTML(a *capitalcase.Answer, r Request) ([]byte, error) {
	if err := checkRequest(a, r); err != nil {
		return nil, err
	}
	v := requestView{Title: r.Title, PlanningAid: planningAid, CSS: template.CSS(pageCSS + requestCSS), Setting: sentence(caseSetting(a)),
		Command: r.Command, Files: r.Files, Warnings: sentences(a.Warnings)}
	if v.Title == "" {
		v.Title = a.Case
	}
	v.Title = "Capital request: " + v.Title
	v.Verdict = requestVerdict(a)
	v.Options = optionSheet(a)
	v.Need = need(a)
	for i := range a.Options {
		v.Choices = append(v.Choices, choice(a, r, i))
		if i > 0 {
			v.Flows = append(v.Flows, flowOf(a, i))
		}
	}
	v.Measures, v.Notes = measureSheet(a)
	if len(a.Tornado) > 0 {
		v.Tornados = append(v.Tornados, tornado{tornadoPicture(a, a.Tornado), tornadoSheet(a, a.Tornado)})
	}
	if len(a.TornadoProposal) > 0 {
		v.Tornados = append(v.Tornados, tornado{tornadoPicture(a, a.TornadoProposal), tornadoSheet(a, a.TornadoProposal)})
	}
	v.NoSensitivity = noSensitivities(a)
	v.Timing = timingSheet(a, r)
	v.Flips = sentences(flips(a))
	v.Risks, v.Risk = riskPictures(a), riskSheet(a)
	v.Safety, v.After = people(a, r)
	v.Assumed, v.Works = assumedSheet(a, r), upsetSheet(r)
	v.Recipe = []string{fmt.Sprintf("Fingerprint %s, seed %d, version %s.", a.Fingerprint, a.Seed, r.Version)}
	var b bytes.Buffer
	if err := requestPage.Execute(&b, &v); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	return b.Bytes(), nil
}

func checkRequest(a *capitalcase.Answer, r Request) error {
	switch {
	case a == nil || len(a.Options) < 2:
		return errors.New("report: a request needs an answer with two options or more")
	case a.Best < 0 || a.Best >= len(a.Options):
		return fmt.Errorf("report: the best of %d options is number %d", len(a.Options), a.Best)
	case len(r.Options) != len(a.Options):
		return fmt.Errorf("report: the answer has %d options, the request tells of %d", len(a.Options), len(r.Options))
	}
	return nil
}

// units are whole units of the currency.
func units(a *capitalcase.Answer) scale { return scale{1, a.Currency} }

func named(a *capitalcase.Answer, i int) string { return letter(i) + " " + a.Options[i].Name }

// requestVerdict is the verdict with what would change it and where the gain comes
// from, for somebody who reads no further.
func requestVerdict(a *capitalcase.Answer) []string {
	out := []string{sentence(a.Verdict)}
	o := &a.Options[shownOption(a)]
	if o.TailShare != nil {
		out = append(out, fmt.Sprintf("%s of the gain of %s comes from the longest tenth of stops.", quantity.FormatShare(*o.TailShare), quoted(o.Name)))
	}
	for _, f := range a.Flips {
		if f.Found && (a.Decided || f.Becomes == a.Options[0].Name) {
			out = append(out, fmt.Sprintf("The answer changes with %s: at %s %s becomes the best.", f.What, f.Text, quoted(f.Becomes)))
			break
		}
	}
	if len(a.Flips) > 0 && !anyFlip(a) {
		out = append(out, "No assumption that was varied changes the answer within its range.")
	}
	return out
}

func anyFlip(a *capitalcase.Answer) bool {
	for _, f := range a.Flips {
		if f.Found {
			return true
		}
	}
	return false
}

func optionSheet(a *capitalcase.Answer) sheet {
	u := units(a)
	s := sheet{Label: "Options side by side", Cards: true, Lead: a.Best, Head: []string{"option", "net present value, " + a.Currency, "95 % interval of the mean", "chance above zero",
		"rate of return a year", "paid back after", "the same, discounted", "gain a year, " + a.Currency}}
	for i := range a.Options {
		o := &a.Options[i]
		if i == 0 {
			s.Rows = append(s.Rows, []string{named(a, i), "0", none, none, none, none, none, none})
			continue
		}
		s.Rows = append(s.Rows, []string{named(a, i), worth(o, u), u.span(o.NPV.Low, o.NPV.High), quantity.FormatShare(o.ChancePositive), rates(o), yearsText(o.PaybackSimple), yearsText(o.PaybackDiscounted), u.text(o.Gain.Mean)})
	}
	s.Notes = append([]string{"Everything is counted against " + quoted(a.Options[0].Name) + ", over the same years of the same futures. Positive is better."}, optionNotes(a)...)
	return s
}

func need(a *capitalcase.Answer) (v needView) {
	b := a.Options[0].Baseline
	if t := bookText(a); t != "" {
		v.Text = append(v.Text, t)
		v.Book = sheet{Label: "What is ordered", Head: []string{"product", "ordered, t a week", "could be made, t a week", "beside it, t a week"}, Rows: bookRows(a.Book), Total: true, Lead: -1,
			Notes: []string{"What could be made is what the limiting unit lets through at the mix of the works, its own stops and planned work taken off."}}
	}
	if b == nil || len(b.Lost) == 0 {
		v.Text = append(v.Text, "No baseline was played.")
		return v
	}
	limit := b.Limit
	v.Text = append(v.Text, fmt.Sprintf("As it is, the works sends out %s t a year. The tonnes lost are counted on %s, where %s t go through in every hour at work.",
		quantity.FormatNumber(b.Dispatched, 0), theUnit(limit), quantity.FormatNumber(b.PerHour, 0)))
	if w := limitedBy(a); w != "" {
		every := make([]int, len(a.Options))
		for i := range every {
			every[i] = i
		}
		v.Text = append(v.Text, w, limitsText(a, every))
	} else {
		v.Text = append(v.Text, "It is the single unit on the main route that waits least for others.")
	}
	v.Text = append(v.Text, fmt.Sprintf("The baseline is a delay log of %s of operation in each of %s, computed and not measured: hold it against the delay log of the works, of three to six months or more, before anybody signs.",
		plural(a.Years, "year", "years"), plural(a.Futures, "future", "futures")))
	f := lossPicture(a)
	v.Picture, v.Shown = &f, named(a, shownOption(a))
	v.Lost = lostSheet(a)
	v.Units = unitSheet(a, b)
	return v
}

// lostOf is the loss to a cause under an option.
func lostOf(b *capitalcase.Baseline, l capitalcase.Loss) float64 {
	if b == nil {
		return 0
	}
	for _, x := range b.Lost {
		if x.Cause == l.Cause && x.Group == l.Group {
			return x.Tonnes
		}
	}
	return 0
}

func lostSheet(a *capitalcase.Answer) sheet {
	b := a.Options[0].Baseline
	s := sheet{Label: "Lost tonnes by cause", Head: []string{"cause, on " + b.Limit, "t a year", "h a year", "how it is counted"}, Total: true, Lead: -1}
	rows, sum := lossRows(b, 14)
	for _, r := range append(rows, sum) {
		s.Rows = append(s.Rows, []string{r.cause, count(r.tonnes), tenth(r.tenths), r.group})
	}
	s.Notes = []string{"A stand is put down to the stop under way on the unit, by the name the works file gives it. Waiting is put down in equal parts to the stops under way on units before it (nothing to work on), behind it (no room) or of the same mill; where there are none, to the planned work it waits for, or to the unit whose piece is not ready." +
		notOrderedNote(a) + " Hours below its pace count as hours at work; hours of the places of a unit are added up."}
	return s
}

// notOrderedNote says what is counted as not ordered, where that can be.
func notOrderedNote(a *capitalcase.Answer) string {
	if a.SoldOut {
		return ""
	}
	return " Waiting with nothing standing before the unit counts as not ordered when the furnaces are not full or the casters idle, or do no more than cast what is ordered."
}

func unitSheet(a *capitalcase.Answer, b *capitalcase.Baseline) sheet {
	s := sheet{Label: "Hours of the units", Lead: -1, Head: []string{"unit, hours a year"}}
	order := make([]int, 0, len(stateOrder))
	for _, w := range stateOrder {
		for k, n := range stateWords() {
			used := false
			for i := range b.Units {
				used = used || n == w && b.Units[i].Hours[k] >= 0.05
			}
			if used {
				order = append(order, k)
				s.Head = append(s.Head, w)
			}
		}
	}
	for i := range b.Units {
		u := &b.Units[i]
		name := u.Unit
		if u.Places > 1 {
			name = fmt.Sprintf("%s (%d places)", name, u.Places)
		}
		row := []string{name}
		for _, k := range order {
			row = append(row, quantity.FormatNumber(u.Hours[k], 0))
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

func choice(a *capitalcase.Answer, r Request, i int) choiceView {
	o := &r.Options[i]
	v := choiceView{Title: named(a, i), Note: sentence(o.Note)}
	if role := a.Options[i].Role; role != "" && role != a.Options[i].Name {
		v.Title += " (" + role + ")"
	}
	for _, c := range o.Changes {
		v.Points = append(v.Points, "Changes: "+c)
	}
	if o.Takes != "" {
		v.Points = append(v.Points, sentence("Works "+o.Takes+" after the decision"))
	}
	if o.Ramp != "" {
		v.Points = append(v.Points, sentence("Ramp: "+o.Ramp))
	}
	for _, t := range o.TieIns {
		v.Points = append(v.Points, sentence("Stop for building it in: "+t))
	}
	if i > 0 && len(o.TieIns) == 0 {
		v.Points = append(v.Points, "No stop for building it in is counted.")
	}
	if i == 0 && len(o.Running) == 0 {
		v.Points = append(v.Points, "No cost of its own is in the case, and nothing grows old: stops come as often and last as long in the last year as in the first. Where going on as it is grows dearer, write it as running cost of this option.")
	}
	if o.Source != "" {
		v.Points = append(v.Points, "Source: "+o.Source)
	}
	v.Pays = paySheet(a, o)
	return v
}

// paySheet lists what is paid once, and what every year.
func paySheet(a *capitalcase.Answer, o *RequestOption) sheet {
	s := sheet{Label: "What is paid", Head: []string{"paid for", a.Currency, "when", "source"}, Cards: true, Lead: -1}
	once, yearly := capitalcase.Money(0), capitalcase.Money(0)
	u := units(a)
	for _, p := range o.Pays {
		once += p.Amount
		s.Rows = append(s.Rows, []string{p.What, u.text(p.Amount), p.When, source(p.Source)})
	}
	if len(o.Pays) > 1 {
		s.Sums = append(s.Sums, len(s.Rows))
		s.Rows = append(s.Rows, []string{"paid once, in all", u.text(once), none, none})
	}
	for _, p := range o.Running {
		yearly += p.Amount
		s.Rows = append(s.Rows, []string{p.What, u.text(p.Amount), "every year", source(p.Source)})
	}
	if len(o.Running) > 1 {
		s.Sums = append(s.Sums, len(s.Rows))
		s.Rows = append(s.Rows, []string{"every year, in all", u.text(yearly), none, none})
	}
	if len(o.Pays) > 0 && !slices.ContainsFunc(o.Pays, func(p RequestPayment) bool { return strings.Contains(strings.ToLower(p.What), "contingency") }) {
		s.Notes = append(s.Notes, "No line is called contingency; 5 to 10 % of what is paid is often added (common practice, no source).")
	}
	if o.Salvage != 0 {
		s.Rows = append(s.Rows, []string{"received for it at the end of the life", u.text(-o.Salvage), "at the end", source(o.Source)})
	}
	return s
}

// timingSheet says when what happens, as the case says.
func timingSheet(a *capitalcase.Answer, r Request) sheet {
	s := sheet{Label: "Timing", Head: []string{"option", "money is paid", "stops for building it in", "works after", "ramp", "all of the gain after"}, Words: true, Cards: true, Lead: -1}
	or := func(s, other string) string {
		if s == "" {
			return other
		}
		return s
	}
	u := units(a)
	for i := 1; i < len(a.Options); i++ {
		o := &r.Options[i]
		var paid []string
		for _, p := range o.Pays {
			paid = append(paid, u.text(p.Amount)+" "+a.Currency+" "+p.When)
		}
		s.Rows = append(s.Rows, []string{named(a, i), or(strings.Join(paid, "; "), "nothing once"), or(strings.Join(o.TieIns, "; "), "none in the case"),
			or(o.Takes, "at once"), or(o.Ramp, "none"), or(o.Full, "at once")})
	}
	s.Notes = []string{"Times count from the day of the decision. Nothing is gained before it works; what is paid and lost before stands in the flows."}
	return s
}

func source(s string) string {
	if s == "" {
		return "no source given"
	}
	return s
}

func flowOf(a *capitalcase.Answer, i int) flowView {
	o := &a.Options[i]
	u := units(a)
	used := usedLines(o)
	s := sheet{Label: "Cash flow of " + o.Name, Head: []string{"year"}, Total: true, Lead: -1}
	for _, l := range used {
		s.Head = append(s.Head, capitalcase.LineNames[l])
	}
	s.Head = append(s.Head, "total, "+a.Currency, "in 8 of 10 futures between", "discounted", "sum so far")
	rows, sum := flowRows(o, u)
	put := func(name string, r *flowRow, last string) {
		cells := []string{name}
		for _, l := range used {
			cells = append(cells, count(r.lines[l]))
		}
		span := none
		if r.low != r.high {
			span = u.span(r.low, r.high)
		}
		s.Rows = append(s.Rows, append(cells, count(r.total), span, count(r.discounted), last))
	}
	for k := range rows {
		put(strconv.Itoa(rows[k].year), &rows[k], count(rows[k].cumulative))
	}
	put("total", &sum, none)
	s.Notes = []string{fmt.Sprintf("Mean over futures, whole %s, change against %s; year 0 is the day of the decision, everything else stands at the end of its year. The total of the discounted column is the net present value at %s a year.",
		a.Currency, quoted(a.Options[0].Name), quantity.FormatShare(a.Discount))}
	v := flowView{Title: named(a, i), Picture: flowPicture(a, i), Table: s, TieIn: tieInText(a, i)}
	v.Gain = sheet{Label: "Gain of " + o.Name + " by line", Head: []string{"gain in the works a year, by line of its account", a.Currency}, Total: true, Lead: -1}
	total := capitalcase.Money(0)
	for _, l := range o.GainBy {
		total += l.Amount
		v.Gain.Rows = append(v.Gain.Rows, []string{l.Name, u.text(l.Amount)})
	}
	v.Gain.Rows = append(v.Gain.Rows, []string{"total", u.text(total)})
	return v
}

func measureSheet(a *capitalcase.Answer) (sheet, []string) {
	u := units(a)
	s := sheet{Label: "Measures", Cards: true, Lead: a.Best, Head: []string{"option", "net present value, " + a.Currency, "worth the same every year, " + a.Currency, "its 95 % interval", "rate of return a year",
		"paid back after", "the same, discounted"}}
	var notes []string
	for i := 1; i < len(a.Options); i++ {
		o := &a.Options[i]
		s.Rows = append(s.Rows, []string{named(a, i), worth(o, u), u.text(o.EquivalentAnnual.Mean), u.span(o.EquivalentAnnual.Low, o.EquivalentAnnual.High), rates(o), yearsText(o.PaybackSimple), yearsText(o.PaybackDiscounted)})
		if n := rateNote(o); n != "" {
			notes = append(notes, sentence(letter(i)+": "+n))
		}
		if o.PaybackNote != "" {
			notes = append(notes, sentence(letter(i)+": "+o.PaybackNote))
		}
	}
	s.Lead-- // the first option has no row
	s.Notes = []string{fmt.Sprintf("Discounted at %s a year over %s; rank options by net present value. Paybacks are counted from the decision, of the mean flow.", quantity.FormatShare(a.Discount), plural(a.Life, "year", "years"))}
	return s, notes
}

// rateNote says what to make of a rate of return that is not one above nothing.
func rateNote(o *capitalcase.Outcome) string {
	switch {
	case len(o.IRR) == 1 && o.IRR[0] <= 0:
		return "no rate of return above 0: over the life less comes back than is paid"
	case len(o.IRR) == 1:
		return ""
	case len(o.IRR) > 1:
		var parts []string
		for _, r := range o.IRR {
			parts = append(parts, rate(r))
		}
		return "rates of return " + list(parts) + "; " + o.IRRNote
	}
	return o.IRRNote
}

// tornado is the picture of one option's bars with its table.
type tornado struct {
	Picture figure
	Table   sheet
}

func tornadoSheet(a *capitalcase.Answer, bars []capitalcase.Bar) sheet {
	u := units(a)
	s := sheet{Label: "Sensitivities", Cards: true, Lead: -1, Head: []string{"assumption", "low end", "net present value then, " + a.Currency, "high end", "net present value then, " + a.Currency, "how it was found"}}
	for _, b := range bars {
		s.Rows = append(s.Rows, []string{b.What, b.LowText, u.text(b.Low), b.HighText, u.text(b.High), howFound(b, u)})
	}
	s.Notes = []string{"Net present value of " + quoted(bars[0].Option) + " against " + quoted(a.Options[0].Name) + ". " + luckNote(a)}
	return s
}

func riskSheet(a *capitalcase.Answer) sheet {
	u := units(a)
	s := sheet{Label: "Risk", Cards: true, Lead: -1, Head: []string{"option", "chance above zero", "one future in ten is below, " + a.Currency, "mean, " + a.Currency, "one in ten is above, " + a.Currency}}
	tails := anyTail(a)
	if tails {
		s.Head = append(s.Head, "of the gain, from the longest stops")
	}
	for i := 1; i < len(a.Options); i++ {
		o := &a.Options[i]
		row := []string{named(a, i), quantity.FormatShare(o.ChancePositive), u.text(o.NPV.P10), worth(o, u), u.text(o.NPV.P90)}
		if tails {
			row = append(row, tailShare(o))
		}
		s.Rows = append(s.Rows, row)
	}
	s.Notes = append(spreadNotes(a), fmt.Sprintf("The chance is the share of the %s in which the net present value is above zero.", plural(a.Futures, "future", "futures")))
	for i := 1; i < len(a.Options); i++ {
		if p := a.Options[i].Pairing; p > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("%s and %s met the same stops at the same operating ages; had each met stops of its own, the interval of the gain would be %s times as wide.",
				letter(0), letter(i), quantity.FormatNumber(1/p, 1)))
		}
	}
	s.Notes = append(s.Notes, "Price and volume are taken as independent: prices stay as they are in every future. In a slump both fall together, and a gain in tonnes is worth less just when it is hardest to sell; the bars of contribution and demand show each alone, the truth of a slump is both at once.")
	if len(a.Tornado) == 0 {
		n := len(s.Notes) - 1
		s.Notes[n] = "Price and volume are taken as independent: prices stay as they are in every future. In a slump both fall together, and a gain in tonnes is worth less just when it is hardest to sell."
	}
	return s
}

// people says what is said on safety, and what is looked at afterwards.
func people(a *capitalcase.Answer, r Request) (safety, after []pointView) {
	for i := range r.Options {
		o := &r.Options[i]
		var points []string
		if o.Safety != "" {
			points = append(points, sentence(o.Safety))
		}
		points = append(points, sentences(o.SafetyPoints)...)
		points = append(points, sentences(o.Cautions)...)
		if i > 0 && o.Safety == "" && len(o.SafetyPoints) == 0 {
			points = append(points, "The case says nothing on changed hazards, permits and crew. Write it down (safety = { hazards, permits, crew }) before anybody signs.")
		}
		if len(points) > 0 {
			safety = append(safety, pointView{named(a, i), points})
		}
		switch {
		case i == 0 && o.After == "" && len(o.AfterPoints) == 0:
		case o.After != "":
			after = append(after, pointView{named(a, i), []string{sentence(o.After), "To be settled where this does not say it: the figure, where it is read, when, and who signs."}})
		case len(o.AfterPoints) > 0:
			after = append(after, pointView{named(a, i), sentences(o.AfterPoints)})
		default:
			after = append(after, pointView{named(a, i), []string{"The case names no test. Before it is signed, write down the figure, where it is read, when, and who signs (test_after = { figure, read, when, signs })."}})
		}
	}
	return safety, after
}

func assumedSheet(a *capitalcase.Answer, r Request) sheet {
	s := sheet{Label: "Assumptions", Words: true, Lead: -1, Head: []string{"assumption", "where it comes from"}}
	for _, row := range assumedRows(a, r) {
		s.Rows = append(s.Rows, []string{row.What, row.Source})
	}
	return s
}

// assumedRows are all assumptions of the request with their provenance.
func assumedRows(a *capitalcase.Answer, r Request) []Sourced {
	out := append([]Sourced(nil), r.Sources...)
	for i := range out {
		out[i].Source = source(out[i].Source)
	}
	out = append(out, Sourced{"discount rate " + quantity.FormatShare(a.Discount) + " a year", "the case; use the company's own"})
	demand := "everything made can be sold"
	if !a.SoldOut {
		demand = "only what is ordered is sold"
	}
	out = append(out, Sourced{"demand: " + demand, "the case"},
		Sourced{fmt.Sprintf("money is counted for %s from the decision", plural(a.Life, "year", "years")), "the case"})
	u := units(a)
	for i := range r.Options {
		for _, p := range r.Options[i].Pays {
			out = append(out, Sourced{letter(i) + ": " + p.What + ", " + u.text(p.Amount) + " " + a.Currency, source(p.Source)})
		}
		for _, p := range r.Options[i].Running {
			out = append(out, Sourced{letter(i) + ": " + p.What + ", " + u.text(p.Amount) + " " + a.Currency + " a year", source(p.Source)})
		}
		for _, c := range r.Options[i].Changes {
			out = append(out, Sourced{letter(i) + ": " + c, source(r.Options[i].Source)})
		}
		if t := r.Options[i].Takes; t != "" {
			out = append(out, Sourced{letter(i) + ": works " + t + " after the decision", source(r.Options[i].Source)})
		}
		if t := r.Options[i].Ramp; t != "" {
			out = append(out, Sourced{letter(i) + ": ramp, " + t, source(r.Options[i].Source)})
		}
		for _, t := range r.Options[i].TieIns {
			out = append(out, Sourced{letter(i) + ": stop for building it in, " + t, source(r.Options[i].Source)})
		}
		if m := r.Options[i].Salvage; m != 0 {
			out = append(out, Sourced{letter(i) + ": sold at the end of the life, " + u.text(m) + " " + a.Currency, source(r.Options[i].Source)})
		}
	}
	if b := a.Book; b != nil {
		out = append(out, Sourced{fmt.Sprintf("%s t ordered a week, %s before they are due", count(int64(b.Ordered)), plural(int(b.DaysAhead+0.5), "day", "days")), "the case"},
			Sourced{fmt.Sprintf("%s t a week could be made", count(int64(b.CanMake))), "computed from the works file: equipment, mix, planned work and stops"})
	}
	for _, b := range a.Tornado {
		out = append(out, Sourced{"range of " + b.What + ": " + b.LowText + " to " + b.HighText, "common practice, no source"})
	}
	for _, x := range r.Assumptions {
		out = append(out, Sourced{x, "how it is computed"})
	}
	return out
}

func upsetSheet(r Request) sheet {
	s := sheet{Label: "Upsets of the works", Words: true, Lead: -1, Head: []string{"upset", "unit", "one every", "half last less than", "one in ten lasts more than", "none lasts more than", "source"}}
	for _, x := range r.Upsets {
		s.Rows = append(s.Rows, []string{x.Name, x.Unit, x.Every, x.Median, x.OneInTen, cmp.Or(x.Longest, "not limited"), source(x.Source)})
	}
	return s
}
