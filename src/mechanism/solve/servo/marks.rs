//! What was found for a servo as it is marked out, fitted on the servo and looked at as a
//! whole.

use super::climb::FINEST;
use super::{Found, Hills, Levers, Plan, ServoAnswer, ServoChoice};
use crate::geometry::Dir;
use crate::mechanism::solve::ram::nearest_clamp;
use crate::mechanism::solve::{OTHERS, PUSH_FLOOR, PUSH_GOOD, PUSH_TIE, Prefer, Size};
use crate::mechanism::{FourBar, ServoRod};
use crate::units::{Deg, Mm, Rad, Share, System};

/// So many of the best are marked out.
pub(super) const MARKED: usize = 2 * (OTHERS + 1);
/// Marks of clamp and rod beside the nearest ones that are looked at, in steps.
const MARKS: [f64; 5] = [0.0, 1.0, -1.0, 2.0, -2.0];

impl Plan<'_> {
    /// The best as they are marked out.
    pub(super) fn answer(&self) -> Option<ServoAnswer> {
        let mut kept: Vec<ServoChoice> = Vec::with_capacity(MARKED);
        for found in self.search() {
            if kept.len() == MARKED || !self.fits(&found) {
                break;
            }
            kept.extend(self.choice(&found));
        }
        if self.wish.prefer.by_push() {
            // Marks cost each another part of its push.
            let leads = |c: &ServoChoice| {
                self.wish.prefer == Prefer::Usual && c.parallel && c.push >= PUSH_GOOD - PUSH_TIE
            };
            let told = |c: &ServoChoice| libm::round(c.push / PUSH_TIE);
            kept.sort_by(|a, b| leads(b).cmp(&leads(a)).then(told(b).total_cmp(&told(a))));
        }
        let mut told: Vec<ServoChoice> = Vec::with_capacity(OTHERS + 1);
        for next in kept {
            let (own, size) = (next.linkage.bars(), |a: Mm, b: Mm| (a - b).abs() > Mm(0.5));
            let apart = |other: &ServoChoice| {
                let bars = other.linkage.bars();
                size(own.crank, bars.crank) || size(own.lever, bars.lever)
            };
            if told.len() <= OTHERS && told.iter().all(apart) {
                told.push(next);
            }
        }
        let mut told = told.into_iter();
        Some(ServoAnswer { best: told.next()?, others: told.collect() })
    }

    /// As it is marked out and fitted on the servo, checked on the finished linkage;
    /// `None` where that does not go all the way.
    pub(super) fn choice(&self, found: &Found) -> Option<ServoChoice> {
        let sizes = &self.wish.sizes;
        let turned = |clamp: f64| Rad(clamp).deg().signed();
        let marks = |open: bool| if open { &MARKS[..] } else { &MARKS[..1] };
        let loose = |size: Size| matches!(size, Size::Free | Size::Between { .. });
        let step = if self.wish.system == System::Inch { 25.4 / 32.0 } else { 0.5 };
        // A parallelogram is one only with its very rod.
        let rod_marks = marks(loose(sizes.rod) && !found.parallel);
        let mut hills: Hills = [None; 4];
        for turn in marks(loose(sizes.clamp)) {
            let clamp = sizes.clamp.marked_angle(turned(found.clamp)) + Deg(*turn);
            let clamp = self.clamp(clamp.rad().0);
            let own = match self.smooth() && !found.parallel {
                true => self.rod_for(found, clamp, (found.pair.lever, FINEST)),
                false => None,
            };
            let own = own.map_or(found.rod, |own| own.rod);
            for by in rod_marks {
                let rod = match found.parallel {
                    true => found.rod,
                    false => sizes.rod.marked_length(Mm(own), self.wish.system).0 + by * step,
                };
                self.look(&found.pair, clamp, self.rod(rod), &mut hills);
            }
        }
        let marked = hills[found.hill()].filter(|b| self.fits(b) && b.parallel == found.parallel);
        marked.and_then(|b| self.finished(&b)).or_else(|| self.finished(found))
    }

    /// The linkage, and where its arm points with the limb at its low end.
    fn linkage(&self, found: &Found) -> Option<(FourBar, Dir)> {
        let wish = self.wish;
        let lengths = (Mm(found.pair.arm), Mm(found.rod), Mm(found.pair.lever));
        let clamp = Rad(found.clamp).deg().signed();
        let side = found.verdict.side;
        let linkage = FourBar::new((wish.servo, wish.pivot), lengths, clamp, side).ok()?;
        // The arm at the low end is the one that turns to an arm at the high end.
        let arms = linkage.cranks_for(Dir::degrees(wish.used.0));
        let arm = arms.into_iter().find(|a| {
            let (sin, cos) = libm::sincos(self.limb.low + found.clamp);
            let (x, y) = (self.ground + found.pair.lever * cos, found.pair.lever * sin);
            let (s, c) = libm::sincos(a.angle().0 - self.toward);
            (x * s - y * c) * found.elbow >= 0.0
        })?;
        Some((linkage, arm))
    }

    /// How fast the limb turns by the arm, at least and at most over its whole swing.
    pub(super) fn rates(&self, found: &Found) -> Option<(f64, f64)> {
        let (linkage, arm) = self.linkage(found)?;
        let turned = Rad(found.verdict.turned).deg() * self.wish.sign;
        let (from, to) = (turned.min(Deg(0.0)), turned.max(Deg(0.0)));
        ServoRod::new(linkage, arm.deg(), self.wish.sign).rates(from, to)
    }

    /// The linkage with its servo's zero, looked at as a whole.
    fn finished(&self, found: &Found) -> Option<ServoChoice> {
        let wish = self.wish;
        let (linkage, arm) = self.linkage(found)?;
        let turned = Rad(found.verdict.turned).deg() * wish.sign;
        // Counted by the servo from where the limb is at its low end.
        let from_low = ServoRod::new(linkage, arm.deg(), wish.sign);
        let (zero, own) = self.zero(found, &from_low, turned)?;
        let arm_at_zero = arm.deg() + own * wish.sign;
        let rod = ServoRod::new(linkage, arm_at_zero, wish.sign);
        let servo = (-own, turned - own);
        let (least, most) = (servo.0.min(servo.1), servo.0.max(servo.1));
        let hair = Deg(1e-6);
        let near = |a: Deg, b: Deg| (a - b).signed().abs() < hair;
        let stands = near(rod.limb(servo.0), wish.used.0)
            && near(rod.limb(servo.1), wish.used.1)
            && near(rod.limb(Deg(0.0)), zero)
            && least >= wish.travel.0 - hair
            && most <= wish.travel.1 + hair;
        let free = rod.locks(least.min(Deg(0.0)), most.max(Deg(0.0))).is_empty()
            && rod.turns_back(least + hair, most - hair).is_empty();
        let push = rod.least_push(least, most).0;
        let levers = Levers::at(&found.pair, &self.limb, found.clamp)?;
        let verdict = levers.judge(&found.pair, found.rod, found.elbow, true)?;
        (stands && free && push >= PUSH_FLOOR - Deg(1e-6)).then(|| ServoChoice {
            linkage,
            zero,
            arm_at_zero,
            used: wish.used,
            servo,
            push,
            fit: Share(self.share(&verdict)),
            parallel: found.parallel,
        })
    }

    /// The limb's angle at the servo's own 0, and how far from the low end the servo has
    /// turned there.
    fn zero(&self, found: &Found, from_low: &ServoRod, turned: Deg) -> Option<(Deg, Deg)> {
        let wish = self.wish;
        if let (Size::Given(zero), Some(to_zero)) = (wish.zero, found.verdict.to_zero) {
            return Some((Deg(zero), Rad(to_zero).deg() * wish.sign));
        }
        // Where the servo's 0 may be, so that both ends are inside its travel.
        let (p, q) = (turned.min(Deg(0.0)), turned.max(Deg(0.0)));
        let (lo, hi) = (q - wish.travel.1, p - wish.travel.0);
        let wanted = ((lo + hi) / 2.0).max(p).min(q).max(lo).min(hi);
        let limb = |own: Deg| {
            let at = from_low.limb(own) + (wish.used.0 - from_low.limb(Deg(0.0)));
            Some(at)
        };
        let exact = limb(wanted)?;
        let marked = wish.zero.marked_angle(exact);
        let size = |near: Deg| nearest_clamp(wish.zero, near);
        [size(marked), size(exact)].into_iter().find_map(|zero| {
            let near = zero - exact - (zero - exact).signed();
            let own = from_low.servo_at(zero, lo.max(p - Deg(90.0)), hi.min(q + Deg(90.0)))?;
            let inside = own >= lo - Deg(1e-6) && own <= hi + Deg(1e-6);
            inside.then_some((zero - near, own))
        })
    }
}
