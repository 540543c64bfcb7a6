//! Number tokens: decimals, fractions and mixed numbers, exact.

use crate::units::{Decimal, Scale, Unit};

/// A number of at most 15 digits as a fraction that need not be reduced: the quick
/// form of [`Decimal`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Num {
    pub(super) num: i64,
    pub(super) den: i64,
}

/// Why a token is no plain number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NumFault {
    TooLong,
    ZeroBelow,
    Sum,
    Clock,
    Date,
    Other,
}

impl Num {
    pub(super) fn exact(self) -> Decimal {
        Decimal::ratio(i128::from(self.num), i128::from(self.den))
    }

    pub(super) fn value(self) -> f64 {
        // Both have at most 16 digits; below 2^53 one division rounds once.
        const EXACT: i64 = 1 << 53;
        if self.num.abs() <= EXACT && self.den <= EXACT {
            return self.num as f64 / self.den as f64;
        }
        self.exact().value()
    }

    pub(super) fn is_fraction(self, text: &str) -> bool {
        self.num >= 0 && text.contains('/') && text.as_bytes()[0].is_ascii_digit()
    }

    /// In the unit's canonical one; `None` where it is too large to be exact.
    pub(super) fn scaled(self, unit: &Unit) -> Option<f64> {
        const EXACT: u64 = 1 << 53;
        if let Scale::Exact(n, d) = unit.scale
            && let (Ok(n), Ok(d)) = (i64::try_from(n), i64::try_from(d))
            && let (Some(a), Some(b)) = (self.num.checked_mul(n), self.den.checked_mul(d))
            && a.unsigned_abs() <= EXACT
            && b.unsigned_abs() <= EXACT
        {
            return Some(a as f64 / b as f64);
        }
        unit.scale(self.exact())
    }

    /// Reads digits with at most one point and no sign.
    pub(super) fn digits(text: &[u8]) -> Result<Self, NumFault> {
        let (mut num, mut den, mut seen, mut point) = (0i64, 1i64, 0, false);
        for &b in text {
            match b {
                b'0'..=b'9' => {
                    seen += 1;
                    if seen > 15 {
                        return Err(NumFault::TooLong);
                    }
                    num = num * 10 + i64::from(b - b'0');
                    den *= if point { 10 } else { 1 };
                }
                b'.' if !point => point = true,
                _ => return Err(NumFault::Other),
            }
        }
        let whole = seen > 0 && text.last() != Some(&b'.');
        if whole { Ok(Self { num, den }) } else { Err(NumFault::Other) }
    }

    /// Reads `12`, `-2.3`, `7/16`, `3-1/2`.
    pub(super) fn read(text: &str) -> Result<Self, NumFault> {
        let bytes = text.as_bytes();
        let (sign, rest) = match bytes.first() {
            Some(b'-') => (-1, &bytes[1..]),
            Some(b'+') => (1, &bytes[1..]),
            _ => (1, bytes),
        };
        let plain = Self::digits(rest);
        let n = match plain {
            Err(NumFault::Other) => Self::odd(rest)?,
            other => other?,
        };
        Ok(Self { num: sign * n.num, den: n.den })
    }

    /// Reads a fraction or a mixed number, or says what else the token is.
    pub(super) fn odd(text: &[u8]) -> Result<Self, NumFault> {
        let has = |mark: u8| text.iter().filter(|b| **b == mark).count();
        let cut = |mark: u8| {
            let at = text.iter().position(|b| *b == mark).unwrap_or(text.len());
            (&text[..at], text.get(at + 1..).unwrap_or(&[]))
        };
        match (has(b':'), has(b'-'), has(b'/')) {
            (1.., 0, 0) => Err(NumFault::Clock),
            (0, 0, 1) => {
                let (n, d) = cut(b'/');
                Self::ratio(Self::whole(n)?, Self::whole(d)?)
            }
            (0, 1, 1) => {
                let (front, fraction) = cut(b'-');
                if !fraction.contains(&b'/') {
                    return Err(NumFault::Sum);
                }
                let front = Self::whole(front).map_err(|_| NumFault::Sum)?;
                Self { num: front, den: 1 }.and(Self::odd(fraction)?)
            }
            (0, 2, 0) => Err(NumFault::Date),
            (0, 1.., _) => Err(NumFault::Sum),
            _ => Err(NumFault::Other),
        }
    }

    pub(super) fn whole(text: &[u8]) -> Result<i64, NumFault> {
        let n = Self::digits(text)?;
        if n.den == 1 { Ok(n.num) } else { Err(NumFault::Other) }
    }

    pub(super) fn ratio(num: i64, den: i64) -> Result<Self, NumFault> {
        if den == 0 { Err(NumFault::ZeroBelow) } else { Ok(Self { num, den }) }
    }

    /// A whole number and the fraction behind it, both of the first's sign.
    pub(super) fn and(self, fraction: Self) -> Result<Self, NumFault> {
        let sign = if self.num < 0 { -1 } else { 1 };
        let front = self.num.checked_mul(fraction.den).ok_or(NumFault::TooLong)?;
        let num = front.checked_add(sign * fraction.num).ok_or(NumFault::TooLong)?;
        Ok(Self { num, den: fraction.den })
    }
}

impl Num {
    /// `-3 1/2` and also `-0 1/2`, whose sign only the text has.
    pub(super) fn signed_and(self, fraction: Self, text: &str) -> Result<Self, NumFault> {
        let size = Self { num: self.num.abs(), den: self.den }.and(fraction)?;
        let sign = if text.starts_with('-') { -1 } else { 1 };
        Ok(Self { num: sign * size.num, den: size.den })
    }
}

/// The exact size in the canonical unit.
pub(super) fn exact_in(num: Num, unit: &Unit) -> Option<Decimal> {
    match unit.scale {
        Scale::Exact(n, d) => num.exact().times(Decimal::ratio(n, d)),
        _ => None,
    }
}
