// The works as a table: its rows say in words all that the picture shows.

import { HOUR, SLOWED, DOWN, BLOCKED, UNIT, stands, dur, cap, rate, rateSays, amount, money, moneySaid, median } from './words.js';
import { $, h, svg, fill, text } from './dom.js';

export class Table {
  constructor(box, model, picture, change, open) { this.open = open; this.box = box; this.m = model; this.p = picture; this.change = change; this.phone = matchMedia('(max-width: 760px)'); }

  // build makes the rows; they never change place.
  build() {
    const { m } = this;
    if (this.table) this.table.remove();
    this.box.classList.toggle('many', m.lines.length > 17);
    this.rows = m.lines.map((l, i) => h('tr', { class: l.kind, tabindex: i ? -1 : 0, 'data-id': l.row.id },
      h('th', { scope: 'row' }, cap(l.name)), h('td', { class: 'plot' }), h('td', { class: 'now hidephone' }), h('td', { class: 'next' })));
    this.ruler = h('th', { scope: 'col', class: 'plot' }, h('span', { class: 'vh' }, 'Past and forecast'));
    this.thNext = h('th', { scope: 'col' });
    this.thNow = h('th', { scope: 'col', class: 'hidephone' }, 'Now');
    this.laneNames = h('th', { scope: 'row' }); this.lastDone = h('td', { colspan: 2 });
    this.costNow = h('td'); this.costNext = h('td');
    this.body = h('tbody', null, this.rows);
    this.table = h('table', null,
      h('caption', null, 'Each place along the route: what it holds or makes now, and when it will be full, dry or standing'),
      h('colgroup', null, h('col', { class: 'name' }), h('col'), h('col', { class: 'now hidephone' }), h('col', { class: 'next' })),
      h('thead', null, h('tr', null, h('th', { scope: 'col' }, 'Along the route'), this.ruler, this.thNow, this.thNext)),
      this.body,
      h('tfoot', { class: 'hidephone' },
        h('tr', { class: 'lanes' }, this.laneNames, h('td'), this.lastDone),
        h('tr', { class: 'money' }, h('th', { scope: 'row' }, 'Cost of the upsets'), h('td'), this.costNow, this.costNext)));
    this.box.prepend(this.table);
    this.body.addEventListener('keydown', e => this.key(e));
    this.body.addEventListener('click', e => { const tr = e.target.closest('tr'); this.pick(this.rows.indexOf(tr)); this.open(this.rows.indexOf(tr)); });
    this.body.addEventListener('focusin', e => { this.p.sel = this.rows.indexOf(e.target.closest('tr')); this.p.dirty = true; this.change(); });
    this.body.addEventListener('focusout', () => { this.p.sel = -1; this.p.dirty = true; this.change(); });
  }

  key(e) {
    const i = this.rows.indexOf(e.target.closest('tr')), p = this.p, step = p.ahead / 32;
    let j = i;
    switch (e.key) {
      case 'ArrowDown': j = Math.min(this.rows.length - 1, i + 1); break;
      case 'ArrowUp': j = Math.max(0, i - 1); break;
      case 'ArrowLeft': p.cursor = Math.max(-p.backS, (p.cursor || 0) - step); break;
      case 'ArrowRight': p.cursor = Math.min(p.ahead, (p.cursor || 0) + step); break;
      case 'Escape': case 'Home': p.cursor = null; break;
      case 'Enter': this.open(i); break;
      default: return;
    }
    e.preventDefault();
    if (j !== i) this.pick(j);
    this.change();
  }

  // pick moves the focus to a row.
  pick(j) {
    for (const r of this.rows) r.tabIndex = -1;
    this.rows[j].tabIndex = 0; this.rows[j].focus();
  }

  texts() {
    const { m, p } = this, ph = this.phone.matches, roots = m.roots(), past = p.cursor != null && p.cursor < 0 ? m.t + p.cursor : null;
    m.lines.forEach((l, i) => {
      const tr = this.rows[i], x = m.next(l);
      const v = m.value(l, past);
      tr.dataset.of = m.now[l.of[0]].of; // the moment its figure was read at the works
      // of a unit that gives its pieces in batches the rate is 0 between two of them
      const now = l.kind === 'unit' && past == null && m.fresh && !v ? 'just started' : l.kind === 'store' ? amount(v, l.cap) : rate(v);
      fill(tr.cells[2], now, () => h('span', { class: l.kind === 'unit' ? 'q' : '' }, now, l.kind === 'store' ? h('span', { class: 'roomy' }, ' of ' + amount(l.cap, l.cap)) : '', now === 'just started' ? '' : ' ' + l.row.uom + (batch(l, now, m, past) ? ', at work' : '')));
      const w = nextWords(l, x, m), d = w.calm ? 0 : x.d;
      const tall = l.kind === 'store' || ph;
      tr.classList.toggle('standing', l.kind === 'unit' && roots.has(i));
      fill(tr.cells[3], JSON.stringify([w, x.n, d, tall]), () => w.main ? h('span', { class: 'nx' + (x.n < 2 ? ' far' : '') }, bars(w.calm ? { n: 1, d } : x), h('span', null, h('b', { class: x.n > 1 ? tone(d) : '' }, w.main), tall && w.sub ? h('span', { class: 'sub' }, w.sub, w.soonest ? h('span', { class: 'roomy' }, w.soonest) : '') : w.brief ? h('span', { class: 'in roomy', title: w.brief.slice(2) }, w.brief) : '')) : '');
      if (ph) this.mini(tr.cells[1], l, x);
    });
    if (ph) this.scale();
    text(this.thNow, past != null ? 'At ' + m.clock.hm(past) : 'Now');
    const asOf = m.byScript ? 'with the script' : m.asOf().split(', ')[0];
    fill(this.thNext, asOf, () => ['What comes next', h('span', { class: 'asof roomy' }, asOf)]);
    text(this.laneNames, 'Injects\nActions' + (m.seesNotes ? '\nNotes' : ''));
    const last = m.log.filter(e => e.what === 'action').pop();
    fill(this.lastDone, last ? last.tag + Math.round((m.t - last.at) / 60) : 'none', () => last ? ['Last action ' + dur(m.t - last.at) + ' ago: ', h('b', null, last.text)] : 'No action yet');
    const c = m.cost, b = billAt(m, 8 * HOUR), by = b == null ? '' : ' by ' + m.clock.hm(m.t + 8 * HOUR);
    fill(this.costNow, money(c.so_far, c.currency), () => h('b', null, moneySaid(c.so_far, c.currency)));
    fill(this.costNext, [b, by, rateSays(c)].join(), () => [h('b', null, b == null ? '' : moneySaid(b, c.currency) + by), h('span', { class: 'sub' }, rateSays(c))]);
  }

  // mini is a row of the phone's ruler: from now on.
  mini(td, l, x) {
    const { m } = this, f = m.f, ahead = this.p.ahead, ht = l.kind === 'store' ? 42 : 32, w = td.clientWidth;
    if (!w) return;
    const off = f ? f.t - m.t : 0, X = s => 3 + Math.min(1, s / ahead) * (w - 10);
    const key = [w, Math.round(m.t / ahead * 300), f && f.q, f && f.t, x.here, x.s, ahead, m.planned.map(p => p.at)].join();
    fill(td, key, () => {
      const g = svg('svg', { width: w, height: ht, 'aria-hidden': 'true' });
      for (let k = 0; k <= 4; k++) g.append(svg('line', { x1: X(ahead * k / 4), x2: X(ahead * k / 4), y1: 0, y2: ht, stroke: 'var(--hair)' }));
      const c = x.d > 0 ? 'var(--back)' : x.d < 0 ? 'var(--dry)' : 'var(--ink)';
      if (l.kind === 'store') {
        if (x.here) g.append(svg('rect', { x: X(0), y: 9, width: w - 10, height: ht - 18, fill: c, opacity: .35 }));
        else if (x.ins) {
          g.append(svg('line', { x1: X(0), x2: X(x.in ?? x.soonest), y1: ht / 2, y2: ht / 2, stroke: 'var(--rule)', 'stroke-width': 2 }));
          this.p.squares(x.ins.map(s => s + off).filter(s => s >= 0 && s <= ahead).map(X), true, ht / 2 - 16, ht / 2 + 16, (a, b) => g.append(svg('rect', { x: a - 1.6, y: b - 1.2, width: 3.2, height: 2.4, fill: c })));
        }
      } else if (f) {
        for (const r of f.stand) if (l.of.includes(r.row)) {
          let a = -1;
          for (let k = 0; k <= r.n.length; k++) {
            const on = k < r.n.length && r.n[k] * 2 >= f.n && k * f.cell + off < ahead;
            if (on && a < 0) a = k;
            if (!on && a >= 0) {
              const s = r.s[a], x1 = X(Math.max(0, a * f.cell + off)), x2 = X(k * f.cell + off);
              g.append(svg('rect', { x: x1, y: ht / 2 - 6, width: Math.max(1, x2 - x1), height: 12, fill: s === DOWN ? 'var(--ink)' : s === BLOCKED ? 'url(#pb)' : s === 4 ? 'url(#ps)' : 'url(#pm)', stroke: s === DOWN ? 'var(--ink)' : s === BLOCKED ? 'var(--back)' : s === 4 ? 'var(--dry)' : 'var(--rule)' }));
              a = -1;
            }
          }
          break;
        }
      }
      if (l.kind === 'unit') for (const p of m.plannedFor(l)) {
        const a = Math.max(0, p.at - m.t), b = p.at + p.lasts - m.t;
        if (a < ahead) g.append(svg('rect', { x: X(a), y: 5, width: Math.max(3, X(b) - X(a)), height: ht - 10, fill: 'url(#pl)', stroke: 'var(--rule)', 'stroke-dasharray': '3 2' }));
      }
      return g;
    });
  }

  scale() {
    const w = this.ruler.clientWidth, hrs = this.p.ahead / HOUR;
    fill(this.ruler, w + '/' + hrs, () => {
      const g = svg('svg', { width: w, height: 16, 'aria-hidden': 'true' });
      for (const k of w < 110 ? [0, 2, 4] : [0, 1, 2, 3, 4]) g.append(svg('text', { x: k === 0 ? 0 : k === 4 ? w - 2 : 3 + k / 4 * (w - 10), y: 13, 'font-size': 11, fill: 'var(--ink2)', 'text-anchor': k === 0 ? 'start' : k === 4 ? 'end' : 'middle' }, k ? Math.round(hrs * k / 4) + (k === 4 ? ' h' : '') : 'now'));
      return [h('span', { class: 'vh' }, 'Forecast'), g];
    });
  }
}

const batch = (l, now, m, past) => l.kind === 'unit' && now === '0' && past == null && m.state(l).s === 0 && !l.row.standby;

export const tone = d => d > 0 ? 'back' : d < 0 ? 'dry' : '';

function bars(x) {
  return h('span', { class: 'bars ' + tone(x.d), 'aria-hidden': 'true' }, [1, 2, 3].map(i => h('i', { class: i <= x.n ? 'on' : '' })));
}

// nextWords says what comes next for a line.
export function nextWords(l, x, m) {
  const f = m.f, hor = f ? dur(f.horizon) : '';
  if (l.kind === 'store') {
    if (x.here) return { main: x.word + ' now', sub: 'for ' + dur(m.t - x.since) };
    if (!f) return { main: '', sub: '' };
    if (!x.runs) return { main: 'no trouble in ' + hor, sub: '' };
    if (x.in == null) return { main: x.word + ' in ' + x.runs + ' of ' + x.of + ' runs', sub: 'soonest ' + dur(x.soonest) };
    return { main: x.word + ' in ' + dur(x.in), sub: x.runs + ' of ' + x.of + ' runs', soonest: x.soonest != null ? ', soonest ' + dur(x.soonest) : '' };
  }
  if (x.here) {
    // of a group: how many are like it, and of unlike ones which it is; the time is that of
    // the one that has been so longest
    if (l.of.length > 1 && x.count < l.of.length) {
      const back = x.back != null ? 'back in about ' + dur(x.back) : '', since = UNIT[x.s] + (x.ends != null ? ' until ' + m.clock.hm(x.ends) : ' ' + dur(m.t - x.since));
      return l.serial ? { main: x.name + ' ' + since, sub: back || x.why, brief: x.reason ? ', ' + x.reason : '' } : { main: x.count + ' of ' + l.of.length + ' ' + since, sub: l.group === 'slab cranes' && !back ? x.name : x.name + (back ? ', ' + back : x.why ? ': ' + x.why : ''), brief: x.reason ? ', ' + x.reason : '', name: x.name };
    }
    return { main: (l.of.length > 1 ? 'all ' : '') + UNIT[x.s] + (x.ends != null ? ' until ' + m.clock.hm(x.ends) : ' ' + dur(m.t - x.since)), sub: x.back != null ? 'back in about ' + dur(x.back) : x.backKnown ? 'not back in ' + hor : x.why, brief: x.back != null ? ', back in ' + dur(x.back) : x.backKnown ? ', not in ' + hor : x.reason ? ', ' + x.reason : '' };
  }
  // a planned stop that comes before any other standing, or is the reason of it
  const p = m.plannedFor(l).find(p => !p.now && p.at > m.t);
  if (f && p && p.at - m.t <= f.horizon && (x.in == null || p.at - m.t <= x.in + HOUR)) return { main: 'planned stop in ' + dur(p.at - m.t), sub: dur(p.lasts), brief: ', ' + dur(p.lasts), calm: true };
  // a unit that works now although most futures have it standing: the word comes when it stands
  if (x.in != null && x.in >= 30) return { main: UNIT[x.s] + ' in ' + dur(x.in), sub: '' };
  const s = m.state(l).s, ends = l.of.filter(i => m.ends(i) != null).sort((i, k) => m.ends(i) - m.ends(k));
  if (ends.length === l.of.length) return { main: 'no slab until ' + m.clock.hm(m.ends(ends[0])), sub: m.why(ends[0], true), brief: ', ' + m.why(ends[0], true), calm: true };
  if (s !== SLOWED) return { main: '', sub: '' };
  const k = l.of.find(i => m.st(i).s === SLOWED && m.why(i)), why = k == null ? '' : (l.of.length > 1 ? m.route[k].name + ': ' : '') + m.why(k);
  return { main: 'slowed', sub: why, brief: k == null ? '' : ', ' + m.why(k, true) };
}

// billAt is the likely cost some seconds ahead.
export function billAt(m, s, f = m.f) {
  if (!f || !f.bill.length) return null;
  const k = Math.round((s - (f.t - m.t)) / f.step);
  if (k < 0 || k >= f.bill[0].length) return null;
  return median(f.bill.map(b => b[k]));
}
