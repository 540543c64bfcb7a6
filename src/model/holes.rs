//! How finely holes for pins are drilled.

use crate::units::Mm;

/// The pin at the ends of rods: M6 (common practice, no source; loads reckon with it).
pub const PIN: Mm = Mm(6.0);

/// The holes for the pins of rods, levers and cranks.
///
/// Three series of ISO 273; its `fine` is called close here, as makers and ASME B18.2.8 do.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum PinHoles {
    /// The closest that still goes together.
    Close,
    /// The usual one, where nothing is said.
    #[default]
    Medium,
    /// What is sure to go together.
    Coarse,
    /// Drilled or reamed to this diameter.
    Drilled(Mm),
}

impl PinHoles {
    /// The words of the language for a fit.
    pub const WORDS: &'static [&'static str] = &["close", "medium", "coarse"];

    /// The fit with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "close" => Some(Self::Close),
            "medium" => Some(Self::Medium),
            "coarse" => Some(Self::Coarse),
            _ => None,
        }
    }

    /// The hole for a pin of M6 (ISO 273: fine, medium, coarse).
    #[must_use]
    pub const fn diameter(self) -> Mm {
        match self {
            Self::Close => Mm(6.4),
            Self::Medium => Mm(6.6),
            Self::Coarse => Mm(7.0),
            Self::Drilled(hole) => hole,
        }
    }

    /// How far a pin of M6 moves from one side of its hole to the other.
    #[must_use]
    pub fn play(self) -> Mm {
        self.diameter() - PIN
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_a_fit() {
        assert!(PinHoles::WORDS.iter().all(|w| PinHoles::from_word(w).is_some()));
        assert_eq!(PinHoles::from_word("tight"), None);
    }

    /// ISO 273, M6: 6.4, 6.6 and 7 mm.
    #[test]
    fn play_is_hole_less_pin() {
        let all = PinHoles::WORDS.iter().filter_map(|w| PinHoles::from_word(w));
        for (play, by_hand) in all.map(|f| f.play().0).zip([0.4, 0.6, 1.0]) {
            assert!((play - by_hand).abs() < 1e-9);
        }
        assert!((PinHoles::Drilled(Mm(6.1)).play().0 - 0.1).abs() < 1e-9);
    }
}
