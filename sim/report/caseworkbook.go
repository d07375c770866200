package report

import (
	"bytes"
	"fmt"
	"strconv"

	"github.com/xuri/excelize/v2"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/quantity"
)

// Sheets of the workbook of a request.
const (
	sheetSummary     = "Summary"
	sheetOptions     = "Options"
	sheetFlow        = "Cash flow"
	sheetSensitivity = "Sensitivity"
	sheetBaseline    = "Baseline"
	sheetAssumptions = "Assumptions"
)

// CaseTables are the tables of a request for files: the flows and the lost hours of
// every option, the value of every future, and what is ordered where only that is sold.
func CaseTables(a *capitalcase.Answer) []Table {
	flow := Table{Name: "flows", Header: []string{"option", "year"}}
	flow.Header = append(flow.Header, capitalcase.LineNames[:]...)
	flow.Header = append(flow.Header, "total", "discounted", "cumulative", "low", "high")
	lost := Table{Name: "lost", Header: []string{"option", "unit", "cause", "group", "h_a_year", "t_a_year"}}
	values := Table{Name: "npv", Header: []string{"option", "future", "npv"}}
	digits := func(m capitalcase.Money) string { return strconv.FormatInt(int64(m), 10) }
	for i := range a.Options {
		o := &a.Options[i]
		for _, y := range o.Flow {
			row := []string{o.Name, strconv.Itoa(y.Year)}
			for _, m := range y.Lines {
				row = append(row, digits(m))
			}
			flow.Rows = append(flow.Rows, append(row, digits(y.Total), digits(y.Discounted), digits(y.Cumulative), digits(y.Low), digits(y.High)))
		}
		if b := o.Baseline; b != nil {
			for _, l := range b.Lost {
				lost.Rows = append(lost.Rows, []string{o.Name, b.Limit, l.Cause, l.Group, cell(l.Hours), cell(l.Tonnes)})
			}
		}
		for k, v := range o.Values {
			values.Rows = append(values.Rows, []string{o.Name, strconv.Itoa(k), digits(v)})
		}
	}
	out := []Table{flow, lost, values}
	if b := a.Book; b != nil {
		book := Table{Name: "book", Header: []string{"product", "size", "ordered_t_a_week", "can_make_t_a_week"}}
		for _, l := range b.Lines {
			book.Rows = append(book.Rows, []string{l.Product, l.What, strconv.FormatInt(int64(l.Ordered), 10), strconv.FormatInt(int64(l.CanMake), 10)})
		}
		out = append(out, book)
	}
	return out
}

// book is a workbook under way; the first error is kept and ends the rest.
type book struct {
	f                                                 *excelize.File
	err                                               error
	head, money, share, wrap, bold, boldMoney, number int
}

// CaseWorkbook writes the capital request as a workbook (Office Open XML). Amounts are
// whole units of the currency. Totals, discounted years and net present values are
// formulas, with their values beside them for readers that do not calculate. Equal
// answers give equal bytes.
func CaseWorkbook(a *capitalcase.Answer, r Request) ([]byte, error) {
	if err := checkRequest(a, r); err != nil {
		return nil, err
	}
	b := &book{f: excelize.NewFile()}
	defer b.f.Close()
	b.try(b.f.SetSheetName("Sheet1", sheetSummary))
	for _, s := range []string{sheetOptions, sheetFlow, sheetSensitivity, sheetBaseline, sheetAssumptions} {
		_, err := b.f.NewSheet(s)
		b.try(err)
	}
	b.styles()
	npv := b.flows(a)
	b.summary(a, r, npv)
	b.options(a, r)
	b.sensitivity(a)
	b.baseline(a)
	b.assumptions(a, r)
	yes := true
	b.try(b.f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes}))
	if b.err != nil {
		return nil, fmt.Errorf("report: %w", b.err)
	}
	var out bytes.Buffer
	if err := b.f.Write(&out); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	return out.Bytes(), nil
}

func (b *book) try(err error) {
	if b.err == nil {
		b.err = err
	}
}

func (b *book) styles() {
	style := func(s *excelize.Style) int {
		n, err := b.f.NewStyle(s)
		b.try(err)
		return n
	}
	whole, hours := "#,##0;-#,##0", "#,##0.0"
	strong := &excelize.Font{Bold: true}
	under := []excelize.Border{{Type: "bottom", Color: "808080", Style: 1}}
	over := []excelize.Border{{Type: "top", Color: "808080", Style: 1}}
	b.head = style(&excelize.Style{Font: strong, Border: under, Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom"}})
	b.money = style(&excelize.Style{CustomNumFmt: &whole})
	b.number = style(&excelize.Style{CustomNumFmt: &hours})
	b.share = style(&excelize.Style{NumFmt: 10})
	b.wrap = style(&excelize.Style{Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	b.bold = style(&excelize.Style{Font: strong})
	b.boldMoney = style(&excelize.Style{Font: strong, CustomNumFmt: &whole, Border: over})
}

// cellAt names a cell, column and row from 1.
func cellAt(col, row int) string {
	s, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		return "A1"
	}
	return s
}

// fixed names a cell that does not move when it is copied.
func fixed(col, row int) string {
	s, err := excelize.CoordinatesToCellName(col, row, true)
	if err != nil {
		return "$A$1"
	}
	return s
}

func (b *book) put(sheet string, col, row int, v any, style int) {
	b.try(b.f.SetCellValue(sheet, cellAt(col, row), v))
	if style > 0 {
		b.try(b.f.SetCellStyle(sheet, cellAt(col, row), cellAt(col, row), style))
	}
}

// formula writes a formula with the value it has.
func (b *book) formula(sheet string, col, row int, f string, v any, style int) {
	b.put(sheet, col, row, v, style)
	b.try(b.f.SetCellFormula(sheet, cellAt(col, row), f))
}

func (b *book) heads(sheet string, row int, words ...string) {
	for i, w := range words {
		b.put(sheet, i+1, row, w, b.head)
	}
}

func (b *book) widths(sheet string, w ...float64) {
	for i, v := range w {
		c, err := excelize.ColumnNumberToName(i + 1)
		b.try(err)
		b.try(b.f.SetColWidth(sheet, c, c, v))
	}
}

// flows writes the cash flow of every option and returns where each net present value
// stands, row by option, in column B.
func (b *book) flows(a *capitalcase.Answer) []int {
	const s = sheetFlow
	b.put(s, 1, 1, "Cash flows against "+quoted(a.Options[0].Name)+", mean over futures, "+a.Currency, b.bold)
	b.put(s, 1, 2, "discount rate a year", 0)
	b.put(s, 2, 2, a.Discount, b.share)
	b.widths(s, 26, 16, 16, 16, 16, 16, 16, 12, 16, 16)
	const first = 2 // column of the first line
	const n = capitalcase.NLines
	total, factor, disc, sum := first+n, first+n+1, first+n+2, first+n+3
	at1 := make([]int, len(a.Options))
	row := 4
	for i := 1; i < len(a.Options); i++ {
		o := &a.Options[i]
		b.put(s, 1, row, named(a, i), b.bold)
		row++
		b.heads(s, row, append(append([]string{"year"}, capitalcase.LineNames[:]...), "total", "discount factor", "discounted", "sum so far")...)
		row++
		top := row
		for k := range o.Flow {
			y := &o.Flow[k]
			b.put(s, 1, row, y.Year, 0)
			for l, m := range y.Lines {
				b.put(s, first+l, row, int64(m), b.money)
			}
			b.formula(s, total, row, fmt.Sprintf("SUM(%s:%s)", cellAt(first, row), cellAt(first+n-1, row)), int64(y.Total), b.money)
			b.formula(s, factor, row, fmt.Sprintf("1/(1+%s)^%s", fixed(2, 2), cellAt(1, row)), factorOf(a.Discount, y.Year), 0)
			b.formula(s, disc, row, fmt.Sprintf("ROUND(%s*%s,0)", cellAt(total, row), cellAt(factor, row)), int64(y.Discounted), b.money)
			f := cellAt(total, row)
			if k > 0 {
				f = cellAt(sum, row-1) + "+" + f
			}
			b.formula(s, sum, row, f, int64(y.Cumulative), b.money)
			row++
		}
		_, sums := flowRows(o, units(a))
		b.put(s, 1, row, "total", b.bold)
		if len(o.Flow) > 0 {
			add := func(col int, v int64) {
				b.formula(s, col, row, fmt.Sprintf("SUM(%s:%s)", cellAt(col, top), cellAt(col, row-1)), v, b.boldMoney)
			}
			for l := range n {
				add(first+l, sums.lines[l])
			}
			add(total, sums.total)
			add(disc, sums.discounted)
		}
		row++
		b.put(s, 1, row, "net present value", b.bold)
		b.formula(s, 2, row, cellAt(disc, row-1), sums.discounted, b.boldMoney)
		at1[i] = row
		row++
		if len(o.Flow) > 1 {
			b.put(s, 1, row, "the same, not rounded by year", 0)
			b.formula(s, 2, row, fmt.Sprintf("SUMPRODUCT(%s:%s,%s:%s)", cellAt(total, top), cellAt(total, top+len(o.Flow)-1), cellAt(factor, top), cellAt(factor, top+len(o.Flow)-1)), unrounded(o, a.Discount), b.money)
			row++
		}
		if len(o.IRR) == 1 && o.IRR[0] > 0 && len(o.Flow) > 1 {
			b.put(s, 1, row, "rate of return", 0)
			b.formula(s, 2, row, fmt.Sprintf("IRR(%s:%s)", cellAt(total, top), cellAt(total, top+len(o.Flow)-1)), o.IRR[0], b.share)
			row++
		}
		row += 2
	}
	return at1
}

func factorOf(rate float64, year int) float64 {
	v := 1.0
	for range year {
		v /= 1 + rate
	}
	return v
}

func unrounded(o *capitalcase.Outcome, rate float64) float64 {
	s := 0.0
	for _, y := range o.Flow {
		s += float64(y.Total) * factorOf(rate, y.Year)
	}
	return s
}

func (b *book) summary(a *capitalcase.Answer, r Request, npv []int) {
	const s = sheetSummary
	title := r.Title
	if title == "" {
		title = a.Case
	}
	b.widths(s, 34, 16, 16, 16, 12, 14, 12, 14, 14, 16, 16, 16)
	b.put(s, 1, 1, "Capital request: "+title, b.bold)
	row := 2
	for _, v := range append(requestVerdict(a), sentence(caseSetting(a)), planningAid) {
		b.put(s, 1, row, v, b.wrap)
		b.try(b.f.MergeCell(s, cellAt(1, row), cellAt(10, row)))
		b.try(b.f.SetRowHeight(s, row, 32))
		row++
	}
	row++
	b.heads(s, row, "option", "net present value, "+a.Currency, "95 % low", "95 % high", "chance above zero", "rate of return a year", "paid back after, years", "the same, discounted", "gain a year, "+a.Currency, "one future in ten is below", "one in ten is above", "of the gain, from the longest stops")
	row++
	for i := range a.Options {
		o := &a.Options[i]
		b.put(s, 1, row, named(a, i), 0)
		if i == 0 {
			b.put(s, 2, row, 0, b.money)
			row++
			continue
		}
		b.formula(s, 2, row, fmt.Sprintf("'%s'!%s", sheetFlow, cellAt(2, npv[i])), int64(o.NPV.Mean), b.money)
		b.put(s, 3, row, int64(o.NPV.Low), b.money)
		b.put(s, 4, row, int64(o.NPV.High), b.money)
		b.put(s, 5, row, o.ChancePositive, b.share)
		if len(o.IRR) == 1 && o.IRR[0] > 0 {
			b.put(s, 6, row, o.IRR[0], b.share)
		} else {
			b.put(s, 6, row, rates(o), 0)
		}
		for k, v := range []*float64{o.PaybackSimple, o.PaybackDiscounted} {
			if v == nil {
				b.put(s, 7+k, row, "never", 0)
			} else {
				b.put(s, 7+k, row, *v, b.number)
			}
		}
		b.put(s, 9, row, int64(o.Gain.Mean), b.money)
		b.put(s, 10, row, int64(o.NPV.P10), b.money)
		b.put(s, 11, row, int64(o.NPV.P90), b.money)
		if o.TailShare != nil {
			b.put(s, 12, row, *o.TailShare, b.share)
		}
		row++
	}
	row++
	for _, w := range sentences(a.Warnings) {
		b.put(s, 1, row, "Take care: "+w, 0)
		row++
	}
	b.put(s, 1, row+1, "To repeat this: "+r.Command, 0)
	b.put(s, 1, row+2, fmt.Sprintf("Fingerprint %s, seed %d, version %s", a.Fingerprint, a.Seed, r.Version), 0)
}

func (b *book) options(a *capitalcase.Answer, r Request) {
	const s = sheetOptions
	b.widths(s, 34, 50, 20, 30, 18)
	b.heads(s, 1, "option", "what", "when", "source", a.Currency)
	row := 2
	for i := range a.Options {
		o := &r.Options[i]
		b.put(s, 1, row, named(a, i), b.bold)
		b.put(s, 2, row, o.Note, b.wrap)
		row++
		line := func(what, text string) {
			b.put(s, 1, row, what, 0)
			b.put(s, 2, row, text, b.wrap)
			row++
		}
		for _, c := range o.Changes {
			line("changes", c)
		}
		if o.Takes != "" {
			line("works after", o.Takes)
		}
		if o.Ramp != "" {
			line("ramp", o.Ramp)
		}
		for _, t := range o.TieIns {
			line("stop for building it in", t)
		}
		if t := tieInText(a, i); t != "" {
			line("what that loses", t)
		}
		pay := func(kind, total string, pays []RequestPayment) {
			top := row
			sum := capitalcase.Money(0)
			for _, p := range pays {
				when := p.When
				if when == "" {
					when = "every year"
				}
				b.put(s, 1, row, kind, 0)
				b.put(s, 2, row, p.What, b.wrap)
				b.put(s, 3, row, when, 0)
				b.put(s, 4, row, source(p.Source), b.wrap)
				b.put(s, 5, row, int64(p.Amount), b.money)
				sum += p.Amount
				row++
			}
			if len(pays) > 1 {
				b.put(s, 1, row, total, b.bold)
				b.formula(s, 5, row, fmt.Sprintf("SUM(%s:%s)", cellAt(5, top), cellAt(5, row-1)), int64(sum), b.boldMoney)
				row++
			}
		}
		pay("paid once", "paid once, in all", o.Pays)
		pay("running cost", "every year, in all", o.Running)
		if o.Full != "" {
			line("all of the gain after", o.Full)
		}
		if o.Safety != "" {
			line("safety", sentence(o.Safety))
		}
		for _, p := range sentences(o.SafetyPoints) {
			line("safety", p)
		}
		for _, c := range o.Cautions {
			line("caution", c)
		}
		if o.After != "" {
			line("test afterwards", sentence(o.After))
		}
		for _, p := range sentences(o.AfterPoints) {
			line("test afterwards", p)
		}
		row++
	}
}

func (b *book) sensitivity(a *capitalcase.Answer) {
	const s = sheetSensitivity
	b.widths(s, 28, 30, 18, 30, 18, 12, 18)
	row := 2
	if len(a.Tornado) == 0 {
		b.put(s, 1, 1, noSensitivities(a), 0)
	}
	for n, bars := range [][]capitalcase.Bar{a.Tornado, a.TornadoProposal} {
		if len(bars) == 0 {
			continue
		}
		if n > 0 {
			row++
		} else {
			row = 1
		}
		b.put(s, 1, row, "Net present value of "+quoted(bars[0].Option)+", "+a.Currency, b.bold)
		b.heads(s, row+1, "assumption", "low end", "value then", "high end", "value then", "how", "width")
		row += 2
		for _, t := range bars {
			b.put(s, 1, row, t.What, 0)
			b.put(s, 2, row, t.LowText, 0)
			b.put(s, 3, row, int64(t.Low), b.money)
			b.put(s, 4, row, t.HighText, 0)
			b.put(s, 5, row, int64(t.High), b.money)
			b.put(s, 6, row, howFound(t, units(a)), 0)
			w := t.High - t.Low
			b.formula(s, 7, row, fmt.Sprintf("ABS(%s-%s)", cellAt(5, row), cellAt(3, row)), int64(max(w, -w)), b.money)
			row++
		}
	}
	if len(a.Tornado) > 0 {
		row++
		b.put(s, 1, row, luckNote(a), 0)
		row++
	}
	if len(a.Flips) > 0 {
		row++
		b.put(s, 1, row, "What would flip the answer", b.bold)
	}
	for _, f := range sentences(flips(a)) {
		row++
		b.put(s, 1, row, f, 0)
	}
	row += 2
	b.put(s, 1, row, fmt.Sprintf("Net present value by future, %s; every year of every future is rounded, so their mean may differ from the net present value by up to %d", a.Currency, a.Life+1), b.bold)
	row++
	b.put(s, 1, row, "future", b.head)
	for i := 1; i < len(a.Options); i++ {
		b.put(s, i+1, row, named(a, i), b.head)
		for k, v := range a.Options[i].Values {
			b.put(s, 1, row+1+k, k, 0)
			b.put(s, i+1, row+1+k, int64(v), b.money)
		}
	}
}

func (b *book) baseline(a *capitalcase.Answer) {
	const s = sheetBaseline
	b.widths(s, 40, 28, 14, 16, 14, 14, 14, 14, 14, 14, 14)
	w := a.Options[0].Baseline
	if w == nil {
		b.put(s, 1, 1, "No baseline was played.", 0)
		return
	}
	b.put(s, 1, 1, fmt.Sprintf("Lost a year on %s as it is, %s t for each hour it does not work; dispatched %s t a year", w.Limit, quantity.FormatNumber(w.PerHour, 0), quantity.FormatNumber(w.Dispatched, 0)), b.bold)
	b.heads(s, 2, "cause", "how it is counted", "h a year", "t a year")
	rows, sum := lossRows(w, len(w.Lost))
	row := 3
	for _, r := range rows {
		b.put(s, 1, row, r.cause, 0)
		b.put(s, 2, row, r.group, 0)
		b.put(s, 3, row, float64(r.tenths)/10, b.number)
		b.put(s, 4, row, r.tonnes, b.money)
		row++
	}
	b.put(s, 1, row, "total", b.bold)
	if len(rows) > 0 {
		b.formula(s, 3, row, fmt.Sprintf("SUM(%s:%s)", cellAt(3, 3), cellAt(3, row-1)), float64(sum.tenths)/10, b.number)
		b.formula(s, 4, row, fmt.Sprintf("SUM(%s:%s)", cellAt(4, 3), cellAt(4, row-1)), sum.tonnes, b.boldMoney)
	}
	row += 2
	row = b.ordered(a, row)
	b.put(s, 1, row, "Hours of the units a year", b.bold)
	row++
	b.heads(s, row, append([]string{"unit", "places", "passed, t"}, stateWords()...)...)
	for i := range w.Units {
		u := &w.Units[i]
		row++
		b.put(s, 1, row, u.Unit, 0)
		b.put(s, 2, row, u.Places, 0)
		b.put(s, 3, row, u.Passed, b.money)
		for k, h := range u.Hours {
			b.put(s, 4+k, row, h, b.number)
		}
	}
	row += 2
	b.put(s, 1, row, "Upsets a year", b.bold)
	row++
	b.heads(s, row, "upset", "unit", "number", "h")
	for _, u := range w.Upsets {
		row++
		b.put(s, 1, row, u.Name, 0)
		b.put(s, 2, row, u.Unit, 0)
		b.put(s, 3, row, u.Count, b.number)
		b.put(s, 4, row, u.Hours, b.number)
	}
}

// ordered writes the order book from a row on and returns the next row.
func (b *book) ordered(a *capitalcase.Answer, row int) int {
	const s = sheetBaseline
	k := a.Book
	if k == nil {
		return row
	}
	b.put(s, 1, row, bookText(a), b.bold)
	row++
	b.heads(s, row, "product", "", "ordered, t a week", "could be made, t a week", "beside it, t a week")
	row++
	top := row
	for _, l := range k.Lines {
		b.put(s, 1, row, l.Product, 0)
		b.put(s, 2, row, l.What, 0)
		b.put(s, 3, row, int64(l.Ordered), b.money)
		b.put(s, 4, row, int64(l.CanMake), b.money)
		b.formula(s, 5, row, fmt.Sprintf("%s-%s", cellAt(4, row), cellAt(3, row)), int64(l.CanMake-l.Ordered), b.money)
		row++
	}
	b.put(s, 1, row, "total", b.bold)
	for i, v := range []capitalcase.Tonnes{k.Ordered, k.CanMake, k.CanMake - k.Ordered} {
		b.formula(s, 3+i, row, fmt.Sprintf("SUM(%s:%s)", cellAt(3+i, top), cellAt(3+i, row-1)), int64(v), b.boldMoney)
	}
	return row + 3
}

func (b *book) assumptions(a *capitalcase.Answer, r Request) {
	const s = sheetAssumptions
	b.widths(s, 70, 30, 24, 22, 22, 30)
	b.heads(s, 1, "assumption", "where it comes from")
	row := 2
	for _, x := range assumedRows(a, r) {
		b.put(s, 1, row, x.What, b.wrap)
		b.put(s, 2, row, x.Source, b.wrap)
		row++
	}
	row++
	t := upsetSheet(r)
	b.heads(s, row, t.Head...)
	for _, line := range t.Rows {
		row++
		for k, c := range line {
			b.put(s, k+1, row, c, 0)
		}
	}
	row += 2
	b.heads(s, row, "input file", "SHA-256")
	for _, f := range r.Files {
		row++
		b.put(s, 1, row, f.Name, 0)
		b.put(s, 2, row, f.SHA256, 0)
	}
}
