//! Arm, rod and lever over a part of a turn: what a servo does with them, exactly.
//!
//! Angles are the servo's own, as its pulses count them; `turn` below is the arm's
//! angle from the line of centres (motor to pivot), not reduced to one turn. The
//! special positions are closed forms of triangles: rod and lever in line (the limb
//! locks), arm and rod in line (the limb turns back), arm on the line of centres
//! (the push angle is stationary). Formulas: law of cosines, in its half-angle form.

use super::FourBar;
use crate::geometry::{Dir, highest};
use crate::units::{Deg, Rad};

/// Squares of sines this little beyond 0 or 1 are rounding: the bars touch the
/// position, as those of a parallelogram do.
const TOUCH: f64 = 1e-12;
/// So many stretches of a way are looked at for where the limb turns fastest and slowest: of
/// a part of a turn each is far narrower than one hill.
const LOOKS: usize = 24;
/// No servo is looked at over more turns than this.
const MOST_TURNS: u32 = 1000;

/// A four-bar whose crank is a servo's arm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ServoRod {
    linkage: FourBar,
    /// The arm's turn at the servo's own 0, rad.
    phase: f64,
    /// +1 where the servo's own angle counts counter-clockwise, seen from the front.
    sign: f64,
}

impl ServoRod {
    /// A linkage whose arm points to `arm_at_zero` at the servo's own 0; `sign` is +1
    /// where the servo's angle counts counter-clockwise seen from the front, else -1.
    #[must_use]
    pub fn new(linkage: FourBar, arm_at_zero: Deg, sign: f64) -> Self {
        let phase = Dir::degrees(arm_at_zero).from(linkage.ground_dir()).angle().0;
        Self { linkage, phase, sign }
    }

    /// The linkage.
    #[must_use]
    pub const fn linkage(&self) -> &FourBar {
        &self.linkage
    }

    /// The limb's angle, which runs on without a jump as the servo turns; 0 to any
    /// number of turns beside the angle on the board.
    #[must_use]
    pub fn limb(&self, servo: Deg) -> Deg {
        let (ground, arm, rod, lever) = self.bars();
        let turn = self.turn(servo);
        let (sin, cos) = libm::sincos(turn);
        // From pivot to arm pin. The longer of the two bars leads, so that the angle
        // between it and this line stays within a quarter turn either way.
        let toward_pin = if arm < ground {
            std::f64::consts::PI + libm::atan2(-arm * sin, ground - arm * cos)
        } else {
            turn + libm::atan2(ground * sin, arm - ground * cos)
        };
        let square = self.square(turn);
        let aside = libm::atan2(self.room(square).sqrt(), lever * lever + square - rod * rod);
        let from_ground = toward_pin - self.linkage.assembly().sign() * aside;
        Rad(from_ground).deg() + self.linkage.ground_dir().deg() - self.linkage.clamp()
    }

    /// The push angle between rod and lever, folded to 0 to 90 degrees.
    #[must_use]
    pub fn push(&self, servo: Deg) -> Deg {
        let (_, _, rod, lever) = self.bars();
        let square = self.square(self.turn(servo));
        let along = (rod * rod + lever * lever - square).abs();
        Rad(libm::atan2(self.room(square).sqrt(), along)).deg()
    }

    /// The least push angle between two angles of the servo that it reaches without
    /// locking, and where: at one of them, or with the arm on the line of centres.
    #[must_use]
    pub fn least_push(&self, from: Deg, to: Deg) -> (Deg, Deg) {
        let centre_line =
            [0.0, std::f64::consts::PI].into_iter().flat_map(|turn| self.images(turn, from, to));
        let least = |best: (Deg, Deg), at: Deg| {
            let push = self.push(at);
            if push < best.0 { (push, at) } else { best }
        };
        std::iter::once(to).chain(centre_line).fold((self.push(from), from), least)
    }

    /// How fast the limb turns by the arm between two angles of the servo, at least and at
    /// most; `None` where it does not go all the way.
    #[must_use]
    pub fn rates(&self, from: Deg, to: Deg) -> Option<(f64, f64)> {
        let ground = self.linkage.ground_dir().angle().0;
        let rate = |at: f64| {
            let arm = Dir::radians(Rad(ground + self.turn(Deg(at))));
            self.linkage.rates(arm).ok().map(|(rate, _)| rate.abs())
        };
        let place = |n: usize| from.0 + (to - from).0 * n as f64 / LOOKS as f64;
        let seen: Option<Vec<f64>> = (0..=LOOKS).map(|n| rate(place(n))).collect();
        let seen = seen?;
        // From the highest of the places looked at to the top beside it.
        let top = |sign: f64| {
            let of = |n: &usize| sign * seen[*n];
            let at = (0..=LOOKS).max_by(|a, b| of(a).total_cmp(&of(b))).unwrap_or(0);
            let (lo, hi) = (place(at.saturating_sub(1)), place((at + 1).min(LOOKS)));
            let beside = highest(lo, hi, 1e-6, |q| rate(q).map_or(f64::NAN, |r| sign * r)).1;
            of(&at).max(beside)
        };
        Some((-top(-1.0), top(1.0)))
    }

    /// The servo's angles from `from` to `to` at which rod and lever lie in one line,
    /// ascending.
    #[must_use]
    pub fn locks(&self, from: Deg, to: Deg) -> Vec<Deg> {
        let (ground, arm, rod, lever) = self.bars();
        let turns = [rod + lever, (rod - lever).abs()].into_iter().flat_map(|across| {
            let half = half_angle(across * across - (ground - arm) * (ground - arm), ground * arm);
            half.into_iter().flat_map(|h| [2.0 * h, -2.0 * h])
        });
        sorted(turns.flat_map(|turn| self.images(turn, from, to)).collect())
    }

    /// The nearest locks below and above an angle of the servo, within one turn.
    #[must_use]
    pub fn locks_about(&self, servo: Deg) -> (Option<Deg>, Option<Deg>) {
        let below = self.locks(servo - Deg(360.0), servo).last().copied();
        (below, self.locks(servo, servo + Deg(360.0)).first().copied())
    }

    /// The servo's angles from `from` to `to` at which arm and rod lie in one line, so
    /// that the limb turns back there, ascending.
    #[must_use]
    pub fn turns_back(&self, from: Deg, to: Deg) -> Vec<Deg> {
        let (ground, arm, rod, lever) = self.bars();
        let mut found = Vec::new();
        // Stretched, the lever pin is arm + rod from the servo; folded, their difference.
        for (reach, stretched) in [(arm + rod, 1.0), (arm - rod, -1.0)] {
            let across = reach.abs();
            let other = across - ground;
            let Some(half) = half_angle(lever * lever - other * other, across * ground) else {
                continue;
            };
            // A rod longer than the arm folds over the servo to the other side.
            let over = if reach < 0.0 { std::f64::consts::PI } else { 0.0 };
            for turn in [2.0 * half + over, over - 2.0 * half] {
                // On the other side of the line of centres it is the other assembly's.
                let side = libm::sin(turn) * stretched * self.linkage.assembly().sign();
                if side > 1e-9 {
                    found.extend(self.images(turn, from, to));
                }
            }
        }
        sorted(found)
    }

    /// The servo's angle that puts the limb at an angle on the board, among those from
    /// `from` to `to`; `None` where none does.
    #[must_use]
    pub fn servo_at(&self, limb: Deg, from: Deg, to: Deg) -> Option<Deg> {
        let ground = self.linkage.ground_dir();
        let arms = self.linkage.cranks_for(Dir::degrees(limb));
        arms.into_iter().find_map(|arm| {
            let turn = arm.from(ground).angle().0;
            let at = self.images(turn, from - Deg(1e-6), to + Deg(1e-6)).next();
            at.map(|at| at.max(from).min(to))
        })
    }

    /// Ground, arm, rod, lever in mm.
    fn bars(&self) -> (f64, f64, f64, f64) {
        let bars = self.linkage.bars();
        (bars.ground.0, bars.crank.0, bars.rod.0, bars.lever.0)
    }

    fn turn(&self, servo: Deg) -> f64 {
        self.phase + self.sign * servo.rad().0
    }

    /// The square of the distance from arm pin to pivot.
    fn square(&self, turn: f64) -> f64 {
        let (ground, arm, ..) = self.bars();
        let half = libm::sin(0.5 * turn);
        (ground - arm) * (ground - arm) + 4.0 * ground * arm * half * half
    }

    /// (2 rod lever sin push)^2: nought where rod and lever are in line.
    fn room(&self, square: f64) -> f64 {
        let (_, _, rod, lever) = self.bars();
        let (far, near) = (rod + lever, rod - lever);
        ((far * far - square) * (square - near * near)).max(0.0)
    }

    /// The servo's angles from `from` to `to` that turn the arm so, ascending.
    fn images(&self, turn: f64, from: Deg, to: Deg) -> impl Iterator<Item = Deg> + use<> {
        let at = Rad((turn - self.phase) * self.sign).deg();
        let first = at + Deg(360.0 * libm::ceil((from - at) / Deg(360.0)));
        (0..MOST_TURNS)
            .map(move |n| first + Deg(360.0 * f64::from(n)))
            .take_while(move |&at| at <= to)
    }
}

/// Half the angle between two sides of a triangle, from the square of the third less
/// that of the difference of the two, and their product; `None` where they do not
/// meet.
fn half_angle(excess: f64, product: f64) -> Option<f64> {
    let sine_square = excess / (4.0 * product);
    let meets = (-TOUCH..=1.0 + TOUCH).contains(&sine_square);
    meets.then(|| libm::asin(sine_square.clamp(0.0, 1.0).sqrt()))
}

/// Ascending, each once.
fn sorted(mut angles: Vec<Deg>) -> Vec<Deg> {
    angles.sort_by(|a, b| a.0.total_cmp(&b.0));
    angles.dedup_by(|a, b| (*a - *b).abs().0 < 1e-9);
    angles
}

#[cfg(test)]
mod tests {
    use super::super::Assembly;
    use super::*;
    use crate::geometry::BoardPoint;
    use crate::units::Mm;

    fn rod(assembly: Assembly, sign: f64) -> ServoRod {
        let centres = (BoardPoint::mm(195.0, 60.0), BoardPoint::mm(0.0, 0.0));
        let bars = (Mm(40.0), Mm(160.0), Mm(60.0));
        let linkage = FourBar::new(centres, bars, Deg(0.0), assembly).unwrap();
        // Towards the pivot, near enough: both assemblies close there.
        ServoRod::new(linkage, Deg(206.0), sign)
    }

    /// Against the group that closes the bars by plane vectors: two ways to the limb.
    #[test]
    fn the_running_angle_is_the_limb_of_the_four_bar() {
        for (assembly, sign) in [(Assembly::Open, 1.0), (Assembly::Crossed, -1.0)] {
            let rod = rod(assembly, sign);
            let arm = rod.linkage.ground_dir().deg() + Rad(rod.phase).deg();
            let mut seen = 0;
            for servo in -150..150 {
                let servo = Deg(f64::from(servo));
                let Ok((limb, push)) = rod.linkage.at(Dir::degrees(arm + servo * sign)) else {
                    continue;
                };
                seen += 1;
                let off = (rod.limb(servo) - limb.deg()).signed().0;
                assert!(off.abs() < 1e-9, "{servo:?}: {off}");
                let sine = Dir::degrees(rod.push(servo)).y();
                assert!((sine - push.abs()).abs() < 1e-12, "{servo:?}");
            }
            assert!(seen > 50, "{seen}");
        }
    }

    /// The limb's rate by the arm's, from the group's own derivatives, is nought there
    /// and nowhere between.
    #[test]
    fn the_limb_turns_back_where_its_rate_is_nought() {
        let rod = rod(Assembly::Open, 1.0);
        let (below, above) = rod.locks_about(Deg(0.0));
        let (from, to) = (below.unwrap_or(Deg(-180.0)), above.unwrap_or(Deg(180.0)));
        let arm = rod.linkage.ground_dir().deg() + Rad(rod.phase).deg();
        let rate = |q: Deg| rod.linkage.rates(Dir::degrees(arm + q)).unwrap().0;
        let found = rod.turns_back(from, to);
        assert!(!found.is_empty());
        assert!(found.iter().all(|&q| rate(q).abs() < 1e-9), "{found:?}");
        let steps: Vec<Deg> =
            (1..2000).map(|n| from + (to - from) * (f64::from(n) / 2000.0)).collect();
        let changes = steps.windows(2).filter(|w| rate(w[0]) * rate(w[1]) < 0.0).count();
        assert_eq!(changes, found.len());
    }

    /// Shaft to pivot 60, arms 20, rod 60: in line with the arm on the line of centres.
    #[test]
    fn a_parallelogram_locks_with_its_arm_on_the_line_of_centres() {
        let centres = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(0.0, 60.0));
        let bars = (Mm(20.0), Mm(60.0), Mm(20.0));
        let linkage = FourBar::new(centres, bars, Deg(90.0), Assembly::Open).unwrap();
        let rod = ServoRod::new(linkage, Deg(180.0), 1.0);
        let (below, above) = rod.locks_about(Deg(0.0));
        assert!((below.unwrap().0 + 90.0).abs() < 1e-6 && (above.unwrap().0 - 90.0).abs() < 1e-6);
        let (push, at) = rod.least_push(Deg(-35.0), Deg(20.0));
        assert!((push.0 - 55.0).abs() < 1e-12 && at == Deg(-35.0));
    }
}
