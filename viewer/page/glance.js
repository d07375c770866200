// The four answers at the top, readable alone.

import { HOUR, UNIT, stands, idle, dur, cap, list, money, likely } from './words.js';
import { $, h, fill } from './dom.js';
import { tone, billAt } from './table.js';

export function glance(m) {
  const [a, b, c, d] = $('#glance').children;
  const f = m.f, calls = m.open(), first = calls[0];
  // one count for all answers: units that are down, blocked or starved
  const units = m.units, standing = m.standing(), planned = units.filter(r => stands(m.st(r.i).s) && !idle(m.st(r.i).s));
  const count = n => n + ' of ' + units.length + ' units', verb = n => n === 1 ? ' stands' : ' stand';
  // an answer from the forecast with the script says so
  const by = m.script && f && f.basis === 'script' ? ', with the script' : '', asof = f ? ', ' + m.asOf() : '';

  // standing now
  const many = count(standing.length) + verb(standing.length) + '.';
  const down = first ? cap(first.unit) : '', held = first ? [...new Set(first.effects.filter(e => e.state === 'blocked' || e.state === 'starved').map(e => m.rowLine.has(e.row) ? m.lines[m.rowLine.get(e.row)].short : e.name))] : [];
  const others = calls.slice(1).map(c => c.unit);
  let why = first ? (first.cause ? cap(first.cause) + '. ' : '') + many + (held.length ? ' It holds up ' + list(held) + '.' : ' Nothing else stands because of it yet.') + (others.length ? ' Also ' + list(others) + '.' : '') : standing.length ? cap(list(standing.map(r => r.name + ' (' + UNIT[m.st(r.i).s] + ')'))) + '.' : m.fresh ? 'The drill has just started.' : planned.length ? '' : 'Every unit runs.';
  if (!first && standing.length) why = many + ' ' + why;
  if (planned.length) why += (why ? ' ' : '') + 'Planned: ' + list(planned.map(r => r.name + ' (' + UNIT[m.st(r.i).s] + ')')) + '.';
  const ended = m.lines.filter(l => l.kind === 'store' && m.now[l.of[0]].s).map(l => l.name + ' ' + m.next(l).word);
  if (ended.length) why += ' Now ' + list(ended) + '.';
  fill(a, down + (first ? dur(m.t - first.since) : '') + why, () => [h('h2', null, first && !standing.some(r => r.i === first.row) ? 'Upset now' : 'Standing now'), h('p', { class: 'big' }, first ? down + ' ' : 'Nothing is down', first && h('small', null, dur(m.t - first.since))), h('p', null, why)]);

  // next to go
  const tr = m.troubles().filter(o => o.x.in != null), w = tr[0], may = m.troubles()[0];
  if (w) {
    const sub = w.x.runs + ' of ' + w.x.of + ' runs' + (w.x.soonest != null ? ', soonest ' + dur(w.x.soonest) : '') + (w.x.stops ? '; then ' + w.x.stops : '') + '.';
    const after = tr[1] ? ' After that, ' + tr[1].l.name + ' ' + tr[1].x.word + ' in ' + dur(tr[1].x.in) + '.' : '';
    fill(b, w.l.name + dur(w.x.in) + sub + after + by + asof, () => [h('h2', null, 'Next to go' + by + asof), h('p', { class: 'big ' + (w.x.n > 1 ? tone(w.x.d) : '') }, cap(w.l.name) + ' ' + w.x.word + ' in ' + dur(w.x.in)), h('p', null, sub, h('span', { class: 'hidephone' }, after))]);
  } else {
    const word = f ? 'Nothing likely in ' + dur(f.horizon) : 'No forecast yet', sub = may ? cap(may.l.name) + ' ' + may.x.word + ' in ' + may.x.runs + ' of ' + may.x.of + ' runs, soonest ' + dur(may.x.soonest) + '.' : '';
    fill(b, word + sub + by + asof, () => [h('h2', null, 'Next to go' + by + asof), h('p', { class: 'big' }, word), h('p', null, sub)]);
  }

  // if nothing more is done
  if (f) {
    const hrs = 8 * HOUR, off = f.t - m.t;
    const soon = m.standingWithin(hrs);
    const root = first && m.lines[m.rowLine.get(first.row)], back = root && f.backs.find(x => x.row === first.row), t = back && likely(back.in, f.n);
    const late = back && back.in.length * 10 >= f.n * 9 ? back.in[Math.ceil(f.n * .9) - 1] : null;
    const sub = standing.length + verb(standing.length) + ' now.' + (t != null ? ' ' + cap(first.unit) + ' back in about ' + dur(Math.max(0, t + off)) + (late != null ? ', in ' + Math.ceil(f.n * .9) + ' of ' + f.n + ' runs by ' + m.clock.full(m.t + late + off) : '') + '.' : back ? ' ' + cap(first.unit) + ' is not back in ' + dur(f.horizon) + '.' : '');
    fill(c, soon + sub + by + asof, () => [h('h2', null, 'If nothing more is done' + by + asof), h('p', { class: 'big' }, soon + ' of ' + units.length + ' ', h('small', null, 'units standing within 8 h')), h('p', null, sub)]);
  } else fill(c, 'none', () => [h('h2', null, 'If nothing more is done'), h('p', { class: 'big' }, '–'), h('p', null, 'The first forecast is being made.')]);

  // cost
  const k = m.cost, cur = k.currency, b8 = billAt(m, 8 * HOUR), spared = k.nothing - k.so_far;
  const sub = money(k.per_hour, cur) + ' an hour now.' + (b8 != null ? ' In 8 h' + by + ': ' + money(b8, cur) + ' if nothing more is done.' : '') + (Math.abs(spared) >= 1000 ? ' Orders have ' + (spared > 0 ? 'spared ' : 'added ') + money(Math.abs(spared), cur) + ' so far.' : '');
  fill(d, money(k.so_far, cur) + sub, () => [h('h2', null, 'Cost of the upsets'), h('p', { class: 'big' }, money(k.so_far, cur) + ' ', h('small', null, 'so far')), h('p', null, sub)]);
}
