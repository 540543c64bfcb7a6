/* The compiler's tables: read, and looked up between their rows. Nothing here knows what
   a mechanism is. */
const told = JSON.parse(document.getElementById('data').textContent);
const summed = (list, n) => {
  if (list.length === 1 && n > 1) return new Float64Array(n).fill(list[0]);
  let sum = 0;
  return Float64Array.from(list, (d) => (sum += d));
};
const scaled = (list, n, per) => summed(list, n).map((v) => v / per);
const corners = (list) => {
  const all = [];
  let x = 0, y = 0;
  for (let i = 0; i + 1 < (list || []).length; i += 2) all.push([(x += list[i]) / 100, (y += list[i + 1]) / 100]);
  return all;
};

for (const drawing of told.drawings) {
  drawing.board = drawing.board ? corners(drawing.board) : null;
  drawing.frame = drawing.frame.map(corners);
  for (const limb of drawing.limbs) {
    limb.shape = corners(limb.shape);
    for (const t of [limb.table, limb.works]) {
      if (!t) continue;
      const n = t.at.length;
      t.at = scaled(t.at, n, 1e5);
      t.limb = [scaled(t.limb[0], n, 100), scaled(t.limb[1], n, 100), scaled(t.limb[2], n, 1e4)];
      t.pin = t.pin.map((p) => [scaled(p[0], n, 100), scaled(p[1], n, 100)]);
      t.disc = corners(t.disc);
      t.from = t.at[0];
      t.to = t.at[n - 1];
    }
  }
}
for (const show of told.shows) {
  for (const part of show.parts) {
    part.by = new Map();
    for (const c of part.limbs) {
      for (const own of [c, (c.works = c.works && { t: c.works[0], u: c.works[1] })]) {
        if (!own) continue;
        own.t = scaled(own.t, own.t.length, 1e4);
        own.u = scaled(own.u, own.u.length, 1e3);
      }
      part.by.set(c.limb, c);
    }
  }
}

/* What moves a limb from the board while another carries it is drawn where shows say where
   that is. */
told.figures.forEach((figure, f) => told.drawings[figure.drawing].limbs.forEach((limb, l) => {
  const said = (show) => (show.parts[f].by.get(l) || {}).works;
  if (!told.shows.length || !told.shows.every(said)) delete limb.works;
}));
/* What the pins of a limb are counted by: that, or its own table. */
const worksOf = (limb) => limb.works || limb.table;

/* How far what is drawn of a limb and its pins is off at most, mm: of what leads from the
   board to a limb on another, with what that one is off where it carries it. */
const errorOf = (limb, drawing) => {
  const own = limb.table ? limb.table.error_mm : 0;
  if (worksOf(limb) === limb.table) return own;
  return own + limb.works.error_mm + 2 * errorOf(drawing.limbs[limb.on], drawing);
};

/* The last place in a list in order that is not beyond a value, -1 for none. */
const upTo = (list, value) => {
  let lo = 0, hi = list.length;
  while (lo < hi) {
    const mid = (lo + hi) >> 1;
    if (list[mid] <= value) lo = mid + 1; else hi = mid;
  }
  return lo - 1;
};

/* A coordinate at a time: straight lines between points. */
const onCourse = (course, t) => {
  const i = upTo(course.t, t);
  if (i < 0) return course.u[0];
  if (i >= course.t.length - 1) return course.u[course.u.length - 1];
  const run = course.t[i + 1] - course.t[i];
  return run > 0 ? course.u[i] + ((course.u[i + 1] - course.u[i]) * (t - course.t[i])) / run : course.u[i + 1];
};

/* Where in the table a coordinate lies: row, share of the way to the next, whole turns. */
const inTable = (table, u) => {
  let turns = 0;
  const way = table.to - table.from;
  if (table.closed) {
    turns = Math.floor((u - table.from) / way);
    u -= turns * way;
  } else {
    u = Math.min(Math.max(u, table.from), table.to);
  }
  const i = Math.min(Math.max(upTo(table.at, u), 0), table.at.length - 2);
  const run = table.at[i + 1] - table.at[i];
  return { i, share: run > 0 ? (u - table.at[i]) / run : 0, turns };
};
const between = (list, { i, share }) => list[i] + (list[i + 1] - list[i]) * share;

/* A limb in the plane it is counted in: [x, y, angle in deg]. */
const ownPlace = (limb, u) => {
  const t = limb.table;
  if (!t) return limb.still || null;
  const at = inTable(t, u);
  const whole = t.limb[2][t.limb[2].length - 1] - t.limb[2][0];
  return [between(t.limb[0], at), between(t.limb[1], at), between(t.limb[2], at) + at.turns * whole];
};
const rad = Math.PI / 180;
const put = (body, [x, y]) => {
  const c = Math.cos(body[2] * rad), s = Math.sin(body[2] * rad);
  return [body[0] + x * c - y * s, body[1] + x * s + y * c];
};

/* The coordinate of a limb by itself, where no show tells it anything. */
const byItself = (limb, t) => {
  const a = limb.alone;
  if (!a) return 0;
  const cycle = a.time_s || 4;
  if (a.round) return a.from + ((a.to - a.from) * t) / cycle;
  return a.from + ((a.to - a.from) * (1 - Math.cos((2 * Math.PI * t) / cycle))) / 2;
};

/* Every limb of a figure at a time: on the board, with its pins there. */
const posed = (index, show, t) => {
  const drawing = told.drawings[told.figures[index].drawing];
  const part = show ? show.parts[index] : null;
  const out = [];
  const limbAt = (l, depth) => {
    if (out[l]) return out[l];
    const limb = drawing.limbs[l];
    const course = part && part.by.get(l);
    const u = course && course.t.length ? onCourse(course, t) : part ? (limb.alone ? limb.alone.from : 0) : byItself(limb, t);
    const own = ownPlace(limb, u);
    const made = { u, own, body: null, pins: [], host: null };
    out[l] = made;
    if (!own) return made;
    const host = limb.on !== undefined && depth < 40 ? limbAt(limb.on, depth + 1).body : null;
    if (limb.on !== undefined && !host) return made;
    made.host = host;
    const at = host ? put(host, own) : [own[0], own[1]];
    made.body = [at[0], at[1], own[2] + (host && !limb.level ? host[2] : 0)];
    const table = limb.table, works = course && course.works;
    if (works && limb.works) {
      made.w = onCourse(works, t);
      const where = inTable(limb.works, made.w), last = limb.works.pin.length - 1;
      made.pins = limb.works.pin.map((p, n) => {
        const pin = [between(p[0], where), between(p[1], where)];
        return n === last ? put(made.body, pin) : pin;
      });
    } else if (table) {
      const where = inTable(table, u);
      made.pins = table.pin.map((p) => {
        const pin = [between(p[0], where), between(p[1], where)];
        return host ? put(host, pin) : pin;
      });
    }
    return made;
  };
  drawing.limbs.forEach((_, l) => limbAt(l, 0));
  return out;
};

/* How far a limb is along what it does: its angle, or its way along the guide. */
const valueOf = (limb, own) => {
  if (!own) return null;
  if (!limb.slides || !limb.guide) return own[2];
  const [x0, y0, x1, y1] = limb.guide;
  const long = Math.hypot(x1 - x0, y1 - y0) || 1;
  const from = limb.on === undefined ? [x0, y0] : limb.still || [x0, y0];
  return ((own[0] - from[0]) * (x1 - x0) + (own[1] - from[1]) * (y1 - y0)) / long;
};
