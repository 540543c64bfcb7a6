//! Grashof's classes of a four-bar, decided without losing digits.

use crate::units::Decimal;

/// What kind of four-bar the lengths make, by which bars can turn fully.
///
/// Grashof's rule: with s the shortest, l the longest and p, q the other bars,
/// some bar turns fully if s + l < p + q; which, the shortest bar decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Crank shortest: the crank turns, the lever rocks.
    CrankRocker,
    /// Ground shortest: crank and lever turn.
    DoubleCrank,
    /// Lever shortest: the lever turns, the crank rocks.
    RockerCrank,
    /// Rod shortest: crank and lever rock, the rod turns.
    DoubleRocker,
    /// s + l > p + q: nothing turns fully.
    TripleRocker,
    /// s + l = p + q within [`CHANGE_POINT`]: all bars can come into one line,
    /// and from there the linkage may go on in either assembly.
    ChangePoint,
    /// The longest bar is at least as long as the others together.
    NonAssembling,
}

/// How near s + l and p + q count as equal: this share of the longest bar.
pub const CHANGE_POINT: f64 = 1e-9;

impl Class {
    /// The word in reports.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::CrankRocker => "crank-rocker",
            Self::DoubleCrank => "double-crank",
            Self::RockerCrank => "rocker-crank",
            Self::DoubleRocker => "double-rocker",
            Self::TripleRocker => "triple-rocker",
            Self::ChangePoint => "change-point",
            Self::NonAssembling => "non-assembling",
        }
    }

    /// The class of lengths in one unit: ground, crank, rod, lever; positive.
    #[must_use]
    pub fn of(ground: f64, crank: f64, rod: f64, lever: f64) -> Self {
        let mut sorted = [ground, crank, rod, lever];
        sorted.sort_by(f64::total_cmp);
        let [s, p, q, l] = sorted;
        let near = CHANGE_POINT * l;
        if sum([s, p, q, -l]) <= near {
            return Self::NonAssembling;
        }
        let margin = sum([p, q, -s, -l]);
        if margin.abs() <= near {
            Self::ChangePoint
        } else if margin < 0.0 {
            Self::TripleRocker
        } else {
            Self::of_shortest(s == crank, s == ground, s == lever)
        }
    }

    /// The class of lengths known exactly, without any tolerance; `None` where
    /// the sums do not fit an exact number.
    #[must_use]
    pub fn of_exact(ground: Decimal, crank: Decimal, rod: Decimal, lever: Decimal) -> Option<Self> {
        let mut sorted = [ground, crank, rod, lever];
        for i in 1..4 {
            for j in (1..=i).rev() {
                if sorted[j].plus(sorted[j - 1].negated())?.is_negative() {
                    sorted.swap(j, j - 1);
                }
            }
        }
        let [s, p, q, l] = sorted;
        let all = s.plus(p)?.plus(q)?.plus(l.negated())?;
        if all.is_negative() || all == Decimal::ZERO {
            return Some(Self::NonAssembling);
        }
        let margin = p.plus(q)?.plus(s.negated())?.plus(l.negated())?;
        Some(if margin == Decimal::ZERO {
            Self::ChangePoint
        } else if margin.is_negative() {
            Self::TripleRocker
        } else {
            Self::of_shortest(s == crank, s == ground, s == lever)
        })
    }

    /// Two bars cannot both be shortest when s + l < p + q.
    const fn of_shortest(crank: bool, ground: bool, lever: bool) -> Self {
        if crank {
            Self::CrankRocker
        } else if ground {
            Self::DoubleCrank
        } else if lever {
            Self::RockerCrank
        } else {
            Self::DoubleRocker
        }
    }
}

/// The sum of four numbers as if exact, rounded once (nearly always): what is
/// left of lengths that almost cancel keeps its digits. Method: T. J. Dekker,
/// Numer. Math. 18 (1971) 224-242, and D. E. Knuth's two-sum.
pub(super) fn sum(terms: [f64; 4]) -> f64 {
    let (mut total, mut lost) = (terms[0], 0.0);
    for &t in &terms[1..] {
        let s = total + t;
        let back = s - total;
        lost += (total - (s - back)) + (t - back);
        total = s;
    }
    total + lost
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn change_points_in_tenths_are_seen() {
        let mut wrong_in_floats = 0;
        for (s, p, q) in (1..60).flat_map(|s| (61..90).map(move |p| (s, p, 97))) {
            let l = p + q - s;
            let t = |n: i64| n as f64 / 10.0;
            let d = |n: i64| Decimal::ratio(i128::from(n), 10);
            assert_eq!(Class::of(t(l), t(s), t(p), t(q)), Class::ChangePoint);
            assert_eq!(Class::of_exact(d(l), d(s), d(p), d(q)), Some(Class::ChangePoint));
            wrong_in_floats += usize::from(t(s) + t(l) != t(p) + t(q));
        }
        assert!(wrong_in_floats > 100, "the plain sums would do: no test");
    }

    #[test]
    fn exact_lengths_need_no_tolerance() {
        let d = |text| Decimal::read(text).unwrap();
        let (g, c, r) = (d("7"), d("2"), d("4.5"));
        let just = Class::of_exact(g, c, r, d("4.500000000001"));
        assert_eq!(just, Some(Class::CrankRocker));
        assert_eq!(Class::of(7.0, 2.0, 4.5, 4.500_000_000_001), Class::ChangePoint);
    }

    #[test]
    fn a_bar_as_long_as_the_rest_does_not_assemble() {
        assert_eq!(Class::of(6.0, 1.0, 2.0, 3.0), Class::NonAssembling);
        assert_eq!(Class::of(7.0, 1.0, 2.0, 3.0), Class::NonAssembling);
        assert_eq!(Class::of(5.5, 1.0, 2.0, 3.0), Class::TripleRocker);
    }
}
