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

/// The limb's ends and middle as unit vectors, and where it stands at the servo's own 0
/// where that is said: limb angles less the direction of the line of centres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limb {
    pub low: f64,
    pub high: f64,
    pub zero: Option<f64>,
    /// Whether it is looked at a quarter of the way from either end too: rates are told
    /// over the whole swing then.
    pub quarters: bool,
}

/// A lever's pin.
#[derive(Clone, Copy, Debug)]
struct Pin {
    x: f64,
    y: f64,
    /// From the servo's shaft, and its square.
    far: f64,
    square: f64,
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
        let pin = |angle: f64| {
            let (sin, cos) = libm::sincos(angle + clamp);
            let (x, y) = (pair.ground + pair.lever * cos, pair.lever * sin);
            let square = x * x + y * y;
            Pin { x, y, far: square.sqrt(), square }
        };
        let along = |share: f64| pin(limb.low + share * (limb.high - limb.low));
        let pins = [pin(limb.low), along(0.5), pin(limb.high)];
        let quarters = limb.quarters.then(|| [along(0.25), along(0.75)]);
        let zero = limb.zero.map(pin);
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
        // On the line of centres the push angle is stationary; the arc between two arms
        // crosses it on the side on which its chord does.
        let turned = first + second;
        for (p, q) in [(&low, &middle), (&middle, &high)] {
            if p.arm.1 * q.arm.1 < 0.0 {
                let inward = (p.arm.0 * q.arm.1 - p.arm.1 * q.arm.0) * (q.arm.1 - p.arm.1) > 0.0;
                let across = pair.ground + if inward { -pair.arm } else { pair.arm };
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
    /// Sine of the angle between arm and rod where the lever's pin crosses the line of
    /// centres on its way, where that angle is stationary; one where it does not.
    fn lean_across(&self, pair: &Pair, rod: f64) -> f64 {
        let mut least = 1.0_f64;
        for two in self.pins.windows(2) {
            let (p, q) = (two[0], two[1]);
            if p.y * q.y < 0.0 {
                // The arc between two pins crosses on the side on which its chord does.
                let (a, b) = (p.x - pair.ground, q.x - pair.ground);
                let inward = (a * q.y - b * p.y) * (q.y - p.y) < 0.0;
                let far = pair.ground + if inward { -pair.lever } else { pair.lever };
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
        let along = (a * a + pin.square - rod * rod) / (2.0 * pin.square);
        let left = elbow * room.sqrt() / (2.0 * pin.square);
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
        let limb = Limb { low: 1.2, high: 1.9, zero: Some(1.5), quarters: false };
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
