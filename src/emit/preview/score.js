/* The score: systems of a few bars that wrap down the page, a staff for each figure with
   cues, the motion of its limbs between the lines, accents with what they are off by. */
const score = { svg: byId('score'), systems: [], staffs: [] };
const STAFF = 28, PITCH = 58, HEAD = 46, PAGE = 12, OVER = 20;

/* Bars with their numbers; a show without a song counts in stretches of two seconds. */
const barsOf = (show) => {
  const end = show.duration_s;
  if (!show.song || show.song.bars.length < 2) {
    const t = [];
    for (let s = 0; s < end + 2; s += 2) t.push(s);
    return { t, first: 0, seconds: true };
  }
  const t = show.song.bars.slice();
  let first = 1;
  if (t[0] > 0.02) { t.unshift(0); first = 0; }
  return { t, first, seconds: false };
};

score.cued = () => page.show() ? page.show().parts.filter((p) => p.cued).map((p) => p.figure) : [];

/* What the list of staffs offers. */
score.offer = () => {
  const list = byId('staffs'), cued = score.cued(), kept = list.value;
  clear(list);
  const option = (value, text) => html('option', { value }, list, text);
  if (cued.length > PAGE) {
    for (let i = 0; i < cued.length; i += PAGE) option('p' + i, `${i + 1} to ${Math.min(i + PAGE, cued.length)} of ${cued.length}`);
  } else {
    option('p0', cued.length === 1 ? 'the one with cues' : `all ${cued.length} with cues`);
  }
  option('chosen', 'the figure chosen');
  list.value = kept;
  if (!list.value) list.value = 'p0';
  byId('staff-pick').hidden = cued.length < 2;
};

score.build = () => {
  const svg = score.svg, show = page.show();
  clear(svg);
  score.systems = [];
  const W = byId('score-window').clientWidth || 600;
  if (!show) {
    svg.setAttribute('viewBox', `0 0 ${W} 10`);
    svg.style.height = '10px';
    byId('score-told').textContent = told.figures.length ? 'No show is written yet. Each limb goes through its own cycle, at the time its gesture says in seconds, or else in 4 seconds; with a show its score stands here.' : 'No show is written yet.';
    return;
  }
  const cued = score.cued(), pick = byId('staffs').value;
  const from = pick.startsWith('p') ? Number(pick.slice(1)) || 0 : 0;
  const staffs = pick === 'chosen' ? cued.filter((f) => f === page.figure) : cued.slice(from, from + PAGE);
  score.staffs = staffs;
  const bars = barsOf(show), end = show.duration_s;
  score.bars = bars;
  const left = W < 560 ? 66 : 120, right = 8;
  const count = bars.t.length - 1;
  const per = Math.max(4, Math.min(8, Math.floor((W - left - right) / 135)));
  const wide = (W - left - right) / per;
  const tall = HEAD + Math.max(staffs.length, 1) * PITCH + 6;
  /* A pick-up stands before the first full system, narrow, so that the others begin where
     phrases do. */
  const early = bars.first === 0 && !bars.seconds ? 1 : 0;
  const rows = Math.max(1, Math.ceil((count - early) / per));
  const H = OVER + rows * tall + 6;
  svg.setAttribute('viewBox', `0 0 ${W} ${H}`);
  svg.style.height = H + 'px';
  score.marks = make('g', {}, svg);
  const sections = show.song ? show.song.sections : [];
  const limits = new Map();
  for (let row = 0; row < rows; row += 1) {
    const b0 = row ? row * per + early : 0, b1 = Math.min(count, (row + 1) * per + early), y = OVER + row * tall;
    const short = row === 0 && early ? 0.36 : 0, one = (W - left - right) / (per + short);
    const edges = [];
    for (let b = b0; b <= b1; b += 1) edges.push(left + (short && b > 0 ? short + b - 1 : b - b0) * one);
    const x = (t) => {
      const i = Math.min(Math.max(upTo(bars.t, t), b0), b1 - 1), span = bars.t[i + 1] - bars.t[i];
      return edges[i - b0] + Math.min(Math.max((t - bars.t[i]) / span, 0), 1) * (edges[i + 1 - b0] - edges[i - b0]);
    };
    const system = { y, b0, b1, from: bars.t[b0], to: bars.t[b1], x, left, edges, top: y + HEAD - 6, bottom: y + HEAD + (Math.max(staffs.length, 1) - 1) * PITCH + STAFF + 6, edge: edges[edges.length - 1] };
    score.systems.push(system);
    const number0 = bars.seconds ? bars.t[b0] + ' s' : String(b0 + (short ? 1 : bars.first));
    write(svg, edges[short ? 1 : 0] + 2, y + HEAD - 16, number0, { face: 'it', size: 12 });
    sections.forEach((s, n) => {
      const i = s.from - bars.first;
      if (i < b0 || i >= b1) return;
      const sx = edges[i - b0] + (i === b0 || (short && i === 1) ? 24 : 0);
      const letter = n < 26 ? String.fromCharCode(65 + n) : String(n + 1);
      const w = Math.max(17, widthOf(letter, 14) + 8);
      make('path', { class: 'n', d: `M${r1(sx)} ${y + 13}h${w}v17h${-w}z` }, svg);
      write(svg, sx + w / 2, y + 26, letter, { anchor: 'middle', size: 14 });
      write(svg, sx + w + 5, y + 26, s.name, { face: 'it', size: 13, width: wide - w - 14 });
    });
    if (row === 0 && show.song) write(svg, left + 2, 14, `${show.song.meter}, ${Math.round(show.song.bpm * 10) / 10} beats a minute`, { face: 'it', size: 13, width: W - left - right });
    make('path', { class: 'n', d: `M${left} ${y + HEAD}V${y + HEAD + (Math.max(staffs.length, 1) - 1) * PITCH + STAFF}` }, svg);
    staffs.forEach((f, s) => score.staff(svg, show, f, system, y + HEAD + s * PITCH, { row, bars, end, limits }));
    if (!staffs.length) score.lines(svg, system, y + HEAD, bars, end);
  }
  score.head = make('path', { class: 'now' }, svg);
  const late = show.accents.filter((a) => staffs.includes(a.figure));
  byId('score-told').textContent = (cued.length ? 'Between the lines of a staff: each limb from its one end to the other, thin where it stands still. ' : 'No figure has a cue in this show. ') +
    (late.length ? 'Wedges: accents, with what they are off by in ms (late is +), in brackets the worst that the spread of motors can make of it' + (late.some((a) => a.noticed) ? `; ${SIGNS.warning} people would notice` : '') + '. ' : '') +
    (pick === 'chosen' && !staffs.length && cued.length ? 'The figure chosen has no cue in this show.' : '');
  score.loop();
};

/* Milliseconds with their sign. */
const signedMs = (ms) => (ms > 0.5 ? '+' : '') + number(ms, 0);

score.lines = (svg, system, y, bars, end) => {
  let d = '';
  for (let i = 0; i < 5; i += 1) d += `M${system.left} ${y + (i * STAFF) / 4}H${r1(system.edge)}`;
  make('path', { class: 'f', d }, svg);
  d = '';
  for (let b = system.b0 + 1; b <= system.b1; b += 1) d += `M${r1(system.edges[b - system.b0])} ${y}v${STAFF}`;
  make('path', { class: 'n', d }, svg);
  if (system.b1 === bars.t.length - 1) {
    make('path', { class: 'n', d: `M${r1(system.edge - 5)} ${y}v${STAFF}` }, svg);
    make('path', { class: 'k', d: `M${r1(system.edge - 3)} ${y}h3v${STAFF}h-3z` }, svg);
  }
};

score.staff = (svg, show, f, system, y, { row, bars, end, limits }) => {
  const figure = told.figures[f], drawing = told.drawings[figure.drawing], part = show.parts[f];
  const g = make('g', {}, svg);
  score.lines(g, system, y, bars, end);
  const room = system.left - 8;
  const moved = part.limbs.filter((c) => c.cued);
  write(g, system.left - 8, y + 9, figure.name, { anchor: 'end', width: room, size: 13 });
  if (row === 0) {
    moved.slice(0, 3).forEach((c, n) => {
      const ty = y + 21 + n * 11;
      make('path', { class: 'curve l' + (n % 4), d: `M${r1(system.left - 24)} ${ty - 3}h16` }, g);
      write(g, system.left - 28, ty, n === 2 && moved.length > 3 ? `and ${moved.length - 2} more` : drawing.limbs[c.limb].name, { anchor: 'end', width: room - 22, size: 10 });
    });
  }
  moved.forEach((c, n) => {
    const limb = drawing.limbs[c.limb], t = limb.table, key = figure.drawing + ' ' + c.limb;
    if (!limits.has(key)) {
      const all = [];
      for (let i = 0; i < t.at.length; i += 1) all.push(valueOf(limb, [t.limb[0][i], t.limb[1][i], t.limb[2][i]]));
      limits.set(key, [Math.min(...all), Math.max(...all), t.closed && Math.abs(all[all.length - 1] - all[0]) > 300]);
    }
    const [lo, hi, round] = limits.get(key);
    /* Where a limb stands still its line is thin. */
    let d = '', rest = '', last = null;
    const steps = Math.ceil((system.edge - system.left) / 2);
    for (let i = 0; i <= steps; i += 1) {
      const px = system.left + (i / steps) * (system.edge - system.left), time = score.timeIn(system, px);
      if (time > end + 1e-6) break;
      const v = valueOf(limb, ownPlace(limb, onCourse(c, time)));
      if (v === null) break;
      const share = round ? (((v - lo) % 360) + 360) % 360 / 360 : hi > lo ? (v - lo) / (hi - lo) : 0.5;
      const jump = round && last !== null && Math.abs(share - last.share) > 0.5;
      const here = r1(px) + ' ' + r1(y + STAFF - share * STAFF);
      if (last !== null && !jump) {
        const still = Math.abs(share - last.share) < 2e-4;
        if (still) rest += (last.still ? 'L' : 'M' + last.here + 'L') + here;
        else d += (last.still === false ? 'L' : 'M' + last.here + 'L') + here;
        last = { share, here, still };
      } else {
        last = { share, here };
      }
    }
    if (d) make('path', { class: 'curve l' + (n % 4), d }, g);
    if (rest) make('path', { class: 'curve rest l' + (n % 4), d: rest }, g);
  });
  let free = 0;
  for (const a of show.accents) {
    if (a.figure !== f || a.t < system.from - 1e-6 || a.t >= system.to - 1e-6) continue;
    const x = system.x(a.t);
    const e = make('g', {}, g);
    make('path', { class: 'n', d: `M${r1(x - 4)} ${y - 12}l8 3l-8 3` }, e);
    const off = signedMs(a.ms), worst = signedMs(a.worst_ms);
    make('title', {}, e).textContent = `${figure.name}.${drawing.limbs[a.limb].name}: predicted ${off} ms from the accent, at worst ${worst} ms${a.noticed ? ': people would notice' : ''}`;
    const words = (a.noticed ? SIGNS.warning + ' ' : '') + off + (worst === off ? '' : ` (${worst})`);
    const w = widthOf(words, 10);
    if (x + 6 > free && x + 6 + w < system.edge + 6) {
      write(e, x + 6, y - 5, words, { size: 10, face: 'it', class: 'halo' });
      free = x + 10 + w;
    }
  }
};

/* The loop, as repeat signs. */
score.loop = () => {
  const g = score.marks;
  if (!g) return;
  clear(g);
  const loop = page.loop();
  if (!loop) return;
  for (const s of score.systems) {
    const a = Math.max(loop[0], s.from), b = Math.min(loop[1], s.to);
    if (!(b > a + 1e-6)) continue;
    const xa = s.x(a), xb = b >= s.to - 1e-6 ? s.edge : s.x(b);
    make('path', { class: 'loop-mark', d: `M${r1(xa)} ${s.top}H${r1(xb)}V${s.bottom}H${r1(xa)}z` }, g);
    const sign = (x, way) => {
      make('path', { class: 'k', d: `M${r1(x)} ${s.top}h${3 * way}V${s.bottom}h${-3 * way}z` }, g);
      make('path', { class: 'n', d: `M${r1(x + 5.5 * way)} ${s.top}V${s.bottom}` }, g);
      score.staffs.forEach((_, n) => [-3.5, 3.5].forEach((o) => make('circle', { class: 'k', cx: r1(x + 9.5 * way), cy: r1(s.y + HEAD + n * PITCH + STAFF / 2 + o), r: 1.7 }, g)));
    };
    if (loop[0] >= s.from - 1e-6) sign(xa, 1);
    if (loop[1] <= s.to + 1e-6) sign(xb, -1);
  }
};

/* `jumped`: to a time that may be far from what is seen. Else it is followed from system to
   system, and who looks elsewhere meanwhile is left in peace. */
score.draw = (t, jumped) => {
  if (!score.systems.length || !score.head) return;
  const s = score.systems.find((o) => t < o.to) || score.systems[score.systems.length - 1];
  score.head.setAttribute('d', `M${r1(s.x(t))} ${s.top - 4}V${s.bottom + 4}`);
  if (jumped || score.shown !== s) {
    const window = byId('score-window');
    if (s.y < window.scrollTop || s.bottom > window.scrollTop + window.clientHeight) window.scrollTop = s.y;
  }
  score.shown = s;
};

/* The time of a place in the score. */
score.timeAt = (x, y) => {
  const s = score.systems.find((o) => y < o.bottom + 10) || score.systems[score.systems.length - 1];
  if (!s) return null;
  return score.timeIn(s, x);
};
score.timeIn = (s, x) => {
  const i = Math.min(Math.max(upTo(s.edges, x), 0), s.edges.length - 2);
  const share = Math.min(Math.max((x - s.edges[i]) / (s.edges[i + 1] - s.edges[i]), 0), 1);
  const t = score.bars.t;
  return t[s.b0 + i] + share * (t[s.b0 + i + 1] - t[s.b0 + i]);
};
