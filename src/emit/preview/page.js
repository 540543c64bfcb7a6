/* Playing: the clock, the song beside it, the controls, and what is kept over a reload. */
const page = { figure: 0, showIndex: 0, t: 0, playing: false, half: false, close: false, looping: false, loopBars: null, smooth: true };
page.show = () => told.shows[page.showIndex] || null;
page.duration = () => { const s = page.show(); return s ? Math.max(s.duration_s, 0.001) : 60; };
page.loop = () => {
  const show = page.show();
  if (!page.looping || !show || !page.loopBars) return null;
  const bars = barsOf(show), at = (n) => bars.t[Math.min(Math.max(n - bars.first, 0), bars.t.length - 1)];
  const [a, b] = page.loopBars, ends = [at(a), Math.min(at(b + 1), page.duration())];
  return ends[1] > ends[0] ? ends : null;
};
const key = 'yardwright preview ' + told.file;
const still = window.matchMedia('(prefers-reduced-motion: reduce)');

/* The song: its copy in this folder, a file of its name beside this page, or one that is
   chosen. */
const sound = new Audio();
sound.preload = 'auto';
sound.preservesPitch = true;
const song = { ready: false, name: '', chosen: false, next: [] };
const setSong = () => {
  const show = page.show(), file = show && show.song && show.song.file;
  song.ready = false;
  song.chosen = false;
  song.next = [];
  song.name = file ? file.split(/[\\/]/).pop() : '';
  sound.pause();
  byId('sound-pick').hidden = true;
  if (!file) {
    sound.removeAttribute('src');
    byId('sound').textContent = show ? (show.song ? 'The song has no file: playing by the clock.' : 'No song: playing by the clock.') : told.figures.length ? 'No show is written: each limb by itself.' : '';
    return;
  }
  byId('sound').textContent = '';
  const copy = show.song.copy;
  song.next = [...(copy ? [copy.split('/').map(encodeURIComponent).join('/')] : []), encodeURIComponent(song.name)];
  sound.src = song.next.shift();
};
sound.addEventListener('canplay', () => {
  if (song.ready) return;
  song.ready = true;
  const late = page.show() ? page.show().delay_s : 0;
  byId('sound-pick').hidden = true;
  byId('sound').replaceChildren('With ', html('bdi', {}, null, song.name), `, heard ${number(late * 1000, 0)} ms after the start signal as in the yard.`);
  follow(true);
});
sound.addEventListener('error', () => {
  if (!sound.getAttribute('src')) return;
  song.ready = false;
  if (song.next.length) {
    sound.src = song.next.shift();
    return;
  }
  byId('sound').replaceChildren(html('bdi', {}, null, song.name), song.chosen ? ' could not be read: playing by the clock.' : ' is not beside this page: playing by the clock. Put it there, or choose it.');
  byId('sound-pick').hidden = false;
});
byId('sound-file').addEventListener('change', (e) => {
  const file = e.target.files[0];
  if (!file) return;
  song.ready = false;
  song.chosen = true;
  song.next = [];
  song.name = file.name;
  sound.src = URL.createObjectURL(file);
});

/* Brings the song to the clock's time, or the clock to the song's while it runs. */
const follow = (seek) => {
  const show = page.show();
  if (!song.ready || !show) return;
  const want = page.t - show.delay_s;
  sound.playbackRate = page.half ? 0.5 : 1;
  if (!page.playing || want < 0 || want >= sound.duration) {
    if (!sound.paused) sound.pause();
    return;
  }
  if (seek || sound.paused) {
    sound.currentTime = want;
    if (sound.paused) sound.play().catch(() => {});
  } else if (Math.abs(sound.currentTime - want) > 0.06 && sound.readyState > 2 && !sound.seeking) {
    page.t = sound.currentTime + show.delay_s;
  }
};

let last = 0, wordsAt = 0, stepAt = null, costs = [];
/* With less motion asked for, the picture goes on by beats. */
const beat = () => {
  const show = page.show();
  if (!show || !show.song) return 0.5;
  const bars = barsOf(show), i = Math.min(Math.max(upTo(bars.t, page.t), 0), bars.t.length - 2);
  return (bars.t[i + 1] - bars.t[i]) / (i === 0 && bars.first === 0 ? 1 : show.song.beats);
};
const draw = (words, jumped) => {
  const begun = performance.now(), show = page.show();
  const poses = told.figures.map((_, i) => posed(i, show, page.t));
  plan.draw(poses);
  if (poses[page.figure]) front.draw(poses[page.figure], words);
  score.draw(page.t, jumped);
  if (words) {
    byId('time').value = page.t;
    byId('time').setAttribute('aria-valuetext', clockWords(page.t) + place());
    byId('clock').textContent = clockWords(page.t) + ' of ' + clockWords(page.duration()) + place();
  }
  costs.push(performance.now() - begun);
  if (costs.length > 240) costs.shift();
};
const place = () => {
  const show = page.show();
  if (!show || !show.song) return '';
  const bars = barsOf(show), i = upTo(bars.t, page.t + 1e-6);
  if (i < 0) return '';
  const n = Math.min(i, bars.t.length - 2), share = (page.t - bars.t[n]) / (bars.t[n + 1] - bars.t[n]);
  const number = n + bars.first;
  return number < 1 ? ', before bar 1' : `, bar ${number} beat ${Math.min(show.song.beats, 1 + Math.floor(share * show.song.beats + 1e-6))}`;
};
const frame = (now) => {
  if (!page.playing) return;
  const passed = Math.min((now - last) / 1000, 0.25);
  last = now;
  page.t += passed * (page.half ? 0.5 : 1);
  follow(false);
  const loop = page.loop(), end = loop ? loop[1] : page.duration();
  let jumped = false;
  if (page.t >= end) {
    if (loop || !page.show()) {
      page.t = loop ? loop[0] : 0;
      follow(true);
      jumped = true;
    } else {
      page.t = end;
      play(false);
    }
  }
  const step = beat(), at = Math.floor(page.t / step);
  if (page.smooth || at !== stepAt) {
    stepAt = at;
    const words = now - wordsAt > 90;
    if (words) wordsAt = now;
    draw(words || !page.smooth, jumped);
    if (words) keep();
  }
  if (page.playing) requestAnimationFrame(frame);
};

const press = (id, on, words) => {
  byId(id).setAttribute('aria-pressed', String(on));
  if (words) byId(id).textContent = words;
};
const play = (on) => {
  if (on && !page.playing) {
    const loop = page.loop();
    if (page.t >= page.duration() - 1e-3) page.t = 0;
    if (loop && (page.t < loop[0] || page.t >= loop[1])) page.t = loop[0];
    last = performance.now();
    requestAnimationFrame(frame);
  }
  page.playing = on;
  press('play', on, on ? 'Pause' : 'Play');
  follow(true);
  draw(true, on);
  keep();
};
const seek = (t) => {
  if (!Number.isFinite(t)) return;
  page.t = Math.min(Math.max(t, 0), page.duration());
  follow(true);
  draw(true, true);
  keep();
};
page.choose = (index) => {
  if (!told.figures.length) return;
  page.figure = ((index % told.figures.length) + told.figures.length) % told.figures.length;
  byId('figure').value = String(page.figure);
  front.build();
  plan.choose();
  if (byId('staffs').value === 'chosen') score.build();
  draw(true);
  keep();
};
const chooseShow = (index, t) => {
  if (told.shows.length) page.showIndex = ((index % told.shows.length) + told.shows.length) % told.shows.length;
  const show = page.show();
  byId('show').value = String(page.showIndex);
  byId('time').max = page.duration();
  page.t = Math.min(t || 0, page.duration());
  const bars = show && barsOf(show), list = byId('loop-section');
  clear(list);
  byId('loop-pick').hidden = byId('loop').hidden = !show || bars.seconds;
  if (show && !bars.seconds) {
    html('option', { value: '' }, list, 'a section');
    show.song.sections.forEach((s) => html('option', { value: s.from + ' ' + (s.to - 1), dir: 'auto' }, list, s.name));
    const last = bars.t.length - 2 + bars.first;
    if (!page.loopBars || page.loopBars[1] > last) page.loopBars = [1, Math.min(4, last)];
    for (const id of ['loop-from', 'loop-to']) byId(id).max = last;
  }
  loopShown();
  setSong();
  score.offer();
  score.build();
  front.build();
  draw(true);
  keep();
};
const loopShown = () => {
  if (page.loopBars) [byId('loop-from').value, byId('loop-to').value] = page.loopBars;
  const list = byId('loop-section');
  list.value = page.loopBars ? page.loopBars.join(' ') : '';
  if (list.selectedIndex < 0) list.value = '';
  press('loop', page.looping);
  score.loop();
};
const setLoop = (on, bars) => {
  if (bars && bars.every((b) => Number.isInteger(b) && b > 0)) page.loopBars = bars[1] < bars[0] ? [bars[0], bars[0]] : bars;
  page.looping = on;
  loopShown();
  const loop = page.loop();
  if (loop && (page.t < loop[0] || page.t >= loop[1])) seek(loop[0]);
  keep();
};
const setHalf = (on) => {
  page.half = on;
  press('half', on);
  follow(true);
  keep();
};

const setClose = (on) => {
  page.close = on;
  press('closer', on);
  front.build();
  draw(true);
  keep();
};

/* Kept over a reload, by the yard's file. */
const keep = () => {
  try {
    sessionStorage.setItem(key, JSON.stringify({ show: page.show() ? page.show().name : null, t: page.t, figure: told.figures[page.figure] ? told.figures[page.figure].name : null, playing: page.playing, half: page.half, close: page.close, looping: page.looping, loopBars: page.loopBars, staffs: byId('staffs').value, asked: page.asked, scroll: byId('score-window').scrollTop }));
  } catch { /* A browser that keeps nothing plays all the same. */ }
};
const kept = () => {
  try {
    return JSON.parse(sessionStorage.getItem(key)) || {};
  } catch {
    return {};
  }
};

byId('play').addEventListener('click', () => play(!page.playing));
byId('half').addEventListener('click', () => setHalf(!page.half));
byId('closer').addEventListener('click', () => setClose(!page.close));
byId('loop').addEventListener('click', () => setLoop(!page.looping));
byId('time').addEventListener('input', (e) => seek(Number(e.target.value)));
for (const id of ['loop-from', 'loop-to']) byId(id).addEventListener('change', () => setLoop(page.looping, [Number(byId('loop-from').value), Number(byId('loop-to').value)]));
byId('loop-section').addEventListener('change', (e) => e.target.value && setLoop(true, e.target.value.split(' ').map(Number)));
byId('show').addEventListener('change', (e) => chooseShow(Number(e.target.value)));
byId('figure').addEventListener('change', (e) => page.choose(Number(e.target.value)));
byId('before').addEventListener('click', () => page.choose(page.figure - 1));
byId('after').addEventListener('click', () => page.choose(page.figure + 1));
byId('staffs').addEventListener('change', () => { score.build(); draw(true); keep(); });
byId('smooth').addEventListener('change', (e) => { page.asked = page.smooth = e.target.checked; keep(); });
score.svg.addEventListener('click', (e) => {
  const box = score.svg.getBoundingClientRect(), t = score.timeAt(e.clientX - box.left, e.clientY - box.top);
  if (t !== null) seek(t);
});
document.addEventListener('keydown', (e) => {
  const on = e.target.tagName;
  if (e.ctrlKey || e.metaKey || e.altKey || on === 'SELECT' || on === 'INPUT') return;
  const by = { ArrowLeft: -1, ArrowRight: 1 }[e.key];
  if (e.key === ' ' && on !== 'BUTTON') play(!page.playing);
  else if (by) { const s = page.show(); seek(page.t + by * beat() * (e.shiftKey && s && s.song ? s.song.beats : 1)); }
  else if (e.key === 'Home') seek(0);
  else if (e.key === 'End') seek(page.duration());
  else if (e.key === '[') page.choose(page.figure - 1);
  else if (e.key === ']') page.choose(page.figure + 1);
  else if (e.key === '{') chooseShow(page.showIndex - 1);
  else if (e.key === '}') chooseShow(page.showIndex + 1);
  else if (e.key === 'l' && !byId('loop').hidden) setLoop(!page.looping);
  else if (e.key === 'h') setHalf(!page.half);
  else if (e.key === 'c') setClose(!page.close);
  else return;
  e.preventDefault();
});
let resized = 0;
window.addEventListener('resize', () => {
  clearTimeout(resized);
  resized = setTimeout(() => { plan.build(); plan.choose(); front.build(); score.build(); draw(true); }, 120);
});
window.addEventListener('pagehide', keep);

/* What tests ask. */
const positions = () => {
  const all = [];
  told.figures.forEach((figure, f) => {
    const drawing = told.drawings[figure.drawing];
    posed(f, page.show(), page.t).forEach((pose, l) => {
      const limb = drawing.limbs[l], pins = {};
      (limb.table ? worksOf(limb).pins : []).forEach((p, n, names) => {
        const many = names.filter((o) => o === p).length > 1;
        pins[many ? p + ' ' + names.slice(0, n + 1).filter((o) => o === p).length : p] = pose.pins[n];
      });
      const value = valueOf(limb, pose.own);
      all.push({ figure: figure.name, limb: limb.name, [limb.slides ? 'mm' : 'deg']: value, coordinate: limb.table ? pose.u : null, counts: limb.table ? limb.table.counts : null, body: pose.body, pins, error_mm: limb.table ? errorOf(limb, drawing) : null });
    });
  });
  return all;
};
window.yardwright = {
  state: () => ({ show: page.show() ? page.show().name : null, t: page.t, duration: page.duration(), figure: told.figures[page.figure] ? told.figures[page.figure].name : null, playing: page.playing, half: page.half, loop: page.loop(), smooth: page.smooth, sound: song.ready, song_s: song.ready ? sound.currentTime : null, delay_s: page.show() ? page.show().delay_s : 0, frame_ms: costs.length ? costs.reduce((a, b) => a + b, 0) / costs.length : null }),
  seek,
  figure: (name) => { const i = told.figures.findIndex((f) => f.name === name); if (i >= 0) page.choose(i); return i >= 0; },
  positions,
};

/* Start as it was left. */
const was = kept();
told.shows.forEach((s, i) => html('option', { value: i, dir: 'auto', title: s.name }, byId('show'), s.title || s.name));
byId('show-pick').hidden = told.shows.length < 1;
told.figures.forEach((f, i) => {
  const sign = worst(foundOf(f.name));
  html('option', { value: i, dir: 'auto', title: f.name }, byId('figure'), f.name + (sign ? '  ' + SIGNS[sign] + ' ' + SAID[sign] : '') + (f.laid_up ? '  (laid up)' : ''));
});
for (const id of ['before', 'after', 'figure']) byId(id).disabled = told.figures.length < 2;
if (!told.figures.length) byId('list-sheet').hidden = byId('figure').parentElement.hidden = true;
if (!told.figures.length) for (const id of ['play', 'half', 'time']) byId(id).disabled = true;
/* Whether the picture moves on smoothly: as asked here, else as the person likes motion. */
if (typeof was.asked === 'boolean') page.asked = was.asked;
const liked = () => {
  page.smooth = page.asked !== undefined ? page.asked : !still.matches;
  byId('smooth-pick').hidden = !still.matches;
  byId('smooth').checked = page.smooth;
};
liked();
still.addEventListener('change', liked);
page.half = !!was.half;
page.close = !!was.close;
page.looping = !!was.looping;
if (Array.isArray(was.loopBars)) page.loopBars = was.loopBars;
const counts = WORST.map((s) => [told.findings.filter((f) => f.severity === s).length, s]).filter(([n]) => n);
byId('told').textContent = `${told.file}: ${told.figures.length} figure${told.figures.length === 1 ? '' : 's'}, ${told.shows.length || 'no'} show${told.shows.length === 1 ? '' : 's'}` + counts.map(([n, s]) => `, ${SIGNS[s]} ${n} ${SAID[s]}${n === 1 ? '' : 's'}`).join('');
const known = new Set(told.figures.map((f) => f.name));
const figureAt = told.figures.findIndex((f) => f.name === was.figure);
if (figureAt >= 0) page.figure = figureAt;
byId('figure').value = String(page.figure);
const showAt = told.shows.findIndex((s) => s.name === was.show);
signed(byId('yard-found'), told.findings.filter((f) => !known.has(f.figure)));
plan.build();
plan.choose();
chooseShow(Math.max(showAt, 0), was.t);
if (was.staffs) { byId('staffs').value = was.staffs; if (!byId('staffs').value) byId('staffs').value = 'p0'; score.build(); }
press('half', page.half);
press('closer', page.close);
if (was.playing && (page.smooth || !still.matches)) play(true);
draw(true);
if (!page.playing) byId('score-window').scrollTop = was.scroll || 0;
