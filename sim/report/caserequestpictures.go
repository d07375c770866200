package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	capitalcase "millrace/sim/futures/capital"
	"millrace/sim/measure"
	"millrace/sim/quantity"
)

func stateWords() []string { return measure.States[:] }

// amounts chooses the unit of a picture of money.
func amounts(a *capitalcase.Answer, v []float64) money { return moneyFor(a.Currency, v, nil) }

// span of a picture's axis: from the least to the largest value and zero.
func axisOf(v []float64) (low, high float64) {
	for _, x := range v {
		low, high = math.Min(low, x), math.Max(high, x)
	}
	if high == low {
		high = low + 1
	}
	return low, high
}

// lossPicture shows the lost tonnes by cause, as it is and with the option shown.
func lossPicture(a *capitalcase.Answer) figure {
	const w, left, right, row, above, below, rowsMost = 400.0, 8.0, 66.0, 40.0, 6.0, 36.0, 10
	b, o := a.Options[0].Baseline, a.Options[shownOption(a)].Baseline
	lost := b.Lost[:min(rowsMost, len(b.Lost))]
	high := 1.0
	for _, l := range lost {
		high = math.Max(high, math.Max(l.Tonnes, lostOf(o, l)))
	}
	per, unit := 1.0, "t a year"
	if high >= 20000 {
		per, unit = 1000, "thousand t a year"
	}
	at := func(v float64) float64 { return left + (w-left-right)*v/high }
	h := above + below + row*float64(len(lost))
	top := lost[0]
	tonnes := func(v float64) string { return count(int64(math.Round(v))) }
	title := fmt.Sprintf("%s loses most to %s: %s t a year", capital(b.Limit), top.Cause, tonnes(top.Tonnes))
	var desc []string
	for _, l := range lost {
		desc = append(desc, fmt.Sprintf("%s %s t as it is, %s t with %s", l.Cause, tonnes(l.Tonnes), tonnes(lostOf(o, l)), a.Options[shownOption(a)].Name))
	}
	p := newPicture(w, h, title, "Tonnes lost a year by cause, largest first: "+strings.Join(desc, "; ")+".")
	xs := ticks(0, high/per, 4)
	for _, v := range xs {
		p.line("gridline", at(v*per), above, at(v*per), h-below)
		p.text("tick", "middle", at(v*per), h-below+14, tickText(v, xs))
	}
	p.text("tick", "middle", left+(w-left-right)/2, h-5, "lost on "+shorten(b.Limit, 24)+", "+unit)
	for n, l := range lost {
		y := above + row*float64(n)
		p.text("label halo", "start", left, y+13, shorten(l.Cause, 58))
		p.rect("bar", left, y+18, math.Max(0.8, at(l.Tonnes)-left), 11)
		v := lostOf(o, l)
		p.rect("bar other", left, y+30, math.Max(0.8, at(v)-left), 5)
		p.text("number", "start", at(math.Max(l.Tonnes, v))+4, y+28, tonnes(l.Tonnes))
	}
	p.line("axis", left, above, left, h-below)
	return figure{title, p.done()}
}

// flowPicture shows the yearly totals as bars and the sum so far with its band.
func flowPicture(a *capitalcase.Answer, i int) figure {
	const w, h, left, right, above, below = 400.0, 230.0, 52.0, 8.0, 10.0, 38.0
	o := &a.Options[i]
	var all []float64
	for _, y := range o.Flow {
		all = append(all, float64(y.Total), float64(y.Cumulative), float64(y.CumulativeLow), float64(y.CumulativeHigh))
	}
	m := amounts(a, all)
	low, high := axisOf(all)
	n := float64(max(1, len(o.Flow)))
	xAt := func(y float64) float64 { return left + (w-left-right)*(y+0.5)/n }
	yAt := func(v float64) float64 { return above + (h-above-below)*(high-v)/(high-low) }
	title := fmt.Sprintf("%s: never paid back within %s", capital(o.Name), plural(a.Life, "year", "years"))
	if o.PaybackSimple != nil {
		title = fmt.Sprintf("%s: paid back after %s", capital(o.Name), yearsText(o.PaybackSimple))
		if *o.PaybackSimple == 0 {
			title = capital(o.Name) + ": nothing to pay back"
		}
	}
	var desc []string
	for _, y := range o.Flow {
		desc = append(desc, fmt.Sprintf("year %d %s, sum so far %s (%s)", y.Year, m.text(float64(y.Total)), m.number(float64(y.Cumulative)), m.span(float64(y.CumulativeLow), float64(y.CumulativeHigh))))
	}
	p := newPicture(w, h, title, "Cash flow by year, with the range of the sum in eight futures of ten: "+strings.Join(desc, "; ")+".")
	ys := ticks(low/m.per, high/m.per, 5)
	for _, v := range ys {
		p.line("gridline", left, yAt(v*m.per), w-right, yAt(v*m.per))
		p.text("tick", "end", left-5, yAt(v*m.per)+4, tickText(v, ys))
	}
	var lows, highs, mean []point
	for k, y := range o.Flow {
		x := xAt(float64(k))
		lows = append(lows, point{x, yAt(float64(y.CumulativeLow))})
		highs = append(highs, point{x, yAt(float64(y.CumulativeHigh))})
		mean = append(mean, point{x, yAt(float64(y.Cumulative))})
	}
	p.area("flowarea", lows, highs)
	wide := (w - left - right) / n * 0.5
	every := 1 + len(o.Flow)/12
	for k, y := range o.Flow {
		class := "bar"
		if y.Total < 0 {
			class = "bar saves"
		}
		v := float64(y.Total)
		top := yAt(math.Max(0, v))
		if v != 0 {
			p.rect(class, xAt(float64(k))-wide/2, top, wide, math.Max(0.8, yAt(math.Min(0, v))-top))
		}
		if k%every == 0 {
			p.text("tick", "middle", xAt(float64(k)), h-below+15, strconv.Itoa(y.Year))
		}
	}
	p.line("axis", left, yAt(0), w-right, yAt(0))
	p.path("meanhalo", mean) // it crosses bars of its own colour
	p.path("mean", mean)
	p.text("tick", "middle", left+(w-left-right)/2, h-5, "years after the decision; "+m.unit())
	return figure{title, p.done()}
}

// tornadoPicture shows what the net present value becomes at the ends of every
// assumption.
func tornadoPicture(a *capitalcase.Answer, bars []capitalcase.Bar) figure {
	const w, left, right, row, above, below = 400.0, 56.0, 56.0, 44.0, 6.0, 38.0
	name := bars[0].Option
	base := 0.0
	for i := range a.Options {
		if a.Options[i].Name == name {
			base = float64(a.Options[i].NPV.Mean)
		}
	}
	all := []float64{base}
	for _, b := range bars {
		all = append(all, float64(b.Low), float64(b.High))
	}
	m := amounts(a, all)
	low, high := axisOf(all)
	at := func(v float64) float64 { return left + (w-left-right)*(v-low)/(high-low) }
	h := above + below + row*float64(len(bars))
	top := bars[0]
	title := fmt.Sprintf("%s hangs most on %s", capital(name), top.What)
	var desc []string
	for _, b := range bars {
		desc = append(desc, fmt.Sprintf("%s: %s at %s, %s at %s", b.What, m.text(float64(b.Low)), b.LowText, m.text(float64(b.High)), b.HighText))
	}
	p := newPicture(w, h, title, fmt.Sprintf("Net present value of %s, %s as the case stands. %s.", name, m.text(base), strings.Join(desc, "; ")))
	xs := ticks(low/m.per, high/m.per, 4)
	for _, v := range xs {
		class := "gridline"
		if v == 0 {
			class = "axis"
		}
		p.line(class, at(v*m.per), above, at(v*m.per), h-below)
		p.text("tick", "middle", at(v*m.per), h-below+14, tickText(v, xs))
	}
	p.text("tick", "middle", left+(w-left-right)/2, h-5, "net present value, "+m.unit())
	for n, b := range bars {
		y := above + row*float64(n)
		p.text("label halo", "start", 4, y+14, shorten(b.What+": "+short(b.LowText)+" to "+short(b.HighText), 58))
		for _, e := range []struct {
			v     float64
			class string
		}{{float64(b.Low), "bar saves"}, {float64(b.High), "bar"}} {
			x, y2 := at(math.Min(e.v, base)), y+20
			if e.class == "bar" && (float64(b.Low)-base)*(e.v-base) > 0 {
				y2 += 8 // both ends on one side
			}
			p.rect(e.class, x, y2, math.Max(0.8, at(math.Max(e.v, base))-x), 14)
		}
		least, most := math.Min(float64(b.Low), float64(b.High)), math.Max(float64(b.Low), float64(b.High))
		p.text("number", "end", at(math.Min(least, base))-4, y+31, m.number(least))
		p.text("number", "start", at(math.Max(most, base))+4, y+31, m.number(most))
	}
	p.line("mark", at(base), above, at(base), h-below)
	return figure{title, p.done()}
}

// short cuts what is said of an end to what fits beside a bar.
func short(s string) string {
	s, _, _ = strings.Cut(s, " of what")
	if s == "everything can be sold" {
		return "all sold"
	}
	return s
}

// riskPictures show how the net present value lies over the futures, all options on
// one scale.
func riskPictures(a *capitalcase.Answer) (out []figure) {
	var all []float64
	for i := 1; i < len(a.Options); i++ {
		o := &a.Options[i]
		all = append(all, float64(o.NPV.Low), float64(o.NPV.High))
		for _, v := range o.Values {
			all = append(all, float64(v))
		}
	}
	low, high := axisOf(all)
	m := amounts(a, all)
	for i := 1; i < len(a.Options); i++ {
		out = append(out, riskPicture(a, i, m, low, high))
	}
	return out
}

func riskPicture(a *capitalcase.Answer, i int, m money, low, high float64) figure {
	const w, h, left, right, above, below, bins = 400.0, 170.0, 30.0, 14.0, 26.0, 38.0, 24
	o := &a.Options[i]
	at := func(v float64) float64 { return left + (w-left-right)*(v-low)/(high-low) }
	var have [bins]int
	most := 1
	for _, v := range o.Values {
		k := min(bins-1, int(bins*(float64(v)-low)/(high-low)))
		have[k]++
		most = max(most, have[k])
	}
	title := fmt.Sprintf("%s: above zero in %s of futures", capital(o.Name), percent(o.ChancePositive))
	p := newPicture(w, h, title, fmt.Sprintf("Net present value of %s over %s: mean %s, 95 %% interval of the mean %s, one in ten below %s, one in ten above %s.",
		o.Name, plural(len(o.Values), "future", "futures"), m.text(float64(o.NPV.Mean)), m.span(float64(o.NPV.Low), float64(o.NPV.High)), m.number(float64(o.NPV.P10)), m.number(float64(o.NPV.P90))))
	xs := ticks(low/m.per, high/m.per, 5)
	for _, v := range xs {
		class := "gridline"
		if v == 0 {
			class = "axis"
		}
		p.line(class, at(v*m.per), above, at(v*m.per), h-below)
		p.text("tick", "middle", at(v*m.per), h-below+14, tickText(v, xs))
	}
	yAt := func(n float64) float64 { return h - below - (h-above-below)*n/float64(most) }
	for _, n := range ticks(0, float64(most), 3) {
		if n == math.Trunc(n) {
			p.text("tick", "end", left-5, yAt(n)+4, quantity.FormatNumber(n, 0))
		}
	}
	for k, n := range have {
		if n > 0 {
			x := left + (w-left-right)*float64(k)/bins
			p.rect("bar", x+0.5, yAt(float64(n)), (w-left-right)/bins-1, h-below-yAt(float64(n)))
		}
	}
	p.line("interval", at(float64(o.NPV.Low)), 13, at(float64(o.NPV.High)), 13)
	p.dot("meandot", at(float64(o.NPV.Mean)), 13, 4.5)
	p.line("axis", left, h-below, w-right, h-below)
	p.text("tick", "middle", left+(w-left-right)/2, h-5, "net present value, "+m.unit()+"; futures a bar")
	return figure{title, p.done()}
}
