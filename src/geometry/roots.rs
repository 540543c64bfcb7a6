//! Roots and highest points on an interval.

/// An interval at whose ends a function has values of unlike sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bracket {
    /// One end.
    pub a: f64,
    /// The function there.
    pub fa: f64,
    /// The other end.
    pub b: f64,
    /// The function there.
    pub fb: f64,
}

impl Bracket {
    /// The bracket, if the signs at the ends differ (nought counts as a root).
    #[must_use]
    pub fn new(a: f64, fa: f64, b: f64, fb: f64) -> Option<Self> {
        (fa.is_finite() && fb.is_finite() && (fa == 0.0 || fb == 0.0 || (fa < 0.0) != (fb < 0.0)))
            .then_some(Self { a, fa, b, fb })
    }
}

/// A root inside the bracket, to within `eps`, by false position with halved end
/// values, and a bisection whenever three steps have not halved the bracket.
///
/// Guarantee: the value returned lies in the bracket and the function changes
/// sign within `eps` of it, for any function (continuous or not). At most four
/// evaluations are spent per halving. Method: Illinois variant of regula falsi,
/// M. Dowell and P. Jarratt, BIT 11 (1971) 168-174.
pub fn root(at: Bracket, eps: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let Bracket { mut a, mut fa, mut b, mut fb } = at;
    if fa == 0.0 {
        return a;
    }
    if fb == 0.0 {
        return b;
    }
    let mut goal = (b - a).abs() / 2.0;
    let mut slow = 0;
    while (b - a).abs() > eps {
        let mid = a + (b - a) / 2.0;
        let secant = b - fb * (b - a) / (fb - fa);
        let (lo, hi) = if a < b { (a, b) } else { (b, a) };
        let x = if slow < 3 && secant > lo && secant < hi { secant } else { mid };
        if x == a || x == b {
            break;
        }
        let fx = f(x);
        if fx == 0.0 {
            return x;
        }
        if (fx < 0.0) == (fb < 0.0) {
            fa /= 2.0;
        } else {
            (a, fa) = (b, fb);
        }
        (b, fb) = (x, fx);
        if (b - a).abs() <= goal {
            goal = (b - a).abs() / 2.0;
            slow = 0;
        } else {
            slow += 1;
        }
    }
    b
}

/// Where on `[lo, hi]` a function with one hill is highest, to within `eps`, and
/// its height there: golden section.
pub fn highest(lo: f64, hi: f64, eps: f64, mut f: impl FnMut(f64) -> f64) -> (f64, f64) {
    const SHARE: f64 = 0.618_033_988_749_894_8;
    let (mut a, mut b) = (lo, hi);
    let (mut x, mut y) = (b - SHARE * (b - a), a + SHARE * (b - a));
    let (mut fx, mut fy) = (f(x), f(y));
    while b - a > eps {
        if fx < fy {
            (a, x, fx) = (x, y, fy);
            y = a + SHARE * (b - a);
            fy = f(y);
        } else {
            (b, y, fy) = (y, x, fx);
            x = b - SHARE * (b - a);
            fx = f(x);
        }
        if x >= y {
            break;
        }
    }
    // The ends may be higher than anything inside, on a slope.
    let (mut best, mut top) = if fx < fy { (y, fy) } else { (x, fx) };
    for end in [lo, hi] {
        let v = f(end);
        if v > top {
            (best, top) = (end, v);
        }
    }
    (best, top)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_roots_of_smooth_and_steep_functions() {
        let cases: [(&dyn Fn(f64) -> f64, f64); 4] = [
            (&|x| x * x - 2.0, 2f64.sqrt()),
            (&|x| x.signum() * x.abs().sqrt().sqrt() - 0.1, 1e-4),
            (&|x| if x < 1.25 { -1.0 } else { 1e-9 }, 1.25),
            (&|x| (x - 1.0) * (x - 1.0) * (x - 1.0), 1.0),
        ];
        for (f, want) in cases {
            let at = Bracket::new(-0.5, f(-0.5), 3.0, f(3.0)).unwrap();
            let got = root(at, 1e-12, f);
            assert!((got - want).abs() < 1e-11, "{got} for {want}");
        }
        assert_eq!(Bracket::new(0.0, 1.0, 1.0, 2.0), None);
        assert_eq!(Bracket::new(0.0, f64::NAN, 1.0, 2.0), None);
    }

    #[test]
    fn climbs_the_hill_or_stays_at_its_end() {
        let (x, _) = highest(0.0, 5.0, 1e-9, |x| -(x - 2.0) * (x - 2.0));
        assert!((x - 2.0).abs() < 1e-7);
        assert_eq!(highest(0.0, 5.0, 1e-9, |x| x).0, 5.0);
    }
}
