//! How careful one has to be: what each dimension does to the ends of the motion,
//! and how many builds with ordinary errors still move as asked.
//!
//! At an end of its motion a limb stands still, so to first order the end moves as
//! the limb does with the actuator held there: the slopes are those of the loop
//! equations at the two ends, taken by central differences. The builds are 10,000
//! with every dimension off by anything up to its error, from one seed: the same
//! every time. They use the slopes, so they are of first order too.

use std::borrow::Cow;
use std::sync::{Arc, LazyLock};

use super::asked::{Counted, angles, motion, usual_stroke_tolerance};
use super::drive::{Ends, Follows, Pose};
use super::{Fitted, FittedLimb, servo_care};
use crate::geometry::BoardPoint;
use crate::mechanism::solve::usual_tolerance;
use crate::mechanism::{Bent, Course, FourBar, Mechanism, Shaft, Travel, Way};
use crate::model::{Action, Clamp, Gesture, Limb, Mount};
use crate::units::{Deg, Mm};

/// Lengths and holes are off by up to this much (common practice, no source).
pub const LENGTH_ERROR: Mm = super::checks::BUILD_ERROR;
/// Clamped angles are off by up to this much (common practice, no source).
pub const ANGLE_ERROR: Deg = Deg(1.0);
/// How many builds are tried.
pub const BUILDS: u32 = 10_000;
/// So many of them at a time: what they need stays near at hand.
const BATCH: usize = 500;
const _: () = assert!((BUILDS as usize).is_multiple_of(BATCH));
/// Where their errors start from.
pub const SEED: u64 = 1;

/// One dimension a mechanism is built to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dimension {
    /// What it is, in a maker's words: "crank", "motor, across".
    pub name: &'static str,
    /// As drawn: mm, or degrees.
    pub drawn: f64,
    /// Whether it is an angle.
    pub angle: bool,
    /// How many limbs above the limb itself it belongs to, in a row of limbs that move
    /// each other.
    pub above: usize,
    /// Whether it is left out of the builds: that of a bought part, which nobody marks out,
    /// cuts or drills, or a place that is counted there by other words. It may explain what
    /// was measured, and is no one's to be careful with.
    pub spared: bool,
    /// Whether it may lie on either side of nought: an offset.
    pub signed: bool,
}

impl Dimension {
    /// A length.
    #[must_use]
    pub const fn length(name: &'static str, drawn: Mm) -> Self {
        Self { name, drawn: drawn.0, angle: false, above: 0, spared: false, signed: false }
    }

    /// A length that is counted to either side.
    #[must_use]
    pub const fn offset(name: &'static str, drawn: Mm) -> Self {
        Self { signed: true, ..Self::length(name, drawn) }
    }

    /// A length of a bought part.
    #[must_use]
    pub const fn bought(name: &'static str, drawn: Mm) -> Self {
        Self::length(name, drawn).spared()
    }

    /// An angle.
    #[must_use]
    pub const fn angle(name: &'static str, drawn: Deg) -> Self {
        Self { name, drawn: drawn.0, angle: true, above: 0, spared: false, signed: true }
    }

    /// The same, left out of the builds.
    #[must_use]
    pub const fn spared(self) -> Self {
        Self { spared: true, ..self }
    }

    /// The same, of the limb above.
    #[must_use]
    pub const fn of_the_limb_above(self) -> Self {
        Self { above: self.above + 1, ..self }
    }

    /// What it is, and of which limb: "rod", "rod of the limb above", "pivot of the
    /// limb above, up". There is one motor, with one crank.
    #[must_use]
    pub fn words(&self) -> Cow<'static, str> {
        if self.above == 0 || self.name == "crank" || self.name.starts_with(MOTOR_WORD) {
            return Cow::Borrowed(self.name);
        }
        let of = match self.above {
            1 => "of the limb above".to_owned(),
            n => format!("of the limb {n} above"),
        };
        Cow::Owned(match self.name.split_once(',') {
            Some((what, way)) => format!("{what} {of},{way}"),
            None => format!("{} {of}", self.name),
        })
    }

    /// Whether it is how a lever is clamped on its limb: what a maker can set by hand
    /// once the limb hangs.
    fn clamped(&self) -> bool {
        self.angle && matches!(self.name, "clamp" | "slot's angle")
    }

    /// Whether it is an angle that turns the whole motion and not its extent, and is set as
    /// the limb hangs: a clamp, or how a limb or an arm sits on its servo.
    pub(super) fn set_by_hand(&self) -> bool {
        self.angle && self.name != TILT
    }

    /// By how much it may be off.
    pub(super) const fn error(&self) -> f64 {
        if self.angle { ANGLE_ERROR.0 } else { LENGTH_ERROR.0 }
    }
}

/// The two dimensions of a motor's or a pivot's place.
pub(super) fn place(names: [&'static str; 2], at: BoardPoint) -> [Dimension; 2] {
    [Dimension::length(names[0], Mm(at.x)), Dimension::length(names[1], Mm(at.y))]
}

/// What the angle of a cross slot is called, from square to its guide, and that of a guide,
/// from the line it is drawn on.
pub(super) const TILT: &str = "tilt";
/// How its place begins.
const MOTOR_WORD: &str = "motor,";
/// What a motor's place is called.
pub(super) const MOTOR: [&str; 2] = ["motor, across", "motor, up"];
/// What a pivot's place is called.
pub(super) const PIVOT: [&str; 2] = ["pivot, across", "pivot, up"];
/// What the place of a guide is called: its first end.
pub(super) const GUIDE: [&str; 2] = ["guide, across", "guide, up"];

/// A mechanism on its way, made anew.
pub type Made = (Arc<dyn Mechanism>, Way);

/// Makes a mechanism of values.
type Make = dyn Fn(&[f64]) -> Option<Made> + Send + Sync;

/// A mechanism from its dimensions, to be made again with some of them off.
#[derive(Clone)]
pub struct Recipe {
    /// What it is built to.
    pub dimensions: Vec<Dimension>,
    make: Arc<Make>,
}

impl std::fmt::Debug for Recipe {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Recipe").field("dimensions", &self.dimensions).finish_non_exhaustive()
    }
}

impl Recipe {
    /// From dimensions, and what makes a mechanism of as many values.
    pub fn new(
        dimensions: Vec<Dimension>,
        make: impl Fn(&[f64]) -> Option<Made> + Send + Sync + 'static,
    ) -> Self {
        Self { dimensions, make: Arc::new(make) }
    }

    /// Of a four-bar on its shaft.
    #[must_use]
    pub fn of_bar(bar: &FourBar) -> Self {
        let (bars, assembly) = (bar.bars(), bar.assembly());
        let mut dimensions = vec![
            Dimension::length("crank", bars.crank),
            Dimension::length("rod", bars.rod),
            Dimension::length("lever", bars.lever),
            Dimension::angle("clamp", bar.clamp()),
        ];
        dimensions.extend(place(MOTOR, bar.motor()));
        dimensions.extend(place(PIVOT, bar.pivot()));
        Self::new(dimensions, move |v| {
            let &[crank, rod, lever, clamp, mx, my, px, py] = v else { return None };
            let ends = (BoardPoint::mm(mx, my), BoardPoint::mm(px, py));
            let bar = FourBar::new(ends, (Mm(crank), Mm(rod), Mm(lever)), Deg(clamp), assembly);
            let shaft = Shaft::turning(ends.0);
            Some((Arc::new(bar.ok()?), Way::Shaft(shaft)))
        })
    }

    /// The mechanism with these values; `None` where they make none.
    #[must_use]
    pub fn made(&self, values: &[f64]) -> Option<Made> {
        (self.make)(values)
    }

    /// The same with other values in the place of those drawn: the limb as built.
    #[must_use]
    pub fn with(mut self, values: &[f64]) -> Self {
        for (dimension, &value) in self.dimensions.iter_mut().zip(values) {
            dimension.drawn = value;
        }
        self
    }

    /// The same mechanism, its limb counted from what carries it.
    fn bending(&self) -> Self {
        let make = Arc::clone(&self.make);
        Self::new(self.dimensions.clone(), move |v| {
            let (mechanism, way) = make(v)?;
            Some((Arc::new(Bent(mechanism)), way))
        })
    }

    /// The values as drawn.
    #[must_use]
    pub fn drawn(&self) -> Vec<f64> {
        self.dimensions.iter().map(|d| d.drawn).collect()
    }
}

/// What one dimension does to the motion, per mm or per degree of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// The dimension.
    pub dimension: Dimension,
    /// To the lower end: degrees or mm.
    pub low: f64,
    /// To the upper end.
    pub high: f64,
}

impl Slope {
    /// To the whole motion.
    #[must_use]
    pub fn range(&self) -> f64 {
        self.high - self.low
    }
}

/// By how much lower end, upper end and range may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// From end to end.
    pub range: f64,
}

/// How careful one has to be with a limb.
#[derive(Clone, Debug, PartialEq)]
pub struct Care {
    /// Whether ends are counted in mm of a slide instead of degrees.
    pub slides: bool,
    /// What each dimension does.
    pub slopes: Vec<Slope>,
    /// All errors at their worst at once.
    pub worst: Spread,
    /// The root of the sum of their squares.
    pub rss: Spread,
    /// Whether the lever is clamped on the finished limb, so that only the range
    /// counts: the middle is set by hand.
    pub set_by_hand: bool,
    /// The share of builds that move as asked, 0 to 1; `None` where nothing is asked.
    pub share: Option<f64>,
    /// Whether nothing but pulses moves it, so that the share is of builds that move as
    /// drawn.
    pub as_drawn: bool,
    /// Which of [`Care::slopes`] does the most harm; `None` where none does any that can
    /// be seen.
    pub careful: Option<usize>,
}

/// How careful one has to be with a limb as drilled; `None` where its mechanism is
/// not rebuilt from single dimensions.
#[must_use]
pub fn care(limb: &Limb, fitted: &FittedLimb) -> Option<Care> {
    let (slopes, ends) = match fitted.mechanism.as_ref()? {
        Fitted::FourBar(bar) => {
            let shaft = Shaft::turning(bar.drilled.motor());
            let travel = Follows::of_bar(&bar.drilled, &shaft).travel?;
            of_recipe(&Recipe::of_bar(&bar.drilled), &travel)?
        }
        Fitted::Drive(drive) if bends(limb) => whole(&drive.recipe.as_ref()?.bending())?,
        Fitted::Drive(drive) => of_recipe(drive.recipe.as_ref()?, &drive.drilled.course.travel)?,
        Fitted::Servo(servo) if servo.linkage.is_some() => servo_care::slopes(limb, servo)?,
        // A horn goes as far as the gestures send it, not as far as it can.
        Fitted::Servo(servo) => whole(servo.cord.as_ref()?.recipe.as_ref()?)?,
        Fitted::Spin(_) => return None,
    };
    told(limb, slopes, &ends)
}

/// The share of builds that move as asked, of a limb that is made so; `None` as in
/// [`care`].
#[must_use]
pub fn share(limb: &Limb, recipe: &Recipe) -> Option<f64> {
    let (slopes, ends) = match bends(limb) {
        true => whole(&recipe.bending())?,
        false => whole(recipe)?,
    };
    told(limb, slopes, &ends)?.share
}

/// What of a recipe is taken to be off in the builds of a share, in a maker's words, lengths
/// and angles apart: "base circle", "motor", "pivot of the limb above". A clamp that is set on
/// the finished limb is not among them.
#[must_use]
pub fn taken(limb: &Limb, recipe: &Recipe) -> [Vec<String>; 2] {
    let counts = |d: &&Dimension| !(d.spared || plain(limb) && d.clamped());
    let mut both = [Vec::new(), Vec::new()];
    for dimension in recipe.dimensions.iter().filter(counts) {
        // A place is told once, not across and up.
        let words = dimension.words();
        let word = words.split(',').next().unwrap_or(&words).to_owned();
        let told = &mut both[usize::from(dimension.angle)];
        if !told.contains(&word) {
            told.push(word);
        }
    }
    both
}

/// Whether a lever is only clamped on the limb, so that it is set once the limb hangs.
fn plain(limb: &Limb) -> bool {
    limb.mount == Mount::Front && limb.build.clamp.unwrap_or(Clamp::Plain) == Clamp::Plain
}

/// Whether the motion that a limb is held to counts from what carries it.
fn bends(limb: &Limb) -> bool {
    let first = limb.gestures.iter().find_map(|g| motion(g, Counted::Degrees));
    first.is_some_and(|m| m.gesture.relative)
}

/// What each dimension does over the whole way of a mechanism.
fn whole(recipe: &Recipe) -> Option<(Vec<Slope>, Ends)> {
    let (mechanism, way) = recipe.made(&recipe.drawn())?;
    of_recipe(recipe, &Course::of(&*mechanism, &way).ok()?.travel)
}

/// The same of a limb whose way, made so, is known.
pub(super) fn share_over(limb: &Limb, recipe: &Recipe, travel: &Travel) -> Option<f64> {
    if bends(limb) {
        return share(limb, recipe);
    }
    let (slopes, ends) = of_recipe(recipe, travel)?;
    told(limb, slopes, &ends)?.share
}

/// How careful one has to be where each dimension does so much to the ends.
fn told(limb: &Limb, slopes: Vec<Slope>, ends: &Ends) -> Option<Care> {
    let set_by_hand = plain(limb) && slopes.iter().any(|s| s.dimension.clamped());
    let slides = matches!(ends.low, Pose::Slid(_));
    let counted = if slides { Counted::Millimetres } else { Counted::Degrees };
    let asked = limb.gestures.iter().find_map(|g| motion(g, counted)).or_else(|| angles(limb));
    let counts = |s: &Slope| !(set_by_hand && s.dimension.clamped());
    let as_drawn = asked.is_none();
    let off = asked.map(|m| (m.from, m.to, m.within)).or_else(|| pulsed(limb, ends));
    let off = off.map(|(from, to, within)| {
        let turn = if slides { 0.0 } else { 360.0 };
        let told = |end: f64, asked: f64| {
            let off = end - asked;
            if turn > 0.0 { off - turn * libm::round(off / turn) } else { off }
        };
        let low = told(ends.low.value(), from);
        let range = ends.high.value() - ends.low.value() - (to - from);
        (low, low + range, within)
    });
    let counted: Vec<Slope> = slopes.iter().copied().filter(counts).collect();
    let share = off.map(|off| counted_share(&counted, off, set_by_hand));
    let errors = |of: fn(&Slope) -> f64| {
        counted.iter().map(move |s| (of(s) * s.dimension.error()).abs()).collect::<Vec<f64>>()
    };
    let worst = spread(|of| errors(of).iter().sum());
    let rss = spread(|of| errors(of).iter().map(|e| e * e).sum::<f64>().sqrt());
    let harm = |s: &Slope| {
        let ends = if set_by_hand { 0.0 } else { s.low.abs().max(s.high.abs()) };
        if counts(s) { s.range().abs().max(ends) * s.dimension.error() } else { 0.0 }
    };
    let careful = (0..slopes.len())
        .max_by(|&a, &b| harm(&slopes[a]).total_cmp(&harm(&slopes[b])).then(b.cmp(&a)))
        .filter(|&i| harm(&slopes[i]) >= LITTLE);
    Some(Care { slides, slopes, worst, rss, set_by_hand, share, as_drawn, careful })
}

/// What a limb that only pulses is held to: its strut goes from end to end, and its limb
/// as far as it is drawn to, within the usual tolerance.
fn pulsed(limb: &Limb, ends: &Ends) -> Option<(f64, f64, f64)> {
    let pulses = |g: &Gesture| matches!(g.action, Action::Pulse { .. });
    let only = !limb.gestures.is_empty() && limb.gestures.iter().all(pulses);
    let (low, high) = (ends.low.value(), ends.high.value());
    let within = match ends.low {
        Pose::Slid(_) => usual_stroke_tolerance(Mm(high - low)).0,
        Pose::Turned(_) => usual_tolerance(Deg(high - low)).0,
    };
    only.then_some((low, high, within))
}

fn of_recipe(recipe: &Recipe, travel: &Travel) -> Option<(Vec<Slope>, Ends)> {
    let ends = Ends::of(travel);
    Some((slopes(recipe, &ends)?, ends))
}

/// One measure of lower end, upper end and range.
fn spread(by: impl Fn(fn(&Slope) -> f64) -> f64) -> Spread {
    Spread { low: by(|s| s.low), high: by(|s| s.high), range: by(Slope::range) }
}

/// Steps of the central differences: mm, or degrees.
pub(super) const STEP: f64 = 1e-3;

fn slopes(recipe: &Recipe, ends: &Ends) -> Option<Vec<Slope>> {
    let mut values = recipe.drawn();
    let mut slopes = Vec::with_capacity(values.len());
    for (index, &dimension) in recipe.dimensions.iter().enumerate().filter(|d| !d.1.spared) {
        let mut end = |near: Pose, at: f64| {
            let drawn = values[index];
            let mut moved = |by: f64| {
                values[index] = drawn + by;
                let made = recipe.made(&values);
                values[index] = drawn;
                let (mechanism, way) = made?;
                let follows =
                    Follows { mechanism: &*mechanism, path: &way, pin: Deg(0.0), travel: None };
                follows.limb_at(at, near).map(Pose::value)
            };
            Some((moved(STEP)? - moved(-STEP)?) / (2.0 * STEP))
        };
        let (low, high) = (end(ends.low, ends.at_low)?, end(ends.high, ends.at_high)?);
        slopes.push(Slope { dimension, low, high });
    }
    Some(slopes)
}

/// The share of builds whose motion is inside the tolerance. `off`: by how much
/// lower and upper end miss as drilled, and the tolerance.
fn counted_share(slopes: &[Slope], (low, high, within): (f64, f64, f64), range_only: bool) -> f64 {
    let does: Vec<_> = (slopes.iter().enumerate())
        .map(|(i, s)| (s.low * s.dimension.error(), s.high * s.dimension.error(), errors(i)))
        .collect();
    // Every one of the three is looked at: without a branch several builds go at once.
    let good = |(l, h): (&f64, &f64)| {
        let ends = range_only | ((l.abs() <= within) & (h.abs() <= within));
        usize::from(ends & ((h - l).abs() <= within))
    };
    let mut inside = 0;
    for first in (0..BUILDS as usize).step_by(BATCH) {
        let (mut lows, mut highs) = ([low; BATCH], [high; BATCH]);
        for (l, h, errors) in &does {
            let batch = &errors[first..first + BATCH];
            for ((low, high), error) in lows.iter_mut().zip(&mut highs).zip(batch) {
                *low += l * error;
                *high += h * error;
            }
        }
        inside += lows.iter().zip(&highs).map(good).sum::<usize>();
    }
    inside as f64 / f64::from(BUILDS)
}

/// The errors of a dimension in all builds, between -1 and 1: the same every time,
/// whatever was asked before.
fn errors(dimension: usize) -> Cow<'static, [f64]> {
    match ERRORS.get(dimension) {
        Some(known) => Cow::Borrowed(known),
        None => Cow::Owned(drawn_errors(dimension)),
    }
}

fn drawn_errors(dimension: usize) -> Vec<f64> {
    let mut chance = Chance::after(dimension as u64 * u64::from(BUILDS));
    (0..BUILDS).map(|_| chance.even()).collect()
}

/// What an ordinary error does less than this, deg or mm, nobody sees.
const LITTLE: f64 = 0.05;

/// So many dimensions have their errors ready: more than any limb has that is not
/// moved by another.
const READY: usize = 16;

/// Those of the first dimensions, drawn once.
static ERRORS: LazyLock<Vec<Vec<f64>>> = LazyLock::new(|| (0..READY).map(drawn_errors).collect());

/// A plain generator of even numbers: `SplitMix64` (G. L. Steele, D. Lea, C. H. Flood,
/// Fast splittable pseudorandom number generators, OOPSLA 2014).
struct Chance(u64);

/// What its state grows by.
const GROWS: u64 = 0x9e37_79b9_7f4a_7c15;

impl Chance {
    /// When so many numbers have been drawn: its state only counts.
    const fn after(drawn: u64) -> Self {
        Self(SEED.wrapping_add(GROWS.wrapping_mul(drawn)))
    }

    /// Between -1 and 1.
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(GROWS);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 * (2.0 / (1u64 << 53) as f64) - 1.0
    }
}
