//! How a follower gets from one level to the other: the motion laws.
//!
//! Every law leads from 0 to 1 while its share of the cam's turn runs from 0 to 1.
//! Formulas: R. L. Norton, Design of Machinery, ch. 8; VDI 2143 Bl. 1.

use std::f64::consts::PI;

/// A level with its first three derivatives.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Level {
    /// The level: 0 low, 1 high.
    pub v: f64,
    /// First derivative.
    pub d: f64,
    /// Second derivative.
    pub dd: f64,
    /// Third derivative; infinite jumps of the second are left out.
    pub ddd: f64,
}

/// A motion law.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Law {
    /// Constant acceleration, then constant deceleration.
    Parabolic,
    /// Half a wave of the cosine: soft in the middle, knocks where a dwell begins.
    Harmonic,
    /// A rolling point of a circle: no knock at all.
    Cycloidal,
    /// The polynomial 10 x^3 - 15 x^4 + 6 x^5.
    #[default]
    Poly345,
    /// The polynomial 35 x^4 - 84 x^5 + 70 x^6 - 20 x^7: the softest ends.
    Poly4567,
    /// Two sines joined: the lowest peak speed of the knockless laws.
    ModifiedSine,
    /// A trapezoid of acceleration with rounded corners.
    ModifiedTrapezoid,
}

/// A law's largest derivatives: for a lift h over a cam angle b, speed is
/// velocity h/b, acceleration h/b^2 times the next, jerk h/b^3 times the last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// Peak of the first derivative.
    pub velocity: f64,
    /// Peak of the second, without its sign.
    pub acceleration: f64,
    /// Peak of the third, without its sign; `None` where the acceleration jumps
    /// between dwells.
    pub jerk: Option<f64>,
}

impl Law {
    /// All of them, in the order of the reference page.
    pub const ALL: [Self; 7] = [
        Self::Parabolic,
        Self::Harmonic,
        Self::Cycloidal,
        Self::Poly345,
        Self::Poly4567,
        Self::ModifiedSine,
        Self::ModifiedTrapezoid,
    ];

    /// The words of the language, in the order of [`Law::ALL`].
    pub const WORDS: [&'static str; 7] = [
        "parabolic",
        "harmonic",
        "cycloidal",
        "poly-345",
        "poly-4567",
        "modified-sine",
        "modified-trapezoid",
    ];

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// The law a word names.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|l| l.word() == word)
    }

    /// Its peak factors in closed form.
    #[must_use]
    pub fn factors(self) -> Factors {
        let (velocity, acceleration, jerk) = match self {
            Self::Parabolic => (2.0, 4.0, None),
            Self::Harmonic => (PI / 2.0, PI * PI / 2.0, None),
            Self::Cycloidal => (2.0, 2.0 * PI, Some(4.0 * PI * PI)),
            Self::Poly345 => (15.0 / 8.0, 10.0 / 3f64.sqrt(), Some(60.0)),
            Self::Poly4567 => (35.0 / 16.0, 84.0 * 5f64.sqrt() / 25.0, Some(52.5)),
            Self::ModifiedSine => {
                let k = 4.0 * PI / (PI + 4.0);
                (k, k * PI, Some(4.0 * k * PI * PI))
            }
            Self::ModifiedTrapezoid => {
                let k = 8.0 * PI / (PI + 2.0);
                (2.0, k, Some(4.0 * PI * k))
            }
        };
        Factors { velocity, acceleration, jerk }
    }

    /// Where its formula changes, ends included: between two of these it is smooth.
    #[must_use]
    pub const fn breaks(self) -> &'static [f64] {
        match self {
            Self::Parabolic => &[0.0, 0.5, 1.0],
            Self::ModifiedSine => &[0.0, 0.125, 0.875, 1.0],
            Self::ModifiedTrapezoid => &[0.0, 0.125, 0.375, 0.625, 0.875, 1.0],
            _ => &[0.0, 1.0],
        }
    }

    /// The level at a share of the way; outside [0, 1] the nearer end.
    #[must_use]
    pub fn at(self, share: f64) -> Level {
        let x = if share > 0.0 { share.min(1.0) } else { 0.0 };
        let inner = &self.breaks()[1..self.breaks().len() - 1];
        self.piece(inner.iter().filter(|b| x >= **b).count(), x)
    }

    /// The formula between two neighbouring breaks, `piece` counted from 0; at a
    /// break the neighbours differ in what jumps there.
    #[must_use]
    pub fn piece(self, piece: usize, x: f64) -> Level {
        match self {
            Self::Parabolic if piece == 0 => {
                Level { v: 2.0 * x * x, d: 4.0 * x, dd: 4.0, ddd: 0.0 }
            }
            Self::Parabolic => mirrored(self.piece(0, 1.0 - x)),
            Self::Harmonic => {
                let (s, c) = libm::sincos(PI * x);
                let k = PI / 2.0;
                Level { v: (1.0 - c) / 2.0, d: k * s, dd: k * PI * c, ddd: -k * PI * PI * s }
            }
            Self::Cycloidal => {
                let w = 2.0 * PI;
                let (s, c) = libm::sincos(w * x);
                Level { v: x - s / w, d: 1.0 - c, dd: w * s, ddd: w * w * c }
            }
            Self::Poly345 => Level {
                v: x * x * x * (10.0 + x * (-15.0 + 6.0 * x)),
                d: x * x * (30.0 + x * (-60.0 + 30.0 * x)),
                dd: x * (60.0 + x * (-180.0 + 120.0 * x)),
                ddd: 60.0 + x * (-360.0 + 360.0 * x),
            },
            Self::Poly4567 => Level {
                v: x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))),
                d: x * x * x * (140.0 + x * (-420.0 + x * (420.0 - 140.0 * x))),
                dd: x * x * (420.0 + x * (-1680.0 + x * (2100.0 - 840.0 * x))),
                ddd: x * (840.0 + x * (-5040.0 + x * (8400.0 - 4200.0 * x))),
            },
            Self::ModifiedSine => modified_sine(piece, x),
            Self::ModifiedTrapezoid if piece > 2 => {
                mirrored(modified_trapezoid(4 - piece, 1.0 - x))
            }
            Self::ModifiedTrapezoid => modified_trapezoid(piece, x),
        }
    }
}

/// The second half of a law that is the first half backwards and upside down.
fn mirrored(l: Level) -> Level {
    Level { v: 1.0 - l.v, d: l.d, dd: -l.dd, ddd: l.ddd }
}

fn modified_sine(piece: usize, x: f64) -> Level {
    let per = 1.0 / (4.0 + PI);
    if piece == 1 {
        let w = 4.0 * PI / 3.0;
        let (s, c) = libm::sincos(PI / 3.0 + w * x);
        return Level {
            v: per * (2.0 + PI * x - 2.25 * s),
            d: per * PI * (1.0 - 3.0 * c),
            dd: per * 4.0 * PI * PI * s,
            ddd: per * 4.0 * PI * PI * w * c,
        };
    }
    let w = 4.0 * PI;
    let (s, c) = libm::sincos(w * x);
    let base = if piece == 0 { 0.0 } else { 4.0 };
    Level {
        v: per * (base + PI * x - 0.25 * s),
        d: per * PI * (1.0 - c),
        dd: per * PI * w * s,
        ddd: per * PI * w * w * c,
    }
}

/// Its first three pieces; the last two mirror the first two.
fn modified_trapezoid(piece: usize, x: f64) -> Level {
    let (a, w) = (8.0 * PI / (2.0 + PI), 4.0 * PI);
    let v1 = a / w;
    let y1 = v1 * (0.125 - 1.0 / w);
    match piece {
        0 => {
            let (s, c) = libm::sincos(w * x);
            Level { v: v1 * (x - s / w), d: v1 * (1.0 - c), dd: a * s, ddd: a * w * c }
        }
        1 => {
            let t = x - 0.125;
            Level { v: y1 + t * (v1 + 0.5 * a * t), d: v1 + a * t, dd: a, ddd: 0.0 }
        }
        _ => {
            let t = x - 0.375;
            let v2 = v1 + 0.25 * a;
            let y2 = y1 + 0.25 * v1 + a / 32.0;
            let (s, c) = libm::sincos(w * t);
            Level {
                v: y2 + v2 * t + v1 / w * (1.0 - c),
                d: v2 + v1 * s,
                dd: a * c,
                ddd: -a * w * s,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_law_leads_from_low_to_high_and_joins_at_its_breaks() {
        for law in Law::ALL {
            assert_eq!(Law::of_word(law.word()), Some(law));
            let (low, high) = (law.at(0.0), law.at(1.0));
            assert!(low.v.abs() < 1e-15 && (high.v - 1.0).abs() < 1e-14, "{law:?}");
            assert!(low.d.abs() < 1e-14 && high.d.abs() < 1e-13, "{law:?}");
            for (k, pair) in law.breaks().windows(2).enumerate().skip(1) {
                let (l, r) = (law.piece(k - 1, pair[0]), law.piece(k, pair[0]));
                assert!((l.v - r.v).abs() < 1e-14 && (l.d - r.d).abs() < 1e-13, "{law:?} {k}");
                let jumps = (l.dd - r.dd).abs() > 1e-12;
                assert_eq!(jumps, law == Law::Parabolic, "{law:?} {k}");
            }
        }
        assert_eq!(Law::Cycloidal.at(f64::NAN), Law::Cycloidal.at(0.0));
        assert_eq!(Law::of_word("dwell"), None);
    }
}
