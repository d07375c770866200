package viewer

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"millrace/sim/bus"
)

// figures are what the panel of a row says, by its headings.
func (p *tab) rowSays(row string) map[string]string {
	p.t.Helper()
	p.click("tr[data-id=" + row + "]")
	p.wait("the figures of "+row, `!document.querySelector('#row').hidden`)
	out := js[map[string]string](p, `Object.fromEntries([...document.querySelectorAll('#row dt')].map(e => [e.textContent, e.nextSibling.textContent]))`)
	p.click("#row button")
	return out
}

// TestRowsSayWhy: a row says why its units wait and until when, as the drill does; a store
// says what went in and out and what it rose by over one hour, so that they add up;
// furnaces and coils say how hot steel is.
func TestRowsSayWhy(t *testing.T) {
	b := newBrowser(t)
	d := larkfell(t)
	d.do(bus.Command{Kind: bus.CmdStep, Minutes: 16*60 + 50}) // ten minutes into the wreck
	p := d.page(t, b, playerSeat, desk)
	// the half of the runs is days off, the first of them an hour: that comes first
	p.wait("a forecast", `document.querySelector('#glance div:nth-child(2)').textContent.includes(' runs')`)
	if w := p.text("#glance div:nth-child(2)"); !regexp.MustCompile(`may be full in [\d h]+, \d+ of 20 runs in 8 h`).MatchString(w) || !strings.Contains(w, "In half of the runs in ") || !strings.Contains(w, "at a later occasion") {
		t.Errorf("next to go: %q", w)
	}
	d.do(bus.Command{Kind: bus.CmdStep, Minutes: 110}) // two hours into it
	p.wait("the moment", `document.querySelector('#clock').dataset.t === '67200' && document.querySelector('#old').hidden`)
	time.Sleep(1200 * time.Millisecond) // lists come once a second
	s := d.snapshot(t)
	wait := func(name string) *bus.Wait {
		for i := range s.Waits {
			if s.Route[s.Waits[i].Row].Name == name {
				return &s.Waits[i]
			}
		}
		t.Fatalf("%s waits for nothing: %+v", name, s.Waits)
		return nil
	}
	w := wait("rougher")
	if w.Call == "" || !w.Told {
		t.Fatalf("the rougher waits for what was told: %+v", w)
	}
	line := p.rowSays("descaler")
	if x := line["Rougher"]; !strings.Contains(x, "; "+w.Why+", told likely until ") {
		t.Errorf("its row says %q, the drill %q", x, w.Why)
	}

	number := regexp.MustCompile(`[\d,]+(?:\.\d+)?`)
	value := func(text string) float64 {
		v, err := strconv.ParseFloat(strings.ReplaceAll(number.FindString(text), ",", ""), 64)
		if err != nil {
			t.Errorf("%q has no number", text)
		}
		if strings.HasPrefix(text, "fell") {
			return -v
		}
		return v
	}
	compared := 0
	for _, f := range s.Flows {
		row := s.Route[f.Row].ID
		if !js[bool](p, `!!document.querySelector('tr[data-id=`+row+`]')`) {
			continue
		}
		x := p.rowSays(row)
		rose := 0.0
		if r := x["In less out"]; !strings.HasPrefix(r, "steady") {
			rose = value(r)
		}
		in, out := value(x["In"]), value(x["Out"])
		if !strings.Contains(x["In less out"], "all three over the last hour") || math.Abs(in-out-rose) > 0.01 || math.Abs(in-f.In) > 0.51 || math.Abs(out-f.Out) > 0.51 || math.Abs(rose-f.Rise) > 1.01 {
			t.Errorf("%s: %q, the drill says %+v", row, x, f)
		}
		compared++
	}
	if compared < 5 {
		t.Errorf("%d stores compared", compared)
	}
	if x := p.rowSays("f1")["Slab at the door"] + p.rowSays("f1")["F1, slab at the door"]; !strings.Contains(x, "°C mean now; ") || !strings.Contains(x, "°C asked for") {
		t.Errorf("the furnace says %q", x)
	}
	if x := p.rowSays("coil-yard")["Hottest coil on the floor"]; !strings.Contains(x, "°C mean now") {
		t.Errorf("the coil yard says %q", x)
	}

	// a second word on the stop takes the place of the first
	s = d.until(t, p, "a second word", func(s *bus.Snapshot) bool {
		for _, x := range s.Told {
			if slices.ContainsFunc(s.Told, func(o bus.Told) bool { return o.Stop == x.Stop && o.Likely != nil && x.Likely != nil && o.N < x.N }) {
				return true
			}
		}
		return false
	})
	stops := map[int]bool{}
	for _, x := range s.Told {
		stops[x.Stop] = true
	}
	if n := strings.Count(p.text("#roleBox"), "told back at"); n != min(3, len(stops)) {
		t.Errorf("%d words on %d stops stand on the page", n, len(stops))
	}

	on := func(s *bus.Snapshot) int {
		return slices.IndexFunc(s.Planned, func(x bus.Planned) bool {
			return x.Now && s.Rows[x.Row].S == bus.UnitMaintenance && s.Route[x.Row].Group == ""
		})
	}
	s = d.until(t, p, "a planned stop", func(s *bus.Snapshot) bool { return on(s) >= 0 })
	if w := p.text("tr[data-id=" + s.Route[s.Planned[on(s)].Row].ID + "]"); !strings.Contains(w, "maintenance until ") {
		t.Errorf("a planned stop has no end in its row: %q", w)
	}
	p.quiet()
}

// TestColdFurnaces: a repair that is done sooner than was told finds the furnaces set back:
// the row, the answer on top and the figures of the line say why it stands and until when.
func TestColdFurnaces(t *testing.T) {
	b := newBrowser(t)
	d := larkfell(t)
	d.do(bus.Command{Kind: bus.CmdStep, Minutes: 60})
	d.do(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "stand wreck", Unit: "finishing train", Lasts: "5 h"}})
	p := d.page(t, b, playerSeat, desk)
	cold := func(s *bus.Snapshot) int {
		return slices.IndexFunc(s.Waits, func(w bus.Wait) bool { return strings.HasPrefix(w.Why, "furnaces cold") && w.Until != nil })
	}
	s := d.until(t, p, "cold furnaces", func(s *bus.Snapshot) bool { return cold(s) >= 0 })
	p.shot("furnaces-cold")
	said := s.Waits[cold(s)].Why + " until "
	if x := p.text("tr[data-id=descaler]"); !strings.Contains(x, "until ") || !strings.Contains(x, s.Waits[cold(s)].Why) {
		t.Errorf("the row of the line says %q, not %q", x, said)
	}
	if x := strings.ToLower(p.text("#glance div:nth-child(1)")); !strings.Contains(x, said) {
		t.Errorf("the answer on top says %q, not %q", x, said)
	}
	if x := p.text("#glance div:nth-child(1) .big"); !slices.ContainsFunc(s.Calls, func(c bus.Call) bool { return !c.Closed }) && !strings.HasPrefix(x, "Rolling line starved until ") {
		t.Errorf("the line makes nothing, and on top it is %q", x)
	}
	name := s.Route[s.Waits[cold(s)].Row].Name
	if x := p.rowSays("descaler"); !strings.Contains(x[strings.ToUpper(name[:1])+name[1:]], said) {
		t.Errorf("the figures of the line say %q, not %q", x, said)
	}
	p.quiet()
}

// until plays on until something is so, and waits for the page to show that moment.
func (d *realDrill) until(t *testing.T, p *tab, what string, so func(*bus.Snapshot) bool) *bus.Snapshot {
	t.Helper()
	s := d.snapshot(t)
	for ; !so(s); s = d.snapshot(t) {
		if s.T > 70*3600 {
			t.Fatalf("%s: never in this future, choose another", what)
		}
		d.do(bus.Command{Kind: bus.CmdStep, Minutes: 20})
	}
	p.wait(what, fmt.Sprintf(`document.querySelector('#clock').dataset.t === '%d'`, int(s.T)))
	time.Sleep(1200 * time.Millisecond) // lists come once a second
	return s
}

// TestOneWordForOneThing: the page defines every word for a state that the drill uses, and
// shows the definitions.
func TestOneWordForOneThing(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(60)
	s, _, _ := serve(t, d)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("the words", `document.querySelector('#means')`)
	p.click("#means summary")
	words := js[[]string](p, `[...document.querySelectorAll('#means dt')].flatMap(e => e.textContent.split(', '))`)
	for _, w := range append(slices.Clone(bus.UnitStates), bus.StoreStates[1:]...) {
		if !slices.Contains(words, w) {
			t.Errorf("the page does not say what %q means: %q", w, words)
		}
	}
	p.shot("means")
	p.fits("means", desk)
	p.quiet()
}

// TestCostSaysByWhen: what was paid, what will have been paid by a clock time, and what an
// order changes from now on by clock times are said apart.
func TestCostSaysByWhen(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240)
	d.forecast()
	s, _, _ := serve(t, d)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("a forecast", `document.querySelector('#glance').textContent.includes('not running by')`)
	if w := p.text("#glance div:nth-child(4)"); !strings.Contains(w, "so far") || !strings.Contains(w, "By Sat 09:40") || !strings.Contains(w, "in all if nothing more is done") || strings.Contains(w, "8 h") {
		t.Errorf("the cost: %q", w)
	}
	p.click(`[data-lever="casting speed"]`)
	p.wait("the look-ahead", `document.querySelector('[data-act="casting speed"]').textContent.includes('Cost from now on')`)
	w := p.text(`[data-act="casting speed"]`)
	if !regexp.MustCompile(`against no order: by (Sat|Sun) \d\d:\d\d it (saves|adds|costs)`).MatchString(w) || strings.Contains(w, "in 8 h") {
		t.Errorf("the look-ahead says %q", w)
	}
	p.quiet()
}
