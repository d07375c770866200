// The figures of one row in a small panel: Enter or a click on a row opens it, Escape closes.

import { HOUR, UNIT, dur, cap, num, rate, amount, stands } from './words.js';
import { h, fill, text } from './dom.js';
import { nextWords } from './table.js';

// How tonnes go through a works, by the names of its places: what is before and what is
// behind each. A place that is not here says nothing of its neighbours; of several names the
// first that the works has counts.
const ROUTE = {
  'store torpedoes': { in: ['iron supply'], out: ['steel shop'] },
  'steel shop': { in: ['store torpedoes'], out: ['store ladles'] },
  'store ladles': { in: ['steel shop'], out: ['casters'] },
  casters: { in: ['store ladles'], out: ['store slab yard'] },
  'store slab yard': { in: ['casters'], out: ['furnaces'] },
  'slab cranes': { in: ['store slab yard'], out: ['furnaces'] },
  furnaces: { in: ['slab cranes', 'store slab yard'], out: ['rolling line'] },
  'rolling line': { in: ['furnaces'], out: ['coilers'] },
  coilers: { in: ['rolling line'], out: ['store conveyor', 'store coil yard'] },
  'store conveyor': { in: ['coilers'], out: ['conveyor'] },
  conveyor: { in: ['store conveyor'], out: ['store coil yard'] },
  'store coil yard': { in: ['conveyor'], out: [] }, // on to pickling and to dispatch
  'store cool coils to pickle': { in: [], out: ['pickle line'] },
  'pickle line': { in: ['store cool coils to pickle'], out: ['store pickled coils'] },
  'store pickled coils': { in: ['pickle line'], out: ['cold mill'] },
  'cold mill': { in: ['store pickled coils'], out: ['store hard coils'] },
  'store hard coils': { in: ['cold mill'], out: ['anneal bases'] },
  'anneal bases': { in: ['store hard coils'], out: ['store annealed coils'] },
  'store annealed coils': { in: ['anneal bases'], out: ['temper mill'] },
  'temper mill': { in: ['store annealed coils'], out: ['store finished coils'] },
  'store finished coils': { in: ['temper mill'], out: [] },
  dispatch: { in: ['store finished coils', 'store cool hot band'], out: [], all: true },
};
const keyOf = l => l.kind === 'store' ? 'store ' + l.row.name : l.group || l.row.name;

// overOf is the while in s over which the works takes the rate of a unit.
const overOf = l => l.row.name === 'steel shop' ? HOUR : l.group === 'casters' ? HOUR / 2 : HOUR / 6;

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

  // beside are the lines before ('in') or behind ('out') a line, as [name, lines].
  beside(l, end) {
    const r = ROUTE[keyOf(l)], { m } = this, out = [];
    if (!r) return out;
    if (l.kind === 'unit' && l.group === 'rolling line') { // its units are one behind the other
      const of = m.lines.filter(o => o.kind === 'unit' && o.group === l.group), o = of[of.indexOf(l) + (end === 'in' ? -1 : 1)];
      if (o) return [[o.name, [o]]];
    }
    for (const key of r[end]) {
      const of = m.lines.filter(o => keyOf(o) === key);
      if (of.length) out.push([of[0].kind === 'store' ? of[0].name : key, key === 'rolling line' ? of.slice(-1) : of]);
      if (of.length && !r.all) break;
    }
    return out;
  }

  store(l) {
    const { m } = this, i = l.of[0], r = l.row, s = m.now[i], u = ' ' + r.uom, x = m.next(l), w = nextWords(l, x, m);
    const out = [['Level', amount(s.v, l.cap) + ' of ' + amount(l.cap, l.cap) + u + ', ' + Math.round(100 * m.share(l)) + ' % full'], ['Room left', amount(Math.max(0, l.cap - s.v), l.cap) + u]];
    if (r.high && r.normal) out.push(['On a quiet day', amount(r.low || 0, l.cap) + ' to ' + amount(r.high, l.cap) + u + ', usually ' + amount(r.normal, l.cap)]);
    // in less out is the rise, all over the same minutes and as they are written
    const f = m.flows.find(f => f.row === i), near = end => this.beside(l, end).map(([name]) => name).join(', ');
    if (f) {
      const p = l.cap <= 60 ? 10 : 1, n = v => (Math.round(v * p) / p), a = n(f.in), b = n(f.out), d = n(a - b), say = v => v.toLocaleString('en-GB') + u;
      out.push(['In', say(a) + (near('in') && ', from ' + near('in'))], ['Out', say(b) + (near('out') && ', to ' + near('out'))], ['In less out', (d ? (d > 0 ? 'rose by ' : 'fell by ') + say(Math.abs(d)) : 'steady') + '; all three over the last ' + (f.over === HOUR ? 'hour' : dur(f.over))]);
    } else {
      for (const [k, end] of [['In from', 'in'], ['Out to', 'out']]) if (near(end)) out.push([k, near(end)]);
      const [since, was] = m.known(i, Math.max(0, m.t - HOUR)), d = s.v - was;
      if (m.t - since >= 600) out.push(['Change', (Math.abs(d) < l.cap / 2000 ? 'steady' : (d > 0 ? 'rose by ' : 'fell by ') + amount(Math.abs(d), l.cap) + u) + ' in the last ' + (Math.abs(m.t - since - HOUR) < 90 ? 'hour' : dur(m.t - since))]);
    }
    this.heat(out, l);
    const bare = !r.dry && m.share(l) < .002 ? 'empty' : !r.full && m.share(l) > .998 ? 'no room left' : r.dry && r.full ? 'neither full nor dry' : r.full ? 'not full' : r.dry ? 'not dry' : '';
    if (x.here || bare) out.push(['State', x.here ? x.word + ' for ' + dur(m.t - x.since) : bare]);
    if (r.full) out.push(['When full', r.full]);
    if (r.dry) out.push(['When dry', r.dry]);
    this.ahead(out, x.here ? '' : [w.main, w.sub + (w.soonest || '')].filter(Boolean).join('; '));
    return out;
  }

  // heat puts the temperatures that are known of a line.
  heat(out, l) {
    const { m } = this;
    for (const t of m.temps) if (l.of.includes(t.row)) out.push([cap((l.of.length > 1 ? m.route[t.row].name + ', ' : '') + t.what), num(t.c) + ' °C mean' + (t.at == null ? ' now' : ' at ' + m.clock.hm(t.at)) + (t.need ? '; ' + num(t.need) + ' °C asked for' : '')]);
  }

  rate(o) { const v = this.m.value(o); return this.m.fresh && !v ? 'just started' : rate(v) + ' ' + o.row.uom; }

  unit(l) {
    const { m } = this, x = m.next(l), w = nextWords(l, x, m), how = s => s.fresh ? 'just started' : UNIT[s.s] + (s.since > 0 || s.s ? ' for ' + dur(m.t - s.since) : '');
    const out = [[l.row.uom === '%' ? 'At work' : 'Makes', this.rate(l) + (l.row.uom === '%' || m.fresh ? '' : ' over the last ' + (overOf(l) === HOUR ? 'hour' : dur(overOf(l)))) + (l.row.uom === '%' || l.group ? '' : '; the most on a quiet day ' + num(l.cap))]];
    if (l.of.length === 1) {
      out.push(['State', how(m.st(l.of[0])) + (l.row.standby ? '; stands by on a quiet day' : '')]);
      if (m.why(l.of[0])) out.push(['Because', cap(m.why(l.of[0]))]);
    } else for (const i of l.of) out.push([cap(m.route[i].name), how(m.st(i)) + ', ' + rate(m.now[i].v) + ' ' + m.route[i].uom + (m.why(i) ? '; ' + m.why(i) : '')]);
    this.heat(out, l);
    const call = m.open().find(c => l.of.includes(c.row)), end = call ? m.endOf(call.row) : {};
    if (call) {
      out.push(['Cause', call.cause || 'not yet known why']);
      out.push(['Told', end.told ? m.clock.full(end.told.from) + ': ' + end.told.text : 'nobody has said how long']);
    }
    for (const p of m.plannedFor(l)) out.push([p.now ? 'Planned, on' : 'Planned stop', m.plannedSays(p) + (p.now ? '' : p.movable ? '; can be done earlier' : '; cannot be moved')]);
    for (const [k, end] of [['Takes from', 'in'], ['Gives to', 'out']]) for (const [name, of] of this.beside(l, end)) out.push([k, name + (of[0].kind === 'store' ? ', ' + amount(m.value(of[0]), of[0].cap) + ' of ' + amount(of[0].cap, of[0].cap) + ' ' + of[0].row.uom : '')]);
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
