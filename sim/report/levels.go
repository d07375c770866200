package report

import (
	"fmt"
	"html/template"
	"math"

	"millrace/sim/futures"
	"millrace/sim/quantity"
)

// storeRow is one store and its picture under every plan.
type storeRow struct {
	Title    string // what the row shows
	Twin     string // how the store does without the upset
	Pictures []figure
}

// figure is a picture with its caption, which says what is found in it.
type figure struct {
	Caption string
	SVG     template.HTML
}

const (
	// likelier is how much likelier full or dry must be than without the upset
	// to be worth a word.
	likelier = 0.05
	// farOff is the part of a store's range by which its mean must leave that
	// without the upset to be worth a picture.
	farOff = 0.1
)

// storesThatMatter are the stores that an upset drives full, dry or out of their
// band under some plan, and the names of those where it does not: what happens
// as often without the upset is not its doing.
func storesThatMatter(c *futures.Comparison) (matter []string, calm []string) {
	for i := range c.Twin.Bands {
		twin := &c.Twin.Bands[i]
		hit := false
		for k := range c.Plans {
			p := &c.Plans[k]
			b := band(p, twin.Store)
			if b == nil {
				continue
			}
			_, _, rises := brink(c, p, b.Store)
			hit = hit || rises || leaves(b) && moved(b, twin) || used(b, twin)
		}
		if hit {
			matter = append(matter, twin.Store)
		} else {
			calm = append(calm, twin.Store)
		}
	}
	return matter, calm
}

// brink is whether a store is full or dry more often under a plan than without
// the upset, and how often.
func brink(c *futures.Comparison, p *futures.PlanResult, store string) (what string, share float64, rises bool) {
	for _, w := range [...]string{"full", "dry"} {
		v, without := mean(p.Measures, store+" "+w), mean(c.Twin.Measures, store+" "+w)
		if missing(without) {
			without = 0
		}
		if v-without > likelier && v-without > share {
			what, share, rises = w, v-without, true
		}
	}
	if rises {
		share = mean(p.Measures, store+" "+what)
	}
	return what, share, rises
}

func band(p *futures.PlanResult, store string) *futures.Band {
	for i := range p.Bands {
		if p.Bands[i].Store == store {
			return &p.Bands[i]
		}
	}
	return nil
}

// leaves says whether one future in ten or more is outside the band at any hour.
func leaves(b *futures.Band) bool {
	for h := range b.Mean {
		if b.High > 0 && b.P90[h] > b.High || b.P10[h] < b.Low {
			return true
		}
	}
	return b.High == 0 && b.Low == 0 && b.Room == 0
}

// moved says whether the mean level is ever far off the twin's.
func moved(b, twin *futures.Band) bool {
	top := ceiling(b)
	for h := range min(len(b.Mean), len(twin.Mean)) {
		if math.Abs(b.Mean[h]-twin.Mean[h]) > farOff*top {
			return true
		}
	}
	return false
}

// used says whether a store that is empty without the upset is used under a plan: an
// overflow yard.
func used(b, twin *futures.Band) bool {
	top := 0.0
	for h := range min(len(b.Mean), len(twin.Mean)) {
		if twin.Mean[h] > 0.001*ceiling(b) {
			return false
		}
		top = max(top, b.Mean[h])
	}
	return top > 0.02*ceiling(b)
}

// ceiling is the highest level to draw.
func ceiling(b *futures.Band) float64 {
	top := max(b.Room, b.High)
	for _, v := range b.P90 {
		top = max(top, v)
	}
	return top
}

// levelRows draws every store that matters under every plan.
func levelRows(c *futures.Comparison, x Extra) []storeRow {
	var out []storeRow
	matter, _ := storesThatMatter(c)
	for _, store := range matter {
		twin := band(&c.Twin, store)
		top := ceiling(twin)
		for i := range c.Plans {
			if b := band(&c.Plans[i], store); b != nil {
				top = max(top, ceiling(b))
			}
		}
		r := storeRow{Title: fmt.Sprintf("%s, %s", capital(store), twin.Amount), Twin: "Without the upset: " + quiet(c, twin) + "."}
		for _, i := range ranked(c) {
			p := &c.Plans[i]
			b := band(p, store)
			if b == nil {
				continue
			}
			caption := capital(p.Name) + ": " + levelFinding(c, p, b)
			r.Pictures = append(r.Pictures, figure{caption, levelPicture(c, x, store, caption, b, twin, top)})
		}
		out = append(out, r)
	}
	return out
}

// levelFinding says in words what a store does under a plan.
func levelFinding(c *futures.Comparison, p *futures.PlanResult, b *futures.Band) string {
	if what, share, rises := brink(c, p, b.Store); rises {
		s := fmt.Sprintf("%s in %s of futures", what, percent(share))
		if share >= 1 {
			s = what + " in every future"
		}
		if without := mean(c.Twin.Measures, b.Store+" "+what); without > 0 {
			s += fmt.Sprintf(" (%s without the upset)", percent(without))
		}
		if a, ok := p.Measures.Get(b.Store + " " + what + " after"); ok && a.N > 0 {
			from, to := hourAt(c.Start, a.P10), hourAt(c.Start, a.P90)
			if from == to {
				s += ", first at " + from
			} else {
				s += ", first between " + from + " and " + to
			}
		}
		return s
	}
	if where, from, to := outside(b); where != "" {
		return fmt.Sprintf("%s its normal band on average from %s to %s", where, hourAt(c.Start, float64(from)), hourAt(c.Start, float64(to)))
	}
	if b.Low == 0 && b.High == 0 {
		low, at := math.Inf(1), 0
		for h, v := range b.Mean {
			if v < low {
				low, at = v, h
			}
		}
		return fmt.Sprintf("lowest at %s, %s on average", hourAt(c.Start, float64(at)), withUnit(amount(low), b.Amount))
	}
	if leaves(b) {
		return "on average inside its normal band, outside it in more than 1 future of 10"
	}
	return "stays inside its normal band"
}

// quiet says what a store does without the upset.
func quiet(c *futures.Comparison, twin *futures.Band) string {
	s := levelFinding(c, &c.Twin, twin)
	for _, w := range [...]string{"full", "dry"} {
		if v := mean(c.Twin.Measures, twin.Store+" "+w); v > 0 {
			s += fmt.Sprintf("; %s in %s of futures", w, percent(v))
		}
	}
	return s
}

// outside is the longest time in a row that the mean is above or below the band:
// its first hour and the first one after it. Where is "" when there is none.
func outside(b *futures.Band) (where string, from, to int) {
	for _, side := range [...]struct {
		word string
		out  func(v float64) bool
	}{
		{"above", func(v float64) bool { return b.High > 0 && v > b.High }},
		{"below", func(v float64) bool { return v < b.Low }},
	} {
		for h := 0; h < len(b.Mean); h++ {
			begin := h
			for h < len(b.Mean) && side.out(b.Mean[h]) {
				h++
			}
			if h-begin > to-from {
				where, from, to = side.word, begin, min(h, len(b.Mean)-1)
			}
		}
	}
	return where, from, to
}

// levelPicture draws one store under one plan: the band of eight futures in ten,
// the mean, the mean without the upset, the normal band and the room.
func levelPicture(c *futures.Comparison, x Extra, store, caption string, b, twin *futures.Band, top float64) template.HTML {
	const w, h, left, right, above, below = 400.0, 212.0, 50.0, 10.0, 26.0, 40.0
	hours := float64(len(b.Mean) - 1)
	if hours < 1 {
		hours = 1
	}
	high := top * 1.06
	if high <= 0 {
		high = 1
	}
	xAt := func(v float64) float64 { return left + (w-left-right)*v/hours }
	yAt := func(v float64) float64 { return h - below - (h-above-below)*math.Min(v, high)/high }
	desc := fmt.Sprintf("Level of the %s in %s over clock time from %s for %s. Mean between %s and %s.", store, b.Amount, begins(c.Start),
		quantity.FormatDuration(hours*3600), withUnit(amount(least(b.Mean)), b.Amount), withUnit(amount(most(b.Mean)), b.Amount))
	p := newPicture(w, h, capital(store)+". "+caption, desc)

	if b.High > b.Low {
		p.rect("normal", left, yAt(b.High), w-left-right, yAt(b.Low)-yAt(b.High))
	}
	ys := ticks(0, top, 4)
	for _, v := range ys {
		p.line("gridline", left, yAt(v), w-right, yAt(v))
		p.text("tick", "end", left-5, yAt(v)+3.5, tickText(v, ys))
	}
	p.text("tick", "start", 2, 11, "level, "+b.Amount)
	xs := dayTicks(c.Start, hours, 7)
	for _, t := range xs {
		p.line("tickmark", xAt(t.hour), h-below, xAt(t.hour), h-below+4)
		anchor := "middle"
		if xAt(t.hour) > w-right-16 {
			anchor = "end"
		}
		p.text("tick", anchor, xAt(t.hour), h-below+15, t.label)
	}
	axis := "clock time; marks at 00:00 of the day"
	if hours <= 60 {
		axis = "clock time"
	}
	p.text("tick", "middle", left+(w-left-right)/2, h-6, axis)

	lines := func(v []float64) []point {
		pts := make([]point, len(v))
		for i := range v {
			pts[i] = point{xAt(math.Min(float64(i), hours)), yAt(v[i])}
		}
		return thin(pts, 0.3)
	}
	p.area("spread", lines(b.P10), lines(b.P90))
	p.path("twin", lines(twin.Mean[:min(len(twin.Mean), len(b.Mean))]))
	p.path("mean", lines(b.Mean))
	if b.Room > 0 {
		p.line("room", left, yAt(b.Room), w-right, yAt(b.Room))
		p.text("roomword", "end", w-right-2, yAt(b.Room)-3, "full at "+withUnit(plain(b.Room), b.Amount))
	}
	for _, m := range x.Marks {
		if m.At < 0 || m.At > hours {
			continue
		}
		p.line("mark", xAt(m.At), above, xAt(m.At), h-below)
		if xAt(m.At) > w-right-60 {
			p.text("tick halo", "end", xAt(m.At)-4, h-below-5, m.Label)
		} else {
			p.text("tick halo", "start", xAt(m.At)+4, h-below-5, m.Label)
		}
	}
	p.line("axis", left, h-below, w-right, h-below)
	return p.done()
}

func least(v []float64) float64 {
	m := math.Inf(1)
	for _, x := range v {
		m = min(m, x)
	}
	return m
}

func most(v []float64) float64 {
	m := math.Inf(-1)
	for _, x := range v {
		m = max(m, x)
	}
	return m
}
