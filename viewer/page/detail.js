// The figures of one row in a small panel: Enter or a click on a row opens it, Escape closes.

import { HOUR, UNIT, dur, cap, num, rate, amount, stands } from './words.js';
import { h, fill, text } from './dom.js';
import { nextWords } from './table.js';

const OVER = HOUR / 2; // s over which a store's change is taken

export class Detail {
  constructor(model, back) {
    this.m = model; this.back = back; this.k = -1;
    this.head = h('h2', { id: 'rowHead' }); this.list = h('dl');
    this.shut = h('button', { type: 'button' }, 'Close');
    this.shut.addEventListener('click', () => this.close());
    this.box = h('section', { id: 'row', role: 'dialog', 'aria-labelledby': 'rowHead', tabindex: -1, hidden: true }, h('div', { class: 'row' }, this.head, this.shut), this.list);
    this.box.addEventListener('keydown', e => { if (e.key === 'Escape') { e.preventDefault(); this.close(); } });
    document.body.append(this.box);
  }

  open(k) {
    this.k = k; this.box.hidden = false;
    this.texts();
    this.box.focus();
  }

  close() {
    const k = this.k;
    this.k = -1; this.box.hidden = true;
    this.back(k);
  }

  texts() {
    const { m } = this, l = m.lines[this.k];
    if (this.k < 0) return;
    if (!l) { this.close(); return; }
    text(this.head, cap(l.name));
    const rows = l.kind === 'store' ? this.store(l) : this.unit(l);
    fill(this.list, JSON.stringify(rows), () => rows.map(([a, b]) => [h('dt', null, a), h('dd', null, b)]));
  }

  // near is the nearest line of a kind on the route before (-1) or behind (1).
  near(kind, dir) {
    const { m } = this;
    for (let k = this.k + dir; k >= 0 && k < m.lines.length; k += dir) {
      const o = m.lines[k];
      if (o.kind === kind && o.row.uom !== '%' && o.row.area !== 'works') return o;
    }
    return null;
  }

  store(l) {
    const { m } = this, i = l.of[0], r = l.row, s = m.now[i], u = ' ' + r.uom, x = m.next(l), w = nextWords(l, x, m);
    const [since, was] = m.known(i, m.t - OVER), d = m.t - since >= 600 ? (s.v - was) / (m.t - since) * HOUR : null;
    const out = [['Level', amount(s.v, l.cap) + ' of ' + amount(l.cap, l.cap) + u + ', ' + Math.round(100 * m.share(l)) + ' % full'], ['Room left', amount(Math.max(0, l.cap - s.v), l.cap) + u]];
    if (r.high) out.push(['On a quiet day', amount(r.low, l.cap) + ' to ' + amount(r.high, l.cap) + u + ', usually ' + amount(r.normal, l.cap)]);
    if (d != null) out.push(['In less out', Math.abs(d) < l.cap / 2000 ? 'steady over ' + dur(m.t - since) : (d > 0 ? 'rises ' : 'falls ') + amount(Math.abs(d), l.cap) + u + ' an hour, over ' + dur(m.t - since)]);
    if (r.area !== 'works') for (const [k, o] of [['In: before it', this.near('unit', -1)], ['Out: behind it', this.near('unit', 1)]]) if (o) out.push([k, o.short + ', ' + this.rate(o)]);
    out.push(['State', x.here ? x.word + ' for ' + dur(m.t - x.since) : 'neither full nor dry']);
    if (r.full) out.push(['When full', r.full]);
    if (r.dry) out.push(['When dry', r.dry]);
    this.ahead(out, x.here ? '' : [w.main, w.sub + (w.soonest || '')].filter(Boolean).join('; '));
    return out;
  }

  rate(o) { const v = this.m.value(o); return this.m.fresh && !v ? 'just started' : rate(v) + ' ' + o.row.uom; }

  unit(l) {
    const { m } = this, x = m.next(l), w = nextWords(l, x, m), how = s => s.fresh ? 'just started' : UNIT[s.s] + (s.since > 0 || s.s ? ' for ' + dur(m.t - s.since) : '');
    const out = [[l.row.uom === '%' ? 'At work' : 'Makes', this.rate(l) + (l.row.uom === '%' ? '' : '; the most on a quiet day ' + num(l.cap))]];
    if (l.of.length === 1) out.push(['State', how(m.st(l.of[0])) + (l.row.standby ? '; stands by on a quiet day' : '')]);
    else for (const i of l.of) out.push([cap(m.route[i].name), how(m.st(i)) + ', ' + rate(m.now[i].v) + ' ' + m.route[i].uom]);
    const call = m.open().find(c => l.of.includes(c.row)), end = call ? m.endOf(call.row) : {};
    if (call) {
      out.push(['Cause', call.cause || 'not yet known why']);
      out.push(['Told', end.told ? m.clock.full(end.told.from) + ': ' + end.told.text : 'nobody has said how long']);
    }
    for (const p of m.plannedFor(l)) out.push([p.now ? 'Planned, on' : 'Planned stop', m.plannedSays(p) + (p.now ? '' : p.movable ? '; can be done earlier' : '; cannot be moved')]);
    for (const [k, o] of [['Takes from', this.near('store', -1)], ['Gives to', this.near('store', 1)]]) if (o) out.push([k, o.name + ', ' + amount(m.value(o), o.cap) + ' of ' + amount(o.cap, o.cap) + ' ' + o.row.uom]);
    // what is ahead of a line, not how it is now
    const ahead = x.back != null ? 'back in about ' + dur(x.back) : x.backKnown ? 'not back in ' + dur(m.f.horizon) : '', of = n => l.of.length > 1 && n ? n + ' ' : '';
    this.ahead(out, end.forecast ? of(call.unit) + end.forecast + (end.why ? '. ' + cap(end.why) : '') : x.here ? ahead && of(x.name) + ahead : stands(x.s || 0) ? w.main : m.f ? 'runs on in half of the runs or more' : '');
    return out;
  }

  ahead(out, s) {
    const f = this.m.f;
    if (f && s) out.push([this.m.byScript ? 'Forecast with the script' : 'Forecast', s + ' (' + this.m.asOf() + ')']);
  }
}
