package viewer

import (
	"fmt"
	"os"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"millrace/sim/bus"
)

// TestLooks opens the page in its looks: nothing is wider than the screen, the
// word EXERCISE is on it, nothing is cut, every control has a name and a size that
// a finger or a pointer can hit, and the console is empty.
func TestLooks(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240)
	d.forecast()
	s, _, _ := serve(t, d)
	d.run(2 * time.Second)
	for _, c := range []struct {
		name string
		seat Seat
		look look
	}{
		{"desk-light", playerSeat, desk},
		{"desk-dark", playerSeat, look{w: 1440, h: 900, dark: true}},
		{"controller", controllerSeat, desk},
		{"evaluator", evaluatorSeat, desk},
		{"observer", observerSeat, desk},
		{"small-desk", playerSeat, look{w: 1024, h: 768}},
		{"phone-light", playerSeat, phone},
		{"phone-dark", playerSeat, look{w: 390, h: 844, mobile: true, dark: true}},
		{"phone-controller", controllerSeat, phone},
		{"phone-narrow", playerSeat, look{w: 320, h: 640, mobile: true}},
	} {
		p := b.open(t, s.URL+c.seat.Path(), c.look)
		p.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent)`)
		p.wait("fresh news", `document.querySelector('#old').hidden`)
		time.Sleep(300 * time.Millisecond)
		p.shot(c.name)
		p.fits(c.name, c.look)
		if c.look.mobile {
			p.click("#tabs button:nth-child(2)")
			time.Sleep(200 * time.Millisecond)
			p.shot(c.name + "-do")
			p.fits(c.name+" do", c.look)
			p.click("#tabs button:nth-child(3)")
			p.fits(c.name+" done", c.look)
		}
		if p.text("#exercise b") != "EXERCISE" || !js[bool](p, "document.title.startsWith('EXERCISE')") {
			t.Errorf("%s: the word EXERCISE is missing", c.name)
		}
		p.quiet()
	}
}

// fits checks size and names of what is on the screen.
func (p *tab) fits(name string, l look) {
	p.t.Helper()
	if w := js[int](p, "document.documentElement.scrollWidth"); int64(w) > l.w {
		p.t.Errorf("%s: %d wide on a screen of %d", name, w, l.w)
	}
	if !js[bool](p, "(e => { const r = e.getBoundingClientRect(); return r.top >= 0 && r.height > 10 && r.top < innerHeight })(document.querySelector('#exercise b'))") {
		p.t.Errorf("%s: EXERCISE is not on the screen", name)
	}
	least := 24
	if l.mobile {
		least = 44
	}
	small := js[[]string](p, fmt.Sprintf(`[...document.querySelectorAll('button,select,input[type=text],textarea')].filter(e => { const r = e.getBoundingClientRect(); return r.width && (r.height < %d - .5 || r.width < 24) }).map(e => e.textContent.slice(0, 20) + ' ' + JSON.stringify(e.getBoundingClientRect().toJSON()))`, least))
	if len(small) > 0 {
		p.t.Errorf("%s: too small to hit: %v", name, small)
	}
	nameless := js[[]string](p, `[...document.querySelectorAll('button,select,input,textarea')].filter(e => !(e.textContent.trim() && e.tagName == 'BUTTON') && !e.getAttribute('aria-label') && !e.closest('label')).map(e => e.outerHTML.slice(0, 80))`)
	if len(nameless) > 0 {
		p.t.Errorf("%s: without a name: %v", name, nameless)
	}
	cut := js[[]string](p, `[...document.querySelectorAll('#glance p, #works th, #works td.now, #works td.next .nx, .act *, .care *, header *')].filter(e => e.offsetWidth && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display != 'inline' && !e.matches('svg, select, option, input, .vh')).map(e => e.tagName + ' ' + e.textContent.slice(0, 40) + ' ' + e.scrollWidth + '>' + e.clientWidth)`)
	if len(cut) > 0 {
		p.t.Errorf("%s: cut: %v", name, cut)
	}
}

// number reads the first number of a row's cell.
func (p *tab) number(row string, cell int) float64 {
	p.t.Helper()
	s := js[string](p, fmt.Sprintf("document.querySelector('tr[data-id=%q]').cells[%d].textContent", row, cell))
	m := regexp.MustCompile(`[0-9][0-9,.]*`).FindString(s)
	v, err := strconv.ParseFloat(strings.ReplaceAll(m, ",", ""), 64)
	if err != nil {
		p.t.Fatalf("no number in %q", s)
	}
	return v
}

// keepPicture remembers the canvas; changed counts the pixels that differ from it,
// right of now.
const keepPicture = `(() => { const copy = Object.assign(document.createElement('canvas'), {}); window.pixels = () => { const c = document.querySelector('canvas'); copy.width = c.width; copy.height = c.height; const g = copy.getContext('2d', {willReadFrequently: true}); g.drawImage(c, 0, 0); return g.getImageData(0, 0, c.width, c.height).data }; window.was = pixels(); return true })()`
const changed = `(() => { const c = document.querySelector('canvas'), d = pixels(); let n = 0; for (let i = 0; i < d.length; i += 4) if ((i / 4) % c.width > c.width * .36 && Math.abs(d[i] - was[i]) + Math.abs(d[i + 1] - was[i + 1]) + Math.abs(d[i + 2] - was[i + 2]) > 60) n++; return n })()`

// TestStory plays the drill's first hour on three pages: after the upset the yard
// grows, a hold stops it, a player looks ahead with a lever, sees the second edge
// and takes it; an observer is offered nothing and refused what it sends.
func TestStory(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(50)
	d.forecast()
	s, refused, _ := serve(t, d)
	d.run(700 * time.Millisecond)
	boss, player, guest := b.open(t, s.URL+controllerSeat.Path(), desk), b.open(t, s.URL+playerSeat.Path(), desk), b.open(t, s.URL+observerSeat.Path(), desk)

	boss.wait("the button to go on", `document.querySelector('#holdB').textContent === 'Go on' && !document.querySelector('#holdB').disabled`)
	boss.click("#holdB")
	player.wait("the train to be down", `document.querySelector('#glance').textContent.includes('Finishing train') && document.querySelector('tr[data-id=finishing-train]').textContent.includes('down')`)
	first := player.number("slab-yard-store", 2)
	player.wait("the slab yard to grow", fmt.Sprintf(`+document.querySelector('tr[data-id=slab-yard-store]').cells[2].textContent.replace(/,/g, '').match(/[0-9]+/)[0] > %g`, first+300))
	player.wait("the hole", `document.querySelector('canvas').dataset.holes > 0`)

	boss.wait("the button to hold", `document.querySelector('#holdB').textContent === 'Hold'`)
	boss.click("#holdB")
	player.wait("the word that it is held", `document.querySelector('#heldWord').textContent.includes('held')`)
	time.Sleep(time.Second)
	stood := player.number("slab-yard-store", 2)
	at := js[string](player, "document.querySelector('#clock b').textContent")
	time.Sleep(1500 * time.Millisecond)
	if v, now := player.number("slab-yard-store", 2), js[string](player, "document.querySelector('#clock b').textContent"); v != stood || now != at {
		t.Errorf("held at %s with %g t, later %s with %g t", at, stood, now, v)
	}

	js[bool](player, keepPicture)
	if n := js[int](player, changed); n != 0 {
		t.Errorf("%d pixels changed before anything happened", n)
	}
	player.click(`[data-lever="open overflow"]`)
	player.wait("the look-ahead", `document.querySelector('canvas').dataset.trial === '1' && document.querySelector('[data-effect]').textContent`)
	player.wait("the second edge", changed+" > 150")
	if w := player.text(`[data-act="open overflow"]`); !strings.Contains(w, "; with this order ") {
		t.Errorf("the look-ahead says %q", w)
	}
	player.shot("story-preview")
	player.click(`[data-take="open overflow"]`)
	if n := len(d.commands()); n != 2 {
		t.Errorf("%d commands before the player said yes twice", n)
	}
	player.click(`[data-take="open overflow"]`)
	for _, p := range []*tab{player, guest, boss} {
		p.wait("the action in the log", `document.querySelector('#log').textContent.includes('A1') && document.querySelector('#log').textContent.includes('open overflow')`)
	}
	all := d.commands()
	if c := all[len(all)-1]; c.Kind != bus.CmdOrder || c.By != playerSeat.Name || c.Role != bus.Player {
		t.Errorf("the drill got %+v", c)
	}

	// a lever that sends people in is refused until the caution is read
	player.click(`[data-lever="change rolls"]`)
	player.wait("the form", `document.querySelector('[data-take="change rolls"]')`)
	player.click(`[data-take="change rolls"]`)
	player.click(`[data-take="change rolls"]`)
	player.wait("the refusal", `document.querySelector('#roleBox .refused').textContent.includes('caution')`)
	player.click(`.care input`)
	player.wait("the caution to be read", `document.querySelector('.care').textContent.includes('Read by ops manager')`)
	player.click(`[data-take="change rolls"]`)
	player.click(`[data-take="change rolls"]`)
	player.wait("the action", `document.querySelector('#log').textContent.includes('A2')`)

	if guest.has("[data-take], [data-lever], #holdB, .care input, #roleBox button") {
		t.Error("an observer is offered something to do")
	}
	n := len(refused.all())
	js[bool](guest, `(() => { const w = new WebSocket(location.href.replace('http', 'ws') + 'line'); w.onmessage = e => { const m = JSON.parse(e.data); if (m.k === 'snap') w.send(JSON.stringify({k: 'do', id: 'x', ep: m.ep, q: m.q || 0, cmd: {kind: 'order', role: 'controller', order: {lever: 'open overflow'}}})); if (m.k === 'ack') window.answer = m; }; return true })()`)
	guest.wait("the refusal", `window.answer && !window.answer.ok && window.answer.why`)
	if len(refused.all()) != n+1 {
		t.Error("the server did not tell of the refusal")
	}
	guest.click("#stop")
	guest.click("#stop")
	for _, p := range []*tab{player, guest, boss} {
		p.wait("the stop word on every page", `!document.querySelector('#hold').hidden && document.querySelector('#hold').textContent.includes('REAL EMERGENCY')`)
	}
	player.shot("story-emergency")
	for _, p := range []*tab{player, guest, boss} {
		p.quiet()
	}
}

// TestKeyboard: everything can be reached and done without a pointer.
func TestKeyboard(t *testing.T) {
	b, _, s := fourHoursIn(t)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("fresh news", `document.querySelector('#old').hidden && document.querySelector('.care input')`)
	where := func() string {
		return js[string](p, "(e => e.id || e.dataset.lever || e.dataset.id || e.dataset.take || e.className || e.tagName + e.textContent.slice(0, 20))(document.activeElement)")
	}
	seen := map[string]bool{}
	tabTo := func(want string) {
		t.Helper()
		for range 60 {
			p.keys(kb.Tab)
			at := where()
			seen[at] = true
			if ring := js[string](p, "getComputedStyle(document.activeElement).outlineStyle + getComputedStyle(document.activeElement).outlineWidth"); at != "BODY" && ring != "solid2px" && ring != "auto1px" && !strings.HasPrefix(at, "BODY") {
				t.Errorf("no ring on %s: %s", at, ring)
			}
			if at == want {
				return
			}
		}
		t.Fatalf("the Tab key never came to %q, only to %v", want, seen)
	}
	tabTo("stop")
	tabTo("freeze")
	p.keys(kb.Enter)
	if w := p.text("#freeze"); !strings.Contains(w, "Frozen") {
		t.Errorf("Enter on freeze: %q", w)
	}
	p.keys(kb.Enter)
	tabTo("iron-supply")
	p.keys(kb.ArrowDown)
	p.keys(kb.ArrowDown)
	if at := where(); at != "steel-shop" {
		t.Errorf("two steps down: %s", at)
	}
	for range 3 {
		p.keys(kb.ArrowLeft)
	}
	p.wait("the reading line", `document.querySelector('thead').textContent.includes('At ')`)
	p.keys(kb.Home)
	p.wait("now again", `document.querySelector('thead').textContent.includes('Now')`)
	before := where()
	p.keys(kb.Enter)
	p.wait("the figures of the row", `(e => !e.hidden && e.getAttribute('role') === 'dialog' && e.contains(document.activeElement) && document.getElementById(e.getAttribute('aria-labelledby')).textContent === 'Steel shop')(document.querySelector('#row'))`)
	if w := p.text("#row"); !strings.Contains(w, "Makes") || !strings.Contains(w, "Takes from") || !strings.Contains(w, "torpedoes, ") {
		t.Errorf("the figures of the steel shop: %q", w)
	}
	p.keys(kb.Escape)
	if at := where(); at != "steel-shop" || !js[bool](p, "document.querySelector('#row').hidden") {
		t.Errorf("Escape on the figures leads to %s", at)
	}
	p.keys("k")
	if where() != before {
		t.Error("a letter is a short cut")
	}
	tabTo("open overflow")
	p.keys(kb.Enter)
	p.wait("the look-ahead", `document.querySelector('canvas').dataset.trial === '1'`)
	tabTo("open overflow") // to its Take button, which has the same name
	p.keys(kb.Enter)
	p.keys(kb.Enter)
	p.wait("the action", `document.querySelector('#log').textContent.includes('A1')`)
	p.wait("the spoken word", `document.querySelector('#say').textContent.includes('Taken')`)
	p.quiet()
}

// TestLine: old news turns grey and locks what acts; a line that comes back goes
// on; a rewind brings a new picture.
func TestLine(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(240)
	d.forecast()
	s, _, srv := serve(t, d)
	d.run(time.Second)
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("fresh news", `document.querySelector('#old').hidden`)
	d.mu.Lock()
	d.silent = true
	d.mu.Unlock()
	p.wait("the word that news are old", `!document.querySelector('#old').hidden && document.querySelector('#old').textContent.includes('No news from the works since')`)
	if !p.has("body.stale") || js[bool](p, `[...document.querySelectorAll('#roleBox [data-locks]')].some(b => !b.disabled)`) {
		t.Error("old news: not grey, or something can still be done")
	}
	if js[bool](p, "document.querySelector('#stop').disabled") {
		t.Error("the stop for a real emergency is locked")
	}
	p.shot("stale")
	d.mu.Lock()
	d.silent = false
	d.mu.Unlock()
	p.wait("fresh news again", `document.querySelector('#old').hidden && ![...document.querySelectorAll('#roleBox [data-locks]')].some(b => b.disabled)`)

	// the line is cut from the server's side
	srv.hub.mu.Lock()
	for c := range srv.hub.here {
		c.conn.Close()
	}
	srv.hub.mu.Unlock()
	q := js[string](p, "document.documentElement.dataset.q")
	p.wait("the line to come back", fmt.Sprintf(`document.querySelector('#old').hidden && +document.documentElement.dataset.q > %s + 5`, q))

	d.rewind()
	p.wait("the new epoch", `document.documentElement.dataset.ep === '2' && document.querySelector('#clock').textContent.includes('21:40')`)
	p.wait("the past to be gone", `document.querySelector('#glance').textContent.includes('Nothing is down')`)
	p.quiet()
}

// TestCalm: with reduced motion the picture is drawn about once a second.
func TestCalm(t *testing.T) {
	b := newBrowser(t)
	d := newFakeDrill(t)
	d.play(90)
	d.goOn()
	s, _, _ := serve(t, d)
	d.run(5 * time.Second)
	p := b.open(t, s.URL+playerSeat.Path(), look{w: 1440, h: 900, calm: true})
	p.wait("fresh news", `document.querySelector('#old').hidden`)
	count := `window.drawn = 0, new MutationObserver(() => window.drawn++).observe(document.querySelector('#clock'), {childList: true}), true`
	js[bool](p, count)
	time.Sleep(3 * time.Second)
	if n := js[int](p, "window.drawn"); n < 1 || n > 5 {
		t.Errorf("the clock was written %d times in 3 s", n)
	}
	p.quiet()
}

// TestTimes reports how long updates and redraws of Larkfell take, a day into the
// wreck; it sets no limit, for the machine is shared.
func TestTimes(t *testing.T) {
	if os.Getenv("MILLRACE_TIMES") == "" {
		t.Skip("set MILLRACE_TIMES to measure")
	}
	b := newBrowser(t)
	d := larkfell(t)
	do := d.do
	do(bus.Command{Kind: bus.CmdStep, Minutes: 40 * 60})
	p := d.page(t, b, playerSeat, desk)
	p.wait("a forecast", `/[0-9] of [0-9]+ runs|no trouble in/.test(document.querySelector('#works').textContent)`)
	do(bus.Command{Kind: bus.CmdPace, Pace: 2})
	do(bus.Command{Kind: bus.CmdResume})
	time.Sleep(20 * time.Second)
	show := func(name string, v []float64) {
		sort.Float64s(v)
		if len(v) == 0 {
			t.Errorf("%s: none", name)
			return
		}
		t.Logf("%-8s n %d, median %.2f ms, 95th %.2f ms, most %.2f ms", name, len(v), v[len(v)/2], v[len(v)*95/100], v[len(v)-1])
	}
	for _, k := range []string{"update", "redraw", "words"} {
		show(k, js[[]float64](p, "pageTimes."+k))
	}
	show("redraw at will", js[[]float64](p, "pageMeasure(60)"))
	// The same in time of the processor, which others at work do not lengthen as much.
	ticks := func() float64 {
		r, err := chromedp.Call(p.ctx, performance.GetMetrics, cdp.Empty{})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range r.Metrics {
			if m.Name == "TaskDuration" {
				return m.Value * 1000
			}
		}
		t.Fatal("the browser does not say how long it worked")
		return 0
	}
	if _, err := chromedp.Call(p.ctx, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks}); err != nil {
		t.Fatal(err)
	}
	do(bus.Command{Kind: bus.CmdHold})
	time.Sleep(time.Second)
	var own []float64
	for range 60 {
		was := ticks()
		js[[]float64](p, "pageMeasure(1)")
		own = append(own, ticks()-was)
	}
	show("redraw, processor", own)
	t.Logf("%d lines", js[int](p, "document.querySelectorAll('#works tbody tr').length"))
}
