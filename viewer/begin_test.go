package viewer

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"millrace/sim/bus"
)

// usual is the ending of a setting that the page says in other words.
func usual(t *testing.T) string {
	t.Helper()
	b, err := embedded.ReadFile("page/words.js")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`USUAL = '([^']+)'`).FindSubmatch(b)
	if m == nil {
		t.Fatal("the page has no word for what is as usual")
	}
	return string(m[1])
}

// TestBeginning: at time zero no unit is called starved or at nought, for nothing can
// be known yet; a quarter of an hour later all have figures. No two rows bear one name,
// and the drill's word for what standing orders set is the one that the page knows.
func TestBeginning(t *testing.T) {
	b := newBrowser(t)
	d := larkfell(t)
	do := d.do
	p := d.page(t, b, playerSeat, desk)
	p.wait("fresh news", `document.querySelector('#old').hidden && document.querySelector('#clock').dataset.t === '0'`)
	p.shot("beginning")
	works := p.text("#works tbody")
	for _, bad := range []string{"starved 0", "blocked 0", ">0 t/h", "starved for"} {
		if strings.Contains(works, bad) {
			t.Errorf("at time zero the page says %q", bad)
		}
	}
	units := js[[]string](p, `[...document.querySelectorAll('tr.unit')].map(r => r.cells[2].textContent)`)
	if !slices.Contains(units, "just started") || slices.Contains(units, "0 t/h") {
		t.Errorf("at time zero units show %q", units)
	}
	if w := p.text("#glance"); !strings.Contains(w, "just started") || strings.Contains(w, "are not running now") && !strings.Contains(w, "0 are not running now") {
		t.Errorf("at time zero the answers are %q", w)
	}
	names := js[[]string](p, `[...document.querySelectorAll('#works tbody th')].map(e => e.textContent)`)
	slices.Sort(names)
	if len(slices.Compact(slices.Clone(names))) != len(names) {
		t.Errorf("two rows have one name: %q", names)
	}
	if !slices.Contains(names, "Coils on the conveyor") || !slices.Contains(names, "Conveyor") {
		t.Errorf("the conveyor and what lies on it: %q", names)
	}
	snap := d.snapshot(t)
	word := usual(t)
	i := slices.IndexFunc(snap.Settings, func(s bus.Setting) bool { return strings.HasSuffix(s.Now, word) })
	if i < 0 {
		t.Fatalf("no setting of the drill ends in %q: %+v", word, snap.Settings)
	}
	if w, want := p.text("#roleBox"), "by standing orders, "+strings.TrimSuffix(snap.Settings[i].Now, word)+" now"; !strings.Contains(w, want) {
		t.Errorf("the page does not say %q", want)
	}
	do(bus.Command{Kind: bus.CmdStep, Minutes: 15})
	p.wait("a quarter of an hour", `document.querySelector('#clock').dataset.t === '900'`)
	if w := p.text("#works tbody"); strings.Contains(w, "just started") {
		t.Errorf("after a quarter of an hour: %q", w)
	}
	// units one behind the other make what the last of them makes, not their sum
	snap = d.snapshot(t)
	last := -1
	for i, r := range snap.Route {
		if r.Group == "rolling line" {
			last = i
		}
	}
	if v, made := p.number("descaler", 2), snap.Rows[last].V; made < 50 || v < made-2.5 || v > made+2.5 {
		t.Errorf("the rolling line shows %g t/h, %s makes %g", v, snap.Route[last].Name, made)
	}
	// an hour in one step: the page knows what was there by the minute on the way
	do(bus.Command{Kind: bus.CmdStep, Minutes: 60})
	p.wait("the hour", `document.querySelector('#clock').dataset.t === '4500'`)
	p.click("tr[data-id=slab-yard]")
	p.wait("the figures of the slab yard", `document.querySelector('#row').textContent.includes('all three over the last hour')`)
	p.quiet()
}

// TestCounts: both answers count the same thing, and what the drill says of it.
func TestCounts(t *testing.T) {
	b, d, s := fourHoursIn(t)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("a forecast", `document.querySelector('#glance').textContent.includes('not running by')`)
	units, stand := 0, 0
	for i, r := range d.rows {
		if r.Kind == bus.RowUnit {
			units++
			if s := d.now[i].S; s == bus.UnitDown || s == bus.UnitBlocked || s == bus.UnitStarved {
				stand++
			}
		}
	}
	if stand < 2 {
		t.Fatalf("%d units stand: nothing to count", stand)
	}
	now, then := p.text("#glance div:nth-child(1)"), p.text("#glance div:nth-child(3)")
	if want := fmt.Sprintf("%d of %d units are not running.", stand, units); !strings.Contains(now, want) {
		t.Errorf("%q, not %q", now, want)
	}
	if want := fmt.Sprintf("%d are not running now", stand); !strings.Contains(then, want) || !strings.Contains(then, fmt.Sprintf(" of %d units not running by Sat 09:40", units)) {
		t.Errorf("%q, not %q", then, want)
	}
}

// TestOldForecast: beside what is ahead stands the moment it was made for, and once that
// is half an hour gone, how old it is.
func TestOldForecast(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240)
	d.forecast()
	s, _, _ := serve(t, d)
	d.goOn()
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	next := `document.querySelector('#glance div:nth-child(2) h2').textContent`
	p.wait("a forecast of now", next+` === 'Next to go, as of 01:40'`)
	d.tick(40)
	p.wait("the word that it is old", next+` === 'Next to go, as of 01:40, 40 min old'`)
	d.forecast()
	p.wait("a new forecast", next+` === 'Next to go, as of 02:20'`)
	d.tick(5)
	p.wait("time to go on", `document.querySelector('#clock').textContent.includes('02:25')`)
	if w := js[string](p, next); w != "Next to go, as of 02:20" {
		t.Errorf("five minutes on: %q", w)
	}
	d.mu.Lock()
	d.flags.Held = true
	made := d.p.t - 300
	u := bus.Update{Head: d.head(bus.ForAll), Pace: d.pace, Rows: []bus.RowState{}, Ahead: &bus.Ahead{Made: &made, Old: true, Coming: true}}
	d.publish(bus.ForAll, bus.WhatUpdate, bus.TypeUpdate, &u)
	d.mu.Unlock()
	p.wait("the word that another is coming", next+` === 'Next to go, as of 02:20, 5 min old, new one coming'`)
	p.quiet()
}

// TestMidnight: the line of midnight has its day however close to now it is.
func TestMidnight(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t) // begins at Fri 21:40
	d.play(80)
	s, _, _ := serve(t, d)
	d.goOn()
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	for m := 80; m <= 200; m += 20 {
		d.tick(20)
		p.wait("the time", fmt.Sprintf(`+document.querySelector('#clock').dataset.t >= %d`, (m+20)*60))
		time.Sleep(60 * time.Millisecond)
		if w := js[string](p, "document.querySelector('canvas').dataset.hours"); !strings.Contains(w, "Sat 00:00") {
			t.Errorf("%d min from midnight the axis shows %s", m+20-140, w)
		}
		if m == 100 || m == 120 {
			p.shot(fmt.Sprintf("midnight-%d", m))
		}
	}
	// the first forecast puts flags on the picture, and they are said
	d.forecast()
	p.wait("the spoken flag", `document.querySelector('#say').getAttribute('aria-live') === 'polite' && document.querySelector('#say').textContent.includes('New flag: slab yard full in ')`)
}

// TestForcedColours: with the system's own few colours the picture still shows bands,
// levels and states, and text stands out.
func TestForcedColours(t *testing.T) {
	b, _, s := fourHoursIn(t)
	for _, dark := range []bool{false, true} {
		p := b.open(t, s.URL+playerSeat.Path(), look{w: 1440, h: 900, forced: true, dark: dark})
		p.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent)`)
		if !js[bool](p, "matchMedia('(forced-colors: active)').matches") {
			t.Fatal("the browser does not force colours")
		}
		time.Sleep(300 * time.Millisecond)
		p.shot(fmt.Sprintf("forced-%v", dark))
		// the greatest contrast within a row of the picture, against the sheet's colour
		js[bool](p, `window.lum = c => { const l = c.slice(0, 3).map(v => { v /= 255; return v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4 }); return .2126 * l[0] + .7152 * l[1] + .0722 * l[2] },
			window.rgb = s => s.match(/[0-9.]+/g).map(Number),
			window.seen = id => { const c = document.querySelector('canvas'), r = c.getBoundingClientRect(), q = document.querySelector('tr[data-id=' + id + ']').getBoundingClientRect(), k = c.height / r.height, back = lum(rgb(getComputedStyle(document.querySelector('#works')).backgroundColor));
				const o = document.createElement('canvas'); o.width = c.width; o.height = c.height; const g = o.getContext('2d', { willReadFrequently: true }); g.drawImage(c, 0, 0); const d = g.getImageData(0, (q.top - r.top + 4) * k, c.width * .3, (q.height - 8) * k).data; let most = 1, n = 0;
				for (let i = 0; i < d.length; i += 4) if (d[i + 3] > 250) { const l = lum([d[i], d[i + 1], d[i + 2]]), x = (Math.max(l, back) + .05) / (Math.min(l, back) + .05); if (x >= 3) n++; most = Math.max(most, x) }
				return n < 40 ? 1 : most }, true`)
		for _, id := range []string{"iron-supply", "slab-yard-store", "rougher", "finishing-train", "coiler-a"} {
			if x := js[float64](p, "seen('"+id+"')"); x < 3 {
				t.Errorf("dark %v: %s is drawn with contrast %.2f", dark, id, x)
			}
		}
		// behind words whose colours are forced the browser lays a plate
		for _, e := range []string{"#glance .big", "#exercise b", "#works th", "#stop", ".care b", ".tag.I"} {
			x := js[float64](p, fmt.Sprintf(`(e => { const a = lum(rgb(getComputedStyle(e).color)); let o = e, g = 'rgba(0, 0, 0, 0)'; while (o && g === 'rgba(0, 0, 0, 0)') { g = getComputedStyle(o).backgroundColor; o = o.parentElement } if (getComputedStyle(e).forcedColorAdjust !== 'none') { const i = document.body.appendChild(document.createElement('i')); i.style.color = 'Canvas'; g = getComputedStyle(i).color; i.remove() } const b = lum(rgb(g)); return (Math.max(a, b) + .05) / (Math.min(a, b) + .05) })(document.querySelector(%q))`, e))
			if x < 4.5 {
				t.Errorf("dark %v: %s has contrast %.2f", dark, e, x)
			}
		}
		p.quiet()
	}
}

// TestWall: a page opened for a wall has text twice as large, its picture in place and
// its reading line under the pointer.
func TestWall(t *testing.T) {
	b, _, s := fourHoursIn(t)
	for _, w := range []look{{w: 1920, h: 1080}, {w: 2560, h: 1440}} {
		p := b.open(t, s.URL+observerSeat.Path()+"?text=200", w)
		p.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent)`)
		time.Sleep(400 * time.Millisecond)
		p.shot(fmt.Sprintf("wall-%d", w.w))
		p.fits("wall", w)
		if x := js[float64](p, `document.querySelector('#glance .big').getBoundingClientRect().height`); x < 40 {
			t.Errorf("the first answer is %g px high", x)
		}
		off := js[[]float64](p, `(() => { const c = document.querySelector('canvas').getBoundingClientRect(), q = document.querySelector('td.plot').getBoundingClientRect(), f = [...document.querySelectorAll('#works tr')].pop().getBoundingClientRect(); return [c.left - q.left, c.width - q.width, c.bottom - f.bottom] })()`)
		for _, v := range off {
			if v < -5 || v > 5 { // two borders of 1 px, twice as large
				t.Errorf("the picture is off its place by %v", off)
			}
		}
		js[bool](p, `(() => { const c = document.querySelector('canvas'), r = c.getBoundingClientRect(); c.dispatchEvent(new PointerEvent('pointermove', { clientX: r.left + r.width / 6, clientY: r.top + 200 })); return true })()`)
		p.wait("the reading line", `document.querySelector('thead').textContent.includes('At 23:4') || document.querySelector('thead').textContent.includes('At 23:3')`)
		p.click("#size")
		p.wait("the usual size", `document.documentElement.dataset.text === '100'`)
		p.quiet()
	}
}
