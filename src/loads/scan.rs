//! A curve over one cycle: its peak, its low and its root mean square.
//!
//! The mean square comes from Simpson's rule on intervals that are halved until a rule
//! twice as fine changes nothing that matters; the sum of these changes, a fifteenth of
//! each (J. Stoer, R. Bulirsch, Introduction to Numerical Analysis, section 3.2), is the
//! error that is reported. Hills near the highest are climbed.

use crate::geometry::highest;

/// A curve's two readings at one place.
pub type Pair = [f64; 2];

/// What a scan finds.
#[derive(Clone, Debug, PartialEq)]
pub struct Scan {
    /// Largest value of each reading, with its place.
    pub peak: [(f64, f64); 2],
    /// Smallest value of the first reading.
    pub least: f64,
    /// Root mean square of the first reading.
    pub rms: f64,
    /// Estimated error of that, as a share of it.
    pub rms_error: f64,
    /// How often the curve was evaluated.
    pub evaluations: usize,
    /// Its readings at even places from 0 up to the turn and from there on to 1, the ends
    /// of both stretches with them.
    pub even: [Vec<(f64, Pair)>; 2],
}

/// Even intervals to start from.
const EVEN: usize = 24;
/// Wanted error of the mean square, as a share of it.
const WANTED: f64 = 1e-4;
/// An interval is halved so often at most: a jump of a cam law is shut in to a
/// 130 000th of a cycle.
const DEEPEST: u32 = 12;
/// Hills that come within this share of the curve's range of the highest are climbed.
const NEAR: f64 = 0.05;

struct Scanner<'f, E> {
    f: &'f mut dyn FnMut(f64) -> Result<Pair, E>,
    points: Vec<(f64, Pair)>,
    /// The middles of the even intervals to start from.
    between: Vec<(f64, Pair)>,
    /// Sum of Simpson's integrals of the square, and of their changes.
    square: f64,
    change: f64,
    /// The mean square as far as it is known.
    scale: f64,
}

impl<E> Scanner<'_, E> {
    fn at(&mut self, x: f64) -> Result<f64, E> {
        let pair = (self.f)(x)?;
        self.points.push((x, pair));
        Ok(pair[0] * pair[0])
    }

    /// Adds the integral over `[a, b]`, of which both ends and the middle are known.
    fn add(&mut self, (a, b): (f64, f64), [fa, fm, fb]: [f64; 3], depth: u32) -> Result<(), E> {
        let m = (a + b) / 2.0;
        let (left, right) = (self.at((a + m) / 2.0)?, self.at((m + b) / 2.0)?);
        if depth == 0 {
            self.between.extend_from_slice(&self.points[self.points.len() - 2..]);
        }
        let width = b - a;
        let once = width / 6.0 * (fa + 4.0 * fm + fb);
        let twice = width / 12.0 * (fa + 4.0 * left + 2.0 * fm + 4.0 * right + fb);
        let change = (twice - once).abs() / 15.0;
        if depth < DEEPEST && change > WANTED * self.scale * width {
            self.add((a, m), [fa, left, fm], depth + 1)?;
            return self.add((m, b), [fm, right, fb], depth + 1);
        }
        self.square += twice;
        self.change += change;
        Ok(())
    }
}

/// Looks at every place of a curve at which a [`scan`] does before it climbs.
///
/// # Errors
/// The curve's own.
pub fn look<E>(f: &mut dyn FnMut(f64) -> Result<Pair, E>, turn: f64) -> Result<(), E> {
    looked(f, turn).map(|_| ())
}

fn looked<'f, E>(
    f: &'f mut dyn FnMut(f64) -> Result<Pair, E>,
    turn: f64,
) -> Result<Scanner<'f, E>, E> {
    // The value before a jump and the one behind it.
    let halves = [(0.0, turn * (1.0 - 1e-12)), (turn, 1.0 - 1e-12)];
    let mut s = Scanner {
        f,
        points: Vec::with_capacity(8 * EVEN),
        between: Vec::with_capacity(2 * EVEN),
        square: 0.0,
        change: 0.0,
        scale: 0.0,
    };
    let mut rows = Vec::new();
    for (from, to) in halves {
        let step = (to - from) / EVEN as f64;
        let row =
            (0..=EVEN).map(|i| s.at(from + step * i as f64)).collect::<Result<Vec<_>, _>>()?;
        s.scale += row.iter().sum::<f64>() / row.len() as f64 * (to - from);
        rows.push((from, step, row));
    }
    for (from, step, row) in rows {
        for i in (0..EVEN).step_by(2) {
            let ends = (from + step * i as f64, from + step * (i + 2) as f64);
            s.add(ends, [row[i], row[i + 1], row[i + 2]], 0)?;
        }
    }
    Ok(s)
}

/// Scans a curve from 0 to 1 that may jump at `turn`.
///
/// # Errors
/// The curve's own.
pub fn scan<E>(f: &mut dyn FnMut(f64) -> Result<Pair, E>, turn: f64) -> Result<Scan, E> {
    let s = looked(f, turn)?;
    let even = [0, 1].map(|half| {
        let row = &s.points[half * (EVEN + 1)..][..=EVEN];
        let between = &s.between[half * EVEN..][..EVEN];
        let mut even: Vec<_> = row.iter().zip(between).flat_map(|(a, b)| [*a, *b]).collect();
        even.extend(row.last());
        even
    });
    let Scanner { f, square, change, mut points, .. } = s;
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut peak = [0, 1].map(|k| top(&points, |p| p[k]));
    let least = -top(&points, |p| -p[0]).0;
    // Both readings mostly climb the same hills by the same steps.
    let mut climbed: Vec<(f64, Pair)> = Vec::new();
    let mut once = |x: f64| -> Result<Pair, E> {
        if let Some((_, pair)) = climbed.iter().find(|(at, _)| *at == x) {
            return Ok(*pair);
        }
        let pair = f(x)?;
        climbed.push((x, pair));
        Ok(pair)
    };
    for (k, peak) in peak.iter_mut().enumerate() {
        climb(&mut once, &points, k, peak);
    }
    let evaluations = points.len() + climbed.len();
    let rms = square.max(0.0).sqrt();
    let rms_error = if square > 0.0 { change / square / 2.0 } else { 0.0 };
    Ok(Scan { peak, least, rms, rms_error, evaluations, even })
}

/// The highest place of a curve of which some points are known in order: its value and
/// where it is, hills near the highest climbed.
pub fn crest<E>(f: &mut dyn FnMut(f64) -> Result<Pair, E>, points: &[(f64, Pair)]) -> (f64, f64) {
    let mut peak = top(points, |p| p[0]);
    climb(f, points, 0, &mut peak);
    peak
}

fn top(points: &[(f64, Pair)], of: impl Fn(&Pair) -> f64) -> (f64, f64) {
    let first = (f64::NEG_INFINITY, 0.0);
    points.iter().fold(first, |best, (x, p)| if of(p) > best.0 { (of(p), *x) } else { best })
}

/// Two places nearer than this are one, before and behind a jump.
const JUMP: f64 = 1e-9;
/// A hill at an end is looked for where the curve rises inwards this share of the way to the
/// next place.
const INWARDS: f64 = 1e-3;

/// Climbs every hill that comes near the highest; beside an end or a jump too, where the
/// curve rises away from it.
fn climb<E>(
    f: &mut dyn FnMut(f64) -> Result<Pair, E>,
    points: &[(f64, Pair)],
    k: usize,
    peak: &mut (f64, f64),
) {
    let lowest = -top(points, |p| -p[k]).0;
    let near = peak.0 - NEAR * (peak.0 - lowest);
    for (i, &(at, pair)) in points.iter().enumerate() {
        let y = pair[k];
        let beside = |p: Option<&(f64, Pair)>| {
            p.filter(|p| (p.0 - at).abs() > JUMP).map_or((at, None), |p| (p.0, Some(p.1[k])))
        };
        let (from, before) = beside(i.checked_sub(1).map(|i| &points[i]));
        let (to, after) = beside(points.get(i + 1));
        let ends = [before.unwrap_or(y), after.unwrap_or(y)];
        if y < near || before.is_some_and(|b| y < b) || after.is_some_and(|a| y < a) {
            continue;
        }
        // A level stretch is no hill, whatever its last bits say.
        let level = y - ends[0].min(ends[1]) <= 1e-9 * (y.abs() + peak.0 - lowest);
        if level || from == to {
            continue;
        }
        let mut value = |x: f64| match x {
            x if x == at => y,
            x if x == from => ends[0],
            x if x == to => ends[1],
            x => f(x).map_or(f64::NEG_INFINITY, |p| p[k]),
        };
        let inwards =
            if from == at { at + (to - at) * INWARDS } else { at - (at - from) * INWARDS };
        if (from == at || to == at) && value(inwards) <= y {
            continue;
        }
        let (x, y) = highest(from, to, 1e-6, value);
        if y > peak.0 {
            *peak = (y, x);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::convert::Infallible;

    use super::*;

    #[test]
    fn a_spike_and_a_jump_are_found() {
        // A bell a hundredth of a cycle wide on a jump from -0.2 to 0.3.
        let mut f = |x: f64| {
            let base = if x < 0.5 { -0.2 } else { 0.3 };
            let off = (x - 0.317) / 0.01;
            let y = base + 2.0 / (1.0 + off * off);
            Ok::<_, Infallible>([y, y])
        };
        let found = scan(&mut f, 0.5).unwrap();
        let n = 2_000_000;
        let (mut sum, mut most) = (0.0, f64::MIN);
        for i in 0..n {
            let y = f((f64::from(i) + 0.5) / f64::from(n)).unwrap()[0];
            sum += y * y;
            most = most.max(y);
        }
        let rms = (sum / f64::from(n)).sqrt();
        assert!((found.rms / rms - 1.0).abs() < 1e-3, "{} {rms}", found.rms);
        assert!((found.rms / rms - 1.0).abs() < 10.0 * found.rms_error + 1e-6);
        assert!((found.peak[0].0 / most - 1.0).abs() < 1e-6, "{found:?} {most}");
        for (half, even) in found.even.iter().enumerate() {
            assert_eq!(even.len(), 2 * EVEN + 1);
            for (i, (at, pair)) in even.iter().enumerate() {
                let share = i as f64 / (2 * EVEN) as f64;
                assert!((at - (half as f64 + share) / 2.0).abs() < 1e-9);
                assert_eq!(*pair, f(*at).unwrap());
            }
        }
    }
    /// Tops and kinks beside the ends of a cycle and beside the place where it turns are found
    /// like all others: each curve's own top stands in its formula.
    #[test]
    fn hills_beside_the_ends_are_climbed() {
        use std::f64::consts::TAU;
        for top in [0.0, 0.003, 0.998, 0.5 - 2e-3, 0.5 + 1e-3] {
            let smooth = |x: f64| libm::cos(TAU * (x - top));
            let kink = |x: f64| -libm::sin(TAU / 2.0 * (x - top)).abs();
            let mut f = |x: f64| Ok::<_, Infallible>([smooth(x), kink(x)]);
            let found = scan(&mut f, 0.5).unwrap();
            assert!((found.peak[0].0 - 1.0).abs() < 1e-9, "{top}: {:?}", found.peak);
            assert!(found.peak[1].0.abs() < 1e-5, "{top}: {:?}", found.peak);
            // Of few places too.
            let points: Vec<_> =
                (0..=32).map(|i| f64::from(i) / 32.0).map(|x| (x, f(x).unwrap())).collect();
            assert!((crest(&mut f, &points).0 - 1.0).abs() < 1e-9, "{top}");
        }
    }
}
