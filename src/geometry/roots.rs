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
/// its height there; one of the ends where the hill lies outside.
///
/// Each step goes to the top of the parabola through the three highest places so far,
/// or cuts the longer side in the golden ratio where that top is no good: R. P. Brent,
/// Algorithms for Minimization without Derivatives (1973), chapter 5. A smooth top is
/// flat, so that it lies within about 1e-8 of its size at best, whatever `eps` says.
pub fn highest(lo: f64, hi: f64, eps: f64, mut f: impl FnMut(f64) -> f64) -> (f64, f64) {
    /// The shorter part of a length cut in the golden ratio.
    const CUT: f64 = 0.381_966_011_250_105_1;
    /// A square root of the spacing of numbers: nearer, values differ by noise.
    const NOISE: f64 = 1.5e-8;
    let (mut a, mut b) = (lo, hi);
    let mut best = a + CUT * (b - a);
    let mut top = f(best);
    let (mut second, mut third) = ((best, top), (best, top));
    // The last step and the one before it.
    let (mut step, mut before) = (0.0_f64, 0.0_f64);
    loop {
        let middle = a + (b - a) / 2.0;
        let close = NOISE * best.abs() + eps / 3.0;
        // Not at the top where nothing is a number, however near.
        let far = (best - middle).abs() > 2.0 * close - (b - a) / 2.0;
        if !far {
            break;
        }
        let mut next = None;
        if before.abs() > close {
            let r = (best - second.0) * (top - third.1);
            let q = (best - third.0) * (top - second.1);
            let (p, q) = ((best - third.0) * q - (best - second.0) * r, 2.0 * (q - r));
            let by = -p / q;
            // Inside, and not half as far as the step before last: else it wanders.
            if by.abs() < before.abs() / 2.0 && best + by > a && best + by < b {
                let near_end = best + by - a < 2.0 * close || b - (best + by) < 2.0 * close;
                next = Some(if near_end { close.copysign(middle - best) } else { by });
            }
        }
        (before, step) = match next {
            Some(by) => (step, by),
            None => {
                let side = if best < middle { b - best } else { a - best };
                (side, CUT * side)
            }
        };
        let at = best + if step.abs() >= close { step } else { close.copysign(step) };
        let height = f(at);
        if height >= top {
            if at >= best {
                a = best
            } else {
                b = best
            }
            (third, second) = (second, (best, top));
            (best, top) = (at, height);
        } else {
            if at < best {
                a = at
            } else {
                b = at
            }
            if height >= second.1 || second.0 == best {
                (third, second) = (second, (at, height));
            } else if height >= third.1 || third.0 == best || third.0 == second.0 {
                third = (at, height);
            }
        }
    }
    // An end that nothing was lower beside may be higher than anything inside, on a slope.
    for end in [(a == lo).then_some(lo), (b == hi).then_some(hi)].into_iter().flatten() {
        let v = f(end);
        if v > top {
            (best, top) = (end, v);
        }
    }
    (best, top)
}

/// The least of 0 to `most` that is enough, from above to a thousand-millionth of `most`,
/// where more is never less than enough; `None` where `most` is not.
pub fn least(most: f64, enough: impl Fn(f64) -> bool) -> Option<f64> {
    const HALVINGS: u32 = 30;
    let (mut less, mut more) = (0.0, most);
    if !enough(more) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = (less + more) / 2.0;
        if enough(middle) { more = middle } else { less = middle }
    }
    Some(more)
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
    fn the_least_that_is_enough_is_enough() {
        let found = least(20.0, |x| x >= 1.3).unwrap();
        assert!((1.3..1.3 + 2e-8).contains(&found));
        assert_eq!(least(1.0, |x| x > 2.0), None);
    }

    #[test]
    fn climbs_the_hill_or_stays_at_its_end() {
        let (x, _) = highest(0.0, 5.0, 1e-9, |x| -(x - 2.0) * (x - 2.0));
        assert!((x - 2.0).abs() < 1e-7);
        assert_eq!(highest(0.0, 5.0, 1e-9, |x| x).0, 5.0);
        // A roof with unlike slopes, a top as flat as a fourth power, and one that is
        // only there for a hundredth: each has one hill, and a bound on the work.
        type Hill<'f> = (&'f dyn Fn(f64) -> f64, f64, f64);
        let hills: [Hill<'_>; 3] = [
            (&|x| if x < 1.7 { x } else { 1.7 - 9.0 * (x - 1.7) }, 1.7, 1e-7),
            (&|x| -(x - 3.1) * (x - 3.1) * (x - 3.1) * (x - 3.1), 3.1, 1e-3),
            (&|x| libm::exp(-(x - 0.4) * (x - 0.4) * 100.0), 0.4, 1e-7),
        ];
        for (f, want, near) in hills {
            let mut count = 0;
            let (x, y) = highest(0.0, 5.0, 1e-8, |x| {
                count += 1;
                f(x)
            });
            assert!((x - want).abs() < near && y >= f(want) - 1e-7, "{x} for {want}");
            assert!(count < 70, "{count}");
        }
        let (x, _) = highest(0.0, 1.0, 1e-9, |_| f64::NAN);
        assert!((0.0..=1.0).contains(&x));
    }
}
