package report

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/measure"
)

var renew = flag.Bool("renew-case", false, "write the golden files of capital cases again")

// caseSample is a small answer made by hand: three options, four futures, three years
// at 10 %. Present worths are rounded as they come; sums are sums of what is shown.
func caseSample() *capitalcase.Answer {
	share := 0.82
	years := func(v float64) *float64 { return &v }
	flow := func(paid, running, gain capitalcase.Money) (out []capitalcase.YearFlow, npv capitalcase.Money) {
		sum := capitalcase.Money(0)
		for y := range 4 {
			r := capitalcase.YearFlow{Year: y}
			if y == 0 {
				r.Lines[capitalcase.LineCapital] = paid
			} else {
				r.Lines[capitalcase.LineRunning], r.Lines[capitalcase.LineGain] = running, gain+capitalcase.Money(101*y)
			}
			for _, m := range r.Lines {
				r.Total += m
			}
			r.Discounted = capitalcase.Money(math.Round(float64(r.Total) / math.Pow(1.1, float64(y))))
			sum += r.Total
			npv += r.Discounted
			r.Cumulative, r.CumulativeLow, r.CumulativeHigh = sum, sum-capitalcase.Money(200_000*y), sum+capitalcase.Money(300_000*y)
			r.Low, r.High = r.Total, r.Total
			if y > 0 {
				r.Low, r.High = r.Total-200_000, r.Total+300_000
			}
			out = append(out, r)
		}
		return out, npv
	}
	base := func(less float64) *capitalcase.Baseline {
		b := &capitalcase.Baseline{Dispatched: 4_289_931, Limit: "finishing train", PerHour: 560}
		for _, l := range []capitalcase.Loss{
			{Cause: "roll change", Group: capitalcase.PlannedOff, Hours: 378.25}, {Cause: "stand wreck", Group: capitalcase.OwnStops, Hours: 96.4 - less},
			{Cause: "nothing more ordered", Group: capitalcase.NotOrdered, Hours: 51.3}, {Cause: "furnace trip, F1", Group: capitalcase.OtherStops, Hours: 12.4},
		} {
			l.Tonnes = l.Hours * b.PerHour
			b.Lost = append(b.Lost, l)
		}
		b.Units = []capitalcase.UnitYear{{Unit: "furnace F1", Places: 31, Passed: 2e6}, {Unit: "finishing train", Places: 1, Passed: 4.3e6,
			Hours: [measure.NStates]float64{0, 312, 96.4 - less, 378.25, 12.4, 51.3, 7909.65, 0}}}
		b.Upsets = []capitalcase.UpsetCount{{Name: "stand wreck", Unit: "finishing train", Count: 6.5, Hours: 96.4 - less}}
		return b
	}
	a := &capitalcase.Answer{Case: "Spare parts", Currency: "EUR", Seed: 1, Futures: 4, Wanted: 4, Years: 3, Life: 3, Discount: 0.1, SoldOut: true, Best: 2,
		Verdict: `Yes: "a whole stand's worth of spare parts, kept in the bay" is worth 1.0 million EUR against "carry on" (95 % interval 0.4 million EUR to 1.6 million EUR).`,
		Decided: true, Bottleneck: capitalcase.Moves{Before: "finishing train", After: "rougher"}, Fingerprint: "0123456789abcdef",
		Warnings: []string{"the worth of one option is skewed over futures"},
		Flips: []capitalcase.Flip{{What: "contribution per tonne", Factor: 0.61, Text: "x 0.61", Becomes: "carry on", Found: true},
			{What: "gas and fuel price", Text: "no change of the answer between x 0.25 and x 4.00"}},
	}
	a.SoldOut, a.Book = false, capitalcase.NewBook([]capitalcase.Product{{Name: "P1", What: "2.0 x 1000 mm", Share: 1}, {Name: "P2", Share: 1}, {Name: "P3", Share: 1}}, 65_000, 81_000, 28)
	limits := []capitalcase.Limit{{Unit: "finishing train", Share: 0.61}, {Unit: "rougher", Share: 0.22}}
	a.Options = []capitalcase.Outcome{{Name: "carry on", Role: "do nothing", IRR: []float64{}, IRRNote: "no money flows", Baseline: base(0), Limits: limits}}
	for i, o := range []struct {
		name, role    string
		paid, running capitalcase.Money
		gain          capitalcase.Money
	}{{"chocks and spindles", "do less", -600_499, -20_500, 300_499}, {"a whole stand's worth of spare parts, kept in the bay", "proposal", -1_600_500, -50_500, 1_100_499}} {
		f, npv := flow(o.paid, o.running, o.gain)
		x := capitalcase.Outcome{Name: o.name, Role: o.role, Flow: f, IRR: []float64{0.0801 + 0.32*float64(i)}, PaybackSimple: years(2.1), PaybackNote: "", ChancePositive: 0.75, Pairing: 0.21,
			Gain: capitalcase.Spread{Mean: 300_499, Low: 100, High: 700_000}, GainBy: []capitalcase.LineGainOf{{Name: "margin", Amount: 310_499}, {Name: "fuel", Amount: -10_000}},
			Baseline: base(30 * float64(i+1)), Limits: limits, EquivalentAnnual: capitalcase.Spread{Mean: npv / 3, Low: npv/3 - 1000, High: npv/3 + 1000}}
		x.NPV = capitalcase.Spread{Mean: npv, Low: npv - 600_123, High: npv + 600_123, P10: npv - 900_000, P90: npv + 1_400_000}
		x.Values = []capitalcase.Money{npv - 1_000_000, npv - 200_000, npv - 100_000, npv + 1_300_000}
		if i == 0 {
			x.TieIn = &capitalcase.TieIn{Futures: 4, Days: 33, Mean: -12_000, Low: -90_000, High: 66_000}
		}
		if i == 1 {
			x.TailShare, x.PaybackDiscounted = &share, years(2.6)
		}
		a.Options = append(a.Options, x)
	}
	n := a.Options[2].NPV.Mean
	for _, b := range []capitalcase.Bar{{What: "contribution per tonne", LowText: "x 0.80", HighText: "x 1.20", Low: n - 900_000, High: n + 900_000},
		{What: "demand", LowText: "80 % of what the works can make", HighText: "everything can be sold", Low: n - 800_000, High: n, Replayed: true, Luck: 210_000},
		{What: "what is paid", LowText: "x 0.80", HighText: "x 1.30", Low: n + 320_100, High: n - 480_150},
		{What: "how long stops last", LowText: "x 0.70", HighText: "x 1.30", Low: n - 100_000, High: n - 30_000, Replayed: true, Luck: 90_000}} {
		b.Option = a.Options[2].Name
		a.Tornado = append(a.Tornado, b)
	}
	return a
}

func requestSample() Request {
	r := Request{Extra: Extra{Title: "Spare parts", Command: "millrace case spare.lua --seed 1", Version: "0", Files: []File{{"spare.lua", strings.Repeat("ab", 32)}},
		Assumptions: []string{"money at year ends"}}}
	r.Sources = []Sourced{{"half of the long wrecks wait for parts", "invented"}, {"=1+1 is no formula", ""}}
	r.Options = []RequestOption{{Note: "parts are ordered when something breaks"},
		{Pays: []RequestPayment{{"two spindles", 600_499, "at the decision", "from memory"}}, Running: []RequestPayment{{"store", 20_500, "", "invented"}}, Takes: "9 months"},
		{Note: "everything <that> breaks & more", Changes: []string{"upset stand wreck: lasts = lognormal { median = 10 h }"},
			Pays: []RequestPayment{{"chocks", 600_500, "at the decision", "from memory"}, {"motor", 1_000_000, "at the decision", ""}}, Running: []RequestPayment{{"store", 50_500, "", ""}},
			TieIns: []string{"finishing train for 24 h, after 9 months"}, Ramp: "50 % of the gain for 3 months", Safety: "heavy lifts beside the train", After: "wrecks longer than a shift",
			Cautions: []string{"Stand wreck: isolate, lock, tag. Site rules decide."}, Source: "invented"}}
	r.Upsets = []UpsetRate{{"stand wreck", "finishing train", "270 d of operation", "12 h", "48 h", "7 d", "from memory"}}
	return r
}

func page4(t *testing.T) string {
	t.Helper()
	b, err := CaseHTML(caseSample(), requestSample())
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// TestWriteRequest writes the sample where REPORT_OUT says, to be looked at.
func TestWriteRequest(t *testing.T) {
	dir := os.Getenv("REPORT_OUT")
	if dir == "" {
		t.Skip("writes a request to look at and checks nothing; set REPORT_OUT to a folder")
	}
	book, err := CaseWorkbook(caseSample(), requestSample())
	if err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string][]byte{"request.html": []byte(page4(t)), "request.xlsx": book} {
		if err := os.WriteFile(dir+"/"+name, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestCaseGolden(t *testing.T) {
	for name, got := range map[string]string{"case.txt": Case(caseSample(), requestSample().Extra), "case.html": page4(t)} {
		file := "testdata/" + name
		if *renew {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs; look at it, then go test ./sim/report -renew-case", file)
		}
	}
}

func TestCaseTextIsNarrow(t *testing.T) {
	a := caseSample()
	a.Options[2].Name = strings.Repeat("a very long name of an option ", 6)
	for i := range a.Options[2].Flow {
		for l := range a.Options[2].Flow[i].Lines {
			a.Options[2].Flow[i].Lines[l] = -98_765_432 + capitalcase.Money(i)
		}
	}
	for n, l := range strings.Split(Case(a, requestSample().Extra), "\n") {
		if utf8.RuneCountInString(l) > 100 {
			t.Errorf("line %d has %d columns: %s", n+1, utf8.RuneCountInString(l), l)
		}
	}
}

// number reads a figure as it is printed; false for anything else.
func number(s string) (float64, bool) {
	if !regexp.MustCompile(`^-?[\d,]+(\.\d+)?$`).MatchString(s) {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
	return v, err == nil
}

// textTables are the tables of a text that end in a total: cells by row, a table a slice.
func textTables(text string) (out [][][]string) {
	var rows [][]string
	for _, l := range strings.Split(text, "\n") {
		if l == "" || strings.HasPrefix(l, "  ") {
			rows = nil
			continue
		}
		cells := regexp.MustCompile(`\s{2,}`).Split(strings.TrimSpace(l), -1)
		if _, ok := number(cells[len(cells)-1]); !ok && len(cells) > 1 {
			_, ok = number(cells[1])
			if !ok {
				rows = nil // heads
				continue
			}
		}
		rows = append(rows, cells)
		if cells[0] == "total" {
			out = append(out, rows)
			rows = nil
		}
	}
	return out
}

// wideSample has every line of a flow in use, so that its table is written in two.
func wideSample() *capitalcase.Answer {
	a := caseSample()
	for k := range a.Options {
		o := &a.Options[k]
		sum, worth := capitalcase.Money(0), capitalcase.Money(0)
		for y := range o.Flow {
			f := &o.Flow[y]
			f.Total = 0
			for l := range f.Lines {
				f.Lines[l] += capitalcase.Money(123_456_7 * (y + 1) * (l - 2))
				f.Total += f.Lines[l]
			}
			sum += f.Total
			f.Discounted, f.Cumulative = f.Total-capitalcase.Money(y), sum
			worth += f.Discounted
		}
		o.NPV.Mean = worth
	}
	return a
}

// TestTextAddsUp adds up every table that ends in a total, as it is printed: every
// column against its total, the lines of a year against the total of the year, the sum so
// far against the totals above, and the net present value against the discounted years.
func TestTextAddsUp(t *testing.T) {
	for name, a := range map[string]*capitalcase.Answer{"sample": caseSample(), "every line": wideSample()} {
		text := Case(a, requestSample().Extra)
		tables := textTables(text)
		flows := 0
		for _, table := range tables {
			total := table[len(table)-1]
			for c := 1; c < len(total); c++ {
				want, ok := number(total[c])
				if !ok {
					continue
				}
				sum := 0.0
				for _, r := range table[:len(table)-1] {
					if v, ok := number(r[c]); ok {
						sum += v
					}
				}
				if math.Abs(sum-want) > 1e-6 {
					t.Errorf("%s: column %d adds up to %v, printed %v:\n%v", name, c, sum, want, table)
				}
			}
			if table[0][0] != "0" { // no flow
				continue
			}
			flows++
		}
		if len(tables) < 3 || flows < 1 { // the flow of the proposal, the book, the losses
			t.Errorf("%s: %d tables with a total, %d flows:\n%s", name, len(tables), flows, text)
		}
		for i := 1; i < len(a.Options); i++ {
			if w := count(int64(a.Options[i].NPV.Mean)); strings.Count(text, " "+w+" ") < 2 {
				t.Errorf("%s: the net present value %s of %s is not in both tables", name, w, letter(i))
			}
		}
	}
}

// TestFlowRowsAddUp holds the rows of every flow: lines give the total, totals the sum so
// far, discounted years the net present value.
func TestFlowRowsAddUp(t *testing.T) {
	for _, a := range []*capitalcase.Answer{caseSample(), wideSample()} {
		for i := 1; i < len(a.Options); i++ {
			o := &a.Options[i]
			rows, sum := flowRows(o, units(a))
			so := int64(0)
			for _, r := range rows {
				lines := int64(0)
				for _, v := range r.lines {
					lines += v
				}
				so += r.total
				if lines != r.total || so != r.cumulative {
					t.Errorf("year %d: lines %d, total %d, sum %d, printed %d", r.year, lines, r.total, so, r.cumulative)
				}
			}
			if sum.discounted != int64(o.NPV.Mean) || worth(o, units(a)) != count(int64(o.NPV.Mean)) {
				t.Errorf("%s: discounted years %d, net present value %d", letter(i), sum.discounted, o.NPV.Mean)
			}
		}
	}
}

// TestPageAddsUp adds up every table of the page that ends in a total, and holds the
// total of a discounted column against the net present value at the top.
func TestPageAddsUp(t *testing.T) {
	root, err := parse(page4(t))
	if err != nil {
		t.Fatal(err)
	}
	read := number
	text := func(n *node) string {
		s := n.text
		for _, c := range n.children {
			s += c.text
		}
		return strings.TrimSpace(s)
	}
	tables, worths := 0, 0
	for _, tb := range root.all("table") {
		rows, from, summed := tb.all("tr"), 1, false
		for n, sum := range rows {
			if sum.attr["class"] != "total" {
				continue
			}
			summed = true
			for k, c := range sum.all("td") {
				want, ok := read(text(c))
				if !ok || c.attr["data-label"] == "sum so far" {
					continue
				}
				add := 0.0
				for _, r := range rows[from:n] {
					if text(r.all("td")[min(1, len(r.all("td"))-1)]) == "every year" != strings.HasPrefix(text(sum.all("th")[0]), "every year") && tb.attr["class"] == "board plans" {
						continue // what is paid once and what every year stand in one table
					}
					v, ok := read(text(r.all("td")[k]))
					if !ok {
						t.Fatalf("no number in %q", c.attr["data-label"])
					}
					add += v
				}
				if math.Abs(add-want) > 1e-6 {
					t.Errorf("%s adds up to %v, printed %v", c.attr["data-label"], add, want)
				}
				if c.attr["data-label"] == "discounted" {
					worths++
					if text(root.all("table")[0].all("tr")[worths+1].all("td")[0]) != text(c) {
						t.Errorf("net present value at the top is not %s", text(c))
					}
				}
			}
			from = n + 1
		}
		if summed {
			tables++
		}
	}
	if tables != 7 || worths != 2 { // book, lost, two flows, two gains, what an option costs
		t.Errorf("%d tables with a total, %d net present values", tables, worths)
	}
}

func TestRequestStandsAlone(t *testing.T) {
	page := page4(t)
	root, err := parse(page)
	if err != nil {
		t.Fatal(err)
	}
	for _, tag := range []string{"script", "link", "img", "iframe"} {
		if len(root.all(tag)) > 0 {
			t.Errorf("the page has a <%s>", tag)
		}
	}
	if m := regexp.MustCompile(`https?:|@import|NaN|Inf\b`).FindString(regexp.MustCompile(`xmlns="[^"]*"`).ReplaceAllString(page, "")); m != "" {
		t.Errorf("the page has %q", m)
	}
	pictures := root.all("svg")
	if len(pictures) != 6 { // loss, two flows, tornado, two distributions
		t.Errorf("%d pictures", len(pictures))
	}
	size := map[string]float64{"tick": 11, "label": 11.5, "number": 11.5}
	for _, s := range pictures {
		if len(s.children) < 2 || s.children[0].name != "title" || s.children[0].text == "" || s.children[1].name != "desc" || s.children[1].text == "" {
			t.Errorf("a picture does not begin with title and desc: %s", s.attr["aria-label"])
		}
		box := strings.Fields(s.attr["viewBox"])
		w, _ := strconv.ParseFloat(box[2], 64)
		for _, x := range s.all("text") {
			at, _ := strconv.ParseFloat(x.attr["x"], 64)
			long := 0.56 * size[strings.Fields(x.attr["class"])[0]] * float64(len([]rune(x.text)))
			l, r := at, at+long
			switch x.attr["text-anchor"] {
			case "end":
				l, r = at-long, at
			case "middle":
				l, r = at-long/2, at+long/2
			}
			if l < -2 || r > w+2 {
				t.Errorf("%q runs out of its picture, %.0f to %.0f of %.0f", x.text, l, r, w)
			}
		}
	}
	for _, must := range []string{"Stand wreck: isolate", "wrecks longer than a shift", "no source given", "from memory", "site rules", "Capital request"} {
		if !strings.Contains(page, must) && !strings.Contains(strings.ToLower(page), must) {
			t.Errorf("the page does not say %q", must)
		}
	}
}

// TestWorkbook calculates the workbook and holds it against the answer.
func TestWorkbook(t *testing.T) {
	a := caseSample()
	raw, err := CaseWorkbook(a, requestSample())
	if err != nil {
		t.Fatal(err)
	}
	again, err := CaseWorkbook(caseSample(), requestSample())
	if err != nil || !bytes.Equal(raw, again) {
		t.Fatalf("two workbooks of one answer differ (%v)", err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	formulas, rates := 0, 0
	for _, s := range f.GetSheetList() {
		rows, err := f.GetRows(s, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c := range row {
				name := cellAt(c+1, r+1)
				if x, _ := f.GetCellFormula(s, name); x == "" {
					continue
				}
				formulas++
				kept, err := strconv.ParseFloat(row[c], 64)
				if err != nil {
					t.Fatalf("%s!%s keeps %q", s, name, row[c])
				}
				text, err := f.CalcCellValue(s, name, excelize.Options{RawCellValue: true})
				if err != nil {
					t.Fatalf("%s!%s: %v", s, name, err)
				}
				v, err := strconv.ParseFloat(text, 64)
				if err != nil {
					t.Fatalf("%s!%s calculates to %q", s, name, text)
				}
				label, _ := f.GetCellValue(s, cellAt(1, r+1))
				if label == "rate of return" { // the sample's is made up: it must end the flow at nothing
					rates++
					o, worth := &a.Options[rates], 0.0
					for _, y := range o.Flow {
						worth += float64(y.Total) / math.Pow(1+v, float64(y.Year))
					}
					if math.Abs(worth) > 1 {
						t.Errorf("at the rate %v of the workbook the flow is worth %v", v, worth)
					}
					continue
				}
				if math.Abs(v-kept) > 1e-6*math.Max(1, math.Abs(kept))+1e-9 {
					t.Errorf("%s!%s calculates to %v, kept beside it %v", s, name, v, kept)
				}
			}
		}
	}
	if formulas < 60 || rates != 2 {
		t.Errorf("only %d formulas, %d rates", formulas, rates)
	}
	rows, _ := f.GetRows(sheetFlow)
	found := 0
	for r, row := range rows {
		if len(row) == 0 || row[0] != "net present value" {
			continue
		}
		found++
		text, err := f.CalcCellValue(sheetFlow, cellAt(2, r+1), excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		if v, _ := strconv.ParseFloat(text, 64); capitalcase.Money(v) != a.Options[found].NPV.Mean {
			t.Errorf("net present value of option %d is %s, want %d", found, text, a.Options[found].NPV.Mean)
		}
		exact, _ := f.CalcCellValue(sheetFlow, cellAt(2, r+2), excelize.Options{RawCellValue: true})
		if v, _ := strconv.ParseFloat(exact, 64); math.Abs(v-float64(a.Options[found].NPV.Mean)) > 0.5*float64(len(a.Options[found].Flow)) {
			t.Errorf("not rounded by year %s, want %d to the rounding of the years", exact, a.Options[found].NPV.Mean)
		}
	}
	if found != 2 {
		t.Errorf("%d net present values", found)
	}
	if got, _ := f.GetRows(sheetAssumptions); got[2][0] != "=1+1 is no formula" {
		t.Errorf("text became something else: %q", got[2][0])
	}
}

func TestRequestRefuses(t *testing.T) {
	short := requestSample()
	short.Options = short.Options[:2]
	for name, c := range map[string]struct {
		a *capitalcase.Answer
		r Request
	}{"no answer": {nil, requestSample()}, "an option too few": {caseSample(), short}} {
		if _, err := CaseHTML(c.a, c.r); err == nil {
			t.Errorf("%s: a page was written", name)
		}
		if _, err := CaseWorkbook(c.a, c.r); err == nil {
			t.Errorf("%s: a workbook was written", name)
		}
	}
	// Nothing played but the flows: no sensitivities, no baseline, several rates.
	bare := caseSample()
	bare.Tornado, bare.Flips = nil, nil
	for i := range bare.Options {
		bare.Options[i].Baseline, bare.Options[i].IRR = nil, []float64{0.1, 0.4}
	}
	if _, err := CaseHTML(bare, requestSample()); err != nil {
		t.Error(err)
	}
	if _, err := CaseWorkbook(bare, requestSample()); err != nil {
		t.Error(err)
	}
	if _, err := json.Marshal(bare); err != nil {
		t.Error(err)
	}
}

// TestLuckNote: the note speaks of a ± only where one stands.
func TestLuckNote(t *testing.T) {
	a := caseSample()
	if got := Case(a, Extra{}); !strings.Contains(got, "played ±") || !strings.Contains(got, "Played on fewer futures") {
		t.Error("the ± or its note is missing")
	}
	for i := range a.Tornado {
		a.Tornado[i].Luck = 0
	}
	if got := Case(a, Extra{}); strings.Contains(got, "±") || !strings.Contains(got, "Played: on the futures and years of the case itself") {
		t.Error("a note on a ± that stands nowhere")
	}
}

// TestTieInByLine: what building in loses is said line by line, and the parts add up.
func TestTieInByLine(t *testing.T) {
	a := caseSample()
	a.Options[2].TieIn = &capitalcase.TieIn{Futures: 20, Days: 36, Mean: 1_000, Low: 900, High: 1_100,
		By: []capitalcase.LineGainOf{{Name: "margin dispatched", Amount: 700}, {Name: "iron lost", Amount: 400}, {Name: "fuel", Amount: -150}, {Name: "CO2", Amount: -60}, {Name: "scrap", Amount: 50}, {Name: "penalties", Amount: 60}}}
	if got, want := tieInText(a, 2), "Of that: margin dispatched 700, iron lost 400, fuel -150, CO2 -60 and all else 110; minus is spared."; !strings.Contains(got, want) {
		t.Errorf("%q lacks %q", got, want)
	}
}

// The proposal's bars stand beside the best option's where they are two.
func TestBarsOfTheProposal(t *testing.T) {
	a := caseSample()
	const head, bar = "THE SAME for the proposal", "777,111"
	if text := Case(a, requestSample().Extra); strings.Contains(text, head) {
		t.Error("bars of a proposal that there are none of")
	}
	a.TornadoProposal = slices.Clone(a.Tornado)
	for i := range a.TornadoProposal {
		a.TornadoProposal[i].Option, a.TornadoProposal[i].Low = a.Options[1].Name, 777_111
	}
	if text := Case(a, requestSample().Extra); !strings.Contains(text, head) || strings.Count(text, bar) != len(a.Tornado) {
		t.Errorf("the text lacks the proposal's bars:\n%s", text)
	}
	page, err := CaseHTML(a, requestSample())
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(page), "hangs most on"); n < 2 {
		t.Errorf("%d pictures of bars", n)
	}
	data, err := CaseWorkbook(a, requestSample())
	if err != nil {
		t.Fatal(err)
	}
	book, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := book.GetRows(sheetSensitivity)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(fmt.Sprint(rows), "777"); n < len(a.Tornado) {
		t.Errorf("the workbook has %d of the proposal's bars", n)
	}
}

// TestFlipsOfATie: where the leading options cannot be told apart, a flip between them is
// no news, and the page's verdict speaks only of one to doing nothing.
func TestFlipsOfATie(t *testing.T) {
	a := caseSample()
	nothing, other := a.Options[0].Name, a.Options[len(a.Options)-1].Name
	says := func() (list, verdict string) {
		return strings.Join(flips(a), "\n"), strings.Join(requestVerdict(a), "\n")
	}
	const tie = "too close to tell apart"
	for _, c := range []struct {
		decided       bool
		to            string
		tied, changes bool
	}{{true, other, false, true}, {false, other, true, false}, {false, nothing, true, true}} {
		a.Decided = c.decided
		a.Flips = []capitalcase.Flip{{What: "gas", Factor: 0.9, Text: "x 0.90", Becomes: c.to, Found: true}}
		list, verdict := says()
		if strings.Contains(list, tie) != c.tied || strings.Contains(verdict, "The answer changes with gas") != c.changes {
			t.Errorf("%+v:\n%s\n%s", c, list, verdict)
		}
	}
}

// Where money only comes in there is nothing to pay back and nothing to earn a rate on; a
// rate that is not there for other reasons stays none.
func TestNothingPaid(t *testing.T) {
	zero := 0.0
	for _, x := range []struct {
		totals      []capitalcase.Money
		back        *float64
		rate, years string
	}{
		{[]capitalcase.Money{0, 500, 500}, &zero, "nothing paid", "at once"},
		{[]capitalcase.Money{0, -500, -500}, nil, "none above 0", "never"},
	} {
		o := &capitalcase.Outcome{PaybackSimple: x.back}
		for y, m := range x.totals {
			o.Flow = append(o.Flow, capitalcase.YearFlow{Year: y, Total: m})
		}
		if got := rates(o); got != x.rate {
			t.Errorf("%v: rate %q, want %q", x.totals, got, x.rate)
		}
		if got := yearsText(o.PaybackSimple); got != x.years {
			t.Errorf("%v: paid back %q, want %q", x.totals, got, x.years)
		}
	}
}
