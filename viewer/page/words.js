// Numbers, times and states as people say them.

export const HOUR = 3600;
export const UNIT = ['running', 'slowed', 'down', 'blocked', 'starved', 'changeover', 'maintenance', 'off shift'];
export const RUNNING = 0, SLOWED = 1, DOWN = 2, BLOCKED = 3, STARVED = 4, CHANGEOVER = 5, MAINTENANCE = 6, OFFSHIFT = 7;
export const FULL = 1, DRY = 2;

// MEANS says what the words for units and stores mean, one word for one thing.
export const MEANS = [
  ['running', 'works at its usual pace; "at work" where pieces come in batches'], ['slowed', 'works below its usual pace'], ['down', 'stands by a fault of its own'],
  ['blocked', 'cannot give on: what comes behind it is full or stands'], ['starved', 'could work and gets nothing: a caster between two sequences too'],
  ['changeover', 'rolls are changed, or a caster is turned round'], ['maintenance', 'planned stop'], ['off shift', 'not manned'],
  ['not running', 'down, blocked or starved: the count in the answers on top'], ['full, dry', 'a store without room, or with nothing that can be taken'],
];

// stands says whether a unit in state s makes nothing.
export const stands = s => s >= DOWN;

// idle: down, blocked or starved, what a forecast counts as standing.
export const idle = s => s === DOWN || s === BLOCKED || s === STARVED;

// USUAL ends a setting that standing orders may change by themselves.
export const USUAL = ', as usual';
export const settingNow = s => s.now.endsWith(USUAL) ? 'by standing orders, ' + s.now.slice(0, -USUAL.length) + ' now' : s.as_usual && !/^as |^due /.test(s.now) ? s.now + USUAL : s.now;

export const cap = s => s ? s[0].toUpperCase() + s.slice(1) : '';

// dur writes a length in s: "52 min", "1 h 52", "8 h", "3 d 4 h".
export function dur(s) {
  if (s == null || !isFinite(s)) return '';
  let m = Math.round(Math.max(0, s) / 60);
  if (m < 60) return m + ' min';
  let h = Math.floor(m / 60); m %= 60;
  if (h >= 10 && m >= 30) h++;
  if (h >= 72) return Math.floor(h / 24) + ' d' + (h % 24 ? ' ' + h % 24 + ' h' : '');
  return h >= 10 || !m ? h + ' h' : h + ' h ' + String(m).padStart(2, '0');
}

const DAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const two = n => String(n).padStart(2, '0');

// Clock turns drill seconds into the clock of the works. Start is ISO 8601 local.
export class Clock {
  constructor(start) {
    const m = /^(\d+)-(\d+)-(\d+)T(\d+):(\d+)(?::(\d+))?/.exec(start || '') || [0, 1970, 1, 1, 0, 0, 0];
    this.zero = Date.UTC(+m[1], m[2] - 1, +m[3], +m[4], +m[5], +(m[6] || 0));
  }
  date(t) { return new Date(this.zero + Math.round(t) * 1000); }
  hm(t) { const d = this.date(t + 30); return two(d.getUTCHours()) + ':' + two(d.getUTCMinutes()); }
  hms(t) { const d = this.date(t); return two(d.getUTCHours()) + ':' + two(d.getUTCMinutes()) + ':' + two(d.getUTCSeconds()); }
  day(t) { return DAYS[this.date(t + 30).getUTCDay()]; }
  full(t) { return this.day(t) + ' ' + this.hm(t); }
  // next is the first moment after t that the clock reads so, "21:30" or "Sat 06:00"; null
  // where it cannot be read.
  next(s, t) {
    const m = /^(?:([a-z]{3})[a-z]* +)?(\d{1,2})[:.](\d\d)$/i.exec(s.trim());
    if (!m || +m[2] > 23 || +m[3] > 59) return null;
    const d = this.date(t);
    d.setUTCHours(+m[2], +m[3], 0, 0);
    for (let k = 0; k < 9; k++, d.setUTCDate(d.getUTCDate() + 1)) {
      const x = (d - this.zero) / 1000;
      if (x > t && (!m[1] || DAYS[d.getUTCDay()].toLowerCase() === m[1].toLowerCase())) return x;
    }
    return null;
  }
  // hours returns the full hours between a and b that are multiples of step, as drill seconds.
  hours(a, b, step) {
    const off = ((this.zero / 1000) % (step * HOUR)), out = [];
    for (let t = Math.ceil((a + off) / (step * HOUR)) * step * HOUR - off; t <= b; t += step * HOUR) out.push(t);
    return out;
  }
}

// num writes a whole number with thin groups: "7,350".
export const num = n => Math.round(n).toLocaleString('en-GB');

// amount writes what a store holds to what can be read.
export function amount(v, cap) {
  if (cap <= 30) return (Math.round(v * 10) / 10).toFixed(cap <= 5 ? 1 : 0);
  const step = cap >= 2000 ? 10 : 1;
  return num(Math.round(v / step) * step);
}

// rate writes what a unit makes to what can be read.
export const rate = v => num(Math.abs(v) < 2.5 ? 0 : v < 50 ? v : Math.round(v / 5) * 5);

// money writes an amount with its currency.
export function money(v, cur) {
  const a = Math.abs(v), sign = v < 0 ? '−' : '';
  const mark = { EUR: '€', GBP: '£', USD: '$' }[cur], pre = mark ? sign + mark : sign, post = mark ? '' : ' ' + cur;
  if (a >= 1e6) return pre + (a / 1e6).toFixed(a >= 1e7 ? 1 : 2) + ' M' + post;
  if (a >= 1e3) return pre + Math.round(a / 1e3) + ' k' + post;
  return pre + Math.round(a) + post;
}

// moneySaid is a cost in words: less than nothing is saved.
export const moneySaid = (v, cur) => v < 0 ? 'saved ' + money(-v, cur) : money(v, cur);

// rateSays is what a cost grows by: now, where the drill says so, else over the last hour.
export const rateSays = k => k.rate != null ? money(k.rate, k.currency) + ' an hour now' : money(k.per_hour, k.currency) + ' in the last hour';

// likely is the time before which half of n futures get there, null when fewer do.
export const likely = (ins, n) => ins.length * 2 >= n ? ins[Math.ceil(n / 2) - 1] : null;
export const median = a => { const b = [...a].sort((x, y) => x - y); return b.length ? b[Math.floor((b.length - 1) / 2)] : 0; };

// urgency: 3 within the hour, 2 within four, 1 later, 0 never.
export const urgency = s => s == null ? 0 : s < HOUR ? 3 : s < 4 * HOUR ? 2 : 1;

// paceSays is how fast time runs: minutes of the works in one second of ours.
export const paceSays = p => Math.abs(p * 60 - 1) < .02 ? 'as it is' : p === .5 ? '½ min' : p < 1 ? Math.round(p * 60) + ' s' : p < 60 ? Math.round(p * 10) / 10 + ' min' : dur(p * 60);

// unitOf is the unit of measure of an example, "m/min" of "0.70 m/min"; withUnit puts it
// behind a number that was written without one.
export const unitOf = s => (/^[\d.,]+\s*([^\d\s].*)$/.exec(s || '') || [])[1] || '';
export const withUnit = (v, u) => u && /^[\d.,]+$/.test(v) ? v.replace(',', '.') + ' ' + u : v;

// list joins names: "a, b and 3 more".
export function list(names, most = 4) {
  if (names.length > most) return names.slice(0, most - 1).join(', ') + ' and ' + (names.length - most + 1) + ' more';
  return names.length > 1 ? names.slice(0, -1).join(', ') + ' and ' + names[names.length - 1] : names[0] || '';
}
