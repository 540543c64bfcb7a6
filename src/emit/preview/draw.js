/* Small things for drawing: elements, texts cut to their room, lengths as people read
   them. All texts are set as text, never as markup. */
const SPACE = document.getElementById('front').namespaceURI;
const make = (name, attributes, parent) => {
  const e = document.createElementNS(SPACE, name);
  for (const k in attributes) e.setAttribute(k, attributes[k]);
  if (parent) parent.appendChild(e);
  return e;
};
const html = (name, attributes, parent, text) => {
  const e = document.createElement(name);
  for (const k in attributes || {}) e.setAttribute(k, attributes[k]);
  if (text !== undefined) e.textContent = text;
  if (parent) parent.appendChild(e);
  return e;
};
const byId = (id) => document.getElementById(id);
const r1 = (v) => Math.round(v * 10) / 10;
const path = (points, closed) => points.length ? 'M' + points.map((p) => r1(p[0]) + ' ' + r1(p[1])).join('L') + (closed ? 'Z' : '') : '';

const ruler = document.createElement('canvas').getContext('2d');
const FACES = { plain: '"Arial Narrow", "Liberation Sans Narrow", Arial, "Liberation Sans", sans-serif', it: '"Iowan Old Style", "Palatino Linotype", Palatino, "URW Palladio L", "P052", Georgia, serif' };
const widthOf = (text, size, face) => {
  ruler.font = (face === 'it' ? 'italic ' : '') + size + 'px ' + FACES[face || 'plain'];
  return ruler.measureText(text).width;
};
/* Cut to a width; the letters of a text stay whole. */
const cut = (text, size, width, face) => {
  if (widthOf(text, size, face) <= width) return text;
  const letters = Array.from(text);
  let lo = 0, hi = letters.length;
  while (lo < hi) {
    const mid = (lo + hi + 1) >> 1;
    if (widthOf(letters.slice(0, mid).join('') + '\u2026', size, face) <= width) lo = mid; else hi = mid - 1;
  }
  return letters.slice(0, lo).join('').trimEnd() + '\u2026';
};
const write = (parent, x, y, text, options) => {
  const o = options || {};
  const size = o.size || 12;
  const shown = o.width ? cut(text, size, o.width, o.face) : text;
  const e = make('text', { x: r1(x), y: r1(y), class: [o.class || '', o.face === 'it' ? 'it' : ''].join(' ').trim() }, parent);
  if (o.size) e.style.fontSize = size + 'px';
  if (o.anchor) e.setAttribute('text-anchor', o.anchor);
  e.textContent = shown;
  if (shown !== text) make('title', {}, e).textContent = text;
  return e;
};
const clear = (e) => { while (e.firstChild) e.removeChild(e.firstChild); };

const number = (v, places) => {
  const s = v.toFixed(places);
  return /^-0(\.0*)?$/.test(s) ? s.slice(1) : s;
};
const degrees = (v) => number(v, 1) + '\u00b0';
const distance = (mm) => told.inches ? number(mm / 25.4, 2) + ' in' : number(mm, 1) + ' mm';
const clockWords = (t) => {
  const s = Math.max(0, t);
  return Math.floor(s / 60) + ':' + ((s % 60) < 9.95 ? '0' : '') + number(Math.floor((s % 60) * 10) / 10, 1);
};

/* Severities by shape and word, not by colour. */
const SIGNS = { error: '\u25b2', warning: '\u25b3', advice: '\u25cb' };
const SAID = { error: 'error', warning: 'warning', advice: 'hint' };
const signed = (list, found) => {
  clear(list);
  list.hidden = found.length === 0;
  for (const f of found) {
    const li = html('li', {}, list);
    html('span', { class: 'sign', 'aria-hidden': 'true' }, li, SIGNS[f.severity]);
    html('b', {}, li, SAID[f.severity] + ' ');
    const who = [f.figure, f.limb].filter(Boolean).join('.');
    if (who) { html('bdi', {}, li, who); li.append(': '); }
    html('bdi', {}, li, f.message);
    if (f.help) { li.append(' '); html('bdi', { class: 'help' }, li, f.help); }
    if (f.also) html('span', { class: 'help' }, li, ' The same: ' + f.also.join(', ') + '.');
    if (f.place) html('span', { class: 'help' }, li, ' (' + f.code + ', ' + f.place + ')');
  }
};
/* Findings of a figure or of one of its limbs, those found in many copies too, the worst
   first. */
const WORST = ['error', 'warning', 'advice'];
const foundOf = (name, limb) => told.findings.filter((f) => {
  const own = f.figure === name && (limb === undefined || f.limb === limb);
  return own || (f.also || []).some((a) => limb === undefined ? a.startsWith(name + '.') : a === name + '.' + limb);
}).sort((a, b) => WORST.indexOf(a.severity) - WORST.indexOf(b.severity));
const worst = (found) => WORST.find((s) => found.some((f) => f.severity === s));

const block = (table, rows) => {
  clear(table);
  for (const row of rows) {
    const tr = html('tr', {}, table);
    for (const cell of row) html('td', { title: cell, dir: 'auto' }, tr, cell);
  }
};
/* A round length that a scale bar may have, not above a limit. */
const roundLength = (limit) => {
  const unit = told.inches ? 25.4 : 1;
  const steps = told.inches ? [1, 2, 4, 6, 12, 24, 60, 120, 240, 600] : [10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000];
  const fine = steps.filter((s) => s * unit <= limit);
  const s = fine.length ? fine[fine.length - 1] : steps[0];
  const words = told.inches ? (s >= 12 ? s / 12 + ' ft' : s + ' in') : s >= 1000 ? s / 1000 + ' m' : s + ' mm';
  return [s * unit, words];
};
const scaleBar = (svg, x, y, perMm, room) => {
  const [mm, words] = roundLength(room / perMm);
  const w = mm * perMm;
  const g = make('g', {}, svg);
  make('path', { class: 'n', d: `M${r1(x)} ${y - 4}V${y}H${r1(x + w)}V${y - 4}M${r1(x + w / 2)} ${y - 2}V${y}` }, g);
  write(g, x + w + 6, y + 1, words, { size: 11 });
};
