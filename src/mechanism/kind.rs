//! The kinds of mechanism and their words.

/// Every kind of drive the language knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Motor crank, rod, lever: the common swing.
    FourBar,
    /// Crank pin in a slot.
    SlottedArm,
    /// Crank and rod to a limb that slides.
    SliderCrank,
    /// Crank pin in a crossways slot of a limb that slides.
    ScotchYoke,
    /// Plate cam and follower.
    Cam,
    /// Hobby servo, direct or through arm and rod.
    Servo,
    /// Electric linear actuator between board and limb.
    Ram,
    /// Air cylinder between board and limb.
    Cylinder,
    /// Cord pulled one way, returned by gravity or a spring.
    Cord,
    /// Continuous turning, direct or through belt, chain or gears.
    Spin,
    /// A rod pushed by another limb instead of a motor.
    FourBarFrom,
}

impl Kind {
    /// All kinds, in the order of the reference page.
    pub const ALL: [Self; 11] = [
        Self::FourBar,
        Self::SlottedArm,
        Self::SliderCrank,
        Self::ScotchYoke,
        Self::Cam,
        Self::Servo,
        Self::Ram,
        Self::Cylinder,
        Self::Cord,
        Self::Spin,
        Self::FourBarFrom,
    ];

    /// The word in a `.yard` file after `drive`; [`Kind::FourBarFrom`] is written
    /// `four-bar from LIMB` and shares its word with [`Kind::FourBar`].
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::FourBarFrom => "four-bar",
            other => other.name(),
        }
    }

    /// The name in reports; no two kinds share one.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::FourBar => "four-bar",
            Self::SlottedArm => "slotted-arm",
            Self::SliderCrank => "slider-crank",
            Self::ScotchYoke => "scotch-yoke",
            Self::Cam => "cam",
            Self::Servo => "servo",
            Self::Ram => "ram",
            Self::Cylinder => "cylinder",
            Self::Cord => "cord",
            Self::Spin => "spin",
            Self::FourBarFrom => "four-bar-from",
        }
    }

    /// The kind a word after `drive` names.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.word() == word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_lead_back_and_names_are_unique() {
        let names: std::collections::BTreeSet<_> = Kind::ALL.iter().map(|k| k.name()).collect();
        assert_eq!(names.len(), Kind::ALL.len());
        for k in Kind::ALL {
            let back = Kind::of_word(k.word());
            let want = if k == Kind::FourBarFrom { Kind::FourBar } else { k };
            assert_eq!(back, Some(want));
        }
        assert_eq!(Kind::of_word("hinge"), None);
    }
}
