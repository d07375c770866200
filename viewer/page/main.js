// Joins line, model and the parts of the page.

import { HOUR, UNIT, dur, cap, paceSays } from './words.js';
import { $, h, fill, text, say, sure } from './dom.js';
import { Link } from './link.js';
import { Model } from './model.js';
import { Picture } from './picture.js';
import { Table } from './table.js';
import { Panel } from './panel.js';
import { Detail } from './detail.js';
import { glance } from './glance.js';

const STEPS = [8, 24, 48, 120], OLD = 2000;
const m = new Model(), root = document.documentElement;
const box = $('#works'), canvas = h('canvas', { 'aria-hidden': 'true' });
box.append(canvas);
const pic = new Picture(canvas, m), table = new Table(box, m, pic, () => { wordsDue = true; }, k => detail.open(k));
const detail = new Detail(m, k => { if (table.rows && table.rows[k]) table.pick(k); });
const flagged = new Set();
let seenFlags = null, seenTold = null, news = 0, newsClock = '', built = '', frozen = false, froze = 0, wordsDue = false, wordsLater = false, drawDue = false, lastWords = 0, lastDraw = 0, chosen = 0, spoken = new Map();
const calm = matchMedia('(prefers-reduced-motion: reduce)'), phone = table.phone;
const times = globalThis.pageTimes = { update: [], redraw: [], words: [] };
const keep = (a, v) => { a.push(v); if (a.length > 2000) a.shift(); };

const link = new Link(take, () => { beat(); });
const panel = new Panel(m, cmd => link.do(cmd), order => link.try(order), f => { if (f !== undefined) pic.trial = f; pic.dirty = true; drawDue = wordsDue = true; });

function take(msg) {
  const a = performance.now();
  if (msg.k === 'snap') { news = a - (msg.age || 0); pic.trial = null; }
  else if (msg.q) news = a;
  const what = m.take(msg);
  if (msg.k === 'cut') { say('Time was moved: ' + (m.cutWhy || 'a new branch')); pic.trial = null; }
  if (what === 'all' || what === 'who' && m.ready) build();
  if (what === 'ahead') { pic.dirty = true; fit(); }
  if (what === 'words') pic.dirty = true;
  if (what) { drawDue = true; if (what !== 'rows') wordsDue = true; }
  root.dataset.ep = link.ep; root.dataset.q = link.q;
  if (what === 'rows') keep(times.update, performance.now() - a);
}

// build makes what depends on the route and the role; only when they changed.
function build() {
  document.body.classList.toggle('ready', m.ready);
  if (!m.ready) { text($('#clock'), m.why || ''); return; }
  const key = m.shape + m.role + [...m.roots().keys()].join('/');
  if (built !== m.shape) { built = m.shape; table.build(); }
  if (panel.role !== m.role) { panel.role = m.role; panel.build(); }
  const s = m.s;
  text($('#title'), s.scenario);
  text($('#worksName'), cap(s.works) + (s.invented ? ', an invented works' : ''));
  text($('#invented'), s.invented ? cap(s.works) + ' is invented: no real works, people or figures.' : 'This is not the real works.');
  if (s.notice) text($('#notice'), s.notice);
  text($('#stopHow'), 'For a real emergency say or press “' + (s.stop_word || 'stop: real emergency') + '”.');
  text($('#who'), (m.name && m.name !== m.role ? m.name + ', ' : '') + m.role);
  fit(); texts(); pic.layout(box); pic.dirty = true; drawDue = true;
}

// fit chooses the least window that reaches the nearest trouble.
function fit() {
  let want = chosen;
  if (!want) {
    const near = m.troubles()[0], r = [...m.roots().keys()].map(k => m.again(m.lines[k])).filter(t => t != null && t < 120 * HOUR);
    const reach = near ? (near.x.in ?? near.x.soonest) : r.length ? Math.min(...r) : 0;
    // room beyond it, but none where there is no forecast to fill it
    const step = room => STEPS.find(s => s * HOUR >= Math.min(reach * room, m.f ? m.f.horizon : Infinity)) || 120;
    const least = step(1.1);
    const cur = pic.ahead / HOUR;
    // a shorter window only when the trouble is well inside it, so that it does not jump to and fro
    want = least > cur || step(1.5) < cur || !m.fitted ? least : cur;
  }
  m.fitted = true;
  if (want * HOUR !== pic.ahead) { pic.ahead = want * HOUR; pic.dirty = true; pic.cursor = null; if (!chosen) say('The picture now shows ' + want + ' hours ahead'); }
  for (const b of $('#span').children) if (b.dataset.h) b.setAttribute('aria-pressed', String(+b.dataset.h === chosen));
  text(spanAuto, 'Next trouble' + (chosen ? '' : ': ' + pic.ahead / HOUR + ' h'));
}

function texts() {
  const a = performance.now();
  wordsDue = false; lastWords = a;
  if (!m.ready) return;
  table.texts(); glance(m); panel.texts(); detail.texts();
  const f = m.flags, e = m.off, c = $('#clock');
  c.dataset.t = m.t; // the moment of the words, exactly
  fill(c, [m.clock.full(m.t), f.held, m.pace, m.branch, e, f.ended].join(), () => [h('b', null, m.clock.full(m.t)), h('span', { class: 'q' }, ' ' + (e ? 'real emergency' : f.ended ? 'ended' : f.held ? 'held' : 'running') + ', ' + paceWords(m.pace) + ', branch ' + m.branch)]);
  text($('#word'), e ? 'REAL EMERGENCY' : 'EXERCISE');
  document.title = $('#word').textContent + ' – ' + m.s.scenario;
  document.body.classList.toggle('off', !!e); document.body.classList.toggle('script', m.byScript);
  $('#script').hidden = !m.byScript; text($('#script'), m.byScript ? 'Forecast with the script: it knows the true ends and the injects to come. Hide this page from players.' : '');
  const hold = e ? 'REAL EMERGENCY: the exercise is off. Leave the page and do what the site rules say.' : '';
  text($('#heldWord'), e ? '' : f.ended ? 'The drill has been played to its end.' : f.held ? 'The drill is held.' : '');
  $('#hold').hidden = !hold; text($('#hold'), hold);
  speak(); tabNews();
  keep(times.words, performance.now() - a);
}

function paceWords(p) {
  return p * 60 < 1.02 ? 'as fast as it is' : paceSays(p) + ' a second';
}

// speak tells of units that have come to stand and of stores inside the hour.
function speak() {
  const now = new Map();
  for (const l of m.lines) {
    const x = m.next(l);
    if (l.kind === 'unit' && x.here && m.roots().has(m.lines.indexOf(l))) now.set(l.name, cap(l.name) + ' ' + UNIT[x.s]);
    if (l.kind === 'store' && x.here) now.set(l.name, cap(l.name) + ' ' + x.word);
    else if (l.kind === 'store' && x.in != null && x.in < HOUR) now.set(l.name, cap(l.name) + ' ' + x.word + ' within the hour');
  }
  // a flag that is new on the picture; it is new again once the trouble has gone
  flagged.clear();
  const trouble = m.troubles(), flags = new Set(trouble.filter(o => o.x.in != null && o.x.in <= pic.ahead).slice(0, 4));
  for (const o of trouble) {
    const k = 'flag ' + o.l.name + o.x.word;
    if (flags.has(o)) flagged.add(k);
    if (flags.has(o) && o.x.in >= HOUR) now.set(k, spoken.get(k) || 'New flag: ' + o.l.name + ' ' + o.x.word + ' in ' + dur(o.x.in));
    else if (spoken.has(k)) now.set(k, spoken.get(k));
  }
  if (spoken.ready) for (const [k, v] of now) if (spoken.get(k) !== v) say(v);
  now.ready = true;
  spoken = now;
}

// tabNews marks on the phone's tabs what is new behind them: cautions that are not read and
// words that came since; flags on the picture that are new.
function tabNews() {
  if (!m.ready) return;
  const at = document.body.dataset.tab, may = m.role !== 'observer';
  if (at === 'works' || !seenFlags) seenFlags = new Set(flagged);
  else for (const k of seenFlags) if (!flagged.has(k)) seenFlags.delete(k); // gone: news again when it comes back
  if (at === 'do' || seenTold == null) seenTold = m.told.length;
  seenTold = Math.min(seenTold, m.told.length);
  const unread = may ? m.open().filter(c => !m.ackedByMe(c)).length : 0, told = m.told.length - seenTold, flags = [...flagged].filter(k => !seenFlags.has(k)).length;
  const many = (n, w) => n ? n + ' ' + w + (n > 1 ? 's' : '') : '';
  tabNames().forEach(([k, w], i) => {
    const n = k === 'works' ? flags : k === 'do' ? unread + told : 0, b = tabs[i].lastChild;
    text(tabs[i].firstChild, w); b.hidden = !n; text(b, n ? '● ' + n : '');
    tabs[i].setAttribute('aria-label', [w, k === 'works' ? many(flags, 'new flag') : k === 'do' ? [many(unread, 'unread caution'), many(told, 'new word')].filter(Boolean).join(', ') : ''].filter(Boolean).join(': '));
  });
}

// beat looks four times a second whether the news are fresh.
function beat() {
  const age = performance.now() - news, old = m.ready && (age > OLD || !link.open);
  const bar = $('#old');
  if (old) {
    if (bar.hidden) newsClock = m.clock.hms(m.t);
    const wait = link.open ? '' : ' Trying again in ' + Math.max(0, Math.ceil((link.again - performance.now()) / 1000)) + ' s.';
    text(bar, 'No news from the works since ' + newsClock + ' (' + (age < 120000 ? Math.round(age / 1000) + ' s' : dur(age / 1000)) + ' ago). What you see is old.' + wait);
  }
  if (bar.hidden === old) { bar.hidden = !old; document.body.classList.toggle('stale', old); panel.lock(old); relayout(); }
  if (!m.ready && !link.open) text($('#clock'), 'No line to the works. Trying again.');
  text($('#fresh'), old ? '' : frozen ? 'frozen, ' + dur(m.t - froze) + ' behind' : m.ready ? 'data ' + (age / 1000).toFixed(1) + ' s old' : '');
}
setInterval(beat, 250);

function frame(now) {
  requestAnimationFrame(frame);
  if (!m.ready || frozen) return;
  const slow = calm.matches ? 1000 : 0;
  if (drawDue && now - lastDraw >= Math.max(slow, 45)) {
    drawDue = false; lastDraw = now;
    if (!phone.matches) {
      const a = performance.now(), whole = pic.draw();
      keep(whole ? times.redraw : times.update, performance.now() - a);
    }
    wordsLater = true;
  }
  if (wordsLater && now - lastWords >= Math.max(slow, 500)) { wordsLater = false; wordsDue = true; }
  if (wordsDue && now - lastWords >= (slow || 120)) { texts(); if (!phone.matches) pic.draw(); }
}
requestAnimationFrame(frame);

function relayout() { if (m.ready) { pic.layout(box); drawDue = true; } }
new ResizeObserver(relayout).observe(box);
phone.addEventListener('change', () => { for (const r of table.rows || []) r.cells[1].replaceChildren(), r.cells[1].filledWith = null; if (table.ruler) table.ruler.filledWith = null; wordsDue = true; relayout(); });

// theme, freeze, window, tabs, stop
const dark = matchMedia('(prefers-color-scheme: dark)');
function theme(to) {
  if (to) root.dataset.theme = to;
  text($('#theme'), (root.dataset.theme || (dark.matches ? 'dark' : 'light')) === 'dark' ? 'Light' : 'Dark');
  pic.theme(); drawDue = true;
}
$('#theme').addEventListener('click', () => theme((root.dataset.theme || (dark.matches ? 'dark' : 'light')) === 'dark' ? 'light' : 'dark'));
dark.addEventListener('change', () => theme());
matchMedia('(forced-colors: active)').addEventListener('change', () => theme());

// text size, for a wall or for tired eyes: the button, or ?text=150 in the link
const SIZES = [100, 125, 150, 200];
function size(to) {
  const z = to / 100;
  pic.zoom = z; document.body.style.zoom = z; root.style.setProperty('--zoom', z);
  root.dataset.text = to; narrow();
  text($('#size'), 'Text ' + to + ' %');
  pic.theme(); relayout();
}
function narrow() { document.body.classList.toggle('narrow', pic.zoom > 1 && !phone.matches && innerWidth / pic.zoom < 1180); }
addEventListener('resize', narrow);
$('#size').addEventListener('click', () => size(SIZES.find(s => s > +root.dataset.text) || SIZES[0]));
size(Math.max(100, Math.min(250, Math.round(+new URLSearchParams(location.search).get('text')) || 100)));
theme();
$('#freeze').addEventListener('click', e => {
  frozen = !frozen; froze = m.t;
  e.target.setAttribute('aria-pressed', frozen); e.target.textContent = frozen ? 'Frozen: go to now' : 'Freeze my screen';
  pic.dirty = true; drawDue = wordsDue = true;
});
const spanB = (h_, w) => { const b = h('button', { type: 'button', 'data-h': h_, 'aria-pressed': 'false' }, w); b.addEventListener('click', () => { chosen = h_; fit(); drawDue = wordsDue = true; }); return b; };
const spanAuto = spanB(0, 'Next trouble');
$('#span').append(spanAuto, ...STEPS.map(s => spanB(s, s + ' h')));
const tabNames = () => [['works', 'The works'], ['do', m.role === 'player' ? 'You can do' : m.role === 'controller' ? 'Run the drill' : 'Your part'], ['done', 'Done so far']];
const tabs = tabNames().map(([k, w]) => { const b = h('button', { type: 'button', 'data-t': k, 'aria-pressed': String(k === 'works') }, w, h('span', { class: 'news', hidden: true })); b.addEventListener('click', () => { document.body.dataset.tab = k; tabs.forEach(t => t.setAttribute('aria-pressed', String(t === b))); scrollTo(0, 0); tabNews(); relayout(); wordsDue = true; }); return b; });
$('#tabs').append(...tabs);

sure($('#stop'), 'Sure? Stop it', async () => { const r = await link.do({ kind: 'stop', text: 'stop: real emergency' }); say(r.ok ? 'The drill is stopped' : 'Not done: ' + r.why); if (!r.ok) panel.answer && (panel.answer.textContent = 'Not done: ' + r.why); });

canvas.addEventListener('pointermove', e => { const c = pic.rel((e.clientX - canvas.getBoundingClientRect().left) / (canvas.getBoundingClientRect().width / pic.PW)); pic.cursor = Math.abs(c) < pic.ahead / 160 ? null : Math.max(-pic.backS, Math.min(pic.ahead, c)); drawDue = wordsDue = true; });
canvas.addEventListener('pointerleave', () => { pic.cursor = null; drawDue = wordsDue = true; });

// measure draws the whole picture n times, for tests.
globalThis.pageMeasure = n => { const out = []; for (let i = 0; i < n; i++) { pic.dirty = true; const a = performance.now(); pic.draw(); out.push(performance.now() - a); } return out; };
