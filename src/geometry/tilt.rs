//! What a plane that may stand turned does to a weight in it.

use crate::units::Deg;

/// Least and largest cosine of all angles from one to another, `from` not above `to`.
#[must_use]
pub fn cosines(from: Deg, to: Deg) -> (f64, f64) {
    let ends = [from, to].map(|a| libm::cos(a.rad().0));
    // A multiple of half a turn between them is an extreme.
    let reaches = |peak: f64| ((from.0 - peak) / 360.0).ceil() * 360.0 + peak <= to.0;
    let least = if reaches(180.0) { -1.0 } else { ends[0].min(ends[1]) };
    let most = if reaches(0.0) { 1.0 } else { ends[0].max(ends[1]) };
    (least, most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cosines_are_those_of_dense_sampling() {
        for (from, to) in
            [(-30.0, 20.0), (10.0, 80.0), (100.0, 260.0), (-400.0, -170.0), (5.0, 5.0)]
        {
            let all = (0..=10_000)
                .map(|i| libm::cos((from + (to - from) * f64::from(i) / 1e4_f64).to_radians()));
            let want = all.fold((f64::MAX, f64::MIN), |(l, h), c| (l.min(c), h.max(c)));
            let got = cosines(Deg(from), Deg(to));
            assert!((got.0 - want.0).abs() < 1e-6 && (got.1 - want.1).abs() < 1e-6, "{from} {to}");
        }
    }
}
