//! How many careful builds swing as wanted.

use super::window::Pair;

/// How the swing changes with crank, rod and lever, rad per mm.
pub(super) fn slopes(pair: &Pair, b: f64) -> [f64; 3] {
    let Pair { a, c, d } = *pair;
    let at = |x: f64| {
        let sin = libm::sin(pair.gamma(x)).max(1e-12);
        (x / (c * d * sin), -(x * x + c * c - d * d) / (2.0 * c * c * d * sin))
    };
    let ((far_x, far_c), (near_x, near_c)) = (at(b + a), at(b - a));
    [far_x + near_x, far_x - near_x, far_c - near_c]
}

/// The share of builds whose swing misses by at most `tolerance`, when each
/// length is off by anything up to `error` mm, all equally likely: the swing is
/// `off` plus a sum of evenly spread terms. Angles in rad; first order.
pub(super) fn share(slopes: &[f64], error: f64, off: f64, tolerance: f64) -> f64 {
    let mut widths: Vec<f64> = slopes.iter().map(|s| (s * error).abs()).collect();
    let most = widths.iter().copied().fold(0.0, f64::max);
    // A term of a hundredth adds a ten-thousandth of the spread, and would divide
    // small differences by a small number.
    widths.retain(|w| *w > 0.01 * most);
    if most <= 1e-12 {
        return if off.abs() <= tolerance { 1.0 } else { 0.0 };
    }
    (below(&widths, tolerance - off) - below(&widths, -tolerance - off)).clamp(0.0, 1.0)
}

/// The probability that a sum of independent terms, each even on +-width, is
/// below z: a signed sum of powers over the corners of the box.
fn below(widths: &[f64], z: f64) -> f64 {
    let n = widths.len();
    let total: f64 = widths.iter().sum();
    if z >= total {
        return 1.0;
    }
    if z <= -total {
        return 0.0;
    }
    let mut sum = 0.0;
    for corner in 0..1u32 << n {
        let mut at = z;
        for (i, w) in widths.iter().enumerate() {
            at += if corner >> i & 1 == 1 { -w } else { *w };
        }
        let power = (0..n).fold(1.0, |p, _| p * at.max(0.0));
        sum += if corner.count_ones() % 2 == 1 { -power } else { power };
    }
    let factorial: f64 = (1..=n).map(|i| i as f64).product();
    sum / (factorial * widths.iter().map(|w| 2.0 * w).product::<f64>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_even_term_and_two() {
        // Even on +-2: half of it within 1. Two equal terms: a triangle.
        assert!((share(&[2.0, 0.0, 0.0], 1.0, 0.0, 1.0) - 0.5).abs() < 1e-12);
        assert!((share(&[1.0, 1.0, 0.0], 1.0, 0.0, 1.0) - 0.75).abs() < 1e-12);
        assert!((share(&[1.0, 1.0, 0.0], 1.0, 2.0, 1.0) - 0.125).abs() < 1e-12);
        assert_eq!(share(&[0.0; 3], 1.0, 0.5, 1.0), 1.0);
    }

    #[test]
    fn agrees_with_counted_builds() {
        // The bear's drum arm: crank 30, lever 80, rod 159.9, motor 176.28 away.
        let d = libm::hypot(160.0, 74.0);
        let pair = Pair { a: 30.0, c: 80.0, d };
        let b = pair.valley();
        let (want, tolerance) = (44f64.to_radians(), 1f64.to_radians());
        let n = 40;
        let step = |i: i32| (f64::from(i) + 0.5) / f64::from(n) * 2.0 - 1.0;
        let mut good = 0;
        for (i, j, k) in
            (0..n).flat_map(|i| (0..n).flat_map(move |j| (0..n).map(move |k| (i, j, k))))
        {
            let built = Pair { a: 30.0 + step(i), c: 80.0 + step(k), d };
            good += i32::from((built.swing(b + step(j)) - want).abs() <= tolerance);
        }
        let counted = f64::from(good) / f64::from(n * n * n);
        let got = share(&slopes(&pair, b), 1.0, pair.swing(b) - want, tolerance);
        assert!((got - counted).abs() < 0.01, "{got} {counted}");
    }
}
