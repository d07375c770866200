package report

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"os"
	"regexp"
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
			{Cause: "nothing to work on", Group: capitalcase.Rhythm, Hours: 51.3}, {Cause: "furnace trip, F1", Group: capitalcase.OtherStops, Hours: 12.4},
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
		if i == 1 {
			x.TailShare, x.PaybackDiscounted = &share, years(2.6)
		}
		a.Options = append(a.Options, x)
	}
	n := a.Options[2].NPV.Mean
	for _, b := range []capitalcase.Bar{{What: "contribution per tonne", LowText: "x 0.80", HighText: "x 1.20", Low: n - 900_000, High: n + 900_000},
		{What: "demand", LowText: "80 % of what the works can make", HighText: "everything can be sold", Low: n - 800_000, High: n, Replayed: true},
		{What: "what is paid", LowText: "x 0.80", HighText: "x 1.30", Low: n + 320_100, High: n - 480_150},
		{What: "how long stops last", LowText: "x 0.70", HighText: "x 1.30", Low: n - 100_000, High: n - 30_000, Replayed: true}} {
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
	r.Upsets = []UpsetRate{{"stand wreck", "finishing train", "270 d of operation", "12 h", "48 h", "from memory"}}
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

func digits(t *testing.T, s string) int64 {
	t.Helper()
	s = strings.NewReplacer(",", "", "\u2212", "-").Replace(strings.TrimSpace(s))
	v, err := strconv.ParseInt(s, 10, 64)
	if err != nil {
		t.Fatalf("no whole number: %q", s)
	}
	return v
}

// TestTextAddsUp adds up the flow table as it is printed, in thousands.
func TestTextAddsUp(t *testing.T) {
	a := caseSample()
	text := Case(a, requestSample().Extra)
	_, table, _ := strings.Cut(text, "MEAN FLOW")
	var column [6]int64 // paid, running, gain, total, discounted
	seen, so := 0, int64(0)
	for _, l := range strings.Split(table, "\n") {
		l = regexp.MustCompile(`\s(\S+ to \S+|-)\s`).ReplaceAllString(l, " ")
		w := strings.Fields(l)
		if len(w) == 0 && seen > 0 {
			break
		}
		if len(w) < 6 || (w[0] != "total" && !regexp.MustCompile(`^\d+$`).MatchString(w[0])) {
			continue
		}
		seen++
		var v [6]int64
		for i := 1; i < 6; i++ {
			v[i] = digits(t, w[i])
		}
		if v[1]+v[2]+v[3] != v[4] {
			t.Errorf("lines do not add up: %s", l)
		}
		if w[0] == "total" {
			for i := 1; i < 6; i++ {
				if column[i] != v[i] {
					t.Errorf("column %d adds up to %d, printed %d", i, column[i], v[i])
				}
			}
			if got := worth(&a.Options[2], scaleOf(a)); digits(t, got) != v[5] || !strings.Contains(text, "C            "+got) && !regexp.MustCompile(`(?m)^C +`+got).MatchString(text) {
				t.Errorf("net present value %s, discounted total %d", got, v[5])
			}
			continue
		}
		so += v[4]
		if digits(t, w[6]) != so {
			t.Errorf("sum so far is %d: %s", so, l)
		}
		for i := range v {
			column[i] += v[i]
		}
	}
	if seen != 5 {
		t.Fatalf("%d rows of the flow were found:\n%s", seen, table)
	}
}

// TestPageAddsUp adds up every table of the page that ends in a total, and holds the
// total of a discounted column against the net present value at the top.
func TestPageAddsUp(t *testing.T) {
	root, err := parse(page4(t))
	if err != nil {
		t.Fatal(err)
	}
	number := regexp.MustCompile(`^-?[\d,]+(\.\d)?$`)
	read := func(s string) (float64, bool) {
		if !number.MatchString(s) {
			return 0, false
		}
		v, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
		return v, err == nil
	}
	text := func(n *node) string {
		s := n.text
		for _, c := range n.children {
			s += c.text
		}
		return strings.TrimSpace(s)
	}
	tables, worths := 0, 0
	for _, tb := range root.all("table") {
		rows := tb.all("tr")
		last := rows[len(rows)-1]
		if last.attr["class"] != "total" {
			continue
		}
		tables++
		for k, c := range last.all("td") {
			want, ok := read(text(c))
			if !ok || c.attr["data-label"] == "sum so far" {
				continue
			}
			sum := 0.0
			for _, r := range rows[1 : len(rows)-1] {
				v, ok := read(text(r.all("td")[k]))
				if !ok {
					t.Fatalf("no number in %q", c.attr["data-label"])
				}
				sum += v
			}
			if math.Abs(sum-want) > 1e-6 {
				t.Errorf("%s adds up to %v, printed %v", c.attr["data-label"], sum, want)
			}
			if c.attr["data-label"] == "discounted" {
				worths++
				if !strings.Contains(text(root.all("table")[0].all("tr")[worths+1].all("td")[0]), text(c)) {
					t.Errorf("net present value at the top is not %s", text(c))
				}
			}
		}
	}
	if tables != 5 || worths != 2 { // lost, two flows, two gains
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
