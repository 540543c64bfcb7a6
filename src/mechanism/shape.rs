//! A four-bar in its own frame: ground line along +x, motor at the origin.
//!
//! Everything is written in `phi`, the crank's angle from the ground line, by
//! its half-angle direction (s, t) = (sin phi/2, cos phi/2), and in
//! `x = |crank pin - pivot|^2 = (d-a)^2 + 4ad s^2 = (d+a)^2 - 4ad t^2`. The
//! distances of x to the dead centres, `x - (b-c)^2` and `(b+c)^2 - x`, are kept
//! as sums of such terms with their constant parts as products of exact sums of
//! lengths. So nothing is lost near change points, where they nearly vanish.

use super::class::{CHANGE_POINT, sum};
use super::{Assembly, Bars};

/// Lengths and derived constants; a crank, b rod, c lever, d ground.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    pub a: f64,
    pub b: f64,
    pub c: f64,
    pub d: f64,
    /// c + d - a - b: with `t2` and `t3` positive for a crank-rocker.
    pub t1: f64,
    /// b + d - a - c.
    pub t2: f64,
    /// b + c - a - d.
    pub t3: f64,
    /// (d-a)^2 - (b-c)^2: not negative if the crank passes the near side.
    pub e1: f64,
    /// (b+c)^2 - (d+a)^2: not negative if it passes the far side.
    pub e2: f64,
    /// 4 a d.
    pub ad4: f64,
    /// (d-a)^2.
    pub x1: f64,
    /// -1 for the open assembly: the sign of the lever's angle from `r`.
    pub side: f64,
}

/// sin and cos of half a crank angle.
pub(super) type Half = (f64, f64);

impl Shape {
    pub(super) fn of(bars: &Bars, assembly: Assembly) -> Self {
        let (a, b, c, d) = (bars.crank.0, bars.rod.0, bars.lever.0, bars.ground.0);
        let near = CHANGE_POINT * a.max(b).max(c.max(d));
        // Within the stated tolerance a change point is one exactly.
        let snap = |v: f64| if v.abs() <= near { 0.0 } else { v };
        let t1 = snap(sum([c, d, -a, -b]));
        let t2 = snap(sum([b, d, -a, -c]));
        let t3 = snap(sum([b, c, -a, -d]));
        Self {
            a,
            b,
            c,
            d,
            t1,
            t2,
            t3,
            e1: t1 * t2,
            e2: t3 * (a + b + c + d),
            ad4: 4.0 * a * d,
            x1: (d - a) * (d - a),
            side: -assembly.sign(),
        }
    }

    /// Whether the crank meets no obstacle in a whole turn.
    pub(super) fn turns(&self) -> bool {
        self.e1 >= 0.0 && self.e2 >= 0.0
    }

    /// x - (b-c)^2 and (b+c)^2 - x, from whichever end is nearer.
    pub(super) fn gaps(&self, (s, t): Half) -> (f64, f64) {
        (self.e1 + self.ad4 * s * s, self.e2 + self.ad4 * t * t)
    }

    /// The push angle in [0, pi], unfolded: tan^2(mu/2) is the ratio of the gaps.
    pub(super) fn push(&self, half: Half) -> f64 {
        let (slack, room) = self.gaps(half);
        2.0 * libm::atan2(slack.max(0.0).sqrt(), room.max(0.0).sqrt())
    }

    /// The crank angle at which the near side is blocked, in (0, pi], if it is.
    pub(super) fn blocked_near(&self) -> Option<f64> {
        (self.e1 < 0.0)
            .then(|| 2.0 * libm::atan2((-self.e1).sqrt(), (self.ad4 + self.e1).max(0.0).sqrt()))
    }

    /// The crank angle at which the far side is blocked, in [0, pi), if it is.
    pub(super) fn blocked_far(&self) -> Option<f64> {
        (self.e2 < 0.0)
            .then(|| 2.0 * libm::atan2((self.ad4 + self.e2).max(0.0).sqrt(), (-self.e2).sqrt()))
    }

    /// The crank angles in (-pi, pi] at which the lever stands still on this
    /// assembly: rod and crank stretched in one line, and folded on each other.
    ///
    /// From the triangle motor, pivot, lever pin with the side a + b or |a - b|,
    /// by the half-angle formula; either is absent where the triangle is.
    pub(super) fn dead_centres(&self) -> [Option<f64>; 2] {
        let Self { a, b, c, d, t1, t2, t3, .. } = *self;
        let sign = -self.side;
        let stretched = (t1 >= 0.0).then(|| {
            let sin = (a + b + c - d).max(0.0) * t1;
            let cos = (a + b + d - c).max(0.0) * (a + b + c + d);
            sign * 2.0 * libm::atan2(sin.sqrt(), cos.sqrt())
        });
        let over = b - a;
        let (sin, cos) = (t2 * (b + c + d - a), t3 * (a + c + d - b));
        // Sines and cosines squared, each times 4 d (b - a).
        let (sin, cos) = if over < 0.0 { (-sin, -cos) } else { (sin, cos) };
        let folded = (over != 0.0 && sin >= 0.0 && cos >= 0.0)
            .then(|| -sign * 2.0 * libm::atan2(sin.sqrt(), cos.sqrt()));
        [stretched, folded]
    }

    /// The lever's angle from the ground line, continuous in phi over any
    /// stretch the crank can run through: `arg r +- beta` with beta in [0, pi].
    pub(super) fn lever(&self, phi: f64) -> f64 {
        let Self { a, b, c, d, .. } = *self;
        let (s, t) = libm::sincos(phi / 2.0);
        let (slack, room) = self.gaps((s, t));
        let q = (slack.max(0.0) * room.max(0.0)).sqrt();
        let x = self.x1 + self.ad4 * s * s;
        let beta = libm::atan2(q, x + (c - b) * (c + b));
        let sin = 2.0 * s * t;
        let from_pivot = if a < d {
            std::f64::consts::PI + libm::atan2(-a * sin, (d - a) + 2.0 * a * s * s)
        } else {
            phi + libm::atan2(d * sin, (a - d) + 2.0 * d * s * s)
        };
        from_pivot + self.side * beta
    }

    /// First, second and third derivative of the lever's angle by the crank's.
    ///
    /// With `'` for d/dphi, `V = (x-(b-c)^2)((b+c)^2-x)`, `T = x'/sqrt V`:
    /// `psi' = (1 + (a^2-d^2)/x)/2 +- (1 + (b^2-c^2)/x)/2 T`, and
    /// `T' = N V^-3/2`, `N = x''V - x'^2 V_x/2`, `N' = x'(x'^2 - V)`.
    #[inline]
    pub(super) fn rates(&self, half: Half) -> [f64; 3] {
        let Self { a, b, c, d, .. } = *self;
        let (s, t) = half;
        let (slack, room) = self.gaps(half);
        let v = slack * room;
        let x = self.x1 + self.ad4 * s * s;
        let dx = self.ad4 * s * t;
        let ddx = self.ad4 * (0.5 - s * s);
        // room - slack = (b-c)^2 + (b+c)^2 - 2x = dV/dx.
        let vx = room - slack;
        let inv_v = 1.0 / v;
        let inv_root = inv_v.sqrt();
        let inv_x = 1.0 / x;
        let t0 = dx * inv_root;
        let n = ddx * v - 0.5 * dx * dx * vx;
        let inv_32 = inv_root * inv_v;
        let t1 = n * inv_32;
        let t2 = dx * inv_32 * ((dx * dx - v) - 1.5 * n * vx * inv_v);
        let (u, du) = (dx * inv_x, ddx * inv_x);
        // 1/x, its first and second derivative.
        let (i1, i2) = (-inv_x * u, inv_x * (2.0 * u * u - du));
        let alpha = 0.5 * (a - d) * (a + d);
        let gamma = 0.5 * (b - c) * (b + c);
        let (g0, g1, g2) = (0.5 + gamma * inv_x, gamma * i1, gamma * i2);
        [
            0.5 + alpha * inv_x - self.side * g0 * t0,
            alpha * i1 - self.side * (g1 * t0 + g0 * t1),
            alpha * i2 - self.side * (g2 * t0 + 2.0 * g1 * t1 + g0 * t2),
        ]
    }
}
