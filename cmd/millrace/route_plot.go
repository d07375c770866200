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
	routePlotW, routePlotH = 1280, 580
	routeLeft, routeRight  = 64, 1216
	routeTop, routeBottom  = 110, 466
	routeMaxC              = 1600.0
	routeLeastMM           = 0.2
	routeMostMM            = 500.0
)

// routeStyle gives the colours, by the reader's choice of light or dark.
const routeStyle = `<style>
.ground{fill:#ffffff}.band{fill:#f3f3f0}.grid{stroke:#d9d9d4}.frame{stroke:#6b6b66}.ink{fill:#1a1a1a}.soft{fill:#55554f}
.temp{stroke:#b3401a}.tempt{fill:#b3401a}.thick{stroke:#1f5a8a}.thickt{fill:#1f5a8a}
@media (prefers-color-scheme: dark){
.ground{fill:#16181a}.band{fill:#202327}.grid{stroke:#3a3e44}.frame{stroke:#8a8f96}.ink{fill:#f0f0ec}.soft{fill:#b9bcc0}
.temp{stroke:#ff9466}.tempt{fill:#ff9466}.thick{stroke:#7dbdf0}.thickt{fill:#7dbdf0}
}
</style>
`

// routePlot draws temperature and thickness along the way as an SVG. Each step has
// a stretch of its own, in which time runs evenly, for some take seconds and some days.
func routePlot(j *works.Journey) string {
	var b strings.Builder
	title := routePlotTitle(j)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" aria-labelledby="route-title route-desc" font-family="sans-serif" font-size="12">`+"\n",
		routePlotW, routePlotH, routePlotW, routePlotH)
	fmt.Fprintf(&b, "<title id=\"route-title\">%s</title>\n", html.EscapeString(title))
	fmt.Fprintf(&b, "<desc id=\"route-desc\">%s</desc>\n", html.EscapeString(routePlotDesc(j)))
	b.WriteString(routeStyle)
	fmt.Fprintf(&b, `<rect class="ground" width="%d" height="%d"/>`+"\n", routePlotW, routePlotH)
	for i, l := range routeWrap(title, 130) {
		fmt.Fprintf(&b, `<text class="ink" x="%d" y="%d" font-size="16">%s</text>`+"\n", routeLeft, 28+21*i, html.EscapeString(l))
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
	s += fmt.Sprintf(", coiled %.4g mm thick at %.0f C", j.ThicknessMM, j.RunOut.CoilC)
	if len(j.ColdStands) > 0 {
		s += fmt.Sprintf(", cold rolled to %.4g mm", j.ColdMill.ExitMM)
	}
	if k := &j.Anneal; k.BaseS > 0 {
		s += fmt.Sprintf(", annealed at %.0f C", k.ColdC)
	}
	return s + fmt.Sprintf(", fit for %s after %s", j.ReadyFor, quantity.FormatDuration(j.TotalS))
}

func routePlotDesc(j *works.Journey) string {
	var parts []string
	for i := range j.Steps {
		s := &j.Steps[i]
		at := fmt.Sprintf("at %.0f C, ", s.OutC)
		if s.NotComputed {
			at = ""
		}
		parts = append(parts, fmt.Sprintf("%s %s, leaves %s%.4g mm", routeUnit(j, s.Name), quantity.FormatDuration(s.TakesS), at, s.ThicknessMM))
	}
	return "Temperature in C on the left axis, thickness in mm on the right axis, logarithmic, against time; time runs evenly within a step and each step has its own scale. " +
		"Between liquidus and cut, and in the cold mill, the temperature is a straight line, not computed. Steps: " + strings.Join(parts, "; ") + "."
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

func routeAxes(b *strings.Builder, j *works.Journey, edges []float64) {
	for i := range j.Steps {
		if i%2 == 1 {
			fmt.Fprintf(b, `<rect class="band" x="%.1f" y="%d" width="%.1f" height="%d"/>`+"\n", edges[i], routeTop, edges[i+1]-edges[i], routeBottom-routeTop)
		}
	}
	for c := 0.0; c <= routeMaxC; c += 200 {
		y := routeTempY(c)
		fmt.Fprintf(b, `<line class="grid" x1="%d" y1="%.1f" x2="%d" y2="%.1f"/><text class="tempt" x="%d" y="%.1f" text-anchor="end">%.0f</text>`+"\n",
			routeLeft, y, routeRight, y, routeLeft-6, y+4, c)
	}
	for _, mm := range []float64{0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500} {
		y := routeThickY(mm)
		fmt.Fprintf(b, `<line class="thick" x1="%d" y1="%.1f" x2="%d" y2="%.1f"/><text class="thickt" x="%d" y="%.1f">%g</text>`+"\n",
			routeRight, y, routeRight+5, y, routeRight+9, y+4, mm)
	}
	fmt.Fprintf(b, `<text class="tempt" x="%d" y="%d" text-anchor="end">C</text><text class="thickt" x="%d" y="%d">mm</text>`+"\n",
		routeLeft-6, routeTop-12, routeRight+9, routeTop-12)
	fmt.Fprintf(b, `<rect class="frame" x="%d" y="%d" width="%d" height="%d" fill="none"/>`+"\n", routeLeft, routeTop, routeRight-routeLeft, routeBottom-routeTop)
	for i := range j.Steps {
		s := &j.Steps[i]
		x := 0.5 * (edges[i] + edges[i+1])
		y := routeBottom + 18
		for _, l := range routeWrap(routeUnit(j, s.Name), 10) {
			fmt.Fprintf(b, `<text class="step ink" x="%.1f" y="%d" text-anchor="middle">%s</text>`+"\n", x, y, html.EscapeString(l))
			y += 15
		}
		fmt.Fprintf(b, `<text class="takes soft" x="%.1f" y="%d" text-anchor="middle">%s</text>`+"\n", x, routeBottom+52, html.EscapeString(routeTakes(s.TakesS)))
	}
	fmt.Fprintf(b, `<text class="soft" x="%.1f" y="%d" text-anchor="middle">time since casting, each step to its own scale; below its name what it takes</text>`+"\n", 0.5*float64(routeLeft+routeRight), routeBottom+82)
}

// A curve's looks.
const (
	routeMean  = `class="temp" stroke-width="2.4"`
	routeThin  = `class="temp" stroke-width="0.9"`
	routeThick = `class="thick" stroke-width="2" stroke-dasharray="7 4"`
)

// routeCurves draws the ends of the spread thin, the mean bold and the thickness dashed.
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
			if last >= 0 && p.Step != last && style == routeThin {
				flush() // the spread starts anew in each step
			}
			last = p.Step
			line = append(line, fmt.Sprintf("%.1f,%.1f", at(p), y))
		}
		flush()
	}
	draw(routeThin, func(p *works.JourneyPoint) (float64, bool) { return routeTempY(p.SurfaceC), p.SurfaceC > 0 })
	draw(routeThin, func(p *works.JourneyPoint) (float64, bool) { return routeTempY(p.CentreC), p.CentreC > 0 })
	draw(routeThick, func(p *works.JourneyPoint) (float64, bool) { return routeThickY(p.ThicknessMM), true })
	draw(routeMean, func(p *works.JourneyPoint) (float64, bool) { return routeTempY(p.TempC), true })
}

func routeKey(b *strings.Builder) {
	y := routeTop - 16
	x := routeLeft + 40
	for _, k := range []struct {
		style, text, ink string
		wide             int
	}{
		{routeMean, "mean temperature, hottest place of a lying coil", "tempt", 350},
		{routeThin, "surface and centre of a slab, coldest and hottest place on a base", "tempt", 450},
		{routeThick, "thickness", "thickt", 0},
	} {
		fmt.Fprintf(b, `<line x1="%d" y1="%d" x2="%d" y2="%d" %s/><text class="%s" x="%d" y="%d">%s</text>`+"\n", x, y-4, x+32, y-4, k.style, k.ink, x+38, y, k.text)
		x += k.wide
	}
}
