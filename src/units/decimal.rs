//! Exact decimals and rationals: `3.5`, `1/4` and `3 1/2` without rounding.

/// An exact rational number, kept reduced; the denominator is positive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decimal {
    num: i128,
    den: i128,
}

/// Why a text is not a number this program takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalError {
    /// Not digits with at most one point.
    NotANumber,
    /// More digits than an exact value can be kept for.
    TooLong,
    /// A fraction with a zero under its line.
    ZeroDenominator,
}

/// The greatest common divisor, never zero.
const fn gcd(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.unsigned_abs(), b.unsigned_abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    if a == 0 { 1 } else { a as i128 }
}

impl Decimal {
    /// Nought.
    pub const ZERO: Self = Self { num: 0, den: 1 };

    /// `num / den` reduced; `den` must not be zero.
    #[must_use]
    pub const fn ratio(num: i128, den: i128) -> Self {
        let g = gcd(num, den);
        let s = if den < 0 { -1 } else { 1 };
        Self { num: s * num / g, den: s * den / g }
    }

    /// Reads `12`, `-2.3`, `+0.5` or `7/16`.
    ///
    /// # Errors
    /// Where the text is no number, has more than 15 digits in all, or divides
    /// by zero.
    pub fn read(text: &str) -> Result<Self, DecimalError> {
        if let Some((n, d)) = text.split_once('/') {
            let (n, d) = (Self::read(n)?, Self::read(d)?);
            if n.den != 1 || d.den != 1 {
                return Err(DecimalError::NotANumber);
            }
            if d.num == 0 {
                return Err(DecimalError::ZeroDenominator);
            }
            return Ok(Self::ratio(n.num, d.num));
        }
        let (sign, digits) = match text.as_bytes().first() {
            Some(b'-') => (-1, &text[1..]),
            Some(b'+') => (1, &text[1..]),
            _ => (1, text),
        };
        let (mut num, mut den, mut seen, mut point) = (0i128, 1i128, 0u32, false);
        for b in digits.bytes() {
            match b {
                b'0'..=b'9' => {
                    seen += 1;
                    if seen > 15 {
                        return Err(DecimalError::TooLong);
                    }
                    num = num * 10 + i128::from(b - b'0');
                    if point {
                        den *= 10;
                    }
                }
                b'.' if !point => point = true,
                _ => return Err(DecimalError::NotANumber),
            }
        }
        if seen == 0 || digits.ends_with('.') {
            return Err(DecimalError::NotANumber);
        }
        Ok(Self::ratio(sign * num, den))
    }

    /// The sum, exact; `None` where it does not fit.
    #[must_use]
    pub fn plus(self, o: Self) -> Option<Self> {
        let num = self.num.checked_mul(o.den)?.checked_add(o.num.checked_mul(self.den)?)?;
        Some(Self::ratio(num, self.den.checked_mul(o.den)?))
    }

    /// The product, exact; `None` where it does not fit.
    #[must_use]
    pub fn times(self, o: Self) -> Option<Self> {
        Some(Self::ratio(self.num.checked_mul(o.num)?, self.den.checked_mul(o.den)?))
    }

    /// The same size with the other sign.
    #[must_use]
    pub const fn negated(self) -> Self {
        Self { num: -self.num, den: self.den }
    }

    /// Whether it is below zero.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.num < 0
    }

    /// The whole number it is, if it is one.
    #[must_use]
    pub fn whole(self) -> Option<i64> {
        (self.den == 1).then(|| i64::try_from(self.num).ok()).flatten()
    }

    /// The nearest `f64`, rounded once (to even), whatever the size of the parts.
    #[must_use]
    pub fn value(self) -> f64 {
        const EXACT: i128 = 1 << 53;
        if self.num.abs() <= EXACT && self.den <= EXACT {
            // Both convert exactly and IEEE division rounds once.
            return self.num as f64 / self.den as f64;
        }
        // Long division in integers: 64 quotient bits and a sticky one, then a
        // single rounding by the conversion from u128.
        let (n, d) = (self.num.unsigned_abs(), self.den.unsigned_abs());
        let (mut q, mut r) = (n / d, n % d);
        let mut shift = 0i32;
        while q < (1 << 64) && shift < 1200 {
            // d fits 127 bits, so r << 1 fits 128.
            r <<= 1;
            q = (q << 1) | u128::from(r >= d);
            if r >= d {
                r -= d;
            }
            shift += 1;
        }
        let q = q | u128::from(r != 0);
        let size = libm::ldexp(q as f64, -shift);
        if self.num < 0 { -size } else { size }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_a_ruler_says() {
        assert_eq!(Decimal::read("7/16"), Ok(Decimal::ratio(7, 16)));
        assert_eq!(Decimal::read("-2.30"), Ok(Decimal::ratio(-23, 10)));
        assert_eq!(Decimal::read("1/0"), Err(DecimalError::ZeroDenominator));
        for bad in ["", ".", "1.", "1e9", "1.2.3", "--1", "1/", "1.5/2"] {
            assert_eq!(Decimal::read(bad), Err(DecimalError::NotANumber), "{bad}");
        }
        assert_eq!(Decimal::read("1234567890123456"), Err(DecimalError::TooLong));
    }

    #[test]
    fn long_division_rounds_like_the_standard_parser() {
        // The standard library's decimal reader is the outside reference here.
        for (n, k) in [(1i128, 25), (123_456_789_012_345, 30), (99_999_999_999_999, 22), (7, 28)] {
            let exact = Decimal { num: n, den: 10i128.pow(k) }.value();
            let text: f64 = format!("{n}e-{k}").parse().unwrap();
            assert_eq!(exact.to_bits(), text.to_bits(), "{n}e-{k}");
        }
    }
}
