//! Meters: how many beats a bar has and how a beat divides.

use crate::units::Beats;

/// A meter this program counts in.
///
/// In the simple meters (n/4) a beat is the quarter; in the compound ones (n/8)
/// it is the dotted quarter, the one people feel and a tempo counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meter {
    /// 2/4: two quarters.
    TwoFour,
    /// 3/4: three quarters.
    ThreeFour,
    /// 4/4: four quarters.
    FourFour,
    /// 6/8: two dotted quarters.
    SixEight,
    /// 9/8: three dotted quarters.
    NineEight,
    /// 12/8: four dotted quarters.
    TwelveEight,
}

impl Meter {
    /// All of them, in the order a message lists them.
    pub const ALL: [Self; 6] = [
        Self::TwoFour,
        Self::ThreeFour,
        Self::FourFour,
        Self::SixEight,
        Self::NineEight,
        Self::TwelveEight,
    ];

    /// As a musician writes it: `6/8`.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::TwoFour => "2/4",
            Self::ThreeFour => "3/4",
            Self::FourFour => "4/4",
            Self::SixEight => "6/8",
            Self::NineEight => "9/8",
            Self::TwelveEight => "12/8",
        }
    }

    /// The meter written as `text`, if it is one of [`Meter::ALL`].
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.text() == text)
    }

    /// Beats in one bar: 2, 3 or 4.
    #[must_use]
    pub const fn beats_per_bar(self) -> i64 {
        match self {
            Self::TwoFour | Self::SixEight => 2,
            Self::ThreeFour | Self::NineEight => 3,
            Self::FourFour | Self::TwelveEight => 4,
        }
    }

    /// Eighths in one beat: 2 in simple meters, 3 in compound ones.
    #[must_use]
    pub const fn eighths_per_beat(self) -> i64 {
        match self {
            Self::TwoFour | Self::ThreeFour | Self::FourFour => 2,
            Self::SixEight | Self::NineEight | Self::TwelveEight => 3,
        }
    }

    /// The length of a bar.
    #[must_use]
    pub const fn bar(self) -> Beats {
        Beats::whole(self.beats_per_bar())
    }

    /// The length of an eighth: half a beat or a third of one.
    #[must_use]
    pub const fn eighth(self) -> Beats {
        Beats(Beats::PARTS / self.eighths_per_beat())
    }
}

impl std::fmt::Display for Meter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.text())
    }
}
