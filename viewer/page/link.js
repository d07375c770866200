// The line to the server: numbered messages, gaps, coming back.

const WAITS = [500, 1000, 2000, 4000, 8000];

export class Link {
  // take(message), state(): told when the line opens or closes.
  constructor(take, state) {
    this.take = take; this.state = state;
    this.ep = 0; this.q = 0; this.hub = '';
    this.tries = 0; this.open = false; this.again = 0; this.ended = false;
    this.pending = new Map();
    this.next = 1;
    this.dial();
  }

  dial() {
    const u = new URL('line', location.href);
    u.protocol = u.protocol.replace('http', 'ws'); u.search = ''; u.hash = '';
    if (this.q) u.search = new URLSearchParams({ hub: this.hub, ep: this.ep, q: this.q });
    const ws = this.ws = new WebSocket(u);
    ws.onopen = () => { this.open = true; this.state(); };
    ws.onmessage = e => { if (ws === this.ws) this.read(JSON.parse(e.data)); };
    ws.onclose = () => { if (ws === this.ws) this.closed(); };
  }

  closed() {
    this.open = false;
    for (const p of this.pending.values()) p({ ok: false, why: 'the line was lost; it may or may not have been done: look at the log' });
    this.pending.clear();
    const w = WAITS[Math.min(this.tries++, WAITS.length - 1)] * (.8 + .4 * Math.random());
    this.again = performance.now() + w;
    setTimeout(() => this.dial(), w);
    this.state();
  }

  read(m) {
    if (m.k === 'hello') {
      if (m.hub !== this.hub) this.q = 0;
      this.hub = m.hub;
    } else if (m.k === 'snap') {
      this.ep = m.ep; this.q = m.q || 0; this.tries = 0;
    } else if (m.k === 'cut') {
      this.ep = m.ep; this.q = 0;
    } else if (m.q) {
      if (m.ep !== this.ep || m.q <= this.q) return; // a repeat, or of a time before
      if (m.q !== this.q + 1) { this.q = 0; this.ws.close(); return; } // lost one: take a new picture
      this.q = m.q; this.tries = 0;
    } else if (m.id) {
      const p = this.pending.get(m.id);
      this.pending.delete(m.id);
      if (p) p(m);
      return;
    }
    this.take(m);
  }

  send(body) {
    const id = (crypto.randomUUID ? crypto.randomUUID() : 'p' + Date.now().toString(36) + '-' + this.next++);
    if (!this.open) return Promise.resolve({ ok: false, why: 'there is no line to the works' });
    return new Promise(done => {
      this.pending.set(id, done);
      this.ws.send(JSON.stringify({ id, ep: this.ep, q: this.q, ...body }));
      setTimeout(() => { if (this.pending.delete(id)) done({ ok: false, why: 'no answer in 12 s; look at the log' }); }, 12000);
    });
  }

  do(cmd) { return this.send({ k: 'do', cmd }); }
  try(order) { return this.send({ k: 'try', order }); }
}
