package scripting

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// orders reads the order book: orders = include "orders.csv", or a list of
// tables in the file itself.
func (r *worksReader) orders(s *section) {
	s.ask("orders")
	v, ok := s.t.Get("orders")
	if !ok {
		return
	}
	if v.Tag == "include" {
		name := besides(r.file, v.Text)
		data, err := r.load(name)
		if err != nil {
			v.Problem(notRead(name, err), "check the path; it is counted from the folder of "+r.file)
			return
		}
		r.orderFile(name, data, v)
		return
	}
	s.list0("orders", func(s *section) {
		o := more(&r.spec.Orders)
		product := ""
		s.text("id", &o.ID)
		s.text("product", &product)
		s.mass("mass", &o.Mass, within{"1 t", ""})
		s.text0("class", &o.Class)
		s.share0("penalty", &o.Penalty)
		s.share0("penalty_cap", &o.Cap)
		s.ask("due")
		if due, ok := s.t.Get("due"); ok {
			if x, err := quantity.Parse(due.Text, quantity.Time); err == nil {
				o.Due = x
			} else if c, ok := s.t.Clock("due"); ok {
				o.Due = c.Sub(r.from)
			}
		} else {
			s.t.Need("due")
		}
		s.end()
		if o.Product = r.productNamed(product); o.Product < 0 && product != "" {
			unknown(s.t, "product", product, "product", r.productNames())
		}
	})
}

func (r *worksReader) productNames() (out []string) {
	for i := range r.spec.Products {
		out = append(out, r.spec.Products[i].Name)
	}
	return out
}

func (r *worksReader) productNamed(name string) int { return slices.Index(r.productNames(), name) }

// orderColumns are the columns of an order file. Of due_date and due_in_d one is
// needed; the second counts days from the start of the run.
var orderColumns = []string{"order_id", "product", "tonnes", "due_date", "due_in_d", "customer_class", "penalty_pct_week", "penalty_cap_pct"}

// orderFile reads an order book: UTF-8, comma separated, with a header line.
// Columns may stand in any order.
func (r *worksReader) orderFile(name string, data []byte, v decl.Value) {
	in := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff")))
	in.Comment = '#'
	in.FieldsPerRecord = 0
	in.TrimLeadingSpace = true
	report := func(line int, what, do string) bool {
		v.Problem(fmt.Sprintf("%s:%d: %s", name, line, what), do)
		return false
	}
	head, err := in.Read()
	if err != nil {
		report(1, "there is no header line", "write "+strings.Join(orderColumns, ","))
		return
	}
	at := map[string]int{}
	for i, h := range head {
		h = strings.TrimSpace(h)
		if !slices.Contains(orderColumns, h) {
			do := "columns are " + strings.Join(orderColumns, ", ")
			if near, ok := quantity.Nearest(h, orderColumns); ok {
				do = "did you mean " + near + "?"
			}
			report(1, "unknown column "+h, do)
			return
		}
		at[h] = i
	}
	for _, need := range []string{"order_id", "product", "tonnes"} {
		if _, ok := at[need]; !ok {
			report(1, "column "+need+" is missing", "add it")
			return
		}
	}
	_, byDate := at["due_date"]
	_, byDay := at["due_in_d"]
	if byDate == byDay {
		report(1, "the due date is missing or given twice", "give one of the columns due_date and due_in_d")
		return
	}
	const mostBad = 5
	bad := 0
	for bad < mostBad {
		row, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			v.Problem(name+": "+err.Error(), "")
			return
		}
		line, _ := in.FieldPos(0)
		if !r.orderRow(row, at, func(what, do string) bool { return report(line, what, do) }) {
			bad++
		}
	}
	slices.SortStableFunc(r.spec.Orders, func(a, b works.OrderLine) int {
		switch {
		case a.Due < b.Due:
			return -1
		case a.Due > b.Due:
			return 1
		}
		return 0
	})
}

func (r *worksReader) orderRow(row []string, at map[string]int, report func(what, do string) bool) bool {
	cell := func(column string) string {
		if i, ok := at[column]; ok {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	o := works.OrderLine{ID: cell("order_id"), Class: cell("customer_class")}
	if o.ID == "" {
		return report("order_id is empty", "give each order line a name")
	}
	if o.Product = r.productNamed(cell("product")); o.Product < 0 {
		return report(`there is no product "`+cell("product")+`"`, "write one of "+joined(r.productNames()))
	}
	number := func(column, unit string, d quantity.Dimension, to *float64) bool {
		text := cell(column)
		if text == "" && (column == "penalty_pct_week" || column == "penalty_cap_pct") {
			return true
		}
		x, err := quantity.Parse(text+unit, d)
		if err != nil {
			return report(column+": "+text+" is not a number that can be used", "write a plain number")
		}
		*to = x
		return true
	}
	if !number("tonnes", " t", quantity.Mass, &o.Mass) || !number("penalty_pct_week", " %", quantity.Fraction, &o.Penalty) ||
		!number("penalty_cap_pct", " %", quantity.Fraction, &o.Cap) {
		return false
	}
	if o.Mass <= 0 {
		return report("tonnes must be above zero", "")
	}
	if _, ok := at["due_date"]; ok {
		c, err := quantity.ParseClock(cell("due_date"))
		if err != nil {
			return report("due_date: "+sentence(err), "")
		}
		o.Due = c.Sub(r.from)
	} else if !number("due_in_d", " d", quantity.Time, &o.Due) {
		return false
	}
	r.spec.Orders = append(r.spec.Orders, o)
	return true
}
