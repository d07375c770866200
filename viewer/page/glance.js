// The four answers at the top, readable alone.

import { HOUR, UNIT, stands, idle, dur, cap, list, money, moneySaid, rateSays } from './words.js';
import { $, h, fill } from './dom.js';
import { tone, billAt } from './table.js';

export function glance(m) {
  const [a, b, c, d] = $('#glance').children;
  const f = m.f, calls = m.open(), first = calls[0];
  // one count for all answers: units that are down, blocked or starved
  const units = m.units, standing = m.standing(), busy = units.filter(r => stands(m.st(r.i).s) && !idle(m.st(r.i).s));
  const count = n => n + ' of ' + units.length + ' units', verb = n => n === 1 ? ' is not running' : ' are not running';
  // an answer from the forecast says what moment it was made for, and if with the script
  const by = m.byScript ? ', with the script' : '', asof = f ? ', ' + m.asOf() : '';
  const ended = m.ended(), downs = [...new Set(calls.map(c => c.unit))];

  // now
  const many = count(standing.length) + verb(standing.length) + '.';
  const held = first ? [...new Set(first.effects.filter(e => e.state === 'blocked' || e.state === 'starved').map(e => m.rowLine.has(e.row) ? m.lines[m.rowLine.get(e.row)].short : e.name))] : [];
  const others = downs.filter(n => n !== (first && first.unit));
  // what no stop explains, by reason: first those whose end is known, cranes last
  const groups = new Map(), own = standing.filter(r => !(m.waits.find(w => w.row === r.i) || {}).call && (!first || m.why(r.i)));
  for (const r of own) { const w = m.why(r.i), k = UNIT[m.st(r.i).s] + (w ? ': ' + w : ''); groups.set(k, [...(groups.get(k) || []), r]); }
  const rank = ([k, of]) => of[0].group === 'slab cranes' ? 2 : / until /.test(k) ? 0 : 1;
  const told = [...groups].filter(g => !first || !rank(g)).sort((x, y) => rank(x) - rank(y) || y[1].length - x[1].length), shown = told.slice(0, first ? 1 : 2);
  const more = first ? 0 : own.length - shown.reduce((n, g) => n + g[1].length, 0), says = shown.map(([k, of]) => cap(list(of.map(r => r.name))) + ' ' + k + '.').join(' ') + (more ? ' ' + more + ' more.' : '');
  // a line that is repaired and still makes nothing is the news, not that nothing is down
  const top = !first && shown.length && !rank(shown[0]) && shown[0][1].length > 2 ? shown[0][1][0] : null, line = top && m.lines[m.rowLine.get(top.i)];
  let why = first ? (first.cause ? cap(first.cause) + '. ' : '') + many + (held.length ? ' It holds up ' + list(held) + '.' : ' Nothing else stands because of it yet.') + (others.length ? ' Also down: ' + list(others) + '.' : '') : standing.length ? many : m.fresh ? 'The drill has just started.' : busy.length ? '' : 'No unit is down, blocked or starved.';
  if (says) why += ' ' + says;
  if (busy.length) why += (why ? ' ' : '') + 'As planned: ' + list(busy.map(r => r.name + ' (' + UNIT[m.st(r.i).s] + ')')) + '.';
  if (ended.length && (first || top)) why += ' ' + cap(list(ended)) + ' now.';
  const big = first ? cap(first.unit) + ' ' : top ? cap(line ? line.short : top.name) + ' ' + UNIT[m.st(top.i).s] + ' ' : ended.length ? cap(list(ended, 2)) : 'Nothing is down', small = first ? dur(m.t - first.since) : top ? 'until ' + m.clock.hm(m.ends(top.i)) : '';
  fill(a, big + small + why, () => [h('h2', null, first && !standing.some(r => r.i === first.row) ? 'Upset now' : first ? 'Down now' : 'Now'), h('p', { class: 'big' }, big, small && h('small', null, small)), h('p', null, why)]);

  // next to go
  const all = m.troubles(), tr = all.filter(o => o.x.in != null), w = tr[0], now = [...downs, ...ended];
  const runs = x => x.runs + ' of ' + x.of + ' runs';
  if (w) {
    const may = all.find(o => o.x.in == null && o.x.soonest < w.x.in);
    // half of the runs get there much later than the first: what is near comes first
    const early = w.x.ins && m.t - f.t < HOUR / 2 && w.x.soonest < 4 * HOUR && w.x.in - w.x.soonest > 8 * HOUR ? w.x.ins.filter(s => s + f.t - m.t <= 8 * HOUR).length : 0;
    const note = ((f.ranked || []).find(r => r.row === w.l.of[0] && r.note) || {}).note;
    const sub = (early ? 'In half of the runs in ' + dur(w.x.in) + '. ' : w.x.soonest != null ? 'Soonest ' + dur(w.x.soonest) + '. ' : '') + (w.x.stops ? 'Then ' + w.x.stops + '. ' : '') + (note ? note + ' ' : '');
    const after = (may ? cap(may.l.name) + ' may be ' + may.x.word + ' from ' + dur(may.x.soonest) + ', ' + runs(may.x) + '. ' : '') + (tr[1] ? 'After that, ' + tr[1].l.name + ' ' + tr[1].x.word + ' in ' + dur(tr[1].x.in) + '.' : '');
    fill(b, w.l.name + dur(w.x.in) + runs(w.x) + early + dur(w.x.soonest) + sub + after + by + asof, () => [h('h2', null, 'Next to go' + by + asof), h('p', { class: 'big ' + (w.x.n > 1 ? tone(w.x.d) : '') }, cap(w.l.name) + (early ? ' may be ' + w.x.word + ' in ' + dur(w.x.soonest) : ' ' + w.x.word + (w.x.in < 60 ? ' now' : ' in about ' + dur(w.x.in))), h('small', null, ', ' + (early ? early + ' of ' + w.x.of + ' runs in 8 h' : runs(w.x)))), h('p', null, sub, h('span', { class: 'hidephone' }, after))]);
  } else {
    const may = all[0], few = m.rare()[0], none = (now.length ? 'No further store ' : 'No store ') + (few ? 'is likely to fill or run dry' : 'fills or runs dry') + ' in ' + dur(f ? f.horizon : 0);
    const word = !f ? 'No forecast yet' : may ? cap(may.l.name) + ' ' + may.x.word : none;
    const sub = (may ? 'Soonest ' + dur(may.x.soonest) + (may.x.stops ? '; then ' + may.x.stops : '') + '. ' : few ? cap(few.l.name) + ' ' + few.x.word + ' in ' + runs(few.x) + ', soonest ' + dur(few.x.soonest) + '. ' : '') + (now.length ? 'Standing now: ' + list(now) + '.' : '');
    fill(b, word + (may ? runs(may.x) : '') + sub + by + asof, () => [h('h2', null, 'Next to go' + by + asof), h('p', { class: 'big' + (may || !f ? '' : ' long') }, word, may && h('small', null, ' in ' + runs(may.x))), h('p', null, sub)]);
  }

  // if nothing more is done: all of it from the forecast's own moment
  if (f) {
    const soon = m.standingWithin(8 * HOUR), then = m.standingAt(f.t).length, past = m.t - f.t >= 60;
    const end = first ? m.endOf(first.row) : {}, due = m.planned.filter(p => !p.now && p.at > m.t && p.at < f.t + f.horizon);
    const sub = (past ? then + (then === 1 ? ' was' : ' were') + ' not running at ' + m.clock.hm(f.t) + '.' : then ? then + verb(then) + ' now.' : 'None now.') +
      (end.told ? ' Told at ' + m.clock.hm(end.told.from) + ': likely ' + m.clock.full(end.told.likely) + '.' : end.known ? ' Nobody has said how long.' : '') + (end.forecast ? ' Forecast: ' + first.unit + ' ' + end.forecast + '.' : '') +
      (due.length ? ' Planned stop: ' + list(due.map(p => m.plannedSays(p)), 2) + '.' : '');
    fill(c, soon + sub + by + asof, () => [h('h2', null, 'If nothing more is done' + by + asof), h('p', { class: 'big' }, soon + ' of ' + units.length + ' ', h('small', null, 'units not running by ' + m.clock.full(f.t + 8 * HOUR))), h('p', null, sub)]);
  } else fill(c, 'none', () => [h('h2', null, 'If nothing more is done'), h('p', { class: 'big' }, '–'), h('p', null, 'The first forecast is being made.')]);

  // cost
  const k = m.cost, cur = k.currency, b8 = billAt(m, 8 * HOUR), spared = k.nothing - k.so_far;
  const sub = rateSays(k) + '.' + (b8 != null ? ' By ' + m.clock.full(m.t + 8 * HOUR) + by + ' ' + moneySaid(b8, cur) + ' in all if nothing more is done' + (f && m.t - f.t >= 60 ? ' (' + m.asOf() + ')' : '') + '.' : '') + (Math.abs(spared) >= 1000 ? ' Until now orders have ' + (spared > 0 ? 'spared ' : 'added ') + money(Math.abs(spared), cur) + ' of it.' : '');
  fill(d, money(k.so_far, cur) + sub, () => [h('h2', null, 'Cost of the upsets'), h('p', { class: 'big' }, moneySaid(k.so_far, cur) + ' ', h('small', null, 'so far')), h('p', null, sub)]);
}
