// The right side: by role, what you can do, and what was done.

import { HOUR, MEANS, dur, cap, money, likely, settingNow, paceSays, unitOf, withUnit } from './words.js';
import { $, h, svg, fill, text, say, sure } from './dom.js';
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
      controller: ['run', 'calls', 'told', 'coming', 'make', 'people', 'levers', 'set'],
      player: ['calls', 'told', 'levers', 'askhold', 'set'],
      evaluator: ['calls', 'note', 'coming', 'told', 'people', 'set'],
      observer: ['look', 'calls', 'told', 'set'],
    }[role] || ['look'];
    this.answer = h('p', { class: 'refused', role: 'status' });
    this.offBox = h('p', { class: 'offbox', hidden: true });
    this.box.replaceChildren(this.offBox, this.answer, ...mine.map(part));
    if (this.parts.run) this.runPart();
    if (this.parts.note) this.notePart();
    if (this.parts.askhold) this.parts.askhold.append(h('h3', null, 'The drill'), h('div', { class: 'row' }, this.button('Ask for a hold', () => this.do({ kind: 'askhold' }, 'Asked for a hold'))));
    if (this.parts.look) this.parts.look.append(h('h2', null, 'Looking on'), h('p', { class: 'q' }, 'You see what the players see. Only the stop for a real emergency is yours.'));
    this.box.append(h('details', { id: 'means' }, h('summary', null, 'What the words mean'), h('dl', null, MEANS.map(([w, s]) => [h('dt', null, w), h('dd', null, s)]))));
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
    const off = this.m.off;
    for (const b of this.box.querySelectorAll('[data-lever]')) b.disabled = off; // to open one without news does no harm
    for (const b of this.box.querySelectorAll('[data-locks]')) {
      b.disabled = on || off && b.dataset.locks !== 'calm';
      b.title = on ? 'Not while there is no news' : b.disabled ? 'Not while the exercise is off' : '';
    }
  }

  async do(cmd, done) {
    const r = await this.act(cmd);
    const ask = r.d && r.d.confirm; // it waits for a second word
    this.answer.textContent = r.ok || ask ? '' : 'Not done: ' + (r.why || 'refused');
    if (ask) say(r.why || 'Press again to confirm');
    else if (r.ok) say(done + (r.d && r.d.tag ? ', ' + r.d.tag : ''));
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
    if (this.whom) { const names = ['all', 'staff', ...(m.who && m.who.names || [])]; fill(this.whom, names.join(), () => names.map(n => h('option', { value: n }))); }
    if (p.people) this.people(p.people);
    text(this.offBox, m.off ? 'The exercise is off: real emergency. Nothing can be ordered or given until the controller lets the drill go on.' : '');
    this.offBox.hidden = !m.off;
    if (p.set) fill(p.set, JSON.stringify(m.settings), () => m.settings.length ? [h('h3', null, 'Set now'), m.settings.map(s => h('p', null, h('span', { class: 'q' }, cap(s.name) + ': '), settingNow(s)))] : []);
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
    const { m } = this, last = m.told.filter(t => t.likely == null ? m.t - t.at < 8 * HOUR : !m.told.some(o => o.n > t.n && o.stop === t.stop && o.likely != null)).slice(-3).reverse(); // the last word on each stop; messages of this shift
    const who = t => [t.from, !t.to || t.to === 'all' ? '' : t.to === m.name ? 'to you' : 'to ' + t.to].filter(Boolean).join(' '), staff = m.seesNotes;
    const ends = m.open().filter(c => c.row >= 0).map(c => ({ c, e: m.endOf(c.row) })).filter(x => x.e.forecast);
    const asOf = m.asOf() + (m.byScript ? ', with the script' : '');
    fill(box, JSON.stringify([last.map(t => [t.n, t.text]), ends.map(x => [x.c.unit, x.e.forecast, x.e.why]), asOf]), () => [
      last.length ? [h('h3', null, staff ? 'What people have been told' : 'What you have been told'), h('ol', { class: 'log' }, last.map(t => h('li', null, h('span', { class: 'q' }, m.clock.full(t.at)), h('span', { class: 'tag' }, 'T' + t.n), h('span', null, t.text, h('span', { class: 'q' }, who(t) ? ' – ' + who(t) : '')))))] : '',
      ends.length ? [h('h3', null, 'The forecast, ', h('span', { class: 'q' }, asOf)), ends.map(x => h('p', { 'data-end': x.c.unit }, cap(x.c.unit) + ' ' + x.e.forecast + '. ', x.e.why ? h('span', { class: 'q' }, cap(x.e.why)) : ''))] : '']);
  }

  // levers: one is open at a time; an open one is looked ahead with.
  levers(box) {
    const { m } = this, key = JSON.stringify(m.levers) + this.openLever + m.role;
    if (this.leverKey === key) { this.bys(box); this.effect(); return; } // what is being written stays
    this.leverKey = key;
    const head = m.role === 'controller' ? 'In a player’s place' : 'You can do now';
    const again = document.activeElement && document.activeElement.closest && document.activeElement.closest('[data-lever]');
    box.replaceChildren(h('h2', null, head), h('p', { class: 'q' }, 'Open one to look ahead with it. The hole is all that stands, is full or dry because of a stop; its dashed edge is how it would become.'), ...m.levers.map(l => {
      const open = this.openLever === l.name;
      const b = h('button', { type: 'button', 'aria-expanded': String(open), 'data-lever': l.name }, open ? 'Close' : 'Open');
      b.addEventListener('click', () => { this.openLever = open ? '' : l.name; this.show(null); this.trialOf = null; this.texts(); const n = this.box.querySelector('[data-lever="' + CSS.escape(l.name) + '"]'); if (n) n.focus(); });
      b.setAttribute('aria-label', (open ? 'Close ' : 'Open ') + l.name);
      return h('div', { class: 'act' + (open ? ' prev' : ''), 'data-act': l.name }, h('span', { class: 'nm' }, cap(l.what || l.name), h('span', { class: 'by', 'data-by': l.name })), b, open ? this.form(l) : '');
    }));
    this.bys(box);
    if (again) { const n = box.querySelector('[data-lever="' + CSS.escape(again.dataset.lever) + '"]'); if (n) n.focus(); }
    this.lock(this.locked);
    this.effect();
  }

  // bys says until when levers are worth pulling, where the drill does.
  bys(box) {
    for (const e of box.querySelectorAll('[data-by]')) {
      const n = e.dataset.by, at = this.m.settings.filter(s => s.lever === n && s.decide_by > this.m.t).map(s => s.decide_by);
      text(e, this.m.off ? 'off: real emergency' : at.length && this.openLever !== n ? 'decide by ' + this.m.clock.full(Math.min(...at)) : '');
    }
  }

  // present is what a lever is set to, as one would write it; '' where it is not known.
  present(l, unit) {
    const all = this.m.settings.filter(s => s.lever === l.name), of = all.filter(s => s.unit === unit);
    const v = [...new Set((of.length ? of : all.filter(s => !s.unit || unit === 'all')).map(s => s.value))];
    return v.length === 1 && v[0] || '';
  }

  // stepSays writes a step, with its kelvin where a setting says how many they are.
  stepSays(l, n) {
    if (n === '0') return 'at set-point';
    for (const s of this.m.settings) { const k = s.lever === l.name && s.value === n && /([\d.]+) K\b/.exec(s.now); if (k) return 'step ' + n + ', ' + k[1] + ' K'; }
    return 'step ' + n;
  }

  // due is when the planned stop of a unit that a lever pulls forward begins by itself.
  due(l, unit) {
    if (!l.name.includes('planned')) return '';
    const { m } = this, p = m.planned.find(p => p.unit === unit && !p.now && p.at > m.t);
    return p ? 'It is due ' + m.clock.full(p.at) + ', ' + dur(p.lasts) + (p.movable ? '.' : ', and cannot be moved.') : 'No stop of ' + unit + ' is planned in the next days.';
  }

  form(l) {
    const { m } = this, f = { unit: null, value: null, heat: null, slabs: null, as: null };
    const args = [], unit = unitOf(l.example);
    const look = this.lookLater = () => { clearTimeout(this.lookT); this.lookT = setTimeout(() => this.look(l, order), 350); };
    const pick = (label, opts) => { const s = h('select', { 'aria-label': label }, opts.map(o => Array.isArray(o) ? h('option', { value: o[0] }, o[1]) : h('option', { value: o }, o))); s.addEventListener('change', look); return s; };
    const write = (label, hint) => { const s = h('input', { type: 'text', 'aria-label': label, placeholder: hint, size: 10 }); s.addEventListener('input', look); return s; };
    if (m.role === 'controller') args.push(f.as = write('In whose place', 'as which player'));
    if (l.units && l.units.length) args.push(f.unit = pick('Which', l.units));
    if (l.heat) args.push(f.heat = m.heats.length ? pick('Which heat', m.heats.map(x => [x.number, x.number + ' for ' + x.caster + ', ' + x.stage + ', ' + Math.round(x.above_k) + ' K above liquidus' + (x.open_by != null ? ', open by ' + m.clock.hm(x.open_by) : '')])) : write('Number of the heat', 'heat number'));
    if (f.heat && m.heats.length) { // open on the first that the lever can be used on
      const first = m.heats.find(x => x.stage !== 'open' && (l.name !== 'hold heat' || x.stage === 'waiting') && !(f.unit && x.caster === f.unit.value));
      if (first) f.heat.value = first.number;
    }
    if (l.choices && l.choices.length) args.push(f.value = pick(l.value || 'What', /^steps?\b/.test(l.value || '') ? l.choices.map(c => [c, this.stepSays(l, c)]) : l.choices));
    else if (l.value) {
      f.value = write(l.value + (unit ? ', ' + unit : ''), l.example || l.value);
      f.value.value = unit ? l.example.slice(0, -unit.length).trim() : l.example || '';
      args.push(h('span', { class: 'uom' }, f.value, unit));
    }
    if (l.slabs) args.push(f.slabs = write('How many slabs', 'slabs'));
    const order = () => ({
      lever: l.name, unit: f.unit ? f.unit.value : undefined, value: f.value ? withUnit(f.value.value.trim(), unit) : undefined,
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
    // the unit chosen says how it is set, when its stop is due, and where the steps open
    const nowBox = h('span', { class: 'why' }), told = () => {
      const u = f.unit ? f.unit.value : '', v = this.present(l, u);
      if (v && l.choices && l.choices.includes(v)) f.value.value = v;
      nowBox.textContent = [this.due(l, u), v ? 'Now: ' + (/^steps?\b/.test(l.value || '') ? this.stepSays(l, v) : v) + '.' : ''].filter(Boolean).join(' ');
    };
    if (f.unit) f.unit.addEventListener('change', told);
    told(); look();
    return [h('span', { class: 'why' }, l.costs === '-' ? '' : 'It costs: ' + l.costs + '.'), nowBox, args.length ? h('span', { class: 'arg' }, args) : '',
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

  // moves pairs every trouble without the order and with it: as the drill gives them, else
  // from the two forecasts. a and b are s from now, null for not in half of the runs.
  moves(f, t) {
    const { m } = this, out = [];
    const one = r => ({ t: r.likely == null ? null : Math.max(0, r.likely + t.t - m.t), share: r.share });
    if (t.moves) for (const x of t.moves) out.push({ row: x.row, full: !/ dry$/.test(x.what), what: x.what, a: one(x.before), b: one(x.after) });
    else {
      const when = (g, e) => { const o = g.ends.find(o => o.row === e.row && o.full === e.full), x = o && likely(o.in, g.n); return { t: x == null ? null : Math.max(0, x + g.t - m.t), share: o ? o.in.length / g.n : 0 }; };
      for (const e of [...f.ends, ...t.ends.filter(e => !f.ends.some(o => o.row === e.row && o.full === e.full))]) if (!e.now && (!this.minor(f, e) || !this.minor(t, e))) out.push({ row: e.row, full: e.full, what: m.nameOf(e.row, e.name) + (e.full ? ' full' : ' dry'), a: when(f, e), b: when(t, e) });
    }
    for (const x of out) x.moved = (x.a.t == null) !== (x.b.t == null) || (x.a.t == null ? Math.abs(x.a.share - x.b.share) >= .15 : Math.abs(x.a.t - x.b.t) > 300);
    return out.sort((x, y) => (x.a.t ?? x.b.t ?? 1e12) - (y.a.t ?? y.b.t ?? 1e12));
  }

  minor(g, e) { const o = g.ends.find(o => o.row === e.row && o.full === e.full); return !o || o.in.length * 5 < g.n; }

  // effect says in words and on a short ruler what the look-ahead found.
  effect() {
    const { m } = this, t = this.trialOf, f = m.f;
    if (!this.openLever || !this.effectBox) return;
    if (!t || !f) { if (this.lookWhy) this.whyBox.textContent = this.lookWhy; return; }
    const H = Math.max(f.ranked_to || 0, f.horizon), all = this.moves(f, t), moved = all.filter(x => x.moved), same = all.filter(x => !x.moved && x.a.t != null);
    // cost by a moment and by the end of what both look-aheads reach, each with its clock
    const far = Math.min(...[f, t].map(g => g.t + g.step * ((g.bill[0] || []).length - 1))) - m.t;
    const cost = [Math.min(8 * HOUR, far), far].filter((s, i, a) => s > 0 && (!i || s - a[0] > HOUR)).map(s => ({ s, a: billAt(m, s, f), b: billAt(m, s, t) })).filter(x => x.a != null && x.b != null);
    const when = x => x.t != null ? 'in ' + dur(x.t) : x.share ? 'in ' + Math.round(x.share * f.n) + ' of ' + f.n + ' runs' : 'not in ' + dur(H);
    const verb = x => x.what.replace(/ full$/, ' fills').replace(/ dry$/, ' runs dry');
    const lines = moved.map(x => [cap(x.what), ': ' + when(x.a) + '; with this order ' + when(x.b)]);
    const also = [];
    if (same.length) also.push('It does not change when ' + same.slice(0, 4).map(x => verb(x) + ' (' + when(x.a) + ')').join(' or ') + '.');
    else if (!moved.length) also.push('No store is likely to fill or run dry in ' + dur(H) + ', with this order or without.');
    if (cost.length) also.push('Cost from now on, against no order: ' + cost.map(({ s, a, b }) => 'by ' + m.clock.full(m.t + s) + ' it ' + (Math.abs(b - a) < 1000 ? 'costs about the same' : (b < a ? 'saves ' : 'adds ') + money(Math.abs(b - a), m.cost.currency))).join(', ') + '.');
    const set = m.settings.find(s => s.lever === this.openLever && s.decide_by != null), by = t.decide_by ?? (set && set.decide_by), byWhy = t.decide_by != null ? t.decide_by_why : set && set.decide_by_why;
    const decide = by == null ? '' : by > m.t ? 'Decide by ' + m.clock.full(by) + (byWhy ? ': ' + byWhy : '') + '.' : 'It was to be decided by ' + m.clock.full(by) + '.';
    const s = [...lines.map(x => x.join('') + '.'), ...also, decide].filter(Boolean).join(' ');
    if (this.effectKey === s) return;
    this.effectKey = s; this.lookWhy = '';
    const best = moved[0], end = Math.max(f.horizon, 1), X = s => 4 + Math.min(1, s / end) * 186;
    const g = best && svg('svg', { width: 196, height: 12, 'aria-hidden': 'true' }, svg('line', { x1: 4, x2: 190, y1: 6, y2: 6, stroke: 'var(--hair)' }),
      [0, .25, .5, .75, 1].map(k => svg('line', { x1: X(k * end), x2: X(k * end), y1: 3, y2: 9, stroke: 'var(--rule)' })),
      svg('line', { x1: X(best.a.t ?? end), x2: X(best.b.t ?? end), y1: 6, y2: 6, stroke: 'var(--ink)', 'stroke-width': 2 }),
      svg('circle', { cx: X(best.a.t ?? end), cy: 6, r: 3.6, fill: 'var(--sheet)', stroke: 'var(--ink)', 'stroke-width': 1.5 }),
      best.b.t == null ? svg('path', { d: 'M187 1 l8 5 l-8 5z', fill: 'var(--ink)' }) : svg('circle', { cx: X(best.b.t), cy: 6, r: 4, fill: 'var(--ink)' }));
    this.effectBox.replaceChildren(...[g, lines.map(([a, b]) => h('p', null, h('b', null, a), b + '.')), decide && h('p', null, h('b', null, decide))].flat().filter(Boolean));
    this.whyBox.textContent = also.join(' ');
    say('Look-ahead: ' + s);
  }

  runPart() {
    const paces = [1 / 60, .5, 1, 2, 10, 30, 60];
    this.holdB = this.button('Hold', () => this.goOn());
    this.holdB.id = 'holdB'; this.holdB.dataset.locks = 'calm';
    this.paceB = paces.map(p => { const b = this.button(paceSays(p), () => this.do({ kind: 'pace', pace: p }, 'Pace ' + paceSays(p) + ' a second')); b.dataset.pace = p; return b; });
    this.ownPace = h('button', { type: 'button', 'aria-pressed': 'true', hidden: true });
    this.marks = h('select', { 'aria-label': 'Go back to', class: 'whole' });
    const back = this.button('Go back', () => this.marks.value && this.do({ kind: 'rewind', mark: this.marks.value }, 'Gone back to ' + this.marks.value), 'Sure? All go back');
    const basis = h('button', { type: 'button', 'aria-pressed': 'false', id: 'basis' }, 'Forecast with the script');
    basis.addEventListener('click', () => { this.m.script = !this.m.script; basis.setAttribute('aria-pressed', this.m.script); this.show(undefined); });
    this.basisWhy = h('span', { class: 'q rest' });
    const to = h('input', { type: 'text', id: 'runTo', 'aria-label': 'Run to what time', placeholder: '21:30 or Sat 06:00', size: 12 }), fast = h('input', { type: 'checkbox' });
    const run = cmd => this.do({ kind: 'run_to', ...cmd, fast: fast.checked || undefined }, 'Runs on, then holds');
    const runTo = this.button('Run to', () => { const t = this.m.clock.next(to.value, this.m.t); if (t == null) { this.answer.textContent = 'Write a time as 21:30 or Sat 06:00.'; to.focus(); } else run({ to: t }); });
    const next = this.button('Run to the next inject', () => run({ until: 'next inject' }));
    this.branchBox = h('div');
    this.parts.run.append(h('h2', null, 'Run the drill'), h('div', { class: 'row' }, this.holdB, this.button('10 min on, then hold', () => this.do({ kind: 'step', minutes: 10 }, 'Ten minutes'))),
      h('p', { class: 'q' }, 'Pace: in one second of yours go by'), h('div', { class: 'row', role: 'group', 'aria-label': 'Pace' }, this.paceB, this.ownPace),
      h('div', { class: 'row' }, to, runTo, next, h('label', { class: 'tick' }, fast, 'as fast as it can')),
      h('div', { class: 'row' }, h('span', null, 'Go back to'), this.marks, back, h('span', { class: 'q rest' }, 'What was played stays on record; everybody is told.')), this.branchBox,
      h('div', { class: 'row' }, basis, this.basisWhy));
  }

  // goOn holds or lets go; after the stop word it takes two presses.
  async goOn() {
    const { flags } = this.m, b = this.holdB, back = () => { clearTimeout(this.armed); this.armed = 0; b.classList.remove('sure'); this.runTexts(); };
    if (!this.m.off) { this.do({ kind: flags.held ? 'resume' : 'hold' }, flags.held ? 'Goes on' : 'Held'); return; }
    if (this.armed) { back(); await this.do({ kind: 'confirm' }, 'The emergency is over; the drill goes on'); return; }
    this.armed = setTimeout(back, 6000); b.classList.add('sure'); b.textContent = 'Sure? The emergency is over';
    const r = await this.do({ kind: 'resume' }, 'Press again to confirm');
    if (!r.ok && !(r.d && r.d.confirm)) back();
  }

  runTexts() {
    const { m } = this;
    if (!this.armed) this.holdB.textContent = m.off ? 'Go on after the emergency' : m.flags.held ? 'Go on' : 'Hold';
    let one = false;
    for (const b of this.paceB) { const on = Math.abs(b.dataset.pace / m.pace - 1) < .02; b.setAttribute('aria-pressed', String(on)); one = one || on; }
    this.ownPace.hidden = one; text(this.ownPace, paceSays(m.pace));
    text(this.basisWhy, m.script && !m.script_f ? 'There is none yet; what is shown is from what was told.' : m.byScript ? 'Shown now: it knows the true ends. Hide this page from players.' : 'Shown now: from what was told, as players see it.');
    const log = m.log.filter(e => e.tag && (e.what === 'action' || e.what === 'inject'));
    const marks = m.marks.filter(k => !k.gone);
    for (const e of log) if (!m.marks.some(k => k.tag === e.tag)) marks.push({ tag: e.tag, at: e.at, text: e.text });
    fill(this.marks, JSON.stringify(marks.map(k => k.tag)), () => marks.sort((a, b) => b.at - a.at).map(k => h('option', { value: k.tag }, short(k.tag + ', ' + m.clock.full(k.at) + ' ' + k.text, 44))));
    this.branches(this.branchBox);
  }

  // branches puts those that were left beside this one, at the moment each was left.
  branches(box) {
    const { m } = this, cur = m.cost.currency;
    const rows = m.branches.map(b => [b.name, m.clock.full(b.at), money(b.cost_so_far, cur), m.t >= b.at - 60 ? money(m.billed(b.at), cur) : '–', (b.orders || []).map(o => o.tag + ' ' + o.text).join('; ') || 'no order']);
    fill(box, JSON.stringify([rows, m.branch]), () => rows.length ? [h('h3', null, 'Branches'), h('table', { class: 'bt' }, h('thead', null, h('tr', null, ['Branch', 'left at', 'cost then', m.branch + ' then'].map(w => h('th', { scope: 'col' }, w)))),
      h('tbody', null, rows.map(r => [h('tr', null, h('th', { scope: 'row' }, r[0]), r.slice(1, 4).map(w => h('td', null, w))), h('tr', null, h('td'), h('td', { colspan: 3, class: 'q' }, r[4]))])))] : []);
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
      const to = h('input', { type: 'text', 'aria-label': 'To whom: all, staff or one player', placeholder: 'to: all', list: 'whom' }), msg = h('input', { type: 'text', 'aria-label': 'Message', placeholder: 'message' });
      const stop = h('select', { 'aria-label': 'Which stop', class: 'whole' }, m.stops.map(s => h('option', { value: s.n }, s.unit))), word = h('input', { type: 'text', 'aria-label': 'Told lengths from now', placeholder: 'low 2 h, likely 4 h, bad 12 h' });
      return [h('h2', null, 'Make one up'), m.catalogue.length ? h('div', { class: 'row' }, what, units, lasts, this.button('Give now', () => this.do({ kind: 'inject', inject: { what: 'upset', upset: what.value, unit: units.value, lasts: lasts.value.trim() || undefined } }, 'Given: ' + what.value), 'Sure? Give it')) : '', care,
        m.stops.length ? h('div', { class: 'row' }, stop, word, this.button('Tell', () => this.do({ kind: 'inject', inject: { what: 'tell', stop: +stop.value, told: word.value.trim() } }, 'Told'))) : '',
        this.whom = h('datalist', { id: 'whom' }), h('div', { class: 'row' }, to, msg, this.button('Send', async () => { const r = await this.do({ kind: 'inject', inject: { what: 'message', to: to.value.trim() || 'all', text: msg.value.trim() } }, 'Sent'); if (r.ok) msg.value = ''; }))];
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
    const keep = this.button('Keep note', async () => { if (!t.value.trim()) return; const r = await this.do({ kind: 'note', text: t.value.trim() }, 'Note kept'); if (r.ok) t.value = ''; }), t = h('textarea', { rows: 3, cols: 34, 'aria-label': 'Note' });
    keep.dataset.locks = 'calm';
    this.parts.note.append(h('h2', null, 'Note'), t, h('div', { class: 'row' }, keep, h('span', { class: 'q' }, 'Players and observers do not see notes.')));
  }
}
