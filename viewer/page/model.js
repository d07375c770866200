// What the page knows: the last snapshot and what came since.

import { Clock, HOUR, SLOWED, DOWN, BLOCKED, STARVED, MAINTENANCE, OFFSHIFT, FULL, DRY, stands, idle, likely, dur, cap } from './words.js';

const KEEP = 60 * HOUR; // s of the past that a picture can show
const OLD_AHEAD = HOUR / 2; // s from which a forecast is called old while time runs
export const START = 600; // s from the start in which rates and what is felt from them say nothing

// first words of names that are alike: "F1", "F2"; "slab crane 1", "slab crane 2".
const stem = n => n.replace(/[\s-]*[0-9A-Z]$/, '');

export class Model {
  constructor() { this.ready = false; this.role = ''; this.name = ''; this.who = null; this.script = false; }

  // take takes a message and says what it changed: 'all', 'rows', 'ahead', 'words', 'who' or ''.
  take(m) {
    switch (m.k) {
      case 'hello': this.role = m.role; this.name = m.name || ''; return 'who';
      case 'wait': this.why = m.why; return this.ready ? '' : 'all';
      case 'snap': this.snap(m.d); return 'all';
      case 'cut': this.cutWhy = m.d && m.d.why; return '';
      case 'who': this.who = m.d; return 'who';
      case 'status': this.status = m.d; return 'who';
    }
    if (!this.ready || !m.d) return '';
    const d = m.d;
    if (d.flags) { this.flags = d.flags; this.exercise = d.exercise; }
    // the clock goes on with the figures only, never ahead of them
    if (m.k === 'update' && m.a === 'page' && d.t > this.t) this.t = d.t;
    switch (m.k) {
      case 'update': return this.update(d, m.a);
      case 'forecast': this.forecast(d); return 'ahead';
      case 'log': this.addLog(d); return 'words';
      case 'told': {
        const old = this.told.find(t => t.n === d.n);
        if (d.over) this.told = this.told.filter(t => t !== old); // it holds no more; the log keeps it
        else if (old) Object.assign(old, d);
        else this.told.push(d);
        this.tell(d);
        return 'words';
      }
      case 'call': this.call(d, m.a); return 'words';
    }
    return '';
  }

  snap(s) {
    const n = s.route.length;
    Object.assign(this, {
      ready: true, s, t: s.t, flags: s.flags, exercise: s.exercise, clock: new Clock(s.clock.start), length: s.clock.length, pace: s.clock.pace, branch: s.clock.branch,
      route: s.route, cost: s.cost, stops: s.stops || [], told: s.told || [], marks: s.marks || [], toCome: s.to_come || [], planned: s.planned || [], waits: s.waits || [], flows: s.flows || [], temps: s.temps || [], branches: s.branches || [], levers: s.levers || [],
      catalogue: s.catalogue || [], settings: s.settings || [], ahead: s.ahead || {}, heats: s.heats || [], staffStops: this.role === 'controller' || this.role === 'evaluator', log: [], logKeys: new Set(), calls: new Map(), told_f: null, script_f: null,
    });
    this.now = s.route.map(() => ({ v: 0, s: 0, since: 0 }));
    for (const r of s.rows || []) this.now[r.i] = { ...r, of: s.t };
    this.past = s.route.map((r, i) => history(s.history, i, r.cap, s.t));
    this.spans = s.route.map((_, i) => (s.spans && s.spans[i] || []).map(p => ({ ...p })));
    this.bill = (s.cost_line || []).map((v, i) => [i * HOUR, v]);
    this.bill.push([s.t, s.cost.so_far]);
    for (const l of s.log || []) this.addLog(l);
    for (const c of s.calls || []) this.call(c, 'page');
    for (const k of ['forecast', 'script_forecast']) if (s[k]) this.forecast(s[k]);
    if (!this.lines || this.lines.length !== this.fold().length || this.shape !== shapeOf(s.route)) { this.lines = this.fold(); this.shape = shapeOf(s.route); }
    this.rowLine = new Map();
    this.lines.forEach((l, k) => l.of.forEach(i => this.rowLine.set(i, k)));
    return n;
  }

  // fold makes lines of rows: units that are alike become one line.
  fold() {
    const groups = new Map();
    for (const r of this.route) if (r.group && r.kind === 'unit') groups.set(r.group, [...(groups.get(r.group) || []), r]);
    // equipment beside the route that carries no tonnes of its own is not a line
    const aside = r => r.kind === 'unit' && !r.group && r.uom === '%';
    let many = this.route.filter(r => !aside(r)).length;
    const folded = new Set();
    const alike = g => new Set(groups.get(g).map(r => stem(r.name))).size === 1;
    const order = [...groups.keys()].filter(g => groups.get(g).length > 1).sort((a, b) => alike(b) - alike(a) || groups.get(b).length - groups.get(a).length);
    for (const g of order) {
      if (many <= (alike(g) ? 16 : 24)) break;
      folded.add(g); many -= groups.get(g).length - 1;
    }
    const out = [], at = new Map(), units = new Set(this.route.filter(r => r.kind === 'unit').map(r => r.name));
    // a store that bears a unit's name is what lies on it
    const name = r => r.kind === 'store' && units.has(r.name) ? (/coils$/.test(r.id) || r.uom === 'coils' ? 'coils' : 'stock') + ' on the ' + r.name : r.name;
    for (const r of this.route) {
      if (aside(r)) continue;
      const g = r.kind === 'unit' && folded.has(r.group) ? r.group : '';
      if (g && at.has(g)) { const l = at.get(g); l.of.push(r.i); if (l.serial) l.cap = r.cap; else if (r.uom !== '%') l.cap += r.cap; continue; }
      const l = { name: name(r), kind: r.kind, of: [r.i], cap: r.cap, row: r, group: r.group };
      if (g) { l.name = g; l.serial = !alike(g); at.set(g, l); } // unlike ones stand one behind the other
      out.push(l);
    }
    for (const l of out) { l.short = l.name; if (l.of.length > 1) l.name += ', ' + l.of.length; }
    return out;
  }

  update(d, a) {
    if (d.t + 1e-6 < this.t) return ''; // older than the snapshot
    // what staff knows of stops is not overwritten by what everybody knows
    if (d.stops && (a !== 'page' || this.role === 'player' || this.role === 'observer' || !this.staffStops)) { this.stops = d.stops; this.staffStops = a !== 'page'; }
    for (const k of ['settings', 'heats', 'marks', 'ahead', 'planned', 'waits', 'flows', 'temps', 'branches']) if (d[k]) this[k] = d[k];
    if (d.to_come) this.toCome = d.to_come;
    if (a !== 'page') return 'words';
    this.pace = d.pace;
    for (const r of d.rows || []) {
      const old = this.now[r.i];
      if (!old) continue;
      if (old.s !== r.s) this.spans[r.i].push({ at: r.since, s: r.s });
      this.now[r.i] = { ...r, of: d.t };
    }
    if (d.past) this.passed(d.past);
    for (let i = 0; i < this.now.length; i++) {
      const p = this.past[i], k = p.length - 1, v = this.now[i].v;
      if (k < 0 || d.t - p[k][0] >= 60) {
        put(p, d.t, v);
        if (p.length > 6000) p.splice(0, p.findIndex(x => x[0] > d.t - KEEP));
      }
    }
    if (d.cost) {
      this.cost = { ...d.cost, lines: d.cost.lines || this.cost.lines };
      this.bill.push([d.t, d.cost.so_far]);
    }
    return 'rows';
  }

  // passed takes the full minutes that an update went over.
  passed(h) {
    h.v.forEach((ds, i) => {
      const p = this.past[i];
      while (p.length && p[p.length - 1][0] >= h.from) p.pop();
      let sum = 0;
      ds.forEach((d, k) => { sum += d; put(p, h.from + k * h.step, sum / 1000 * this.route[i].cap); });
    });
  }

  // asOf says what moment the forecast shown was made for and, when that is no longer
  // news, how old it is and whether another is coming.
  asOf() {
    const f = this.f, age = f ? this.t - f.t : 0, a = this.ahead;
    if (!f) return '';
    const old = age >= OLD_AHEAD || this.flags.held && age >= 60 && a.old;
    return 'as of ' + (age >= 20 * HOUR ? this.clock.full(f.t) : this.clock.hm(f.t)) + (old ? ', ' + dur(age) + ' old' + (a.coming ? ', new one coming' : '') : '');
  }

  // whole gives a forecast empty lists where it has none.
  whole(f) {
    for (const k of ['ends', 'backs', 'stand', 'paths', 'bill']) f[k] = f[k] || [];
    for (const x of [...f.ends, ...f.backs]) x.in = x.in || [];
    return f;
  }

  forecast(f) {
    this.whole(f);
    if (f.script || f.basis === 'script') this.script_f = f; else this.told_f = f;
  }

  // f is the forecast shown: the one from what was told, unless the controller has asked
  // for the one with the script and it is there.
  get f() { return this.script && this.script_f || this.told_f; }
  get byScript() { return !!this.f && this.f === this.script_f; }

  addLog(l) {
    const key = [l.what, l.tag, Math.round(l.at), l.text].join('|');
    if (this.logKeys.has(key)) return;
    this.logKeys.add(key);
    let i = this.log.length;
    while (i > 0 && this.log[i - 1].at > l.at) i--;
    this.log.splice(i, 0, l);
  }

  tell(d) {
    const s = this.stops.find(s => s.n === d.stop);
    if (s) Object.assign(s, { low: d.low, likely: d.likely, bad: d.bad });
  }

  // call keeps a call; what a higher audience knows of its cause stays.
  call(c, a) {
    const old = this.calls.get(c.id), rank = ['page', 'staff', 'controller'].indexOf(a);
    if (old && old.rank > rank) c = { ...c, cause: old.cause, text: old.text, caution: old.caution };
    c.rank = Math.max(rank, old ? old.rank : 0);
    c.acked = c.acked || []; c.effects = c.effects || [];
    this.calls.set(c.id, c);
    this.rate = c.rate;
  }

  open() { return [...this.calls.values()].filter(c => !c.closed).sort((a, b) => a.since - b.since); }
  ackedByMe(c) { return c.acked.some(a => a.by === this.name && a.role === this.role); }

  // at returns a row's value at a time of the past.
  at(i, t) {
    if (t >= this.t) return this.now[i].v;
    const p = this.past[i];
    let a = 0, b = p.length - 1;
    if (b < 0) return 0;
    while (a < b) { const m = (a + b + 1) >> 1; if (p[m][0] <= t) a = m; else b = m - 1; }
    return p[a][1];
  }

  // known is the last moment not after t at which a row's value is known, and the value.
  known(i, t) {
    const p = this.past[i];
    let k = p.length - 1;
    while (k > 0 && p[k][0] > t) k--;
    return p[k] || [this.t, this.now[i].v];
  }

  stateAt(i, t) {
    const p = this.spans[i];
    let a = 0, b = p.length;
    while (a < b) { const k = (a + b) >> 1; if (p[k].at <= t) a = k + 1; else b = k; }
    return a ? p[a - 1].s : 0;
  }

  value(l, t) {
    const one = i => t == null ? this.now[i].v : this.at(i, t);
    // units one behind the other make what comes out of the last, nothing while one is stopped
    if (l.serial) return l.of.some(i => stopped(t == null ? this.now[i].s : this.stateAt(i, t))) ? 0 : one(l.of[l.of.length - 1]);
    return l.of.reduce((v, i) => v + one(i), 0) / (l.row.uom === '%' ? l.of.length : 1);
  }

  share(l) { return l.cap > 0 ? Math.max(0, Math.min(1, this.value(l) / l.cap)) : 0; }

  // fresh: the drill has only begun, and what units make is not yet a figure.
  get fresh() { return this.t < START; }

  // st is the state of a row as people say it: right after the start no unit has worked
  // long enough to be called blocked or starved, and one that is down is so since its call.
  st(i) {
    const r = this.now[i];
    if (this.route[i].kind !== 'unit') return r;
    if (this.fresh && idle(r.s) && r.s !== DOWN) return { ...r, s: 0, fresh: true };
    if (r.s !== DOWN) return this.fresh && !r.v ? { ...r, fresh: true } : r;
    const c = this.open().find(c => c.row === i);
    return c && c.since < r.since ? { ...r, since: c.since } : r;
  }

  // off: a real emergency is on, until the controller has said twice that it is over.
  get off() { return this.ready && (this.flags.emergency || this.exercise === 'off'); }

  // billed is what had been paid at a time, by the points that are known.
  billed(t) {
    let v = 0;
    for (const [at, c] of this.bill) if (at <= t + 60) v = c; else break;
    return v;
  }

  // seesNotes: evaluators and the controller write notes and read each other's.
  get seesNotes() { return this.role === 'evaluator' || this.role === 'controller'; }

  // units are the rows of all units; standing those that are down, blocked or starved.
  get units() { return this.route.filter(r => r.kind === 'unit'); }
  standing() { return this.units.filter(r => idle(this.st(r.i).s)); }

  // standingAt are the rows of units that stood at a time, as standing says it of now.
  standingAt(t) {
    if (t > this.t - 60) return this.standing();
    return this.units.filter(r => { const s = this.stateAt(r.i, t); return idle(s) && (s === DOWN || t >= START); });
  }

  // standingWithin counts the units that stood when the forecast was made, or do in half
  // of the futures at some time within s seconds of then.
  standingWithin(s, f = this.f) {
    const rows = new Set(this.standingAt(f.t).map(r => r.i));
    for (const x of f.stand) if (x.n.some((n, k) => n * 2 >= f.n && k * f.cell <= s)) rows.add(x.row);
    return rows.size;
  }

  // plannedFor are the planned stops to come of a line, next first.
  plannedFor(l) {
    return this.planned.filter(p => l.of.some(i => i === p.row || this.route[i].name === p.unit) && p.at + (p.lasts || 0) > this.t).sort((a, b) => a.at - b.at);
  }

  plannedSays(p) { return cap(p.unit) + ' ' + this.clock.full(p.at) + (p.lasts ? ', ' + dur(p.lasts) : ''); }

  // wait is why a row's units wait, as long as they do.
  wait(i) {
    const s = this.st(i);
    return s.fresh || s.s === DOWN || s.s === MAINTENANCE || s.s === OFFSHIFT ? undefined : this.waits.find(w => w.row === i);
  }

  // why says it in words, with until when, as the works knows it or people were told; short
  // leaves out what is said beside it.
  why(i, short) {
    const w = this.wait(i);
    if (!w) return '';
    if (w.until == null || short && !w.told) return w.why;
    const on = w.until - this.t > 20 * HOUR ? this.clock.full(w.until) : this.clock.hm(w.until);
    if (w.told) return w.why + (short ? '' : w.until > this.t ? ', told likely until ' + on : ', was told likely until ' + on);
    return w.why + (w.until - this.t < 60 ? '' : ' until ' + on + ' (' + dur(w.until - this.t) + ')');
  }

  // ends is when a row's wait or planned stop ends where the works knows it, not only by
  // what was told.
  ends(i) {
    const w = this.wait(i), g = this.route[i].group, p = this.now[i].s === MAINTENANCE && this.planned.find(p => p.now && (p.row === i || g && g === this.route[p.row].group && g === 'rolling line'));
    const t = p ? p.at + p.lasts : w && !w.told && this.st(i).s !== SLOWED ? w.until : null; // a slowed unit gives what it gives
    return t != null && t - this.t >= 60 ? t : null;
  }

  // ended says which stores are full or dry now.
  ended() { return this.lines.filter(l => l.kind === 'store' && this.now[l.of[0]].s).map(l => l.name + ' ' + this.next(l).word); }

  // endOf keeps apart what was told of the end of a stop and what the forecast shows:
  // told as it was said and when, forecast in words, why they differ.
  endOf(row, f = this.f) {
    const s = this.stops.find(s => s.row === row), b = f && f.backs.find(b => b.row === row), c = this.clock, out = { known: !!s, why: b && b.why || '' };
    const said = s && this.told.filter(t => t.stop === s.n && t.likely != null && !t.over).pop(), w = b && b.told;
    if (said) out.told = { from: said.at, likely: said.likely, text: said.text };
    else if (w) out.told = { from: w.from, likely: w.from + w.likely, text: 'back ' + c.full(w.from + w.low) + ' at best, ' + c.full(w.from + w.likely) + ' likely, ' + c.full(w.from + w.bad) + ' at worst' };
    if (!b) return out;
    const r = b.restart || { likely: likely(b.in, f.n), late: b.in.length * 10 >= f.n * 9 ? b.in[Math.ceil(f.n * .9) - 1] : null, share: b.in.length / f.n };
    out.forecast = r.likely != null ? 'back about ' + c.full(f.t + r.likely) + (r.late != null ? ', in nine of ten runs by ' + c.full(f.t + r.late) : '') : r.share ? 'back in ' + Math.round(r.share * f.n) + ' of ' + f.n + ' runs' + (r.soonest != null ? ', soonest ' + c.full(f.t + r.soonest) : '') : 'not back in ' + dur(f.horizon);
    return out;
  }

  // nameOf is how the page calls a row.
  nameOf(i, other) { const l = this.lines[this.rowLine.get(i)]; return l && l.of.length === 1 ? l.name : other; }

  // state of a line: of a folded one the worst and how many are in it.
  state(l) {
    if (l.of.length === 1) return { ...this.st(l.of[0]), n: 1 };
    const rank = [0, 1, 7, 5, 3, 4, 2, 1];
    const all = l.of.map(i => this.st(i));
    let w = all[0];
    for (const r of all) if (rank[r.s] > rank[w.s] || r.s === w.s && r.since < w.since) w = r;
    const same = all.filter(r => r.s === w.s), n = same.length;
    // the whole line has been so since the last of it
    return { ...w, since: n === l.of.length ? Math.max(...same.map(r => r.since)) : w.since, n, name: this.route[w.i].name };
  }

  // next is what comes next for a line: d +1 backing up, -1 running dry, 0 neither;
  // n bars of urgency; in s from now; runs that get there.
  next(l, f = this.f) {
    const off = f ? f.t - this.t : 0;
    if (l.kind === 'store') {
      const s = this.now[l.of[0]].s;
      if (s === FULL) return { d: 1, n: 3, here: true, word: 'full', since: this.now[l.of[0]].since };
      if (s === DRY) return { d: -1, n: 3, here: true, word: 'dry', since: this.now[l.of[0]].since };
      const ends = f ? f.ends.filter(e => e.row === l.of[0] && e.in.length) : [];
      let best = null;
      for (const e of ends) {
        const t = likely(e.in, f.n), x = { d: e.full ? 1 : -1, word: e.full ? 'full' : 'dry', in: t == null ? null : Math.max(0, t + off), runs: e.in.length, of: f.n, soonest: Math.max(0, e.in[0] + off), stops: e.stops, ins: e.in };
        if (!best || (x.in ?? 1e12) < (best.in ?? 1e12) || x.in == null && best.in == null && x.runs > best.runs) best = x;
      }
      // further ahead than the paths reach: the ranked troubles, which have no single runs
      if (!best) for (const e of f && f.ranked || []) if (e.row === l.of[0] && !e.now && e.likely != null) {
        best = { d: e.full ? 1 : -1, word: e.full ? 'full' : 'dry', in: Math.max(0, e.likely + off), runs: e.runs, of: f.n, stops: e.stops };
        break;
      }
      if (!best) return { d: 0, n: 0 };
      best.n = best.in == null ? (best.runs * 5 >= best.of ? 1 : 0) : urgencyOf(best.in);
      return best;
    }
    const st = this.state(l);
    if (stands(st.s)) {
      const b = f && f.backs.find(b => b.row === st.i), t = b && backIn(b, f);
      return { d: dir(st.s), n: st.n < l.of.length ? 1 : 3, here: true, s: st.s, since: st.since, count: st.n, back: t == null ? null : Math.max(0, t + off), backKnown: !!b, name: st.name, why: this.why(st.i), reason: this.why(st.i, true), ends: this.ends(st.i) };
    }
    const o = this.onset(l, f);
    if (!o) return { d: 0, n: 0 };
    return { d: dir(o.s), n: urgencyOf(o.in), s: o.s, in: o.in };
  }

  // onset is when half of the futures have a unit standing for the first time.
  onset(l, f = this.f) {
    if (!f) return null;
    const off = f.t - this.t;
    let best = null;
    for (const st of f.stand) if (l.of.includes(st.row)) {
      const k = st.n.findIndex(n => n * 2 >= f.n);
      if (k >= 0 && (!best || k < best.k)) best = { k, s: st.s[k], in: Math.max(0, k * f.cell + off) };
    }
    return best;
  }

  // again is when half of the futures have the unit running again after it stood.
  again(l, f = this.f) {
    if (!f) return null;
    const off = f.t - this.t;
    const st = this.state(l), b = f.backs.find(b => b.row === st.i), t = b && backIn(b, f);
    if (t != null) return Math.max(0, t + off);
    if (b) return f.horizon * 1.5;
    for (const s of f.stand) if (l.of.includes(s.row)) {
      let k = stands(st.s) ? 0 : s.n.findIndex(n => n * 2 >= f.n);
      if (k < 0) continue;
      while (k < s.n.length && s.n[k] * 2 >= f.n) k++;
      return k < s.n.length ? Math.max(0, k * f.cell + off) : f.horizon * 1.5;
    }
    return null;
  }

  // troubles are the ends to come, nearest first.
  troubles(f = this.f) {
    return this.lines.filter(l => l.kind === 'store').map(l => ({ l, x: this.next(l, f) })).filter(o => o.x.n && !o.x.here)
      .sort((a, b) => (a.x.in ?? 1e12) - (b.x.in ?? 1e12) || b.x.runs - a.x.runs);
  }

  // rare are the ends that less than one in five of the futures reaches, the soonest first.
  rare() {
    return this.f ? this.lines.filter(l => l.kind === 'store').map(l => ({ l, x: this.next(l) })).filter(o => o.x.runs && !o.x.n && o.x.soonest != null).sort((a, b) => a.x.soonest - b.x.soonest) : [];
  }

  roots() {
    const out = new Map();
    for (const c of this.open()) if (c.row >= 0 && this.rowLine.has(c.row)) out.set(this.rowLine.get(c.row), c);
    for (const [k, l] of this.lines.entries()) if (l.kind === 'unit' && !out.has(k) && this.state(l).s === DOWN && this.state(l).n === l.of.length) out.set(k, null);
    return out;
  }
}

// backIn is when a stop likely ends; the drill looks further than the paths reach.
const backIn = (b, f) => b.restart ? b.restart.likely : likely(b.in, f.n);
const stopped = s => s === DOWN || s === MAINTENANCE || s === OFFSHIFT;
const dir = s => s === 4 ? -1 : s === 3 ? 1 : 0;
const urgencyOf = t => t < HOUR ? 3 : t < 4 * HOUR ? 2 : 1;
const shapeOf = route => route.map(r => r.id).join();

// put adds a point to a past; a run of one value is two points.
function put(p, t, v) {
  const k = p.length - 1;
  if (k > 0 && p[k][1] === v && p[k - 1][1] === v) p[k][0] = t; else p.push([t, v]);
}

// history undoes the differences: [[t, value], ...] of one row, by the hour where
// nothing finer is known.
function history(hist, i, cap, now) {
  const out = [];
  if (!hist) return out;
  let sum = 0;
  (hist.hour && hist.hour[i] || []).forEach((d, k) => { sum += d; if (k * HOUR < hist.from) put(out, k * HOUR, sum / 1000 * cap); });
  sum = 0;
  (hist.v && hist.v[i] || []).forEach((d, k) => { sum += d; const t = hist.from + k * hist.step; if (t <= now) put(out, t, sum / 1000 * cap); });
  return out;
}
