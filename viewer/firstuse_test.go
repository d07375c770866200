package viewer

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"millrace/sim/bus"
)

// count is how many commands of a kind the drill was sent.
func (d *fakeDrill) count(kind string) (n int) {
	for _, c := range d.commands() {
		if c.Kind == kind {
			n++
		}
	}
	return n
}

// last is the last command that the drill got.
func (d *fakeDrill) last() bus.Command {
	all := d.commands()
	if len(all) == 0 {
		return bus.Command{}
	}
	return all[len(all)-1]
}

// TestScriptForecast: the controller sees the forecast from what was told until the one
// with the script is asked for, which is marked on the page, and sees the first again.
func TestScriptForecast(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240)
	d.forecast()
	d.mu.Lock()
	d.script = d.look(func(p *pipes) { p.back = p.t + 600 }) // it knows that the train is back soon
	d.script.Basis, d.script.Script = bus.BasisScript, true
	d.mu.Unlock()
	s, _, _ := serve(t, d)
	d.run(time.Second)
	p := b.open(t, s.URL+controllerSeat.Path(), desk)
	p.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent) && document.querySelector('#old').hidden`)
	row := func() string { return p.text("#glance div:nth-child(3)") }
	if w := p.text("#glance"); strings.Contains(w, "script") || !js[bool](p, "document.querySelector('#script').hidden") {
		t.Errorf("not asked for, yet the page says %q", w)
	}
	told := row()
	p.click("#basis")
	p.wait("the forecast with the script", `!document.querySelector('#script').hidden && document.querySelector('#glance').textContent.includes('with the script') && document.querySelector('#basis').getAttribute('aria-pressed') === 'true'`)
	p.shot("script")
	p.fits("script", desk)
	if w := row(); strings.ReplaceAll(w, ", with the script", "") == told {
		t.Errorf("both forecasts say %q", w)
	}
	p.click("#basis")
	p.wait("the forecast from what was told", `document.querySelector('#script').hidden && !document.querySelector('#glance').textContent.includes('with the script')`)
	p.quiet()
}

// TestNothingFurther: while something is full or down the page never says that nothing is
// likely: it says that no further store ends, and what stands.
func TestNothingFurther(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240)
	d.mu.Lock()
	f := d.look(nil)
	f.Head, f.Ends = d.head(bus.ForAll), nil
	d.f[bus.ForAll] = f
	d.mu.Unlock()
	s, _, _ := serve(t, d)
	d.run(time.Hour)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("fresh news", `document.querySelector('#old').hidden`)
	w := p.text("#glance div:nth-child(2)")
	if !strings.Contains(w, "No further store fills or runs dry in 24 h") || !strings.Contains(w, "Standing now: finishing train") || strings.Contains(w, "Nothing likely") {
		t.Errorf("the second answer is %q", w)
	}
	p.shot("nothing-further")
	// one in two of twenty runs is not likely, and is named all the same
	d.mu.Lock()
	f.Head, f.Ends = d.head(bus.ForAll), []bus.End{{Row: d.row("ladles"), Name: "ladles", Full: true, Stops: "no heat can be tapped", In: []float64{19_800, 20_000}}}
	d.publish(bus.ForAll, bus.WhatForecast, bus.TypeForecast, f)
	d.mu.Unlock()
	p.wait("the rare trouble", `(w => w.includes('No further store is likely to fill or run dry in 24 h') && w.includes('Ladles full in 2 of 20 runs, soonest 5 h 30.'))(document.querySelector('#glance div:nth-child(2)').textContent)`)
	// a trouble in a few of the runs is named with its share
	d.mu.Lock()
	f.Head, f.Ends = d.head(bus.ForAll), []bus.End{{Row: d.row("slab yard"), Name: "slab yard", Full: true, Stops: "casters must stop", In: []float64{7200, 9000, 9100, 9300, 9900}}}
	d.publish(bus.ForAll, bus.WhatForecast, bus.TypeForecast, f)
	d.mu.Unlock()
	p.wait("the share", `document.querySelector('#glance div:nth-child(2) .big').textContent === 'Slab yard full in 5 of 20 runs'`)
	if w := p.text("#glance div:nth-child(2)"); !strings.Contains(w, "Soonest 2 h") {
		t.Errorf("the second answer is %q", w)
	}
	p.quiet()
}

// TestPlanned: a planned stop ahead is on the picture, in the answers, in the figures of
// its row, and the lever that pulls it forward says when it is due.
func TestPlanned(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240) // Sat 01:40; due 02:40
	d.forecast()
	s, _, _ := serve(t, d)
	d.run(time.Second)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("the planned stop", `document.querySelector('canvas').dataset.planned === '1' && document.querySelector('#glance div:nth-child(3)').textContent.includes('Planned stop: Pickle line Sat 02:40, 2 h.')`)
	p.click("tr[data-id=pickle-line]")
	p.wait("its figures", `document.querySelector('#row').textContent.includes('Planned stopPickle line Sat 02:40, 2 h; can be done earlier')`)
	p.shot("planned")
	p.click("#row button")
	p.click(`[data-lever="pull planned stop"]`)
	p.wait("when it is due", `document.querySelector('[data-act="pull planned stop"]').textContent.includes('It is due Sat 02:40, 2 h.')`)
	js[bool](p, `(e => { e.value = 'C1'; e.dispatchEvent(new Event('change')); return true })(document.querySelector('[data-act="pull planned stop"] select'))`)
	p.wait("that none is", `document.querySelector('[data-act="pull planned stop"]').textContent.includes('No stop of C1 is planned')`)
	p.quiet()
}

// TestToldAndForecast: what was said, when, and what the forecast shows stand apart, with
// the reason why they differ, beside the levers and in the figures of the row.
func TestToldAndForecast(t *testing.T) {
	b, _, s := fourHoursIn(t)
	for _, seat := range []Seat{playerSeat, controllerSeat} {
		p := b.open(t, s.URL+seat.Path(), desk)
		p.wait("what was told", `document.querySelector('#roleBox .log').textContent.includes('told back at Sat 02:40 at best')`)
		if w := p.text(`[data-end="finishing train"]`); !strings.Contains(w, "back about Sat ") || !strings.Contains(w, "People were told eight hours") {
			t.Errorf("%s: the forecast of the end is %q", seat.Role, w)
		}
		p.click("tr[data-id=finishing-train]")
		p.wait("the figures", `!document.querySelector('#row').hidden`)
		if w := p.text("#row"); !strings.Contains(w, "ToldFri 23:00: ") || !strings.Contains(w, "Forecastback about Sat ") {
			t.Errorf("%s: the figures are %q", seat.Role, w)
		}
		if w := p.text("#glance div:nth-child(3)"); !strings.Contains(w, "Told at 23:00: likely Sat 06:40. Forecast: finishing train back about Sat ") {
			t.Errorf("%s: the third answer is %q", seat.Role, w)
		}
		p.quiet()
	}
}

// TestLeverSays: a look-ahead says what it moves for every store and until when to decide,
// and never only "not moved"; steps open where they are; a number is taken in the unit
// that stands beside its field.
func TestLeverSays(t *testing.T) {
	b, d, s := fourHoursIn(t)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("fresh news", `document.querySelector('#old').hidden`)
	p.click(`[data-lever="open overflow"]`)
	act := func(l string) string { return fmt.Sprintf(`document.querySelector('[data-act="%s"]').textContent`, l) }
	p.wait("what it moves", act("open overflow")+`.includes('Slab yard full: in 3 h; with this order in 9 h.') && `+act("open overflow")+`.includes('It does not change when fuel gas fills (in 30 min).') && `+act("open overflow")+`.includes('Decide by Sat 03:10: the yard is full by then.')`)
	if w := p.text(`[data-act="open overflow"]`); strings.Contains(w, "not moved") {
		t.Errorf("the look-ahead says %q", w)
	}
	p.shot("lever")

	p.click(`[data-lever="set furnaces back"]`)
	steps := `document.querySelectorAll('[data-act="set furnaces back"] select')`
	p.wait("the form", steps+".length === 2")
	pick := func(unit, want string) {
		t.Helper()
		js[bool](p, fmt.Sprintf(`(e => { e.value = %q; e.dispatchEvent(new Event('change')); return true })(%s[0])`, unit, steps))
		if v := js[string](p, steps+"[1].value"); v != want {
			t.Errorf("the steps of %s open at %s, not at %s", unit, v, want)
		}
	}
	pick("F1", "2")
	if w := js[string](p, steps+"[1].textContent + '|' + "+act("set furnaces back")); !strings.HasPrefix(w, "at set-pointstep 1step 2step 3|") || !strings.Contains(w, "Now: step 2.") {
		t.Errorf("the steps are called %q", w)
	}
	pick("F2", "0")
	pick("F1", "2")

	p.click(`[data-lever="casting speed"]`)
	field := `document.querySelector('[data-act="casting speed"] input[type=text]')`
	p.wait("the form", field)
	if v := js[string](p, field+".value + '|' + "+field+".parentElement.textContent"); v != "0.70|m/min" {
		t.Errorf("the field and its unit: %q", v)
	}
	js[bool](p, `(e => { e.value = '0,9'; e.dispatchEvent(new Event('input')); return true })(`+field+`)`)
	p.click(`[data-take="casting speed"]`)
	p.click(`[data-take="casting speed"]`)
	p.wait("the order", `document.querySelector('#log').textContent.includes('A1')`)
	if c := d.last(); c.Order == nil || c.Order.Value != "0.9 m/min" {
		t.Errorf("the drill got %+v", c.Order)
	}
	// players write no notes and have no row for them
	if w := p.text("tfoot th"); !strings.Contains(w, "Actions") || strings.Contains(w, "Notes") {
		t.Errorf("a player's rows are %q", w)
	}
	if w := p.text("#roleBox"); strings.Count(strings.ToLower(w), "hole") != 1 {
		t.Errorf("the hole is explained %d times", strings.Count(strings.ToLower(w), "hole"))
	}
	p.quiet()
}

// TestEmergencyPage: after the stop word the page says so in place of EXERCISE, nothing can
// be ordered, and the controller must say twice that it goes on.
func TestEmergencyPage(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(90)
	d.goOn()
	s, _, _ := serve(t, d)
	d.run(time.Second)
	boss, player := b.open(t, s.URL+controllerSeat.Path(), desk), b.open(t, s.URL+playerSeat.Path(), desk)
	player.click("#stop")
	player.click("#stop")
	off := `document.querySelector('#exercise b').textContent === 'REAL EMERGENCY' && document.title.startsWith('REAL EMERGENCY')`
	for _, p := range []*tab{boss, player} {
		p.wait("the word", off)
	}
	player.wait("the levers to be off", `[...document.querySelectorAll('#roleBox [data-locks]')].every(b => b.disabled) && document.querySelector('#roleBox').textContent.includes('The exercise is off')`)
	ph := b.open(t, s.URL+playerSeat.Path(), phone)
	ph.wait("the word", off)
	ph.click("#tabs button:nth-child(2)")
	js[bool](ph, `(scrollTo(0, document.body.scrollHeight), true)`)
	ph.wait("each lever to say so", `(a => a.length > 1 && a.every(e => e.querySelector('.by').textContent === 'off: real emergency' && e.querySelector('[data-lever]').disabled))([...document.querySelectorAll('.act')])`)
	if w := js[string](ph, `(e => { const r = e.getBoundingClientRect(), s = getComputedStyle(e); return (r.top >= 0 && r.bottom <= innerHeight) + ' ' + s.borderTopWidth })(document.querySelector('#exercise'))`); w != "true 4px" {
		t.Errorf("the bar of the scrolled phone: in view with its border %s", w)
	}
	ph.shot("emergency-phone")
	ph.fits("emergency phone", phone)
	boss.shot("emergency-controller")
	boss.fits("emergency", desk)
	boss.wait("the words of the button", `document.querySelector('#holdB').textContent === 'Go on after the emergency' && !document.querySelector('#holdB').disabled`)
	boss.click("#holdB")
	boss.wait("the question", `document.querySelector('#holdB').textContent.startsWith('Sure?')`)
	time.Sleep(300 * time.Millisecond)
	if n := d.count(bus.CmdConfirm); n != 0 || !js[bool](player, off) {
		t.Errorf("one press: %d confirmed", n)
	}
	boss.click("#holdB")
	for _, p := range []*tab{boss, player} {
		p.wait("EXERCISE again", `document.querySelector('#exercise b').textContent === 'EXERCISE' && document.querySelector('#hold').hidden`)
	}
	player.wait("the levers to be back", `[...document.querySelectorAll('#roleBox [data-locks]')].every(b => !b.disabled)`)
	for _, p := range []*tab{boss, player} {
		p.quiet()
	}
}

// TestPhoneNews: an unread caution and a new flag show on their tabs, and go when they have
// been seen; the number of levers is no news.
func TestPhoneNews(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(90)
	s, _, _ := serve(t, d)
	d.goOn()
	p := b.open(t, s.URL+playerSeat.Path(), phone)
	d.run(time.Hour)
	p.wait("the unread caution on its tab", `document.querySelector('#tabs button:nth-child(2)').textContent === 'You can do● 1' && document.querySelector('#tabs button:nth-child(2)').getAttribute('aria-label') === 'You can do: 1 unread caution'`)
	p.shot("phone-news")
	p.fits("phone news", phone)
	p.click("#tabs button:nth-child(2)")
	p.click(".care input")
	p.wait("no news", `document.querySelector('#tabs button:nth-child(2)').textContent === 'You can do'`)
	d.forecast()
	p.wait("the new flags on the first tab", `/^The works● [1-4]$/.test(document.querySelector('#tabs button:nth-child(1)').textContent)`)
	p.click("#tabs button:nth-child(1)")
	p.wait("no news", `document.querySelector('#tabs button:nth-child(1)').textContent === 'The works'`)
	p.quiet()
}

// TestRunning: paces say what they are and the present one is pressed; the drill runs to a
// time and to the next inject; branches that were left stand beside this one.
func TestRunning(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240) // Sat 01:40
	d.pace = 1
	d.left = []bus.Branch{{Name: "A", At: 3 * 3600, CostSoFar: 123_456, Orders: []bus.BranchOrder{{Tag: "A1", At: 7200, By: "ops manager", Text: "casting speed C1: 0.70 m/min"}}}}
	s, _, _ := serve(t, d)
	d.run(time.Second)
	p := b.open(t, s.URL+controllerSeat.Path(), desk)
	p.wait("the pace", `document.querySelector('[data-pace="1"]').getAttribute('aria-pressed') === 'true' && document.querySelector('#clock').textContent.includes('1 min a second')`)
	p.click(`[data-pace="0.5"]`)
	p.wait("half a minute", `document.querySelector('[data-pace="0.5"]').textContent === '½ min' && document.querySelector('#clock').textContent.includes('½ min a second')`)
	js[bool](p, `(document.querySelector('#runTo').value = '06:00', [...document.querySelectorAll('#roleBox button')].find(b => b.textContent === 'Run to').click(), true)`)
	p.wait("the command", `document.querySelector('#say').textContent.includes('Runs on')`)
	if c := d.last(); c.Kind != bus.CmdRunTo || c.To != (8*60+20)*60 {
		t.Errorf("run to 06:00: %+v", c)
	}
	js[bool](p, `([...document.querySelectorAll('#roleBox button')].find(b => b.textContent === 'Run to the next inject').click(), true)`)
	for end := time.Now().Add(5 * time.Second); d.count(bus.CmdRunTo) < 2 && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
	}
	if c := d.last(); c.Until != bus.NextInject {
		t.Errorf("run to the next inject: %+v", c)
	}
	if w := p.text(".bt tbody"); !strings.Contains(w, "€123 k") || !strings.Contains(w, "Sat 00:40") || !strings.Contains(w, "A1 casting speed C1") {
		t.Errorf("the branches: %q", w)
	}
	p.shot("running")
	p.fits("running", desk)
	p.quiet()
}

// TestLineStops: units that stand one behind the other make nothing while one of them is
// in maintenance, whatever the last of them gave in the minutes before.
func TestLineStops(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(30)
	s, _, _ := serve(t, d)
	d.mu.Lock()
	for _, n := range []string{"descaler", "rougher", "finishing train"} {
		d.now[d.row(n)].S, d.now[d.row(n)].Since = bus.UnitMaintenance, d.p.t
	}
	if d.now[d.row("run-out table")].V < 100 {
		t.Fatal("the last of the line makes nothing: nothing to see")
	}
	for i := range 14 { // enough rows that the line is folded
		d.rows = append(d.rows, fakeRow{Row: bus.Row{I: len(d.rows), ID: fmt.Sprint("spare-", i), Kind: bus.RowStore, Name: fmt.Sprint("spare ", i), Area: "cold", UOM: "t", Cap: room[tBand]}, tank: tBand, flow: -1})
		d.now, d.spans, d.hist = append(d.now, bus.RowState{I: len(d.rows) - 1}), append(d.spans, []bus.Span{{}}), append(d.hist, slices.Clone(d.hist[0]))
	}
	d.mu.Unlock()
	d.run(time.Hour)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("the folded line", `[...document.querySelectorAll('#works th')].some(e => e.textContent === 'Rolling line, 5')`)
	if v := p.number("descaler", 2); v != 0 {
		t.Errorf("the line in maintenance makes %g t/h", v)
	}
	p.click("tr[data-id=descaler]")
	p.wait("its figures", `!document.querySelector('#row').hidden`)
	if w := p.text("#row"); strings.Contains(w, "Forecast1 of") || strings.Contains(w, "Forecast3 of") {
		t.Errorf("its figures say %q", w)
	}
	p.quiet()
}

// TestDrillAnswers has the page speak with a real drill: a word for one player is on that
// player's page alone, a run to the next inject holds there, an emergency needs two
// presses, and a branch that was left is named with its cost and orders.
func TestDrillAnswers(t *testing.T) {
	b := newBrowser(t)
	other := Seat{"other", bus.Player, "hot mill"}
	d := larkfell(t, other)
	do := d.do
	boss, player, second := d.page(t, b, controllerSeat, desk), d.page(t, b, playerSeat, desk), d.page(t, b, other, desk)
	for _, p := range []*tab{boss, player, second} {
		p.wait("fresh news", `document.querySelector('#old').hidden`)
	}
	do(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, To: playerSeat.Name, Text: "ring the yard"}})
	player.wait("the word", `document.querySelector('#roleBox').textContent.includes('ring the yard – to you')`)
	boss.wait("the word", `document.querySelector('#roleBox').textContent.includes('ring the yard – to ops manager')`)
	do(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, To: "all", Text: "good evening"}})
	second.wait("the word for all", `document.querySelector('#roleBox').textContent.includes('good evening')`)
	if w := second.text("body"); strings.Contains(w, "ring the yard") {
		t.Error("the word for one is on the page of another")
	}
	if w := player.text("h1"); strings.Contains(strings.ToLower(w), "wreck") {
		t.Errorf("a player's title gives away what comes: %q", w)
	}

	boss.click("#roleBox .tick input")
	js[bool](boss, `([...document.querySelectorAll('#roleBox button')].find(b => b.textContent === 'Run to the next inject').click(), true)`)
	boss.wait("the inject", `document.querySelector('#clock b').textContent === 'Fri 22:40' && document.querySelector('#heldWord').textContent.includes('held') && document.querySelector('#log').textContent.includes('I1')`)
	do(bus.Command{Kind: bus.CmdOrder, As: "ops manager", Order: &bus.Order{Lever: "casting speed", Unit: "C1", Value: "0.70 m/min"}})
	do(bus.Command{Kind: bus.CmdStep, Minutes: 60})
	do(bus.Command{Kind: bus.CmdRewind, Mark: "A1"})
	boss.wait("the branch", `(e => e && e.textContent.includes('Fri 23:40') && e.textContent.includes('A1 casting speed C1: 0.70 m/min'))(document.querySelector('.bt tbody'))`)

	player.click("#stop")
	player.click("#stop")
	boss.wait("the emergency", `document.querySelector('#holdB').textContent === 'Go on after the emergency' && document.querySelector('#exercise b').textContent === 'REAL EMERGENCY'`)
	boss.click("#holdB")
	boss.wait("the question", `document.querySelector('#holdB').textContent.startsWith('Sure?')`)
	time.Sleep(300 * time.Millisecond)
	if w := boss.text("#roleBox .refused"); w != "" {
		t.Errorf("the first press is answered %q", w)
	}
	boss.click("#holdB")
	for _, p := range []*tab{boss, player, second} {
		p.wait("EXERCISE again", `document.querySelector('#exercise b').textContent === 'EXERCISE' && document.querySelector('#hold').hidden`)
	}
	do(bus.Command{Kind: bus.CmdHold})
	for _, p := range []*tab{boss, player, second} {
		p.quiet()
	}
}

// TestNeighbours: the figures of a row name what is before and behind it on the route and
// nothing else, and a store without a band or an end says no more than it holds.
func TestNeighbours(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(150)
	s, _, _ := serve(t, d)
	d.goOn()
	d.run(time.Second)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	for _, x := range []struct {
		row      string
		has, not []string
	}{
		{"overflow-yard-store", []string{"Stateempty"}, []string{"NaN", "quiet day", "neither", "In", "Out"}},
		{"slab-crane-1", []string{"Takes fromslab yard, ", "Gives tofurnaces"}, []string{"ladles"}},
		{"f1", []string{"Takes fromslab cranes", "Gives torolling line"}, []string{"overflow", "conveyor"}},
		{"descaler", []string{"Takes fromfurnaces", "Gives torougher"}, []string{"overflow", "conveyor", "most on a quiet day"}},
		{"run-out-table", []string{"Takes fromfinishing train", "Gives tocoilers"}, []string{"coil yard"}},
		{"coiler-a", []string{"Takes fromrolling line", "Gives toconveyor, "}, []string{"overflow"}},
		{"slab-yard-store", []string{"In fromcasters", "Out tofurnaces", "Change", " in the last hour"}, []string{"cranes", "30 min", "made"}},
		{"pickle-line", []string{"Takes fromcool coils to pickle, "}, []string{"Gives to"}},
		{"fuel-gas-store", nil, []string{"In", "Out", "NaN"}},
	} {
		p.click("tr[data-id=" + x.row + "]")
		p.wait("the figures of "+x.row, `!document.querySelector('#row').hidden`)
		w := js[string](p, `[...document.querySelectorAll('#row dt')].map(e => e.textContent + e.nextSibling.textContent).join('\n')`)
		for _, has := range x.has {
			if !strings.Contains(w, has) {
				t.Errorf("%s does not say %q:\n%s", x.row, has, w)
			}
		}
		for _, not := range x.not {
			if strings.HasPrefix(w, not) || strings.Contains(w, "\n"+not) || len(not) > 3 && strings.Contains(w, not) || strings.Contains(w, "NaN") {
				t.Errorf("%s says %q:\n%s", x.row, not, w)
			}
		}
		p.click("#row button")
	}
	p.quiet()
}

// TestFirstHeat: the form of a heat opens on the first that the lever can be used on, and what
// was saved is called so.
func TestFirstHeat(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.heats = []bus.Heat{{Number: 11, Caster: "C1", Stage: "open"}, {Number: 12, Caster: "C1", Stage: "in treatment"}, {Number: 13, Caster: "C2", Stage: "waiting"}}
	d.p.cost = -596
	s, _, _ := serve(t, d)
	d.goOn()
	d.run(time.Second)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("the saving", `document.querySelector('#glance').textContent.includes('saved €596 so far')`)
	for lever, want := range map[string]string{"hold heat": "13", "divert heat": "13"} {
		p.click(`[data-lever="` + lever + `"]`)
		heat := `document.querySelector('[data-act="` + lever + `"] select[aria-label="Which heat"]')`
		p.wait("the form", heat)
		if v := js[string](p, heat+".value"); v != want {
			t.Errorf("%s opens on heat %s, not on %s", lever, v, want)
		}
	}
	p.quiet()
}
