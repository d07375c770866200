// The right side: by role, what you can do, and what was done.

import { HOUR, dur, cap, num, money, likely, median, settingNow } from './words.js';
import { $, h, svg, fill, say, sure } from './dom.js';
import { billAt } from './table.js';

const short = (s, n) => s.length > n ? s.slice(0, n - 1).trimEnd() + '…' : s;

export class Panel {
  // ask(order) looks ahead; act(cmd) sends and answers with the reply.
  constructor(model, act, ask, show) {
    this.m = model; this.act = act; this.ask = ask; this.show = show; this.openLever = ''; this.read = new Set(); this.box = $('#roleBox');
    this.parts = {};
  }

  // build makes the parts of the role once; texts fills them.
  build() {
    const role = this.m.role, part = n => this.parts[n] = h('div');
    this.parts = {}; this.leverKey = '';
    const mine = {
      controller: ['run', 'calls', 'coming', 'make', 'people', 'levers', 'set'],
      player: ['calls', 'told', 'levers', 'askhold', 'set'],
      evaluator: ['calls', 'note', 'coming', 'told', 'people', 'set'],
      observer: ['look', 'calls', 'told', 'set'],
    }[role] || ['look'];
    this.answer = h('p', { class: 'refused', role: 'status' });
    this.box.replaceChildren(this.answer, ...mine.map(part));
    if (this.parts.run) this.runPart();
    if (this.parts.note) this.notePart();
    if (this.parts.askhold) this.parts.askhold.append(h('h3', null, 'The drill'), h('div', { class: 'row' }, this.button('Ask for a hold', () => this.do({ kind: 'askhold' }, 'Asked for a hold'))));
    if (this.parts.look) this.parts.look.append(h('h2', null, 'Looking on'), h('p', { class: 'q' }, 'You see what the players see. Only the stop for a real emergency is yours.'));
    this.lock(this.locked);
  }

  button(word, act, ask) {
    const b = h('button', { type: 'button', 'data-locks': '' }, word);
    if (ask) sure(b, ask, act); else b.addEventListener('click', act);
    return b;
  }

  // lock disables everything that acts while there is no fresh news.
  lock(on) {
    const was = this.locked;
    this.locked = on;
    if (was && !on && this.openLever && !this.trialOf && this.lookLater) this.lookLater(); // it was asked for while there was no news
    for (const b of this.box.querySelectorAll('[data-locks]')) {
      b.disabled = on || b.dataset.wait === '1';
      b.title = on ? 'Not while there is no news' : '';
    }
  }

  async do(cmd, done) {
    const r = await this.act(cmd);
    this.answer.textContent = r.ok ? '' : 'Not done: ' + (r.why || 'refused');
    if (r.ok) say(done + (r.d && r.d.tag ? ', ' + r.d.tag : ''));
    else {
      say('Not done: ' + r.why);
      if (r.d && r.d.call) { const c = this.box.querySelector('[data-call="' + CSS.escape(r.d.call) + '"] input'); if (c) c.focus(); }
    }
    return r;
  }

  texts() {
    const { m } = this, p = this.parts;
    if (p.calls) this.calls(p.calls);
    if (p.told) this.told(p.told);
    if (p.levers) this.levers(p.levers);
    if (p.run) this.runTexts();
    if (p.coming) this.coming(p.coming);
    if (p.make) this.make(p.make);
    if (p.people) this.people(p.people);
    if (p.set) fill(p.set, JSON.stringify(m.settings), () => m.settings.length ? [h('h3', null, 'Set now'), m.settings.map(s => h('p', null, h('span', { class: 'q' }, cap(s.name) + ': '), settingNow(s.now)))] : []);
    fill($('#log'), m.log.length + '/' + (m.log.length ? m.log[m.log.length - 1].at : 0), () => m.log.slice(-120).reverse().map(e => h('li', null,
      h('span', { class: 'q' }, m.clock.full(e.at)), h('span', { class: e.tag ? 'tag ' + e.tag[0] : '' }, e.tag || ''), h('span', null, e.text, e.by ? h('span', { class: 'q' }, ' – ' + e.by) : ''))));
    this.lock(this.locked);
  }

  calls(box) {
    const { m } = this, open = m.open();
    const key = JSON.stringify(open.map(c => [c.id, c.cause, c.text, c.acked.length, c.effects.map(e => e.name + e.state)])) + m.role;
    fill(box, key, () => open.map(c => {
      const mine = m.ackedByMe(c), may = m.role !== 'observer';
      const kids = [h('b', null, cap(c.unit) + ' down: ' + (c.cause || 'not yet known why')), h('span', null, 'Headcount first. ' + c.caution)];
      if (c.acked.length) kids.push(h('p', { class: 'q' }, 'Read by ' + c.acked.map(a => a.by || a.role).join(', ') + '.'));
      if (may && !mine) {
        const tick = h('input', { type: 'checkbox', 'data-locks': '' });
        tick.addEventListener('change', async () => { if (tick.checked) { tick.disabled = true; const r = await this.do({ kind: 'ack', call: c.id }, 'Caution acknowledged'); if (!r.ok) { tick.checked = false; tick.disabled = false; } } });
        kids.push(h('label', null, tick, 'I have read this; before people are sent in'));
      }
      return h('div', { class: 'care', 'data-call': c.id }, kids);
    }));
  }

  told(box) {
    const { m } = this, last = m.told.slice(-3).reverse();
    fill(box, JSON.stringify(last.map(t => [t.n, t.text])), () => last.length ? [h('h3', null, 'What you have been told'), h('ol', { class: 'log' }, last.map(t => h('li', null, h('span', { class: 'q' }, m.clock.full(t.at)), h('span', { class: 'tag' }, 'T' + t.n), h('span', null, t.text, h('span', { class: 'q' }, ' – ' + t.from)))))] : []);
  }

  // levers: one is open at a time; an open one is looked ahead with.
  levers(box) {
    const { m } = this, key = JSON.stringify(m.levers) + this.openLever + m.role;
    if (this.leverKey === key) { this.effect(); return; }
    this.leverKey = key;
    const head = m.role === 'controller' ? 'In a player’s place' : 'You can do now';
    const again = document.activeElement && document.activeElement.closest && document.activeElement.closest('[data-lever]');
    box.replaceChildren(h('h2', null, head), h('p', { class: 'q' }, 'Open one to see how the hole would change (dashed).'), ...m.levers.map(l => {
      const open = this.openLever === l.name;
      const b = h('button', { type: 'button', 'aria-expanded': String(open), 'data-lever': l.name }, open ? 'Close' : 'Open');
      b.addEventListener('click', () => { this.openLever = open ? '' : l.name; this.show(null); this.trialOf = null; this.texts(); const n = this.box.querySelector('[data-lever="' + CSS.escape(l.name) + '"]'); if (n) n.focus(); });
      b.setAttribute('aria-label', (open ? 'Close ' : 'Open ') + l.name);
      return h('div', { class: 'act' + (open ? ' prev' : ''), 'data-act': l.name }, h('span', { class: 'nm' }, cap(l.what || l.name)), b, open ? this.form(l) : '');
    }));
    if (again) { const n = box.querySelector('[data-lever="' + CSS.escape(again.dataset.lever) + '"]'); if (n) n.focus(); }
    this.lock(this.locked);
    this.effect();
  }

  form(l) {
    const { m } = this, f = { unit: null, value: null, heat: null, slabs: null, as: null };
    const args = [];
    const look = this.lookLater = () => { clearTimeout(this.lookT); this.lookT = setTimeout(() => this.look(l, order), 350); };
    const pick = (label, opts) => { const s = h('select', { 'aria-label': label }, opts.map(o => Array.isArray(o) ? h('option', { value: o[0] }, o[1]) : h('option', { value: o }, o))); s.addEventListener('change', look); return s; };
    const write = (label, hint) => { const s = h('input', { type: 'text', 'aria-label': label, placeholder: hint, size: 10 }); s.addEventListener('input', look); return s; };
    if (m.role === 'controller') args.push(f.as = write('In whose place', 'as which player'));
    if (l.units && l.units.length) args.push(f.unit = pick('Which', l.units));
    if (l.heat) args.push(f.heat = m.heats.length ? pick('Which heat', m.heats.map(x => [x.number, x.number + ' for ' + x.caster + ', ' + x.stage + ', ' + Math.round(x.above_k) + ' K above liquidus' + (x.open_by != null ? ', open by ' + m.clock.hm(x.open_by) : '')])) : write('Number of the heat', 'heat number'));
    if (l.choices && l.choices.length) args.push(f.value = pick(l.value || 'What', l.choices));
    else if (l.value) { f.value = write(l.value, l.example || l.value); f.value.value = l.example || ''; args.push(f.value); }
    if (l.slabs) args.push(f.slabs = write('How many slabs', 'slabs'));
    const order = () => ({
      lever: l.name, unit: f.unit ? f.unit.value : undefined, value: f.value ? f.value.value.trim() : undefined,
      heat: f.heat ? Math.trunc(+f.heat.value) || 0 : undefined, slabs: f.slabs ? Math.trunc(+f.slabs.value) || 0 : undefined,
    });
    const take = h('button', { type: 'button', 'data-locks': '', 'data-take': l.name }, 'Take');
    const care = l.sends_in ? m.open().filter(c => !m.ackedByMe(c)) : [];
    sure(take, 'Sure? Take it', async () => {
      const r = await this.do({ kind: 'order', order: order(), as: f.as ? f.as.value.trim() || undefined : undefined }, 'Taken: ' + l.name);
      if (r.ok) { this.openLever = ''; this.show(null); this.trialOf = null; this.texts(); }
    });
    this.effectBox = h('div', { class: 'ef', 'data-effect': '' });
    this.whyBox = h('span', { class: 'why' });
    look();
    return [h('span', { class: 'why' }, 'It costs: ' + l.costs + '.'), args.length ? h('span', { class: 'arg' }, args) : '',
      care.length ? h('span', { class: 'why' }, h('b', null, 'People go to the machine: read and tick the caution above first.')) : '',
      this.effectBox, this.whyBox, h('span', { class: 'arg' }, take)];
  }

  async look(l, order) {
    if (this.locked || this.openLever !== l.name) return;
    const o = order();
    if (this.whyBox) this.whyBox.textContent = 'Looking ahead …';
    const r = await this.ask(o);
    if (this.openLever !== l.name) return;
    if (r.k === 'trial') { this.trialOf = this.m.whole(r.d); this.show(r.d); this.lookWhy = ''; } else { this.trialOf = null; this.show(null); this.lookWhy = cap(r.why || 'no preview') + '.'; }
    this.effectKey = '';
    this.effect();
  }

  // effect says in words and on a short ruler what the look-ahead found.
  effect() {
    const { m } = this, t = this.trialOf, f = m.f;
    if (!this.openLever || !this.effectBox) return;
    if (!t || !f) { if (this.lookWhy) this.whyBox.textContent = this.lookWhy; return; }
    const rows = m.troubles(f).map(o => o.l.row.i);
    const when = (g, row, full) => { const e = g.ends.find(e => e.row === row && e.full === full), x = e && likely(e.in, g.n); return x == null ? null : Math.max(0, x + g.t - m.t); };
    // the nearest trouble that moves, else the nearest
    const all = [];
    for (const e of f.ends) if (rows.includes(e.row)) {
      const a = when(f, e.row, e.full), b = when(t, e.row, e.full);
      if (a == null) continue;
      all.push({ e, a, b, moved: b == null || Math.abs(b - a) > 300 });
    }
    all.sort((x, y) => x.a - y.a);
    const best = all.find(x => x.moved) || all[0];
    const bill = g => billAt(m, Math.min(8 * HOUR, g.horizon * .9), g), k0 = bill(f), k1 = bill(t), d = k0 != null && k1 != null ? k1 - k0 : null;
    const words = (d == null ? '' : Math.abs(d) < 1000 ? 'costs about the same in 8 h' : (d < 0 ? 'saves ' : 'adds ') + money(Math.abs(d), m.cost.currency) + ' in 8 h');
    const key = best ? [best.e.row, Math.round(best.a / 120), best.b == null ? 'never' : Math.round(best.b / 120), best.moved, words].join() : words;
    if (this.effectKey === key) return;
    this.effectKey = key; this.lookWhy = '';
    if (!best) { this.effectBox.replaceChildren(h('b', null, 'No trouble to move in ' + dur(f.horizon))); this.whyBox.textContent = cap(words); return; }
    const H = f.horizon, X = s => 4 + Math.min(1, s / H) * 186;
    const g = svg('svg', { width: 196, height: 12, 'aria-hidden': 'true' }, svg('line', { x1: 4, x2: 190, y1: 6, y2: 6, stroke: 'var(--hair)' }),
      [0, .25, .5, .75, 1].map(k => svg('line', { x1: X(k * H), x2: X(k * H), y1: 3, y2: 9, stroke: 'var(--rule)' })),
      svg('line', { x1: X(best.a), x2: X(best.b ?? H), y1: 6, y2: 6, stroke: 'var(--ink)', 'stroke-width': 2 }),
      svg('circle', { cx: X(best.a), cy: 6, r: 3.6, fill: 'var(--sheet)', stroke: 'var(--ink)', 'stroke-width': 1.5 }),
      best.b == null ? svg('path', { d: 'M187 1 l8 5 l-8 5z', fill: 'var(--ink)' }) : svg('circle', { cx: X(best.b), cy: 6, r: 4, fill: 'var(--ink)' }));
    this.effectBox.replaceChildren(g, h('b', null, best.b == null ? 'not in ' + dur(H) : best.moved ? dur(best.b) : 'not moved'));
    const s = cap(m.nameOf(best.e.row, best.e.name)) + (best.e.full ? ' full' : ' dry') + ' in ' + dur(best.a) + (!best.moved ? '; this order does not move it' : '; then ' + (best.b == null ? 'not in ' + dur(H) : 'in ' + dur(best.b))) + (words ? '; ' + words : '') + '.';
    this.whyBox.textContent = s;
    say('Look-ahead: ' + s);
  }

  runPart() {
    const paces = [[1 / 60, 'as it is'], [.5, '½ min'], [2, '2 min'], [10, '10 min'], [30, '30 min'], [60, '1 h']];
    this.holdB = this.button('Hold', () => this.do({ kind: this.m.flags.held ? 'resume' : 'hold' }, this.m.flags.held ? 'Goes on' : 'Held'));
    this.holdB.id = 'holdB';
    this.paceB = paces.map(([p, w]) => { const b = this.button(w, () => this.do({ kind: 'pace', pace: p }, 'Pace ' + w)); b.dataset.pace = p; return b; });
    this.marks = h('select', { 'aria-label': 'Go back to', class: 'whole' });
    const back = this.button('Go back', () => this.marks.value && this.do({ kind: 'rewind', mark: this.marks.value }, 'Gone back to ' + this.marks.value), 'Sure? All go back');
    const basis = h('button', { type: 'button', 'aria-pressed': 'false' }, 'Forecast with the script');
    basis.addEventListener('click', () => { this.m.script = !this.m.script; basis.setAttribute('aria-pressed', this.m.script); this.show(undefined); });
    this.parts.run.append(h('h2', null, 'Run the drill'), h('div', { class: 'row' }, this.holdB, this.button('10 min on, then hold', () => this.do({ kind: 'step', minutes: 10 }, 'Ten minutes'))),
      h('p', { class: 'q' }, 'In one second of yours:'), h('div', { class: 'row', role: 'group', 'aria-label': 'Pace' }, this.paceB),
      h('div', { class: 'row' }, h('span', null, 'Go back to'), this.marks, back, h('span', { class: 'q rest' }, 'What was played stays on record; everybody is told.')),
      h('div', { class: 'row' }, basis));
  }

  runTexts() {
    const { m } = this;
    this.holdB.textContent = m.flags.held ? 'Go on' : 'Hold';
    for (const b of this.paceB) b.setAttribute('aria-pressed', String(Math.abs(b.dataset.pace / m.pace - 1) < .02));
    const log = m.log.filter(e => e.tag && (e.what === 'action' || e.what === 'inject'));
    const marks = [...m.marks];
    for (const e of log) if (!marks.some(k => k.tag === e.tag)) marks.push({ tag: e.tag, at: e.at, text: e.text });
    fill(this.marks, JSON.stringify(marks.map(k => k.tag)), () => marks.sort((a, b) => b.at - a.at).map(k => h('option', { value: k.tag }, short(k.tag + ', ' + m.clock.full(k.at) + ' ' + k.text, 44))));
  }

  coming(box) {
    const { m } = this, rows = m.toCome.filter(j => !j.given), can = m.role === 'controller';
    fill(box, JSON.stringify(rows.map(j => [j.id, j.held, j.at])) + Math.round(m.t / 60), () => [h('h2', null, 'Injects to come'), rows.length ? '' : h('p', { class: 'q' }, 'None.'), rows.map(j => h('div', { class: 'act' },
      h('span', { class: 'nm' }, h('span', { class: 'tag N' }, j.id), ' ' + (j.what || j.kind)), can ? this.button('Give now', () => this.do({ kind: 'inject', inject: { what: 'give', id: j.id } }, 'Given ' + j.id), 'Sure? Give it') : h('span'),
      h('span', { class: 'why' }, cap(j.unit) + (j.held ? '; held back, you decide ' : '; due in ' + dur(j.at - m.t) + ' of the works’ time ')),
      can ? h('span', { class: 'arg' }, this.button('Later by 15 min', () => this.do({ kind: 'inject', inject: { what: 'later', id: j.id, lasts: '15 min' } }, j.id + ' later')), this.button('Drop', () => this.do({ kind: 'inject', inject: { what: 'drop', id: j.id } }, j.id + ' dropped'))) : ''))]);
  }

  make(box) {
    const { m } = this;
    fill(box, JSON.stringify([m.catalogue.map(u => u.name), m.stops.map(s => s.n)]), () => {
      const units = h('select', { 'aria-label': 'Where' }), what = h('select', { 'aria-label': 'What happens' }, m.catalogue.map(u => h('option', { value: u.name }, u.name)));
      const care = h('p', { class: 'q' });
      const put = () => { const u = m.catalogue.find(u => u.name === what.value); units.replaceChildren(...(u ? u.units : []).map(n => h('option', { value: n }, n))); care.textContent = u ? cap(u.what) + '. ' + u.caution : ''; };
      what.addEventListener('change', put); put();
      const lasts = h('input', { type: 'text', 'aria-label': 'How long it really lasts', placeholder: 'lasts, e.g. 3 h' });
      const to = h('input', { type: 'text', 'aria-label': 'To whom', placeholder: 'to: all' }), msg = h('input', { type: 'text', 'aria-label': 'Message', placeholder: 'message' });
      const stop = h('select', { 'aria-label': 'Which stop', class: 'whole' }, m.stops.map(s => h('option', { value: s.n }, s.unit))), word = h('input', { type: 'text', 'aria-label': 'Told lengths from now', placeholder: 'low 2 h, likely 4 h, bad 12 h' });
      return [h('h2', null, 'Make one up'), m.catalogue.length ? h('div', { class: 'row' }, what, units, lasts, this.button('Give now', () => this.do({ kind: 'inject', inject: { what: 'upset', upset: what.value, unit: units.value, lasts: lasts.value.trim() || undefined } }, 'Given: ' + what.value), 'Sure? Give it')) : '', care,
        m.stops.length ? h('div', { class: 'row' }, stop, word, this.button('Tell', () => this.do({ kind: 'inject', inject: { what: 'tell', stop: +stop.value, told: word.value.trim() } }, 'Told'))) : '',
        h('div', { class: 'row' }, to, msg, this.button('Send', async () => { const r = await this.do({ kind: 'inject', inject: { what: 'message', to: to.value.trim() || 'all', text: msg.value.trim() } }, 'Sent'); if (r.ok) msg.value = ''; }))];
    });
  }

  people(box) {
    const { m } = this, w = m.who, last = m.log.filter(e => e.what === 'action').pop();
    const faults = m.status ? [...(m.status.faults || []).map(f => f.what + ' (' + f.count + ')'), ...(m.status.broken || [])] : [];
    fill(box, JSON.stringify([w, faults]) + (last ? Math.round((m.t - last.at) / 60) : '') + m.rate, () => [faults.length ? h('div', { class: 'care' }, h('b', null, 'The drill’s program reports'), faults.map(f => h('p', null, f))) : '',h('h2', null, 'Who is here'),
      h('p', null, w ? Object.entries(w.count).map(([r, n]) => n + ' ' + r + (n > 1 ? 's' : '')).join(', ') + '.' : '', last ? ' Last action ' + dur(m.t - last.at) + ' ago.' : ' No action yet.'),
      h('p', { class: 'q' }, (m.rate || 0) + ' calls in the last 10 min; more than 10 is a flood nobody can work through.')]);
  }

  notePart() {
    const t = h('textarea', { rows: 3, cols: 34, 'aria-label': 'Note' });
    this.parts.note.append(h('h2', null, 'Note'), t, h('div', { class: 'row' }, this.button('Keep note', async () => { if (!t.value.trim()) return; const r = await this.do({ kind: 'note', text: t.value.trim() }, 'Note kept'); if (r.ok) t.value = ''; }), h('span', { class: 'q' }, 'Players and observers do not see notes.')));
  }
}
