//! Cues spelt out: who is asked to do what, from when to when.
//!
//! Names and places that lead nowhere are skipped without a word: they were
//! reported when the names were looked up (`resolve::check_cues`).

use crate::finding::Place;
use crate::model::{
    Action, Cue, CueLine, Lasts, Phrase, Placed, Show, Span, Spread, Told, When, Who, Yard,
};
use crate::resolve::cast::{Cast, LimbRef};
use crate::resolve::moment::{Clock, Moment};
use crate::units::{Beats, Mm, Sec, Share};

use super::seed::Seed;

/// What a limb is asked to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AskTold<'a> {
    /// This.
    Do(&'a Action),
    /// Come to rest.
    Rest,
}

/// One thing asked of one limb.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// The limb, by index in its figure.
    pub limb: usize,
    /// When, in the music.
    pub at: Moment,
    /// When, in seconds after the start signal.
    pub from: Sec,
    /// Until when, where the cue says; the action's own length otherwise.
    pub to: Option<Sec>,
    /// What.
    pub told: AskTold<'a>,
    /// The cue.
    pub cue: Place,
    /// Whether the gesture is written in the cue itself.
    pub inline: bool,
}

/// More asks than this are a slip of the pen (`every 1 us`), not a show.
pub const MOST_ASKS: usize = 2_000_000;
/// More repeats of one cue than this likewise.
const MOST_REPEATS: usize = 100_000;

/// All asks of a show by figure, each figure's in order of time.
#[derive(Debug, Default)]
pub struct Asks<'a> {
    /// Per figure of the yard.
    pub by_figure: Vec<Vec<Ask<'a>>>,
    /// Whether [`MOST_ASKS`] were reached and the rest left out.
    pub overflow: bool,
}

/// Spells out a show's cues, for all figures or, where `only` is given, for those
/// it marks.
#[must_use]
pub fn expand<'a>(
    cast: &Cast<'a>,
    clock: &Clock<'a>,
    show: &'a Show,
    only: Option<&[bool]>,
) -> Asks<'a> {
    let mut walk = Walk {
        cast,
        clock,
        only,
        total: 0,
        inside: Vec::new(),
        asks: Asks { by_figure: vec![Vec::new(); cast.yard.figures.len()], overflow: false },
    };
    for cue in show.cues.iter() {
        walk.cue(cue, None, &[]);
    }
    for asks in &mut walk.asks.by_figure {
        asks.sort_by(|a, b| a.from.0.total_cmp(&b.from.0));
    }
    walk.asks
}

/// What stands for a phrase's parameter.
type Binding<'a> = (&'a str, &'a str);

/// What a cue says: looked up once, told as often as it is repeated.
enum Line<'a> {
    /// Its names lead nowhere (reported).
    Nothing,
    /// A phrase, and what stands for its parameters.
    Play { index: usize, phrase: &'a Phrase, names: Vec<Binding<'a>> },
    /// These limbs are told something.
    Tell { tells: Vec<Tell<'a>>, inline: bool, lasts: &'a Lasts },
}

/// One limb that is told something, and how many of which span later.
struct Tell<'a> {
    limb: LimbRef,
    told: AskTold<'a>,
    delay: Option<(Span, f64)>,
}

struct Walk<'c, 'a> {
    cast: &'c Cast<'a>,
    clock: &'c Clock<'a>,
    /// The figures that are spelt out; all where `None`.
    only: Option<&'c [bool]>,
    /// Lines told so far.
    total: usize,
    /// The phrases being played; one that leads back to itself is refused.
    inside: Vec<usize>,
    asks: Asks<'a>,
}

impl<'a> Walk<'_, 'a> {
    fn cue(&mut self, cue: &'a Cue, start: Option<Moment>, names: &[Binding<'a>]) {
        let line = self.line(cue, names);
        if matches!(&line, Line::Nothing)
            || matches!(&line, Line::Tell { tells, .. } if tells.is_empty())
        {
            return;
        }
        for at in starts(self.clock, &cue.when.value, start) {
            for at in self.series(cue, at) {
                if self.total >= MOST_ASKS {
                    self.asks.overflow = true;
                    return;
                }
                self.total += 1;
                self.told(cue, &line, swung(self.clock, at, cue.swing));
            }
        }
    }

    /// The starts of a cue that is told more than once.
    fn series(&self, cue: &'a Cue, at: Moment) -> Vec<Moment> {
        let step = match &cue.every {
            Some(every) => Some(every.value),
            None => cue.repeat.and_then(|_| self.own_length(&cue.line)),
        };
        let Some(step) = step else { return vec![at] };
        let end = self.end_of_series(cue);
        let most = cue.repeat.map_or(MOST_REPEATS, |n| (n as usize).min(MOST_REPEATS));
        let mut found = Vec::new();
        while found.len() < most {
            let next = self.clock.plus(at, step, found.len() as f64);
            let Some(time) = next.and_then(|m| self.clock.song_time(m)) else { break };
            let past = end.is_some_and(|e| time.0 >= e.0 - 1e-9);
            if past && (cue.repeat.is_none() || end_is_said(&cue.line)) {
                break;
            }
            found.extend(next);
            if cue.repeat.is_none() && end.is_none() {
                break;
            }
        }
        found
    }

    /// Where an `every` without a number stops: at its `until`, else with the song.
    fn end_of_series(&self, cue: &Cue) -> Option<Sec> {
        if let CueLine::Tell { lasts: Lasts::Until(when), .. } = &cue.line {
            return self.clock.at(&when.value).ok().and_then(|m| self.clock.song_time(m));
        }
        self.clock.song.and_then(|s| s.duration)
    }

    /// The length of one telling, for `repeat` without `every`.
    fn own_length(&self, line: &'a CueLine) -> Option<Span> {
        match line {
            CueLine::Play { phrase, .. } => {
                self.cast.phrase(&phrase.value)?.1.lasts.as_ref().map(|l| l.value)
            }
            CueLine::Tell { lasts: Lasts::For(span), .. } => Some(span.value),
            CueLine::Tell { told, who, .. } => {
                let action = match told {
                    Told::Inline(action) => action,
                    Told::Gesture(name) => {
                        let Who::Name(who) = who else { return None };
                        let limb = *self.cast.limbs(&who.value).ok()?.first()?;
                        self.cast.gesture(limb, &name.value)?
                    }
                    Told::Rest => return None,
                };
                own_span(action)
            }
        }
    }

    /// What a cue says, however often it is told.
    fn line(&self, cue: &'a Cue, names: &[Binding<'a>]) -> Line<'a> {
        match &cue.line {
            CueLine::Play { phrase, arguments } => {
                let Some((index, phrase)) = self.cast.phrase(&phrase.value) else {
                    return Line::Nothing;
                };
                let refused = self.inside.contains(&index);
                if refused || phrase.parameters.len() != arguments.len() {
                    return Line::Nothing;
                }
                let names = phrase
                    .parameters
                    .iter()
                    .zip(arguments)
                    .map(|(p, a)| (p.value.as_str(), bound(names, &a.value)))
                    .collect();
                Line::Play { index, phrase, names }
            }
            CueLine::Tell { who, told, lasts, spread } => {
                let limbs = self.limbs(who, told, names);
                let delays = delays(self.cast, &limbs, spread, cue.seed);
                let inline = matches!(told, Told::Inline(_));
                let does = |&limb: &LimbRef| match told {
                    Told::Rest => Some(AskTold::Rest),
                    Told::Inline(action) => Some(AskTold::Do(action)),
                    Told::Gesture(name) => self.cast.gesture(limb, &name.value).map(AskTold::Do),
                };
                let wanted = |limb: &LimbRef| self.only.is_none_or(|only| only[limb.figure]);
                let limbs = limbs.iter().zip(delays).filter(|(limb, _)| wanted(limb));
                let tells = limbs.filter_map(|(limb, delay)| {
                    Some(Tell { limb: *limb, told: does(limb)?, delay })
                });
                Line::Tell { tells: tells.collect(), inline, lasts }
            }
        }
    }

    /// A cue told once.
    fn told(&mut self, cue: &'a Cue, line: &Line<'a>, at: Moment) {
        match line {
            Line::Nothing => {}
            Line::Play { index, phrase, names } => {
                self.inside.push(*index);
                for cue in &phrase.cues {
                    self.cue(cue, Some(at), names);
                }
                self.inside.pop();
            }
            Line::Tell { tells, inline, lasts } => {
                for tell in tells {
                    let at = match tell.delay {
                        Some((span, n)) => self.clock.plus(at, span, n),
                        None => Some(at),
                    };
                    if let Some(at) = at {
                        self.ask(cue, at, tell, *inline, lasts);
                    }
                }
            }
        }
    }

    /// Whom a cue tells: those of a group who know the gesture.
    fn limbs(&self, who: &'a Who, told: &Told, names: &[Binding<'a>]) -> Vec<LimbRef> {
        let mut limbs = match who {
            Who::All(_) => self.cast.everybody().collect(),
            Who::Name(name) => self.cast.limbs(bound(names, &name.value)).unwrap_or_default(),
        };
        if let Told::Gesture(gesture) = told {
            limbs.retain(|&l| self.cast.gesture(l, &gesture.value).is_some());
        }
        limbs
    }

    fn ask(&mut self, cue: &'a Cue, at: Moment, tell: &Tell<'a>, inline: bool, lasts: &Lasts) {
        let Some(from) = self.clock.time(at) else { return };
        let to = match lasts {
            Lasts::Once => None,
            Lasts::For(span) => {
                self.clock.plus(at, span.value, 1.0).and_then(|m| self.clock.time(m))
            }
            Lasts::Until(_) if cue.every.is_some() => None,
            Lasts::Until(when) => self.clock.at(&when.value).ok().and_then(|m| self.clock.time(m)),
        };
        self.total += 1;
        let ask =
            Ask { limb: tell.limb.limb, at, from, to, told: tell.told, cue: cue.place, inline };
        self.asks.by_figure[tell.limb.figure].push(ask);
    }
}

/// Whether the cue's own `until` bounds its repeats.
fn end_is_said(line: &CueLine) -> bool {
    matches!(line, CueLine::Tell { lasts: Lasts::Until(_), .. })
}

/// What a name stands for inside a phrase.
fn bound<'a>(names: &[Binding<'a>], name: &'a str) -> &'a str {
    names.iter().find(|(p, _)| *p == name).map_or(name, |(_, a)| a)
}

/// All positions a `WHEN` names.
fn starts(clock: &Clock<'_>, when: &When, start: Option<Moment>) -> Vec<Moment> {
    if let When::Onsets { band, until } = when {
        return match start {
            None => clock.onsets(*band, until.as_deref()).unwrap_or_default(),
            Some(_) => Vec::new(),
        };
    }
    let at = match start {
        None => clock.at(when),
        Some(start) => clock.inside(when, start),
    };
    at.ok().into_iter().collect()
}

/// The time one telling of an action takes by itself.
#[must_use]
pub fn own_span(action: &Action) -> Option<Span> {
    match action {
        Action::Sweep { cycle, .. } | Action::Stroke { cycle, .. } => {
            cycle.as_ref().map(|c| c.value)
        }
        Action::Turn { over, .. } => over.as_ref().map(|o| o.value),
        Action::Spin { per, .. } => Some(per.value),
        Action::Pulse { up } => Some(up.value),
        Action::Pose(_) | Action::Follow { .. } | Action::On | Action::Off => None,
    }
}

/// A position moved by swing: the second half of every beat begins at `swing` of
/// the beat instead of at a half, and both halves are stretched evenly.
#[must_use]
pub fn swung(clock: &Clock<'_>, at: Moment, swing: Option<Share>) -> Moment {
    let (Moment::Beat(b), Some(swing)) = (at, swing) else { return at };
    if clock.song.is_none_or(|s| s.meter.eighths_per_beat() != 2) {
        return at;
    }
    let (whole, part) = (b.0.div_euclid(Beats::PARTS), b.0.rem_euclid(Beats::PARTS));
    let x = Beats(part).count();
    let moved =
        if x < 0.5 { 2.0 * x * swing.0 } else { swing.0 + (2.0 * x - 1.0) * (1.0 - swing.0) };
    Beats::nearest(moved).map_or(at, |m| Moment::Beat(Beats::whole(whole) + m))
}

/// For every limb, how many of which span later it begins.
fn delays(
    cast: &Cast<'_>,
    limbs: &[LimbRef],
    spread: &Spread,
    seed: Option<u32>,
) -> Vec<Option<(Span, f64)>> {
    match spread {
        Spread::Together => vec![None; limbs.len()],
        Spread::Stagger(step) => {
            let mut order: Vec<usize> = (0..limbs.len()).collect();
            if let Some(seed) = seed {
                Seed::new(seed).shuffle(&mut order);
            }
            order.into_iter().map(|n| Some((*step, n as f64))).collect()
        }
        Spread::Pass { from, to, over } => {
            let along = bearing_between(*from, *to);
            let places: Vec<f64> =
                limbs.iter().map(|l| projected(&cast.yard.figures[l.figure], along)).collect();
            shares(&places).map(|s| Some((*over, s))).collect()
        }
        Spread::Outward { from, over } => {
            let Some(centre) = cast.figure(&from.value) else {
                return vec![None; limbs.len()];
            };
            let at = cast.yard.figures[centre].at;
            let places: Vec<f64> = limbs
                .iter()
                .map(|l| {
                    let p = cast.yard.figures[l.figure].at;
                    let (x, y) = (p.x - at.x, p.y - at.y);
                    libm::sqrt(x * x + y * y)
                })
                .collect();
            let farthest = places.iter().copied().fold(0.0, f64::max);
            let share = |p: f64| if farthest > 0.0 { p / farthest } else { 0.0 };
            places.into_iter().map(|p| Some((*over, share(p)))).collect()
        }
    }
}

/// The direction from one side to the other as a vector east, north: straight
/// across for opposite sides, slanting for neighbours.
fn bearing_between(from: crate::model::Compass, to: crate::model::Compass) -> (f64, f64) {
    let unit = |c: crate::model::Compass| match c {
        crate::model::Compass::North => (0.0, 1.0),
        crate::model::Compass::East => (1.0, 0.0),
        crate::model::Compass::South => (0.0, -1.0),
        crate::model::Compass::West => (-1.0, 0.0),
    };
    let ((fx, fy), (tx, ty)) = (unit(from), unit(to));
    (tx - fx, ty - fy)
}

/// How far along a direction a figure stands.
fn projected(placed: &Placed, along: (f64, f64)) -> f64 {
    placed.at.x * along.0 + placed.at.y * along.1
}

/// Each place as a share of the way from the first to the last.
fn shares(places: &[f64]) -> impl Iterator<Item = f64> + '_ {
    let low = places.iter().copied().fold(f64::INFINITY, f64::min);
    let high = places.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    places.iter().map(move |p| if high > low { (p - low) / (high - low) } else { 0.0 })
}

/// How long after it leaves the player the sound reaches the viewers: the
/// player's delay and the way from the speaker to the nearest point of the
/// viewers' line.
///
/// Speed of sound 343.2 m/s, in air of 20 C: 331.3 sqrt(1 + t/273.15), from memory.
#[must_use]
pub fn sound_delay(yard: &Yard, show: &Show) -> Sec {
    let travel = show.sound.speaker.map_or(0.0, |at| {
        let (east, north) = yard.size;
        let gap = match yard.viewers {
            crate::model::Compass::North => north - Mm(at.y),
            crate::model::Compass::East => east - Mm(at.x),
            crate::model::Compass::South => Mm(at.y),
            crate::model::Compass::West => Mm(at.x),
        };
        gap.0.max(0.0) / 1000.0 / 343.2
    });
    show.sound.late.unwrap_or_default() + Sec(travel)
}
