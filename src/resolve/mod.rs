//! Tree to model: names, units, defaults.

pub mod cast;
pub mod moment;
