package report

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strconv"
	"strings"

	"millrace/sim/quantity"
)

// picture is an inline SVG under way. Colours come from the page's classes, so
// that a picture follows the light and dark modes and the printer.
type picture struct {
	b    strings.Builder
	w, h float64
}

// newPicture begins a picture. The title says what it shows, desc tells somebody
// who cannot see it.
func newPicture(w, h float64, title, desc string) *picture {
	p := &picture{w: w, h: h}
	fmt.Fprintf(&p.b, `<svg class="fig" role="img" viewBox="0 0 %s %s" aria-label="%s" xmlns="http://www.w3.org/2000/svg">`,
		px(w), px(h), esc(title+". "+desc))
	fmt.Fprintf(&p.b, "<title>%s</title><desc>%s</desc>", esc(title), esc(desc))
	return p
}

func (p *picture) done() template.HTML {
	p.b.WriteString("</svg>")
	return template.HTML(p.b.String())
}

func esc(s string) string { return html.EscapeString(s) }

// px writes a coordinate to a tenth.
func px(v float64) string {
	s := strconv.FormatFloat(v, 'f', 1, 64)
	return strings.TrimSuffix(s, ".0")
}

func (p *picture) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&p.b, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`, class, px(x1), px(y1), px(x2), px(y2))
}

func (p *picture) rect(class string, x, y, w, h float64) {
	fmt.Fprintf(&p.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, px(x), px(y), px(math.Max(w, 0)), px(math.Max(h, 0)))
}

func (p *picture) dot(class string, x, y, r float64) {
	fmt.Fprintf(&p.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, px(x), px(y), px(r))
}

// text writes words; anchor is start, middle or end.
func (p *picture) text(class, anchor string, x, y float64, s string) {
	fmt.Fprintf(&p.b, `<text class="%s" text-anchor="%s" x="%s" y="%s">%s</text>`, class, anchor, px(x), px(y), esc(s))
}

type point struct{ x, y float64 }

func (p *picture) path(class string, pts []point) {
	if len(pts) == 0 {
		return
	}
	fmt.Fprintf(&p.b, `<path class="%s" d="%s"/>`, class, trace(pts))
}

// area fills what lies between two lines.
func (p *picture) area(class string, low, high []point) {
	if len(low) == 0 || len(high) == 0 {
		return
	}
	all := append([]point(nil), high...)
	for i := len(low) - 1; i >= 0; i-- {
		all = append(all, low[i])
	}
	fmt.Fprintf(&p.b, `<path class="%s" d="%sZ"/>`, class, trace(all))
}

func trace(pts []point) string {
	var b strings.Builder
	for i, q := range pts {
		c := byte('L')
		if i == 0 {
			c = 'M'
		}
		b.WriteByte(c)
		b.WriteString(px(q.x))
		b.WriteByte(' ')
		b.WriteString(px(q.y))
	}
	return b.String()
}

// thin leaves out points that lie within tol of the line through those kept
// (Ramer's and Douglas and Peucker's rule, from memory).
func thin(pts []point, tol float64) []point {
	if len(pts) < 3 {
		return pts
	}
	keep := make([]bool, len(pts))
	keep[0], keep[len(pts)-1] = true, true
	type part struct{ a, b int }
	todo := []part{{0, len(pts) - 1}}
	for len(todo) > 0 {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		far, at := tol, -1
		a, b := pts[s.a], pts[s.b]
		long := math.Hypot(b.x-a.x, b.y-a.y)
		for i := s.a + 1; i < s.b; i++ {
			d := math.Hypot(pts[i].x-a.x, pts[i].y-a.y)
			if long > 0 {
				d = math.Abs((b.x-a.x)*(a.y-pts[i].y)-(a.x-pts[i].x)*(b.y-a.y)) / long
			}
			if d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, part{s.a, at}, part{at, s.b})
		}
	}
	var out []point
	for i, k := range keep {
		if k {
			out = append(out, pts[i])
		}
	}
	return out
}

// ticks are round numbers from low to high, about n of them.
func ticks(low, high float64, n int) []float64 {
	if !(high > low) || missing(low) || missing(high) {
		return []float64{low}
	}
	raw := (high - low) / float64(max(n, 1))
	step := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, f := range [...]float64{1, 2, 5, 10} {
		if f*step >= raw*0.999 {
			step *= f
			break
		}
	}
	var out []float64
	for k := math.Ceil(low/step - 1e-9); k*step <= high+step*1e-9; k++ {
		out = append(out, k*step)
	}
	return out
}

// tickText writes a tick with the decimals its neighbours need.
func tickText(v float64, all []float64) string {
	d := 0
	if len(all) > 1 {
		step := all[1] - all[0]
		for d < 4 && math.Abs(step*math.Pow(10, float64(d))-math.Round(step*math.Pow(10, float64(d)))) > 1e-6 {
			d++
		}
	}
	return quantity.FormatNumber(v, d)
}

// dayTick is a moment on a clock axis.
type dayTick struct {
	hour  float64 // after the start
	label string
}

// dayTicks are the moments to write below an axis of so many hours, at most
// about most of them: full hours for a run of a day or two, beginnings of days
// for longer ones.
func dayTicks(start int64, hours float64, most int) []dayTick {
	c := quantity.Clock(start)
	midnight := 24 - c.HourOfDay() // hours to the next 00:00
	if midnight >= 24 {
		midnight = 0
	}
	step := 24.0
	if hours <= 60 {
		step = 6
		if hours <= 24 {
			step = 3
		}
	}
	for _, s := range [...]float64{12, 24, 48, 96, 168, 336, 672} {
		if hours/step > float64(most) && s > step {
			step = s
		}
	}
	first := midnight
	if step < 24 {
		first = math.Mod(midnight, step)
	}
	var out []dayTick
	for h := first; h <= hours; h += step {
		at := c.Add(h * 3600)
		_, _, day := at.Date()
		label := fmt.Sprintf("%s %d", days[at.Weekday()], day)
		if step < 24 {
			label = days[at.Weekday()] + " " + hhmm(at)
		}
		out = append(out, dayTick{h, label})
	}
	return out
}
