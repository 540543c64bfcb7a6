//! The door every number of an output passes: finite, and never minus nought.

/// A number that may be written: finite, with -0 made 0.
///
/// JSON has no word for NaN or infinity, and a writer that turns them into
/// `null` would hide a fault; a value that is no number is left out instead.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, serde::Serialize)]
#[serde(transparent)]
pub struct Finite(f64);

impl Finite {
    /// The number, if it is one.
    #[must_use]
    pub fn new(value: f64) -> Option<Self> {
        // Adding 0 turns -0 into 0 and changes nothing else.
        value.is_finite().then_some(Self(value + 0.0))
    }

    /// The number.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_numbers_pass() {
        assert_eq!(Finite::new(f64::NAN), None);
        assert_eq!(Finite::new(f64::NEG_INFINITY), None);
        assert_eq!(Finite::new(5e-324).map(Finite::get), Some(5e-324));
        let nought = serde_json::to_string(&Finite::new(-0.0)).unwrap();
        assert_eq!(nought, "0.0");
    }
}
