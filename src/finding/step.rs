//! The sum behind a number: what went into it and what came out, line by line.

/// One line of a sum, so that a person can do it again by hand.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Step {
    /// What it gives: "lower end of the swing".
    pub what: String,
    /// The rule with the numbers put in; empty for what was only looked up.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub sum: String,
    /// The result with its unit.
    pub result: String,
}

impl Step {
    /// A number that went in as it is.
    #[must_use]
    pub fn given(what: impl Into<String>, value: impl Into<String>) -> Self {
        Self::new(what, "", value)
    }

    /// A line of a sum.
    #[must_use]
    pub fn new(what: impl Into<String>, sum: impl Into<String>, result: impl Into<String>) -> Self {
        Self { what: what.into(), sum: sum.into(), result: result.into() }
    }
}
