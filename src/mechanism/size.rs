//! Placeholder until the solver lands.

/// What to prefer among answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Prefer {
    /// Largest worst push angle.
    #[default]
    Push,
    /// Largest share of builds inside tolerance.
    Build,
    /// Smallest torque.
    Light,
    /// Even to and fro.
    Even,
}

/// What the maker said of a length (mm) or angle (deg).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Size {
    /// This much.
    Given(f64),
    /// Open.
    Free,
    /// Open within.
    Between {
        /// Least.
        lo: f64,
        /// Most.
        hi: f64,
    },
    /// Open, one of a row of holes.
    Row {
        /// First.
        lo: f64,
        /// Last.
        hi: f64,
        /// Step.
        step: f64,
    },
}
