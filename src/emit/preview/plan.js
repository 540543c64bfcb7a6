/* The yard from above, to scale, with the limbs as they reach along their boards. */
const plan = { svg: byId('plan'), marks: [], scale: 1 };

const footprint = (index) => {
  const f = told.figures[index];
  if (!f.at || f.facing === undefined) return null;
  const drawing = told.drawings[f.drawing];
  const a = f.facing * rad, front = [Math.sin(a), Math.cos(a)], right = [-front[1], front[0]];
  const xs = [];
  (drawing.board || []).forEach((p) => xs.push(p[0]));
  if (!xs.length) drawing.frame.forEach((m) => m.forEach((p) => xs.push(p[0])));
  if (!xs.length) drawing.limbs.forEach((l) => l.still && xs.push(l.still[0]));
  if (!xs.length) xs.push(0);
  /* z is the depth behind the board's front. */
  const at = (x, z) => [f.at[0] + right[0] * x - front[0] * z, f.at[1] + right[1] * x - front[1] * z];
  return { at, lo: Math.min(...xs), hi: Math.max(...xs), front, board: !!drawing.board };
};

const limbReach = (drawing, pose) => drawing.limbs.map((limb, l) => {
  const body = pose[l].body;
  if (!body) return null;
  const c = Math.cos(body[2] * rad), s = Math.sin(body[2] * rad);
  let lo = body[0], hi = body[0];
  const corner = (p) => {
    const x = body[0] + p[0] * c - p[1] * s;
    if (x < lo) lo = x;
    if (x > hi) hi = x;
  };
  limb.shape.forEach(corner);
  if (limb.tip) corner(limb.tip);
  return [lo, hi, limb.behind];
});

plan.build = () => {
  const svg = plan.svg;
  clear(svg);
  const W = svg.clientWidth || 400, H = svg.clientHeight || 300;
  svg.setAttribute('viewBox', `0 0 ${W} ${H}`);
  const prints = told.figures.map((_, i) => footprint(i));
  const points = [[0, 0], told.yard.size, ...told.yard.pegs.map((p) => p.at), ...told.yard.supplies.map((p) => p.at)];
  prints.forEach((p) => p && points.push(p.at(p.lo, 0), p.at(p.hi, 0)));
  const lo = [0, 1].map((k) => Math.min(...points.map((p) => p[k])));
  const hi = [0, 1].map((k) => Math.max(...points.map((p) => p[k])));
  const pad = 30;
  const k = Math.min((W - 2 * pad) / Math.max(hi[0] - lo[0], 1), (H - 2 * pad - 14) / Math.max(hi[1] - lo[1], 1));
  plan.scale = k;
  const ox = (W - (hi[0] - lo[0]) * k) / 2, oy = H - 14 - (H - 14 - (hi[1] - lo[1]) * k) / 2;
  const at = ([x, y]) => [ox + (x - lo[0]) * k, oy - (y - lo[1]) * k];
  plan.at = at;
  const [w, h] = told.yard.size;
  make('path', { class: 'n', d: path([[0, 0], [w, 0], [w, h], [0, h]].map(at), true) }, svg);
  /* No name lies on the yard's own edges. */
  const [x0, y1] = at([0, 0]), [x1, y0] = at([w, h]), line = 4;
  plan.edges = [[x0, y0, x0, y1], [x1, y0, x1, y1], [x0, y0, x1, y0], [x0, y1, x1, y1]]
    .map(([a, b, c, d]) => [a - line, b - line, c + line, d + line]);
  const side = told.yard.viewers, keep = told.yard.keep;
  const edge = (d) => side === 'south' ? [[0, d], [w, d]] : side === 'north' ? [[0, h - d], [w, h - d]] : side === 'west' ? [[d, 0], [d, h]] : [[w - d, 0], [w - d, h]];
  make('path', { class: 'w', d: path(edge(0).map(at)) }, svg);
  if (keep) make('path', { class: 'c', d: path(edge(keep).map(at)) }, svg);
  const mid = at([(edge(0)[0][0] + edge(0)[1][0]) / 2, (edge(0)[0][1] + edge(0)[1][1]) / 2]);
  const off = { south: [0, 16], north: [0, -7], west: [-8, 0], east: [12, 0] }[side];
  const viewers = write(svg, mid[0] + off[0], mid[1] + off[1], 'viewers', { face: 'it', size: 13, anchor: 'middle' });
  if (side === 'west' || side === 'east') viewers.setAttribute('transform', `rotate(-90 ${r1(mid[0] + off[0])} ${r1(mid[1] + off[1])})`);
  plan.words = [mid[0] + off[0] - 30, mid[1] + off[1] - 12, mid[0] + off[0] + 30, mid[1] + off[1] + 4];
  for (const p of told.yard.pegs) {
    const [x, y] = at(p.at);
    const g = make('g', {}, svg);
    make('circle', { class: 'n paper', cx: r1(x), cy: r1(y), r: 3 }, g);
    make('path', { class: 'n', d: `M${r1(x - 5)} ${r1(y)}h10M${r1(x)} ${r1(y - 5)}v10` }, g);
    make('title', {}, g).textContent = 'peg ' + p.name;
  }
  for (const p of told.yard.supplies) {
    const [x, y] = at(p.at);
    const g = make('g', {}, svg);
    make('path', { class: 'n paper', d: `M${r1(x - 4)} ${r1(y - 4)}h8v8h-8z` }, g);
    make('title', {}, g).textContent = 'supply ' + p.name;
  }
  make('path', { class: 'n', d: `M${W - 16} 34V12l-4 8m4-8l4 8` }, svg);
  write(svg, W - 16, 46, 'N', { anchor: 'middle', size: 11 });
  scaleBar(svg, pad, H - 6, k, W * 0.3);
  /* Static footprints, then moving reach, then names where they have room. */
  plan.marks = told.figures.map((figure, index) => {
    const print = prints[index];
    if (!print) return null;
    const g = make('g', { class: 'spot' }, svg);
    const a = at(print.at(print.lo, 0)), b = at(print.at(print.hi, 0));
    make('path', { d: path([a, b]), fill: 'none', stroke: 'transparent', 'stroke-width': 22, 'stroke-linecap': 'round' }, g);
    const line = make('path', { class: 'w figure-mark', d: path([a, b]) }, g);
    if (figure.laid_up || !print.board) line.setAttribute('stroke-dasharray', '4 3');
    const m = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], n = [print.front[0], -print.front[1]];
    make('path', { class: 'n', d: `M${r1(m[0])} ${r1(m[1])}l${r1(n[0] * 13)} ${r1(n[1] * 13)}m${r1(-n[0] * 5 - n[1] * 3)} ${r1(-n[1] * 5 + n[0] * 3)}L${r1(m[0] + n[0] * 13)} ${r1(m[1] + n[1] * 13)}L${r1(m[0] + n[0] * 8 + n[1] * 3)} ${r1(m[1] + n[1] * 8 - n[0] * 3)}` }, g);
    const reach = make('path', { class: 'n', d: '' }, g);
    make('title', {}, g).textContent = figure.title ? figure.name + ', ' + figure.title : figure.name;
    g.addEventListener('click', () => page.choose(index));
    return { g, line, reach, print, m, n };
  });
  plan.names();
  const loose = told.figures.filter((f, i) => !prints[i]).length;
  byId('plan-told').textContent = (told.figures.length ? 'Thin lines beside a board: how far its limbs reach now, before it and behind it. Dash-dotted: the distance kept from the viewers. ' : 'There is no figure in this yard yet. ') +
    (loose ? loose + ' without a place are not drawn. ' : '') + (plan.unnamed ? plan.unnamed + ' names have no room; point at a board to read its name.' : '');
  block(byId('plan-block'), [[told.title, 'Plan'], [told.file, 'to the bar']]);
};

/* Names that have room; the chosen figure's always. */
plan.names = () => {
  plan.svg.querySelectorAll('.name').forEach((e) => e.remove());
  const taken = [];
  plan.marks.forEach((mark) => mark && taken.push([mark.m[0] - 7, mark.m[1] - 7, mark.m[0] + 7, mark.m[1] + 7]));
  taken.push(plan.words, ...plan.edges);
  const free = (r) => r[0] > 0 && r[2] < plan.svg.clientWidth && taken.every((t) => r[2] < t[0] || r[0] > t[2] || r[3] < t[1] || r[1] > t[3]);
  plan.unnamed = 0;
  const order = plan.marks.map((_, i) => i).sort((a, b) => (b === page.figure) - (a === page.figure) || a - b);
  for (const i of order) {
    const mark = plan.marks[i];
    if (!mark) continue;
    const chosen = i === page.figure;
    const found = worst(foundOf(told.figures[i].name));
    const sign = found ? SIGNS[found] + ' ' : '';
    const text = sign + cut(told.figures[i].name, 12, 120);
    const w = widthOf(text, 12);
    const away = [[0, -mark.n[1] * 18 + 4], [0, mark.n[1] * 26 + 4], [0, 30], [0, -22], [w / 2 + 16, 4], [-w / 2 - 16, 4],
      [-w / 3, -mark.n[1] * 18 + 4], [w / 3, -mark.n[1] * 18 + 4]];
    const places = away.map(([dx, dy]) => [mark.m[0] + dx, mark.m[1] + dy]);
    const rect = ([x, y]) => [x - w / 2 - 2, y - 11, x + w / 2 + 2, y + 3];
    const place = places.find((p) => free(rect(p))) || (chosen ? places[0] : null);
    if (!place) { plan.unnamed += 1; continue; }
    taken.push(rect(place));
    const e = write(plan.svg, place[0], place[1], text, { anchor: 'middle', class: 'name halo' });
    if (chosen) e.style.fontWeight = 'bold';
    e.style.pointerEvents = 'none';
  }
};

plan.choose = () => {
  plan.marks.forEach((mark, i) => mark && mark.line.classList.toggle('chosen', i === page.figure));
  plan.names();
};

plan.draw = (poses) => {
  plan.marks.forEach((mark, i) => {
    if (!mark) return;
    const drawing = told.drawings[told.figures[i].drawing];
    let d = '', before = 0, behind = 0;
    for (const reach of limbReach(drawing, poses[i])) {
      if (!reach) continue;
      const z = reach[2] ? 4 + 2.5 * behind++ : -(4 + 2.5 * before++);
      const [a, b] = [reach[0], reach[1]].map((x) => plan.at(mark.print.at(x, 0)));
      /* Depth is too small to see at this scale: the lines stand a little off the board. */
      const o = [-mark.n[0] * z, -mark.n[1] * z];
      d += `M${r1(a[0] + o[0])} ${r1(a[1] + o[1])}L${r1(b[0] + o[0])} ${r1(b[1] + o[1])}`;
    }
    if (d !== mark.last) mark.reach.setAttribute('d', (mark.last = d));
  });
};
