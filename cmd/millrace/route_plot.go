package main

import (
	"fmt"
	"html"
	"math"
	"strings"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

// Size of the picture and of the field in it, px.
const (
	routePlotW, routePlotH = 1080, 560
	routeLeft, routeRight  = 64, 1016
	routeTop, routeBottom  = 96, 452
	routeMaxC              = 1600.0
	routeLeastMM           = 1.0
	routeMostMM            = 400.0
)

// routePlot draws temperature and thickness along the way as an SVG. Each step has
// a stretch of its own, in which time runs evenly, for some take seconds and some days.
func routePlot(j *works.Journey) string {
	var b strings.Builder
	title := routePlotTitle(j)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" aria-labelledby="route-title route-desc" font-family="sans-serif" font-size="12">`+"\n",
		routePlotW, routePlotH, routePlotW, routePlotH)
	fmt.Fprintf(&b, "<title id=\"route-title\">%s</title>\n", html.EscapeString(title))
	fmt.Fprintf(&b, "<desc id=\"route-desc\">%s</desc>\n", html.EscapeString(routePlotDesc(j)))
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="#ffffff"/>`+"\n", routePlotW, routePlotH)
	for i, l := range routeWrap(title, 118) {
		fmt.Fprintf(&b, `<text x="%d" y="%d" font-size="16" fill="#1a1a1a">%s</text>`+"\n", routeLeft, 26+20*i, html.EscapeString(l))
	}
	edges := routeEdges(j)
	routeAxes(&b, j, edges)
	routeCurves(&b, j, edges)
	routeKey(&b)
	b.WriteString("</svg>\n")
	return b.String()
}

// routePlotTitle says what the picture shows.
func routePlotTitle(j *works.Journey) string {
	s := fmt.Sprintf("%s at %s: charged at %.0f C", j.Product, j.Works, j.Yard.ChargeC)
	if j.Furnace.MeanC > 0 {
		s += fmt.Sprintf(", reheated to %.0f C", j.Furnace.MeanC)
	}
	if b := j.Broken; b != nil {
		return s + fmt.Sprintf(", it cannot pass the %s", routeUnit(j, b.Step))
	}
	return s + fmt.Sprintf(", coiled %.4g mm thick at %.0f C, fit for %s after %s", j.ThicknessMM, j.RunOut.CoilC, j.ReadyFor, quantity.FormatDuration(j.TotalS))
}

func routePlotDesc(j *works.Journey) string {
	var parts []string
	for i := range j.Steps {
		s := &j.Steps[i]
		parts = append(parts, fmt.Sprintf("%s %s, leaves at %.0f C, %.4g mm", routeUnit(j, s.Name), quantity.FormatDuration(s.TakesS), s.OutC, s.ThicknessMM))
	}
	return "Temperature in C on the left axis, thickness in mm on the right axis, logarithmic, against time; time runs evenly within a step and each step has its own scale. " +
		"Between liquidus and cut the temperature is a straight line, not computed. Steps: " + strings.Join(parts, "; ") + "."
}

// routeEdges are the abscissae of the borders between steps.
func routeEdges(j *works.Journey) []float64 {
	weight := func(name string) float64 {
		if name == "rougher" || name == "finishing train" {
			return 1.5
		}
		return 1
	}
	sum := 0.0
	for i := range j.Steps {
		sum += weight(j.Steps[i].Name)
	}
	edges := []float64{routeLeft}
	x := float64(routeLeft)
	for i := range j.Steps {
		x += weight(j.Steps[i].Name) / sum * (routeRight - routeLeft)
		edges = append(edges, x)
	}
	return edges
}

func routeTempY(c float64) float64 {
	c = min(max(c, 0), routeMaxC)
	return routeBottom - c/routeMaxC*(routeBottom-routeTop)
}

func routeThickY(mm float64) float64 {
	mm = min(max(mm, routeLeastMM), routeMostMM)
	return routeBottom - math.Log(mm/routeLeastMM)/math.Log(routeMostMM/routeLeastMM)*(routeBottom-routeTop)
}

const (
	routeTempColour  = "#b3401a"
	routeThickColour = "#1f5a8a"
)

func routeAxes(b *strings.Builder, j *works.Journey, edges []float64) {
	for i := range j.Steps {
		if i%2 == 1 {
			fmt.Fprintf(b, `<rect x="%.1f" y="%d" width="%.1f" height="%d" fill="#f3f3f0"/>`+"\n", edges[i], routeTop, edges[i+1]-edges[i], routeBottom-routeTop)
		}
	}
	for c := 0.0; c <= routeMaxC; c += 200 {
		y := routeTempY(c)
		fmt.Fprintf(b, `<line x1="%d" y1="%.1f" x2="%d" y2="%.1f" stroke="#d9d9d4"/><text x="%d" y="%.1f" text-anchor="end" fill="%s">%.0f</text>`+"\n",
			routeLeft, y, routeRight, y, routeLeft-6, y+4, routeTempColour, c)
	}
	for _, mm := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 400} {
		y := routeThickY(mm)
		fmt.Fprintf(b, `<line x1="%d" y1="%.1f" x2="%d" y2="%.1f" stroke="%s"/><text x="%d" y="%.1f" fill="%s">%.0f</text>`+"\n",
			routeRight, y, routeRight+5, y, routeThickColour, routeRight+9, y+4, routeThickColour, mm)
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" text-anchor="end" fill="%s">C</text><text x="%d" y="%d" fill="%s">mm</text>`+"\n",
		routeLeft-6, routeTop-12, routeTempColour, routeRight+9, routeTop-12, routeThickColour)
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="none" stroke="#6b6b66"/>`+"\n", routeLeft, routeTop, routeRight-routeLeft, routeBottom-routeTop)
	for i := range j.Steps {
		s := &j.Steps[i]
		x := 0.5 * (edges[i] + edges[i+1])
		y := routeBottom + 18
		for _, l := range routeWrap(routeUnit(j, s.Name), 12) {
			fmt.Fprintf(b, `<text class="step" x="%.1f" y="%d" text-anchor="middle" fill="#1a1a1a">%s</text>`+"\n", x, y, html.EscapeString(l))
			y += 15
		}
		fmt.Fprintf(b, `<text class="takes" x="%.1f" y="%d" text-anchor="middle" fill="#55554f">%s</text>`+"\n", x, routeBottom+50, html.EscapeString(routeTakes(s.TakesS)))
	}
	fmt.Fprintf(b, `<text x="%.1f" y="%d" text-anchor="middle" fill="#55554f">time since casting, each step to its own scale; below its name what it takes</text>`+"\n", 0.5*float64(routeLeft+routeRight), routeBottom+78)
}

// routeCurves draws surface and centre thin, the mean bold and the thickness dashed.
func routeCurves(b *strings.Builder, j *works.Journey, edges []float64) {
	at := func(p *works.JourneyPoint) float64 {
		s := &j.Steps[p.Step]
		f := 0.0
		if s.TakesS > 0 {
			f = min(max((p.AtS-s.BeginsS)/s.TakesS, 0), 1)
		}
		return edges[p.Step] + f*(edges[p.Step+1]-edges[p.Step])
	}
	draw := func(style string, value func(p *works.JourneyPoint) (float64, bool)) {
		var line []string
		flush := func() {
			if len(line) > 1 {
				fmt.Fprintf(b, `<polyline fill="none" %s points="%s"/>`+"\n", style, strings.Join(line, " "))
			}
			line = nil
		}
		last := -1
		for i := range j.Trace {
			p := &j.Trace[i]
			y, ok := value(p)
			if !ok {
				flush()
				continue
			}
			if last >= 0 && p.Step != last && strings.Contains(style, "0.7") {
				flush() // surface and centre start anew in each step
			}
			last = p.Step
			line = append(line, fmt.Sprintf("%.1f,%.1f", at(p), y))
		}
		flush()
	}
	thin := `stroke="` + routeTempColour + `" stroke-width="0.7"`
	draw(thin, func(p *works.JourneyPoint) (float64, bool) { return routeTempY(p.SurfaceC), p.SurfaceC > 0 })
	draw(thin, func(p *works.JourneyPoint) (float64, bool) { return routeTempY(p.CentreC), p.CentreC > 0 })
	draw(`stroke="`+routeThickColour+`" stroke-width="2" stroke-dasharray="7 4"`, func(p *works.JourneyPoint) (float64, bool) { return routeThickY(p.ThicknessMM), true })
	draw(`stroke="`+routeTempColour+`" stroke-width="2.4"`, func(p *works.JourneyPoint) (float64, bool) { return routeTempY(p.TempC), true })
}

func routeKey(b *strings.Builder) {
	y := routeTop - 16
	x := routeLeft + 60
	for _, k := range []struct{ style, text, colour string }{
		{`stroke-width="2.4"`, "mean temperature", routeTempColour},
		{`stroke-width="0.7"`, "surface and centre", routeTempColour},
		{`stroke-width="2" stroke-dasharray="7 4"`, "thickness", routeThickColour},
	} {
		fmt.Fprintf(b, `<line x1="%d" y1="%d" x2="%d" y2="%d" stroke="%s" %s/><text x="%d" y="%d" fill="%s">%s</text>`+"\n", x, y-4, x+32, y-4, k.colour, k.style, x+38, y, k.colour, k.text)
		x += 180
	}
}
