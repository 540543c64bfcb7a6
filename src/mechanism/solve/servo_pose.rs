//! A servo's arm, rod and lever at the few poses that decide whether they will do.
//!
//! The servo's shaft is (0, 0), the pivot (ground, 0); angles are counter-clockwise from
//! the line of centres. Where the lever's pin is and how long arm and rod are, the arm's
//! pin is where two circles meet; `elbow` tells its two places apart. All but the angle
//! between two arms is + - x / and square roots.

use crate::mechanism::Assembly;

/// Arm, lever and the distance of shaft and pivot, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pair {
    pub arm: f64,
    pub lever: f64,
    pub ground: f64,
}

/// The limb's ends, and where it stands at the servo's own 0 where that is said: limb
/// angles less the direction of the line of centres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limb {
    pub low: f64,
    pub high: f64,
    /// Both ends and the middle between them, as unit vectors; a quarter of the way from
    /// the low end and from the high one where it is looked at there too, since rates are
    /// told over the whole swing; and at the servo's own 0.
    ends: [Unit; 3],
    quarters: Option<[Unit; 2]>,
    zero: Option<Unit>,
}

/// Cosine and sine.
type Unit = (f64, f64);

fn unit(angle: f64) -> Unit {
    let (sin, cos) = libm::sincos(angle);
    (cos, sin)
}

impl Limb {
    /// From its ends and where it stands at the servo's own 0; with the quarters or not.
    pub fn new((low, high): (f64, f64), zero: Option<f64>, quarters: bool) -> Self {
        let along = |share: f64| unit(low + share * (high - low));
        let ends = [unit(low), along(0.5), unit(high)];
        let quarters = quarters.then(|| [along(0.25), along(0.75)]);
        Self { low, high, ends, quarters, zero: zero.map(unit) }
    }

    /// Whether it is looked at a quarter of the way from either end too.
    pub const fn quarters(&self) -> bool {
        self.quarters.is_some()
    }
}

/// A lever's pin.
#[derive(Clone, Copy, Debug)]
struct Pin {
    x: f64,
    y: f64,
    /// From the servo's shaft, its square, and half of one over that.
    far: f64,
    square: f64,
    half_per: f64,
}

/// A lever's pins at the ends and the middle of the motion, and at the servo's zero.
#[derive(Clone, Copy, Debug)]
pub(super) struct Levers {
    pins: [Pin; 3],
    /// A quarter of the way from the low end and from the high one, where asked for.
    quarters: Option<[Pin; 2]>,
    zero: Option<Pin>,
    /// The rods that reach them all, mm.
    pub rods: (f64, f64),
}

/// What arm, rod and lever make of the motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Verdict {
    /// Cosine of the worst push angle between rod and lever.
    pub cos: f64,
    /// Sine of the least angle between arm and rod.
    pub lean: f64,
    /// How far the arm turns from the limb's low end to its high one, rad, positive
    /// counter-clockwise.
    pub turned: f64,
    /// How far it turns from the low end to where the servo's own 0 is.
    pub to_zero: Option<f64>,
    /// Which way it is put together.
    pub side: Assembly,
    /// How fast the limb turns by the arm, at least and at most, of the places that were
    /// looked at.
    pub rates: (f64, f64),
    /// How the motion changes with arm, rod and lever, the servo's angles kept; rad per
    /// mm.
    pub slopes: [f64; 3],
}

/// One pose.
#[derive(Clone, Copy)]
struct Pose {
    arm: (f64, f64),
    /// Twice rod times lever times the cosine of the push angle.
    push: f64,
    /// Rod times lever times the sine of it, positive where the assembly is open.
    side: f64,
    /// Arm times rod times the sine of the angle between them.
    lean: f64,
    pin: Pin,
}

impl Levers {
    /// With the lever at an angle from the limb's axis; `None` where no rod reaches all
    /// of the motion.
    pub fn at(pair: &Pair, limb: &Limb, clamp: f64) -> Option<Self> {
        let (cos, sin) = unit(clamp);
        let lever = (pair.lever * cos, pair.lever * sin);
        let pin = |(cos, sin): Unit| {
            let (x, y) =
                (pair.ground + lever.0 * cos - lever.1 * sin, lever.0 * sin + lever.1 * cos);
            let square = x * x + y * y;
            Pin { x, y, far: square.sqrt(), square, half_per: 0.5 / square }
        };
        let (pins, zero) = (limb.ends.map(pin), limb.zero.map(pin));
        let quarters = limb.quarters.map(|at| at.map(pin));
        let mut rods = (0.0_f64, f64::INFINITY);
        for p in pins.iter().chain(&zero) {
            rods.0 = rods.0.max((p.far - pair.arm).abs());
            rods.1 = rods.1.min(p.far + pair.arm);
        }
        (rods.0 < rods.1).then_some(Self { pins, quarters, zero, rods })
    }

    /// What a rod makes of it with the arm on one side; `None` where it does not stay in
    /// one assembly. `rates`: whether rates and slopes are wanted too.
    pub fn judge(&self, pair: &Pair, rod: f64, elbow: f64, rates: bool) -> Option<Verdict> {
        let low = pair.pose(self.pins[0], rod, elbow)?;
        let high = pair.pose(self.pins[2], rod, elbow)?;
        let scale = 0.5 / (rod * pair.lever);
        let mut cos = low.push.abs().max(high.push.abs()) * scale;
        if low.side * high.side <= 0.0 {
            return None;
        }
        let middle = pair.pose(self.pins[1], rod, elbow)?;
        if middle.side * low.side <= 0.0 {
            return None;
        }
        cos = cos.max(middle.push.abs() * scale);
        let (first, second) = (turn(low.arm, middle.arm), turn(middle.arm, high.arm));
        if first * second <= 0.0 {
            return None;
        }
        // On the line of centres the push angle is stationary.
        let turned = first + second;
        for (p, q) in [(&low, &middle), (&middle, &high)] {
            if let Some(across) = pair.arm_across(p.arm, q.arm) {
                cos = cos.max((pair.push(rod, across * across) * scale).abs());
            }
        }
        let to_zero = match self.zero {
            None => None,
            Some(pin) => {
                let zero = pair.pose(pin, rod, elbow)?;
                if zero.side * low.side <= 0.0 {
                    return None;
                }
                Some(first + turn(middle.arm, zero.arm))
            }
        };
        let ends = [&low, &middle, &high];
        let lean = ends.map(|p| p.lean.abs()).into_iter().fold(f64::MAX, f64::min);
        let lean = (lean / (pair.arm * rod)).min(self.lean_across(pair, rod));
        let (rates, slopes) = if rates {
            let (a, b) = (pair.moved(&low, rod), pair.moved(&high, rod));
            let mut rates = (f64::INFINITY, 0.0_f64);
            let mut see = |p: &Pose| {
                let rate = pair.rate(p).abs();
                rates = (rates.0.min(rate), rates.1.max(rate));
            };
            ends.into_iter().for_each(&mut see);
            for pin in self.quarters.iter().flatten() {
                see(&pair.pose(*pin, rod, elbow)?);
            }
            (rates, [b[0] - a[0], b[1] - a[1], b[2] - a[2]])
        } else {
            ((0.0, 0.0), [0.0; 3])
        };
        Some(Verdict {
            cos,
            lean,
            turned,
            to_zero,
            side: if low.side > 0.0 { Assembly::Open } else { Assembly::Crossed },
            rates,
            slopes,
        })
    }
}

impl Levers {
    /// Whether a rod stays on one side at both ends and may push better there than a cosine
    /// of that side, with the arm on the left and on the right: that settles most of them.
    /// `below`: for the arm on the left, crossed and open; then on the right.
    pub fn promising(&self, pair: &Pair, rod: f64, below: [[f64; 2]; 2]) -> [bool; 2] {
        let mut sides = [0.0_f64; 2];
        let mut most = [0.0_f64; 2];
        let (arm, ground) = (pair.arm, pair.ground);
        let bars = rod * rod + pair.lever * pair.lever - ground * ground - arm * arm;
        for pin in [&self.pins[0], &self.pins[2]] {
            let far = pin.far;
            let room =
                (arm + rod - far) * (arm + rod + far) * (far - arm + rod) * (far + arm - rod);
            if room < 0.0 {
                return [false; 2];
            }
            let along = (arm * arm + pin.square - rod * rod) * pin.half_per;
            let left = room.sqrt() * pin.half_per;
            for (k, left) in [left, -left].into_iter().enumerate() {
                let (x, y) = (along * pin.x - left * pin.y, along * pin.y + left * pin.x);
                let side = (ground - x) * (pin.y - y) + y * (pin.x - x);
                most[k] = if sides[k] * side < 0.0 { f64::INFINITY } else { most[k] };
                sides[k] = side;
                most[k] = most[k].max((bars + 2.0 * ground * x).abs());
            }
        }
        // A hair more, so that rounding leaves none out.
        let scale = (1.0 - 1e-9) * 0.5 / (rod * pair.lever);
        [0, 1].map(|k| most[k] * scale <= below[k][usize::from(sides[k] > 0.0)])
    }

    /// The rods that keep the angle between arm and rod at or above one whose sine and
    /// cosine are these, at both ends and in the middle: in a triangle with the sides arm
    /// and rod the third one is the way to the lever's pin. Empty where none does.
    pub fn leaning(&self, pair: &Pair, (sin, cos): (f64, f64)) -> (f64, f64) {
        let (short, long) = (pair.arm * sin, pair.arm * cos);
        self.pins.iter().fold(self.rods, |(lo, hi), p| {
            let root = (p.square - short * short).sqrt();
            // No number where even the shortest way is too far from square.
            let some = (root - long).abs() <= root + long;
            if some { (lo.max((root - long).abs()), hi.min(root + long)) } else { (hi, lo) }
        })
    }
}

/// A value, and how it changes with the rod, per mm.
pub(super) type Line = (f64, f64);

/// What decides whether a rod will do, apart: of each it is the largest that counts. All of
/// it changes smoothly with clamp and rod.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pieces {
    /// Cosines of the push angle: at the ends, in the middle, and where the arm crosses the
    /// line of centres; nought where it does not.
    pub push: [Line; 5],
    /// Cosines of the angle between arm and rod, there where it may be least.
    pub lean: [Line; 5],
    /// See [`Verdict::turned`].
    pub turned: Line,
    /// See [`Verdict::to_zero`].
    pub to_zero: Option<Line>,
    side: Assembly,
}

impl Pieces {
    /// What comes of them together, rates and slopes left out.
    pub fn verdict(&self) -> Verdict {
        let most = |all: &[Line; 5]| all.iter().map(|l| l.0.abs()).fold(0.0, f64::max);
        let lean = most(&self.lean);
        Verdict {
            cos: most(&self.push),
            lean: (1.0 - lean * lean).max(0.0).sqrt(),
            turned: self.turned.0,
            to_zero: self.to_zero.map(|z| z.0),
            side: self.side,
            rates: (0.0, 0.0),
            slopes: [0.0; 3],
        }
    }
}

impl Levers {
    /// The pieces of [`Levers::judge`]; `None` where that gives none.
    ///
    /// Where the arm's pin stands follows from the triangle of arm, rod and the way from
    /// the shaft to the lever's pin: of the angle A at the shaft, cos A = (arm^2 + way^2 -
    /// rod^2) / (2 arm way), so that it grows by rod / (arm way sin A) for each mm of rod.
    pub fn pieces(&self, pair: &Pair, rod: f64, elbow: f64) -> Option<Pieces> {
        let [low, middle, high] = self.pins.map(|pin| pair.pose(pin, rod, elbow));
        let (low, middle, high) = (low?, middle?, high?);
        let sides = low.side * high.side > 0.0 && low.side * middle.side > 0.0;
        let (first, second) = (turn(low.arm, middle.arm), turn(middle.arm, high.arm));
        if !sides || first * second <= 0.0 {
            return None;
        }
        let rate = |p: &Pose| rod / (p.pin.x * p.arm.1 - p.pin.y * p.arm.0);
        let (at_low, at_high) = (rate(&low), rate(&high));
        let to_zero = match self.zero {
            None => None,
            Some(pin) => {
                let zero = pair.pose(pin, rod, elbow).filter(|z| z.side * low.side > 0.0)?;
                Some((first + turn(middle.arm, zero.arm), rate(&zero) - at_low))
            }
        };
        let per_lever = 1.0 / pair.lever;
        let pushed = |twice: f64, square_by: f64| {
            let cos = 0.5 * twice * per_lever / rod;
            (cos, per_lever - (0.5 * square_by * per_lever + cos) / rod)
        };
        let moves = |p: &Pose, rate: f64| pushed(p.push, 2.0 * pair.ground * p.arm.1 * rate);
        let mut push = [(0.0, 0.0); 5];
        push[0] = moves(&low, at_low);
        push[1] = moves(&middle, rate(&middle));
        push[2] = moves(&high, at_high);
        let bars = pair.arm * pair.arm + rod * rod;
        let folded = |square: f64| {
            let cos = (bars - square) / (2.0 * pair.arm * rod);
            (cos, 1.0 / pair.arm - cos / rod)
        };
        let mut lean = [(0.0, 0.0); 5];
        for (lean, pin) in lean.iter_mut().zip(self.pins) {
            *lean = folded(pin.square);
        }
        for (n, (p, q)) in [(&low, &middle), (&middle, &high)].into_iter().enumerate() {
            if let Some(across) = pair.arm_across(p.arm, q.arm) {
                push[3 + n] = pushed(pair.push(rod, across * across), 0.0);
            }
            if let Some(across) = pair.lever_across(&p.pin, &q.pin) {
                lean[3 + n] = folded(across * across);
            }
        }
        let turned = (first + second, at_high - at_low);
        let side = if low.side > 0.0 { Assembly::Open } else { Assembly::Crossed };
        Some(Pieces { push, lean, turned, to_zero, side })
    }
}

impl Levers {
    /// Sine of the angle between arm and rod where the lever's pin crosses the line of
    /// centres on its way, where that angle is stationary; one where it does not.
    fn lean_across(&self, pair: &Pair, rod: f64) -> f64 {
        let mut least = 1.0_f64;
        for two in self.pins.windows(2) {
            if let Some(far) = pair.lever_across(&two[0], &two[1]) {
                let cos = (pair.arm * pair.arm + rod * rod - far * far) / (2.0 * pair.arm * rod);
                least = least.min((1.0 - cos * cos).max(0.0).sqrt());
            }
        }
        least
    }
}

/// From one arm to another, rad.
fn turn(from: (f64, f64), to: (f64, f64)) -> f64 {
    libm::atan2(from.0 * to.1 - from.1 * to.0, from.0 * to.0 + from.1 * to.1)
}

impl Pair {
    /// How far the arm's pin is from the pivot where it crosses the line of centres between
    /// two arms: the arc crosses it on the side on which its chord does.
    fn arm_across(&self, p: (f64, f64), q: (f64, f64)) -> Option<f64> {
        let crosses = p.1 * q.1 < 0.0;
        let inward = || (p.0 * q.1 - p.1 * q.0) * (q.1 - p.1) > 0.0;
        crosses.then(|| self.ground + if inward() { -self.arm } else { self.arm })
    }

    /// How far the lever's pin is from the shaft where it crosses the line of centres
    /// between two places.
    fn lever_across(&self, p: &Pin, q: &Pin) -> Option<f64> {
        let crosses = p.y * q.y < 0.0;
        let (a, b) = (p.x - self.ground, q.x - self.ground);
        let inward = || (a * q.y - b * p.y) * (q.y - p.y) < 0.0;
        crosses.then(|| self.ground + if inward() { -self.lever } else { self.lever })
    }

    /// Twice rod times lever times the cosine of the push angle, from the square of the
    /// distance of arm pin and pivot.
    fn push(&self, rod: f64, square: f64) -> f64 {
        rod * rod + self.lever * self.lever - square
    }

    fn pose(&self, pin: Pin, rod: f64, elbow: f64) -> Option<Pose> {
        let (a, far) = (self.arm, pin.far);
        let room = (a + rod - far) * (a + rod + far) * (far - a + rod) * (far + a - rod);
        if room < 0.0 {
            return None;
        }
        // The arm's pin along the line to the lever's pin, and to its left.
        let along = (a * a + pin.square - rod * rod) * pin.half_per;
        let left = elbow * room.sqrt() * pin.half_per;
        let arm = (along * pin.x - left * pin.y, along * pin.y + left * pin.x);
        let (dx, dy) = (self.ground - arm.0, -arm.1);
        let (wx, wy) = (pin.x - arm.0, pin.y - arm.1);
        Some(Pose {
            arm,
            push: self.push(rod, dx * dx + dy * dy),
            side: dx * wy - dy * wx,
            lean: arm.0 * wy - arm.1 * wx,
            pin,
        })
    }

    /// How fast the limb turns by the arm: the ends of the rod go along it alike.
    fn rate(&self, p: &Pose) -> f64 {
        let (wx, wy) = (p.pin.x - p.arm.0, p.pin.y - p.arm.1);
        let (cx, cy) = (p.pin.x - self.ground, p.pin.y);
        (wy * p.arm.0 - wx * p.arm.1) / (wy * cx - wx * cy)
    }

    /// How the limb moves with arm, rod and lever, the servo held, rad per mm: the loop
    /// |pin to pin|^2 = rod^2 taken by each of them.
    fn moved(&self, p: &Pose, rod: f64) -> [f64; 3] {
        let (wx, wy) = (p.pin.x - p.arm.0, p.pin.y - p.arm.1);
        let (cx, cy) = (p.pin.x - self.ground, p.pin.y);
        let by = wy * cx - wx * cy;
        [
            (wx * p.arm.0 + wy * p.arm.1) / (self.arm * by),
            rod / by,
            -(wx * cx + wy * cy) / (self.lever * by),
        ]
    }

    /// Middles of the motion, as lever angles, and rods with which arm and lever stand
    /// square to the rod there: side by side, or on opposite sides of it.
    pub fn square(&self) -> impl Iterator<Item = (f64, f64)> {
        let Self { arm, lever, ground } = *self;
        [arm - lever, -(arm + lever)].into_iter().flat_map(move |off| {
            let rod = ((ground - off) * (ground + off)).max(0.0).sqrt();
            let cos = off / ground;
            let angle = (cos.abs() < 1.0 && rod > 0.0).then(|| libm::acos(cos));
            angle.into_iter().flat_map(move |at| [(at, rod), (-at, rod)])
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{BoardPoint, Dir};
    use crate::mechanism::FourBar;
    use crate::units::{Deg, Mm, Rad};

    /// Against the four-bar's own closed group: arm 24, rod 90, lever 35, 100 apart.
    #[test]
    fn a_pose_is_one_of_the_four_bar() {
        let pair = Pair { arm: 24.0, lever: 35.0, ground: 100.0 };
        let limb = Limb::new((1.2, 1.9), Some(1.5), false);
        let levers = Levers::at(&pair, &limb, 0.3).unwrap();
        let mut seen = 0;
        for elbow in [1.0, -1.0] {
            let Some(v) = levers.judge(&pair, 95.0, elbow, true) else { continue };
            seen += 1;
            let ends = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(100.0, 0.0));
            let lengths = (Mm(24.0), Mm(95.0), Mm(35.0));
            let bar = FourBar::new(ends, lengths, Rad(0.3).deg(), v.side).unwrap();
            let arms = |at: f64| bar.cranks_for(Dir::degrees(Rad(at).deg()));
            // One of the arms at the low end goes to one at the high end by as much.
            let close = |a: &Dir, by: f64, b: &Dir| {
                (b.deg() - a.deg() - Rad(by).deg()).signed().abs() < Deg(1e-9)
            };
            let goes = |to: f64, by: f64| {
                arms(1.2).iter().any(|a| arms(to).iter().any(|b| close(a, by, b)))
            };
            assert!(goes(1.9, v.turned), "{v:?}");
            assert!(goes(1.5, v.to_zero.unwrap()), "{v:?}");
            // The slopes by the same linkage a hair longer, its servo where it was.
            let arm = *arms(1.2)
                .iter()
                .find(|a| arms(1.9).iter().any(|b| close(a, v.turned, b)))
                .unwrap();
            let swing = |(a, b, c): (f64, f64, f64)| {
                let bar =
                    FourBar::new(ends, (Mm(a), Mm(b), Mm(c)), Rad(0.3).deg(), v.side).unwrap();
                let at = |by: f64| bar.at(Dir::degrees(arm.deg() + Rad(by).deg())).unwrap().0;
                at(v.turned).from(at(0.0)).angle().0
            };
            let h = 1e-5;
            let by = |da: f64, db: f64, dc: f64| {
                (swing((24.0 + da, 95.0 + db, 35.0 + dc))
                    - swing((24.0 - da, 95.0 - db, 35.0 - dc)))
                    / (2.0 * h)
            };
            for (got, want) in
                v.slopes.iter().zip([by(h, 0.0, 0.0), by(0.0, h, 0.0), by(0.0, 0.0, h)])
            {
                assert!((got - want).abs() < 1e-6, "{got} {want}");
            }
        }
        assert!(seen > 0);
    }
}
