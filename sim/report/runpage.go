package report

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"strconv"

	"millrace/sim/futures"
	"millrace/sim/quantity"
)

var runPage = newPage("run", `{{template "opening" .}}<p class="soft">{{.PlanningAid}}</p>
</header>
<main>
<h2>What the stores held</h2>
<div class="grid">
{{range .Stores}}{{template "figure" .}}
{{end}}</div>
<h2>The run in figures</h2>
<pre>{{.Text}}</pre>
<h2>Files it was made from</h2>
<ul>{{range .Files}}<li>{{.Name}} <code>{{.SHA256}}</code></li>
{{end}}</ul>
{{template "closing"}}`)

// RunHTML writes one run as one page that needs nothing else: no file, no network, no
// script.
func RunHTML(r *futures.Result, x Extra) ([]byte, error) {
	if r == nil {
		return nil, errors.New("report: no run to show")
	}
	title := x.Title
	if title == "" {
		title = "One run"
	}
	v := struct {
		Title, PlanningAid, Text string
		CSS                      template.CSS
		Stores                   []figure
		Files                    []File
	}{Title: fmt.Sprintf("%s: %s, future %d", title, r.Plan, r.Future), PlanningAid: planningAid, Text: Run(r, x), CSS: template.CSS(pageCSS + "\npre { overflow-x: auto; }"), Files: x.Files}
	for i := range r.Series {
		if s := &r.Series[i]; len(s.Level) > 1 {
			v.Stores = append(v.Stores, seriesPicture(r, s))
		}
	}
	var b bytes.Buffer
	if err := runPage.Execute(&b, &v); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	return b.Bytes(), nil
}

// seriesPicture draws the hourly level of one store with its room and its band.
func seriesPicture(r *futures.Result, s *futures.Series) figure {
	const w, h, left, right, above, below = 400.0, 180.0, 50.0, 10.0, 12.0, 36.0
	low, high, top := s.Level[0], s.Level[0], s.Room
	for _, v := range s.Level {
		low, high = min(low, v), max(high, v)
	}
	if top = max(top, high) * 1.06; top <= 0 {
		top = 1
	}
	caption := fmt.Sprintf("%s: %s to %s", capital(s.Store), amount(low), withUnit(amount(high), s.Amount))
	p := newPicture(w, h, caption, "Hourly level over the run, "+length(r.Horizon)+" from "+begins(r.Start))
	hours := float64(len(s.Level) - 1)
	x := func(v float64) float64 { return left + (w-left-right)*v/hours }
	y := func(v float64) float64 { return h - below - (h-above-below)*v/top }
	ys := ticks(0, top, 4)
	for _, v := range ys {
		p.line("gridline", left, y(v), w-right, y(v))
		p.text("tick", "end", left-5, y(v)+4, tickText(v, ys))
	}
	if s.High > s.Low {
		p.line("tickmark", left, y(s.Low), w-right, y(s.Low))
		p.line("tickmark", left, y(s.High), w-right, y(s.High))
	}
	if s.Room > 0 {
		p.line("room", left, y(s.Room), w-right, y(s.Room))
	}
	pts := make([]point, len(s.Level))
	for i, v := range s.Level {
		pts[i] = point{x(float64(i)), y(v)}
	}
	p.path("mean", pts)
	xs := ticks(0, hours/24, 5)
	for _, v := range xs {
		p.text("tick", "middle", x(v*24), h-below+15, tickText(v, xs))
	}
	p.text("tick", "middle", (left+w-right)/2, h-4, "days")
	return figure{caption, p.done()}
}

// RunTables are the tables of one run: measures, money by line, hourly levels, hours
// of the units.
func RunTables(r *futures.Result, currency string) []Table {
	m := Table{Name: "measures", Header: []string{"measure", "unit", "value", "what"}}
	for _, k := range r.Measures {
		m.Rows = append(m.Rows, []string{k.Name, k.Unit, cell(k.Value), k.What})
	}
	c := Table{Name: "cost", Header: []string{"account", "line", "currency", "amount", "what"}}
	for _, a := range []struct {
		name  string
		lines []futures.Line
	}{{"run", r.Money}, {"upset", r.Upset}} {
		for _, l := range a.lines {
			c.Rows = append(c.Rows, []string{a.name, l.Name, currency, cell(l.Amount), l.What})
		}
	}
	levels := Table{Name: "levels", Header: []string{"store", "amount", "hour", "clock", "level"}}
	for _, s := range r.Series {
		for h, v := range s.Level {
			levels.Rows = append(levels.Rows, []string{s.Store, s.Amount, strconv.Itoa(h), quantity.Clock(r.Start).Add(float64(h) * 3600).ISO(), cell(v)})
		}
	}
	u := Table{Name: "units", Header: []string{"unit", "places", "state", "place_hours"}}
	for _, k := range r.Units {
		for s, h := range k.Hours {
			if s < len(futures.StateNames) {
				u.Rows = append(u.Rows, []string{k.Unit, strconv.Itoa(k.Places), futures.StateNames[s], cell(h)})
			}
		}
	}
	return []Table{m, c, levels, u}
}
