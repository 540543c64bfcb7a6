//! The rods that suit one hole pair, in closed form.
//!
//! Crank a, lever c, ground d. With gamma(x) the angle at the limb pivot in the
//! triangle c, d, x, a rod b swings the limb by S(b) = gamma(b+a) - gamma(b-a).
//! gamma' = x/(c d sin gamma), the circumdiameter over c d, so S has one valley,
//! at b^2 = a^2 + |d^2 - c^2|. The worst push angle has one hill, at
//! b^2 = max(a^2 + d^2 - c^2, c^2 - (d-a)^2), where the push angles with the
//! crank in line with the ground are each other's supplements.

/// Sine and cosine of half a swing.
#[derive(Clone, Copy, Debug)]
pub(super) struct HalfSwing {
    pub sin: f64,
    pub cos: f64,
}

impl HalfSwing {
    pub(super) fn of(swing: f64) -> Self {
        let (sin, cos) = libm::sincos(swing / 2.0);
        Self { sin, cos }
    }
}

/// A closed stretch of rod lengths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    pub lo: f64,
    pub hi: f64,
}

impl Stretch {
    pub(super) fn cut(self, o: Self) -> Option<Self> {
        let both = Self { lo: self.lo.max(o.lo), hi: self.hi.min(o.hi) };
        (both.lo <= both.hi).then_some(both)
    }

    pub(super) fn holds(self, v: f64) -> bool {
        v >= self.lo && v <= self.hi
    }
}

/// One hole pair at one ground distance, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pair {
    pub a: f64,
    pub c: f64,
    pub d: f64,
}

impl Pair {
    /// The rods that make a crank-rocker (the ends do not), if any.
    pub(super) fn turning(&self) -> Option<Stretch> {
        let Self { a, c, d } = *self;
        let s = Stretch { lo: (d + a - c).max(c + a - d), hi: c + d - a };
        (s.lo < s.hi && a < c && a < d).then_some(s)
    }

    /// Angle at the limb pivot opposite a side x.
    pub(super) fn gamma(&self, x: f64) -> f64 {
        let Self { c, d, .. } = *self;
        let near = ((x - (c - d)) * (x + (c - d))).max(0.0);
        let far = ((c + d - x) * (c + d + x)).max(0.0);
        2.0 * libm::atan2(near.sqrt(), far.sqrt())
    }

    /// The side opposite an angle at the limb pivot; the angle is held to 0..pi.
    pub(super) fn side(&self, gamma: f64) -> f64 {
        let Self { c, d, .. } = *self;
        let s = libm::sin(gamma.clamp(0.0, std::f64::consts::PI) / 2.0);
        ((c - d) * (c - d) + 4.0 * c * d * s * s).sqrt()
    }

    /// The swing with a rod, rad.
    pub(super) fn swing(&self, b: f64) -> f64 {
        self.gamma(b + self.a) - self.gamma(b - self.a)
    }

    /// The rod that swings least.
    pub(super) fn valley(&self) -> f64 {
        let Self { a, c, d } = *self;
        (a * a + (d * d - c * c).abs()).sqrt()
    }

    /// The rod that pushes best.
    pub(super) fn hill(&self) -> f64 {
        let Self { a, c, d } = *self;
        (a * a + d * d - c * c).max(c * c - (d - a) * (d - a)).max(0.0).sqrt()
    }

    /// Cosine of the worst push angle: smaller is better.
    pub(super) fn worst_cos(&self, b: f64) -> f64 {
        let Self { a, c, d } = *self;
        let (sum, inv) = (b * b + c * c, 0.5 / (b * c));
        ((sum - (d - a) * (d - a)) * inv).max(((d + a) * (d + a) - sum) * inv)
    }

    /// The rods whose worst push angle has at most this cosine, if any.
    pub(super) fn pushing(&self, cos: f64) -> Option<Stretch> {
        let Self { a, c, d } = *self;
        let sin2 = (1.0 - cos * cos).max(0.0);
        let (near, far) = ((d - a) * (d - a) - c * c * sin2, (d + a) * (d + a) - c * c * sin2);
        if near < 0.0 || far < 0.0 {
            return None;
        }
        let lo = (c * cos - near.sqrt()).max(far.sqrt() - c * cos);
        let s = Stretch { lo, hi: c * cos + near.sqrt() };
        (s.lo <= s.hi).then_some(s)
    }

    /// The rods that swing exactly so far: short of the valley and beyond it.
    ///
    /// The lever pin's two ends are the foci of a hyperbola |r1 - r2| = 2a on
    /// which the motor lies, at distance d from the pivot. In its frame, with
    /// h = c sin(psi/2), e = c cos(psi/2), k = h^2 - a^2, the motor is at (x, y):
    /// y = (k/h^2)(-e +- sqrt((h^2 d^2 - c^2 a^2)/k)), b = h sqrt(1 + y^2/k),
    /// x = a b/h. A root counts where motor and pivot do not have the lever pin's
    /// ends on opposite sides of their line, x e > h |y + e|. The third value says
    /// whether any rod swings less than this.
    #[inline]
    pub(super) fn rods_for(&self, half: HalfSwing) -> (Option<f64>, Option<f64>, bool) {
        let Self { a, c, d } = *self;
        let (h, e) = (c * half.sin, c * half.cos);
        let k = (h - a) * (h + a);
        let reach = (h * d - c * a) * (h * d + c * a);
        if k <= 0.0 || reach < 0.0 {
            return (None, None, false);
        }
        let (scale, spread) = (k / (h * h), (reach / k).sqrt());
        let valley = self.valley();
        let (mut short, mut long) = (None, None);
        for y in [scale * (-e + spread), scale * (-e - spread)] {
            let b = h * (1.0 + y * y / k).sqrt();
            let x = a * b / h;
            if x * e.abs() > h * (y + e).abs() {
                if b < valley { short = Some(b) } else { long = Some(b) }
            }
        }
        (short, long, true)
    }

    /// The rods whose swing lies between two swings: up to two stretches, one
    /// short of the valley and one beyond, or one over it (then the second is
    /// absent).
    #[inline]
    pub(super) fn swinging(&self, least: HalfSwing, most: HalfSwing) -> [Option<Stretch>; 2] {
        let Some(all) = self.turning() else { return [None, None] };
        let (short, long, reached) = self.rods_for(most);
        if !reached {
            return [None, None];
        }
        let whole = Stretch { lo: short.unwrap_or(all.lo), hi: long.unwrap_or(all.hi) };
        let (inner_short, inner_long, deeper) = self.rods_for(least);
        if !deeper {
            return [whole.cut(all), None];
        }
        let cut = |s: Option<Stretch>| s.and_then(|s| s.cut(all));
        [
            cut(inner_short.map(|hi| Stretch { lo: whole.lo, hi })),
            cut(inner_long.map(|lo| Stretch { lo, hi: whole.hi })),
        ]
    }

    /// Slower swing over faster with a rod, at least 1.
    pub(super) fn time_ratio(&self, b: f64) -> f64 {
        // Angles at the motor between ground and lever pin, at both ends.
        let Self { a, c, d } = *self;
        let at = |x: f64| {
            let near = ((c - d + x) * (c + d - x)).max(0.0);
            let far = ((d + x - c) * (d + x + c)).max(0.0);
            2.0 * libm::atan2(near.sqrt(), far.sqrt())
        };
        let apart = (at(b + a) - at(b - a)).abs();
        let half = std::f64::consts::PI;
        (half + apart) / (half - apart)
    }
}
