package viewer

import (
	"os"
	"testing"
	"time"

	"millrace/sim/bus"
)

// TestPictures takes the pictures of README.md, into the folder that MILLRACE_SHOTS
// names.
func TestPictures(t *testing.T) {
	if os.Getenv("MILLRACE_SHOTS") == "" {
		t.Skip("set MILLRACE_SHOTS to a folder to take the pictures of the README")
	}
	b := newBrowser(t)
	d := larkfell(t)
	do := d.do
	ready := func(p *tab) {
		t.Helper()
		p.wait("a forecast of now", `!/ old\b/.test(document.querySelector('#glance').textContent)`)
		p.wait("a forecast", `/[0-9] of [0-9]+ runs/.test(document.querySelector('#works').textContent) && document.querySelector('#old').hidden`)
		time.Sleep(700 * time.Millisecond)
	}
	// the first picture: where to press, at the start
	first := d.page(t, b, controllerSeat, desk)
	first.wait("the forecast", `document.querySelector('#glance').textContent.includes('as of 06:00') && document.querySelector('#old').hidden`)
	js[bool](first, `(() => { const at = [document.querySelector('[data-pace="60"]'), document.querySelector('#holdB'), document.querySelector('#runTo'), [...document.querySelectorAll('#roleBox button')].find(b => b.textContent === 'Run to the next inject'), document.querySelector('tr[data-id=finishing-train] td, tr[data-id=descaler] td'), document.querySelector('#stop')];
		at.forEach((e, i) => { const r = e.getBoundingClientRect(), c = document.body.appendChild(document.createElement('b')); c.textContent = i + 1; Object.assign(c.style, { position: 'fixed', left: Math.max(2, r.left - 12) + 'px', top: Math.max(2, r.top - 10) + 'px', width: '22px', height: '22px', borderRadius: '50%', background: '#8f3a04', color: '#fff', textAlign: 'center', lineHeight: '22px', zIndex: 20, border: '1px solid #fff' }) }); return true })()`)
	first.shot("start")
	do(bus.Command{Kind: bus.CmdStep, Minutes: 17*60 + 10}) // half an hour into the wreck
	p := d.page(t, b, playerSeat, desk)
	ready(p)
	p.click(`[data-lever="casting speed"]`)
	p.wait("the look-ahead", `document.querySelector('canvas').dataset.trial === '1'`)
	ready(p)
	p.shot("player")
	p.click(`[data-lever="casting speed"]`)
	p.click(`tr[data-id=slab-yard]`)
	time.Sleep(300 * time.Millisecond)
	p.shot("row")
	p.click("#row button")
	ph := d.page(t, b, playerSeat, phone)
	ready(ph)
	ph.shot("phone")
	do(bus.Command{Kind: bus.CmdOrder, As: "ops manager", Order: &bus.Order{Lever: "casting speed", Unit: "C1", Value: "0.70 m/min"}})
	do(bus.Command{Kind: bus.CmdStep, Minutes: 90})
	do(bus.Command{Kind: bus.CmdRewind, Mark: "A1"})
	boss := d.page(t, b, controllerSeat, desk)
	ready(boss)
	boss.shot("controller")
	do(bus.Command{Kind: bus.CmdStep, Minutes: 15*60 + 25}) // Sat 14:35
	dark := d.page(t, b, playerSeat, look{w: 1440, h: 900, dark: true})
	ready(dark)
	dark.shot("later-dark")
	pd := d.page(t, b, playerSeat, look{w: 390, h: 844, mobile: true, dark: true})
	ready(pd)
	pd.shot("phone-later-dark")
	js[bool](pd, `(document.querySelector('tr[data-id=slab-yard]').click(), true)`)
	time.Sleep(300 * time.Millisecond)
	pd.shot("phone-row")
}
