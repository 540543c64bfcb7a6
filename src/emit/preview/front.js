/* One figure from the front, its mechanism seen through the board: line types of ISO 128-2,
   joints and motors after ISO 3952. Places come from the tables; here they are only put on
   the paper. */
const front = { svg: byId('front'), parts: [], k: 1 };
const DRIVES = { 'four-bar': 'crank and rod', servo: 'servo', spin: 'straight on its shaft', belt: 'belt', chain: 'chain', gears: 'gears', cam: 'cam', cord: 'cord', ram: 'ram', cylinder: 'air cylinder', 'slider-crank': 'crank and rod', 'scotch-yoke': 'crank pin in a cross slot', 'slotted-arm': 'crank pin in a slot' };

/* Every place its parts come to, to choose the scale by; closer, those of its mechanisms. */
const extent = (index, close) => {
  const drawing = told.drawings[told.figures[index].drawing];
  const points = close ? [] : [...(drawing.board || []), ...drawing.frame.flat()];
  drawing.motors.forEach((m) => m.at && !m.rides && points.push(m.at));
  const times = [];
  for (let i = 0; i < 24; i += 1) times.push(i / 24);
  for (const share of times) {
    const show = page.show();
    const pose = posed(index, show, share * page.duration());
    drawing.limbs.forEach((limb, l) => {
      const t = limb.table;
      if (t && !pose[l].host) {
        const i = Math.round(share * (t.at.length - 1));
        const body = [t.limb[0][i], t.limb[1][i], t.limb[2][i]];
        if (!close) limb.shape.forEach((p) => points.push(put(body, p)));
        if (limb.tip && !close) points.push(put(body, limb.tip));
        t.pin.forEach((p) => points.push([p[0][i], p[1][i]]));
      }
      const body = pose[l].body;
      if (body) points.push([body[0], body[1]]);
      if (body && !close) limb.shape.forEach((p) => points.push(put(body, p)));
      if (body) points.push(...pose[l].pins);
      if (body && t && t.disc.length) {
        const [x, y] = pose[l].pins[0], far = Math.max(...t.disc.map((p) => Math.hypot(p[0], p[1])));
        points.push([x - far, y - far], [x + far, y + far]);
      }
    });
  }
  if (!points.length) points.push([0, 0], [1000, 1000]);
  const xs = points.map((p) => p[0]), ys = points.map((p) => p[1]);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
};

/* The words beside the drawing; they come first, for the drawing takes the room they leave. */
front.told = (figure) => {
  signed(byId('found'), figure ? foundOf(figure.name) : []);
  if (!figure) {
    byId('front-told').textContent = 'There is no figure in this yard: write one, and it stands here.';
    byId('limbs').hidden = true;
    return;
  }
  const drawing = told.drawings[figure.drawing];
  front.table(figure, drawing);
  const off = Math.max(0, ...drawing.limbs.map((l) => errorOf(l, drawing)));
  byId('front-told').textContent = 'Dashed: behind the board. Double-dotted: the way of a tip. ' +
    (off ? `Between the rows of the compiler\u2019s tables lines are drawn; here they are off by at most ${number(off, 2)} mm.` : 'No mechanism of this figure could be drawn.');
  block(byId('front-block'), [[figure.title || figure.name, 'Front elevation'], [told.file, (told.inches ? 'inches' : 'mm') + ', to the bar']]);
};

front.build = () => {
  const svg = front.svg, index = page.figure;
  clear(svg);
  front.parts = [];
  front.cells = [];
  const figure = told.figures[index];
  front.told(figure);
  const W = svg.clientWidth || 500, H = svg.clientHeight || 400;
  svg.setAttribute('viewBox', `0 0 ${W} ${H}`);
  if (!figure) {
    write(svg, W / 2, H / 2, 'No figure yet.', { face: 'it', size: 18, anchor: 'middle' });
    return;
  }
  const drawing = told.drawings[figure.drawing];
  const [x0, y0, x1, y1] = extent(index, page.close);
  const pad = page.close ? 70 : 34;
  const k = Math.min((W - 2 * pad) / Math.max(x1 - x0, 1), (H - 2 * pad - 16) / Math.max(y1 - y0, 1));
  const ox = (W - (x1 - x0) * k) / 2 - x0 * k, oy = H - 16 - (H - 16 - (y1 - y0) * k) / 2 + y0 * k;
  front.k = k;
  front.size = [W, H];
  const at = ([x, y]) => [ox + x * k, oy - y * k];
  front.at = at;
  const own = (points) => path(points.map(([x, y]) => [x * k, -y * k]), true);
  drawing.frame.forEach((m) => make('path', { class: 'd', d: path(m.map(at), true) }, svg));
  if (drawing.board) make('path', { class: 'w', d: path(drawing.board.map(at), true) }, svg);
  scaleBar(svg, 8, H - 6, k, W * 0.3);

  const behind = make('g', {}, svg), before = make('g', {}, svg), works = make('g', {}, svg), marks = make('g', {}, svg);
  drawing.limbs.forEach((limb, l) => {
    const part = { limb, l, lines: [] };
    front.parts.push(part);
    const found = foundOf(figure.name, limb.name);
    const t = limb.table;
    if (limb.shape.length) {
      part.shape = make('path', { class: limb.behind ? 'd' : 'w veil', d: own(limb.shape) }, limb.behind ? behind : before);
    } else if (limb.tip) {
      part.shape = make('path', { class: limb.behind ? 'd' : 'w', d: path([[0, 0], limb.tip].map(([x, y]) => [x * k, -y * k])) }, limb.behind ? behind : before);
    }
    if (limb.guide && limb.on === undefined) {
      const [a, b] = [limb.guide.slice(0, 2), limb.guide.slice(2)];
      const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1, u = [(b[0] - a[0]) / long, (b[1] - a[1]) / long];
      const over = 14 / k;
      make('path', { class: 'c', d: path([[a[0] - u[0] * over, a[1] - u[1] * over], [b[0] + u[0] * over, b[1] + u[1] * over]].map(at)) }, works);
    }
    /* The way of its tip, as ends of motion are drawn. */
    if (t && limb.tip && limb.on === undefined && !limb.slides) {
      const way = [];
      for (let i = 0; i < t.at.length; i += 1) way.push(at(put([t.limb[0][i], t.limb[1][i], t.limb[2][i]], limb.tip)));
      make('path', { class: 'r', d: path(way) }, works);
    }
    if (t) {
      if (t.disc.length) part.disc = make('path', { class: 'd', d: own(t.disc) }, works);
      if (t.slot) {
        const [ax, ay, bx, by] = t.slot, long = Math.hypot(bx - ax, by - ay) || 1;
        const n = [(-(by - ay) / long) * 6, ((bx - ax) / long) * 6], e = [((bx - ax) / long) * 6, ((by - ay) / long) * 6];
        part.slot = make('path', { class: 'd', d: own([[ax - e[0] + n[0], ay - e[1] + n[1]], [bx + e[0] + n[0], by + e[1] + n[1]], [bx + e[0] - n[0], by + e[1] - n[1]], [ax - e[0] - n[0], ay - e[1] - n[1]]]) }, works);
      }
      const line = (kind, from, to) => part.lines.push({ e: make('path', { class: kind }, works), from, to });
      const pins = worksOf(limb).pins;
      pins.forEach((pin, p) => {
        if (p === 0) return;
        if (pin === 'crank pin') line('n bar', p - 1, p);
        else if (pin === 'roller') return;
        else if (limb.drive === 'cord') line('n cord', p - 1, p);
        else if (limb.drive === 'ram' || limb.drive === 'cylinder') part.strut = { tube: make('path', { class: 'w' }, works), rod: make('path', { class: 'n' }, works), from: p - 1, to: p };
        else line('n rod', p - 1, p);
      });
      const lever = pins.indexOf('lever pin');
      if (lever >= 0 && !limb.slides) line('n bar', 'limb', lever);
      if (pins.includes('roller') && limb.slides) line('n rod', 'limb', pins.indexOf('roller'));
      if (pins.includes('roller') && !limb.slides) line('n bar', 'limb', pins.indexOf('roller'));
      part.slider = limb.slides ? make('path', { class: 'n', d: 'M-9 -5.5H9V5.5H-9Z' }, works) : null;
      part.pins = pins.map((pin) => pin === 'shaft' ? null : pin === 'roller' ? make('circle', { class: 'n', r: 6 }, works) : pin === 'eye' ? make('circle', { class: 'w paper', r: 3 }, works) : make('circle', { class: 'n paper', r: 3.2 }, works));
      const motor = drawing.motors[limb.motor];
      if (['belt', 'chain', 'gears'].includes(limb.drive) && motor && motor.at && limb.still) {
        make('path', { class: 'c', d: path([motor.at, [t.limb[0][0], t.limb[1][0]]].map(at)) }, works);
      }
    }
    if (!limb.slides) {
      part.pivot = make('g', {}, marks);
      if (!limb.carried) make('path', { class: 'n', d: 'M0 0L-7 10M0 0L7 10M-10 10H10M-8 10l-3 4M-3 10l-3 4M2 10l-3 4M7 10l-3 4' }, part.pivot);
      make('circle', { class: 'w paper', r: 4.2 }, part.pivot);
    }
    part.leader = make('path', { class: 'n' }, marks);
    part.balloon = make('g', {}, marks);
    make('circle', { class: 'n paper', r: 9 }, part.balloon);
    write(part.balloon, 0, 4, String(l + 1), { anchor: 'middle' });
    const sign = worst(found);
    if (sign) write(part.balloon, 11, -4, SIGNS[sign], { size: 13, class: 'halo' });
    make('title', {}, part.balloon).textContent = limb.name + (sign ? ', ' + sign : '');
  });
  drawing.motors.forEach((motor) => {
    if (!motor.at || motor.rides) return;
    const [x, y] = at(motor.at);
    const g = make('g', { transform: `translate(${r1(x)} ${r1(y)})` }, marks);
    if (motor.body) make('path', { class: 'd', d: `M${r1((-motor.body[0] / 2) * k)} ${r1((-motor.body[1] / 2) * k)}h${r1(motor.body[0] * k)}v${r1(motor.body[1] * k)}h${r1(-motor.body[0] * k)}z` }, g);
    make('circle', { class: 'w paper', r: 8 }, g);
    write(g, 0, 4, 'M', { anchor: 'middle', size: 11 });
    make('title', {}, g).textContent = motor.name + ' (' + motor.kind + ')';
  });
  const all = worst(foundOf(figure.name).filter((f) => !f.limb));
  if (all) write(svg, 10, 22, SIGNS[all] + ' ' + SAID[all] + ', see below', { size: 13 });
};

/* The list of the numbers in the balloons. */
front.table = (figure, drawing) => {
  const table = byId('limbs');
  clear(table);
  table.hidden = drawing.limbs.length === 0;
  const head = html('tr', {}, table);
  const counts = new Set(drawing.limbs.filter((l) => l.table).map((l) => worksOf(l).counts));
  const driven = [counts.has('crank') && 'crank', counts.has('length') && 'length'].filter(Boolean).join(', ');
  const heads = ['', 'limb', 'moved by', 'now', 'goes from, to', driven, 'push at worst'];
  heads.forEach((t) => html('th', { scope: 'col' }, head, t));
  /* On a narrow page each cell stands with its own head, one below the other. */
  const cell = (tr, n, text) => html('td', { 'data-head': heads[n] }, tr, text);
  front.cells = drawing.limbs.map((limb, l) => {
    const tr = html('tr', {}, table);
    html('td', {}, tr, String(l + 1));
    const name = html('td', { class: 'name', title: limb.title ? limb.name + ', ' + limb.title : limb.name }, tr);
    html('bdi', {}, name, limb.name);
    if (limb.title) html('small', { dir: 'auto' }, name, limb.title);
    cell(tr, 2, limb.drive ? DRIVES[limb.drive] || limb.drive : '');
    if (!limb.table) {
      const wrong = worst(foundOf(figure.name, limb.name)) === 'error';
      html('td', { colspan: 4, class: 'plain' }, tr, !limb.drive ? 'nothing moves it' : wrong ? 'drawn without its mechanism: it has an error, told below' : 'drawn without its mechanism: it is not computed');
      return null;
    }
    const now = cell(tr, 3);
    const show = limb.slides ? distance : degrees;
    const round = limb.table.closed && Math.abs(limb.table.limb[2][limb.table.at.length - 1] - limb.table.limb[2][0]) > 300;
    cell(tr, 4, round ? 'all round' : limb.low === undefined ? '' : show(limb.low) + ' to ' + show(limb.high) + (limb.built ? ', as built' : ''));
    const crank = cell(tr, 5);
    cell(tr, 6, limb.push === undefined ? '' : degrees(limb.push));
    return { now, crank, show };
  });
};

front.draw = (pose, words) => {
  for (const part of front.parts) {
    const { limb, l } = part;
    const { body, pins, host, u, w, own } = pose[l];
    const shown = body ? '' : 'none';
    part.balloon.style.display = shown;
    part.leader.style.display = shown;
    if (part.shape) part.shape.style.display = shown;
    if (part.pivot) part.pivot.style.display = shown;
    if (!body) continue;
    const [x, y] = front.at(body);
    const turn = `translate(${x.toFixed(2)} ${y.toFixed(2)}) rotate(${(-body[2]).toFixed(3)})`;
    if (part.shape) part.shape.setAttribute('transform', turn);
    if (part.slot) part.slot.setAttribute('transform', turn);
    if (part.pivot) part.pivot.setAttribute('transform', `translate(${r1(x)} ${r1(y)})`);
    const places = pins.map(front.at);
    for (const { e, from, to } of part.lines) e.setAttribute('d', path([from === 'limb' ? [x, y] : places[from], places[to]]));
    if (part.pins) part.pins.forEach((e, p) => e && e.setAttribute('transform', `translate(${places[p][0].toFixed(2)} ${places[p][1].toFixed(2)})`));
    if (part.disc) {
      const [cx, cy] = places[0];
      part.disc.setAttribute('transform', `translate(${cx.toFixed(2)} ${cy.toFixed(2)}) rotate(${(-u).toFixed(3)})`);
    }
    if (part.strut) {
      const [a, b] = [places[part.strut.from], places[part.strut.to]];
      const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1, e = [(b[0] - a[0]) / long, (b[1] - a[1]) / long], n = [-e[1] * 5, e[0] * 5];
      const tube = Math.min(worksOf(limb).from * front.k * 0.86, long);
      const end = [a[0] + e[0] * tube, a[1] + e[1] * tube];
      part.strut.tube.setAttribute('d', path([[a[0] + n[0], a[1] + n[1]], [end[0] + n[0], end[1] + n[1]], [end[0] - n[0], end[1] - n[1]], [a[0] - n[0], a[1] - n[1]]], true));
      part.strut.rod.setAttribute('d', path([end, b]));
    }
    if (part.slider && limb.guide) {
      const slide = limb.table.pins.indexOf('slide pin');
      const c = slide >= 0 ? places[slide] : [x, y];
      const lean = Math.atan2(limb.guide[3] - limb.guide[1], limb.guide[2] - limb.guide[0]) / rad + (host ? host[2] : 0);
      part.slider.setAttribute('transform', `translate(${r1(c[0])} ${r1(c[1])}) rotate(${r1(-lean)})`);
    }
    const tip = front.at(limb.tip ? put(body, limb.tip) : [body[0], body[1]]);
    let dx = tip[0] - x, dy = tip[1] - y;
    const d = Math.hypot(dx, dy);
    [dx, dy] = d > 1 ? [dx / d, dy / d] : [0.7, -0.7];
    const seat = [tip[0] + dx * 20, tip[1] + dy * 20];
    const kept = [0, 1].map((c) => Math.min(Math.max(seat[c], 14), front.size[c] - 14));
    part.balloon.setAttribute('transform', `translate(${r1(kept[0])} ${r1(kept[1])})`);
    part.leader.style.display = kept[0] === seat[0] && kept[1] === seat[1] ? '' : 'none';
    part.leader.setAttribute('d', path([[tip[0] - dx * 8, tip[1] - dy * 8], [tip[0] + dx * 11, tip[1] + dy * 11]]));
    const cell = words && front.cells[l];
    if (cell) {
      const value = valueOf(limb, own);
      cell.now.textContent = value === null ? '' : cell.show(limb.slides ? value : turned(limb, value));
      const { counts } = worksOf(limb), by = w === undefined ? u : w;
      cell.crank.textContent = counts === 'crank' ? degrees(((by % 360) + 360) % 360) : counts === 'length' ? distance(by) : '';
    }
  }
};

/* An angle told in the turn in which the limb's ends are told. */
const turned = (limb, value) => {
  if (limb.low === undefined || limb.high === undefined) return ((value % 360) + 360) % 360;
  const mid = (limb.low + limb.high) / 2;
  return value - 360 * Math.round((value - mid) / 360);
};
