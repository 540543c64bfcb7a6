//! A size that explains a measurement at two lengths: the other of the two, and with what
//! standing still the limb shows which of them it is.

use super::as_built::{Found, Puzzle};
use crate::mechanism::{Kind, Mechanism, Path, Stand, Way};
use crate::units::{Deg, Mm, Rad};

/// The other length, or angle, at which one size explains what was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Also {
    /// As it may be built too: mm, or degrees.
    pub built: f64,
    /// Where the limb stands differently with the one and the other.
    pub apart: Option<Apart>,
}

/// What tells two builds with the same ends apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// What the limb is stopped at.
    pub at: At,
    /// Where it then stands, built as told first and built the other way: degrees, or mm
    /// along its guide.
    pub stands: [f64; 2],
}

/// Where a limb is stopped to be measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum At {
    /// With the crank that moves it pointing there.
    Crank(Deg),
    /// With its ram or cylinder so long, pin to pin.
    Long(Mm),
}

/// So far beside the first length, mm or deg, and further, the second is looked for.
const BESIDE: [f64; 7] = [1.5, 3.0, 6.0, 10.0, 16.0, 25.0, 40.0];
/// A size that is further from the drawing, mm or deg, than this and than the first is no
/// slip.
const FARTHEST: f64 = 25.0;
/// Two lengths nearer to each other, mm or deg, are one.
const ONE: f64 = 1.0;
/// Between the two it stays off by more readings, or all that lies between explains it too.
const BETWEEN: f64 = 1.5;
/// Cranks are stopped at every so many degrees, rams at as many places of their way.
const STOP: Deg = Deg(10.0);
const STOPS: usize = 20;
/// A limb that stands apart by fewer readings tells nothing.
const SEEN: f64 = 3.0;

impl Puzzle<'_> {
    /// The other length at which the one size of a finding explains what was measured: the
    /// one nearer to the drawing, where there are several.
    pub(super) fn also(&self, found: &Found) -> Option<Also> {
        let (&[index], true) = (&found.free[..], found.off <= 1.0) else { return None };
        let d = &self.recipe.dimensions[index];
        let first = found.values[index];
        let with = |value: f64| {
            let mut values = found.values.clone();
            values[index] = value;
            values
        };
        let far =
            if d.angle || d.name.contains(',') { BESIDE[6] } else { d.drawn.abs() * FARTHEST };
        let off = |value: f64| self.miss(&with(value)).map_or(f64::INFINITY, |m| m.norm());
        let mut best: Option<f64> = None;
        for sign in [1.0, -1.0] {
            let mut last = off(first);
            for by in BESIDE {
                let value = first + sign * by;
                let now = off(value);
                // Beyond a hill it comes nearer again.
                let down = now < last;
                last = now;
                let Some(second) = down.then(|| self.nearest(with(value), &[index])).flatten()
                else {
                    continue;
                };
                let built = second.values[index];
                let middle = off((first + built) / 2.0);
                let other = second.off <= 1.0
                    && self.sane(&second)
                    && (built - first).abs() > ONE
                    && (built - d.drawn).abs() <= far * (1.0 + 1e-6)
                    && middle > BETWEEN;
                if other && best.is_none_or(|b| (built - d.drawn).abs() < (b - d.drawn).abs()) {
                    best = Some(built);
                }
            }
        }
        let built = best?;
        Some(Also { built, apart: self.apart([&found.values, &with(built)]) })
    }

    /// Where the limb stands most differently with two builds.
    fn apart(&self, of: [&[f64]; 2]) -> Option<Apart> {
        let [one, two] = of.map(|values| self.recipe.made(values));
        let (one, two) = (one?, two?);
        // Between its ends a built cam is only taken to follow the drawing.
        if one.0.as_cam().is_some() {
            return None;
        }
        let long = matches!(one.1.source(), Way::Extending(_));
        if long && !matches!(one.0.kind(), Kind::Ram | Kind::Cylinder) {
            return None;
        }
        let span = one.1.span();
        let stops: Vec<f64> = match long {
            false => {
                let step = STOP.rad().0;
                let (from, to) = (libm::ceil(span.from / step), libm::floor(span.to / step));
                (0..36)
                    .map(|i| from + f64::from(i))
                    .take_while(|n| *n <= to)
                    .map(|n| n * step)
                    .collect()
            }
            true => {
                let way = span.to - span.from;
                (0..=STOPS)
                    .map(|i| libm::round(span.from + way * i as f64 / STOPS as f64))
                    .collect()
            }
        };
        let seen = stops.into_iter().filter_map(|at| {
            let [a, b] = [&one, &two].map(|(mechanism, way)| stand(&**mechanism, way, at));
            let (a, b) = (a?, b?);
            let far = match (a, b) {
                (Stand::Turned(_), _) => Rad(b.after(a)).deg().0,
                (Stand::Slid(_), _) => b.after(a),
            };
            Some((at, a, far))
        });
        let (at, first, far) =
            seen.max_by(|x, y| x.2.abs().total_cmp(&y.2.abs()).then(y.0.total_cmp(&x.0)))?;
        if far.is_nan() || far.abs() <= SEEN * self.seen.read() {
            return None;
        }
        let stands = match first {
            Stand::Turned(dir) => dir.angle().deg().0,
            Stand::Slid(way) => way.0,
        };
        let at = if long { At::Long(Mm(at)) } else { At::Crank(Rad(at).deg()) };
        Some(Apart { at, stands: [stands, stands + far] })
    }
}

/// Where the limb stands there; `None` where it does not come there.
fn stand(mechanism: &dyn Mechanism, way: &Way, at: f64) -> Option<Stand> {
    let solved = mechanism.position(&way.at(at).ok()?).ok()?;
    Some(mechanism.guide().stand(&solved.limb))
}
