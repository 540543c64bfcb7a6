//! One newtype per kind of quantity, each in one canonical unit.

/// Defines newtypes over `f64` with the arithmetic that keeps their dimension.
macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident, $unit:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, serde::Serialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The canonical unit's symbol.
            pub const UNIT: &'static str = $unit;
            /// The value without its sign.
            #[must_use]
            pub fn abs(self) -> Self { Self(self.0.abs()) }
            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
        }
        impl std::ops::Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl std::ops::Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl std::ops::Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl std::ops::Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl std::ops::Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl std::ops::AddAssign for $name { fn add_assign(&mut self, o: Self) { self.0 += o.0 } }
        impl std::iter::Sum for $name { fn sum<I: Iterator<Item = Self>>(i: I) -> Self { Self(i.map(|v| v.0).sum()) } }
    )*};
}

quantities! {
    /// A length in millimetres.
    Mm, "mm";
    /// An angle in degrees, as a maker writes it; counter-clockwise is positive.
    Deg, "deg";
    /// An angle in radians, as the mathematics wants it.
    Rad, "rad";
    /// A time in seconds.
    Sec, "s";
    /// A mass in kilograms.
    Kg, "kg";
    /// Mass per area in kg/m2.
    KgPerM2, "kg/m2";
    /// A moment of inertia in kg.m2.
    KgM2, "kg.m2";
    /// A force in newtons.
    Newton, "N";
    /// A torque in newton metres.
    NewtonMetre, "N.m";
    /// A pressure or stress in pascals; air pressures are gauge.
    Pascal, "Pa";
    /// The product of pressure and rubbing speed that wears a bushing, Pa.m/s.
    PascalMetrePerSec, "Pa.m/s";
    /// A linear speed in m/s.
    MetrePerSec, "m/s";
    /// A rotational speed in turns a minute.
    Rpm, "rpm";
    /// A frequency in hertz.
    Hertz, "Hz";
    /// A tempo in beats a minute.
    Bpm, "bpm";
    /// An electric potential in volts.
    Volt, "V";
    /// A current in amperes.
    Amp, "A";
    /// A power in watts.
    Watt, "W";
    /// A resistance in ohms.
    Ohm, "ohm";
    /// A charge in ampere hours.
    AmpHour, "Ah";
    /// The cross-section of a conductor in mm2.
    Mm2, "mm2";
    /// A volume in litres.
    Litre, "l";
    /// A flow in litres a minute.
    LitrePerMin, "l/min";
    /// A share: 1 is the whole.
    Share, "1";
}

impl Deg {
    /// The same angle in radians.
    #[must_use]
    pub fn rad(self) -> Rad {
        Rad(self.0 * (std::f64::consts::PI / 180.0))
    }

    /// The same direction in (-180, 180].
    #[must_use]
    pub fn signed(self) -> Self {
        let r = self.0 % 360.0;
        Self(if r > 180.0 {
            r - 360.0
        } else if r <= -180.0 {
            r + 360.0
        } else {
            r + 0.0
        })
    }

    /// The same direction in [0, 360).
    #[must_use]
    pub fn positive(self) -> Self {
        let r = self.0 % 360.0;
        let r = if r < 0.0 { r + 360.0 } else { r + 0.0 };
        // -1e-20 + 360 rounds to 360 itself, which is the direction 0.
        Self(if r >= 360.0 { 0.0 } else { r })
    }
}

impl Rad {
    /// The same angle in degrees.
    #[must_use]
    pub fn deg(self) -> Deg {
        Deg(self.0 * (180.0 / std::f64::consts::PI))
    }
}

impl Rpm {
    /// The time of one turn; `None` at standstill.
    #[must_use]
    pub fn period(self) -> Option<Sec> {
        (self.0 != 0.0).then(|| Sec(60.0 / self.0.abs()))
    }

    /// Radians a second.
    #[must_use]
    pub fn rad_per_sec(self) -> f64 {
        self.0 * (std::f64::consts::PI / 30.0)
    }

    /// From radians a second.
    #[must_use]
    pub fn from_rad_per_sec(omega: f64) -> Self {
        Self(omega * (30.0 / std::f64::consts::PI))
    }
}

/// A musical length or position, counted exactly: one beat is 10,080 parts, so
/// halves, thirds, fifths, sevenths and their products stay whole numbers.
///
/// In 6/8, 9/8 and 12/8 a beat is the dotted quarter, which people feel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Beats(pub i64);

impl Beats {
    /// Parts in one beat: 2^5 x 3^2 x 5 x 7.
    pub const PARTS: i64 = 10_080;

    /// A whole number of beats.
    #[must_use]
    pub const fn whole(n: i64) -> Self {
        Self(n * Self::PARTS)
    }

    /// The count as a decimal number of beats.
    #[must_use]
    pub fn count(self) -> f64 {
        self.0 as f64 / Self::PARTS as f64
    }

    /// The nearest whole number of parts; `None` where the number is not finite
    /// or is longer than any show (10^9 beats).
    #[must_use]
    pub fn nearest(beats: f64) -> Option<Self> {
        (beats.abs() <= 1e9).then(|| Self((beats * Self::PARTS as f64).round() as i64))
    }
}

impl std::ops::Add for Beats {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self(self.0 + o.0)
    }
}
impl std::ops::Sub for Beats {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self(self.0 - o.0)
    }
}
impl std::ops::Mul<i64> for Beats {
    type Output = Self;
    fn mul(self, k: i64) -> Self {
        Self(self.0 * k)
    }
}
impl std::ops::Neg for Beats {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_wrap_into_their_half_open_ranges() {
        assert_eq!(Deg(180.0).signed(), Deg(180.0));
        assert_eq!(Deg(-180.0).signed(), Deg(180.0));
        assert_eq!(Deg(540.0).signed(), Deg(180.0));
        assert_eq!(Deg(-360.0).positive(), Deg(0.0));
        assert_eq!(Deg(-1e-20).positive(), Deg(0.0));
        assert!(Deg(-0.0).positive().0.is_sign_positive());
    }

    #[test]
    fn a_third_of_a_beat_is_a_whole_number_of_parts() {
        assert_eq!(Beats::nearest(1.0 / 3.0), Some(Beats(3360)));
        assert_eq!(Beats::nearest(f64::INFINITY), None);
    }
}
