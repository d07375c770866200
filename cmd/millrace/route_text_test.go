package main

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/quantity"
	"millrace/sim/steel/hotrolling"
	"millrace/sim/works"
)

// larkfellPlant is the demo works.
func larkfellPlant(t *testing.T) *works.Plant {
	t.Helper()
	at, err := quantity.ParseClock("2031-11-06 06:00")
	if err != nil {
		t.Fatal(err)
	}
	p, _, err := loadWorks("larkfell/works.lua", at)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// brokenPlant is the same works with a rougher too weak for its slabs.
func brokenPlant(t *testing.T) *works.Plant {
	t.Helper()
	q := *larkfellPlant(t)
	q.Spec.Rougher.Mill.MaxForce /= 10
	return &q
}

func TestRouteTextIsAPage(t *testing.T) {
	p := larkfellPlant(t)
	for i := range p.Spec.Products {
		for _, charge := range []float64{math.NaN(), 60, 700} {
			j, err := p.Journey(i, charge)
			if err != nil {
				t.Errorf("%s from %.0f C: %v", p.Spec.Products[i].Name, charge, err)
				continue
			}
			text := routeText(&j)
			lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
			for _, l := range lines {
				if n := len([]rune(l)); n > routeWidth {
					t.Errorf("%s: a line of %d columns: %s", j.Product, n, l)
				}
			}
			if len(lines) > 84 {
				t.Errorf("%s: %d lines are more than a page", j.Product, len(lines))
			}
			if !strings.HasPrefix(lines[0], j.Product+" takes "+quantity.FormatDuration(j.TotalS)+" ") {
				t.Errorf("the first line is %q", lines[0])
			}
			for _, s := range j.Steps {
				if !strings.Contains(text, "\n"+routeUnit(&j, s.Name)+" ") {
					t.Errorf("%s: no line for %s", j.Product, s.Name)
				}
			}
			for _, want := range []string{"invented", "PASS ", "STAND ", "LIMITS ", "narrowest", "TABLES ", "Planning aid"} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: nothing about %q", j.Product, want)
				}
			}
			if bad := routeNonsense(text); bad != "" {
				t.Errorf("%s: %q in the text", j.Product, bad)
			}
		}
	}
}

func routeNonsense(s string) string {
	for _, bad := range []string{"NaN", "Inf", "%!", "not known", "unlimited", "never "} {
		if strings.Contains(s, bad) {
			return bad
		}
	}
	return ""
}

func TestRouteTextOfABrokenWay(t *testing.T) {
	j, err := brokenPlant(t).Journey(0, math.NaN())
	var le *hotrolling.LimitError
	if !errors.As(err, &le) {
		t.Fatalf("no limit was broken: %v", err)
	}
	text := strings.Join(strings.Fields(routeText(&j)), " ")
	for _, want := range []string{"cannot be made: its way ends before the rougher", "STOPS", strings.Join(strings.Fields(le.Suggest), " "),
		fmt.Sprintf("%s %.1f %% beyond what is allowed", le.Limit, (le.Value/le.Allowed-1)*100)} {
		if !strings.Contains(text, want) {
			t.Errorf("nothing about %q in %s", want, text)
		}
	}
	if strings.Contains(text, "STAND ") || strings.Contains(text, "COIL ") {
		t.Error("it tells of steps that were not reached")
	}
	for _, l := range strings.Split(routeText(&j), "\n") {
		if len([]rune(l)) > routeWidth {
			t.Errorf("too wide: %s", l)
		}
	}
	if bad := routeNonsense(routePlot(&j)); bad != "" {
		t.Errorf("%q in the picture", bad)
	}
}

func TestRouteWrapKeepsWords(t *testing.T) {
	got := routeWrap("one two three four", 9)
	if want := []string{"one two", "three", "four"}; strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("wrapped as %q", got)
	}
	if c := routeClock(3600*27 + 59.6); c != "27:01:00" {
		t.Errorf("clock is %s", c)
	}
}

// The picture is well-formed, says what it shows, and keeps its curves in the field.
func TestRoutePlot(t *testing.T) {
	j, err := larkfellPlant(t).Journey(0, math.NaN())
	if err != nil {
		t.Fatal(err)
	}
	j.Product = `A<B & "C"` // names are the user's
	svg := routePlot(&j)
	if f := os.Getenv("MILLRACE_ROUTE_PLOT"); f != "" {
		if err := os.WriteFile(f, []byte(svg), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if bad := routeNonsense(svg); bad != "" {
		t.Errorf("%q in the picture", bad)
	}
	d := xml.NewDecoder(strings.NewReader(svg))
	steps, lines, text, title := 0, 0, "", ""
	in := ""
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch k := tok.(type) {
		case xml.StartElement:
			in = k.Name.Local
			at := map[string]string{}
			for _, a := range k.Attr {
				at[a.Name.Local] = a.Value
			}
			if in == "svg" && (at["role"] != "img" || at["aria-labelledby"] == "") {
				t.Errorf("the picture is not labelled: %v", at)
			}
			if strings.HasPrefix(at["class"], "takes") {
				steps++
			}
			if in != "polyline" {
				break
			}
			lines++
			last := -1.0
			for _, p := range strings.Fields(at["points"]) {
				a, b, _ := strings.Cut(p, ",")
				x, err1 := strconv.ParseFloat(a, 64)
				y, err2 := strconv.ParseFloat(b, 64)
				if err1 != nil || err2 != nil || x < routeLeft || x > routeRight+0.1 || y < routeTop || y > routeBottom {
					t.Fatalf("point %q is outside the field", p)
				}
				if x < last-0.05 {
					t.Fatalf("the curve goes back at %q", p)
				}
				last = x
			}
		case xml.CharData:
			if in == "title" {
				title += string(k)
			}
			text += string(k)
		case xml.EndElement:
			in = ""
		}
	}
	if steps != len(j.Steps) {
		t.Errorf("%d steps are labelled, there are %d", steps, len(j.Steps))
	}
	// Mean and thickness; surface and centre in yard and furnace.
	if lines != 6 {
		t.Errorf("%d curves", lines)
	}
	if !strings.Contains(title, `A<B & "C"`) || !strings.Contains(title, quantity.FormatDuration(j.TotalS)) {
		t.Errorf("the title is %q", title)
	}
	if !strings.Contains(text, "time since casting") {
		t.Error("no axis title")
	}
}

// A temperature of half the scale lies half way up; thickness is logarithmic.
func TestRouteScales(t *testing.T) {
	if y := routeTempY(routeMaxC / 2); y != float64(routeTop+routeBottom)/2 {
		t.Errorf("half the scale at %g", y)
	}
	if y := routeThickY(10); math.Abs(y-float64(routeTop+routeBottom)/2) > 1e-9 { // 10 is the geometric mean of 0.2 and 500
		t.Errorf("10 mm at %g", y)
	}
}
