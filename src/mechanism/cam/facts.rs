//! What a cam's maker wants to know of it: pressure, curvature, size.

use super::{Bend, Cam, Level, Limb, SlidingFoot, Stretch, SwingingFoot, Touch};
use crate::geometry::highest;
use crate::units::{Deg, Mm, Rad};

/// A value and the motor's turn, in [0, 360), at which it is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct At<Q> {
    /// The value.
    pub value: Q,
    /// The motor's turn.
    pub turn: Deg,
}

/// The curve crosses itself: what is cut is not what was drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Undercut {
    /// How much the least radius of curvature falls short: pitch curve less than
    /// the roller, or the cam under a flat face less than nought.
    pub by: Mm,
    /// The motor's turn at the worst.
    pub turn: Deg,
}

/// A cam's figures over its whole turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facts {
    /// Largest pressure angle.
    pub pressure: At<Deg>,
    /// Radius of the roller; 0 of a knife edge or a flat face.
    pub roller: Mm,
    /// Least radius of curvature where the pitch curve bulges; of a cam under a
    /// flat face, of the cam itself, negative where it is undercut.
    pub convex: Option<At<Mm>>,
    /// Least radius of curvature where the pitch curve is hollow.
    pub concave: Option<At<Mm>>,
    /// The crossing, if there is one.
    pub undercut: Option<Undercut>,
    /// Nearest point of the cut cam to the shaft.
    pub nearest: Mm,
    /// Farthest point of the cut cam from the shaft.
    pub farthest: Mm,
    /// The part of a flat face that is touched, as [`Touch::reach`].
    pub face: Option<(Mm, Mm)>,
}

impl Facts {
    /// Least radius of the cut where it bulges.
    #[must_use]
    pub fn cut_convex(&self) -> Option<Mm> {
        self.convex.map(|a| a.value - self.roller)
    }

    /// Least radius of the cut where it is hollow: no larger cutter fits.
    #[must_use]
    pub fn cut_concave(&self) -> Option<Mm> {
        self.concave.map(|a| a.value + self.roller)
    }

    /// Least bulging radius of the pitch curve by the roller's; infinite without
    /// a roller or a bulge.
    #[must_use]
    pub fn rollers(&self) -> f64 {
        match self.convex {
            Some(a) if self.roller.0 > 0.0 => a.value / self.roller,
            _ => f64::INFINITY,
        }
    }
}

/// The turn, sampled.
pub(super) struct Samples<'a> {
    cam: &'a Cam,
    /// Stretch, angles of its samples, what touches there.
    rows: Vec<(Stretch, Vec<(f64, Touch)>)>,
}

/// A figure's sampling step, rad.
const FINE: f64 = std::f64::consts::PI / 180.0;
/// Extremes are refined to this, rad.
const EPS: f64 = 1e-10;

impl<'a> Samples<'a> {
    pub(super) fn of(cam: &'a Cam, step: f64, least: usize) -> Self {
        let rows = cam.plan.programme.stretches().into_iter().map(|s| {
            let wide = s.to - s.from;
            let n = if s.dwell { 1 } else { (wide / step).ceil().max(least as f64) as usize };
            let at = |i: usize| s.from + wide * (i as f64 / n as f64);
            let row = (0..=n).map(|i| (at(i), cam.touch_on(&s, at(i)))).collect();
            (s, row)
        });
        Self { cam, rows: rows.collect() }
    }

    /// The largest sampled value of a quantity.
    pub(super) fn rough(&self, of: &dyn Fn(&Touch) -> f64) -> f64 {
        let all = self.rows.iter().flat_map(|(_, row)| row.iter().map(|(_, t)| of(t)));
        all.fold(f64::NEG_INFINITY, f64::max)
    }

    /// The largest value and its angle: of each stretch the best sample, refined
    /// where it could still be the best of all.
    fn most(&self, of: impl Fn(&Touch) -> f64) -> (f64, f64) {
        let mut best = (f64::NEG_INFINITY, 0.0);
        for (s, row) in &self.rows {
            let (mut top, mut sampled) = (0, of(&row[0].1));
            for (i, (_, touch)) in row.iter().enumerate().skip(1) {
                let here = of(touch);
                if here > sampled {
                    (top, sampled) = (i, here);
                }
            }
            let (lo, hi) = (row[top.saturating_sub(1)].0, row[(top + 1).min(row.len() - 1)].0);
            let (at, value) = if s.dwell {
                (row[top].0, sampled)
            } else {
                highest(lo, hi, EPS, |a| of(&self.cam.touch_on(s, a)))
            };
            let (at, value) = if sampled >= value { (row[top].0, sampled) } else { (at, value) };
            if value > best.0 {
                best = (value, at);
            }
        }
        best
    }
}

impl Samples<'_> {
    /// Tells the levels over the turn, both sides of every jump; a tenth of a degree apart.
    pub(super) fn levels(cam: &Cam, mut tell: impl FnMut(f64, Level)) {
        for s in cam.plan.programme.stretches() {
            let wide = s.to - s.from;
            let n = if s.dwell { 1 } else { (wide / (0.1 * FINE)).ceil().max(16.0) as usize };
            for i in 0..=n {
                let angle = s.from + wide * (i as f64 / n as f64);
                tell(angle, cam.plan.programme.on(&s, angle));
            }
        }
    }
}

impl Cam {
    /// Cam and follower at an angle of the programme, taken from inside a stretch.
    #[must_use]
    pub fn touch_on(&self, stretch: &Stretch, angle: f64) -> Touch {
        self.shape.touch(self.way(self.plan.programme.on(stretch, angle)))
    }

    /// Radius of its roller, 0 without one.
    #[must_use]
    pub const fn roller(&self) -> Mm {
        match self.plan.limb {
            Limb::Slides(s) => match s.foot {
                SlidingFoot::Roller { radius, .. } => radius,
                SlidingFoot::Flat => Mm(0.0),
            },
            Limb::Swings(s) => match s.foot {
                SwingingFoot::Roller { radius, .. } => radius,
                SwingingFoot::Flat { .. } => Mm(0.0),
            },
        }
    }

    /// Whether a flat face runs on it.
    #[must_use]
    pub const fn flat(&self) -> bool {
        match self.plan.limb {
            Limb::Slides(s) => matches!(s.foot, SlidingFoot::Flat),
            Limb::Swings(s) => matches!(s.foot, SwingingFoot::Flat { .. }),
        }
    }

    /// The turn in [0, 360) at an angle of the programme.
    fn turned(&self, angle: f64) -> Deg {
        Rad(self.plan.turn(angle)).deg().positive()
    }

    /// Largest pressure angle.
    #[must_use]
    pub fn pressure(&self) -> At<Deg> {
        self.steepest(&Samples::of(self, FINE, 16))
    }

    fn steepest(&self, all: &Samples<'_>) -> At<Deg> {
        let (side, steep) = all.most(|t| libm::atan2(t.side, t.push));
        At { value: Rad(side).deg(), turn: self.turned(steep) }
    }

    /// Its figures over the whole turn.
    #[must_use]
    pub fn facts(&self) -> Facts {
        let all = Samples::of(self, FINE, 16);
        self.facts_of(&all, self.steepest(&all))
    }

    /// The same where its largest pressure angle is no more than that; `None` where it is.
    pub(super) fn facts_below(&self, most: Deg) -> Option<Facts> {
        let all = Samples::of(self, FINE, 16);
        let pressure = self.steepest(&all);
        (pressure.value <= most).then(|| self.facts_of(&all, pressure))
    }

    fn facts_of(&self, all: &Samples<'_>, pressure: At<Deg>) -> Facts {
        let turn = |angle: f64| self.turned(angle);
        let away = |t: &Touch| libm::hypot(t.contact[0], t.contact[1]);
        let (near, far) = (-all.most(|t| -away(t)).0, all.most(away).0);
        let roller = self.roller();
        let (convex, concave, face) = if self.flat() {
            let (least, at) = all.most(|t| -curve(t));
            let (lo, hi) = (-all.most(|t| -t.reach).0, all.most(|t| t.reach).0);
            (Some(At { value: Mm(-least), turn: turn(at) }), None, Some((Mm(lo), Mm(hi))))
        } else {
            let radius = |(bend, at): (f64, f64)| {
                (bend > 1e-12).then(|| At { value: Mm(1.0 / bend), turn: turn(at) })
            };
            (radius(all.most(curve)), radius(all.most(|t| -curve(t))), None)
        };
        let short = convex.map(|c| At { value: roller - c.value, turn: c.turn });
        // A knife edge needs a smooth pitch curve only, which it has.
        let bad = |s: &At<Mm>| s.value.0 >= 0.0 && (self.flat() || roller.0 > 0.0);
        Facts {
            pressure,
            roller,
            convex,
            concave,
            undercut: short.filter(bad).map(|s| Undercut { by: s.value, turn: s.turn }),
            nearest: Mm(near),
            farthest: Mm(far),
            face,
        }
    }
}

/// Pitch curvature, or the radius under a flat face.
pub(super) const fn curve(t: &Touch) -> f64 {
    match t.bend {
        Bend::Pitch(v) | Bend::Cut(v) => v,
    }
}
