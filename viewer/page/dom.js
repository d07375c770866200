// A few lines that make elements without markup in strings.

export const $ = s => document.querySelector(s);

// h makes an element: h('button', {type: 'button', onclick: f}, 'Take', child ...).
// Keys that begin with on are listeners, class and the like are attributes.
export function h(tag, props, ...kids) {
  const e = document.createElement(tag);
  set(e, props);
  e.append(...kids.flat(9).filter(k => k != null && k !== false));
  return e;
}

const SVG = 'http://www.w3.org/2000/svg';
export function svg(tag, props, ...kids) {
  const e = document.createElementNS(SVG, tag);
  set(e, props);
  e.append(...kids.flat(9).filter(k => k != null && k !== false));
  return e;
}

function set(e, props) {
  for (const [k, v] of Object.entries(props || {})) {
    if (v == null || v === false) continue;
    if (k.startsWith('on')) e.addEventListener(k.slice(2), v);
    else if (k === 'value') e.value = v;
    else e.setAttribute(k, v === true ? '' : v);
  }
}

// fill replaces what is in e, only where key says that it is different.
export function fill(e, key, make) {
  if (!e || e.filledWith === key) return;
  e.filledWith = key;
  const kids = make();
  e.replaceChildren(...[kids].flat(9).filter(k => k != null && k !== false));
}

export const text = (e, s) => { if (e && e.textContent !== s) e.textContent = s; };

let saidAt = -1e9, waiting = [], timer = 0;
// say speaks to screen readers: at most once in four seconds, joined.
export function say(s) {
  waiting.push(s);
  if (timer) return;
  timer = setTimeout(() => {
    timer = 0; saidAt = performance.now();
    $('#say').textContent = waiting.slice(-4).join('. ');
    waiting = [];
  }, Math.max(50, saidAt + 4000 - performance.now()));
}

// sure makes a button that asks again in its place for six seconds.
export function sure(b, ask, act) {
  const word = b.textContent;
  let t = 0;
  const back = () => { clearTimeout(t); t = 0; b.textContent = word; b.classList.remove('sure'); };
  b.addEventListener('click', () => {
    if (t) { back(); act(); return; }
    b.textContent = ask; b.classList.add('sure');
    t = setTimeout(back, 6000);
  });
  b.addEventListener('keydown', e => { if (e.key === 'Escape' && t) { back(); e.stopPropagation(); } });
  return b;
}
