// The picture: the route down, time across, and the hole that a stop eats.

import { START } from './model.js';
import { HOUR, DOWN, BLOCKED, STARVED, CHANGEOVER, MAINTENANCE, UNIT, FULL, DRY, stands, dur, cap, likely, median } from './words.js';

const FONT = '"Segoe UI",Roboto,"Helvetica Neue",Arial,"Liberation Sans",sans-serif';
const NAMES = ['ground', 'sheet', 'well', 'ink', 'ink2', 'rule', 'hair', 'stock', 'river', 'ahead', 'back', 'back-wash', 'dry', 'dry-wash'];
const KEY = ['Grey: level of stock. Band: t/h', 'Each square: one of the futures', 'Hatched: blocked. Dotted: starved', 'Light hatch ahead: planned stop'];

export class Picture {
  constructor(canvas, model) {
    this.cv = canvas; this.m = model; this.cx = canvas.getContext('2d');
    this.base = document.createElement('canvas'); this.bx = this.base.getContext('2d');
    this.K = {}; this.pat = {}; this.geo = []; this.dirty = true; this.baseT = 0; this.W = 0;
    this.ahead = 8 * HOUR; this.cursor = null; this.sel = -1; this.trial = null; this.zoom = 1;
  }

  // d is the pixels of the canvas to one of the page.
  get d() { return devicePixelRatio * this.zoom; }
  get backS() { return this.ahead / 2; }
  X(rel) { return (rel + this.backS) / (this.backS + this.ahead) * this.W; }
  rel(x) { return x / this.W * (this.backS + this.ahead) - this.backS; }

  theme() {
    const K = this.K, d = this.d;
    // by way of an element: a system colour becomes the one that is in force
    const probe = document.body.appendChild(document.createElement('i')), s = getComputedStyle(probe);
    for (const n of NAMES) { probe.style.color = 'var(--' + n + ')'; K[n] = s.color; }
    probe.remove();
    const mk = (n, f) => {
      const c = document.createElement('canvas'); c.width = c.height = n * d;
      const g = c.getContext('2d'); g.scale(d, d); f(g);
      const p = this.bx.createPattern(c, 'repeat'); p.setTransform(new DOMMatrix().scale(1 / d)); return p;
    };
    this.pat = {
      [BLOCKED]: mk(6, g => { g.fillStyle = K['back-wash']; g.fillRect(0, 0, 6, 6); g.strokeStyle = K.back; g.lineWidth = 1.5; for (const o of [-6, 0, 6]) { g.beginPath(); g.moveTo(o - 1, 7); g.lineTo(o + 7, -1); g.stroke(); } }),
      [STARVED]: mk(6, g => { g.fillStyle = K['dry-wash']; g.fillRect(0, 0, 6, 6); g.fillStyle = K.dry; for (const [a, b] of [[1.5, 1.5], [4.5, 4.5]]) { g.beginPath(); g.arc(a, b, .95, 0, 7); g.fill(); } }),
      plan: mk(8, g => { g.strokeStyle = K.rule; g.lineWidth = .8; for (const o of [-8, 0, 8]) { g.beginPath(); g.moveTo(o - 1, -1); g.lineTo(o + 9, 9); g.stroke(); } }),
      other: mk(6, g => { g.fillStyle = K.sheet; g.fillRect(0, 0, 6, 6); g.fillStyle = K.rule; g.fillRect(0, 0, 1.2, 6); }),
    };
    this.dirty = true;
  }

  paint(s) { return s === DOWN ? this.K.ink : s === BLOCKED || s === STARVED ? this.pat[s] : this.pat.other; }
  edge(s) { return s === DOWN ? this.K.ink : s === BLOCKED ? this.K.back : s === STARVED ? this.K.dry : this.K.rule; }

  layout(box) {
    const cell = box.querySelector('tbody td.plot');
    if (!cell) return;
    // in pixels of the page before it is enlarged
    const z = box.offsetWidth ? box.getBoundingClientRect().width / box.offsetWidth : 1, d = this.d;
    const rect = e => { const q = e.getBoundingClientRect(); return { left: q.left / z, top: q.top / z, width: q.width / z, height: q.height / z }; };
    const r = rect(box), p = rect(cell);
    this.PW = p.width; this.W = p.width - 6; this.H = r.height;
    for (const c of [this.cv, this.base]) { c.width = Math.round(this.PW * d); c.height = Math.round(this.H * d); }
    this.cv.style.left = (p.left - r.left - 1) + 'px'; this.cv.style.width = this.PW + 'px'; this.cv.style.height = this.H + 'px';
    const g = tr => { const q = rect(tr); return { y: q.top - r.top - 1, h: q.height }; };
    this.geo = [...box.querySelectorAll('tbody tr')].map(g);
    [this.lanesGeo, this.costGeo] = [...box.querySelectorAll('tfoot tr')].map(g);
    this.dirty = true;
  }

  txt(g, s, x, y, { c = this.K.ink, sz = 11.5, b = 0, al = 'left', plate = null } = {}) {
    g.font = (b ? '700 ' : '') + sz + 'px ' + FONT; g.textAlign = al; g.textBaseline = 'middle';
    if (plate) { const w = g.measureText(s).width, l = al === 'center' ? x - w / 2 : al === 'right' ? x - w : x; g.fillStyle = plate; g.fillRect(l - 3, y - sz * .62, w + 6, sz * 1.24); }
    g.fillStyle = c; g.fillText(s, x, y);
  }
  line(g, x1, y1, x2, y2) { g.beginPath(); g.moveTo(x1, y1); g.lineTo(x2, y2); g.stroke(); }

  // draw shows now; returns true when the whole picture was made anew.
  draw() {
    const { m, cx, K } = this;
    if (!m.ready || !this.geo.length || !this.W) return false;
    let whole = false;
    if (this.dirty || Math.abs(m.t - this.baseT) * this.W / (this.backS + this.ahead) > 1) { this.drawBase(this.bx); this.dirty = false; whole = true; }
    const d = this.d;
    cx.setTransform(1, 0, 0, 1, 0, 0); cx.clearRect(0, 0, this.cv.width, this.cv.height); cx.drawImage(this.base, 0, 0); cx.setTransform(d, 0, 0, d, 0, 0);
    const xn = this.X(0), top = this.geo[0].y, bot = this.costGeo.y + this.costGeo.h;
    cx.fillStyle = K.ink;
    m.lines.forEach((l, i) => {
      if (l.kind !== 'store') return;
      const { y, h } = this.geo[i], t0 = y + 5, t1 = y + h - 4;
      cx.beginPath(); cx.arc(xn, t1 - this.share(l, m.value(l)) * (t1 - t0), 3.2, 0, 7); cx.fill();
    });
    cx.strokeStyle = K.ink; cx.lineWidth = 2; this.line(cx, xn, 20, xn, bot);
    this.txt(cx, 'now ' + m.clock.hm(m.t), xn, 11, { al: 'center', b: 1, sz: 12, plate: K.sheet });
    if (this.cursor != null) {
      const x = this.X(this.cursor), c = this.cursor;
      cx.setLineDash([4, 3]); cx.lineWidth = 1.2; this.line(cx, x, 20, x, bot); cx.setLineDash([]);
      this.txt(cx, m.clock.full(m.t + c) + (c < 0 ? ', ' + dur(-c) + ' ago' : ', in ' + dur(c)), Math.max(70, Math.min(this.PW - 70, x)), top + 8, { al: 'center', b: 1, plate: K.sheet });
    }
    return whole;
  }

  share(l, v) { return l.cap > 0 ? Math.max(0, Math.min(1, v / l.cap)) : 0; }

  drawBase(g) {
    const { m, K, geo } = this, d = this.d;
    g.setTransform(d, 0, 0, d, 0, 0); g.clearRect(0, 0, this.PW, this.H); this.baseT = m.t;
    const top = geo[0].y, bot = this.costGeo.y + this.costGeo.h, xn = this.X(0);
    if (this.sel >= 0 && geo[this.sel]) { g.fillStyle = K.well; g.fillRect(0, geo[this.sel].y, this.PW, geo[this.sel].h); }
    g.lineWidth = 1; g.strokeStyle = K.hair;
    for (const r of [...geo, this.lanesGeo, this.costGeo]) this.line(g, 0, Math.round(r.y) + .5, this.PW, Math.round(r.y) + .5);
    const step = { 8: 1, 24: 3, 48: 6, 120: 12 }[this.ahead / HOUR] || 12;
    const marks = m.clock.hours(m.t - this.backS, m.t + this.ahead, step).map(t => ({ t, x: this.X(t - m.t), mid: m.clock.date(t).getUTCHours() === 0 }));
    for (const { x, mid } of marks) { g.strokeStyle = mid ? K.rule : K.hair; this.line(g, x, top, x, bot); }
    // midnights first, for they name the day; then the hours that still fit
    const put = [], named = [];
    for (const { t, x, mid } of [...marks.filter(k => k.mid), ...marks.filter(k => !k.mid)]) {
      const w = mid ? m.clock.full(t) : m.clock.hm(t), half = mid ? 27 : 16, clear = 34 + half;
      // a midnight close to now stands aside and is led to its line
      const at = mid && Math.abs(x - xn) < clear ? xn + (x < xn ? -clear : clear) : x;
      if (!mid && Math.abs(at - x) > half || at < half || at > this.PW - half || Math.abs(at - xn) < clear || put.some(p => Math.abs(p.at - at) < p.half + half + 5)) continue;
      put.push({ at, half });
      if (at !== x) { g.strokeStyle = K.rule; g.beginPath(); g.moveTo(at + (x > at ? half - 6 : 6 - half), 18.5); g.lineTo(x, 18.5); g.lineTo(x, top); g.stroke(); } // a leader to its line
      this.txt(g, w, at, 11, { c: K.ink2, al: 'center', sz: 11 });
      named.push(w);
    }
    this.cv.dataset.hours = named.join('|');
    if (xn > 188) KEY.forEach((t, i) => this.txt(g, t, 4, top - 58 + i * 15, { c: K.ink2, sz: 11 }));
    const holes = this.holes(m.f);
    this.planned = 0;
    this.cv.dataset.holes = holes.length; this.cv.dataset.trial = this.trial ? 1 : 0;
    this.wedges(g, holes);
    m.lines.forEach((l, i) => { const { y, h } = geo[i]; l.kind === 'store' ? this.store(g, l, y, h) : this.unit(g, l, y, h); });
    this.cv.dataset.planned = this.planned;
    this.backWords(g);
    this.flags(g, top); this.lanes(g); this.money(g);
  }

  // front walks from a root up or down the route: when each place stands, and until when.
  front(f, start, dir) {
    const { m } = this, pts = [];
    let end = null;
    for (let i = start; i >= 0 && i < m.lines.length; i += dir) {
      const l = m.lines[i];
      let t = null, a = null;
      if (l.kind === 'unit') {
        const s = m.state(l), want = i === start || s.s === (dir < 0 ? BLOCKED : STARVED);
        if (stands(s.s) && want && (i === start || s.n === l.of.length)) t = s.since - m.t;
        else { const o = m.onset(l, f); if (o && (i === start || o.s === (dir < 0 ? BLOCKED : STARVED))) t = o.in; }
        if (t == null) { if (i === start) return []; continue; }
        a = m.again(l, f) ?? this.ahead * 1.2;
      } else {
        const x = m.next(l, f), word = dir < 0 ? 1 : -1;
        if (x.here && x.d === word) t = x.since - m.t;
        else if (x.d === word && x.in != null) t = x.in;
        if (t == null) { if (dir < 0 ? l.row.full : l.row.dry) break; continue; }
        a = end;
      }
      if (end != null && t > end) break;
      if (a < t) a = t;
      end = a;
      pts.push({ t, i, a });
    }
    return pts;
  }

  holes(f) {
    if (!f) return [];
    const out = [];
    for (const start of this.m.roots().keys()) for (const dir of [-1, 1]) {
      const pts = this.front(f, start, dir);
      if (pts.length > 1) out.push({ dir, pts });
    }
    return out;
  }

  wedges(g, holes) {
    const { geo, K } = this, end = geo[geo.length - 1];
    g.save(); g.beginPath(); g.rect(0, geo[0].y, this.PW, end.y + end.h - geo[0].y); g.clip();
    const edge = (w, right) => {
      g.beginPath();
      w.pts.forEach((p, k) => {
        const { y, h } = geo[p.i], near = w.dir < 0 ? y + h : y, far = w.dir < 0 ? y : y + h;
        if (k) {
          const q = w.pts[k - 1], { y: qy, h: qh } = geo[q.i], from = w.dir < 0 ? qy : qy + qh;
          if (p.t <= q.a) { g.moveTo(this.X(q.t), from); g.lineTo(this.X(q.t), near); g.lineTo(this.X(p.t), near); }
        }
        g.moveTo(this.X(p.t), near); g.lineTo(this.X(p.t), far);
        if (right && p.a < this.ahead) { g.moveTo(this.X(p.a), near); g.lineTo(this.X(p.a), far); }
      });
      g.stroke();
    };
    for (const w of holes) {
      g.fillStyle = w.dir < 0 ? K['back-wash'] : K['dry-wash'];
      for (const p of w.pts) g.fillRect(this.X(p.t), geo[p.i].y, this.X(p.a) - this.X(p.t), geo[p.i].h);
    }
    for (const w of holes) { g.strokeStyle = w.dir < 0 ? K.back : K.dry; g.lineWidth = 2; edge(w); }
    if (this.trial) {
      g.beginPath(); g.rect(this.X(0) + 1, 0, this.PW, this.H); g.clip();
      g.strokeStyle = K.ink; g.setLineDash([5, 3]); g.lineWidth = 1.8;
      for (const w of this.holes(this.trial)) edge(w, true);
    }
    g.restore();
  }

  store(g, l, y, h) {
    const { m, K } = this, i = l.of[0], t0 = y + 5, t1 = y + h - 4, Y = v => t1 - this.share(l, v) * (t1 - t0), xn = this.X(0);
    const pts = this.thin(m.past[i]);
    pts.push([xn, m.now[i].v]);
    g.fillStyle = K.stock; g.beginPath(); g.moveTo(pts[0][0], t1);
    for (const [x, v] of pts) g.lineTo(x, Y(v));
    g.lineTo(xn, t1); g.fill();
    g.strokeStyle = K.ink2; g.lineWidth = 1.2; g.beginPath();
    pts.forEach(([x, v], k) => k ? g.lineTo(x, Y(v)) : g.moveTo(x, Y(v))); g.stroke();
    g.lineWidth = 1; g.strokeStyle = K.rule; this.line(g, 0, t0 + .5, this.PW, t0 + .5);
    g.strokeStyle = K.hair; this.line(g, 0, t1 + .5, this.PW, t1 + .5);
    const f = m.f, off = f ? f.t - m.t : 0;
    const path = f && f.paths.find(p => p.row === i);
    if (path) {
      g.strokeStyle = K.ahead; g.beginPath();
      const y0 = Y(m.now[i].v), flat = path.v.every(v => Math.abs(v[v.length - 1] - v[0]) < 4 && Math.max(...v) - Math.min(...v) < 8);
      for (const v of flat ? path.v.slice(0, 1) : path.v) {
        g.moveTo(xn, y0);
        v.forEach((p, k) => { const s = k * f.step + off; if (s > 0 && s <= this.ahead * 1.05) g.lineTo(this.X(s), t1 - Math.max(0, Math.min(1000, p)) / 1000 * (t1 - t0)); });
      }
      g.stroke();
    }
    if (f && !m.now[i].s) for (const e of f.ends) if (e.row === i) {
      this.squares(e.in.map(s => s + off).filter(s => s >= 0 && s <= this.ahead).map(s => this.X(s)), e.full, t0, t1, (x, yy) => { g.fillStyle = e.full ? K.back : K.dry; g.fillRect(x - 1.6, yy - 1.2, 3.2, 2.4); });
    }
    const tp = this.trial && this.trial.paths.find(p => p.row === i);
    if (tp) {
      const o = this.trial.t - m.t, n = tp.v[0] ? tp.v[0].length : 0;
      g.strokeStyle = K.ink; g.setLineDash([3, 2]); g.lineWidth = 1.6; g.beginPath(); g.moveTo(xn, Y(m.now[i].v));
      for (let k = 1; k < n; k++) { const s = k * this.trial.step + o; if (s > 0 && s <= this.ahead * 1.05) g.lineTo(this.X(s), t1 - median(tp.v.map(v => v[k])) / 1000 * (t1 - t0)); }
      g.stroke(); g.setLineDash([]);
    }
  }

  // squares stacks one mark a future, inward from the end they meet.
  squares(xs, full, t0, t1, put) {
    const col = new Map(), most = Math.max(3, Math.floor((t1 - t0 - 1) / 3.2));
    for (const x of xs) {
      const c0 = Math.round(x / 4);
      let c = c0;
      for (let j = 0; (col.get(c) || 0) >= most; j++) c = c0 + (j % 2 ? -1 : 1) * (j + 2 >> 1);
      const n = col.get(c) || 0; col.set(c, n + 1);
      put(c * 4, full ? t0 + 2.4 + n * 3.2 : t1 - 2.4 - n * 3.2);
    }
  }

  // thin takes at most about one point a pixel of the shown past.
  thin(p) {
    const out = [], { m } = this, from = m.t - this.backS;
    let a = 0, b = p.length;
    while (a < b) { const k = (a + b) >> 1; if (p[k][0] < from) a = k + 1; else b = k; }
    let last = -1e9;
    if (a > 0) out.push([0, p[a - 1][1]]);
    for (let k = a; k < p.length; k++) { const x = this.X(p[k][0] - m.t); if (x - last >= .9 || k === p.length - 1) { out.push([x, p[k][1]]); last = x; } }
    return out.length ? out : [[this.X(0), 0]];
  }

  unit(g, l, y, h) {
    const { m, K } = this, mid = y + h / 2, full = h - 8, xn = this.X(0);
    const th = v => v <= l.cap * .004 ? 0 : Math.max(1.5, Math.min(1, v / (l.cap || 1)) * full);
    let pts;
    if (l.of.length === 1) pts = this.thin(m.past[l.of[0]]);
    else { pts = []; for (let x = 0; x <= xn; x += 3) { const t = m.t + this.rel(x); if (t >= 0) pts.push([x, m.value(l, t)]); } if (!pts.length) pts.push([xn, 0]); }
    pts.push([xn, m.value(l)]);
    g.fillStyle = K.river; g.beginPath();
    pts.forEach(([x, v], k) => k ? g.lineTo(x, mid - th(v) / 2) : g.moveTo(x, mid - th(v) / 2));
    for (let k = pts.length - 1; k >= 0; k--) g.lineTo(pts[k][0], mid + th(pts[k][1]) / 2);
    g.fill();
    const n = l.of.length, lane = (h - 8) / n;
    l.of.forEach((i, k) => this.spells(g, i, y + 4 + k * lane, lane, n === 1));
    const f = m.f;
    if (f) this.unitAhead(g, l, mid, h, th, xn);
    this.plans(g, l, y, h);
  }

  // plans are the planned stops to come: a light band, hatched the other way than blocked.
  plans(g, l, y, h) {
    const { m, K } = this;
    for (const p of m.plannedFor(l)) {
      const a = Math.max(0, p.at - m.t), b = Math.min(this.ahead * 1.05, p.at + p.lasts - m.t);
      if (b <= a || a > this.ahead) continue;
      const x1 = Math.round(this.X(a)), x2 = Math.round(Math.min(this.PW, this.X(b))), w = Math.max(3, x2 - x1);
      this.planned++;
      g.fillStyle = K.sheet; g.globalAlpha = .6; g.fillRect(x1, y + 3, w, h - 6); g.globalAlpha = 1;
      g.fillStyle = this.pat.plan; g.fillRect(x1, y + 3, w, h - 6);
      g.strokeStyle = K.rule; g.lineWidth = 1; g.setLineDash([3, 2]); g.strokeRect(x1 + .5, y + 3.5, w - 1, h - 7); g.setLineDash([]);
      if (w > 76) this.txt(g, 'planned stop', x1 + 7, y + h / 2 + .5, { sz: 11, plate: K.sheet });
    }
  }

  // unitAhead is a unit's band ahead: width by the share of futures that run.
  unitAhead(g, l, mid, h, th, xn) {
    const { m, K } = this, f = m.f, n = l.of.length;
    const off = f.t - m.t;
    const rows = f.stand.filter(s => l.of.includes(s.row)), cells = rows[0] ? rows[0].n.length : 0;
    const share = k => rows.reduce((a, r) => a + r.n[k], 0) / (f.n * n);
    const ends = Math.min(this.ahead, (cells || 1) * f.cell + off), quiet = this.usual(l), x1 = this.X(rows.length ? ends : Math.min(this.ahead, f.horizon + off));
    g.fillStyle = K.stock; g.strokeStyle = K.rule; g.lineWidth = 1;
    const band = [];
    if (!cells) band.push([xn, 1], [x1, 1]);
    for (let k = 0; k < cells; k++) { const s = (k + .5) * f.cell + off; if (s > 0 && s <= this.ahead) band.push([this.X(s), 1 - share(k)]); }
    if (band.length && band[0][0] > xn) band.unshift([xn, band[0][1]]);
    g.globalAlpha = .55; g.beginPath();
    band.forEach(([x, p], k) => k ? g.lineTo(x, mid - th(quiet * p) / 2) : g.moveTo(x, mid - th(quiet * p) / 2));
    for (let k = band.length - 1; k >= 0; k--) g.lineTo(band[k][0], mid + th(quiet * band[k][1]) / 2);
    g.fill(); g.globalAlpha = 1;
    for (const q of [-.5, .5]) { g.beginPath(); band.forEach(([x, p], k) => k ? g.lineTo(x, mid + q * th(quiet * p)) : g.moveTo(x, mid + q * th(quiet * p))); g.stroke(); }
    for (let k = 0; k < cells; k++) {
      const p = share(k), a = Math.max(0, k * f.cell + off), b = (k + 1) * f.cell + off;
      if (p < .12 || b <= 0 || a > this.ahead) continue;
      const s = rows.reduce((best, r) => r.n[k] > best.n[k] ? r : best).s[k];
      if (s < 0) continue;
      const xa = Math.round(this.X(a)), xb = Math.round(this.X(b)), hh = (h - 8) * p;
      g.globalAlpha = .15 + .85 * p; g.fillStyle = this.paint(s); g.fillRect(xa, mid - hh / 2, xb - xa, hh); g.globalAlpha = 1;
    }
  }

  // usual is what a line makes when it runs, from its past; 0 where it never ran.
  usual(l) {
    let sum = 0;
    for (const i of l.serial ? l.of.slice(-1) : l.of) {
      const p = this.m.past[i], least = this.m.route[i].cap * .2;
      let a = 0, n = 0;
      for (let k = Math.max(0, p.length - 1500); k < p.length; k += 3) if (p[k][1] > least) { a += p[k][1]; n++; }
      if (n) sum += a / n;
    }
    return sum / (l.row.uom === '%' ? l.of.length : 1);
  }

  // spells are the times of the past when a row stood.
  spells(g, i, y, h, words) {
    const { m, K } = this, sp = m.spans[i], from = m.t - this.backS;
    for (let k = 0; k < sp.length; k++) {
      const s = sp[k].s, a = s === BLOCKED || s === STARVED ? Math.max(START, sp[k].at) : sp[k].at, b = k + 1 < sp.length ? sp[k + 1].at : m.t;
      if (!stands(s) || b < from || b <= a) continue;
      const x1 = Math.max(0, this.X(a - m.t)), x2 = this.X(b - m.t), w = x2 - x1;
      if (w < .6) continue;
      g.fillStyle = this.paint(s); g.fillRect(x1, y, w, h);
      if (w > 2) { g.strokeStyle = this.edge(s); g.lineWidth = 1; g.strokeRect(x1 + .5, y + .5, Math.max(0, w - 1), h - 1); }
      if (words && w > 90 && h > 10) {
        let t = UNIT[s];
        const c = s === DOWN && m.open().find(c => c.row === i);
        if (c && c.cause && w > 210) t += ': ' + c.cause;
        this.txt(g, t, x1 + 8, y + h / 2 + .5, { c: s === DOWN ? K.sheet : K.ink, b: s === DOWN, plate: s === DOWN ? null : K.sheet });
      }
    }
  }

  backWords(g) {
    const { m, K, geo } = this, f = m.f;
    if (!f) return;
    for (const k of m.roots().keys()) {
      const l = m.lines[k], t = m.again(l, f);
      if (!stands(m.state(l).s) || t == null || t > this.ahead) continue;
      const s = 'back about ' + m.clock.full(m.t + t), x = this.X(t), right = x + 150 > this.PW;
      this.txt(g, s, right ? x - 8 : x + 8, geo[k].y + geo[k].h / 2, { b: 1, plate: K.sheet, al: right ? 'right' : 'left' });
    }
  }

  // flags are at most four nearest troubles, the nearest highest; all stems are drawn
  // before the words, which have a ground, so that none is cut through.
  flags(g, top) {
    const { m, K } = this, place = [], words = [];
    const near = m.troubles().filter(o => o.x.in != null && o.x.in <= this.ahead).slice(0, 4);
    g.lineWidth = 1.4;
    for (const o of near.reverse()) {
      const x = this.X(o.x.in), n = cap(o.l.name) + ' ' + o.x.word, d = dur(o.x.in);
      g.font = '700 12px ' + FONT;
      const nw = g.measureText(n).width, w = nw + g.measureText(d).width + 14, flip = x + w > this.PW - 2, l = flip ? x - w : x, r = flip ? x : x + w;
      let k = -1;
      for (const p of place) if (p.x > l - 4 && p.x < r + 8 || l < p.r + 8 && r > p.l - 8) k = Math.max(k, p.k);
      k = Math.min(3, k + 1); place.push({ k, l, r, x });
      const y = top - 10 - k * 16, c = o.x.d > 0 ? K.back : K.dry;
      g.strokeStyle = c; this.line(g, x, top, x, y - 7);
      words.push(() => {
        const at = flip ? x - w + 4 : x + 5;
        g.fillStyle = K.sheet; g.fillRect(at - 3, y - 7.5, w - 3, 15);
        this.txt(g, n, at, y, { c, b: 1, sz: 12 }); this.txt(g, d, at + nw + 6, y, { sz: 12 });
      });
    }
    words.forEach(f => f());
  }

  lanes(g) {
    const { m, K } = this, { y } = this.lanesGeo, lane = { inject: 0, action: 1, note: 2 }, end = [-99, -99, -99], todo = [];
    const all = m.log.filter(e => e.tag && lane[e.what] != null).concat(m.toCome.filter(j => !j.given && !j.held).map(j => ({ at: j.at, tag: j.id, what: 'inject', plan: 1 })));
    for (const e of all) {
      const x = this.X(e.at - m.t), k = lane[e.what], yy = y + 3 + k * 19;
      if (x < -4 || x > this.PW) continue;
      g.font = '700 11px ' + FONT;
      const w = g.measureText(e.tag).width + 8, xx = Math.max(x, end[k] + 2);
      if (xx + w > this.PW) continue;
      end[k] = xx + w;
      todo.push(() => {
        const solid = e.what === 'inject' && !e.plan;
        g.strokeStyle = K.ink; g.lineWidth = 1; g.fillStyle = solid ? K.ink : K.sheet; g.fillRect(xx, yy, w, 17);
        if (!solid) { if (e.what === 'note' || e.plan) g.setLineDash([2, 2]); g.strokeRect(xx + .5, yy + .5, w - 1, 16); g.setLineDash([]); }
        this.txt(g, e.tag, xx + w / 2, yy + 9, { c: solid ? K.sheet : K.ink, b: 1, sz: 11, al: 'center' });
      });
      if (!e.plan) { g.strokeStyle = K.rule; g.lineWidth = 1; this.line(g, x + .5, y + 1, x + .5, yy + 10); }
    }
    todo.forEach(f => f());
  }

  money(g) {
    const { m, K } = this, { y, h } = this.costGeo, t0 = y + 6, t1 = y + h - 6, xn = this.X(0), f = m.f, off = f ? f.t - m.t : 0;
    const past = m.bill.filter(b => b[0] >= m.t - this.backS - HOUR);
    const vals = [...past.map(b => b[1]), m.cost.so_far];
    const until = f ? Math.max(1, Math.min(24, Math.ceil(this.ahead / f.step))) : 0;
    if (f) for (const b of f.bill) for (let k = 0; k <= until && k < b.length; k++) vals.push(b[k]);
    const lo = Math.min(0, ...vals), hi = Math.max(1, ...vals), Y = v => t1 - (v - lo) / (hi - lo) * (t1 - t0);
    g.fillStyle = K.stock; g.beginPath();
    const pts = past.map(b => [Math.max(0, this.X(b[0] - m.t)), b[1]]); pts.push([xn, m.cost.so_far]);
    g.moveTo(pts[0][0], Y(0)); for (const [x, v] of pts) g.lineTo(x, Y(v)); g.lineTo(xn, Y(0)); g.fill();
    g.strokeStyle = K.ink2; g.lineWidth = 1.2; g.beginPath(); pts.forEach(([x, v], k) => k ? g.lineTo(x, Y(v)) : g.moveTo(x, Y(v))); g.stroke();
    const ahead = (bill, o, step) => { g.moveTo(xn, Y(m.cost.so_far)); bill.forEach((v, k) => { const s = k * step + o; if (s > 0 && s <= this.ahead * 1.05) g.lineTo(this.X(s), Y(v)); }); };
    g.save(); g.beginPath(); g.rect(0, y, this.PW, h); g.clip();
    if (f) { g.strokeStyle = K.ahead; g.lineWidth = 1; g.beginPath(); for (const b of f.bill) ahead(b, off, f.step); g.stroke(); }
    const tr = this.trial;
    if (tr && tr.bill.length) {
      g.strokeStyle = K.ink; g.lineWidth = 1.6; g.setLineDash([3, 2]); g.beginPath();
      ahead(tr.bill[0].map((_, k) => median(tr.bill.map(b => b[k]))), tr.t - m.t, tr.step); g.stroke(); g.setLineDash([]);
    }
    g.restore();
    g.strokeStyle = K.rule; g.lineWidth = 1; this.line(g, 0, Math.round(Y(0)) + .5, this.PW, Math.round(Y(0)) + .5);
  }
}
